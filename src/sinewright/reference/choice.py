"""One stated rule picks between papers that disagree; a written decision overrules it.

Rule: only rows marked ``fit`` with a number stand for choice; the better known comes first (read, quoted,
derived, recalled, judged), then the larger group of people, then the newer source. A tie is refused, never
broken by chance.

Decisions live in ``data/choices.csv``: topic, chosen id, passed-over ids (parted by spaces), reason. All rows
stay in the data; a decision only says which one sets the parameter.
"""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from sinewright.errors import SourceDataError
from sinewright.reference.loading import Reference
from sinewright.reference.rows import KNOWN, Row

DECISIONS = "choices.csv"
DECISION_COLUMNS = ("topic", "chosen", "passed_over", "reason")
REASONS = ("it is better known", "it rests on more people", "its source is newer")
BEST_KNOWN_FIRST = ("read", "quoted", "derived", "recalled", "judged")


@dataclass(frozen=True, slots=True)
class Selection:
    """The row that sets a parameter, the rows it was preferred to, and one sentence that says why."""

    chosen: Row
    passed_over: tuple[Row, ...]
    why: str


def choose(
    reference: Reference,
    quantity: str,
    structure: str,
    conditions: Mapping[str, str] | None = None,
    wording: str = "",
) -> Selection:
    """Pick one row for a quantity of a structure.

    `conditions` are ``key=value`` pairs that a row must carry; `wording` is text its condition must contain.
    Raises SourceDataError when nothing stands for choice, when units or conditions differ, when one source
    offers several rows (the conditions are then too loose), on a tie, and when a written decision leaves out
    a rival.
    """
    topic = f"{quantity} of {structure}"
    rivals = _rivals(reference, quantity, structure, conditions or {}, wording)
    _refuse_unlike(topic, rivals)
    for written in _decisions(reference):
        if written.chosen in rivals:
            _refuse_unnamed(written, rivals)
            return written
    if len(rivals) == 1:
        return Selection(rivals[0], (), f"the only row for the {topic} that may set a parameter")
    return _by_rule(reference, topic, rivals)


def decision(reference: Reference, topic: str) -> Selection:
    """The written decision on a topic of ``choices.csv``. Raises SourceDataError if there is none."""
    for written, selection in zip(_decision_topics(reference), _decisions(reference), strict=True):
        if written == topic:
            return selection
    raise SourceDataError(DECISIONS, 0, f"no decision on the topic {topic}")


def _rivals(
    reference: Reference, quantity: str, structure: str, conditions: Mapping[str, str], wording: str
) -> tuple[Row, ...]:
    return tuple(
        row
        for row in reference.rows(quantity=quantity, structure=structure, use="fit")
        if row.has_number and conditions.items() <= row.conditions.items() and wording in row.condition
    )


def _refuse_unlike(topic: str, rivals: tuple[Row, ...]) -> None:
    if not rivals:
        raise SourceDataError(DECISIONS, 0, f"no row marked fit holds a number for the {topic}")
    if len({row.unit for row in rivals}) > 1:
        raise SourceDataError(rivals[0].file, rivals[0].line, f"rows for the {topic} have different units")
    if any(row.conditions != rivals[0].conditions for row in rivals):
        problem = f"rows for the {topic} hold under different conditions; name the conditions"
        raise SourceDataError(rivals[0].file, rivals[0].line, problem)
    source, rows_of_it = Counter(row.source for row in rivals).most_common(1)[0]
    if rows_of_it > 1:
        problem = f"{source} offers {rows_of_it} rows for the {topic}; name the conditions more narrowly"
        raise SourceDataError(rivals[0].file, rivals[0].line, problem)


def _by_rule(reference: Reference, topic: str, rivals: tuple[Row, ...]) -> Selection:
    best, second, *others = sorted(rivals, key=lambda row: _rank(reference, row))
    for place, reason in enumerate(REASONS):
        if _rank(reference, best)[place] != _rank(reference, second)[place]:
            against = f"{second.id} ({_known(best)} against {_known(second)})"
            return Selection(best, (second, *others), f"{best.id} sets the {topic}: {reason} than {against}")
    problem = f"{best.id} and {second.id} tie for the {topic}; write the decision into {DECISIONS}"
    raise SourceDataError(best.file, best.line, problem)


def _rank(reference: Reference, row: Row) -> tuple[int, int, int]:
    """Smallest first. A row of common practice ranks behind every number."""
    known = BEST_KNOWN_FIRST.index(row.known) if row.known in BEST_KNOWN_FIRST else len(BEST_KNOWN_FIRST)
    return known, -(row.n or 0), -(reference.source(row.source).year or 0)


def _known(row: Row) -> str:
    return KNOWN[row.known] if row.n is None else f"{KNOWN[row.known]}, n {row.n}"


def _decisions(reference: Reference) -> tuple[Selection, ...]:
    return tuple(_selection(reference, line, cells) for line, cells in _decision_lines(reference))


def _decision_topics(reference: Reference) -> tuple[str, ...]:
    return tuple(cells[0] for _, cells in _decision_lines(reference))


def _decision_lines(reference: Reference) -> tuple[tuple[int, list[str]], ...]:
    path = reference.folder / DECISIONS
    if not path.exists():
        return ()
    with path.open(encoding="utf-8", newline="") as stream:
        reader = csv.reader(stream)
        if tuple(next(reader, ())) != DECISION_COLUMNS:
            raise SourceDataError(DECISIONS, 1, f"the columns must be {','.join(DECISION_COLUMNS)}")
        return tuple((reader.line_num, cells) for cells in reader)


def _selection(reference: Reference, line: int, cells: list[str]) -> Selection:
    if len(cells) != len(DECISION_COLUMNS) or not all(cells):
        raise SourceDataError(DECISIONS, line, f"every one of {', '.join(DECISION_COLUMNS)} must be filled")
    topic, chosen, passed_over, reason = cells
    row = reference.row(chosen)
    if row.use != "fit" or not row.has_number:
        raise SourceDataError(DECISIONS, line, f"{chosen} is chosen for {topic} but may not set a parameter")
    return Selection(row, tuple(reference.row(id) for id in passed_over.split()), reason)


def _refuse_unnamed(written: Selection, rivals: tuple[Row, ...]) -> None:
    unnamed = [row.id for row in rivals if row != written.chosen and row not in written.passed_over]
    if unnamed:
        problem = f"the decision for {written.chosen.id} does not name {', '.join(unnamed)}"
        raise SourceDataError(DECISIONS, 0, problem)
