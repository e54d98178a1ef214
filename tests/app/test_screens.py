"""The first screen of the choices: how many words, how many rungs, no label on another; axe without any finding."""

from __future__ import annotations

from typing import Any

import pytest

from .app_browser import Served, all_findings, new_page, settled, wide_of

WAIT_MS = 240_000  # a machine that compiles and is shared; no time is asserted here
MOST_WORDS = 350

WORDS = """() => {
  const seen = (node) => {
    if (!node.parentElement.checkVisibility({ visibilityProperty: true })) return false;  // in a closed fold
    const range = document.createRange();
    range.selectNodeContents(node);
    return [...range.getClientRects()].some((r) => r.width > 1 && r.height > 1 && r.top < innerHeight && r.bottom > 0);
  };
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  let words = 0;
  while (walker.nextNode()) {
    const node = walker.currentNode;
    if (!node.data.trim() || node.parentElement.closest("script, style, .sr, .note, .skip") || !seen(node)) continue;
    words += node.data.trim().split(/\\s+/).filter((token) => /\\p{L}/u.test(token)).length;
  }
  return words;
}"""

TOUCHING = """(axis) => {
  const boxes = [...document.querySelectorAll(axis + " span")].filter((s) => s.getClientRects().length)
    .map((s) => ({ word: s.innerText, box: s.getBoundingClientRect() }));
  const room = document.querySelector(axis).getBoundingClientRect();
  const out = boxes.filter((b) => b.box.left < room.left - 1 || b.box.right > room.right + 1).map((b) => b.word);
  for (const a of boxes) for (const b of boxes)
    if (a !== b && a.box.left < b.box.right && b.box.left < a.box.right
        && a.box.top < b.box.bottom && b.box.top < a.box.bottom)
      out.push(a.word + " on " + b.word);
  return { words: boxes.map((b) => b.word), out };
}"""

ROOM = """() => {
  const foot = innerHeight, rungs = [...document.querySelectorAll(".rungs > div > ol > li")];
  const all = rungs.map((r) => r.getBoundingClientRect());
  const usual = [...all].sort((a, b) => a.height - b.height)[Math.floor(all.length / 2)].height;
  const whole = all.filter((r) => r.bottom <= foot + 1).length;
  return { whole, of: all.length, room: (foot - all[0].top) / usual };
}"""


def opened(page: Any, served: Served) -> str:
    """The choices of the stiff calf, weighed; returns the address of the case."""
    page.goto(served.address)
    settled(page)
    page.get_by_role("button", name="Stiff calf", exact=True).click()
    page.wait_for_url("**/findings*")
    case = str(page.url).rsplit("/", 1)[0]
    page.goto(f"{case}/choices")
    page.wait_for_selector(".rungs > div > ol > li", timeout=WAIT_MS)
    page.wait_for_selector(".asks li", timeout=WAIT_MS)
    return case


@pytest.mark.slow
def test_the_first_screen_of_the_choices(chromium: Any, quick: Served) -> None:
    page = new_page(chromium)
    case = opened(page, quick)
    assert page.evaluate(WORDS) < MOST_WORDS
    enough_rungs(page)
    labels_apart(page)
    no_findings(page, "choices")
    page.get_by_role("button", name="more way").first.click()
    further = page.locator(".rungs .further li a").first
    assert "/plan?choice=" in str(further.get_attribute("href"))
    no_findings(page, "choices, a rung folded out")
    for fold in page.locator(".folds details.more > summary").all():
        fold.click()
    no_findings(page, "choices, all folds open")
    assert page.evaluate(TOUCHING, ".ladder .axis")["out"] == []
    assert (
        page.locator(".rungs .donor > a").first.get_attribute("href").startswith(f"{case[len(quick.address) :]}/plan")
    )
    for place in ("/", "/evidence"):
        page.goto(quick.address + place)
        settled(page)
        no_findings(page, place)
    assert page.problems == []


def enough_rungs(page: Any) -> None:
    """Seven rungs fit on a desk, four on a tablet, three on a phone, or as many as there are."""
    for width, height, wanted in ((1440, 900, 7), (1024, 768, 4), (390, 844, 3)):
        page.set_viewport_size({"width": width, "height": height})
        page.evaluate("scrollTo(0, 0)")
        page.wait_for_timeout(200)
        found = page.evaluate(ROOM)
        assert found["whole"] >= min(wanted, found["of"]), f"{found} at {width}"
        assert found["room"] >= wanted, f"{found} at {width}"


def labels_apart(page: Any) -> None:
    """No word of the axis touches another or leaves its column, whatever the width; neutral always stands."""
    for width in (1440, 1280, 1024, 800, 768, 390, 320):
        page.set_viewport_size({"width": width, "height": 900})
        page.wait_for_timeout(200)
        found = page.evaluate(TOUCHING, ".rungs .axis")
        assert found["out"] == [], width
        assert "neutral" in found["words"], width
        assert wide_of(page) == 0, width
    page.set_viewport_size({"width": 1440, "height": 900})


def no_findings(page: Any, name: str) -> None:
    """Axe finds nothing, light or dark, whatever its weight."""
    for look in ("light", "dark"):
        page.emulate_media(color_scheme=look)
        page.wait_for_timeout(150)
        assert all_findings(page) == [], f"{name}, {look}"
    page.emulate_media(color_scheme="light")


@pytest.mark.slow
def test_the_head_follows_what_is_stored(chromium: Any, served: Served) -> None:
    page = new_page(chromium)
    page.goto(served.address)
    settled(page)
    page.get_by_role("button", name="Stiff calf", exact=True).click()
    page.wait_for_url("**/findings*")
    settled(page)
    assert page.locator(".head .plate .word").inner_text() == "right foot"
    assert "common peroneal lesion" in page.locator(".head .about").inner_text()
    page.goto(f"{str(page.url).split('/findings')[0]}/findings?part=person")
    page.locator("#f-person-age-years").fill("62")
    page.wait_for_selector(".head .about:has-text('man, 62')")
    page.evaluate("scrollTo(0, document.body.scrollHeight)")
    assert page.locator(".head .plate").bounding_box()["y"] >= 0
