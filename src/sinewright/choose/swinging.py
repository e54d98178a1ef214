"""The swing of the foot in words and spreads: for every choice of a weighing, and one choice beside other feet.

Feet shown beside a choice: as it is today, held by a brace, and as it was before the injury.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from sinewright.arrays import Bools, Floats, Indices, Ints
from sinewright.case import Case
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.sample import Sample
from sinewright.doubt.virtual import Virtual
from sinewright.doubt.walk import FREE, NOTHING_MOVED, Drawn, draw_walk, healthy_legs
from sinewright.errors import SolveError
from sinewright.reference import load
from sinewright.results import OperationSummary, Outcome, Spread, SwingFoot, SwingPage
from sinewright.solve import answer as a
from sinewright.solve import swing as sw
from sinewright.solve.chunks import Progress
from sinewright.solve.leg import Legs
from sinewright.solve.passive_torque import SUBTALAR_NEUTRAL
from sinewright.solve.swing_held import clearance_rates, held
from sinewright.solve.walk import LEARNED, Walk
from sinewright.transfer.plans import SewnOperation, build_plans
from sinewright.units import deg, m, mm
from sinewright.version import __version__

JOINTS = ("ankle", "knee", "hip")


def usual_margin_mm() -> float:
    """Clearance asked for when none is given (row own-swing-margin)."""
    return load().fit_value("own-swing-margin")


@dataclass(frozen=True)
class Swings:
    """Swing of every operation of a weighing: answers (N, C, 11), what failed (N, C), the walk and the margin [m]."""

    sample: Sample
    answers: Floats
    failed: Ints
    drawn: Drawn
    margin: float

    @property
    def clears(self) -> Bools:
        """Whether the sole passes the floor with the margin, (N, C); False where nothing was solved."""
        out: Bools = self.answers[:, :, sw.CLEARANCE] >= self.margin
        return out

    def add_to(self, outcome: Outcome, place: int) -> Outcome:
        """The outcome of the operation at ``place`` with its swing; unchanged when it was not solved in any leg."""
        good = self.failed[:, place] == 0
        if not good.any():
            return outcome
        found, sample = self.answers[:, place], self.sample
        columns = {"swing_ankle_deg": sw.MID, "heel_strike_deg": sw.STRIKE, "steppage_hip_deg": sw.EXTRA_HIP}
        more = {name: sample.spread(deg(found[:, column]), good) for name, column in columns.items()}
        chances = {
            "clears_swing": sample.chance(found[:, sw.CLEARANCE] >= self.margin, good),
            "lowers_foot": sample.chance(found[:, sw.AVAILABLE] >= found[:, sw.DEMAND], good),
        }
        return replace(outcome, quantities={**outcome.quantities, **more}, chances={**outcome.chances, **chances})

    def few(self, legs: slice, places: list[int]) -> Swings:
        """The swing of some operations in some of the legs."""
        return replace(
            self,
            sample=self.sample.take(legs),
            answers=self.answers[legs, places],
            failed=self.failed[legs, places],
        )


def swings_of(
    case: Case, virtual: Virtual, plans: list[SewnOperation], answers: Floats, failed: Ints, seed: int,
    progress: Progress | None = None,
) -> Swings:  # fmt: skip
    """Swing of operations whose statics (N, C, 12) are known; a leg without balance has no swing either."""
    return swing_along(draw_walk(case, virtual.legs, seed), virtual, plans, answers, failed, progress=progress)


def swing_along(
    drawn: Drawn, virtual: Virtual, plans: list[SewnOperation], answers: Floats, failed: Ints,
    places: Indices | None = None, progress: Progress | None = None,
) -> Swings:  # fmt: skip
    """As ``swings_of`` with a way of walking that is drawn already; ``places`` (N,): which of its rows, all of them
    when left out."""
    walk, margin = drawn.walk, m(usual_margin_mm())
    if places is not None:
        walk = Walk._make(part[places] for part in walk)
    out, bad = sw.swing(
        virtual.legs,
        build_plans(plans),
        walk,
        answers[:, :, a.PUSH],
        answers[:, :, a.REST_SUBTALAR],
        margin=margin,
        progress=progress,
    )
    return Swings(virtual.sample, out, np.where(failed > 0, 1, bad).astype(np.int32), drawn, margin)


def swing_page(
    case: Case,
    virtual: Virtual,
    sewn: SewnOperation,
    choice: OperationSummary,
    seed: int,
    speed: float | None,
    margin_mm: float,
) -> SwingPage:
    """One operation as it is sewn beside other feet. Raises InputError for an impossible speed."""
    legs, margin = virtual.legs, m(margin_mm)
    drawn = draw_walk(case, legs, seed, speed)
    walk, nothing = drawn.walk, build_plans([NOTHING_MOVED])
    sampler = PriorSampler(len(legs.points), seed)

    def run(who: Legs, operation: SewnOperation, activation: float | None = None) -> tuple[Floats, Ints]:
        plans = build_plans([operation])
        found, failed = a.answer(who, plans)
        timing = walk.timing.copy()
        if activation is not None:
            timing[:, LEARNED] = activation
        subtalar = found[:, :, a.REST_SUBTALAR]
        out, bad = sw.swing(who, plans, walk._replace(timing=timing), found[:, :, a.PUSH], subtalar, margin=margin)
        return out[:, 0], np.where(failed > 0, 1, bad)[:, 0]

    before = healthy_legs(legs, sampler)
    free, subtalar = np.full((len(legs.points), 1), FREE), legs.passive[:, [SUBTALAR_NEUTRAL]]
    sound, sound_bad = sw.swing(before, nothing, walk, free, subtalar, margin=margin)
    brace = held(legs, walk, ankle=walk.brace, subtalar=np.zeros(len(walk.brace)), margin=margin)
    walked = _Walked(virtual.sample, drawn, margin)
    feet = (
        _foot("today", "As it is today", run(virtual.now, NOTHING_MOVED), walked),
        _foot("brace", "With a stiff brace", brace, walked),
        _foot("learned", "This choice, effort as learned", run(legs, sewn), walked),
        _foot("untrained", "This choice, untrained: it only tethers", run(legs, sewn, 0.0), walked),
        _foot("trained", "This choice, full effort in every step", run(legs, sewn, 1.0), walked),
        _foot("healthy", "Before the injury", (sound[:, 0], sound_bad[:, 0]), walked),
    )
    gain = mm(clearance_rates(legs, walk, walk.brace)) * float(np.radians(1.0))
    per_degree = {joint: virtual.sample.spread(gain[:, i]) for i, joint in enumerate(JOINTS)}
    rows = tuple(dict.fromkeys((*drawn.rows, LENGTHENED_ROW)))
    return SwingPage(
        version=__version__,
        invented=case.invented,
        side=case.side,
        pseudonym=case.pseudonym,
        seed=seed,
        draws=len(legs.points),
        choice=choice,
        speed_m_s=drawn.speed,
        margin_mm=margin_mm,
        feet=feet,
        per_degree_mm=per_degree,
        notes=(*NOTES, _held_still()),
        rows=rows,
    )


NOTES = (
    "Hip and knee follow published curves of healthy adults; a patient's own ways over the floor are not in them. What "
    "they would have to add is the steppage.",
    "Effort is learned, not corrected on the way: as much as would hold the foot square in mid-swing, never more than "
    "there is.",
    "Tendons give and fibres lose force with speed, whichever tendon the plan asks for.",
    "Slap is another question than clearance: swing needs 1 to 3 Nm, letting the foot down needs about 20.",
)

LENGTHENED_ROW = "curve-thelen2003-force-velocity-flen"


def _held_still() -> str:
    more = 100.0 * (load().fit_value(LENGTHENED_ROW) - 1.0)
    return (
        "What the lifters give at heel strike is counted held still; a muscle that is being lengthened holds up to "
        f"{more:.0f} % more."
    )


@dataclass(frozen=True)
class _Walked:
    """What the feet of one page share: the legs, how they walk, the clearance asked for [m]."""

    sample: Sample
    drawn: Drawn
    margin: float


def _foot(name: str, title: str, swing: tuple[Floats, Ints], walked: _Walked) -> SwingFoot:
    """Spreads over the legs that were solved. Raises SolveError when none was."""
    out, failed = swing
    good = failed == 0
    if not good.any():
        raise SolveError(f"{title}: the swing was not solved in any virtual leg.")
    sample, knee = walked.sample, walked.drawn.walk.knee_per_hip
    moments = np.isfinite(out[good, sw.AVAILABLE]).all()

    def spread(values: Floats) -> Spread:
        return sample.spread(values, good)

    return SwingFoot(
        name=name,
        title=title,
        swing_ankle_deg=spread(deg(out[:, sw.MID])),
        swing_hindfoot_deg=spread(deg(out[:, sw.MID_SUBTALAR])),
        heel_strike_deg=spread(deg(out[:, sw.STRIKE])),
        heel_strike_hindfoot_deg=spread(deg(out[:, sw.STRIKE_SUBTALAR])),
        clearance_mm=spread(mm(out[:, sw.CLEARANCE])),
        steppage_hip_deg=spread(deg(out[:, sw.EXTRA_HIP])),
        steppage_knee_deg=spread(deg(out[:, sw.EXTRA_HIP] * knee)),
        available_Nm=spread(out[:, sw.AVAILABLE]) if moments else None,
        demand_Nm=spread(out[:, sw.DEMAND]) if moments else None,
        clears_swing=sample.chance(out[:, sw.CLEARANCE] >= walked.margin, good),
        lowers_foot=sample.chance(out[:, sw.AVAILABLE] >= out[:, sw.DEMAND], good) if moments else None,
        failed_share=float(np.mean(~good)),
    )
