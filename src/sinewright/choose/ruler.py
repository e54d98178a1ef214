"""The tension ruler: what follows from each millimetre of set stretch and from the posture in which it is sewn.

All points use the same virtual legs, so that the bands move smoothly. The recommended interval holds the stretches that
keep most of the best lifting moment; it is a calculation to think with, the surgeon chooses.
"""

import math
from dataclasses import replace

import numpy as np

from sinewright.choose.present import choice_of, spreads_of
from sinewright.doubt.virtual import Virtual
from sinewright.errors import SolveError
from sinewright.reference import load
from sinewright.results import Exchange, Mark, Ruler
from sinewright.solve.answer import answer
from sinewright.solve.passive_torque import UPPER, UPPER_KNEE
from sinewright.transfer.plans import SewnOperation, build_plans
from sinewright.units import deg, m, mm, rad
from sinewright.wording.directions import BENT, MARK, UP_DOWN, angle_words, change_words
from sinewright.wording.figures import RULER_KEPT, kept_words, mark_posture

FIRST_MM, LAST_MM, STEP_MM = -12, 16, 2  # of the ruler; longer where the plan lies near an end
BEYOND_MM = 8.0  # of the ruler's ends, how far an exchange runs on along its last piece
POSTURE_STEP_DEG = 5  # of the other ankle angles, two either side of the plan's
TOO_MUCH_MM = 5.0


def lay_ruler(virtual: Virtual, plan: SewnOperation, elastic: bool) -> Ruler:
    """Work out every mark of the ruler for one operation."""
    here = mm(plan.stretch)
    along = [replace(plan, stretch=m(s)) for s in stretches(here)]
    near = [replace(plan, stretch=m(here + d)) for d in (0.0, -TOO_MUCH_MM, TOO_MUCH_MM)]
    other = [replace(plan, ankle=rad(angle)) for angle in other_angles(deg(plan.ankle))]
    marks = _marks(virtual, along + near + other, elastic)
    line, (chosen, loose, tight) = marks[: len(along)], marks[len(along) : len(along) + 3]
    low, high = _interval(line)
    postures = tuple(marks[len(along) + 3 :])
    exchange = tuple(_exchange(line, here, mark, virtual, plan.knee) for mark in postures)
    words = (*_sentences(plan, chosen, loose, tight, _kept(line, low, high)), _exchanged(exchange))
    return Ruler(
        choice_of(plan),
        tuple(line),
        postures,
        exchange=exchange,
        chosen=chosen,
        loose=loose,
        tight=tight,
        low_mm=low,
        high_mm=high,
        sentences=words,
    )


def other_angles(ankle_deg: float) -> tuple[float, ...]:
    """Ankle angles [deg] of other postures: multiples of five, two either side of the nearest to the plan's."""
    middle = POSTURE_STEP_DEG * round(ankle_deg / POSTURE_STEP_DEG)
    return tuple(float(middle + POSTURE_STEP_DEG * i) for i in (-2, -1, 0, 1, 2))


def _exchange(line: list[Mark], here_mm: float, mark: Mark, virtual: Virtual, knee: float) -> Exchange:
    """What does the same in the posture of ``mark``: the foot hangs as it does at some place along the line, so many
    millimetres from the plan."""
    rest = [each.quantities["rest_deg"].p50 for each in line]
    found = mark.quantities["rest_deg"].p50
    passive = virtual.legs.passive
    share = virtual.sample.chance(deg(passive[:, UPPER] + passive[:, UPPER_KNEE] * knee) >= mark.ankle_deg).share
    at = [each.set_stretch_mm for each in line]
    i = min(max(int(np.searchsorted(rest, found)), 1), len(line) - 1)  # beyond the ends along the last piece
    there = at[i] - (rest[i] - found) * (at[i] - at[i - 1]) / (rest[i] - rest[i - 1])
    if not at[0] - BEYOND_MM <= there <= at[-1] + BEYOND_MM:
        return Exchange(mark.ankle_deg, None, share)
    return Exchange(mark.ankle_deg, round(2.0 * here_mm - there, 1), share)


def _exchanged(exchange: tuple[Exchange, ...]) -> str:
    told = []
    for one in exchange:
        if one.set_stretch_mm is None:
            continue
        legs = round(100 * one.goes_there)
        told.append(
            f"ankle {angle_words(one.ankle_deg)}{f' ({legs} of 100 legs let it up there)' if legs < 100 else ''}, "
            f"{MARK.one(one.set_stretch_mm)}"
        )
    return f"As tight as this in the middle leg, with the foot held otherwise while sewing: {'; '.join(told)}."


def stretches(here_mm: float) -> tuple[float, ...]:
    """The marks [mm]: the usual ones, and more where fewer than three would lie beyond the plan's own stretch."""
    more = 3 * STEP_MM
    first = min(FIRST_MM, STEP_MM * math.floor((here_mm - more) / STEP_MM))
    last = max(LAST_MM, STEP_MM * math.ceil((here_mm + more) / STEP_MM))
    return tuple(float(s) for s in range(first, last + 1, STEP_MM))


def _marks(virtual: Virtual, plans: list[SewnOperation], elastic: bool) -> list[Mark]:
    answers, failed = answer(virtual.legs, build_plans(plans), elastic)
    out = []
    for i, plan in enumerate(plans):
        good = failed[:, i] == 0
        if not good.any():
            raise SolveError(f"No virtual leg found a balance when sewn at {mm(plan.stretch):.0f} mm of set stretch.")
        spreads = spreads_of(virtual.sample, answers[:, i], virtual.legs.normal_lift, good)
        stretch, ankle = round(mm(plan.stretch), 6), round(deg(plan.ankle), 6)
        out.append(Mark(stretch, ankle, spreads, float(np.mean(~good))))
    return out


def _interval(line: list[Mark]) -> tuple[float, float]:
    """Lowest and highest stretch that keep enough of the best middle moment, without a gap around the best."""
    moment = np.array([mark.quantities["moment_neutral_Nm"].p50 for mark in line])
    best = int(np.argmax(moment))
    enough = moment >= load().fit_value(RULER_KEPT) * moment[best]
    low = high = best
    while low > 0 and enough[low - 1]:
        low -= 1
    while high + 1 < len(line) and enough[high + 1]:
        high += 1
    return line[low].set_stretch_mm, line[high].set_stretch_mm


def _kept(line: list[Mark], low: float, high: float) -> str:
    """The recommended interval in words; one that runs to an end of the ruler may run further."""
    start = f"{MARK.one(low)}{' or slacker' if low == line[0].set_stretch_mm else ''}"
    return f"{start} to {MARK.one(high)}{' or tighter' if high == line[-1].set_stretch_mm else ''}"


def _sentences(plan: SewnOperation, chosen: Mark, loose: Mark, tight: Mark, kept: str) -> tuple[str, ...]:
    """A plain instruction and what a few millimetres slacker or tighter would do."""
    assert plan.moved is not None
    cut = "; ".join(f"{part.donor.title} divided {part.donor.cut_at}" for part in plan.moved.parts)
    rest = chosen.quantities["rest_on_table_deg"]
    return (
        f"Before dividing, {mark_posture()}: mark the muscle-tendon junction and a fixed point beside it. {cut}.",
        f"Hold the foot at {angle_words(deg(plan.ankle))} with the knee {BENT.one(deg(plan.knee))} and pull until the "
        f"mark lies {MARK.one(mm(plan.stretch))}. {kept_words().capitalize()} or more stays from {kept}.",
        f"Let go: with the knee as it is the foot should rest at {angle_words(rest.p50)}; in nine of ten legs "
        f"like this one from {UP_DOWN.ends(rest)}.",
        f"{TOO_MUCH_MM:g} mm slacker: {_change(chosen, loose)}.",
        f"{TOO_MUCH_MM:g} mm tighter: {_change(chosen, tight)}.",
    )


def _change(chosen: Mark, other: Mark) -> str:
    def shift(name: str) -> float:
        return other.quantities[name].p50 - chosen.quantities[name].p50

    lift, rest, push = shift("lift_deg"), shift("rest_deg"), shift("pushdown_deg")
    moment = other.quantities["moment_neutral_Nm"].p50 / max(chosen.quantities["moment_neutral_Nm"].p50, 1e-6) - 1.0
    pull = other.quantities["junction_pull_N"].p50 / max(chosen.quantities["junction_pull_N"].p50, 1e-6) - 1.0
    return ", ".join(
        (
            f"the lift {change_words(lift, ('rises', 'falls'), '°')}",
            f"the hanging foot {change_words(rest, ('rises', 'sinks'), '°')}",
            f"push-down {change_words(-push, ('grows', 'shrinks'), '°')}",
            f"the lifting moment {change_words(100 * moment, ('rises', 'falls'), ' %')}",
            f"the pull on the junction {change_words(100 * pull, ('rises', 'falls'), ' %')}",
        )
    )
