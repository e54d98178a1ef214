"""The printed list of rules and of ways other than a transfer, made from the rules so that it cannot disagree."""

from collections.abc import Iterable, Iterator

from sinewright.choose import turning
from sinewright.choose.fact import Fact
from sinewright.choose.options import WAYS
from sinewright.choose.rule import Rule
from sinewright.choose.rules import ALL, OPERATION, PATIENT

_HEAD = """\
# Rules and other ways

*This page is generated from the program; a test fails when it is stale.*

A rule speaks when a finding of the case calls for it. It **warns**, or it **blocks**: then the operation is set aside
with the rule's sentence as its reason. A rule blocks only where no source that was read accepts the operation as it
stands, or where the harm would be grave and can be put right first. Where sources disagree they stand side by side, and
the rule only warns. Nothing here is a prescription: local rules and your own judgement come first.

A **danger** stands on the choice it is about, on the first screen and on the theatre page, and is never left out. Some
rules cost a choice its place: the **first place** (it ranks behind whatever lifts without such a finding) or the
**offer** (it ranks behind not operating).

A block, or what costs a place, is overridden by a written reason of at least ten signs, which stays in the plan and is
printed with it:

```toml
[plan.overrides]
open_ulcer = "healed by the day of surgery; checked weekly in the cast clinic"
```

Each statement says how it is known: *read* in the source, *quoted* by another text, *recalled* from memory, *derived*
by own arithmetic, *judged* by us, or common *practice*. Names such as `nv-no-wait-ho2014` are rows of the evidence.
"""


def rules_text() -> str:
    """The page in Markdown."""
    parts = [_HEAD]
    parts += ["## All rules", "", "| code | | costs | speaks when |", "|---|---|---|---|"]
    parts += [f"| `{rule.code}` | {_kind(rule)} | {_costs(rule)} | {rule.about} |" for rule in ALL]
    parts += [f"| `{turning.CODE}` | **danger** | first place | {turning.ABOUT} |"]
    for title, rules in (("About the patient", PATIENT), ("About one operation", OPERATION)):
        parts += ["", f"## {title}: what the sources say"]
        for rule in rules:
            parts += ["", f"### `{rule.code}` ({rule.kind}s)", "", f"Speaks when: {rule.about}.", ""]
            parts += _facts(rule.facts)
    parts += ["", "## Ways other than a transfer", ""]
    parts += ["Each is said to suit, not to suit, or to be unclear for the patient, with a reason from the case."]
    parts += ["No outcome is predicted for them."]
    for way in WAYS:
        parts += ["", f"### {way.title}", "", *_facts(way.facts)]
    return "\n".join(parts) + "\n"


def _costs(rule: Rule) -> str:
    return "" if rule.costs == "nothing" else rule.costs


def _kind(rule: Rule) -> str:
    return "**blocks**" if rule.kind == "block" else "**danger**" if rule.severity == "danger" else "warns"


def _facts(facts: Iterable[Fact]) -> Iterator[str]:
    for fact in facts:
        view = fact.view()
        yield f"- {view.text} *{view.known}*: {view.source}"
