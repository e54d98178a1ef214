"""Every page of every invented case: side, units, version, cautions, nothing over the edge, nobody's name."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from sinewright.case import Case, changed
from sinewright.choose.rules import ALL as RULES
from sinewright.errors import InputError
from sinewright.export.consent import consent_page
from sinewright.export.patient import Step, patient_page, planned_steps, published_steps
from sinewright.export.planned import Planned, PlanReference
from sinewright.export.theatre import CAUTIONS, cautions_of, theatre_page
from sinewright.protect.protection import Wish, protection
from sinewright.results import Fired, View
from sinewright.version import __version__
from sinewright.wording.directions import UP_DOWN, angle_words
from sinewright.wording.language import words_in

from .paper import sheets, words_of

Page = Callable[[Planned], list[bytes]]
PAGES: dict[str, Page] = {"theatre": theatre_page, "patient": patient_page, "consent": consent_page}
EDGE_MM = 7.0
PRINTER_MM = 5.0  # office printers leave up to this much white at the foot (common practice)
HASH = re.compile(r"page hash ([0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4})")


def free_texts(case: Case) -> list[str]:
    """Everything that somebody typed as free text into the case, where a name could stand."""
    found: list[str] = []

    def walk(value: object) -> None:
        if isinstance(value, dict):
            for key, inner in value.items():
                if isinstance(inner, str) and (
                    key.endswith("note") or key in ("by", "what", "own_words", "imaging", "kind")
                ):
                    found.append(inner)
                else:
                    walk(inner)
        elif isinstance(value, (list, tuple)):
            for inner in value:
                walk(inner)

    walk({**case.model_dump(), "brace": {}, "shoes": {}})
    return [text for text in found if len(text) > 12]


@pytest.mark.parametrize("page", PAGES)
def test_side_version_time_hash_and_page_number_stand_on_every_side(planned: Planned, page: str) -> None:
    pdf = PAGES[page](planned)[0]
    side = planned.case.side.upper()
    all_sheets = sheets(pdf)
    for number, sheet in enumerate(all_sheets, start=1):
        assert f"{side} FOOT" in sheet.words
        assert f"Sinewright {__version__}" in sheet.words and "2026-11-24 14:05 UTC" in sheet.words
        assert HASH.search(sheet.words) and f"page {number} of {len(all_sheets)}" in sheet.words
        assert planned.weighing.pseudonym in sheet.words
    other = "LEFT FOOT" if side == "RIGHT" else "RIGHT FOOT"
    assert other not in words_of(pdf)
    assert PAGES[page](planned)[0] == pdf, "same inputs, same bytes"


@pytest.mark.parametrize("page", PAGES)
def test_no_letter_stands_over_the_edge(planned: Planned, page: str) -> None:
    for sheet in sheets(PAGES[page](planned)[0]):
        assert (
            min(box[0] for box in sheet.boxes) > EDGE_MM and max(box[2] for box in sheet.boxes) < sheet.width - EDGE_MM
        )
        assert min(box[1] for box in sheet.boxes) > 3.0 and max(box[3] for box in sheet.boxes) < sheet.height - EDGE_MM


LONG_LINES = ["Straßenbahnhaltestellenwartehäuschen " * 2, "W" * 110, "a line of one's own " * 5]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("foot", ["left", "right"])
def test_nothing_overflows_with_long_texts_large_print_missing_data_on_either_foot(
    left_foot: Planned, right_foot: Planned, foot: str, language: str, large: bool, paper: str
) -> None:
    """The right foot has no finding at all, every rule and a superseded plan; the left one the findings of its case."""
    planned = left_foot
    if foot == "right":
        rules = tuple(Fired(rule.code, "warn", f"{rule.code} " * 12, (View("x", "x", "x", "read"),)) for rule in RULES)
        planned = replace(
            right_foot,
            case=Case(schema_version=1, pseudonym="bare", side="right"),
            outcome=replace(right_foot.outcome, rules=rules, reason="long reason " * 38),
            kept=PlanReference(1234, 1235),
        )
    side = words_in(language).line(f"side.{foot}")
    longest = words_in(language).line("stamp.superseded", old=1234, new=1235)
    pages = (
        consent_page(planned, paper, large, language=language)[0],
        patient_page(planned, language, large, paper, LONG_LINES, date(2026, 12, 1))[0],
    )
    for sheet in (sheet for pdf in pages for sheet in sheets(pdf)):
        assert side in sheet.words
        assert min(box[0] for box in sheet.boxes) > EDGE_MM
        assert max(box[2] for box in sheet.boxes) < sheet.width - EDGE_MM
        assert min(box[1] for box in sheet.boxes) > PRINTER_MM
        assert max(box[3] for box in sheet.boxes) < sheet.height - EDGE_MM
    if foot == "right":
        assert all(longest in words_of(pdf) for pdf in pages)


def test_the_hash_is_that_of_what_is_said(right_foot: Planned) -> None:
    def told(pdf: bytes) -> str:
        found = HASH.search(words_of(pdf))
        assert found
        return found[1]

    first = told(theatre_page(right_foot)[0])
    assert first == told(theatre_page(right_foot)[0])
    others = (theatre_page(right_foot, own_lines=["x"]), theatre_page(right_foot, "letter"))
    later = replace(right_foot, made_at=right_foot.made_at + timedelta(minutes=1))
    hashes = {first, *(told(each[0]) for each in (*others, theatre_page(later)))}
    assert len(hashes) == 4, "a line, the paper and the time stand on the page"


@pytest.mark.parametrize("page", PAGES)
def test_free_text_of_the_case_stays_in_the_case(planned: Planned, page: str) -> None:
    told = words_of(PAGES[page](planned)[0])
    typed = free_texts(planned.case)
    assert typed, "the invented cases hold free text"
    assert not [text for text in typed if text in told]


def test_the_theatre_page_holds_the_numbers_with_their_units(planned: Planned) -> None:
    pdf = theatre_page(planned, own_lines=["Pins clear of the tendon"])[0]
    told = words_of(pdf)
    assert len(sheets(pdf)) == 1
    rest = planned.outcome.spread("rest_on_table_deg")
    assert rest is not None and angle_words(rest.p50) in told and UP_DOWN.ends(rest) in told
    for one in planned.leg.tendons(planned.leg.fixing):
        assert f"{1000.0 * one.free:.0f} mm" in told and one.laid.donor.cut_at in told
        assert f"{1000.0 * one.overlap:.0f} mm" in told
    assert "knee 30°" in told and "foot rests at" in told
    assert "hospital's checklist is the master" in told and "Nothing is ticked" in told
    assert "patient's name, by hand" in told and "surgeon" in told
    assert "Not a medical device" in told and "Pins clear of the tendon" in told
    assert planned.outcome.choice.subtitle in told
    squeezed = re.sub(r"[- \x02]", "", told)  # a line may break at a hyphen, read back as U+0002
    cautions = cautions_of(planned, CAUTIONS)
    assert all(re.sub(r"[- ]", "", text) in squeezed for text in cautions), "cautions stand where the act is"
    assert not re.search(r"[☑☒✓✔]", told)


@pytest.mark.parametrize(("paper", "width", "height"), [("a4", 210.0, 297.0), ("letter", 215.9, 279.4)])
@pytest.mark.parametrize("large", [False, True])
def test_the_theatre_page_keeps_to_one_side_of_both_papers(
    planned: Planned, paper: str, width: float, height: float, large: bool
) -> None:
    longest = [
        "W" * 5 + " a line as long as a line may be, typed by a surgeon who wants to be sure of everything ok"[:100]
    ] * 4
    only, *more = sheets(theatre_page(planned, paper, longest, large)[0])
    assert not more
    assert (only.width, only.height) == (pytest.approx(width, abs=0.2), pytest.approx(height, abs=0.2))


def test_a_calf_procedure_comes_first(right_foot: Planned) -> None:
    case = changed(right_foot.case, {"plan.calf_procedure": "gastrocnemius recession", "plan.calf_gain_deg": 9.0})
    told = words_of(theatre_page(replace(right_foot, case=case))[0])
    assert "First the calf: gastrocnemius recession, 9° expected" in told
    assert told.index("First the calf") < told.index("Before dividing")


@pytest.mark.parametrize("page", PAGES)
def test_a_superseded_plan_says_so_in_its_print(right_foot: Planned, page: str) -> None:
    told = words_of(PAGES[page](replace(right_foot, kept=PlanReference(3, 4)))[0])
    assert "plan 3 was replaced by plan 4" in told and "Do not use this page" in told
    assert "replaced" not in words_of(PAGES[page](replace(right_foot, kept=PlanReference(3)))[0]).split("plan 3")[0]


def test_a_page_without_a_side_is_refused(right_foot: Planned) -> None:
    from sinewright.export.planned import plan_page

    for side in ("", "both", None):
        with pytest.raises(InputError, match="a page without a side is never printed"):
            plan_page(right_foot.case.model_copy(update={"side": side}), None, right_foot.made_at)


def test_missing_findings_are_said_not_guessed(right_foot: Planned) -> None:
    bare = Case(schema_version=1, pseudonym="bare", side="right", invented=True)
    told = words_of(theatre_page(replace(right_foot, case=bare))[0])
    for said in (
        "Cause not given",
        "time of onset not given",
        "force not measured",
        "not measured with the knee straight",
    ):
        assert said in told
    assert "Hindfoot not judged" in told and "Sole: feeling not tested" in told and "Blood thinner: not asked" in told


@pytest.mark.parametrize(("language", "side"), [("en", "RIGHT FOOT"), ("de", "RECHTER FUSS")])
def test_the_patient_page_in_each_language(right_foot: Planned, language: str, side: str) -> None:
    pdf = patient_page(right_foot, language, operation_on=date(2026, 12, 1), own_lines=["Ward 3"])[0]
    both = sheets(pdf)
    assert len(both) == 2 and all(side in sheet.words for sheet in both)
    told = words_of(pdf)
    assert "26 January 2027" if language == "en" else "26. Januar 2027" in told, "eight weeks after the operation"
    assert "Ward 3" in told
    assert ("Your team decides" if language == "en" else "Ihr Team entscheidet") in told
    assert ("Call us at once" if language == "en" else "Rufen Sie uns sofort an") in told


def test_large_print_is_large_and_complete(left_foot: Planned) -> None:
    usual, large = patient_page(left_foot)[0], patient_page(left_foot, large=True)[0]

    def height(pdf: bytes) -> float:
        tops = sorted(box[3] - box[1] for sheet in sheets(pdf) for box in sheet.boxes)
        return tops[len(tops) // 2]

    assert height(large) > 1.3 * height(usual)
    for said in ("Call us at once", "Do not smoke", "Your team decides", "For the therapist"):
        assert said in words_of(large)


def test_steps_of_a_plan_of_protection_replace_the_published_times(right_foot: Planned) -> None:
    steps = (
        Step("motion", 5.0, 5.0, "rh-range-first-active", "earliest", (100.0, 150.0, 1.5, 1.5)),
        Step("sport", 0, 0, "", "unknown"),
    )
    told = words_of(patient_page(right_foot, steps=steps)[0])
    assert "not before week 5" in told and "your team tells you" in told and "pull 100 N, holds 150 N (1.5 x)" in told
    assert "What other teams do" not in told
    assert published_steps()[0].key == "hold"


def test_an_external_frame_asks_the_patient_to_watch_its_pins(right_foot: Planned) -> None:
    wish = Wish("weave", hold="frame", planned_mm=4.0)
    steps = planned_steps(protection(right_foot.case, right_foot.outcome.choice.id, wish, 100, 1))
    assert "Tell us if a pin is red" in words_of(patient_page(right_foot, steps=steps)[0])
    assert "wenn ein Stift rot" in words_of(patient_page(right_foot, "de", steps=steps)[0]).replace("- ", "")


def test_the_consent_companion_counts_and_names_sources(planned: Planned) -> None:
    told = words_of(consent_page(planned)[0])
    assert len(re.findall(r"\d+ of 100 \(\d+ to \d+\)", told)) >= 2
    for said in ("Other ways", "Brace", "What we cannot know", "Not a consent form", "Your own leg may still do"):
        assert said in told
    assert ("5 of 17" in told) is ("tibialis_posterior" in planned.outcome.choice.donor)
    assert "signature" not in told.lower()


def test_pdf_is_tagged_and_pictures_speak(right_foot: Planned) -> None:
    pdf = theatre_page(right_foot)[0]
    assert b"/StructTreeRoot" in pdf and b"/MarkInfo" in pdf and b"/Lang" in pdf
    assert b"pdfuaid" in pdf or b"pdfua" in pdf.lower()


@pytest.mark.parametrize("page", PAGES)
def test_every_side_becomes_a_picture(planned: Planned, page: str) -> None:
    pictures = PAGES[page](planned, kind="png")  # type: ignore[call-arg]
    assert len(pictures) == len(sheets(PAGES[page](planned)[0]))
    assert all(picture.startswith(b"\x89PNG") and len(picture) > 20_000 for picture in pictures)
