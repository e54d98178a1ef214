"""Plan, theatre and weeks after in a browser: the solid leg turns, a reading outlives a kill, weeks are chosen."""

from __future__ import annotations

from typing import Any

import pytest

from .app_browser import Served, grave_findings, new_page, settled, wide_of
from .test_path import CHOICES_S, opened

CANVAS = ".solid canvas"
DRAWN = "document.querySelector('.solid canvas')?.dataset.drawn > 0"
PIXELS = "document.querySelector('.solid canvas').toDataURL()"


@pytest.mark.slow
def test_from_the_solid_leg_to_the_weeks_after(chromium: Any, quick: Served) -> None:
    page = new_page(chromium, reduced_motion="reduce")
    case = opened(page, quick, "Borderline donor")
    page.goto(f"{case}/plan")
    page.wait_for_selector("dl.facts", timeout=CHOICES_S)
    assert not page.locator(CANVAS).is_visible()
    page.get_by_role("button", name="See it solid").click()
    page.wait_for_function(DRAWN, timeout=CHOICES_S)
    the_solid_is_turned(page)
    every_number_says_where_from(page)
    page.get_by_role("button", name="Look it over before freezing").click()
    assert "with ankle 8° up, hindfoot straight, knee 30° bent" in page.locator(".review").inner_text()
    page.get_by_role("button", name="Freeze for the left foot").click()
    page.wait_for_selector("text=Plan 1 is frozen.")
    assert page.problems == []
    assert page.outside == []
    page = a_reading_outlives_a_kill(page, quick, case)
    problems: list[str] = []
    page.on("pageerror", lambda error: problems.append(str(error)))
    weeks_are_chosen(page, case)
    assert problems == []


def changes(page: Any, act: Any) -> bool:
    """True when the picture of the solid changes by something that is done."""
    before = page.evaluate(PIXELS)
    act()
    page.wait_for_function(f"(old) => {PIXELS} !== old", arg=before)
    return True


def the_solid_is_turned(page: Any) -> None:
    """By key, by button, by drag; it follows the slider of the foot and the look; words say side and view."""
    words = page.locator(".solid-words")
    assert words.inner_text().startswith("L  Left leg, seen from the outer side and in front")
    canvas = page.locator(CANVAS)
    canvas.focus()
    assert changes(page, lambda: page.keyboard.press("ArrowLeft"))
    assert changes(page, lambda: page.get_by_role("button", name="Inner side", exact=True).click())
    assert words.inner_text().endswith("seen from the inner side")
    assert "Seen from the inner side" in canvas.get_attribute("aria-label")
    box = canvas.bounding_box()
    page.mouse.move(box["x"] + 100, box["y"] + 100)
    page.mouse.down()
    assert changes(page, lambda: page.mouse.move(box["x"] + 190, box["y"] + 110, steps=4))
    page.mouse.up()
    canvas.focus()
    assert changes(page, lambda: page.keyboard.press("Home"))
    page.get_by_label("Foot", exact=True).focus()
    assert changes(page, lambda: page.keyboard.press("ArrowLeft"))
    assert "foot 7° up" in canvas.get_attribute("aria-label")
    assert changes(page, lambda: page.get_by_role("button", name="Light or dark").click())
    page.get_by_role("button", name="Light or dark").click()


def every_number_says_where_from(page: Any) -> None:
    """Each line of what follows has a mark of its own that opens to rows and stays inside the window."""
    rows = page.locator("table.answers tr")
    assert rows.count() == rows.locator("details.source-note").count() > 3
    mark = rows.nth(1).locator("summary")
    mark.focus()
    page.keyboard.press("Enter")
    note = rows.nth(1).locator(".note")
    assert "Found on this patient" in note.inner_text()
    assert "[pa-riener-b0]" in note.inner_text()
    assert grave_findings(page) == []
    assert wide_of(page) == 0
    page.keyboard.press("Escape")
    assert not note.is_visible()


def a_reading_outlives_a_kill(page: Any, quick: Served, case: str) -> Any:
    """Knee and limb go in with an angle; what was typed and not stored is there after a kill, and is stored once."""
    page.goto(f"{case}/theatre")
    page.wait_for_selector(".answer p", timeout=CHOICES_S)
    asked = page.locator(".table-entry").first
    asked.get_by_label("Foot rests", exact=True).fill("12")
    asked.get_by_text("down", exact=True).click()
    asked.get_by_label("Foot rests: knee bent").fill("90")
    asked.get_by_text("shank hanging").click()
    asked.get_by_role("button", name="Enter").click()
    told = "li:has-text('resting angle 12° down, shank hanging, knee 90° bent')"
    page.wait_for_selector(f"ol.entries {told}", timeout=CHOICES_S)
    assert asked.get_by_label("Foot rests", exact=True).input_value() == ""
    page.get_by_text("4 more readings").click()
    page.get_by_label("Spring scale at the mark").fill("40")
    quick.kill()
    page.locator(".table-entry", has_text="Spring scale").get_by_role("button", name="Enter").click()
    page.wait_for_selector("text=Not stored yet", timeout=CHOICES_S)
    quick.start("--draws", "100", enter=False)
    again = page.context.new_page()
    page.close()
    again.set_default_timeout(30_000)
    again.goto(quick.printed)  # as the program itself opens it
    settled(again)
    again.goto(f"{case}/theatre")
    again.wait_for_selector(f"ol.entries {told}", timeout=CHOICES_S)
    spring = again.locator(".table-entry", has_text="Spring scale")
    again.wait_for_selector("text=Typed before and not yet entered.")
    assert again.get_by_label("Spring scale at the mark").input_value() == "40"
    spring.get_by_role("button", name="Enter").click()
    again.wait_for_selector("ol.entries li:has-text('spring scale 40 N')", timeout=CHOICES_S)
    again.reload()
    again.wait_for_selector("ol.entries li:has-text('spring scale 40 N')", timeout=CHOICES_S)
    assert again.locator("ol.entries > li").count() == 2
    return again


def weeks_are_chosen(page: Any, case: str) -> None:
    """Date and junction give a calendar; the pessimistic tests and an own week change it and are kept."""
    page.goto(f"{case}/protect")
    settled(page)
    page.get_by_label("Date of the operation").fill("2026-03-04")
    page.get_by_label("Junction").select_option("weave")
    page.wait_for_selector("table.month a.begins", timeout=CHOICES_S)
    assert page.locator("table.month caption").first.inner_text() == "March 2026"
    first = page.locator("a.begins[href='#stage-motion']")
    first.focus()
    page.keyboard.press("Enter")
    assert page.evaluate(
        "document.activeElement.closest('#stage-motion') !== null || location.hash === '#stage-motion'"
    )
    before = page.locator("#stage-motion").inner_text()
    page.get_by_text("How the weeks are planned").click()
    page.get_by_label("Strength tests").select_option("pessimistic")
    page.wait_for_function("(old) => document.querySelector('#stage-motion').innerText !== old", arg=before)
    page.get_by_text("Own weeks of the stages").click()
    page.get_by_label("First active motion, learning the new movement").fill("300")
    page.keyboard.press("Tab")
    page.wait_for_selector(".why:has-text('from 0 to 104 weeks')")
    page.get_by_label("First active motion, learning the new movement").fill("8")
    page.keyboard.press("Tab")
    page.wait_for_selector("#stage-motion:has-text('Scheduled for week 8')", timeout=CHOICES_S)
    margin = page.get_by_label("Margin wanted", exact=True)
    margin.focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_selector("#stage-motion:has-text('where 1.6 are wanted')", timeout=CHOICES_S)
    assert grave_findings(page) == []
    assert wide_of(page) == 0
    page.reload()
    page.wait_for_selector("#stage-motion:has-text('where 1.6 are wanted')", timeout=CHOICES_S)
    assert page.get_by_label("Strength tests").input_value() == "pessimistic"
    assert page.get_by_label("First active motion, learning the new movement").input_value() == "8"
