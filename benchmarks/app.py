"""How fast the app answers in a real browser: first page, sliders, many users at once, memory over many page loads.

``python benchmarks/app.py [--users 10] [--seconds 180] [--loads 500]``; numbers are printed, never asserted.
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

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "app"))
from app_browser import CHROMIUM, EXAMPLES, FLAGS, Served, browser, new_page, settled

CASE = EXAMPLES / "deep_branch_strong_peroneals.toml"
MOVES = 40


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
    told("tension slider to renewed numbers", redrawn(page, "Mark of the muscle", ".numbers"))
    page.context.close()


def weigh_progress(opened: Any, served: Served) -> None:
    """Until the progress of a weighing is seen, counted from the page that asks for it being there."""
    page = new_page(opened)
    page.goto(f"{served.address}{served.first}")
    settled(page)
    began = time.perf_counter()
    page.get_by_role("link", name="Choices", exact=True).click()
    page.wait_for_selector(".waiting progress, table.ladder tbody tr")
    told("click on Choices to visible progress", [time.perf_counter() - began])
    page.context.close()


async def one_user(opened: Any, address: str, number: int, until: float, times: list[float], wrong: list[str]) -> None:
    """Makes a case of one example, turns its pages and edits it, as fast as the app answers, with a breath between."""
    context = await opened.new_context()
    page = await context.new_page()
    page.set_default_timeout(120_000)
    page.on("pageerror", lambda error: wrong.append(str(error)))
    await page.goto(address)
    await page.locator(".try").nth(number % 5).click()
    await page.wait_for_url("**/findings*")
    turn = 0
    while time.monotonic() < until:
        turn += 1
        began = time.perf_counter()
        await page.goto(page.url.split("?")[0] + "?part=person")
        field = page.locator("#f-leg-foot-length-mm")
        await field.fill(str(240 + (turn + number) % 40))
        await page.wait_for_function("document.querySelector('.said').innerText.includes('Stored at')")
        times.append(time.perf_counter() - began)
        await page.wait_for_timeout(400)
    await context.close()


async def many(address: str, users: int, seconds: float) -> None:
    """Users at once, each in a profile of its own: load the page, change an entry, see it stored."""
    from playwright.async_api import async_playwright

    times: list[float] = []
    wrong: list[str] = []
    async with async_playwright() as playwright:
        opened = await playwright.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
        until = time.monotonic() + seconds
        await asyncio.gather(*(one_user(opened, address, i, until, times, wrong) for i in range(users)))
        await opened.close()
    told(f"{users} users, load a page and store an entry", times)
    sys.stdout.write(f"errors in the pages: {len(wrong)}\n")


def memory(served: Served, loads: int) -> None:
    """Memory of the server over many page loads."""
    import urllib.request

    assert served.process is not None
    sizes = []
    for load in range(loads):
        urllib.request.urlopen(f"{served.address}{served.first}").read()
        if load % max(1, loads // 5) == 0 or load == loads - 1:
            time.sleep(2.0)
            pages = int(Path(f"/proc/{served.process.pid}/statm").read_text("ascii").split()[1])
            sizes.append(f"{pages * os.sysconf('SC_PAGE_SIZE') / 1e6:.0f}")
    sys.stdout.write(f"memory of the server over {loads} page loads [MB]: {', '.join(sizes)}\n")


def main() -> None:
    """Everything, one after the other."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--users", type=int, default=10)
    parser.add_argument("--seconds", type=float, default=180.0)
    parser.add_argument("--loads", type=int, default=500)
    parser.add_argument("--draws", type=int, default=1000)
    asked = parser.parse_args()
    served = Served(Path(tempfile.mkdtemp()) / "store.db")
    served.start(str(CASE), "--draws", str(asked.draws))
    try:
        with browser() as opened:
            first_page(opened, served)
            weigh_progress(opened, served)
            sliders(opened, served)
        asyncio.run(many(served.address, asked.users, asked.seconds))
        memory(served, asked.loads)
    finally:
        served.stop()
    sys.stdout.write("".join(line for line in served.said if "Traceback" in line or "Error" in line))


if __name__ == "__main__":
    main()
