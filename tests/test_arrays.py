"""Roots of covariances: one root, whatever a processor's library says of eigenvectors."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.linalg import sqrtm

from sinewright.arrays import Floats, symmetric_root


def compound(n: int, shared: float) -> Floats:
    """A covariance with equal eigenvalues, as the forces of one leg have it: their eigenvectors are not determined."""
    return shared * np.ones((n, n)) + np.eye(n)


@pytest.mark.parametrize("covariance", [compound(12, 0.3), compound(5, 0.0), np.diag([1.0, 2.0, 4.0])])
def test_the_root_is_a_root_is_symmetric_and_agrees_with_another_library(covariance: Floats) -> None:
    root = symmetric_root(covariance)
    assert root @ root == pytest.approx(covariance, abs=1e-12)
    assert root == pytest.approx(root.T, abs=1e-14)
    assert root == pytest.approx(np.real(sqrtm(covariance)), abs=1e-9)


def test_a_singular_covariance_has_its_root() -> None:
    assert symmetric_root(np.diag([1.0, 0.0, 4.0])) == pytest.approx(np.diag([1.0, 0.0, 2.0]))


def test_turned_eigenvectors_give_the_same_root(monkeypatch: pytest.MonkeyPatch) -> None:
    covariance, own = compound(6, 0.4), symmetric_root(compound(6, 0.4))
    eigh = np.linalg.eigh

    def turned(matrix: Floats) -> tuple[Floats, Floats]:
        values, vectors = eigh(matrix)
        angle = 0.7  # the first two eigenvalues are equal: any turn between their vectors is as good
        turn = np.eye(len(values))
        turn[:2, :2] = [[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]]
        return values, -vectors @ turn

    monkeypatch.setattr(np.linalg, "eigh", turned)
    assert symmetric_root(covariance) == pytest.approx(own, abs=1e-12)
