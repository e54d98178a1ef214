"""From a case and a choice to the weeks after: legs -> loads -> strength over weeks -> stages with their numbers.

What in this patient tightens the stages comes from the case, each factor with its reason; none is guessed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil, isfinite

import numpy as np

from sinewright import results as r
from sinewright.case import Case, cautions, number
from sinewright.choose.present import assumptions_of, caution, choice_of, sources_of
from sinewright.choose.sewing import as_sewn, sewn_for
from sinewright.doubt.sample import spread_of
from sinewright.doubt.virtual import draw
from sinewright.errors import InputError
from sinewright.plan import find_choice
from sinewright.protect.constructs import ConstructStrength, Tests, find_construct, strength_of
from sinewright.protect.healing import LAST_WEEK, Healing, heal
from sinewright.protect.load import Activity, Held, Load, hold, loads
from sinewright.protect.stages import (
    HOLD_TITLES,
    KEYS,
    STAGES,
    ActivityMargin,
    Hold,
    Pace,
    ProtectionStage,
    check_own_weeks,
    kept_at,
    margin_week,
    published_weeks,
    scheduled_week,
)
from sinewright.protect.tension import tension_of
from sinewright.protect.watch import signs
from sinewright.reference import load
from sinewright.results import Caution
from sinewright.units import deg, m, rad
from sinewright.version import __version__


@dataclass(frozen=True)
class PatientFactor:
    """One finding: ``what`` it changes (``margin of loaded stages``, ``time of healing``, ``strength in bone``), by how
    much, why, and the row."""

    what: str
    by: float
    reason: str
    row: str


@dataclass(frozen=True)
class Patient:
    """All factors of one patient. ``margin`` multiplies the margin of loaded stages, ``slow`` the time of healing."""

    factors: tuple[PatientFactor, ...]
    soft_bone: bool

    @property
    def margin(self) -> float:
        """Product of the factors on the margin."""
        return self._product("margin of loaded stages")

    @property
    def slow(self) -> float:
        """Product of the factors on the time of healing."""
        return self._product("time of healing")

    def _product(self, what: str) -> float:
        out = 1.0
        for factor in self.factors:
            out *= factor.by if factor.what == what else 1.0
        return out


def patient_of(case: Case) -> Patient:
    """The factors that the findings of a case ask for."""
    out: list[PatientFactor] = []
    value = load().fit_value

    def add(holds: bool, what: str, row: str, reason: str) -> None:
        if holds:
            out.append(PatientFactor(what, value(row), reason, row))

    feeling = case.foot.feeling_sole
    add(
        feeling in ("reduced", "absent"), "margin of loaded stages", "own-protect-numb-sole-factor",
        f"feeling of the sole is {feeling}: overload and pressure are not felt; skin is looked at every day",
    )  # fmt: skip
    mass, heavy = number(case.person.mass_kg), value("own-protect-heavy-mass")
    if mass is not None and mass > heavy:
        reason = f"body mass {mass:g} kg is above {heavy:g} kg: every loaded stage carries more"
        out.append(PatientFactor("margin of loaded stages", mass / heavy, reason, "own-protect-heavy-mass"))
    history = case.history
    add(
        history.diabetes in ("diet or tablets", "insulin"), "time of healing", "own-protect-slow-diabetes",
        f"diabetes ({history.diabetes}): tendon and wound heal later",
    )  # fmt: skip
    add(history.smoking == "smokes", "time of healing", "own-protect-slow-smoking", "smokes: the wound heals later")
    add(
        history.circulation == "reduced", "time of healing", "own-protect-slow-circulation",
        "circulation of the leg is reduced",
    )  # fmt: skip
    soft = case.foot.bone == "soft"
    add(soft, "strength in bone", "own-protect-soft-bone", "bone is soft: a fixation in bone holds less")
    return Patient(tuple(out), soft)


MARGINS, CHANCES = (1.0, 4.0), (0.001, 0.5)
SHOWN_WEEKS = (0.0, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 12.0)
USUAL_DRAWS = 1000  # of ``weigh``


@dataclass(frozen=True)
class Wish:
    """What the surgeon chose. ``passes`` and ``overlap_mm`` of the junction; ``margin`` and ``chance`` None for the
    usual ones; ``cast_deg`` None for the posture of fixing; ``own_weeks`` by stage; angles up positive."""

    construct: str
    tests: Tests = "usual"
    passes: int | None = None
    overlap_mm: float | None = None
    hold: Hold = "cast"
    pace: Pace = "usual"
    own_weeks: Mapping[str, float] | None = None
    margin: float | None = None
    chance: float | None = None
    cast_deg: float | None = None
    stretch_limit_deg: float | None = None
    operated_on: date | None = None
    planned_mm: float | None = None


@dataclass(frozen=True)
class _Ground:
    """Everything that every line needs."""

    wish: Wish
    patient: Patient
    healing: Healing
    loads: Mapping[Activity, Load]
    margin: float
    chance: float


def protection(case: Case, choice: str, wish: Wish, draws: int = USUAL_DRAWS, seed: int = 1) -> r.Protection:
    """Hold what the junction carries in the weeks after one operation against what it stands as it heals.

    The same case, wish, draws and seed give the same result.

    Parameters
    ----------
    case : the patient
    choice : operation, by an id of the catalogue
    wish : how it is sewn and what margin is asked for
    draws : virtual legs
    seed : of the draws

    Raises
    ------
    InputError : a wish that cannot be; names the option
    DoubtError : too few legs agree with the examination
    """
    moved, construct, patient = find_choice(case, choice), find_construct(wish.construct), patient_of(case)
    own = dict(wish.own_weeks or {})
    check_own_weeks(own)
    margin = _within("--margin", wish.margin, MARGINS, "own-protect-margin")
    chance = _within("--chance", wish.chance, CHANCES, "own-protect-chance")
    strength = strength_of(construct, wish.tests, wish.passes, wish.overlap_mm, patient.soft_bone)
    virtual = draw(case, draws, seed)
    elastic = case.plan.tendon != "rigid"
    if wish.planned_mm is not None:
        sewn = replace(as_sewn(case, moved), stretch=m(wish.planned_mm))
    else:
        legs = virtual.legs if draws == USUAL_DRAWS else draw(case, USUAL_DRAWS, seed).legs
        sewn = sewn_for(case, legs, [moved])[0]
    held = hold(
        case,
        virtual.legs,
        sewn,
        elastic=elastic,
        seed=seed,
        cast=_rad(wish.cast_deg),
        stretch=_rad(wish.stretch_limit_deg),
    )
    found = {each.activity: each for each in loads(held)}
    ground = _Ground(wish, patient, heal(strength, patient.slow), loads=found, margin=margin, chance=chance)
    lines = _lines(ground, own)
    tension = tension_of(held, construct.in_bone)
    rows = dict.fromkeys((*virtual.rows, *held.sampler.used, *strength.rows, *ground.healing.curve.rows))
    rows |= dict.fromkeys([*(factor.row for factor in patient.factors), *(stage.published for stage in STAGES)])
    rows |= dict.fromkeys(["own-protect-margin", "own-protect-chance", "own-protect-native-strength"])
    return r.Protection(
        version=__version__,
        invented=case.invented,
        seed=seed,
        draws=draws,
        side=case.side,
        pseudonym=case.pseudonym,
        choice=choice_of(sewn),
        hold=wish.hold,
        pace=wish.pace,
        margin=margin,
        most_chance=chance,
        operated_on=wish.operated_on,
        cast_deg=round(deg(held.cast), 6),
        stretch_limit_deg=round(deg(held.stretch), 6),
        sewn=_sewn(strength),
        tension=tension,
        carried=tuple(_carried(each) for each in found.values()),
        weeks=tuple(r.Week(w, ground.healing.p05(w), ground.healing.p50(w)) for w in SHOWN_WEEKS),
        factors=tuple(r.StageFactor(f.what, f.by, f.reason, f.row) for f in patient.factors),
        lines=lines,
        signs=signs(case, construct, wish.hold),
        green=all(line.green for line in lines),
        sentences=_sentences(lines, ground, strength),
        warnings=(*cautions(case), *(caution(text) for text in virtual.warnings), *_mismatch(held, strength)),
        assumptions=assumptions_of(tuple(rows)),
        sources=sources_of(tuple(rows)),
        rows=tuple(rows),
    )


def _within(field: str, given: float | None, ends: tuple[float, float], row: str) -> float:
    if given is None:
        return load().fit_value(row)
    if not ends[0] <= given <= ends[1]:
        raise InputError(field, f"{given:g}", f"{ends[0]:g} to {ends[1]:g}", "choose a value inside")
    return given


def _rad(value: float | None) -> float | None:
    return None if value is None else rad(value)


def _sewn(strength: ConstructStrength) -> r.SewnJunction:
    construct = strength.construct
    told = "; ".join(filter(None, [strength.told, construct.note]))
    return r.SewnJunction(
        construct.name,
        construct.title,
        strength.tests,
        told,
        strength.middle,
        strength.p05,
        strength.n,
        strength.source,
    )


def _carried(each: Load) -> r.Carried:
    good = np.isfinite(each.tension)
    spread = spread_of(each.tension[good])
    return r.Carried(each.activity, each.title, each.setup, spread, float(np.mean(~good)))


def _mismatch(held: Held, strength: ConstructStrength) -> tuple[Caution, ...]:
    """A construct in bone for an operation that sews to tendon, or the other way round."""
    moved = held.sewn.moved
    assert moved is not None
    bony = {part.recipient.bone for part in moved.parts}
    if strength.construct.in_bone in bony:
        return ()
    wants = "bone" if True in bony else "tendon"
    text = f"This operation ends in {wants}, but {strength.construct.title} was named: check choice and construct."
    return (caution(text),)


def _lines(ground: _Ground, own: Mapping[str, float]) -> tuple[r.StageLine, ...]:
    done: dict[str, r.StageLine] = {}
    for stage in STAGES:
        done[stage.key] = _line(ground, stage, scheduled_week(stage, ground.wish.pace, own), done)
    return tuple(done[key] for key in KEYS)


def _line(ground: _Ground, stage: ProtectionStage, scheduled: float, before: Mapping[str, r.StageLine]) -> r.StageLine:
    """One stage: the hardest of its activities decides."""
    needed = ground.margin * (ground.patient.margin if stage.loaded else 1.0)
    tried = []
    for activity in stage.activities:
        tension = ground.loads[activity].tension
        kept = kept_at(ground.healing, tension, scheduled, needed, ground.chance)
        tried.append((margin_week(ground.healing, tension, needed, ground.chance), kept, ground.loads[activity]))
    week, kept, hardest = max(tried, key=lambda one: (one[0] is None, one[0] or 0.0, one[1].chance))
    low, high = published_weeks(stage)
    green = week is not None and week <= scheduled
    printed, longer = _longer(stage, scheduled, week, before)
    loaded = spread_of(hardest.tension[np.isfinite(hardest.tension)])
    on = ground.wish.operated_on
    return r.StageLine(
        key=stage.key,
        title=HOLD_TITLES[ground.wish.hold] if stage.key == "hold" else stage.title,
        what=stage.what,
        published_low_week=low,
        published_high_week=high,
        published_source=f"{stage.published}: {load().source(load().row(stage.published).source).citation}",
        scheduled_week=scheduled,
        margin_week=week,
        week=printed,
        longer=longer,
        on=on + timedelta(days=ceil(7.0 * printed)) if on and printed is not None else None,
        green=green,
        activity=hardest.title,
        load_p50_N=loaded.p50,
        load_p95_N=loaded.p95,
        strength_p05_N=kept.p05_N,
        ratio=kept.ratio if isfinite(kept.ratio) else 999.0,
        needed=needed,
        chance=kept.chance,
        reason="" if green else _reason(stage, scheduled, week, kept, loaded.p50),
        released_by=stage.released_by,
        look_first=stage.look_first,
    )


def _longer(
    stage: ProtectionStage, scheduled: float, week: float | None, before: Mapping[str, r.StageLine]
) -> tuple[float | None, str]:
    """The week to print and what it waits for."""
    earlier = [before[key] for key in stage.after]
    stuck = [line for line in earlier if line.week is None]
    if week is None:
        return None, "healing: not within the curve"
    if stuck:
        return None, f"the stage before: {stuck[0].title}"
    waits = max(earlier, key=lambda line: line.week or 0.0, default=None)
    latest = max(scheduled, week)
    if waits is not None and (waits.week or 0.0) > latest:
        return waits.week, f"the stage before: {waits.title}"
    return latest, "healing" if week > scheduled else "schedule"


def _reason(stage: ProtectionStage, scheduled: float, week: float | None, kept: ActivityMargin, middle: float) -> str:
    """Why a stage is refused a green line, with the numbers."""
    told = (
        f"at week {scheduled:g} the weakest twentieth of such junctions holds {kept.p05_N:.0f} N or less against a "
        f"middle load of {middle:.0f} N: {kept.ratio:.1f} times, {kept.needed:.1f} wanted; "
        f"{100.0 * kept.chance:.1f} of 100 would give way, {100.0 * kept.most_chance:.0f} allowed"
    )
    if kept.green:
        told += ", but it gets weaker after that"
    later = (
        f"kept from week {week:g} on" if week is not None else f"not kept by week {LAST_WEEK:g}, where the curve ends"
    )
    return f"{told}; {later}"


def _sentences(lines: tuple[r.StageLine, ...], ground: _Ground, strength: ConstructStrength) -> tuple[str, ...]:
    refused = [line for line in lines if not line.green]
    out = []
    if refused:
        names = ", ".join(line.title[0].lower() + line.title[1:] for line in refused)
        out.append(f"The margin is not kept for: {names}.")
    else:
        out.append("Every stage keeps the chosen margin at its scheduled week.")
    if strength.tests == "usual":
        out.append("The usual tests are the kinder ones; see what the pessimistic set says before deciding.")
    if ground.patient.factors:
        out.append("Tightened for this patient: " + "; ".join(f.reason for f in ground.patient.factors) + ".")
    out.append("A stage is released by a clinician who has looked, never by its date.")
    return tuple(out)
