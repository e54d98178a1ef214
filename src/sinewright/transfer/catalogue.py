"""Every operation with its paths laid out as elements, ready for the kernels and for the drawing.

``catalogue()`` gives the operations once per process; ``moved_paths()`` names every path that a moved tendon takes.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np

from sinewright.anatomy.skeleton import geometry_rows, native_paths, parse_path
from sinewright.arrays import Ints
from sinewright.transfer.surgery import (
    DONORS,
    OPERATIONS,
    RECIPIENTS,
    ROUTES,
    TO_FOOT,
    Donor,
    OperationRecipe,
    Recipient,
    Route,
    TendonTransfer,
)


@dataclass(frozen=True)
class RoutedDonor:
    """One donor of an operation with its paths: origin to insertion, origin to junction, belly end to cut."""

    donor: Donor
    route: Route
    recipient: Recipient
    paths: tuple[str, ...]
    reach: str
    to_cut: str


@dataclass(frozen=True)
class Operation:
    """One operation: id, parts with their paths, muscles that leave their place."""

    id: str
    operation: OperationRecipe
    parts: tuple[RoutedDonor, ...]
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


def route_donor(part: TendonTransfer) -> RoutedDonor:
    """Write out the paths of one part. Raises ValueError when the route does not serve the donor."""
    donor, route, recipient = donors()[part.donor], routes()[part.route], recipients()[part.recipient]
    if part.donor not in route.donors:
        raise ValueError(f"{donor.title} does not go {route.title}")
    start = f"{origin_of(part.donor)} > {route.via} > "
    if not recipient.joined_above:
        start += f"{route.hold} > "
    paths = tuple(start + tail for tail in recipient.tails)
    junction = next(w.strip() for w in recipient.tails[0].split(">") if not w.strip().startswith("("))
    cylinder = "" if recipient.joined_above else TO_FOOT
    return RoutedDonor(donor, route, recipient, paths=paths, reach=f"{start}{cylinder}{junction}", to_cut=donor.to_cut)


@cache
def catalogue() -> tuple[Operation, ...]:
    """All operations, in the order of ``surgery.OPERATIONS``."""
    return tuple(_moved(op) for op in OPERATIONS)


def _moved(operation: OperationRecipe) -> Operation:
    parts = tuple(route_donor(p) for p in operation.parts)
    name = "+".join(f"{p.donor}.{p.route}.{p.recipient}" for p in operation.parts)
    return Operation(name, operation, parts, tuple(p.donor for p in operation.parts) + operation.also_taken)


@cache
def moved_paths() -> dict[str, Ints]:
    """Elements of every path of every operation, by its text."""
    texts = {s for moved in catalogue() for part in moved.parts for s in (*part.paths, part.reach, part.to_cut)}
    return {text: parse_path(text) for text in sorted(texts)}


@cache
def pulling_paths() -> tuple[Ints, ...]:
    """Elements of every path that may carry a pull: all native ones and those of every operation."""
    moved = {s for op in catalogue() for part in op.parts for s in part.paths}
    return (*native_paths().values(), *(moved_paths()[text] for text in sorted(moved)))


@dataclass(frozen=True)
class PathTable:
    """All paths in one table: elements (E, 3), first and last element of each path by its text or muscle name."""

    elements: Ints
    ends: dict[str, tuple[int, int]]


@cache
def path_table() -> PathTable:
    """Native and moved paths laid one after the other."""
    rows, ends, at = [], {}, 0
    for name, elements in {**native_paths(), **moved_paths()}.items():
        rows.append(elements)
        ends[name] = (at, at + len(elements))
        at += len(elements)
    return PathTable(np.concatenate(rows), ends)
