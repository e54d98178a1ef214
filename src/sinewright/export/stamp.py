"""What every page carries: side in letter and word, label, version, time, basis, and whether it still holds."""

from __future__ import annotations

from datetime import UTC
from typing import Any

from sinewright.export.planned import Planned

BASIS = (
    "A calculation to think with. Not a medical device, not a decision, not validated on patients; it replaces neither "
    "judgement nor the hospital's checklist nor local rules."
)


def stamp(planned: Planned) -> dict[str, Any]:
    """The common content of all pages."""
    side, weighing = planned.case.side, planned.weighing
    kept = planned.kept
    replaced = ""
    if kept is not None and kept.superseded_by is not None:
        replaced = f"SUPERSEDED: plan {kept.number} was replaced by plan {kept.superseded_by}. Do not use this page."
    return {
        "side": side.upper(),
        "letter": side[0].upper(),
        "case": weighing.pseudonym,
        "side_foot": f"{side.upper()} FOOT",
        "invented_words": "invented case" if planned.case.invented else "",
        "hash_word": "page hash",
        "page_word": "page",
        "of_word": "of",
        "time": planned.made_at.astimezone(UTC).strftime("%Y-%m-%d %H:%M UTC"),
        "plan": f"plan {kept.number}" if kept is not None else "not kept as a plan",
        "run": f"{weighing.draws} virtual legs, seed {weighing.seed}, {weighing.tendon} tendon",
        "superseded": replaced,
        "basis": BASIS,
        "examined": planned.case.examined_on.isoformat() if planned.case.examined_on else "date not given",
    }
