"""docs/architecture.md says what stands: its picture is drawn from today's imports, its rooms and names exist."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest
from tools import draw_rooms

ROOT = Path(__file__).parents[1]
PAGE = (ROOT / "docs" / "architecture.md").read_text(encoding="utf-8")
STEPS = re.findall(r"^\| [^|]+ \| `([a-z_/]+\.py)` \| `(\w+)` \|", PAGE, re.MULTILINE)
ROOMS = PAGE[PAGE.index("## Rooms") : PAGE.index("## One number")]
LINES = (ROOT / "README.md").read_text(encoding="utf-8").split("## Rooms")[1].splitlines()
TABLE = "\n".join(line for line in LINES if line.startswith("|"))


def test_the_picture_is_drawn_from_the_imports_of_today() -> None:
    assert draw_rooms.PICTURE.read_text(encoding="utf-8") == draw_rooms.draw(draw_rooms.arrows_of_rooms())


def test_every_room_has_its_line_on_the_page_and_in_the_readme() -> None:
    rooms = set(draw_rooms.arrows_of_rooms())
    assert set(re.findall(r"`([a-z]+)`", ROOMS)) - {"import"} == rooms
    assert set(re.findall(r"`([a-z]+)(?:/|\.py)`", TABLE)) == rooms


def test_a_number_is_followed_over_many_steps() -> None:
    assert len(STEPS) >= 10


@pytest.mark.parametrize(("file", "name"), STEPS)
def test_every_step_of_the_number_exists(file: str, name: str) -> None:
    tree = ast.parse((draw_rooms.SRC / file).read_text(encoding="utf-8"))
    defined = {getattr(node, "name", None) or getattr(node, "id", None) for node in ast.walk(tree)}
    assert name in defined


def test_a_room_stands_above_all_that_it_imports_and_needless_lines_are_left_out() -> None:
    arrows = {"top": {"middle", "ground"}, "middle": {"ground"}, "ground": set()}
    assert draw_rooms.floors(arrows) == {"ground": 0, "middle": 1, "top": 2}
    assert draw_rooms.drawn_arrows(arrows) == {"top": {"middle"}, "middle": {"ground"}, "ground": set()}
