"""The page for the patient, in plain words, and behind it one for the therapist. The team decides, not the page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from sinewright.export.plain import own_habits
from sinewright.export.planned import Planned, chance_of_lift
from sinewright.export.stamp import stamp_in
from sinewright.export.theatre import own
from sinewright.export.typeset import PAPERS, Format, typeset
from sinewright.protect.stages import STAGES, published_weeks
from sinewright.reference import load
from sinewright.results import Outcome, Protection, Spread
from sinewright.transfer.catalogue import RoutedDonor, recipients
from sinewright.units import mm
from sinewright.wording.language import Words, words_in

WEEKS_A_MONTH = 52.18 / 12.0
FULL_ROW = "rh-full-recovery"
STRETCH_ROW = "rh-no-passive-stretch"
TARGETS = (
    ("lift", "lift_deg"),
    ("lift_bent", "lift_knee_bent_deg"),
    ("rest", "rest_deg"),
    ("push", "pushdown_deg"),
    ("hindfoot", "hindfoot_in_lift_deg"),
)


@dataclass(frozen=True)
class Step:
    """One step after the operation: key of its words, weeks between which it is placed, row, how the time is said.

    `said`: "" begins between two weeks, "once" at once or up to a week, "long" lasts none or up to a week, "keep" up
    to a week or until the team takes it off, "until" up to a week, "earliest" not before a week, "unknown" no week can
    be given. `forces`: pull and strength [N], ratio.
    """

    key: str
    first_week: float
    last_week: float
    row: str = ""
    said: str = ""
    forces: tuple[float, float, float] | None = None


def published_steps() -> tuple[Step, ...]:
    """The steps with the ranges of published protocols and of stated assumptions."""
    out = []
    for stage in STAGES:
        low, high = published_weeks(stage)
        said = "long" if stage.key == "hold" else "once" if low < 0.5 else ""
        out.append(Step(stage.key, low, high, stage.published, said))
    return (*out, _full())


def planned_steps(protection: Protection) -> tuple[Step, ...]:
    """The steps as protection plans them for this patient: the longer of margin and schedule."""
    out = []
    for line in protection.lines:
        low, high = line.published_low_week, line.published_high_week
        row = next(stage.published for stage in STAGES if stage.key == line.key)
        forces = (line.load_p50_N, line.strength_p05_N, line.ratio)
        if line.key == "hold":
            key = "hold_frame" if protection.hold == "frame" else line.key
            out.append(Step(key, low, high, row=row, said="keep", forces=forces))
        elif line.week is None:
            out.append(Step(line.key, low, high, row=row, said="unknown", forces=forces))
        else:
            out.append(Step(line.key, line.week, line.week, row=row, said="earliest", forces=forces))
    return (*out, _full())


def _full() -> Step:
    row = load().row(FULL_ROW)
    return Step("full", 0.0, row.high * WEEKS_A_MONTH, row.id, "until")


def patient_page(
    planned: Planned,
    language: str = "en",
    large: bool = False,
    paper: str = "a4",
    own_lines: Sequence[str] = (),
    operation_on: date | None = None,
    kind: Format = "pdf",
    steps: Sequence[Step] = (),
) -> list[bytes]:
    """The page as PDF bytes. `operation_on` turns weeks into dates; `steps` replace the published ranges."""
    content = patient_content(
        planned,
        words_in(language),
        large,
        paper=paper,
        own_lines=own_lines,
        operation_on=operation_on,
        steps=steps or published_steps(),
    )
    return typeset("patient", content, planned.made_at, kind)


def patient_content(
    planned: Planned,
    words: Words,
    large: bool,
    paper: str,
    own_lines: Sequence[str],
    operation_on: date | None,
    steps: Sequence[Step],
) -> dict[str, Any]:
    """Everything that stands on both sides."""
    side = planned.case.side
    return {
        **stamp_in(planned, words),
        "paper": PAPERS[paper],
        "large": large,
        "title": words.line("patient.title"),
        "intro": words.line("patient.intro", side_word=words.line(f"side.{side}_word")),
        "blocks": _blocks(planned, words),
        "stages": {
            "heading": words.line("patient.stages_heading"),
            "intro": words.line("patient.stages_planned" if _own_times(steps) else "patient.stages_intro"),
            "when": words.line("patient.when_planned" if _own_times(steps) else "patient.when"),
            "yours": words.line("patient.yours"),
            "rows": [[words.line(f"stage.{each.key}"), _when(each, words, operation_on)] for each in steps],
        },
        "cautions_heading": words.line("patient.cautions_heading"),
        "cautions": own_habits(planned, words),
        "call": words.line("patient.call"),
        "decide_heading": words.line("patient.decide_heading"),
        "decide": words.line("patient.decide"),
        "own_heading": words.line("patient.own_heading"),
        "own": own(own_lines),
        "therapist": _therapist(planned, words, steps),
    }


def _own_times(steps: Sequence[Step]) -> bool:
    """True when the times were worked out for this patient."""
    return any(each.forces is not None for each in steps)


def _blocks(planned: Planned, words: Words) -> list[dict[str, Any]]:
    chance = chance_of_lift(planned)
    given = {
        **plain_operation(planned.outcome, words),
        "draws": planned.weighing.draws,
        "count": chance.count,
        "low": chance.low,
        "high": chance.high,
    }
    return [
        {
            "kind": name,
            "heading": words.line(f"patient.{name}_heading"),
            "items": words.lines(f"patient.{name}", **given),
        }
        for name in ("what", "expect", "do", "dont", "warning")
    ]


def plain_operation(outcome: Outcome, words: Words) -> dict[str, str]:
    """Which muscle is moved and what it is sewn to, as the patient would say it."""
    first, *more = dict.fromkeys(words.line(f"muscle.{name}") for name in outcome.choice.donor.split(" + "))
    muscle = words.line("muscle.and", first=first, second=more[0]) if more else first
    to = recipients()[outcome.choice.recipient.split(" + ")[0]]
    return {"muscle": muscle, "recipient": words.line(f"recipient.{'bone' if to.bone else 'tendon'}")}


def _when(stage: Step, words: Words, operation_on: date | None) -> str:
    said = f"_{stage.said}" if stage.said else ""
    if operation_on is None:
        return words.line(f"patient.day{said}", first=f"{stage.first_week:.0f}", last=f"{stage.last_week:.0f}")
    first, last = (operation_on + timedelta(days=round(7.0 * week)) for week in (stage.first_week, stage.last_week))
    return words.line(f"patient.date{said}", first=words.date(first), last=words.date(last))


def range_in(key: str, spread: Spread, words: Words) -> str:
    """Middle and nine tenths of an angle in the language of the page."""
    return words.spread(spread, words.turn if key == "hindfoot_in_lift_deg" else words.angle)


def _therapist(planned: Planned, words: Words, steps: Sequence[Step]) -> dict[str, Any]:
    outcome, tendons = planned.outcome, planned.leg.tendons(planned.leg.fixing)
    choice = outcome.choice
    row = load().row(STRETCH_ROW)
    targets = [
        [words.line(f"therapist.{name}"), range_in(key, spread, words)]
        for name, key in TARGETS
        if (spread := outcome.spread(key)) is not None
    ]
    return {
        "title": words.line("therapist.title"),
        "intro": words.line("therapist.intro"),
        "operation": words.line("therapist.operation"),
        "told": [
            *(_way(one.laid, words) for one in tendons),
            words.line(
                "therapist.sewn",
                ankle=words.angle(choice.fixing.ankle_deg),
                knee=f"{choice.fixing.knee_deg:.0f}",
                mark=words.mark(choice.set_stretch_mm),
            ),
            *dict.fromkeys(
                words.line(
                    "therapist.junction",
                    junction=words.line(f"site.{one.laid.recipient.name}"),
                    overlap=f"{mm(one.overlap):.0f}",
                )
                for one in tendons
            ),
        ],
        "targets_heading": words.line("therapist.targets"),
        "targets": targets,
        "forces_heading": words.line("therapist.forces_heading"),
        "forces": _forces(steps, words),
        "careful": words.line("therapist.careful"),
        "careful_lines": words.lines(
            "therapist.careful_lines", stretch_from=f"{row.low:.0f}", stretch_to=f"{row.high:.0f}"
        ),
        "sources": words.line("therapist.sources", rows=", ".join(each.row for each in steps if each.row)),
    }


def _way(part: RoutedDonor, words: Words) -> str:
    """Donor, route and recipient in words of the trade."""
    return words.line(
        "therapist.way",
        donor=words.line(f"donor.{part.donor.muscle}"),
        route=words.line(f"route.{part.route.name}"),
        site=words.line(f"site.{part.recipient.name}"),
    )


def _forces(steps: Sequence[Step], words: Words) -> list[str]:
    """What the junction carries in each step against what it stands then; a line for every step."""
    return [
        words.line("therapist.no_forces")
        if each.forces is None
        else words.line(
            "therapist.forces",
            load=f"{each.forces[0]:.0f}",
            strength=f"{each.forces[1]:.0f}",
            ratio=f"{each.forces[2]:.1f}",
        )
        for each in steps
    ]
