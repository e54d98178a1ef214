"""A short calf in the browser: from what leads after each procedure to a frozen plan that names it; who chose what."""

from __future__ import annotations

import re
from typing import Any

import pytest

from .app_browser import Served, grave_findings, new_page, pictures, settled, wide_of
from .test_path import CHOICES_S, opened
from .where_from_walk import numbers_without_note

CARD = "section.card:has(.calf-first)"
STEPS = "Step by step"
SEWN = "!document.querySelector('section.card > .waiting').children.length"
READY = "!document.querySelector('.button.main').disabled"


NOT_YET = pytest.mark.xfail(
    reason="not written anew yet: the calf part on Choices stands behind a fold, and a short calf counts as lengthened "
    "unless the plan says otherwise, so the start of this path is another one",
    run=False,
)


@NOT_YET
@pytest.mark.slow
def test_from_calf_first_to_a_frozen_plan_that_names_the_procedure(chromium: Any, quick: Served) -> None:
    page = new_page(chromium)
    case = opened(page, quick, "Stiff calf")
    page.goto(f"{case}/choices")
    way = page.get_by_role("link", name="Set the calf procedure on Plan, with A")
    way.wait_for(timeout=CHOICES_S)
    what_leads_stands_side_by_side(page)
    way.focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/plan?choice=*#calf")
    page.wait_for_function("document.activeElement.id === 'calf'")
    page.wait_for_selector(".instruction li", state="attached", timeout=CHOICES_S)
    page.get_by_text(STEPS, exact=True).click()
    page.get_by_text("Other postures", exact=True).click()
    the_program_chooses_until_the_surgeon_does(page)
    a_procedure_is_set_by_keys(page)
    page.wait_for_function(READY, timeout=CHOICES_S)
    page.get_by_role("button", name="Look it over before freezing").click()
    told = page.locator(".review").inner_text()
    assert "First the calf: Achilles lengthening, 9° expected" in told
    assert "Set by the surgeon: calf procedure, gain of the calf. Chosen by the program: set stretch" in told
    pictures(page, "plan-calf", ("1024",))
    assert numbers_without_note(page) == []
    assert grave_findings(page) == []
    page.set_viewport_size({"width": 320, "height": 900})
    assert wide_of(page) == 0
    page.get_by_role("button", name="Freeze for the right foot").click()
    page.wait_for_selector("ul.kept li:has-text('after Achilles lengthening')")
    assert page.problems == []
    assert page.outside == []


def what_leads_stands_side_by_side(page: Any) -> None:
    """Every choice that leads under some procedure has a row for each, with the caution in sight."""
    table = page.locator("table.calf-beside")
    choices = table.locator("tbody").count()
    assert choices >= 3
    for said in ("calf left as it is", "after gastrocnemius recession", "after Achilles lengthening"):
        assert table.get_by_text(said, exact=True).count() == choices
        assert page.locator(f"ul.leads li:has-text('{said[1:]}')").count() == 1
    assert table.locator("td:has-text('in 100')").count() == 3 * choices
    assert "is not counted" in page.locator("section:has(> div table.calf-beside) .watch").inner_text()


def sewn_at(page: Any) -> str:
    """The ankle as the instruction tells it, as the slider should say it."""
    words = page.locator(".instruction").inner_text()
    found = re.search(r"Hold the foot at (?:(\d+)° (up|down)|neutral)", words)
    assert found is not None, words
    return f"{found[1]}° {found[2]}" if found[1] else "neutral"


def slider(page: Any, label: str) -> Any:
    """One slider of the card, by its label."""
    return page.locator(f"{CARD} .slider", has=page.get_by_label(label, exact=True))


def said(page: Any, words: str) -> None:
    """Waits for what became of the last entry, and for ruler and drawing to follow it."""
    page.wait_for_selector(f"{CARD} .said:has-text('{words}')")
    page.wait_for_function(SEWN, timeout=CHOICES_S)


def the_program_chooses_until_the_surgeon_does(page: Any) -> None:
    """The ankle stands where it is really sewn; what is set stays and is warned about; a button hands it back."""
    ankle = slider(page, "Ankle as sewn")
    at = ankle.locator(".value").inner_text()
    assert at == sewn_at(page)
    assert at.endswith("down")
    assert f"{at}\n" in page.locator("table.exchange .here").inner_text().replace("\t", "\n")
    assert ankle.locator(".by").inner_text() == "chosen by the program"
    assert "instead of the usual 8° up" in page.locator(f"{CARD} .watch").inner_text()
    tension = slider(page, "Mark of the muscle").locator(".value").inner_text()
    typed = page.get_by_label("Ankle as sewn, typed")
    typed.fill("12")
    page.keyboard.press("Tab")
    page.wait_for_selector(f"{CARD} .why:has-text('Write 40° up or 20° down at most.')")
    typed.fill("12 up")
    page.keyboard.press("Tab")
    said(page, "version 2")
    assert ankle.locator(".by").inner_text() == "set by the surgeon"
    assert sewn_at(page) == ankle.locator(".value").inner_text() == "12° up"
    assert "The plan sews with the ankle 12° up" in page.locator(f"{CARD} .watch").inner_text()
    assert slider(page, "Mark of the muscle").locator(".value").inner_text() != tension
    page.get_by_role("button", name="Let the program choose the posture").click()
    said(page, "version 3")
    assert ankle.locator(".value").inner_text() == at
    assert slider(page, "Mark of the muscle").locator(".value").inner_text() == tension


def a_procedure_is_set_by_keys(page: Any) -> None:
    """It is pressed, its gain typed; another drops that gain; undo brings both back; it stays in view."""
    page.get_by_role("button", name="Achilles lengthening").focus()
    page.keyboard.press("Enter")
    said(page, "version 4")
    strip = page.locator(".calf-strip")
    assert "First the calf: Achilles lengthening" in strip.inner_text()
    assert sewn_at(page).endswith("up")
    page.get_by_label("Gain expected from it, typed").fill("9")
    page.keyboard.press("Tab")
    said(page, "version 5")
    assert "lengthening, 9° expected" in strip.inner_text()
    page.get_by_role("button", name="Gastrocnemius recession").focus()
    page.keyboard.press("Space")
    said(page, "version 6")
    assert "gastrocnemius recession" in strip.inner_text()
    assert "9° expected" not in strip.inner_text()
    assert slider(page, "Gain expected from it").locator(".by").inner_text() == "chosen by the program"
    page.locator(CARD).get_by_role("button", name="Undo").click()
    said(page, "Taken back; version 7")
    assert "Achilles lengthening, 9° expected" in strip.inner_text()
    assert slider(page, "Gain expected from it").locator(".by").inner_text() == "set by the surgeon"
    page.evaluate("scrollTo(0, document.body.scrollHeight)")
    assert strip.bounding_box()["y"] >= 0
    page.evaluate("scrollTo(0, 0)")


@NOT_YET
@pytest.mark.slow
def test_what_cannot_be_sewn_as_it_is_set_shows_nothing_of_another_way(chromium: Any, quick: Served) -> None:
    page = new_page(chromium)
    case = opened(page, quick, "Stiff calf")
    page.goto(f"{case}/findings?part=move")
    settled(page)
    for knee, angle, version in (("straight", "-20", 2), ("bent", "-15", 3)):
        page.locator(f"#f-range-affected-dorsiflexion-knee-{knee}-deg").fill(angle)
        page.keyboard.press("Tab")
        page.wait_for_selector(f".said:has-text('version {version}')")
    page.goto(f"{case}/plan?choice=tibialis_posterior.membrane_over.long_extensors_below")
    for name, sewn in (("Achilles lengthening", True), ("None", False), ("Achilles lengthening", True)):
        page.get_by_role("button", name=name, exact=True).click()
        page.wait_for_selector(".calf-strip", state="visible" if sewn else "hidden", timeout=CHOICES_S)
        page.wait_for_selector(".profile svg", state="visible" if sewn else "hidden", timeout=CHOICES_S)
        shown = "10° down" if sewn else "20° down"
        page.wait_for_selector(f"{CARD} .slider:has-text('Ankle as sewn') .value:has-text('{shown}')")
        assert page.locator(".problem").count() == (0 if sewn else 1)
        if not sewn:
            assert "names no release that brings it to neutral" in page.locator(".problem").inner_text()
            assert page.get_by_role("button", name="Look it over before freezing").is_disabled()
            assert not page.locator("table.answers").is_visible()
    assert page.problems == []
