"""The whole path in a real browser, as a user goes it, with a picture of every page; axe finds nothing grave."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from sinewright.evidence.registry import CHECKS

from .app_browser import Served, grave_findings, new_page, pictures, settled, wide_of
from .where_from_walk import numbers_shown, numbers_without_note

EXAMPLES = (
    "Borderline donor", "Deep branch strong peroneals", "Front compartment loss", "Knee dislocation common peroneal",
    "Stiff calf",
)  # fmt: skip
PARTS = ("History", "Look", "Feel", "Move", "Muscles", "Measure", "Life and goals", "Wishes for the plan")


def sound(page: Any, name: str) -> None:
    """Pictures of the page; every number can be followed back; nothing grave, nothing pushed sideways, no error, no
    request that leaves the machine."""
    pictures(page, name)
    assert numbers_shown(page) > 0 or name == "cases", "only the list of cases, while it is empty, shows no number"
    assert numbers_without_note(page) == []
    assert grave_findings(page) == []
    for width in (1440, 768, 720, 320):  # 720 is 1440 at 200 %
        page.set_viewport_size({"width": width, "height": 900})
        assert wide_of(page) == 0, f"{name} at {width}"
    page.set_viewport_size({"width": 1440, "height": 900})
    assert page.problems == []
    assert page.outside == []


def opened(page: Any, served: Served, example: str) -> str:
    """A fresh case from an example; returns its address."""
    page.goto(served.address)
    settled(page)
    page.get_by_role("button", name=example, exact=True).click()
    page.wait_for_url("**/findings*")
    settled(page)
    return str(page.url).rsplit("/", 1)[0]


@pytest.mark.slow
def test_cases_and_findings(chromium: Any, served: Served) -> None:
    page = new_page(chromium)
    page.goto(served.address)
    settled(page)
    sound(page, "cases")
    for example in EXAMPLES:
        opened(page, served, example)
        page.wait_for_selector("fieldset")
        assert page.locator(".plate .word").inner_text().endswith("foot")
    for part in PARTS:
        page.get_by_role("group", name="Parts of the examination").get_by_role("button", name=part).click()
        page.wait_for_function(f"document.querySelector('[aria-pressed=true]').innerText === '{part}'")
        page.wait_for_timeout(200)
        sound(page, f"findings-{part.split()[0].strip(',').lower()}")


@pytest.mark.slow
def test_the_printed_address_lets_one_browser_in_and_no_other(chromium: Any, tmp_path: Path) -> None:
    served = Served(tmp_path / "store" / "store.db")
    served.start(enter=False)
    try:
        mine, other = new_page(chromium, entered=False), new_page(chromium, entered=False)
        other.goto(served.address)
        assert "this browser has no key for it" in other.inner_text("body")
        mine.goto(served.printed)
        settled(mine)
        assert mine.url == f"{served.address}/"
        assert mine.evaluate("document.cookie") == ""
        assert mine.problems == []
        other.goto(served.printed)
        assert "its key was used already" in other.inner_text("body")
        (again,) = (line.split()[-1] for line in served.said if "for another browser" in line)
        other.goto(again)
        settled(other)
        mine.reload()
        settled(mine)
    finally:
        served.stop()


@pytest.mark.slow
def test_what_is_typed_is_checked_beside_its_field_and_stored(chromium: Any, served: Served) -> None:
    page = new_page(chromium)
    case = opened(page, served, "Stiff calf")
    page.goto(f"{case}/findings?part=move")
    settled(page)
    field = page.locator("#f-range-affected-dorsiflexion-knee-straight-deg")
    field.fill("95")
    why = page.locator(".cell.wrong .why")
    why.wait_for()
    assert "allowed is 70° down to 45° up" in why.inner_text()
    assert field.get_attribute("aria-invalid") == "true"
    field.fill("\u22126")  # a minus from a telephone
    page.wait_for_selector(".said:has-text('version 2')")
    assert page.locator(".cell.wrong").count() == 0
    page.reload()
    settled(page)
    assert field.input_value() == "6"
    assert page.locator(".cell", has=field).locator(".updown").input_value() == "down"


@pytest.mark.slow
def test_two_tabs_and_a_server_that_is_killed_lose_nothing(chromium: Any, tmp_path: Path) -> None:
    served = Served(tmp_path / "store" / "store.db")
    served.start()
    try:
        one = new_page(chromium)
        case = opened(one, served, "Stiff calf")
        two = new_page(chromium)
        for page in (one, two):
            page.goto(f"{case}/findings?part=measure")
            settled(page)
        one.locator("#f-leg-foot-length-mm").fill("260")
        one.wait_for_selector(".said:has-text('version 2')")
        two.wait_for_selector(".said:has-text('Changed elsewhere')")
        assert two.locator("#f-leg-foot-length-mm").input_value() == "260"
        two.locator("#f-leg-foot-breadth-mm").fill("99")
        two.wait_for_selector(".said:has-text('version 3')")
        served.kill()
        served.start()
        one = new_page(chromium)  # the old tab is busy finding the server again
        one.goto(f"{case}/findings?part=measure")
        settled(one)
        values = [one.locator(f"#f-leg-{name}-mm").input_value() for name in ("foot-length", "foot-breadth")]
        assert values == ["260", "99"]
        one.goto(served.address)
        settled(one)
        assert one.locator("ul.cases li").count() == 1
    finally:
        served.stop()


CHOICES_S = 240_000  # a machine that compiles and is shared; no time is asserted here


@pytest.mark.slow
@pytest.mark.parametrize("example", EXAMPLES)
def test_from_findings_to_a_frozen_plan(chromium: Any, quick: Served, example: str) -> None:
    page = new_page(chromium)
    case = opened(page, quick, example)
    side = page.locator(".plate .word").inner_text()
    page.get_by_role("link", name="On to the choices").click()
    page.wait_for_selector(".waiting progress")
    page.wait_for_selector(".rungs > div > ol > li", timeout=CHOICES_S)
    page.get_by_text("Every way in one table").click()
    page.wait_for_selector("table.ladder tbody tr")
    assert page.locator("table.ladder tr.set-aside").count() > 0
    plans = page.locator("table.ladder .acts a")
    assert plans.count() > 0
    for place in range(min(3, plans.count())):
        page.locator("table.ladder input[type=checkbox]").nth(place).click()
    page.wait_for_selector("#beside table.beside")
    page.wait_for_selector(".asks", timeout=CHOICES_S)
    if example == "Stiff calf":
        sound(page, "choices")
        focus_stays_with_its_choice(page)
        a_note_lists_every_row(page)
    plans.first.click()
    page.wait_for_url("**/plan?choice=*")
    page.wait_for_selector(".profile svg", timeout=CHOICES_S)
    page.wait_for_selector("dl.facts", timeout=CHOICES_S)
    assert side.split()[0].upper() in page.locator(".ruler").inner_html().upper()
    foot_moves_by_key(page)
    review = page.get_by_role("button", name="Look it over before freezing")
    review.focus()
    page.keyboard.press("Enter")
    if example == "Stiff calf":
        sound(page, "plan")
    page.get_by_role("button", name=f"Freeze for the {side}").click()
    page.wait_for_selector("text=Plan 1 is frozen.")
    page.goto(f"{case}/plan")
    settled(page)
    assert "plan 1 kept" in page.locator(".head .state").inner_text()
    measured_on_the_table(page, case, example)
    protected(page, case, example)
    assert page.problems == []
    assert page.outside == []


def focus_stays_with_its_choice(page: Any) -> None:
    """When the ladder is put in another order, whatever had the focus keeps it, with the same choice."""
    at = "document.activeElement.closest('tr')?.dataset.id + ' ' + document.activeElement.innerText"
    order = "[...document.querySelectorAll('table.ladder tr[data-id]')].map((r) => r.dataset.id).join()"
    select = "const at = document.querySelector('.filters select'); at.value = key"
    sort = f"(key) => {{ {select}; at.dispatchEvent(new Event('change')); }}"
    more = page.locator("table.ladder .between button")
    more.focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("table.ladder .between button:has-text('first 12 only')")
    assert "first 12 only" in page.evaluate("document.activeElement.innerText")
    for place, what in ((0, ".from"), (1, "a"), (2, "input"), (3, ".from")):
        page.locator("table.ladder tr[data-id]").nth(place).locator(f".acts {what}").focus()
        for key in ("reach_margin_mm", "lift_deg", "worth"):
            had, before = page.evaluate(at), page.evaluate(order)
            page.evaluate(sort, key)
            page.wait_for_function(f"(old) => {order} !== old", arg=before)
            assert page.evaluate(at) == had
    page.locator("table.ladder tr.workable, table.ladder tr.doubtful").last.locator(".from").focus()
    page.evaluate("document.querySelector('table.ladder .between button').click()")  # the choice is shown no more
    page.wait_for_selector("table.ladder .between button:has-text('more')")
    assert page.evaluate("!!document.activeElement.closest('table.ladder')")


def a_note_lists_every_row(page: Any) -> None:
    """A note leads to the list of every row at the foot of the page, each once."""
    page.locator(".finding summary").focus()
    page.keyboard.press("Enter")
    assert "stands at the foot of this page" in page.locator(".finding .note").inner_text()
    page.keyboard.press("Escape")
    page.locator("#every-row summary").focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("#every-row li:has-text('[own-told-apart]')")
    said = page.locator("#every-row summary").inner_text()
    assert page.locator("#every-row li").count() == int(said.split(": ")[1].split(",")[0])
    page.keyboard.press("Enter")


def measured_on_the_table(page: Any, case: str, example: str) -> None:
    """A reading goes in by large targets, millimetres come out, a reload keeps it, and it is taken back."""
    page.goto(f"{case}/theatre")
    page.wait_for_selector(".tile", timeout=CHOICES_S)
    page.get_by_label("Foot rests", exact=True).fill("25")
    first = page.locator(".table-entry").first
    first.get_by_text("down").click()
    first.get_by_role("button", name="Enter").click()
    page.wait_for_selector("ol.entries li:has-text('resting angle 25° down')", timeout=CHOICES_S)
    page.wait_for_selector(".answer p", timeout=CHOICES_S)
    page.reload()
    page.wait_for_selector("ol.entries li:has-text('resting angle 25° down')", timeout=CHOICES_S)
    page.wait_for_selector(".answer p", timeout=CHOICES_S)
    page.wait_for_selector(".tile", timeout=CHOICES_S)
    low = "e => e.getBoundingClientRect().height < 44"
    large = "[...document.querySelectorAll('.theatre .button, .ways-of label, .table-entry > input')]"
    assert page.evaluate(f"{large}.filter({low}).length") == 0
    if example == "Stiff calf":
        sound(page, "theatre")
    printed = page.request.get(f"{case}/theatre.pdf")
    assert printed.body().startswith(b"%PDF")
    page.get_by_role("button", name="Take the last entry back").click()
    page.wait_for_selector("ol.entries .back")


def protected(page: Any, case: str, example: str) -> None:
    """Date and junction in, stages out, kept, released by a role, and a calendar file without a name."""
    page.goto(f"{case}/protect")
    settled(page)
    page.get_by_label("Date of the operation").fill("2026-03-04")
    page.wait_for_selector(".date-words:has-text('4 March 2026, Wednesday')")
    page.wait_for_selector(".wide ol.stages li", timeout=CHOICES_S)
    page.get_by_role("button", name="Keep these stages").click()
    release = page.get_by_role("button", name="Release ").first
    release.wait_for()
    release.click()
    page.wait_for_selector("text=by the surgeon")
    assert page.get_by_label("Date of the operation").input_value() == "2026-03-04"
    assert ".." not in page.locator(".side").inner_text()
    if example == "Front compartment loss":
        sound(page, "protect")
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Calendar file of the visits").click()
    text = Path(waiting.value.path()).read_text("utf-8")
    assert text.startswith("BEGIN:VCALENDAR")
    assert case.rsplit("/", 1)[1] not in text
    with page.expect_download(timeout=CHOICES_S) as waiting:
        page.get_by_role("button", name="Patient page (PDF)").click()
    assert Path(waiting.value.path()).read_bytes().startswith(b"%PDF")
    page.reload()
    page.wait_for_selector(".wide ol.stages li", timeout=CHOICES_S)
    assert page.get_by_text("by the surgeon").count() == 1


def foot_moves_by_key(page: Any) -> None:
    """The foot of the drawing follows the arrow keys."""
    before = page.inner_html(".profile")
    page.get_by_label("Foot", exact=True).focus()
    page.keyboard.press("ArrowLeft")
    page.wait_for_function("(old) => document.querySelector('.profile').innerHTML !== old", arg=before)


@pytest.mark.slow
def test_a_calculation_shows_how_far_it_is_and_can_be_stopped(chromium: Any, served: Served) -> None:
    page = new_page(chromium)
    case = opened(page, served, "Borderline donor")
    page.goto(f"{case}/choices")
    page.wait_for_selector(".waiting progress")
    page.get_by_role("button", name="Stop").click()
    page.wait_for_selector("text=Stopped. Nothing was changed")
    page.goto(f"{case}/findings")
    settled(page)
    assert page.problems == []


@pytest.mark.slow
def test_every_check_stands_on_the_evidence_page_misses_first(chromium: Any, quick: Served) -> None:
    page = new_page(chromium)
    case = opened(page, quick, "Stiff calf")
    page.goto(f"{quick.address}/evidence?case={case.rsplit('/', 1)[1]}")
    page.wait_for_selector("ul.checks-list li", timeout=CHOICES_S)
    assert page.locator("ul.checks-list li").count() == len(CHECKS)
    assert page.locator(".plate .word").inner_text() == "right foot"
    page.get_by_role("button", name="outside:").click()
    page.wait_for_selector("[aria-pressed=true]:has-text('outside')")
    assert page.locator("ul.checks-list li").count() == page.locator("ul.checks-list li.outside").count()
    sound(page, "evidence")
