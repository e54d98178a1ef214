"""What a check is, what it found, and the four outcomes.

reproduced                a direction or an order holds, or a number is met to the rounding of print
within published spread   inside the printed range, one printed standard deviation, or the band named in the set-up
outside                   none of these: stays visible, with the mechanical reason
cannot be checked         no number was printed or read, or the mechanics of this program do not answer it

No tolerance is chosen here: each comes from a row named in the set-up.
"""

from collections.abc import Callable
from dataclasses import dataclass

from sinewright.evidence.scene import Scene
from sinewright.reference import load
from sinewright.results import Agreement, CheckResult, Known

REPRODUCED: Agreement = "reproduced"
WITHIN: Agreement = "within published spread"
OUTSIDE: Agreement = "outside"
CANNOT: Agreement = "cannot be checked"
BEST_KNOWN_FIRST: tuple[Known, ...] = ("read", "quoted", "derived", "recalled", "judged", "practice")


@dataclass(frozen=True, slots=True)
class Verdict:
    """What was expected, what was found, and the outcome."""

    expected: str
    found: str
    outcome: Agreement


@dataclass(frozen=True, slots=True)
class Check:
    """One check as data: the rows it is held against, the set-up, how to run it, and why it may lie outside.

    ``rows`` hold the claim, ``by`` the rows that only give a tolerance. ``why`` is printed when the outcome is outside
    or cannot be checked; a check without it must lie inside.
    """

    id: str
    claim: str
    rows: tuple[str, ...]
    setup: str
    run: Callable[[Scene], Verdict]
    why: str = ""
    by: tuple[str, ...] = ()


def result_of(check: Check, scene: Scene) -> CheckResult:
    """Run one check."""
    verdict, reference = check.run(scene), load()
    rows = [reference.row(id) for id in check.rows]
    known: Known = max((_known(row.known) for row in rows), key=BEST_KNOWN_FIRST.index)
    told = verdict.outcome in (OUTSIDE, CANNOT)
    return CheckResult(
        id=check.id,
        claim=check.claim,
        source_key=rows[0].source,
        citation="; ".join(dict.fromkeys(reference.source(row.source).citation for row in rows)),
        setup=check.setup or "none",
        expected_text=verdict.expected,
        found_text=verdict.found,
        outcome=verdict.outcome,
        reason=(check.why or "no reason is known: this check lay inside when it was written") if told else "",
        row_ids=(*check.rows, *check.by),
        known=known,
    )


def _known(known: str) -> Known:
    return next(name for name in BEST_KNOWN_FIRST if name == known)
