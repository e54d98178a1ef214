"""The tension ruler as a JSON document: docs/ruler.schema.json is made from the models below."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import Field

from sinewright.cli.document import FixingPart, Part, Rounded, SpreadPart, fixing_part, json_text, rounded, schema_text
from sinewright.cli.document import spread_part as spread_of
from sinewright.results import Side

if TYPE_CHECKING:
    from sinewright.results import FixingTension, Mark, Ruler


class MarkPart(Part):
    """One place on the ruler: what follows from this set stretch and ankle angle while sewing."""

    set_stretch_mm: Rounded = Field(description="donor's junction beyond its start point once sewn; tighter +")
    ankle_deg: Rounded = Field(description="ankle angle while sewing; dorsiflexion +")
    failed_share: Rounded = Field(description="share of the virtual legs without a solution, left out [0..1]")
    quantities: dict[str, SpreadPart] = Field(description="by name, in the unit of the name's ending; as in weigh")


class ExchangePart(Part):
    """Another ankle angle while sewing, and the set stretch that does the same there."""

    ankle_deg: Rounded = Field(description="ankle angle while sewing; dorsiflexion +")
    set_stretch_mm: Rounded | None = Field(description="set stretch that does the same; null far beyond the ruler")
    goes_there: Rounded = Field(description="share of the virtual legs thatse ankle goes up so far [0..1]")


class TensionPart(Part):
    """Tension of the relaxed donor in the posture of fixing [N]: set, after early relaxation, settled."""

    at_once_N: SpreadPart = Field(description="set: as a scale reads it at once")
    after_relaxation_N: SpreadPart = Field(description="early relaxation loses no millimetre; an assumption")
    settled_N: SpreadPart = Field(description="once the junction has crept")
    creep_mm: SpreadPart = Field(description="what the junction loses in length")


class RulerDocument(Part):
    """What `sinewright ruler` found for one choice: a calculation to think with, not a medical device."""

    version: str
    seed: int
    draws: int
    side: Side
    pseudonym: str
    id: str
    title: str
    subtitle: str
    fixing: FixingPart
    marks: tuple[MarkPart, ...] = Field(description="along the set stretch, slack to tight")
    postures: tuple[MarkPart, ...] = Field(description="the chosen stretch, sewn with the ankle elsewhere")
    exchange: tuple[ExchangePart, ...] = Field(description="for each of the postures, what does the same there")
    chosen: MarkPart
    loose: MarkPart = Field(description="5 mm slacker than chosen")
    tight: MarkPart = Field(description="5 mm tighter than chosen")
    low_mm: Rounded = Field(
        description="least stretch that keeps enough of the best lifting moment (row own-ruler-kept)"
    )
    high_mm: Rounded = Field(description="most stretch that keeps them")
    tension: TensionPart
    sentences: tuple[str, ...]


def ruler_text(
    ruler: Ruler, tension: FixingTension, version: str, seed: int, draws: int, side: Side, pseudonym: str
) -> str:
    """The JSON document of a ruler, ending in a newline."""
    document = RulerDocument(
        version=version,
        seed=seed,
        draws=draws,
        side=side,
        pseudonym=pseudonym,
        id=ruler.choice.id,
        title=ruler.choice.title,
        subtitle=ruler.choice.subtitle,
        fixing=fixing_part(ruler.choice.fixing),
        marks=tuple(_mark(mark) for mark in ruler.marks),
        postures=tuple(_mark(mark) for mark in ruler.postures),
        exchange=tuple(
            ExchangePart(
                ankle_deg=rounded(one.ankle_deg),
                set_stretch_mm=None if one.set_stretch_mm is None else rounded(one.set_stretch_mm),
                goes_there=rounded(one.goes_there),
            )
            for one in ruler.exchange
        ),
        chosen=_mark(ruler.chosen),
        loose=_mark(ruler.loose),
        tight=_mark(ruler.tight),
        low_mm=rounded(ruler.low_mm),
        high_mm=rounded(ruler.high_mm),
        tension=TensionPart(
            at_once_N=spread_of(tension.at_once_N),
            after_relaxation_N=spread_of(tension.after_relaxation_N),
            settled_N=spread_of(tension.settled_N),
            creep_mm=spread_of(tension.creep_mm),
        ),
        sentences=ruler.sentences,
    )
    return json_text(document.model_dump(mode="json"))


def _mark(mark: Mark) -> MarkPart:
    return MarkPart(
        set_stretch_mm=rounded(mark.set_stretch_mm),
        ankle_deg=rounded(mark.ankle_deg),
        failed_share=rounded(mark.failed_share),
        quantities={name: spread_of(spread) for name, spread in mark.quantities.items()},
    )


if __name__ == "__main__":
    target = Path(sys.argv[1] if len(sys.argv) > 1 else "docs/ruler.schema.json")
    target.write_text(schema_text(RulerDocument), encoding="utf-8")
