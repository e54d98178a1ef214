"""What is left open stands where the program sews, what is set stays; who chose what, and the calf, are said."""

from __future__ import annotations

from sinewright.app.how_sewn import ANKLE, CONTROLS, at_first, calf_first, procedure_of, who_chose
from sinewright.case import changed, read_case
from sinewright.case.fields import bounds_of
from sinewright.case.wishes import PlanWishes
from sinewright.choose.sewing import fixing_posture

from .app_browser import EXAMPLES

CASE = read_case(EXAMPLES / "stiff_calf.toml")


def test_the_ankle_starts_where_it_is_really_sewn() -> None:
    left = changed(CASE, {"plan.calf_procedure": "none"})
    assert at_first(left)[ANKLE] == fixing_posture(left).ankle_deg < 0.0
    assert at_first(CASE)[ANKLE] == fixing_posture(CASE).ankle_deg > 0.0, "a short calf is taken as lengthened"
    after = changed(CASE, {"plan.calf_procedure": "achilles lengthening"})
    assert at_first(after)[ANKLE] > 0.0


def test_every_control_is_a_wish_with_its_range() -> None:
    for name in CONTROLS:
        assert bounds_of(PlanWishes.model_fields[name])


def test_who_chose_what_is_said_in_words() -> None:
    assert who_chose(CASE).startswith("Set by the surgeon: nothing. Chosen by the program: set stretch, overlap, ankle")
    mine = changed(CASE, {"plan.fixing_ankle_deg": 5.0, "plan.calf_procedure": "achilles lengthening"})
    assert who_chose(mine) == (
        "Set by the surgeon: calf procedure, ankle. "
        "Chosen by the program: gain of the calf, set stretch, overlap, knee, hindfoot."
    )


def test_a_calf_procedure_is_told_with_its_gain_and_none_is_silent() -> None:
    assert calf_first(changed(CASE, {"plan.calf_procedure": "none"}), 0.0) == ""
    told = calf_first(changed(CASE, {"plan.calf_procedure": "gastrocnemius recession"}), 4.6)
    assert told.startswith("First the calf: gastrocnemius recession, 5° expected.")
    assert procedure_of(CASE) == ""
