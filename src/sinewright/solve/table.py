"""What each leg shows at a few set stretches, so that an answer on the table is a look-up instead of a search.

One row of a leg for each set stretch of a list of plans that differ in nothing else. Legs are taken without
error of stretch, settling, scar and drive, because those are asked for when the table is looked up. The pull of the
donor is a share of what it gives today in its new path (``gain``, 0 to 1); between rows and gains the look-up is cubic.
"""

from typing import NamedTuple

import numpy as np

from sinewright.anatomy.path import POSE_SIZE, length_and_moment_arms, set_pose
from sinewright.arrays import Bools, Floats, Indices, Ints, checked
from sinewright.compiled import compiled
from sinewright.muscle.equilibrium import muscle_of
from sinewright.solve.actuators import Operated, muscle_tension, path_of, set_actuators
from sinewright.solve.answer import BENT, DROPPED, STRAIGHT
from sinewright.solve.balance import HANGING, LYING, Limb, balance
from sinewright.solve.chunks import Progress, in_chunks
from sinewright.solve.leg import LEARNED, LEG_SHAPES, SCAR, SETTLING_BONE, SETTLING_WEAVE, Body, Legs, body_of
from sinewright.solve.questions import LIFT, PUSH, REST, STIMULATED, ask, junction_tension
from sinewright.solve.sewing import Space, new_space, sew
from sinewright.transfer.plans import NATIVE, PLAN_SHAPES, Operations
from sinewright.units import rad

KNEES = rad(np.array([0.0, 45.0, 90.0]))
# of a stimulator: evenly spaced in their square root, since lift rises steeply first
ACTIVATIONS = np.linspace(0.0, 1.0, 5) ** 2
GAINS = np.linspace(0.4, 1.0, 5)  # of scar and learning together: their rows end at 0.45 and 0.95
KNEE, ACTIVATION_COUNT, GAIN = 3, 5, 5
# columns of one row: rest lying by knee, rest hanging, angle under stimulation by knee and activation, final lift by
# gain, tension of the junction in that lift by gain, push-down
AT_HANGING = KNEE
AT_STIMULATED = AT_HANGING + 1
AT_LIFT = AT_STIMULATED + KNEE * ACTIVATION_COUNT
AT_JUNCTION = AT_LIFT + GAIN
AT_PUSH = AT_JUNCTION + GAIN
COLUMNS = AT_PUSH + 1
SOUGHT = AT_LIFT + GAIN + 1  # balances of one row


class Table(NamedTuple):
    """Angles [rad] and junction tensions [N] of N legs at S set stretches ``first + step * (0 .. S-1)`` [m].

    rest (N, S, 3): lying, by ``KNEES``; hanging (N, S): with the knee at a right angle; stimulated (N, S, 3, 5): lying,
    by ``KNEES`` and ``ACTIVATIONS``; lift and pull (N, S, 5): final lift, knee straight, by ``GAINS``, and what the
    junction carries in it; push (N, S): push-down; good (N,): all balances found.
    """

    rest: Floats
    hanging: Floats
    stimulated: Floats
    lift: Floats
    pull: Floats
    push: Floats
    first: float
    step: float
    good: Bools


def without_error(legs: Legs) -> Legs:
    """The legs without error of stretch, settling, scar and drive."""
    losses, execution = legs.losses.copy(), legs.execution.copy()
    losses[:, [SCAR, LEARNED]], losses[:, [SETTLING_WEAVE, SETTLING_BONE]] = 1.0, 0.0
    execution[:, 0] = 0.0
    return legs._replace(losses=losses, execution=execution)


class TableGrid(NamedTuple):
    """Where a row is laid out: knee angles [rad] and activations under stimulation, gains of the final lift."""

    knees: Floats
    activations: Floats
    gains: Floats


@compiled
def _asked(query: int, grid: TableGrid) -> tuple[int, float, Limb]:
    """Question, gain of the donor and posture of the limb of one balance of a row."""
    if query < AT_HANGING:
        return REST, 0.0, Limb(grid.knees[query], LYING)
    if query == AT_HANGING:
        return REST, 0.0, Limb(BENT, HANGING)
    if query < AT_LIFT:
        at = query - AT_STIMULATED
        gain, knee = grid.activations[at % ACTIVATION_COUNT], grid.knees[at // ACTIVATION_COUNT]
        return STIMULATED, gain, Limb(knee, LYING)
    if query < AT_JUNCTION:
        return LIFT, grid.gains[query - AT_LIFT], Limb(STRAIGHT, LYING)
    return PUSH, 0.0, Limb(STRAIGHT, LYING)


@compiled
def _row(operated: Operated, grid: TableGrid, body: Body, space: Space, before: Floats, out: Floats) -> int:
    """Fill one row (30); ``before`` (25, 2) holds the balances of the row before and takes those of this one."""
    moved = set_actuators(operated, space.actuators)
    actuators, failed = space.actuators[: NATIVE + moved], 0
    sew(operated, moved, body, space)
    capacity = operated.legs.capacity[operated.leg]
    for query in range(SOUGHT):
        question, gain, limb = _asked(query, grid)
        ask(question, gain, capacity, space.donors, actuators)
        a, s, _, _, bad = balance(before[query, 0], before[query, 1], limb, actuators, body, space.poses)
        failed += bad
        before[query, 0], before[query, 1] = a, s
        out[query if query < AT_JUNCTION else AT_PUSH] = a
        if question == LIFT:
            out[query + GAIN] = junction_tension(a, s, actuators, body, space.fixing_pose)
    return failed


@compiled
def _rows(
    first: int, last: int, legs: Legs, plans: Operations, elastic: bool, grid: TableGrid, space: Space, before: Floats,
    out: Floats, failed: Ints,
) -> None:  # fmt: skip
    for leg in range(first, last):
        body = body_of(leg, legs, plans.elements, elastic)
        for query in range(SOUGHT):
            before[query, 0], before[query, 1] = DROPPED, 0.0
        for plan in range(len(plans.donor)):
            failed[leg] += _row(Operated(leg, plan, legs, plans), grid, body, space, before, out[leg, plan])


def build_table(
    legs: Legs, plans: Operations, first: float, step: float, elastic: bool, progress: Progress | None = None
) -> Table:
    """The table of ``plans``, whose set stretches are ``first``, ``first + step`` and so on [m]; without error."""
    ready, plans = checked(without_error(legs), LEG_SHAPES), checked(plans, PLAN_SHAPES)
    n, rows, grid = len(legs.points), len(plans.donor), TableGrid(KNEES, ACTIVATIONS, GAINS)
    out, failed = np.full((n, rows, COLUMNS), np.nan), np.zeros(n, dtype=np.int32)

    def some(low: int, high: int) -> None:
        _rows(low, high, ready, plans, elastic, grid, new_space(), np.empty((SOUGHT, 2)), out, failed)

    in_chunks(some, n, progress)
    whole = np.ascontiguousarray
    return Table(
        rest=whole(out[:, :, :KNEE]),
        hanging=whole(out[:, :, AT_HANGING]),
        stimulated=whole(out[:, :, AT_STIMULATED:AT_LIFT]).reshape(n, rows, KNEE, ACTIVATION_COUNT),
        lift=whole(out[:, :, AT_LIFT:AT_JUNCTION]),
        pull=whole(out[:, :, AT_JUNCTION:AT_PUSH]),
        push=whole(out[:, :, AT_PUSH]),
        first=first,
        step=step,
        good=(failed == 0) & np.isfinite(out).all(axis=(1, 2)),
    )


@compiled
def cubic(values: Floats, at: float) -> float:
    """Value at a place [nodes] between evenly spaced values (cubic, exact at the nodes); the ends hold outside."""
    last = len(values) - 1
    if last == 0:
        return float(values[0])
    at = min(max(at, 0.0), float(last))
    i = min(int(at), last - 1)
    t, b, c = at - i, values[i], values[i + 1]
    a = values[i - 1] if i > 0 else 2.0 * b - c
    d = values[i + 2] if i + 2 <= last else 2.0 * c - b
    return float(b + 0.5 * t * (c - a + t * (2.0 * a - 5.0 * b + 4.0 * c - d + t * (3.0 * (b - c) + d - a))))


@compiled
def _along(column: Floats, leg: Indices, at: Floats, out: Floats) -> None:
    for p in range(len(leg)):
        out[p] = cubic(column[leg[p]], at[p])


@compiled
def _at_gain(columns: Floats, leg: Indices, place: Floats, out: Floats) -> None:
    for p in range(len(leg)):
        for s in range(columns.shape[1]):
            out[p, s] = cubic(columns[leg[p], s], place[p])


@compiled
def _everywhere(column: Floats, at: Floats, out: Floats) -> None:
    for n in range(len(column)):
        for f in range(len(at)):
            out[n, f] = cubic(column[n], at[f])


def nodes(table: Table, stretch: Floats) -> Floats:
    """Set stretches [m] as places on the table [nodes]."""
    return (stretch - table.first) / table.step


def along(table: Table, column: Floats, leg: Indices, stretch: Floats) -> Floats:
    """One column (N, S), such as ``table.push``, at legs (P,) and set stretches (P,) [m]."""
    out = np.empty(len(leg))
    _along(column, leg, nodes(table, stretch), out)
    return out


def at_gain(columns: Floats, leg: Indices, gain: Floats) -> Floats:
    """Columns (N, S, 5) over ``GAINS``, such as ``table.lift``, at legs and gains (P,): a column (P, S) of its own."""
    out = np.empty((len(leg), columns.shape[1]))
    _at_gain(columns, leg, (gain - GAINS[0]) / (GAINS[1] - GAINS[0]), out)
    return out


def everywhere(table: Table, column: Floats, stretch: Floats) -> Floats:
    """One column (N, S) of every leg at each of the set stretches (F,) [m]: (N, F)."""
    out = np.empty((len(column), len(stretch)))
    _everywhere(np.ascontiguousarray(column), nodes(table, stretch), out)
    return out


def at_knee(columns: Floats, knee: float) -> Floats:
    """Columns (..., 3) at the nodes ``KNEES`` brought to one knee flexion [rad] (parabola through the three)."""
    weight = np.ones(KNEE)
    for i, here in enumerate(KNEES):
        for j, other in enumerate(KNEES):
            if i != j:
                weight[i] *= (knee - other) / (here - other)
    out: Floats = columns @ weight
    return out


@compiled
def _relaxed(legs: Legs, plans: Operations, stretch: Floats, elastic: bool, space: Space, out: Floats) -> None:
    muscle, pose = plans.donor[0, 0], space.poses[0]
    for leg in range(len(out)):
        body = body_of(leg, legs, plans.elements, elastic)
        set_actuators(Operated(leg, 0, legs, plans), space.actuators)
        actuator = space.actuators[muscle]
        set_pose(body.joint, 0.0, 0.0, pose)
        length, _, _ = path_of(actuator, 0.0, body, pose)
        for f in range(len(stretch)):
            out[leg, f], _ = muscle_tension(muscle_of(actuator.muscle), 0.0, length + stretch[f], elastic)


def relaxed_tension(legs: Legs, plans: Operations, stretch: Floats, elastic: bool) -> Floats:
    """Tension [N] of the first donor of the first plan, relaxed, at set stretches (F,) [m]: (N, F)."""
    legs, plans = checked(legs, LEG_SHAPES), checked(plans, PLAN_SHAPES)
    out = np.empty((len(legs.points), len(stretch)))
    _relaxed(legs, plans, np.ascontiguousarray(stretch), elastic, new_space(), out)
    return out


@compiled
def _free(legs: Legs, plans: Operations, pose: Floats, out: Floats) -> None:
    first, last = plans.cut[0, 0, 0], plans.cut[0, 0, 1]
    for leg in range(len(out)):
        joint = legs.joint[leg]
        set_pose(joint, 0.0, 0.0, pose)
        out[leg], _, _ = length_and_moment_arms(
            plans.elements, first, last, legs.points[leg], legs.cylinders[leg], joint, pose
        )


def free_tendon(legs: Legs, plans: Operations) -> Floats:
    """Tendon of the first donor of the first plan from the muscle's end to the cut [m], (N,)."""
    legs, plans = checked(legs, LEG_SHAPES), checked(plans, PLAN_SHAPES)
    out = np.empty(len(legs.points))
    _free(legs, plans, np.empty(POSE_SIZE), out)
    return out
