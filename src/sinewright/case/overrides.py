"""Rules that stop an operation and that a surgeon may override, each by a written reason that stays in the plan.

The names are the codes of the rules in ``choose.rules``. A code is never renamed or removed: old files open for ever.
"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import AfterValidator, Field
from pydantic_core import PydanticCustomError

from sinewright.case.fields import Section, Text

SHORTEST, LONGEST = 10, 400


def _says_why(text: str) -> str:
    """`text` unchanged, or refused when it holds fewer than ten signs apart from blanks around it."""
    if len(text.strip()) < SHORTEST:
        raise PydanticCustomError("no_reason", "shorter than a reason")
    return text


Reason = Annotated[Text, AfterValidator(_says_why)]


def _reason(what: str) -> Any:
    return Field(
        default=None,
        description=f"why the plan goes on although {what}",
        min_length=SHORTEST,
        max_length=LONGEST,
    )


class Overrides(Section):
    """Written reasons against rules that would set an operation aside; the name of each entry is the rule's code."""

    active_infection: Reason | None = _reason("the leg is infected")
    open_ulcer: Reason | None = _reason("an ulcer of the foot is open")
    open_wound: Reason | None = _reason("skin is missing where the tendon will run or be sewn")
    no_pulse: Reason | None = _reason("no pulse of the foot was felt")
    fused_ankle: Reason | None = _reason("the ankle joint is fused")
    fixed_below_neutral: Reason | None = _reason("the foot cannot be brought to neutral")
    nerve_recovering: Reason | None = _reason("the nerve still recovers")
    leprosy_reaction: Reason | None = _reason("leprosy was active within the last months")
    weak_donor: Reason | None = _reason("the donor is weaker than grade 4")
    growth_plates: Reason | None = _reason("a tunnel would be drilled in growing bone")
    membrane_scarred: Reason | None = _reason("the membrane between the bones is scarred")
    no_retinaculum: Reason | None = _reason("there is no retinaculum to run under")
    no_outward_balancer: Reason | None = _reason("no muscle would be left to turn the foot out")


CODES = tuple(Overrides.model_fields)
"""Codes of all rules that stop an operation."""
