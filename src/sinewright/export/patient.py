"""The page for the patient, in plain words, and behind it one for the therapist. The team decides, not the page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from typing import Any

from sinewright.export.plain import own_habits
from sinewright.export.planned import CLEARS, LIFTS, Planned, hundred_of, refuse_unchosen
from sinewright.export.stamp import stamp_in
from sinewright.export.theatre import own
from sinewright.export.typeset import PAPERS, Format, typeset
from sinewright.protect.stages import STAGES, published_weeks
from sinewright.reference import load
from sinewright.results import Outcome, Protection, Spread
from sinewright.transfer.catalogue import RoutedDonor, recipients
from sinewright.units import mm
from sinewright.wording.answer import slap_sentence
from sinewright.wording.counts import percent
from sinewright.wording.language import Words, words_in

WEEKS_A_MONTH = 52.18 / 12.0
FULL_ROW = "rh-full-recovery"
STRETCH_ROW = "rh-no-passive-stretch"
TOE_TENDONS = {"extensor_digitorum_longus", "extensor_hallucis_longus", "peroneus_tertius"}
TOE_DONORS = {"flexor_digitorum_longus", "flexor_hallucis_longus"}
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

    `said`: "" begins between two weeks, "once" at once or up to a week, "keep" up to a week or until the team takes it
    off, "until" up to a week, "earliest" not before a week, "unknown" no week can be given. `forces`: pull and strength
    [N], ratio, the ratio asked for. `short_week`: week in which the margin is not kept as scheduled, None where it is;
    `gives`: shares of junctions that would give way then, and that may at most.
    """

    key: str
    first_week: float
    last_week: float
    row: str = ""
    said: str = ""
    forces: tuple[float, float, float, float] | None = None
    short_week: float | None = None
    gives: tuple[float, float] = (0.0, 0.0)


def published_steps() -> tuple[Step, ...]:
    """The steps with the ranges of published protocols and of stated assumptions."""
    out = []
    for stage in STAGES:
        low, high = published_weeks(stage)
        said = "keep" if stage.key == "hold" else "once" if low < 0.5 else ""
        out.append(Step(stage.key, low, high, stage.published, said))
    return (*out, _full())


def planned_steps(protection: Protection) -> tuple[Step, ...]:
    """The steps as protection plans them for this patient: the longer of margin and schedule."""
    out = []
    for line in protection.lines:
        row = next(stage.published for stage in STAGES if stage.key == line.key)
        forces = (line.load_p50_N, line.strength_p05_N, line.ratio, line.needed)
        short = None if line.green else line.scheduled_week
        key, first, last = line.key, line.week or 0.0, line.week or 0.0
        said = "unknown" if line.week is None else "earliest"
        if line.key == "hold":
            key = "hold_frame" if protection.hold == "frame" else line.key
            first, last, said = line.published_low_week, line.published_high_week, "keep"
        gives = (line.chance, protection.most_chance)
        out.append(Step(key, first, last, row=row, said=said, forces=forces, short_week=short, gives=gives))
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
    """The page as PDF bytes.

    Parameters
    ----------
    planned : Planned
        The operation; one that nobody chose is printed only where a draft was asked for.
    language : str
        ``en``, ``de`` or a translation file.
    large : bool
        Large print, on as many sides as it needs.
    paper : str
        ``a4`` or ``letter``.
    own_lines : sequence of str
        Typed by the team for this page.
    operation_on : date, optional
        Turns weeks into dates.
    kind : {"pdf", "png"}
        What is written.
    steps : sequence of Step
        In place of the published ranges.

    Raises
    ------
    InputError
        When nobody chose the operation, or a line cannot be printed.
    """
    refuse_unchosen(planned)
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
        "words_heading": words.line("patient.words_heading"),
        "words": [words.line("patient.words_want"), words.line("patient.words_ask")],
        "own_heading": words.line("patient.own_heading"),
        "own": own(own_lines),
        "therapist": _therapist(planned, words, steps),
    }


def _own_times(steps: Sequence[Step]) -> bool:
    """True when the times were worked out for this patient."""
    return any(each.forces is not None for each in steps)


def _blocks(planned: Planned, words: Words) -> list[dict[str, Any]]:
    items = {
        "what": [*words.lines("patient.what", **plain_operation(planned.outcome, words)), *calf_line(planned, words)],
        "expect": _expect(planned, words),
        "do": _with_toes("do", planned.outcome, words),
        "dont": _with_toes("dont", planned.outcome, words),
        "life": words.lines("patient.life"),
        "warning": words.lines("patient.warning"),
    }
    return [
        {"kind": name, "heading": words.line(f"patient.{name}_heading"), "items": lines}
        for name, lines in items.items()
    ]


def _expect(planned: Planned, words: Words) -> list[str]:
    """Both counts, clearing the floor first: that is what the patient asks for."""
    out = [words.line("patient.expect_legs", draws=planned.weighing.draws)]
    for name, key in (("clears", CLEARS), ("lifts", LIFTS)):
        if (found := hundred_of(planned, key)) is not None:
            out.append(words.line(f"patient.expect_{name}", count=found.count, low=found.low, high=found.high))
    if slap_sentence(planned.outcome.chances.get("lowers_foot")):
        out.append(words.line("patient.expect_slap"))
    return out + words.lines("patient.expect")


def _with_toes(block: str, outcome: Outcome, words: Words) -> list[str]:
    """What to do, or not to do, with the line about the toes that this junction asks for."""
    lines = words.lines(f"patient.{block}")
    held = toes_load(outcome)
    if block == "do":
        return [*lines[:2], words.line(f"patient.toes_{'held' if held else 'free'}"), *lines[2:]]
    return [*lines[:1], words.line("patient.toes_not"), *lines[1:]] if held else lines


def toes_load(outcome: Outcome) -> bool:
    """Whether toes that move by themselves pull on the junction: sewn to a toe extensor, or a toe flexor moved."""
    ends = [recipients()[name] for name in outcome.choice.recipient.split(" + ")]
    sewn = {tendon for end in ends for tendon in end.tendons}
    return bool(sewn & TOE_TENDONS or TOE_DONORS & set(outcome.choice.donor.split(" + ")))


def calf_line(planned: Planned, words: Words, group: str = "calf") -> list[str]:
    """The calf procedure of the plan in one line, for the patient or (``calf_trade``) the therapist; none without."""
    procedure = planned.case.plan.calf_procedure
    return [words.line(f"{group}.{procedure.replace(' ', '_')}")] if procedure and procedure != "none" else []


def plain_operation(outcome: Outcome, words: Words) -> dict[str, str]:
    """Which muscle is moved and what it is sewn to, as the patient would say it."""
    first, *more = dict.fromkeys(words.line(f"muscle.{name}") for name in outcome.choice.donor.split(" + "))
    muscle = words.line("muscle.and", first=first, second=more[0]) if more else first
    to = recipients()[outcome.choice.recipient.split(" + ")[0]]
    return {"muscle": muscle, "recipient": words.line(f"recipient.{'bone' if to.bone else 'tendon'}")}


def _when(stage: Step, words: Words, operation_on: date | None) -> str:
    said = f"_{stage.said}" if stage.said else ""
    if operation_on is None:
        return words.line(f"patient.day{said}", first=_week(stage.first_week), last=_week(stage.last_week))
    first, last = (operation_on + timedelta(days=ceil(7.0 * week)) for week in (stage.first_week, stage.last_week))
    return words.line(f"patient.date{said}", first=words.date(first), last=words.date(last))


def _week(week: float) -> str:
    """A week of a page without dates, never earlier than it is."""
    return f"{ceil(round(week, 6))}"


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
            *calf_line(planned, words, "calf_trade"),
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
        "stages": [words.line(f"stage_trade.{each.key}") for each in steps],
        "alarm": _alarm(steps, words),
        "forces_heading": words.line("therapist.forces_heading"),
        "forces": _forces(steps, words),
        "careful": words.line("therapist.careful"),
        "careful_lines": words.lines(
            "therapist.careful_lines", stretch_from=f"{row.low:.0f}", stretch_to=f"{row.high:.0f}"
        ),
        "sources": words.line("therapist.sources_planned" if _own_times(steps) else "therapist.sources"),
    }


def _way(part: RoutedDonor, words: Words) -> str:
    """Donor, route and recipient in words of the trade."""
    return words.line(
        "therapist.way",
        donor=words.line(f"donor.{part.donor.muscle}"),
        route=words.line(f"route.{part.route.name}"),
        site=words.line(f"site.{part.recipient.name}"),
    )


def _alarm(steps: Sequence[Step], words: Words) -> str:
    """The stages whose margin is not kept as scheduled, in one line; empty when every one keeps it."""
    short = [words.line(f"stage_trade.{each.key}") for each in steps if each.short_week is not None]
    return words.line("therapist.alarm", stages="; ".join(short)) if short else ""


def _forces(steps: Sequence[Step], words: Words) -> list[str]:
    """What the junction carries in each step against what it holds then; a line for every step, or none at all."""
    return [_force(each, words) for each in steps] if _own_times(steps) else []


def _force(step: Step, words: Words) -> str:
    if step.forces is None:
        return words.line("therapist.no_forces")
    load_N, strength_N, ratio, needed = step.forces
    given = {"load": f"{load_N:.0f}", "strength": f"{strength_N:.0f}", "ratio": f"{ratio:.1f}"}
    if step.short_week is None:
        return words.line("therapist.forces", **given)
    given |= {"ratio": f"{ratio:.2f}", "needed": f"{needed:.2f}", "week": f"{step.short_week:.1f}"}
    given |= {name: f"{percent(share):.1f}" for name, share in zip(("chance", "most"), step.gives, strict=True)}
    return words.line("therapist.forces_low", **given)
