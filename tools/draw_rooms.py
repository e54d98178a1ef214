"""The picture of the rooms, drawn from the imports: ``python tools/draw_rooms.py`` writes docs/pictures/rooms.svg.

A room stands above every room that it imports. Lines that follow from others are left out: where one room imports a
second and the second a third, the line from the first to the third is not drawn. Files are parsed, never imported.
"""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator, Mapping
from graphlib import TopologicalSorter
from html import escape
from pathlib import Path

ROOT = Path(__file__).parents[1]
SRC = ROOT / "src" / "sinewright"
PICTURE = ROOT / "docs" / "pictures" / "rooms.svg"
WIDTH, HIGH, BOX, GAP, MARGIN = 800, 26, 90, 30, 20
Arrows = dict[str, set[str]]


def room_of(path: Path) -> str:
    """The room a file of the package belongs to: its folder, or its own name at the top."""
    return path.relative_to(SRC).parts[0].removesuffix(".py")


def rooms_imported(path: Path) -> Iterator[str]:
    """The room behind every import of a file, also of those that stand inside functions."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            names = [f"{node.module}.{alias.name}" for alias in node.names]
        else:
            continue
        yield from (name.split(".")[1] for name in names if name.startswith("sinewright."))


def arrows_of_rooms() -> Arrows:
    """For every room those that it imports."""
    files = [path for path in sorted(SRC.rglob("*.py")) if path != SRC / "__init__.py"]
    arrows: Arrows = {room_of(path): set() for path in files}
    for path in files:
        arrows[room_of(path)] |= {room for room in rooms_imported(path) if room in arrows} - {room_of(path)}
    return arrows


def floors(arrows: Mapping[str, set[str]]) -> dict[str, int]:
    """The floor of every room: one above the highest that it imports. Raises CycleError for rooms in a circle."""
    floor: dict[str, int] = {}
    for room in TopologicalSorter(arrows).static_order():  # what is imported comes first
        floor[room] = 1 + max((floor[below] for below in arrows[room]), default=-1)
    return floor


def drawn_arrows(arrows: Arrows) -> Arrows:
    """The arrows without those that follow from others."""

    def reached(room: str) -> set[str]:
        return set().union(*(arrows[below] | reached(below) for below in arrows[room]))

    return {room: below - reached(room) for room, below in arrows.items()}


def places(arrows: Arrows) -> tuple[dict[str, tuple[float, float]], int]:
    """Left upper corner of every room's box and the height of the picture; the lowest floor stands at the foot."""
    floor = floors(arrows)
    count, corners = Counter(floor.values()), {}
    height = 2 * MARGIN + (max(floor.values()) + 1) * (HIGH + GAP) - GAP
    for level in count:
        rooms = sorted(room for room in arrows if floor[room] == level)
        step = (WIDTH - 2 * MARGIN) / len(rooms)
        for place, room in enumerate(rooms):
            top = height - MARGIN - HIGH - level * (HIGH + GAP)
            corners[room] = (MARGIN + step * (place + 0.5) - BOX / 2, top)
    return corners, height


def draw(arrows: Arrows) -> str:
    """The picture as SVG text."""
    corners, height = places(arrows)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" width="{WIDTH}" height="{height}" '
        'font-family="sans-serif" role="img" aria-label="Rooms; each imports only what stands below it">',
        f'<rect width="{WIDTH}" height="{height}" fill="#ffffff"/>',
    ]
    for room, below in sorted(drawn_arrows(arrows).items()):
        x, y = corners[room]
        for other in sorted(below):
            to_x, to_y = corners[other]
            start, end = (x + BOX / 2, y + HIGH), (to_x + BOX / 2, to_y)
            parts.append(
                f'<path d="M{start[0]:.0f} {start[1]:.0f} C{start[0]:.0f} {start[1] + GAP:.0f} {end[0]:.0f} '
                f'{end[1] - GAP:.0f} {end[0]:.0f} {end[1]:.0f}" fill="none" stroke="#7a8794" stroke-width="1.2"/>'
            )
    for room, (x, y) in sorted(corners.items()):
        parts.append(
            f'<rect x="{x:.0f}" y="{y:.0f}" width="{BOX}" height="{HIGH}" rx="4" fill="#eef2f5" stroke="#3c4a57"/>'
            f'<text x="{x + BOX / 2:.0f}" y="{y + 18:.0f}" font-size="14" text-anchor="middle">{escape(room)}</text>'
        )
    return "\n".join([*parts, "</svg>", ""])


def main() -> None:
    """Writes the picture."""
    PICTURE.write_text(draw(arrows_of_rooms()), encoding="utf-8")


if __name__ == "__main__":
    main()
