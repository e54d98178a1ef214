"""All checks run once for all tests of this room."""

import pytest

from sinewright.evidence import CheckResult, Residual, fit_residuals, run_checks
from sinewright.evidence.scene import Scene


@pytest.fixture(scope="session")
def scene() -> Scene:
    return Scene()


@pytest.fixture(scope="session")
def results(scene: Scene) -> tuple[CheckResult, ...]:
    return run_checks(scene)


@pytest.fixture(scope="session")
def residuals(scene: Scene) -> tuple[Residual, ...]:
    return fit_residuals(scene)
