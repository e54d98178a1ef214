"""`sinewright page` and `sinewright draw`: pages for theatre, patient and consent, and the pictures on their own."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sinewright.cli.screen import progress_bar
from sinewright.errors import InputError
from sinewright.options import CaseText, Draws, Seed, StoreOption

if TYPE_CHECKING:
    from sinewright.case import Case
    from sinewright.export.patient import Step
    from sinewright.export.planned import Planned, PlanReference

OUTPUT = "--output"

page_app = typer.Typer(
    name="page", help="Write a page as PDF: theatre, patient, consent.", rich_markup_mode=None, no_args_is_help=True
)
draw_app = typer.Typer(
    name="draw",
    help="Write a picture as SVG or PNG: profile, ladder, ruler.",
    rich_markup_mode=None,
    no_args_is_help=True,
)

PdfFile = Annotated[
    Path, typer.Option("-o", OUTPUT, metavar="FILE.pdf", help="The file to write, whole or not at all.")
]
PictureFile = Annotated[
    Path, typer.Option("-o", OUTPUT, metavar="FILE.svg", help="The file to write, .svg or .png, whole or not at all.")
]
Choice = Annotated[
    str | None,
    typer.Option("--choice", metavar="CHOICE", help="Operation: a number of the ladder, an id, or whole words of one."),
]
Draft = Annotated[
    bool, typer.Option("--draft", help="Without a choice: print the first operation, with DRAFT across every page.")
]
Paper = Annotated[str, typer.Option("--paper", metavar="a4|letter", help="Size of the paper.")]
Large = Annotated[bool, typer.Option("--large", help="Large print.")]
Lines = Annotated[
    list[str] | None, typer.Option("--line", metavar="TEXT", help="A line of your own for this page; may be repeated.")
]
When = Annotated[
    str | None,
    typer.Option("--when", metavar="TIME", help="Time on the page, 2026-11-24T14:05; else now, or that of the plan."),
]
Language = Annotated[str, typer.Option("--language", metavar="en|de|FILE", help="Or a translation file.")]
PlanNumber = Annotated[
    int | None, typer.Option("--plan", metavar="N", min=1, help="Print this kept plan of a stored case.")
]
Construct = Annotated[
    str | None,
    typer.Option("--construct", metavar="NAME", help="How the junction is sewn, a name that protect lists."),
]


@dataclass(frozen=True)
class PageRequest:
    """What a page is made from: the case, the plan it may come from with what was chosen in it, draws, seed, time."""

    case: Case
    kept: PlanReference | None
    draws: int
    seed: int
    made_at: datetime
    chosen: str | None = None


@page_app.command(short_help="One side of paper for theatre.")
def theatre(
    case: CaseText, output: PdfFile, choice: Choice = None, paper: Paper = "a4", large: Large = False,
    construct: Construct = None, line: Lines = None, when: When = None, plan: PlanNumber = None,
    draft: Draft = False, draws: Draws = 1000, seed: Seed = 1, store: StoreOption = None,
) -> None:  # fmt: skip
    """Write the theatre page: side, dangers, drawing, marks and millimetres, order of steps, what to do when the foot
    rests wrong, cautions. One side, of an operation that was chosen; the hospital's checklist stays the master."""
    from sinewright.export.theatre import theatre_page

    target = _target(output, case, (".pdf",))
    size = _paper(paper)
    asked = _chosen(_asked(case, store, plan, when=when, draws=draws, seed=seed), choice, draft)
    planned = replace(_planned(asked, choice, construct), draft=draft)
    _write(target, theatre_page(planned, size, line or (), large, construct=construct)[0])


@page_app.command(short_help="For the patient, in plain words, and for the therapist.")
def patient(
    case: CaseText, output: PdfFile, choice: Choice = None, paper: Paper = "a4", large: Large = False,
    language: Language = "en",
    operated_on: Annotated[
        str | None, typer.Option("--operated-on", metavar="DATE", help="Turns weeks into dates: 2026-12-01.")
    ] = None,
    construct: Construct = None,
    hold: Annotated[str, typer.Option("--hold", metavar="KIND", help="cast, boot or frame.")] = "cast",
    pace: Annotated[str, typer.Option("--pace", metavar="PACE", help="early, usual or late.")] = "usual",
    line: Lines = None, when: When = None, plan: PlanNumber = None, draft: Draft = False, draws: Draws = 1000,
    seed: Seed = 1, store: StoreOption = None,
) -> None:  # fmt: skip
    """Write the page for patient and therapist: what is planned, steps with dates, what to do and not to do, warning
    signs. The team decides."""
    from sinewright.export.patient import patient_page
    from sinewright.wording.language import words_in

    target = _target(output, case, (".pdf",))
    words_in(language)
    day = _day(operated_on)
    size = _paper(paper)
    asked = _chosen(_asked(case, store, plan, when=when, draws=draws, seed=seed), choice, draft)
    planned = replace(_planned(asked, choice, construct), draft=draft)
    steps = _steps(planned, construct, hold, pace=pace, draws=draws, seed=seed) if construct else ()
    _write(
        target,
        patient_page(planned, language, large, paper=size, own_lines=line or (), operation_on=day, steps=steps)[0],
    )


@page_app.command(short_help="What the leading choices may bring, for the talk before consent.")
def consent(
    case: CaseText, output: PdfFile, choice: Choice = None, paper: Paper = "a4", large: Large = False,
    language: Language = "en", when: When = None, plan: PlanNumber = None, draws: Draws = 1000, seed: Seed = 1,
    store: StoreOption = None,
) -> None:  # fmt: skip
    """Write the consent companion: leading choices as counts of 100 with intervals, other ways, risks with their
    sources, what cannot be known. It is no consent form."""
    from sinewright.export.consent import consent_page
    from sinewright.wording.language import words_in

    target = _target(output, case, (".pdf",))
    words_in(language)
    size = _paper(paper)
    planned = _planned(_asked(case, store, plan, when=when, draws=draws, seed=seed), choice)
    _write(target, consent_page(planned, size, large, language=language)[0])


@draw_app.command(short_help="The leg with one operation, to scale.")
def profile(
    case: CaseText, output: PictureFile, choice: Choice = None,
    ankle: Annotated[
        float | None, typer.Option("--ankle", metavar="DEG", min=-60, max=40, help="Foot angle, up is plus; else sewn.")
    ] = None,
    subtalar: Annotated[
        float, typer.Option("--subtalar", metavar="DEG", help="Hindfoot angle, inward positive.", min=-30, max=40)
    ] = 0.0,
    draws: Draws = 1000, seed: Seed = 1, store: StoreOption = None,
) -> None:  # fmt: skip
    """Draw the leg profile: side and front view at the patient's own scale, before and after, slack or tight."""
    from sinewright.export.drawing import profile_of

    target = _target(output, case, (".svg", ".png"))
    planned = _planned(_asked(case, store, None, when=None, draws=draws, seed=seed), choice)
    _write_picture(target, profile_of(planned, ankle, subtalar))


@draw_app.command(short_help="One rung for each donor, with its doubt.")
def ladder(
    case: CaseText, output: PictureFile,
    top: Annotated[int, typer.Option("--top", min=1, metavar="K", help="Donors to draw.")] = 8,
    draws: Draws = 1000, seed: Seed = 1, store: StoreOption = None,
) -> None:  # fmt: skip
    """Draw the choice ladder: one rung for each donor as in the answer of weigh, a line for each that is ruled out."""
    from sinewright.export.ladder import draw_ladder
    from sinewright.export.ladder_picture import ladder_of
    from sinewright.plan import weigh

    target = _target(output, case, (".svg", ".png"))
    asked = _asked(case, store, None, when=None, draws=draws, seed=seed)
    with progress_bar("weighing the choices") as progress:
        weighing = weigh(asked.case, draws=draws, seed=seed, progress=progress)
    _write_picture(target, draw_ladder(ladder_of(weighing, top)))


@draw_app.command(short_help="What each millimetre of set stretch does.")
def ruler(
    case: CaseText, output: PictureFile, choice: Choice = None,
    measured: Annotated[
        float | None, typer.Option("--measured", metavar="MM", help="A second mark: set stretch found on the table.")
    ] = None,
    draws: Draws = 1000, seed: Seed = 1, store: StoreOption = None,
) -> None:  # fmt: skip
    """Draw the tension ruler of one choice."""
    from sinewright.export.drawing import ruler_of

    target = _target(output, case, (".svg", ".png"))
    planned = _planned(_asked(case, store, None, when=None, draws=draws, seed=seed), choice)
    _write_picture(target, ruler_of(planned, measured))


def _steps(planned: Planned, construct: str, hold: str, pace: str, draws: int, seed: int) -> tuple[Step, ...]:
    """The steps as `protect` plans them for this operation."""
    from sinewright.export.patient import planned_steps
    from sinewright.protect.protection import Wish, protection
    from sinewright.protect.stages import HOLDS, PACES

    if hold not in HOLDS:
        raise InputError("--hold", hold, ", ".join(HOLDS), "choose one of them")
    if pace not in PACES:
        raise InputError("--pace", pace, ", ".join(PACES), "choose one of them")
    stretch = planned.outcome.choice.set_stretch_mm
    wish = Wish(construct, hold=hold, pace=pace, planned_mm=stretch)
    return planned_steps(protection(planned.case, planned.outcome.choice.id, wish, draws, seed))


def _target(output: Path, case: str, endings: tuple[str, ...]) -> Path:
    from sinewright.files import check_target

    if output.suffix.lower() not in endings:
        raise InputError(OUTPUT, output.name, f"a name that ends in {' or '.join(endings)}", "choose such a name")
    return check_target(output, keep=Path(case), option=OUTPUT)


def _paper(paper: str) -> str:
    from sinewright.export.typeset import PAPERS

    if paper.lower() not in PAPERS:
        raise InputError("--paper", paper, " or ".join(PAPERS), "choose one of them")
    return paper.lower()


def _day(text: str | None) -> date | None:
    try:
        return date.fromisoformat(text) if text is not None else None
    except ValueError:
        raise InputError("--operated-on", text, "a date such as 2026-12-01", "write year, month and day") from None


def _time(text: str | None) -> datetime | None:
    if text is None:
        return None
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        raise InputError("--when", text, "a time such as 2026-11-24T14:05", "write date and time") from None
    return found if found.tzinfo is not None else found.replace(tzinfo=UTC)


def _asked(case: str, store: str | None, number: int | None, when: str | None, draws: int, seed: int) -> PageRequest:
    """The case as it is now, or as it was frozen in a kept plan, with the draws and the seed of that plan."""
    from sinewright.cli.case_argument import case_from

    told = _time(when)
    if number is None:
        return PageRequest(case_from(case, store), None, draws, seed, told or datetime.now(UTC))
    return _from_plan(case, store, number, told)


def _from_plan(name: str, store: str | None, number: int, when: datetime | None) -> PageRequest:
    from sinewright.case import case_from_tables, changed
    from sinewright.export.planned import PlanReference
    from sinewright.store.flat import with_dates
    from sinewright.store.opening import open_store
    from sinewright.store.plans import data_digest
    from sinewright.version import __version__

    with open_store(store) as opened:
        plans = {plan.number: plan for plan in opened.plans(name.lower())}
    if number not in plans:
        have = ", ".join(map(str, plans)) or "none"
        raise InputError("--plan", number, f"a kept plan of {name} ({have})", "weigh with --keep makes one")
    kept = plans[number]
    if (kept.plan.program_version, kept.plan.data_digest) != (__version__, data_digest()):
        made = f"made by version {kept.plan.program_version} or other reference data"
        raise InputError(
            "--plan", f"plan {number}, {made}", f"a plan of this program ({__version__})", "weigh it again"
        )
    made_at = when or datetime.fromisoformat(kept.made_at)
    case = case_from_tables(with_dates(dict(kept.inputs)), name)
    plan, reference = kept.plan, PlanReference(number, kept.superseded_by)
    if kept.chosen is None:
        return PageRequest(case, reference, plan.draws, plan.seed, made_at)
    case = changed(case, {"plan.set_stretch_mm": kept.chosen.set_stretch_mm})
    return PageRequest(case, reference, plan.draws, plan.seed, made_at, chosen=kept.chosen.id)


def _chosen(asked: PageRequest, choice: str | None, draft: bool) -> PageRequest:
    """The same request. Raises InputError, before anything is worked out, when nobody chose and it is no draft."""
    if choice is None and asked.chosen is None and not draft:
        from sinewright.export.planned import not_chosen

        raise not_chosen()
    return asked


def _planned(asked: PageRequest, choice: str | None, construct: str | None = None) -> Planned:
    from sinewright.cli.case_argument import operation_meant
    from sinewright.export.planned import plan_page, refuse_construct

    choice = operation_meant(asked.case, choice) if choice is not None else asked.chosen
    if choice is not None:
        refuse_construct(asked.case, choice, construct)
    with progress_bar("working out the page") as progress:
        return plan_page(
            asked.case, choice, asked.made_at, draws=asked.draws, seed=asked.seed, kept=asked.kept, progress=progress
        )


def _write(target: Path, content: bytes | str) -> None:
    from sinewright.files import write_whole

    write_whole(target, content, OUTPUT)


def _write_picture(target: Path, svg: str) -> None:
    if target.suffix.lower() == ".svg":
        _write(target, svg)
        return
    from sinewright.export.typeset import picture_png

    _write(target, picture_png(svg))
