"""The whole case: one frozen object that everything else starts from."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from pydantic import Field, StringConstraints, model_validator
from pydantic_core import PydanticCustomError

from sinewright.case.contradictions import contradictions
from sinewright.case.examination import BothMotions, BothStrengths
from sinewright.case.fields import Section, Text, section, text, word
from sinewright.case.foot import Foot, Leg, Person
from sinewright.case.history import History
from sinewright.case.muscles import Muscles
from sinewright.case.wishes import Brace, Goals, PlanWishes, Shoes, Work
from sinewright.results import Side

SCHEMA_VERSION = 1
Pseudonym = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9 ._-]{0,39}$")]


class Case(Section):
    """One patient's leg as data. Build it with `read_case`, `parse_case` or `case_from_tables`."""

    schema_version: int = Field(
        ge=SCHEMA_VERSION,
        le=SCHEMA_VERSION,
        description="version of this file's layout; always 1 for now",
        json_schema_extra={"allowed": str(SCHEMA_VERSION)},
    )
    pseudonym: Pseudonym = Field(
        description="label that says nothing about the person: 1 to 40 letters, digits, spaces, dots, - or _",
        json_schema_extra={"allowed": "1 to 40 plain letters, digits, spaces, dots, - or _"},
    )
    invented: bool = Field(default=False, description="true when the person is made up for teaching or testing")
    side: Side = Field(description="the leg that is to be operated on, as a word; there is no default")
    examined_on: date | None = word("date of the examination")
    note: Text | None = text("anything else, without names", 4000)
    person: Person = section(Person, "the person")
    leg: Leg = section(Leg, "sizes of the affected leg")
    history: History = section(History, "cause, course and general health")
    range: BothMotions = section(BothMotions, "angles of both legs")
    torque: BothStrengths = section(BothStrengths, "torques of both legs by direction")
    muscles: Muscles = section(Muscles, "muscles of the affected leg, by full name")
    foot: Foot = section(Foot, "shape, joints, skin, bed, feeling and pulses")
    brace: Brace = section(Brace, "brace in use now")
    shoes: Shoes = section(Shoes, "shoes in use now")
    work: Work = section(Work, "what the leg has to do")
    goals: Goals = section(Goals, "what matters to the patient")
    plan: PlanWishes = section(PlanWishes, "what is fixed before planning")

    @property
    def other_side(self) -> Side:
        """The leg that is not operated on."""
        return "left" if self.side == "right" else "right"

    @model_validator(mode="after")
    def _refuse_contradictions(self) -> Case:
        found = contradictions(self)
        if found:
            raise PydanticCustomError("contradiction", "the case contradicts itself", {"found": found})
        return self
