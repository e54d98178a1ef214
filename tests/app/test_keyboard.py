"""The full path with keys alone, at 200 % zoom and without motion: from a case to the release of a stage.

No mouse and no focus set by the test: Tab, Shift+Tab, Enter, Space, arrows and what is typed. Every stop on the way
must be seen: it has a size, lies in the window and has a visible mark of focus.
"""

from __future__ import annotations

from typing import Any

import pytest

from .app_browser import Served, new_page, settled

WAIT_MS = 240_000  # a machine that compiles and is shared; no time is asserted here
MOST_STOPS = 250

STOP = """() => {
  const at = document.activeElement;
  if (!at || at === document.body) return null;
  const marked = at.closest(".pick, .ways-of label") || at, look = getComputedStyle(marked);
  const rect = marked.getBoundingClientRect();
  const label = at.labels && at.labels.length ? at.labels[0].innerText : "";
  const words = at.getAttribute("aria-label") || label || at.innerText || at.value || "";
  return {
    words: words.replace(/\\s+/g, " ").replace(" :", ":").trim(), tag: at.tagName, type: at.type || "", id: at.id,
    ringed: look.outlineStyle !== "none" && parseFloat(look.outlineWidth) >= 2 || at.matches("main"),
    sized: rect.width > 1 && rect.height > 1,
    inside: rect.bottom > 0 && rect.top < innerHeight && rect.right > 0 && rect.left < innerWidth,
  };
}"""


class Keys:
    """Somebody who has a keyboard only."""

    def __init__(self, page: Any) -> None:
        self.page = page

    def press(self, *keys: str) -> None:
        """Presses one key after the other."""
        for key in keys:
            self.page.keyboard.press(key)

    def stop(self) -> dict[str, Any] | None:
        """What has the focus; it must be seen to have it."""
        found: dict[str, Any] | None = self.page.evaluate(STOP)
        if found is not None:
            assert found["ringed"] and found["sized"] and found["inside"], found
        return found

    def to(self, words: str, tag: str = "", key: str = "Tab") -> dict[str, Any]:
        """Goes on with the tab key to what is called so."""
        seen = []
        for _ in range(MOST_STOPS):
            self.press(key)
            found = self.stop()
            seen.append(found["words"] if found else "-")
            if found and words in found["words"] and found["tag"].startswith(tag):
                return found
        raise AssertionError(f"{words} cannot be reached by {key}: {seen}")

    def do(self, words: str, tag: str = "", key: str = "Enter") -> None:
        """Goes to what is called so and presses Enter."""
        self.to(words, tag)
        self.press(key)

    def follow(self, words: str, place: str) -> None:
        """Follows the link of the head of the page."""
        self.do(words, "A")
        self.page.wait_for_url(f"**/{place}*")
        settled(self.page)

    def past_the_head(self) -> None:
        """The first stop of a page leads past its head."""
        self.press("Tab")
        found = self.stop()
        assert found is not None
        assert found["words"] == "To the content"
        self.press("Enter")
        assert self.page.evaluate("document.activeElement.id") == "content"

    def see(self, wanted: str) -> None:
        """Waits for something on the page."""
        self.page.wait_for_selector(wanted, timeout=WAIT_MS)


@pytest.mark.slow
def test_from_a_case_to_the_release_of_a_stage_with_keys_alone(chromium: Any, quick: Served) -> None:
    page = new_page(chromium, reduced_motion="reduce")
    page.set_viewport_size({"width": 720, "height": 450})  # 1440 x 900 at 200 %
    keys = Keys(page)
    page.goto(quick.address)
    settled(page)
    keys.past_the_head()
    keys.do("Stiff calf", "BUTTON")
    page.wait_for_url("**/findings*")
    settled(page)
    examined(keys)
    chosen(keys)
    planned(keys)
    keys.follow("Theatre", "theatre")
    on_the_table(keys)
    keys.follow("Protect", "protect")
    released(keys)
    assert page.evaluate("document.getAnimations().length") == 0
    assert page.problems == []


def examined(keys: Keys) -> None:
    """An angle is typed, stored and taken back; where it comes from is read."""
    keys.past_the_head()
    keys.do("Move", "BUTTON")
    keys.see("table.pair")
    found = keys.to("Passive dorsiflexion, knee straight", "INPUT")
    assert found["id"] == "f-range-affected-dorsiflexion-knee-straight-deg"
    keys.press("Control+a")
    keys.page.keyboard.type("-5")
    keys.press("Enter")
    keys.see(".said:has-text('version 2')")
    keys.to("Undo", "BUTTON", "Shift+Tab")
    keys.press("Enter")
    keys.see(".said:has-text('Taken back')")
    keys.do("Where from: Range of both legs", "SUMMARY")
    keys.see("details[open] .origins li")
    keys.do("On to the choices", "A")
    keys.page.wait_for_url("**/choices")
    settled(keys.page)


def chosen(keys: Keys) -> None:
    """A rung folds out, a weight is moved, all ways are ordered, opened and compared, one is planned."""
    keys.see(".rungs > div > ol > li")
    keys.past_the_head()
    keys.do("more way", "BUTTON")
    keys.see(".rungs .further li")
    keys.to("no brace", "INPUT")
    keys.press("ArrowLeft")
    keys.see(".said:has-text('Stored, version')")
    keys.page.wait_for_function("!document.querySelector('.answered .waiting progress')", timeout=WAIT_MS)
    keys.do("Every way in one table", "SUMMARY")
    keys.see("table.ladder tbody tr")
    rows = "[...document.querySelectorAll('table.ladder tbody tr')].map((r) => r.dataset.id).join()"
    before = keys.page.evaluate(rows)
    keys.to("Order by", "SELECT")
    keys.press("ArrowDown")
    keys.page.wait_for_function(f"(old) => {rows} !== old", arg=before)
    keys.do("compare", "INPUT", "Space")
    keys.see("#beside table.beside")
    keys.do("where from", "BUTTON")
    keys.see("tr.notes details")
    keys.do("lift, knee straight", "SUMMARY")
    keys.see("tr.notes details[open]")
    keys.to("plan", "A", "Shift+Tab")
    keys.press("Enter")
    keys.page.wait_for_url("**/plan?choice=*")
    settled(keys.page)


def planned(keys: Keys) -> None:
    """The foot and the tension are moved by arrows, and the plan is frozen after a look."""
    page = keys.page
    keys.see(".profile svg")
    keys.see("dl.facts")
    before = page.inner_html(".profile")
    found = keys.to("Foot", "INPUT")
    assert found["type"] == "range"
    keys.press("ArrowLeft")
    page.wait_for_function("(old) => document.querySelector('.profile').innerHTML !== old", arg=before)
    keys.to("Mark of the muscle", "INPUT")
    keys.press("ArrowRight")
    keys.see(".said:has-text('Stored, version')")
    page.wait_for_function("!document.querySelector('.button.main').disabled", timeout=WAIT_MS)
    keys.do("Look it over before freezing", "BUTTON")
    keys.see(".review")
    keys.do("Freeze for the", "BUTTON")
    keys.see("text=Plan 1 is frozen.")


def on_the_table(keys: Keys) -> None:
    """A resting angle is entered with its direction and taken back."""
    keys.see(".tile")
    keys.to("Foot rests", "INPUT")
    keys.page.keyboard.type("25")
    found = keys.to("up", "INPUT")
    assert found["type"] == "radio"
    keys.press("ArrowRight")  # down
    keys.do("Enter", "BUTTON")
    keys.see("ol.entries li:has-text('resting angle 25° down')")
    keys.do("Take the last entry back", "BUTTON")
    keys.see("ol.entries .back")


def released(keys: Keys) -> None:
    """Date and junction give stages, which are kept and released by a role."""
    keys.to("Date of the operation", "INPUT")
    keys.page.keyboard.type("03042026")
    keys.see(".wide ol.stages li")
    keys.do("Keep these stages", "BUTTON")
    keys.see("button:has-text('Release ')")
    keys.do("Release ", "BUTTON")
    keys.see("text=by the surgeon")
