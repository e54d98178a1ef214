"""A wrong entry is refused with a sentence: field as in the file, what was given, what is allowed, advice."""

from __future__ import annotations

import pickle
from datetime import datetime
from typing import Any

import pytest

from sinewright.case import FindingsError, parse_case
from sinewright.errors import InputError, SinewrightError

from .case_helpers import SMALL, refusal, refused_change

UP = "range.affected.dorsiflexion_knee_straight_deg"
DOWN = "range.affected.plantarflexion_limit_down_deg"
# path changed, value, what the sentence must hold
ENTRIES: list[tuple[str, Any, list[str]]] = [
    ("side", "R", ["side: given", '"R"', '"right", "left"', "never guessed"]),
    ("side", "rechts", ['"rechts"', '"right", "left"']),
    ("side", "Left", ['"right", "left"']),
    ("side", True, ["given true"]),
    ("schema_version", 2, ["given 2", "allowed 1", "later version"]),
    ("schema_version", True, ["given true"]),
    ("schema_version", 1.0, ["given 1.0"]),
    ("invented", "yes", ["true or false"]),
    ("invented", 1, ["true or false"]),
    ("pseudonym", "", ["pseudonym"]),
    ("pseudonym", "a\n", ["pseudonym"]),
    ("pseudonym", "x" * 41, ["1 to 40"]),
    (UP, "5", ['the text "5"', "-70 to 45 deg", "without quotes"]),
    (UP, True, ["given true", "-70 to 45 deg"]),
    (UP, float("nan"), ["given nan", "leave the entry out"]),
    (UP, float("inf"), ["given inf", "-70 to 45 deg"]),
    (UP, 46, ["given 46 deg", "-70 to 45 deg", "unit"]),
    (UP, 10**30, ["more than 15 digits"]),
    (UP, [5], ["list of 1"]),
    (UP, {"value": 99.0, "known": "measured"}, ["99.0 deg", "-70 to 45 deg"]),
    (UP, {"value": 5.0, "known": "guessed"}, [f"{UP}.known", '"measured", "estimated", "assumed"']),
    (UP, {"known": "measured"}, [f"{UP}.value", "given nothing"]),
    (UP, {"value": 5.0, "when": 1}, [f"{UP}.when", "unknown name"]),
    (UP, {"value": True}, [f"{UP}.value", "given true"]),
    (DOWN, -40, ["given -40 deg", "positive DOWN", "write 40, not -40"]),
    ("range.affected.eversion_limit_out_deg", -30, ["OUTWARDS"]),
    ("person.height_cm", 1.72, ["1.72 cm", "50 to 250 cm", "unit"]),
    ("person.height_m", 1.72, ["person.height_m", "height_cm is probably meant", "in cm", "convert"]),
    ("person.height", 172, ["height_cm is probably meant"]),
    ("person.mass_lb", 160, ["mass_kg is probably meant", "in kg"]),
    ("muscles.soleus.force_kg", 12, ["force_N is probably meant", "in N"]),
    ("muscles.soleus.torque_Nmm", 12, ["torque_Nm is probably meant"]),
    ("leg.foot_lenght_mm", 260, ["foot_length_mm is probably meant"]),
    ("person.side", "left", ["person.side", "at the top of the file"]),
    ("range.dorsiflexion_knee_straight_deg", 3, ["[range.affected] or [range.other]"]),
    ("range.right", {UP: 3}, ["range.right", "[range.affected]", "side at the top"]),
    ("torque.left", {}, ["torque.left", "[torque.other]"]),
    ("muscles.grade", "4", ["muscles.grade", "belongs to one muscle"]),
    ("muscles.TP", {}, ["muscles.tibialis_posterior"]),
    ("muscles.peroneus_longus_r", {}, ["muscles.peroneus_longus;", "without a side"]),
    ("muscles.soleus.grade", 3.7, ["given 3.7", '"4-"', "never a number"]),
    ("muscles.soleus.grade", "3.7", ['"3.7"', '"4-"']),
    ("muscles.soleus.grade", "IV", ['"IV"']),
    ("muscles.soleus.state", "paralyzed", ['"paralyzed"', '"paralysed"']),
    ("muscles.soleus.tested_alone", "no", ["true or false"]),
    ("history.cause", "disc", ["square brackets"]),
    ("history.cause", ["slipped disc"], ["history.cause (entry 1)", '"disc"']),
    (
        "history.nerve_studies",
        [{}, {"result": "bad"}],
        ["history.nerve_studies (entry 2).result", "no activity"],
    ),
    ("history.onset_on", "2025-01-01", ["a date such as 2025-03-04", "without quotes"]),
    ("history.onset_on", datetime(2025, 1, 1, 9, 30), ["a date such as 2025-03-04"]),
    ("goals.no_brace", 11, ["0 to 10"]),
    ("plan.only_donors", ["TP"], ["plan.only_donors (entry 1)", "tibialis_posterior"]),
    ("plan.fixing_ankle_deg", {"value": 5}, ["-20 to 40 deg"]),
    ("note", "left\u202eright", ["turns the writing direction"]),
    ("note", "x" * 4001, ["1 to 4000 signs"]),
    ("note", "bell\x07", ["cannot be printed"]),
    ("person", 3, ["person: given 3", "a table with sex"]),
]


@pytest.mark.parametrize(("path", "value", "said"), ENTRIES, ids=[f"{e[0]}={str(e[1])[:20]}" for e in ENTRIES])
def test_a_wrong_entry_is_named_with_what_is_allowed(path: str, value: Any, said: list[str]) -> None:
    error = refused_change({path: value})
    assert len(error.problems) == 1
    for part in said:
        assert part in str(error)
    for jargon in ("pydantic", "Input should", "validation error", "type=", "NoneType", "{", "}"):
        assert jargon not in str(error)


def test_what_must_be_there_is_asked_for() -> None:
    assert [problem.field for problem in refusal("").problems] == ["schema_version", "pseudonym", "side"]
    assert "never guessed" in str(refusal('schema_version = 1\npseudonym = "a"\n'))


def test_several_problems_come_in_one_message_in_the_order_of_the_file() -> None:
    soleus = "[muscles.soleus]\ngrade = 4\nforce_kg = 2\n"
    error = refusal(SMALL + soleus + '[person]\nage_years = "40"\n[leg]\nfoot_length_mm = 26\n')
    fields = ["muscles.soleus.grade", "muscles.soleus.force_kg", "person.age_years", "leg.foot_length_mm"]
    assert [problem.field for problem in error.problems] == fields
    assert str(error).startswith("case text: 4 problems\n  1. muscles.soleus.grade: given 4,")
    assert error.field == fields[0]
    assert isinstance(error, InputError)
    assert error.exit_code == 2


def test_the_error_travels_between_processes() -> None:
    error = refusal("")
    again = pickle.loads(pickle.dumps(error))
    assert str(again) == str(error)
    assert isinstance(again, FindingsError)


TOML_SLIPS = [
    ("side = right", 1, 'side = "right"'),
    ("schema_version = 1\nheight_cm = 172,5", 2, "a point, not a comma"),
    ("[leg]\n[person]\n[leg]", 3, "stands twice"),
    ("a = 1\na = 2", 2, "stands twice"),
    ("a = ", 1, "name = value"),
    ("# note\nmass kg = 3", 2, "name = value"),
]


@pytest.mark.parametrize(("text", "line", "advice"), TOML_SLIPS)
def test_a_slip_in_the_toml_is_told_with_its_line(text: str, line: int, advice: str) -> None:
    with pytest.raises(SinewrightError) as caught:
        parse_case(text)
    assert f"case text, line {line}: not valid TOML" in str(caught.value)
    assert advice in str(caught.value)


@pytest.mark.parametrize("text", ["a = " + "[" * 5000, "a = " + "9" * 5000, "a." * 3000 + "b = 1"])
def test_absurd_nesting_and_numbers_are_refused(text: str) -> None:
    with pytest.raises(SinewrightError):
        parse_case(text)
