"""What is kept beside the examination: visits, table entries, operation notes, stages of protection, documents.

They are made of the same findings as the case file, with the same units, signs and ranges.
"""

from __future__ import annotations

from datetime import date
from typing import Any, Literal, TypeAlias, TypeVar, get_args

from pydantic import ConfigDict, Field, ValidationError
from pydantic.fields import FieldInfo

from sinewright.case import MuscleName, Number
from sinewright.case.examination import Motion, Strength
from sinewright.case.fields import Section, Text, bounds_of, measured, section, text, unit_of, wish, word, words
from sinewright.case.muscles import Graded
from sinewright.case.wishes import Brace
from sinewright.errors import InputError
from sinewright.store.chain import Role
from sinewright.store.flat import with_dates

Complication = Literal[
    "infection",
    "wound healing",
    "skin loss",
    "rupture or loosening",
    "stretched out",
    "adhesion",
    "nerve loss",
    "hindfoot turned in",
    "hindfoot turned out",
    "flat arch",
    "toe deformity",
    "contracture",
    "clot",
    "pain syndrome",
    "flap loss",
    "further operation",
    "other",
]
_UP = "dorsiflexion positive"


def clock(description: str) -> Any:
    """An optional moment by the clock on the wall, without a zone: ``2026-03-05T09:41:00``."""
    return Field(default=None, description=description, pattern=r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d$")


class Gait(Section):
    """How the patient walks at a visit."""

    toes_clear: Literal["always", "sometimes", "never"] | None = word("toes clear the ground without a brace")
    steppage: Literal["none", "slight", "marked"] | None = word("hip and knee lifted to clear the foot")
    slap: Literal["none", "slight", "marked"] | None = word("foot slap at heel strike")
    pushes_off: Literal["normal", "weak", "absent"] | None = word("push-off")
    walks_minutes: Number | None = measured("min", 0, 1440, "walking time the patient reports")
    note: Text | None = text("anything else about the gait")


class Visit(Section):
    """One visit after the operation. What was not examined is left out."""

    on: date = Field(description="date of the visit")
    range: Motion = section(Motion, "active and passive range and resting angle of the operated leg")
    torque: Strength = section(Strength, "torques of the operated leg")
    grade: Graded | None = Field(default=None, description="grade of active lift by hand, as text")
    gait: Gait = section(Gait, "how the patient walks")
    brace: Brace = section(Brace, "brace in use now")
    complications: tuple[Complication, ...] = words("complications since the last visit")
    complication_note: Text | None = text("what happened and what was done, without names")
    own_words: Text | None = text("how the patient puts it", 1000)
    note: Text | None = text("anything else, without names", 1000)


class TableEntry(Section):
    """What was measured on the operating table before the skin was closed.

    One that carries `taken_back_at` was a mistake: it stays in the record and no longer counts.
    """

    on: date = Field(description="date of the operation")
    plan: int | None = Field(default=None, ge=1, description="number of the plan it belongs to")
    at: Text | None = clock("when it was entered, by the clock on the wall")
    taken_back_at: Text | None = clock("when it was taken back; empty while it counts")
    donor: MuscleName | None = word("donor, by full name")
    tendon_length_mm: Number | None = measured("mm", 0, 800, "free tendon of the donor beyond its muscle")
    excursion_mm: Number | None = measured("mm", 0, 200, "passive excursion of the freed donor")
    set_stretch_mm: Number | None = measured("mm", -30, 60, "set stretch as sewn; tighter positive")
    spring_force_N: Number | None = measured("N", 0, 500, "pull on the spring scale while sewing")
    resting_ankle_deg: Number | None = measured("deg", -80, 40, f"resting ankle angle after sewing; {_UP}")
    resting_knee_deg: Number | None = measured("deg", 0, 140, "knee flexion at that reading")
    stimulated_ankle_deg: Number | None = measured("deg", -80, 45, f"ankle angle under stimulation; {_UP}")
    stimulated_knee_deg: Number | None = measured("deg", 0, 140, "knee flexion at that reading")
    limb: Literal["lying", "hanging"] | None = word("leg lying, or shank hanging over the edge, at an angle read")
    moved_mm: Number | None = measured("mm", -30, 30, "junction set again by so much; tighter positive")
    note: Text | None = text("anything else, without names")


class OwnWeeks(Section):
    """The surgeon's own earliest week of each stage after the hold; empty where the schedule decides."""

    load: float | None = wish("weeks", 0, 104, "first load in cast or boot")
    motion: float | None = wish("weeks", 0, 104, "first active motion")
    gait: float | None = wish("weeks", 0, 104, "out of the boot, training of steps")
    stretch: float | None = wish("weeks", 0, 104, "passive stretch downwards")
    splint: float | None = wish("weeks", 0, 104, "night splint left off")
    strength: float | None = wish("weeks", 0, 104, "lift against resistance")
    sport: float | None = wish("weeks", 0, 104, "stairs down with load, running, sport")


class Protecting(Section):
    """How the weeks after an operation are planned; what is empty is as usual."""

    hold: Literal["cast", "boot", "frame"] | None = word("what holds the foot")
    pace: Literal["early", "usual", "late"] | None = word("end of the published weeks that the schedule follows")
    tests: Literal["usual", "pessimistic"] | None = word("set of strength tests of the junction")
    margin: float | None = wish("times", 1, 4, "strength of the weakest twentieth over middle load")
    chance: float | None = wish("share", 0.001, 0.5, "highest chance of giving way that keeps a stage green")
    cast_deg: float | None = wish("deg", -60, 30, f"ankle in the hold; {_UP}")
    stretch_limit_deg: float | None = wish("deg", -80, 30, f"how far down the therapist may bring the foot; {_UP}")
    own_weeks: OwnWeeks = section(OwnWeeks, "own weeks of the stages")


class OperationNote(Section):
    """What was done, and where it left the plan."""

    on: date = Field(description="date of the operation")
    plan: int | None = Field(default=None, ge=1, description="number of the plan that was followed")
    donor: MuscleName | None = word("donor, by full name")
    route: Text | None = text("route of the tendon", 120)
    recipient: Text | None = text("what it was sewn to, and where", 120)
    junction: Text | None = text("kind of junction: weave, side-to-side, bone tunnel, anchor, screw", 120)
    fixing_ankle_deg: float | None = wish("deg", -20, 40, f"ankle angle while sewing; {_UP}")
    fixing_subtalar_deg: float | None = wish("deg", -20, 20, "subtalar angle while sewing; inversion positive")
    fixing_knee_deg: float | None = wish("deg", 0, 120, "knee flexion while sewing")
    set_stretch_mm: float | None = wish("mm", -30, 60, "set stretch; tighter positive")
    junction_passes: int | None = Field(default=None, ge=1, le=5, description="passes of a weave")
    junction_overlap_mm: float | None = wish("mm", 5, 60, "overlap of tendon with tendon")
    protection: Protecting = section(Protecting, "how the weeks after are planned")
    tourniquet_min: float | None = wish("min", 0, 300, "tourniquet time")
    ischaemia_min: float | None = wish("min", 0, 600, "ischaemia time of a free muscle")
    departures: Text | None = text("where and why the plan was left", 1000)
    complications: tuple[Complication, ...] = words("complications during the operation")
    note: Text | None = text("anything else, without names", 4000)


class Release(Section):
    """A clinician let the patient go on to the next stage. A date alone never does."""

    on: date = Field(description="date of the release")
    role: Role = Field(description="who released it, as a role")
    note: Text | None = text("why, without names")


class Stage(Section):
    """One dated stage of protection; open until a clinician releases it."""

    title: Text = Field(min_length=1, max_length=120, description="name of the stage")
    from_week: float = Field(
        description="first week after the operation in which it may begin",
        json_schema_extra={"unit": "weeks", "minimum": 0, "maximum": 520},
    )
    plan: int | None = Field(default=None, ge=1, description="number of the plan it belongs to")
    allowed: Text = Field(min_length=1, max_length=1000, description="what the patient may do")
    released: Release | None = Field(default=None, description="who released it; empty until then")


class Document(Section):
    """A printed page or another file; its bytes are kept beside it."""

    title: Text = Field(min_length=1, max_length=120, description="what it is, without names")
    media_type: str = Field(pattern=r"^[a-z]+/[a-z0-9.+-]{1,80}$", description="for instance application/pdf")
    plan: int | None = Field(default=None, ge=1, description="number of the plan it was made from")
    note: Text | None = text("anything else, without names")


class Plan(Section):
    """A weighing to be frozen: everything that is needed to compute it again.

    `case_version` is the version of the case it was made from; `result` is the plan document as plain content.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    program_version: str = Field(min_length=1, max_length=40, description="version of Sinewright")
    seed: int = Field(ge=0, lt=2**63, description="seed of the virtual legs")
    draws: int = Field(ge=1, lt=2**31, description="number of virtual legs")
    data_digest: str = Field(pattern=r"^[0-9a-f]{64}$", description="SHA-256 of the reference data")
    result: dict[str, Any] = Field(description="the plan document as plain content")


Record: TypeAlias = Visit | TableEntry | OperationNote | Stage | Document
R = TypeVar("R", Visit, TableEntry, OperationNote, Stage, Document)
S = TypeVar("S", bound=Section)
KINDS: dict[type[Section], str] = {
    Visit: "visit",
    TableEntry: "table entry",
    OperationNote: "operation note",
    Stage: "stage",
    Document: "document",
}


def record_from(model: type[S], tables: dict[str, Any]) -> S:
    """A checked record from nested plain content, dates as text. Raises InputError for the first refusal."""
    try:
        return model.model_validate(with_dates(tables))
    except ValidationError as refused:
        first = refused.errors(include_url=False)[0]
    path = tuple(str(step) for step in first["loc"])
    field = _field_at(model, path)
    given = "nothing" if first["type"] == "missing" else repr(first["input"])[:60]
    raise InputError(".".join(path), given, _allowed(field), "correct this entry")


def _field_at(model: type[Section], path: tuple[str, ...]) -> FieldInfo | None:
    field: FieldInfo | None = None
    for step in path:
        inner = model.model_fields.get(step)
        if inner is None:
            return field
        field = inner
        kinds = (field.annotation, *get_args(field.annotation))
        model = next((k for k in kinds if isinstance(k, type) and issubclass(k, Section)), model)
    return field


def _allowed(field: FieldInfo | None) -> str:
    if field is None:
        return "an entry of this record"
    bounds = bounds_of(field)
    if bounds:
        return f"a number from {bounds[0]:g} to {bounds[1]:g} {unit_of(field)}"
    return str(field.description or "an entry of this record")
