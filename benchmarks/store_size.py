"""How fast is a large store: ``python benchmarks/store_size.py [CASES] [VISITS]`` (10000 and 6 unless given).

Makes a file store of invented cases, each with the entries of the first example, then times listing, opening one
case with its visits, and verifying. Wanted on one ordinary machine: list and open under 100 ms, verify under 10 s.
"""

from __future__ import annotations

import platform
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from sinewright.case import read_case
from sinewright.store.place import find_place
from sinewright.store.records import Visit, record_from
from sinewright.store.store import Store

EXAMPLE = sorted((Path(__file__).parents[1] / "examples").glob("*.toml"))[0]
BATCH = 100


def fill(store: Store, cases: int, visits: int) -> None:
    """Adds invented cases with visits, a hundred cases in a transaction."""
    case = read_case(EXAMPLE)
    seen = [
        record_from(
            Visit,
            {
                "on": f"2026-{month + 1:02d}-01",
                "range": {"dorsiflexion_knee_straight_deg": 5.0, "resting_hanging_deg": -3.0 + month},
                "gait": {"toes_clear": "sometimes", "slap": "slight"},
                "own_words": "better than last time",
            },
        )
        for month in range(visits)
    ]
    for _ in range(0, cases, BATCH):
        with store.write("surgeon") as unit:
            for _ in range(BATCH):
                name = unit.add_case(case)
                for visit in seen:
                    unit.add(name, visit)


def timed(what: str, wanted_s: float, call: Callable[[], object], times: int) -> bool:
    """Prints the median and the longest of some calls; True when the longest is fast enough."""
    took = []
    for _ in range(times):
        start = time.perf_counter()
        call()
        took.append(time.perf_counter() - start)
    good = max(took) < wanted_s
    middle, longest = statistics.median(took), max(took)
    told = f"{what:<32} median {middle * 1e3:8.1f} ms, longest of {times} {longest * 1e3:8.1f} ms"
    sys.stdout.write(f"{told}, wanted {wanted_s * 1e3:.0f} ms: {'yes' if good else 'NO'}\n")
    return good


def main() -> None:
    """Runs the benchmark."""
    cases, visits = (int(sys.argv[1]), int(sys.argv[2])) if len(sys.argv) > 2 else (10_000, 6)
    with tempfile.TemporaryDirectory() as folder:
        place = find_place(str(Path(folder) / "store.db"))
        with Store.open(place, create=True) as store:
            start = time.perf_counter()
            fill(store, cases, visits)
            took = time.perf_counter() - start
            size_MB = place.path.stat().st_size / 1e6
            sys.stdout.write(
                f"{cases} cases with {visits} visits on {platform.machine()}, Python {platform.python_version()}: "
                f"{size_MB:.0f} MB, written in {took:.0f} s\n"
            )
            names = [each.name for each in store.cases()]
        good = [timed("open the store", 0.1, lambda: Store.open(place).close(), 5)]
        with Store.open(place) as store:
            some = iter(names[:: max(1, len(names) // 20)])

            def open_one() -> None:
                name = next(some)
                store.case(name)
                store.records(name, Visit)

            good.append(timed("list every case", 0.1, store.cases, 5))
            good.append(timed("open a case with its visits", 0.1, open_one, 15))
            good.append(timed("verify", 10.0, store.verify, 2))
    sys.exit(0 if all(good) else 1)


if __name__ == "__main__":
    main()
