"""From weighed legs to what the surgeon expects: spreads, what a millimetre does, where it does not matter."""

import numpy as np

from sinewright.arrays import Bools, Floats
from sinewright.doubt.sample import quantile, spread_of
from sinewright.learn.beliefs import Weighed
from sinewright.learn.prepare import Prepared, number
from sinewright.learn.readings import columns_of, tension_at
from sinewright.reference import load
from sinewright.results import Advice, ExpectedAngles, FixingTension, Shift, Spread
from sinewright.solve import table as t
from sinewright.units import deg, m, mm

SHIFTS_MM = np.arange(-12.0, 13.0, 2.0)
RELAXATION_STREAM = 3


def expected(prepared: Prepared, weighed: Weighed) -> ExpectedAngles:
    """Spreads over the weighed legs as they are set."""
    leg, stretch, weight = weighed.leg, weighed.stretch, weighed.weight
    settled, own = stretch - weighed.settling, np.arange(len(leg))
    table = prepared.table

    def spread(values: Floats) -> Spread:
        return spread_of(*solved(values, weight))

    return ExpectedAngles(
        set_stretch_mm=spread(mm(stretch)),
        rest_on_table_deg=spread(rest_on_table(prepared, weighed, 0.0)),
        lift_deg=spread(lift_later(prepared, weighed, 0.0)),
        rest_later_deg=spread(deg(t.along(table, table.hanging, leg, settled))),
        pushdown_deg=spread(push_later(prepared, weighed, 0.0)),
        junction_pull_N=spread(t.along(table, t.at_gain(table.pull, leg, weighed.gain), own, settled)),
        tension=_tension(prepared, weighed),
    )


def solved(values: Floats, weight: Floats) -> tuple[Floats, Floats]:
    """Values and weights of the legs that found a balance; a question that fails in a leg says nothing of it."""
    good = np.isfinite(values)
    return values[good], weight[good]


def _tension(prepared: Prepared, weighed: Weighed) -> FixingTension:
    row = load().row("own-protect-early-relaxation")
    low, high = row.spread_ends
    stream = np.random.default_rng([prepared.seed, RELAXATION_STREAM])
    lost = stream.triangular(low, row.value, high, len(weighed.leg))
    stays = tension_at(prepared, weighed.leg, weighed.stretch)
    later = tension_at(prepared, weighed.leg, weighed.stretch - weighed.settling)
    at_once, after, settled, creep = (
        spread_of(values, weighed.weight) for values in (stays / (1.0 - lost), stays, later, mm(weighed.settling))
    )
    return FixingTension(at_once, after, settled, creep)


def rest_on_table(prepared: Prepared, weighed: Weighed, by_mm: float) -> Floats:
    """Resting angle (P,) [deg] before closing, leg lying, knee as in the plan, set tighter by so much."""
    (column,) = columns_of(prepared, "rest", prepared.sewn.knee)
    return deg(t.along(prepared.table, column, weighed.leg, weighed.stretch + m(by_mm)))


def lift_later(prepared: Prepared, weighed: Weighed, by_mm: float, column: Floats | None = None) -> Floats:
    """Lift (P,) [deg] with the junction settled; ``column``: that of ``lift_column``, for a caller that keeps it."""
    settled = weighed.stretch + m(by_mm) - weighed.settling
    column = lift_column(prepared, weighed) if column is None else column
    return deg(t.along(prepared.table, column, np.arange(len(settled)), settled))


def lift_column(prepared: Prepared, weighed: Weighed) -> Floats:
    """Lift (P, S) [rad] of each leg, with what scar and learning leave of its pull, at the tabled set stretches."""
    return t.at_gain(prepared.table.lift, weighed.leg, weighed.gain)


def push_later(prepared: Prepared, weighed: Weighed, by_mm: float) -> Floats:
    """Push-down (P,) [deg, up positive] with the junction settled."""
    settled = weighed.stretch + m(by_mm) - weighed.settling
    return deg(t.along(prepared.table, prepared.table.push, weighed.leg, settled))


def shifts(prepared: Prepared, weighed: Weighed) -> tuple[Shift, ...]:
    """What each change of the setting would do to the middle leg."""
    out, column = [], lift_column(prepared, weighed)
    for by in (float(each) for each in SHIFTS_MM):
        rest, push = rest_on_table(prepared, weighed, by), push_later(prepared, weighed, by)
        lift = lift_later(prepared, weighed, by, column)
        out.append(Shift(by, *(_middle(values, weighed.weight) for values in (rest, lift, push))))
    return tuple(out)


def _middle(values: Floats, weight: Floats) -> float:
    found, weights = solved(values, weight)
    return float(quantile(found, 0.5, weights))


def advise(plan: ExpectedAngles, line: tuple[Shift, ...]) -> Advice:
    """Changes that bring the middle leg back to the plan's rest and lift, and the interval that makes no difference.

    It makes no difference where lift is at most ``own-protect-lift-that-matters`` below the plan's (or below the best
    that any change reaches, if that is less), push-down at most ``own-protect-push-that-matters`` above the plan's, and
    the foot rests within ``own-protect-rest-that-matters`` of the plan.
    """
    by = np.array([shift.by_mm for shift in line])
    fine = np.arange(by[0], by[-1] + 0.5)
    rest, lift, push = (
        np.interp(fine, by, [getattr(shift, name) for shift in line])
        for name in ("rest_on_table_deg", "lift_deg", "pushdown_deg")
    )
    wanted = min(plan.lift_deg.p50, float(lift.max())) - number("own-protect-lift-that-matters")
    costs = plan.pushdown_deg.p50 + number("own-protect-push-that-matters")
    near = np.abs(rest - plan.rest_on_table_deg.p50) <= number("own-protect-rest-that-matters")
    low, high = _run(fine, (lift >= wanted) & (push <= costs) & near)
    return Advice(
        _nearest(fine, rest - plan.rest_on_table_deg.p50),
        _nearest(fine, lift - plan.lift_deg.p50),
        low,
        high,
    )


def _nearest(by: Floats, gap: Floats) -> float | None:
    """The change nearest to none at which ``gap`` is zero (straight lines between), or None."""
    turns = np.flatnonzero(gap[:-1] * gap[1:] <= 0.0)
    found = []
    for i in turns:
        span = gap[i] - gap[i + 1]
        found.append(float(by[i] + (by[i + 1] - by[i]) * (gap[i] / span if span else 0.0)))
    return min(found, key=abs) + 0.0 if found else None


def _run(by: Floats, holds: Bools) -> tuple[float | None, float | None]:
    """Ends of the unbroken run of ``holds`` that lies nearest to no change."""
    if not holds.any():
        return None, None
    places = np.flatnonzero(holds)
    low = high = int(places[np.argmin(np.abs(by[places]))])
    while low > 0 and holds[low - 1]:
        low -= 1
    while high + 1 < len(by) and holds[high + 1]:
        high += 1
    return float(by[low]), float(by[high])
