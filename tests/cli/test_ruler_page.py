"""The ruler says the numbers it draws, at every width, and points at the plan's own millimetre."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import jsonschema
import pytest

import sinewright.plan
import sinewright.protect.tension
from sinewright.cli.ruler_page import GUTTER, ruler_lines
from sinewright.cli.screen import Screen
from sinewright.results import Ruler, RulerDocument, json_text, schema_text

from .cli_streams import Ran, Stream
from .invented_steps import RULED, RULER, TENSION, mark

CHOICE = "tibialis_posterior.membrane_over.lateral_cuneiform_dorsum"


def page(width: int, full: bool = False, ruler: Ruler = RULER) -> list[str]:
    screen = Screen(Stream(full), width, full)
    lines = ruler_lines(replace(RULED, ruler=ruler), screen)
    return [line.plain.rstrip() for line in lines]


@pytest.mark.parametrize("width", [60, 80, 100, 120, 200])
@pytest.mark.parametrize("full", [False, True])
def test_every_width_holds_the_page_and_every_number(width: int, full: bool) -> None:
    lines = page(width, full)
    assert max(map(len, lines)) <= width
    told = " ".join(" ".join(lines).split())
    for part in ("5 mm slacker", "7 mm tighter", "5 mm tighter", "left foot", "Pull until the mark lies 7 mm past"):
        assert part in told
    assert "set, read at once, 31 N (0 to 140); 25 N (0 to 110) after early relaxation" in told
    assert "crept by 2.5 mm (1.2 to 4.8), 13 N (0 to 80)" in told
    degree = "°" if full else " deg"
    for part in (
        f"5{degree} up",
        "neutral to 10 up",
        f"33{degree} down",
        "9.0 Nm",
        "5.0 to 13.0",
        "307 N",
        "217 to 397",
    ):
        assert part in told
    assert full or told.isascii()


@pytest.mark.parametrize("width", [60, 100, 171])
def test_the_pointer_and_the_interval_stand_at_their_millimetres(width: int) -> None:
    lines = page(width)
    at = next(i for i, line in enumerate(lines) if "===" in line and "-" in line)
    scale, numbers, pointer = lines[at : at + 3]
    step = max(1, min(6, (width - GUTTER - 4) // 15))
    assert scale.index("=") == GUTTER + round(step * 14 * 10 / 28)
    assert scale.rindex("=") == GUTTER + round(step * 14 * 22 / 28)
    assert pointer.index("^") == GUTTER + round(step * 14 * 19 / 28)
    assert numbers.split()[:2] in (["12", "10"], ["12", "8"])
    assert "-1" not in numbers


def test_the_finding_says_the_interval_and_whether_the_plan_lies_in_it() -> None:
    told = " ".join(page(200))
    assert "or more: 2 mm slacker to 10 mm tighter; this plan, 7 mm tighter, lies inside." in told
    assert "lies OUTSIDE" in " ".join(page(200, ruler=replace(RULER, high_mm=4.0)))


def test_bands_rise_where_the_numbers_rise() -> None:
    lines = page(100)
    top = lines.index("at rest, hanging")
    rows = lines[top + 1 : top + 7]
    first = [row for row, line in enumerate(rows) if line[GUTTER : GUTTER + 1] == "O"]
    last = [row for row, line in enumerate(rows) if len(line) > GUTTER + 70 and line[GUTTER + 70] == "O"]
    assert first and last and last[0] < first[0]
    assert rows[0].startswith("9 deg up") and rows[-1].startswith("26 deg down".rjust(GUTTER - 2)[: GUTTER - 2])


def test_draws_without_a_solution_are_said() -> None:
    assert "No solution" not in " ".join(page(100))
    spoilt = replace(RULER, marks=(*RULER.marks[:-1], mark(16.0, failed_share=0.031)))
    assert "No solution in up to 3.1 % of the virtual legs" in " ".join(page(100, ruler=spoilt))


def test_the_document_fits_its_schema() -> None:
    document = json.loads(json_text(RULED))
    jsonschema.validate(document, json.loads(schema_text(RulerDocument)))
    ruler = document["ruler"]
    assert [each["set_stretch_mm"] for each in ruler["marks"]] == [float(at) for at in range(-12, 17, 2)]
    assert ruler["chosen"]["quantities"]["lift_deg"]["p50"] == pytest.approx(4.7)
    assert (ruler["low_mm"], ruler["high_mm"]) == (-2.0, 10.0)
    assert document["tension"]["settled_N"]["p50"] == 13.0


def test_the_command_prints_writes_and_passes_the_choice_on(
    run: Callable[..., Ran], monkeypatch: pytest.MonkeyPatch, case_file: Path
) -> None:
    asked: list[object] = []
    monkeypatch.setattr(sinewright.plan, "rule_out", lambda *given: asked.append(given[1:]) or RULER)
    monkeypatch.setattr(sinewright.protect.tension, "tension_at", lambda *given: TENSION)
    target = case_file.parent / "ruler.json"
    told = run("ruler", case_file, "--choice", CHOICE, "--draws", "200", "--seed", "3", "--json", target)
    assert (told.code, told.err, asked) == (0, "", [(CHOICE, 200, 3)])
    assert told.out.startswith("[ R  right foot ]  quiet-otter-58  200 virtual legs, seed 3")
    assert json.loads(target.read_text("utf-8"))["seed"] == 3


def test_a_choice_that_is_not_there_is_one_clear_message(run: Callable[..., Ran], case_file: Path) -> None:
    told = run("ruler", case_file, "--choice", "tibialis_posterior.membrain_over.lateral_cuneiform_dorsum")
    assert told.code == 2
    assert "tibialis_posterior.membrane_over.lateral_cuneiform_dorsum" in told.err
    assert told.err.startswith('sinewright: choice: given "tibialis_posterior.membrain_over')
