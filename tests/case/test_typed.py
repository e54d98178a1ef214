"""What a person types for a number: taken where it can mean one thing only, else refused with what to write."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sinewright.case.fields import bounds_of
from sinewright.case.paths import all_fields, inner_section
from sinewright.case.said import direction_of
from sinewright.case.typed import number_typed, own_way
from sinewright.errors import InputError

UP = "range.affected.dorsiflexion_knee_straight_deg"
DOWN = "range.other.plantarflexion_limit_down_deg"
OUT = "range.other.eversion_limit_out_deg"
NUMBERS = [path for path, field in all_fields() if inner_section(field) is None and bounds_of(field)]


@pytest.mark.parametrize(
    ("path", "text", "way", "value"),
    [
        (UP, "12", "up", 12.0), (UP, "12", "down", -12.0), (UP, "-12", "", -12.0), (UP, "12 down", "", -12.0),
        (UP, "12° plantarflexion", "", -12.0), (UP, "0", "", 0.0), (UP, "+8", "", 8.0), (UP, "-8", "down", -8.0),
        (DOWN, "40", "", 40.0), (DOWN, "40", "down", 40.0), (DOWN, "5", "up", -5.0), (DOWN, "5 up", "", -5.0),
        (OUT, "15 out", "", 15.0), ("person.mass_kg", "86 kg", "", 86.0), ("leg.shank_length_mm", "38 cm", "", 380.0),
        ("muscles.soleus.torque_Nm", "84 N\u00b7m", "", 84.0), ("muscles.soleus.force_N", "172N", "", 172.0),
        ("history.onset_months", "2 years", "", 24.0), ("shoes.heel_rise_mm", "-5", "", -5.0),
        ("plan.set_stretch_mm", "8", "slacker", -8.0), ("foot.hindfoot_varus_deg", "6", "valgus", -6.0),
    ],
)  # fmt: skip
def test_what_means_one_thing_is_taken(path: str, text: str, way: str, value: float) -> None:
    assert number_typed(path, text, way) == value


@pytest.mark.parametrize(
    ("path", "text", "way", "advice"),
    [
        (UP, "12", "", "say whether 12 is up or down"), (UP, "-12", "up", "the sign says down and the word up"),
        (DOWN, "-40", "", "a minus can be read both ways"), (DOWN, "-40", "down", "a minus can be read both ways"),
        ("person.height_cm", "1.70 m", "", "1.70 m is 170"), ("person.height_cm", "5'7", "", "in cm"),
        ("person.height_cm", "67 in", "", "in cm"), ("muscles.soleus.force_N", "12 kg", "", "times 9.8"),
        ("person.mass_kg", "180 lb", "", "kilograms"), ("person.age_years", "six", "", "in digits"),
        ("leg.foot_length_mm", "26 27", "", "write the number alone"), ("person.age_years", "1e2", "", "alone"),
        ("goals.lift", "5 points", "", "alone"),
    ],
)  # fmt: skip
def test_what_may_mean_two_things_is_refused(path: str, text: str, way: str, advice: str) -> None:
    with pytest.raises(InputError) as refused:
        number_typed(path, text, way)
    assert advice in refused.value.advice
    assert refused.value.given == f'the text "{text}"'


@given(st.sampled_from(NUMBERS), st.floats(-1e4, 1e4).map(lambda value: round(value, 2)))
def test_what_is_shown_comes_back_as_it_was(path: str, value: float) -> None:
    direction = direction_of(path)
    if direction is None:
        assert number_typed(path, f"{value:.2f}") == pytest.approx(value)
        return
    word = direction.plus if value > 0 else direction.minus if value < 0 else ""
    assert number_typed(path, f"{abs(value):.2f}", word) == value
    if value and not own_way(path):
        with pytest.raises(InputError, match="say whether"):
            number_typed(path, f"{abs(value):.2f}")
