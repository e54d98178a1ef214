"""What stands on the first screen of Plan and Theatre: every control of the plan, few words, nothing under a button."""

from __future__ import annotations

import re
from typing import Any

import pytest

from .app_browser import Served, grave_findings, new_page, pictures, settled, wide_of
from .test_path import CHOICES_S, opened

WORDS = """() => {
  let words = 0;
  const word = (text) => text.split(/\\s+/)
    .filter((each) => /[a-z]{2,}/i.test(each) && !/^(up|down|mm|Nm)$/.test(each)).length;
  const seen = (box) => box.width && box.right > 0 && box.top < innerHeight;
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode, at = node.parentElement;
    if (at.closest(".sr, script, style, title, desc")) continue;
    if (!at.checkVisibility({ opacityProperty: true, visibilityProperty: true })) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    if (seen(range.getBoundingClientRect())) words += word(node.data);
  }
  for (const typed of document.querySelectorAll("input[type=text]"))
    if (seen(typed.getBoundingClientRect())) words += word(typed.value);
  return words;
}"""
"""Every word that is read without scrolling, in drawings too; a number with its unit and direction is none."""
HIT = """(label) => {
  const box = label.getBoundingClientRect();
  return [0.1, 0.3, 0.5, 0.7, 0.9].every((share) =>
    label.contains(document.elementFromPoint(box.left + share * box.width, box.top + 0.5 * box.height)));
}"""
CONTROLS = (
    "Ankle as sewn", "Knee as sewn", "Hindfoot as sewn", "Overlap", "Mark of the muscle", "Foot", "Heel",
)  # fmt: skip


@pytest.mark.slow
def test_plan_and_theatre_say_little_and_hide_nothing(chromium: Any, quick: Served) -> None:
    page = new_page(chromium)
    case = opened(page, quick, "Borderline donor")
    what_is_not_known_is_said(page, case)
    page.goto(f"{case}/plan?choice=1")
    page.wait_for_selector("dl.facts", timeout=CHOICES_S)
    page.wait_for_selector(".profile svg", timeout=CHOICES_S)
    the_plan_fits_the_first_screen(page)
    page.get_by_role("button", name="Look it over before freezing").click(timeout=CHOICES_S)
    assert "not a medical device" in page.locator(".review").inner_text()
    page.get_by_role("button", name="Freeze for the left foot").click()
    page.wait_for_selector("text=Plan 1 is frozen.")
    page.goto(f"{case}/theatre", wait_until="commit")
    page.wait_for_selector(".tile")
    settled(page)
    theatre_is_silent(page)
    the_direction_can_be_met_on_a_phone(page)
    theatre_answers(page)
    assert page.problems == []
    assert page.outside == []


def what_is_not_known_is_said(page: Any, case: str) -> None:
    """An operation that does not exist is refused in words, without controls; a part of a word is none."""
    for choice in ("nonsense", "long_peroneal"):
        page.goto(f"{case}/plan?choice={choice}")
        page.wait_for_selector("h1:has-text('No such operation')")
        assert page.locator(".slider").count() == 0
        assert page.get_by_role("link", name="To the choices").count() == 1


def the_plan_fits_the_first_screen(page: Any) -> None:
    """Everything that sets the plan is in the first 900 px; the mark's thumb stands under the ruler's pointer."""
    for name in CONTROLS:
        box = page.get_by_label(name, exact=True).bounding_box()
        assert box["y"] + box["height"] <= 900, name
    for name in ("Not decided", "Achilles lengthening", "Look it over before freezing", "See it solid", "Undo"):
        box = page.get_by_role("button", name=name, exact=True).bounding_box()
        assert box["y"] + box["height"] <= 900, name
    assert page.evaluate(WORDS) < 250
    assert wide_of(page) == 0
    assert grave_findings(page) == []
    pictures(page, "plan-first")


def theatre_is_silent(page: Any) -> None:
    """Planned numbers stand; nothing is advised before anything is measured."""
    assert page.locator(".answer").inner_text() == "Nothing measured yet."
    assert page.evaluate(WORDS) < 150
    assert grave_findings(page) == []
    assert not re.search(r"\d deg\b", page.locator("#content").inner_text())
    pictures(page, "theatre-first")


def the_direction_can_be_met_on_a_phone(page: Any) -> None:
    """At 390 px no button lies on the words of a direction."""
    page.set_viewport_size({"width": 390, "height": 844})
    labels = page.locator(".table-entry .ways-of label")
    assert labels.count() >= 6
    for place in range(labels.count()):
        label = labels.nth(place)
        if label.is_visible():
            label.evaluate("(label) => label.scrollIntoView({ block: 'center' })")
            assert label.evaluate(HIT), label.inner_text()
    assert wide_of(page) == 0
    page.set_viewport_size({"width": 1440, "height": 900})


def theatre_answers(page: Any) -> None:
    """A reading stands beside what was planned; the first line says what would bring it back, or to leave it."""
    tile = page.locator(".tile").last.locator("b").inner_text()
    page.get_by_label("Foot rests", exact=True).fill("25")
    first = page.locator(".table-entry").first
    first.get_by_text("down", exact=True).click()
    first.get_by_role("button", name="Enter").click()
    entered = page.locator("ol.entries li")
    page.wait_for_selector(".answer .lead", timeout=CHOICES_S)
    assert f"planned {tile}" in entered.first.inner_text()
    said = page.locator(".answer").inner_text()
    assert "draw more" not in said
    assert not re.search(r"\d deg\b", said)
    page.get_by_role("button", name="Take the last entry back").click()
    page.wait_for_selector(".answer:has-text('Nothing measured yet.')")
