"""Whatever is typed is printed as text, or refused with a sentence: no markup, no hidden signs, no flood."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from sinewright.errors import InputError
from sinewright.export.consent import consent_page
from sinewright.export.labels import Label, LabelColumn, place_labels
from sinewright.export.ladder import draw_ladder
from sinewright.export.ladder_picture import ladder_of
from sinewright.export.patient import patient_page
from sinewright.export.planned import Planned
from sinewright.export.print_text import LONGEST, print_text
from sinewright.export.profile import ProfileView, draw_profile
from sinewright.export.svg import Picture
from sinewright.export.theatre import theatre_page
from sinewright.results import Fired, View
from sinewright.transfer.surgery import Recipient

from .paper import sheets, words_of

MARKUP = (
    '#panic("x") $x$ *bold* _it_ @ref <label> \\ #import "a.typ"',
    "</text><script>alert(1)</script>&amp;<!--",
    "]] #sys.inputs {{ }} `raw` = heading",
    "../../etc/passwd %s %n {0.__class__} ${name}",
)
REFUSED = (
    ("\u202eevil", "hidden sign U\\+202E"),
    ("a\u200fb", "hidden sign U\\+200F"),
    ("bell\x07", "hidden sign U\\+0007"),
    ("nul\x00", "hidden sign U\\+0000"),
    ("esc\x1b[31m", "hidden sign U\\+001B"),
    ("\u05e9\u05dc\u05d5\u05dd", "Latin letters"),
    ("\u0645\u0631\u062d\u0628\u0627", "Latin letters"),
    ("x" * 10_000, "at most"),
    ("\ud800", "hidden sign U\\+D800"),
)


@pytest.mark.parametrize("text", MARKUP)
def test_markup_in_a_line_of_ones_own_prints_as_typed(right_foot: Planned, text: str) -> None:
    for pdf in (theatre_page(right_foot, own_lines=[text])[0], patient_page(right_foot, own_lines=[text])[0]):
        told = words_of(pdf)
        assert "".join(text.split()) in "".join(told.split())


@pytest.mark.parametrize("text", MARKUP)
def test_markup_in_every_text_of_the_weighing_prints_as_typed(right_foot: Planned, text: str) -> None:
    """Reason, title, rules with a written override, cautions and options all come from outside the page."""
    view = View(text, "key", text, "read")
    outcome = replace(
        right_foot.outcome,
        reason=text,
        rules=(Fired("code", "block", text, (view,), override=text),),
        choice=replace(right_foot.outcome.choice, title=text, subtitle=text),
    )
    changed = replace(right_foot, outcome=outcome, weighing=replace(right_foot.weighing, rules=(), warnings=()))
    squeezed = "".join(text.split())
    for pdf in (theatre_page(changed)[0], consent_page(changed)[0]):
        assert "".join(words_of(pdf).split()).count(squeezed) >= 3


@pytest.mark.parametrize(("text", "said"), REFUSED)
def test_what_cannot_be_printed_is_refused_with_a_sentence(right_foot: Planned, text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        theatre_page(right_foot, own_lines=[text])
    with pytest.raises(InputError, match=said):
        patient_page(right_foot, own_lines=[text])
    with pytest.raises(InputError, match=said):
        theatre_page(replace(right_foot, outcome=replace(right_foot.outcome, reason=text)))
    with pytest.raises(InputError, match=said):
        consent_page(replace(right_foot, outcome=replace(right_foot.outcome, reason=text)))


@pytest.mark.parametrize(("text", "said"), [each for each in REFUSED if "at most" not in each[1]])
def test_a_picture_refuses_what_is_no_text(right_foot: Planned, text: str, said: str) -> None:
    """The reason of a choice can hold what a surgeon wrote against a rule: a hidden sign would break the drawing."""
    first, *rest = right_foot.weighing.outcomes
    outcomes = (replace(first, status="doubtful", reason=text), *rest)
    ladder = ladder_of(replace(right_foot.weighing, outcomes=outcomes), len(outcomes))
    with pytest.raises(InputError, match=said):
        draw_ladder(ladder)
    with pytest.raises(InputError, match=said):
        Picture(0.0, 0.0, 9.0, 9.0, text, "").render()


def test_ten_thousand_letters_in_a_picture_are_text(right_foot: Planned) -> None:
    first, *rest = right_foot.weighing.outcomes
    outcomes = (replace(first, status="doubtful", reason="x" * 10_000), *rest)
    root = ElementTree.fromstring(draw_ladder(ladder_of(replace(right_foot.weighing, outcomes=outcomes), 99)))
    lines = [each.text or "" for each in root.iter("{http://www.w3.org/2000/svg}text")]
    assert sum(line.count("x") for line in lines if set(line) == {"x"}) >= 9_000
    height = float(root.get("viewBox", "").split()[3])
    assert all(float(each.get("y", 0)) < height for each in root.iter("{http://www.w3.org/2000/svg}text"))


def test_more_lines_than_fit_are_refused(right_foot: Planned) -> None:
    with pytest.raises(InputError, match="at most 4"):
        theatre_page(right_foot, own_lines=["a"] * 5)


def test_a_long_word_and_a_long_text_stay_on_the_page(right_foot: Planned) -> None:
    """600 letters without a gap break inside the column; the page stays one side or is refused with a sentence."""
    long = replace(right_foot.outcome, reason="x" * LONGEST)
    (only,) = sheets(theatre_page(replace(right_foot, outcome=long))[0])
    assert max(box[2] for box in only.boxes) < only.width - 7.0
    assert only.words.replace(" ", "").count("x" * 26) >= 20


@pytest.mark.parametrize("text", ["Äpfel, naïve, Straße, Łódź, İstanbul?"[:30], "5 ≤ x ± 2 °", "tab\tand\nline"])
def test_letters_of_the_font_pass_and_white_space_becomes_one_line(text: str) -> None:
    if "İ" in text:
        with pytest.raises(InputError, match="Latin letters"):
            print_text("f", text)
        return
    assert print_text("f", text) == " ".join(text.split())


@pytest.mark.parametrize("text", MARKUP)
def test_words_in_a_picture_are_text(right_foot: Planned, text: str) -> None:
    picture = Picture(0.0, 0.0, 100.0, 100.0, text, text)
    picture.text((1.0, 1.0), text)
    place_labels(picture, [Label((5.0, 5.0), text, text)], LabelColumn(10.0, 80.0, 0.0, 90.0, "start"))
    root = ElementTree.fromstring(picture.render())
    assert {each.tag.split("}")[1] for each in root} <= {"title", "desc", "text", "path", "circle"}
    assert root.find("{http://www.w3.org/2000/svg}title").text == text  # type: ignore[union-attr]


def test_a_recipient_with_markup_stays_text_in_the_profile(right_foot: Planned) -> None:
    leg = right_foot.leg
    moved = leg.sewn.moved
    assert moved is not None
    part = moved.parts[0]
    odd = Recipient(**{**part.recipient.__dict__, "title": MARKUP[1]})
    changed = replace(leg, sewn=replace(leg.sewn, moved=replace(moved, parts=(replace(part, recipient=odd),))))
    root = ElementTree.fromstring(draw_profile(changed, ProfileView(0.0)))
    assert not [each for each in root.iter() if each.tag.endswith("script")]
