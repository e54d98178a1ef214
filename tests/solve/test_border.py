"""The border between Python and the kernels: shapes, one way of compiling, and failures that are never swallowed."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.muscle import equilibrium
from sinewright.muscle.equilibrium import TENDON_SLACK
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.solve import answer as a
from sinewright.solve import swing as sw
from sinewright.transfer.plans import build_plans

from ..virtual_people import Floats, one, people, plan
from .swing_people import ground

MOVED = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
DONOR = LEG_MUSCLES.index("tibialis_posterior")


@pytest.mark.parametrize(
    ("name", "shape", "words"),
    [
        ("passive", (3, 16), r"Legs\.passive has the shape \(3, 16\), expected \(3, 17\)"),
        ("cylinders", (3, 6, 8), r"Legs\.cylinders has the shape \(3, 6, 8\), expected \(3, C, 9\)"),
        ("capacity", (2, 12), r"Legs\.capacity has the shape \(2, 12\), expected \(3, 12\)"),
        ("normal_lift", (3, 1), r"Legs\.normal_lift has the shape \(3, 1\), expected \(3\)"),
    ],
)
def test_an_array_of_the_wrong_shape_is_named(name: str, shape: tuple[int, ...], words: str) -> None:
    legs = people("stiff_calf", 3)._replace(**{name: np.zeros(shape)})
    with pytest.raises(ValueError, match=words):
        a.answer(legs, build_plans([plan(None)]))


def spaced(part: Floats) -> Floats:
    """The same values, every second place of a longer array, and read-only."""
    out = np.repeat(part, 2, axis=0)[::2]
    out.flags.writeable = False
    return out


def test_the_layout_of_an_array_neither_moves_an_answer_nor_compiles_a_kernel_again() -> None:
    g = ground(False, 3)
    given = (g.legs, g.plans, g.drawn.walk)
    odd = tuple(type(record)(*(spaced(part) for part in record)) for record in (given[0], given[2]))
    plain = sw.swing(*given, g.pushdown, g.rest_subtalar, 0.01)[0]
    sw.tracks(*given, g.pushdown[:, 0], g.rest_subtalar[:, 0])
    strange = sw.swing(odd[0], g.plans, odd[1], spaced(g.pushdown), spaced(g.rest_subtalar), 0.01)[0]  # type: ignore[arg-type]
    assert np.array_equal(plain, strange, equal_nan=True)
    assert np.array_equal(a.answer(g.legs, g.plans)[0], a.answer(odd[0], g.plans)[0])  # type: ignore[arg-type]
    for outer in (a._answer_some, sw._swing_some, sw._tracks_some):
        assert len(outer.signatures) == 1, outer.__name__  # type: ignore[attr-defined]
    for inner in (sw.swing_one, sw.set_out, a.answer_one):  # none is seen when the outer one comes from the disk
        assert len(inner.signatures) <= 1, inner.__name__  # type: ignore[attr-defined]


@pytest.mark.parametrize("moment_only", [True, False])
def test_a_donor_without_equilibrium_marks_its_answer_as_failed(moment_only: bool) -> None:
    legs = people("stiff_calf", 3)
    muscles = legs.muscles.copy()
    muscles[1, DONOR, TENDON_SLACK] = -0.1  # no muscle is like this: BAD_INPUT
    broken = legs._replace(muscles=muscles)
    _, failed = a.answer(broken, build_plans([plan(MOVED)]), moment_only=moment_only)
    assert failed[1, 0] & a.FAILED_TENSION
    assert failed[[0, 2], 0].tolist() == [0, 0]


def test_an_equilibrium_that_did_not_converge_gives_no_force(monkeypatch: pytest.MonkeyPatch) -> None:
    """Run without the compiler, with no step allowed."""
    muscle = equilibrium.MuscleTendon(*(float(x) for x in one(people("stiff_calf", 3), 0).muscles[0, 0]))
    length = muscle.tendon_slack + muscle.optimal_fibre
    plain = equilibrium.elastic_force_and_stiffness.py_func  # type: ignore[attr-defined]
    assert plain(muscle, length, 1.0)[2] == equilibrium.BALANCED
    monkeypatch.setattr(equilibrium, "MAX_STEPS", 0)
    monkeypatch.setattr(equilibrium, "_balance", equilibrium._balance.py_func)  # type: ignore[attr-defined]
    force, fibre, status, _, stiffness = plain(muscle, length, 1.0)
    assert status == equilibrium.NOT_CONVERGED
    assert np.isnan([force, fibre, stiffness]).all()
