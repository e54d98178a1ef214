"""The fit of the landmarks: repeatable, from rows that may be fitted, with gaps inside their limits."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.anatomy.fit import (
    Fit,
    Target,
    model_moment_arm_mm,
    moment_arms,
    reference_joint_axes,
    report,
    solve,
    targets,
)
from sinewright.anatomy.skeleton import (
    Skeleton,
    build,
    geometry_rows,
    landmarks,
    native_paths,
    reference_sizes,
)
from sinewright.reference import Reference, Row, load
from sinewright.units import mm, rad

# The subtalar arc over which the fitted means are taken (geometry/fit_targets.csv), ankle at neutral.
ARC_DEG = (-12.0, -6.0, 0.0, 6.0, 12.0, 18.0, 25.0)

# Muscle: (sign, row) about the ankle axis, (sign, row) about the subtalar axis. Third peroneal: no row states
# its subtalar arm; that it everts is *common practice*.
ACHILLES = ((-1, "ma-achilles-tc-rest-neutral-wolfram2018"), (1, "ma-achilles-st-mean-klein1996"))
SIGNS: dict[str, tuple[tuple[int, str], tuple[int, str]]] = {
    "tibialis_anterior": (
        (1, "ma-tibialis-anterior-tc-rest-df-end-maganaris2000"),
        (1, "ma-tibialis-anterior-st-mean-klein1996"),
    ),
    "extensor_hallucis_longus": (
        (1, "ma-extensor-hallucis-longus-tc-band-recalled"),
        (1, "ma-extensor-hallucis-longus-foot-eversion-axis-ratio-hintermann1994"),
    ),
    "extensor_digitorum_longus": (
        (1, "ma-extensor-digitorum-longus-tc-band-recalled"),
        (-1, "ma-extensor-digitorum-longus-foot-eversion-axis-ratio-hintermann1994"),
    ),
    "peroneus_tertius": ((1, "ma-peroneus-tertius-tc-band-recalled"), (-1, "")),
    "peroneus_longus": (
        (-1, "ma-peroneus-longus-tc-band-recalled"),
        (-1, "ma-peroneus-longus-st-mean-klein1996"),
    ),
    "peroneus_brevis": (
        (-1, "ma-peroneus-brevis-tc-band-recalled"),
        (-1, "ma-peroneus-brevis-st-mean-klein1996"),
    ),
    "tibialis_posterior": (
        (-1, "ma-tibialis-posterior-tc-band-recalled"),
        (1, "ma-tibialis-posterior-st-mean-klein1996"),
    ),
    "flexor_digitorum_longus": (
        (-1, "ma-flexor-digitorum-longus-tc-band-recalled"),
        (1, "ma-flexor-digitorum-longus-foot-eversion-axis-ratio-hintermann1994"),
    ),
    "flexor_hallucis_longus": (
        (-1, "ma-flexor-hallucis-longus-tc-band-recalled"),
        (1, "ma-flexor-hallucis-longus-foot-eversion-axis-ratio-hintermann1994"),
    ),
    "soleus": ACHILLES,
    "gastrocnemius_medial": ACHILLES,
    "gastrocnemius_lateral": ACHILLES,
}


class Recorder(Reference):
    """The package's rows, noting which are asked for."""

    def __init__(self) -> None:
        super().__init__(load().folder)
        self.asked: set[str] = set()

    def row(self, id: str) -> Row:
        self.asked.add(id)
        return super().row(id)


@pytest.fixture(scope="module")
def recorder() -> Recorder:
    return Recorder()


@pytest.fixture(scope="module")
def fit(recorder: Recorder) -> Fit:
    return solve(recorder)


@pytest.fixture(scope="module")
def body() -> Skeleton:
    """The reference man with the offsets on file."""
    return build(reference_sizes()[None], reference_joint_axes(load()))


def moment_arm_mm(body: Skeleton, muscle: str, axis: int, ankle_deg: float = 0.0) -> float:
    return float(mm(moment_arms(body, muscle, rad(ankle_deg), 0.0)[1 + axis]))


def mean_subtalar_arm_mm(body: Skeleton, muscle: str) -> float:
    return model_moment_arm_mm(body, Target("", muscle, 1, (0.0,), ARC_DEG, 0.0, 1.0))


def test_a_second_run_finds_the_offsets_on_file(fit: Fit) -> None:
    """The file is rounded to 0.01 mm; 0.05 mm leaves room for another processor, not for another optimum."""
    on_file = {row["id"]: [float(row[f"{a}_mm"]) for a in "xyz"] for row in geometry_rows("fitted_offsets")}
    found = {mark.name: mm(shift) for mark, shift in zip(landmarks(), fit.offsets, strict=True)}
    assert set(on_file) == {mark.name for mark in landmarks() if mark.free}
    for name, shift in on_file.items():
        assert np.allclose(found[name], shift, atol=0.05), f"{name}: {found[name]} mm against {shift} mm on file"


def test_only_free_coordinates_move(fit: Fit) -> None:
    for mark, shift in zip(landmarks(), fit.offsets, strict=True):
        held = [i for i, axis in enumerate("xyz") if axis not in mark.free]
        assert np.array_equal(shift[held], np.zeros(len(held))), mark.name


def test_no_row_marked_check_is_read(fit: Fit, recorder: Recorder) -> None:
    assert {t.row for t in fit.targets} <= recorder.asked
    assert {name: load().row(name).use for name in recorder.asked} == dict.fromkeys(recorder.asked, "fit")


def test_every_target_takes_the_number_of_a_row_marked_fit_for_its_own_muscle_and_axis() -> None:
    for target in targets(load()):
        row = load().row(target.row)
        assert row.use == "fit"
        assert row.unit == "mm"
        assert target.moment_arm_mm == row.value
        name = target.muscle.replace("_", "-")
        assert row.structure in (name, "achilles" if target.muscle == "soleus" else name)
        words = ("axis=talocrural",) if target.axis == 0 else ("axis=subtalar", "eversion-inversion axis")
        assert any(word in row.condition for word in words), row.condition


def test_the_stated_angle_of_a_row_is_the_angle_of_the_target() -> None:
    stated = [t for t in targets(load()) if "ankle_deg" in load().row(t.row).conditions]
    assert len(stated) >= 5
    for target in stated:
        assert target.ankle_deg == (load().row(target.row).condition_number("ankle_deg"),), target.row


LIMITS_mm = {
    "ma-achilles-tc-rest-neutral-wolfram2018": None,  # the row's own SD between people, 4.54 mm
    "ma-tibialis-anterior-tc-rest-df-end-maganaris2000": 4.0,
    "ma-tibialis-anterior-tc-rest-pf-end-maganaris2000": 4.0,
    "ma-tibialis-posterior-st-mean-klein1996": 3.0,
    "ma-peroneus-longus-st-mean-klein1996": 3.0,
    "ma-peroneus-brevis-st-mean-klein1996": 3.0,
}


@pytest.mark.parametrize("row", LIMITS_mm)
def test_fitted_arm_stays_within_its_stated_limit(body: Skeleton, row: str) -> None:
    target = next(t for t in targets(load()) if t.row == row)
    limit = LIMITS_mm[row] or load().row(row).sd
    assert limit is not None
    assert abs(model_moment_arm_mm(body, target) - load().row(row).value) <= limit


@pytest.mark.parametrize(
    ("row", "muscle", "ankle_deg"),
    [
        ("ma-accept-achilles-neutral", "soleus", 0.0),
        ("ma-accept-ta-df", "tibialis_anterior", 15.0),
        ("ma-accept-ta-pf", "tibialis_anterior", -30.0),
    ],
)
def test_ankle_arm_lies_in_the_proposed_band(body: Skeleton, row: str, muscle: str, ankle_deg: float) -> None:
    """The bands are this project's own proposals (rows ma-accept-*, source pack-judgement), in magnitude."""
    band = load().row(row)
    assert band.low <= abs(moment_arm_mm(body, muscle, 0, ankle_deg)) <= band.high


def test_arms_rise_and_fall_with_the_ankle_as_in_maganaris_2000(body: Skeleton) -> None:
    """Achilles arm grows toward plantarflexion, anterior tibial arm shrinks."""
    achilles, tibialis = (
        [moment_arm_mm(body, m, 0, q) for q in (15.0, 0.0, -30.0)] for m in ("soleus", "tibialis_anterior")
    )
    assert sorted(achilles, reverse=True) == achilles
    assert sorted(tibialis, reverse=True) == tibialis


@pytest.mark.parametrize("axis", [0, 1], ids=["ankle", "subtalar"])
@pytest.mark.parametrize("muscle", SIGNS)
def test_sign_of_arm(body: Skeleton, muscle: str, axis: int) -> None:
    """A tendon that lifts or inverts the foot has a positive arm; the row named in SIGNS says the same."""
    sign, row = SIGNS[muscle][axis]
    assert not row or np.sign(load().row(row).value) == sign, row
    assert np.sign(moment_arm_mm(body, muscle, axis)) == sign
    assert axis == 0 or np.sign(mean_subtalar_arm_mm(body, muscle)) == sign


def test_the_table_of_signs_names_every_native_muscle() -> None:
    assert set(SIGNS) == set(native_paths())


def test_subtalar_arms_keep_the_order_of_row_ma_accept_subtalar_order(body: Skeleton) -> None:
    """Tibialis posterior > long toe flexor > great-toe flexor > anterior tibial > 0; great-toe extensor small
    and positive, long toe extensors negative, both peroneals about -20 mm (within the 30 % of row
    ma-accept-subtalar-size-tolerance). "Small" is read as: below the anterior tibial arm of Piazza 2003."""
    arm = {muscle: mean_subtalar_arm_mm(body, muscle) for muscle in native_paths()}
    falling = ("tibialis_posterior", "flexor_digitorum_longus", "flexor_hallucis_longus", "tibialis_anterior")
    ordered = [arm[muscle] for muscle in falling]
    assert all(a > b for a, b in zip(ordered, [*ordered[1:], 0.0], strict=True)), arm
    assert 0.0 < arm["extensor_hallucis_longus"] < load().row("ma-tibialis-anterior-st-mean-piazza2003").value
    assert arm["extensor_digitorum_longus"] < 0.0
    share = load().row("ma-accept-subtalar-size-tolerance").value / 100.0
    for muscle in ("peroneus_longus", "peroneus_brevis"):
        assert arm[muscle] == pytest.approx(-20.0, rel=share)


def test_the_report_prints_every_row_with_its_gap(fit: Fit) -> None:
    text = report(fit)
    for target, model in zip(fit.targets, fit.moment_arms_mm, strict=True):
        line = next(line for line in text if line.startswith(target.row + " "))
        assert line.split()[1:] == [f"{x:.1f}" for x in (target.moment_arm_mm, model, model - target.moment_arm_mm)]
