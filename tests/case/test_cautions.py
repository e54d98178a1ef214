"""Odd but possible findings give a warning that names its source; ordinary ones give none."""

from __future__ import annotations

from typing import Any

import pytest

from sinewright.case import FRONT, cautions, findings_missing, read_case, share_of_other_side
from sinewright.reference import load

from .case_helpers import EXAMPLES, small, with_

RANGE, TP = "range.affected", "muscles.tibialis_posterior"
FRONT_GONE: dict[str, Any] = {f"muscles.{name}.state": "paralysed" for name in FRONT}
CAUTIONED: list[tuple[dict[str, Any], str, str]] = [
    ({"person.age_years": 17.9}, "age-outside-evidence", "still grows"),
    ({"person.age_years": 90.1}, "age-outside-evidence", "adults"),
    ({"person.height_cm": 170, "person.mass_kg": 40}, "body-mass-index-outside-evidence", "13.8"),
    ({"person.sex": "male", "leg.foot_length_mm": 240}, "size-outside-evidence", "250 to 293 mm"),
    ({"leg.foot_length_mm": 225}, "size-outside-evidence", "226 to 293 mm"),
    ({"person.sex": "female", "person.height_cm": 180}, "size-outside-evidence", "152 to 173 cm"),
    (
        {f"{RANGE}.dorsiflexion_knee_straight_deg": 10, f"{RANGE}.dorsiflexion_knee_bent_deg": 4.9},
        "knee-bent-below-straight",
        "exchanged",
    ),
    (
        {f"{RANGE}.dorsiflexion_knee_straight_deg": 5, f"{RANGE}.active_dorsiflexion_knee_straight_deg": 8},
        "active-above-passive",
        "goniometer",
    ),
    ({f"{RANGE}.plantarflexion_limit_down_deg": -5}, "foot-held-up", "write 5"),
    ({f"{TP}.force_N": 120}, "force-without-lever", "without its lever"),
    (
        {f"{TP}.grade": "5", f"{TP}.force_N": 18, f"{TP}.lever_mm": 90},
        "force-looks-like-kilograms",
        "kilograms",
    ),
    (
        {f"{TP}.grade": "5", f"{TP}.torque_Nm": 5, f"{TP}.other_side_torque_Nm": 15},
        "grade-against-force",
        "33 %",
    ),
    (
        {"torque.affected.dorsiflexion_Nm": 30, "torque.other.dorsiflexion_Nm": 4},
        "legs-exchanged",
        "side (left)",
    ),
    (
        {
            f"{RANGE}.active_dorsiflexion_knee_straight_deg": 9,
            "range.other.active_dorsiflexion_knee_straight_deg": -25,
        },
        "legs-exchanged",
        "affected, other and side",
    ),
    ({**FRONT_GONE, f"{RANGE}.resting_hanging_deg": 30}, "lift-without-lifters", "check the direction"),
    ({"muscles.tibialis_anterior.state": "normal"}, "nothing-lost", "Check side"),
]


@pytest.mark.parametrize(("changes", "code", "said"), CAUTIONED, ids=[f"{e[1]}: {e[2]}" for e in CAUTIONED])
def test_an_odd_finding_gives_one_caution(changes: dict[str, Any], code: str, said: str) -> None:
    (found,) = cautions(with_(changes))
    assert found.code == code
    assert said in found.text
    assert found.source


QUIET: list[dict[str, Any]] = [
    {},
    {"person.age_years": 18},
    {"person.age_years": 90},
    {"person.sex": "male", "leg.foot_length_mm": 250},
    {f"{RANGE}.dorsiflexion_knee_straight_deg": 10, f"{RANGE}.dorsiflexion_knee_bent_deg": 5},
    {f"{TP}.grade": "5", f"{TP}.force_N": 120, f"{TP}.lever_mm": 90, f"{TP}.other_side_force_N": 118},
    {**FRONT_GONE, f"{RANGE}.resting_hanging_deg": -30},
    {"torque.affected.dorsiflexion_Nm": 4, "torque.other.dorsiflexion_Nm": 40},
]


@pytest.mark.parametrize("changes", QUIET)
def test_an_ordinary_finding_gives_none(changes: dict[str, Any]) -> None:
    assert cautions(with_(changes)) == ()


@pytest.mark.parametrize(
    ("sex", "text", "low", "high"), [("male", "men", 250.0, 293.0), ("female", "women", 226.0, 268.0)]
)
def test_ansur2_percentiles_of_foot_length(sex: str, text: str, low: float, high: float) -> None:
    """Printed 5th and 95th percentiles of the rows anth-foot-length-*-ansur2; 1.5 mm for the normal curve."""
    assert f"5th percentile {low}, 95th percentile {high}" in load().row(f"anth-foot-length-{text}-ansur2").note
    inside = [low + 1.5, high - 1.5]
    outside = [low - 1.5, high + 1.5]
    for length in inside:
        assert cautions(with_({"person.sex": sex, "leg.foot_length_mm": length})) == ()
    for length in outside:
        assert len(cautions(with_({"person.sex": sex, "leg.foot_length_mm": length}))) == 1


def test_share_of_the_other_side_prefers_torque_and_uses_levers() -> None:
    """Hand examples: 10 / 20 Nm; 50 N x 90 mm against 100 N x 45 mm; forces alone."""
    forces = {f"{TP}.force_N": 50, f"{TP}.other_side_force_N": 100}
    levers = {f"{TP}.lever_mm": 90, f"{TP}.other_side_lever_mm": 45}
    torques = {f"{TP}.torque_Nm": 10, f"{TP}.other_side_torque_Nm": 20}

    def share(changes: dict[str, Any]) -> float | None:
        return share_of_other_side(with_(changes).muscles.tibialis_posterior)

    assert share({**forces, **levers}) == pytest.approx(1.0)
    assert share(forces) == pytest.approx(0.5)
    assert share({**forces, **levers, **torques}) == pytest.approx(0.5)
    assert share({f"{TP}.force_N": 50}) is None
    assert share({**forces, f"{TP}.other_side_force_N": 0}) is None


def test_the_borderline_donor_is_the_only_example_with_a_caution() -> None:
    found = {path.stem: [each.code for each in cautions(read_case(path))] for path in EXAMPLES}
    assert found.pop("borderline_donor") == ["grade-against-force"]
    assert set(map(tuple, found.values())) == {()}


def test_missing_findings_shrink_as_they_are_made() -> None:
    asked = [each.field for each in findings_missing(small())]
    assert asked[:2] == ["muscles.tibialis_posterior.grade", "muscles.peroneus_longus.grade"]
    assert len(asked) == len(set(asked))
    more = with_({"person.mass_kg": 80, f"{TP}.state": "normal", f"{TP}.grade": "5"})
    again = [each.field for each in findings_missing(more)]
    assert "person.mass_kg" not in again
    assert [f"{TP}.force_N", f"{TP}.other_side_force_N", f"{TP}.tested_alone"] == again[:3]
    gone = with_({f"{TP}.state": "absent", "plan.exclude_donors": ["peroneus_longus"]})
    sections = {each.field.rpartition(".")[0] for each in findings_missing(gone)}
    assert not sections & {TP, "muscles.peroneus_longus"}
    assert all(each.why and each.source for each in findings_missing(small()))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_nothing_is_missing_in_a_complete_example(path: Any) -> None:
    assert findings_missing(read_case(path)) == ()
