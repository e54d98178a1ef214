"""docs/evidence.md, written from the checks."""

from collections.abc import Sequence

from sinewright.evidence.registry import THEMES, Residual, fit_residuals, run_checks
from sinewright.evidence.scene import Scene
from sinewright.results import CheckResult
from sinewright.wording.known import KNOWN_WORDS, OUTCOMES

HEAD = """# Evidence

Published claims held against the program. This page is generated from the program; a test fails when it
is stale. Nothing is fitted to a check, and no tolerance is chosen here: each comes from the row named in the
set-up.

- **reproduced**: a direction or an order holds, or a number is met to the rounding of print
- **within published spread**: inside the printed range, one printed standard deviation, or the band named in the set-up
- **outside**: none of these; it stays visible with the mechanical reason
- **cannot be checked**: no number was printed or read, or the mechanics do not answer it
"""
RESIDUALS = """## Fit residuals

Not checks: unpublished landmarks were shifted to meet these rows, and the functional foot axis was found from the last
nine. What is left is shown. Arms in mm; dorsiflexion and turning in count positive.

| row | what | printed | found | gap | known |
|---|---|---|---|---|---|
"""


def evidence_page(results: Sequence[CheckResult], residuals: Sequence[Residual]) -> str:
    """The whole page as Markdown."""
    counts = [f"- {o}: {sum(r.outcome == o for r in results)}" for o in OUTCOMES]
    parts = [HEAD, f"{len(results)} checks:\n\n" + "\n".join(counts) + "\n"]
    by_id = {r.id: r for r in results}
    for title, checks in THEMES.items():
        parts.append(f"## {title}\n")
        parts += [_entry(by_id[check.id]) for check in checks]
    return "\n".join([*parts, RESIDUALS + "".join(_line(r) for r in residuals)])


def _entry(result: CheckResult) -> str:
    lines = [f"### {result.claim}", "", f"**{result.outcome}** · `{result.id}`", ""]
    lines.append(f"- published: {result.expected_text}")
    if result.outcome != "cannot be checked":
        lines.append(f"- found: {result.found_text}")
    if result.outcome != "cannot be checked":
        lines.append(f"- set-up: {result.setup}")
    if result.reason:
        lines.append(f"- why: {result.reason}")
    lines.append(f"- source: {result.citation} ({KNOWN_WORDS[result.known]})")
    lines.append(f"- rows: {', '.join(f'`{id}`' for id in result.row_ids)}")
    return "\n".join([*lines, ""])


def _line(r: Residual) -> str:
    cells = f"`{r.row}` | {r.what} | {r.printed_mm:.1f} | {r.found_mm:.1f} | {r.found_mm - r.printed_mm:+.1f}"
    return f"| {cells} | {KNOWN_WORDS[r.known]} |\n"


def evidence_text() -> str:
    """The page as it should stand in docs/evidence.md."""
    scene = Scene()
    return evidence_page(run_checks(scene), fit_residuals(scene))
