"""What every page carries: side in letter and word, label, version, time, basis, and whether it still holds."""

from __future__ import annotations

from datetime import UTC
from typing import Any

from sinewright.export.planned import Planned
from sinewright.wording.language import Words

BASIS = (
    "A calculation to think with. Not a medical device, not a decision, not validated on patients; it replaces neither "
    "judgement nor the hospital's checklist nor local rules."
)
ACT = (
    "Not a medical device and no order: a calculation to set beside eye and hand. Licensed practice only; local codes "
    "and the hospital's rules come first."
)
DRAFT = "DRAFT: nobody has chosen this operation"


def picture_caution(planned: Planned) -> str:
    """What a drawing that is taken alone says about itself."""
    invented = "Invented case. " if planned.case.invented else ""
    side = planned.case.side.upper()
    drafted = "" if planned.by_hand else f"{DRAFT}. "
    return f"{drafted}{invented}{ACT} Check the side, {side} FOOT, against consent and skin mark."


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
        "draft": "" if planned.by_hand else DRAFT,
        "draft_word": "" if planned.by_hand else "DRAFT",
        "act": ACT,
        "basis": BASIS,
        "examined": planned.case.examined_on.isoformat() if planned.case.examined_on else "date not given",
    }


def stamp_in(planned: Planned, words: Words) -> dict[str, Any]:
    """The stamp in the language of a page for patients."""
    kept, weighing = planned.kept, planned.weighing
    replaced = kept is not None and kept.superseded_by is not None
    return {
        **stamp(planned),
        "side_foot": words.line(f"side.{planned.case.side}"),
        "invented_words": words.line("stamp.invented") if planned.case.invented else "",
        "hash_word": words.line("stamp.hash"),
        "page_word": words.line("stamp.page"),
        "of_word": words.line("stamp.of"),
        "run": words.line("stamp.run", draws=weighing.draws, seed=weighing.seed),
        "plan": words.line("stamp.kept", number=kept.number) if kept else words.line("stamp.loose"),
        "superseded": words.line("stamp.superseded", old=kept.number, new=kept.superseded_by)
        if kept and replaced
        else "",
        "draft": "" if planned.by_hand else words.line("stamp.draft"),
        "draft_word": "" if planned.by_hand else words.line("stamp.draft_word"),
        "act": words.line("stamp.act"),
        "basis": words.line("patient.footer"),
        "language": words.code,
        "side_words": words.line(f"side.{planned.case.side}"),
    }
