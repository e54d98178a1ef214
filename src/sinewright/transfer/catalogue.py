"""Every operation with its paths laid out as steps, ready for the kernels and for the drawing.

``catalogue()`` gives the operations once per process; ``moved_paths()`` names every strand that a moved tendon takes.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np

from sinewright.anatomy.skeleton import geometry_rows, native_paths, parse_steps
from sinewright.arrays import Ints
from sinewright.transfer.surgery import (
    DONORS,
    OPERATIONS,
    RECIPIENTS,
    ROUTES,
    TO_FOOT,
    Donor,
    Operation,
    Part,
    Recipient,
    Route,
)


@dataclass(frozen=True)
class Laid:
    """One donor of an operation with its strands: origin to insertion, origin to junction, belly end to cut."""

    donor: Donor
    route: Route
    recipient: Recipient
    strands: tuple[str, ...]
    reach: str
    to_cut: str


@dataclass(frozen=True)
class Moved:
    """One operation: id, parts with their paths, muscles that leave their place."""

    id: str
    operation: Operation
    parts: tuple[Laid, ...]
    taken: tuple[str, ...]


@cache
def donors() -> dict[str, Donor]:
    """Donors by muscle."""
    return {d.muscle: d for d in DONORS}


@cache
def routes() -> dict[str, Route]:
    """Routes by name."""
    return {r.name: r for r in ROUTES}


@cache
def recipients() -> dict[str, Recipient]:
    """Recipients by name."""
    return {r.name: r for r in RECIPIENTS}


def origin_of(muscle: str) -> str:
    """Landmark from which the native path of a muscle starts."""
    row = next(r for r in geometry_rows("native_paths") if r["muscle"] == muscle)
    return row["steps"].split(">")[0].strip()


def lay(part: Part) -> Laid:
    """Write out the strands of one part. Raises ValueError when the route does not serve the donor."""
    donor, route, recipient = donors()[part.donor], routes()[part.route], recipients()[part.recipient]
    if part.donor not in route.donors:
        raise ValueError(f"{donor.title} does not go {route.title}")
    start = f"{origin_of(part.donor)} > {route.steps} > "
    if not recipient.joined_above:
        start += f"{route.hold} > "
    strands = tuple(start + tail for tail in recipient.tails)
    junction = next(w.strip() for w in recipient.tails[0].split(">") if not w.strip().startswith("("))
    pulley = "" if recipient.joined_above else TO_FOOT
    return Laid(donor, route, recipient, strands, f"{start}{pulley}{junction}", donor.to_cut)


@cache
def catalogue() -> tuple[Moved, ...]:
    """All operations, in the order of ``surgery.OPERATIONS``."""
    return tuple(_moved(op) for op in OPERATIONS)


def _moved(operation: Operation) -> Moved:
    parts = tuple(lay(p) for p in operation.parts)
    name = "+".join(f"{p.donor}.{p.route}.{p.recipient}" for p in operation.parts)
    return Moved(name, operation, parts, tuple(p.donor for p in operation.parts) + operation.also_taken)


@cache
def moved_paths() -> dict[str, Ints]:
    """Steps of every strand of every operation, by its text."""
    texts = {s for moved in catalogue() for part in moved.parts for s in (*part.strands, part.reach, part.to_cut)}
    return {text: parse_steps(text) for text in sorted(texts)}


@cache
def pulling_paths() -> tuple[Ints, ...]:
    """Steps of every strand that may carry a pull: all native ones and those of every operation."""
    moved = {s for op in catalogue() for part in op.parts for s in part.strands}
    return (*native_paths().values(), *(moved_paths()[text] for text in sorted(moved)))


@dataclass(frozen=True)
class StepTable:
    """All strands in one table: steps (E, 3), first and last step of each strand by its text or muscle name."""

    steps: Ints
    ends: dict[str, tuple[int, int]]


@cache
def step_table() -> StepTable:
    """Native and moved strands laid one after the other."""
    rows, ends, at = [], {}, 0
    for name, steps in {**native_paths(), **moved_paths()}.items():
        rows.append(steps)
        ends[name] = (at, at + len(steps))
        at += len(steps)
    return StepTable(np.concatenate(rows), ends)
