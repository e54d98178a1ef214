"""How fast the app answers in a real browser: first page, sliders, many users at once, memory over many page loads.

``python benchmarks/app.py [--users 10] [--seconds 180] [--loads 500]``; numbers are printed, never asserted. One of the
users is a real browser, the others are web sockets of one light process (see ``app_users.py``): ten browsers on one
small machine would measure the browsers. Wanted on two cores: slider to redrawn answer under 150 ms (median) and 300 ms
(95th), first page under 2 s, a frozen plan in theatre within 0.3 s, progress within 0.5 s, page actions of ten users
under 1 s (95th), memory flat.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import statistics
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import aiohttp

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "app"))
from app_browser import CHROMIUM, EXAMPLES, FLAGS, Served, browser, let_in, new_page, settled
from app_users import Record, Tab, many

CASE = EXAMPLES / "deep_branch_strong_peroneals.toml"
MOVES, AWAY_S = 40, 75.0


def told(name: str, seconds: list[float]) -> None:
    """Median, 95th percentile and number of some times, in milliseconds."""
    ordered = sorted(seconds)
    p95 = ordered[min(len(ordered) - 1, int(0.95 * len(ordered)))]
    middle = 1000 * statistics.median(ordered)
    sys.stdout.write(f"{name}: median {middle:.0f} ms, 95th {1000 * p95:.0f} ms, n {len(ordered)}\n")
    sys.stdout.flush()


def first_page(opened: Any, served: Served) -> None:
    """Until the list of cases can be used, the server warm, each time in a fresh profile."""
    times = []
    for _ in range(6):
        page = new_page(opened)
        began = time.perf_counter()
        page.goto(served.address)
        settled(page)
        times.append(time.perf_counter() - began)
        page.context.close()
    told("first useful page, fresh profile", times[1:])


def redrawn(page: Any, label: str, watched: str) -> list[float]:
    """From a key on a slider to the next painted frame with the new answer, clocked inside the browser."""
    script = """([label, watched]) => new Promise((done) => {
      const slider = [...document.querySelectorAll('input[type=range]')].find((i) => i.labels[0].innerText === label);
      const place = document.querySelector(watched);
      const began = performance.now();
      const seen = new MutationObserver(() => {
        seen.disconnect();
        requestAnimationFrame(() => requestAnimationFrame(() => done((performance.now() - began) / 1000)));
      });
      seen.observe(place, { childList: true, subtree: true, characterData: true });
      slider.stepUp(); if (slider.value === slider.max) slider.value = slider.min;
      slider.dispatchEvent(new Event('input', { bubbles: true }));
    })"""
    times = []
    for _ in range(MOVES):
        times.append(page.evaluate(script, [label, watched]))
        page.wait_for_timeout(150)
    return times


def sliders(opened: Any, served: Served) -> None:
    """Foot to redrawn leg, and tension to renewed numbers, on the plan page."""
    page = new_page(opened)
    page.goto(f"{served.address}{served.first.replace('findings', 'plan')}")
    page.wait_for_selector("dl.facts", timeout=600_000)
    told("foot slider to redrawn leg", redrawn(page, "Foot", ".profile"))
    told("tension slider to renewed numbers", redrawn(page, "Mark of the muscle", "table.answers"))
    page.context.close()


def theatre(opened: Any, served: Served, draws: int) -> None:
    """From the address of theatre to the painted planned numbers: just frozen, and after another start."""
    page = new_page(opened)
    case = f"{served.address}{served.first.replace('/findings', '')}"
    page.goto(f"{case}/plan")
    page.get_by_role("button", name="Look it over before freezing").click(timeout=600_000)
    page.get_by_role("button", name="Freeze for the").click()
    page.wait_for_selector("text=is frozen.")
    told("theatre, just frozen, to its planned numbers", to_tiles(page, case))
    page.context.close()
    first = served.first
    served.stop()
    served.start("--draws", str(draws))
    served.first = first
    page = new_page(opened)
    told("theatre after another start to its planned numbers", to_tiles(page, case))
    page.context.close()


def to_tiles(page: Any, case: str) -> list[float]:
    """Some times until the numbers of the plan stand on the page of theatre."""
    times = []
    for _ in range(6):
        began = time.perf_counter()
        page.goto(f"{case}/theatre", wait_until="commit")
        page.wait_for_selector(".tile")
        times.append(time.perf_counter() - began)
    return times[1:]


CLOCK = """
addEventListener('click', () => { sessionStorage.pressed = Date.now(); }, true);
const seen = (name) => { sessionStorage[name] ||= Date.now(); };
const painted = (name) => requestAnimationFrame(() => requestAnimationFrame(() => seen(name)));
new MutationObserver(() => {
  if (!sessionStorage.opening && document.querySelector('.opening progress')) painted('opening');
  if (!sessionStorage.weighing && document.querySelector('.waiting progress')) painted('weighing');
}).observe(document, { childList: true, subtree: true });"""


def weigh_progress(opened: Any, served: Served) -> None:
    """From the press on Choices to painted progress, and from Stop to its being said; the case is new each time."""
    page = new_page(opened)
    page.add_init_script(CLOCK)
    times: dict[str, list[float]] = {"opening": [], "weighing": [], "stopped": []}
    for turn in range(8):
        page.goto(f"{served.address}{served.first}?part=person")
        settled(page)
        page.locator("#f-leg-foot-length-mm").fill(str(240 + turn))
        page.wait_for_selector(".said:has-text('Stored at')")
        page.evaluate("sessionStorage.clear()")
        page.get_by_role("link", name="Choices", exact=True).click(no_wait_after=True)
        page.wait_for_function("sessionStorage.weighing")
        found = page.evaluate("({ ...sessionStorage })")
        for name in ("opening", "weighing"):
            times[name].append((int(found.get(name, found["weighing"])) - int(found["pressed"])) / 1000)
        began = time.perf_counter()
        page.get_by_role("button", name="Stop", exact=True).click()
        page.wait_for_selector("text=Stopped. Nothing was changed")
        times["stopped"].append(time.perf_counter() - began)
    told("press on Choices to a painted bar", times["opening"])
    told("press on Choices to the painted progress of the weighing", times["weighing"])
    told("Stop to its being said", times["stopped"])
    page.context.close()


async def one_browser(address: str, until: float, record: Record) -> None:
    """A person in a real browser: loads the page of findings, changes an entry, sees it stored, takes a breath."""
    from playwright.async_api import async_playwright

    async with async_playwright() as playwright:
        opened = await playwright.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
        context = await opened.new_context()
        await context.add_cookies(let_in())  # type: ignore[arg-type]
        page = await context.new_page()
        page.on("pageerror", lambda error: record.wrong.append(str(error)))
        await page.goto(address)
        await page.locator(".try").first.click()
        await page.wait_for_url("**/findings*")
        turn = 0
        while time.monotonic() < until:
            turn += 1
            began = time.perf_counter()
            await page.goto(page.url.split("?")[0] + "?part=person")
            field = page.locator("#f-leg-foot-length-mm")
            await field.wait_for()
            record.actions["Chromium: open findings"].append(time.perf_counter() - began)
            await page.wait_for_timeout(1500)
            began = time.perf_counter()
            await field.fill(str(240 + turn % 40))
            await field.press("Enter")
            await page.wait_for_function("document.querySelector('.said').innerText.includes('Stored at')")
            record.actions["Chromium: store an entry"].append(time.perf_counter() - began)
            await page.wait_for_timeout(1500)
        await opened.close()


async def people(served: Served, users: int, seconds: float) -> Record:
    """So many people at once, one of them in a real browser and the others on web sockets of their own."""
    record = Record()
    cookie = Served.cookies[served.port]
    browser_user = one_browser(served.address, time.monotonic() + seconds, record)
    await asyncio.gather(many(served.address, cookie, users - 1, seconds, record), browser_user)
    return record


def at_once(served: Served, users: int, seconds: float) -> None:
    """Many users at once: every page action, and apart from them the calculations that show how far they are."""
    assert served.process is not None
    before, began = processor_time(served.process.pid), time.monotonic()
    record = asyncio.run(people(served, users, seconds))
    used = processor_time(served.process.pid) - before
    told(f"{users} users, all page actions", [each for found in record.actions.values() for each in found])
    for name, found in (*record.actions.items(), *((f"[calculated] {k}", v) for k, v in record.answers.items())):
        told(f"  {name}", found)
    sys.stdout.write(f"errors: {len(record.wrong)} {record.wrong[:3] if record.wrong else ''}\n")
    sys.stdout.write(
        f"processor time of the server (workers not counted): {used:.1f} s in {time.monotonic() - began:.0f} s\n"
    )


def processor_time(pid: int) -> float:
    """Seconds of processor time that a process used so far."""
    parts = Path(f"/proc/{pid}/stat").read_text("ascii").rpartition(")")[2].split()
    return (int(parts[11]) + int(parts[12])) / os.sysconf("SC_CLK_TCK")


def resident(pid: int) -> float:
    """Memory of a process [MB]."""
    return int(Path(f"/proc/{pid}/statm").read_text("ascii").split()[1]) * os.sysconf("SC_PAGE_SIZE") / 1e6


async def _loads(served: Served, loads: int) -> list[str]:
    assert served.process is not None
    places = [served.first.replace("findings", each) for each in ("findings", "choices", "protect")]
    sizes = []
    async with aiohttp.ClientSession() as session:
        for load in range(loads + 1):
            if load % max(1, loads // 5) == 0:
                await asyncio.sleep(AWAY_S)  # until the pages that were closed are forgotten
                sizes.append(f"{resident(served.process.pid):.0f}")
            tab = Tab(served.address, Served.cookies[served.port])
            await tab.load(session, places[load % len(places)])
            await tab.close()
    return sizes


def memory(served: Served, loads: int) -> None:
    """Memory of the server over many page loads, each with its socket, as a browser loads and leaves them."""
    sizes = asyncio.run(_loads(served, loads))
    sys.stdout.write(f"memory of the server at each fifth of {loads} page loads [MB]: {', '.join(sizes)}\n")


def main() -> None:
    """Everything, one after the other."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--users", type=int, default=10)
    parser.add_argument("--seconds", type=float, default=180.0)
    parser.add_argument("--loads", type=int, default=500)
    parser.add_argument("--draws", type=int, default=1000)
    asked = parser.parse_args()
    served = Served(Path(tempfile.mkdtemp()) / "store.db")
    sys.stdout.write(f"load of the machine before: {os.getloadavg()[0]:.2f} on {os.cpu_count()} cores\n")
    served.start(str(CASE), "--draws", str(asked.draws))
    try:
        with browser() as opened:
            first_page(opened, served)
            weigh_progress(opened, served)
            sliders(opened, served)
            theatre(opened, served, asked.draws)
        if asked.seconds:
            at_once(served, asked.users, asked.seconds)
        if asked.loads:
            memory(served, asked.loads)
    finally:
        served.stop()
    sys.stdout.write("".join(line for line in served.said if "Traceback" in line or "Error" in line))


if __name__ == "__main__":
    main()
