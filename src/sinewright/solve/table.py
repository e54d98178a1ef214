"""What each leg shows at a few set stretches, so that an answer on the table is a look-up instead of a search.

One row of a leg for each set stretch of a list of plans that differ in nothing else. Legs are taken without
error of stretch, settling, scar and drive, because those are asked for when the table is looked up. The pull of the
donor is a share of what it gives today in its new path (``gain``, 0 to 1); between rows and gains the look-up is cubic.
"""

from typing import NamedTuple

import numpy as np

from sinewright.anatomy.path import POSE_SIZE, length_and_moment_arms, set_pose
from sinewright.arrays import Bools, Floats, Indices, Ints
from sinewright.compiled import compiled, compiled_making_arrays
from sinewright.solve.answer import BENT, DROPPED, STRAIGHT, lay_pulls, sew
from sinewright.solve.balance import balance
from sinewright.solve.chunks import Progress, in_chunks
from sinewright.solve.field import PULL_SIZE, PULL_WORDS, one_tension, path_of
from sinewright.solve.leg import LEARNED, SCAR, SETTLING_BONE, SETTLING_WEAVE, Body, Legs
from sinewright.solve.questions import DONORS, NATIVE, ask, donor_pull
from sinewright.transfer.plans import Operations
from sinewright.units import rad

KNEES = rad(np.array([0.0, 45.0, 90.0]))
ACTIVATIONS = (
    np.linspace(0.0, 1.0, 5) ** 2
)  # of a stimulator: evenly spaced in their square root, lift rises steeply first
GAINS = np.linspace(0.4, 1.0, 5)  # of scar and learning together: their rows end at 0.45 and 0.95
KNEE, ACTIVATION_COUNT, GAIN = 3, 5, 5
# columns of one row: rest lying by knee, rest hanging, angle under stimulation by knee and drive, final lift by gain,
# pull on the junction in that lift by gain, push-down
HANGING = KNEE
STIMULATED = HANGING + 1
LIFTED = STIMULATED + KNEE * ACTIVATION_COUNT
JUNCTION = LIFTED + GAIN
PUSHED = JUNCTION + GAIN
COLUMNS = PUSHED + 1
SOUGHT = LIFTED + GAIN + 1  # balances of one row
REST, LIFT, PUSH = 0, 1, 2  # questions of ``questions.ask``


class Table(NamedTuple):
    """Angles [rad] and pulls [N] of N legs at S set stretches ``first + step * (0 .. S-1)`` [m].

    rest (N, S, 3): lying, by ``KNEES``; hanging (N, S): with the knee at a right angle; stimulated (N, S, 3, 5): lying,
    by ``KNEES`` and ``DRIVES``; lift and pull (N, S, 5): final lift, knee straight, by ``GAINS``, and what the junction
    carries in it; push (N, S): push-down; good (N,): all balances found.
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


@compiled_making_arrays
def _row(
    leg: int, plan: int, legs: Legs, plans: Operations, body: Body, knees: Floats, activations: Floats, gains: Floats,
    before: Floats, out: Floats,
) -> int:  # fmt: skip
    """Fill one row (30); ``before`` (25, 2) holds the balances of the row before and takes those of this one."""
    pulls, words = np.zeros((NATIVE + DONORS, PULL_SIZE)), np.zeros((NATIVE + DONORS, PULL_WORDS), dtype=np.int32)
    poses, spare = np.empty((3, POSE_SIZE)), np.empty(POSE_SIZE)
    moved = lay_pulls(leg, plan, legs, plans, pulls, words)
    pulls, words = pulls[: NATIVE + moved], words[: NATIVE + moved]
    effort, offset, toe, some = np.zeros(DONORS), np.zeros(DONORS), np.zeros(DONORS), np.zeros(DONORS)
    sew(leg, plan, moved, legs, plans, body, pulls, words, poses[0], spare, effort, offset, toe)
    capacity, silent, failed, place = legs.capacity[leg], np.zeros(NATIVE), 0, 0
    lying, hanging = np.array([-1.0, 0.0, 0.0]), np.array([0.0, -1.0, 0.0])
    for query in range(SOUGHT):
        question, knee, down, works, gain = REST, BENT, lying, silent, 0.0
        if query < HANGING:
            knee = knees[query]
        elif query == HANGING:
            down = hanging
        elif query < LIFTED:
            question, knee = LIFT, knees[(query - STIMULATED) // ACTIVATION_COUNT]
            gain = activations[(query - STIMULATED) % ACTIVATION_COUNT]
        elif query < LIFTED + GAIN:
            question, knee, works, gain = LIFT, STRAIGHT, capacity, gains[query - LIFTED]
        else:
            question, knee, works = PUSH, STRAIGHT, capacity
        for p in range(moved):
            some[p] = effort[p] * gain
        ask(question, works, some, offset, toe, pulls, moved)
        a, s, _, _, bad = balance(before[query, 0], before[query, 1], knee, down, pulls, words, body, poses)
        failed += bad
        before[query, 0], before[query, 1] = a, s
        place = query if query < LIFTED + GAIN else PUSHED
        out[place] = a
        if LIFTED <= query < LIFTED + GAIN:
            out[query + GAIN] = donor_pull(a, s, STRAIGHT, pulls, words, body, spare)
    return failed


@compiled_making_arrays
def _rows(
    first: int, last: int, legs: Legs, plans: Operations, elastic: bool, knees: Floats, activations: Floats,
    gains: Floats, out: Floats, failed: Ints,
) -> None:  # fmt: skip
    for leg in range(first, last):
        body = Body(plans.elements, legs.points[leg], legs.cylinders[leg], legs.joint[leg], legs.passive[leg], elastic)
        before = np.zeros((SOUGHT, 2))
        before[:, 0] = DROPPED
        for plan in range(len(plans.donor)):
            failed[leg] += _row(leg, plan, legs, plans, body, knees, activations, gains, before, out[leg, plan])


def build_table(
    legs: Legs, plans: Operations, first: float, step: float, elastic: bool, progress: Progress | None = None
) -> Table:
    """The table of ``plans``, whose set stretches are ``first``, ``first + step`` and so on [m], ``without_error``."""
    n, rows = len(legs.points), len(plans.donor)
    out, failed, ready = np.full((n, rows, COLUMNS), np.nan), np.zeros(n, dtype=np.int32), without_error(legs)
    in_chunks(_rows, n, (ready, plans, elastic, KNEES, ACTIVATIONS, GAINS, out, failed), progress)
    whole = np.ascontiguousarray
    return Table(
        whole(out[:, :, :KNEE]),
        whole(out[:, :, HANGING]),
        whole(out[:, :, STIMULATED:LIFTED]).reshape(n, rows, KNEE, ACTIVATION_COUNT),
        lift=whole(out[:, :, LIFTED:JUNCTION]),
        pull=whole(out[:, :, JUNCTION:PUSHED]),
        push=whole(out[:, :, PUSHED]),
        first=first,
        step=step,
        good=failed == 0,
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


@compiled_making_arrays
def _relaxed(legs: Legs, plans: Operations, plan: int, stretch: Floats, elastic: bool, out: Floats) -> None:
    pulls, words = np.zeros((NATIVE + DONORS, PULL_SIZE)), np.zeros((NATIVE + DONORS, PULL_WORDS), dtype=np.int32)
    pose = np.empty(POSE_SIZE)
    muscle = plans.donor[plan, 0]
    for leg in range(len(out)):
        body = Body(plans.elements, legs.points[leg], legs.cylinders[leg], legs.joint[leg], legs.passive[leg], elastic)
        lay_pulls(leg, plan, legs, plans, pulls, words)
        set_pose(body.joint, 0.0, 0.0, pose)
        length, _, _ = path_of(pulls[muscle], words[muscle], 0.0, body, pose)
        for f in range(len(stretch)):
            out[leg, f], _ = one_tension(pulls[muscle], 0.0, length + stretch[f], elastic)


def relaxed_tension(legs: Legs, plans: Operations, stretch: Floats, elastic: bool) -> Floats:
    """Tension [N] of the first donor of the first plan, relaxed, at set stretches (F,) [m]: (N, F)."""
    out = np.empty((len(legs.points), len(stretch)))
    _relaxed(legs, plans, 0, stretch, elastic, out)
    return out


@compiled_making_arrays
def _free(legs: Legs, plans: Operations, plan: int, out: Floats) -> None:
    pose, cut = np.empty(POSE_SIZE), plans.cut[plan, 0]
    for leg in range(len(out)):
        set_pose(legs.joint[leg], 0.0, 0.0, pose)
        out[leg], _, _ = length_and_moment_arms(
            plans.elements, cut[0], cut[1], legs.points[leg], legs.cylinders[leg], legs.joint[leg], pose
        )


def free_tendon(legs: Legs, plans: Operations) -> Floats:
    """Tendon of the first donor of the first plan from its belly to the cut [m], (N,)."""
    out = np.empty(len(legs.points))
    _free(legs, plans, 0, out)
    return out
