"""A number of the reference is never typed again: change the row, and every sentence and rule changes with it."""

from __future__ import annotations

from pathlib import Path

import pytest

from .copied import copies_in

SRC = Path(__file__).parents[2] / "src" / "sinewright"
# Numbers that only look like a row's: module, row, and what the number is instead.
SOMETHING_ELSE: dict[tuple[str, str], str] = {
    ("choose/facts_options.py", "own-specimen-ankle-angle"): "a published number, held against its row by its test",
    ("cli/ask_page.py", "own-table-fewest"): "the whole of a hundred",
    ("cli/swing_page.py", "own-swing-steps-without-touch"): "the whole of a hundred",
    ("choose/facts_body.py", "own-upper-limit-sd"): "a published number, held against its row by the tests of facts",
}
KNOWN_COPIES = {  # copies that stood here once
    "order": 'APART = 0.8\n"""Share of the virtual patients that must prefer one choice before it is told apart."""\n',
    "finding": 'told = "The first stands apart: four fifths of the virtual patients or more prefer it to all."\n',
    "ruler": 'told = f"{a} its start point. Four fifths of the best lifting moment or more stay from {kept}."\n',
    "percent": 'told = "It keeps 80 % of the best lifting moment."\n',
    "judge": "LEAST_PUSH_DOWN_DEG = -20.0  # plantarflexion that walking uses, row pa-gait-need-pf\n",
    "evidence": 'told = "strain of the aponeurosis is an assumption (own-muscle-aponeurosis-strain, 0.04), that of"\n',
    "speed": 'told = "Walking speed; else an unhurried walk, 1.1 m/s."\n',
}


@pytest.mark.parametrize("path", sorted(SRC.rglob("*.py")), ids=lambda path: str(path.relative_to(SRC)))
def test_no_number_of_the_reference_is_typed_again(path: Path) -> None:
    module = path.relative_to(SRC).as_posix()
    # Checks quote published tests, whose numbers may equal an own row by chance: there only an id counts.
    found = copies_in(path.read_text(encoding="utf-8"), sentences=not module.startswith("evidence/"))
    left = [copy for copy in found if (module, copy.row) not in SOMETHING_ELSE]
    assert not left, "\n".join(f"line {copy.line}, {copy.row}: {copy.text}" for copy in left)


@pytest.mark.parametrize("source", KNOWN_COPIES.values(), ids=KNOWN_COPIES)
def test_a_copy_that_comes_back_is_found(source: str) -> None:
    assert list(copies_in(source))


@pytest.mark.parametrize(("module", "row"), SOMETHING_ELSE)
def test_an_exception_that_is_no_longer_needed_goes(module: str, row: str) -> None:
    assert row in {copy.row for copy in copies_in((SRC / module).read_text(encoding="utf-8"))}
