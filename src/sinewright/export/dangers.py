"""The dangers of one patient and operation for theatre: those that spoke first, then five lines for the anaesthetist.

Nothing here is ever cut off. What was not examined is said so: silence would read as safety.
"""

from __future__ import annotations

from sinewright.case import Case
from sinewright.export.counts import Hundred
from sinewright.export.planned import CLEARS, LIFTS, Planned, falls_short, hundred_of, stop_share
from sinewright.wording.counts import percent
from sinewright.wording.dangers import OF_OPERATION, OF_PATIENT, dangers_of

DONE = {CLEARS: "clear the floor without a brace", LIFTS: "lift to neutral and reach"}
JUDGED = (
    "before tension is judged, cuff down, no relaxant working, no block of the donor's nerve (textbook value, no "
    "source checked)"
)


def danger_lines(planned: Planned) -> list[str]:
    """Every danger that a rule speaks of, of the patient before those of the operation."""
    found = (
        *dangers_of((*planned.weighing.rules, *planned.outcome.rules), OF_PATIENT),
        *dangers_of((*planned.outcome.rules, *planned.weighing.rules), OF_OPERATION),
    )
    return [f"{danger.word[0].upper()}{danger.word[1:]}: {danger.advice}" for danger in found]


def danger_codes() -> set[str]:
    """Codes of the rules that are dangers: they stand in the box and need not stand below it again."""
    return {*OF_PATIENT, *OF_OPERATION}


def before_the_cut(case: Case) -> list[list[str]]:
    """What the anaesthetist and the surgeon look to, each with what was found."""
    foot, history = case.foot, case.history
    thinner = {True: "yes", False: "none taken", None: "not asked"}[history.blood_thinner]
    pulses = f"top of foot {foot.dorsalis_pedis_pulse or 'not felt for'}, inner ankle {_behind(case)}"
    skin = f"shin {foot.skin_front_of_shin or 'not judged'}, top of foot {foot.skin_top_of_foot or 'not judged'}"
    return [
        ["Cuff, relaxant, block", JUDGED],
        ["Blood thinner", thinner],
        ["Artery", f"circulation {history.circulation or 'not judged'}; pulse {pulses}"],
        ["Skin", skin],
        ["Sole", f"feeling {foot.feeling_sole or 'not tested'}"],
    ]


def _behind(case: Case) -> str:
    return case.foot.posterior_tibial_pulse or "not felt for"


def stop_lines(planned: Planned) -> list[str]:
    """Why this operation falls short of the chance that is asked for; empty when it does not."""
    return [_short(DONE[key], hundred_of(planned, key)) for key in falls_short(planned.outcome)]


def _short(what: str, found: Hundred | None) -> str:
    assert found is not None
    return f"Only {found.words} virtual legs {what}; below {percent(stop_share()):.0f} this page questions the plan."
