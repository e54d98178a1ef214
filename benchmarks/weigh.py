"""How long does a weighing take: ``python benchmarks/weigh.py [CASE] [DRAWS]`` (first example, 1000 unless given).

Times whole processes as a surgeon starts them: the first weighing on a machine (compiles), later ones, and ``--help``;
then how many balances a second the solver finds. Seconds depend on the machine, so each is also a multiple of a numpy
loop timed in the same run; processor seconds hardly depend on what else the machine does. Wanted: under 10 s for a
later weighing on two cores that are free, under 0.3 s for ``--help``.
"""

from __future__ import annotations

import os
import platform
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[1]
COMMAND = "from sinewright.cli.app import main; main()"
QUESTIONS = 5  # balances for each leg and operation


@dataclass(frozen=True)
class Time:
    """Shortest of some runs [s], and the least processor time of one, children included [s]."""

    wall: float
    processor: float


def processor_time() -> float:
    """Processor seconds of this process and of its finished children."""
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(each.ru_utime + each.ru_stime for each in used)


def timed(run: Callable[[], object], times: int) -> Time:
    """Run some times."""
    walls, processors = [], []
    for _ in range(times):
        start, used = time.perf_counter(), processor_time()
        run()
        walls.append(time.perf_counter() - start)
        processors.append(processor_time() - used)
    return Time(min(walls), min(processors))


def reference_loop() -> float:
    """A fixed piece of numpy work that has nothing to do with the package: 20000 small linear systems, one by one."""
    rng = np.random.default_rng(1)
    matrices, total = rng.standard_normal((20_000, 6, 6)) + 6.0 * np.eye(6), 0.0
    for matrix in matrices:
        total += float(np.linalg.solve(matrix, np.ones(6)).sum())
    return total


def command(cache: str, *arguments: str) -> None:
    """Run the command in a process of its own, with its machine code kept in ``cache``."""
    paths = os.pathsep.join(filter(None, (str(ROOT / "src"), os.environ.get("PYTHONPATH"))))
    environment = {**os.environ, "XDG_CACHE_HOME": cache, "PYTHONPATH": paths}
    full = (sys.executable, "-c", COMMAND, *arguments)
    subprocess.run(full, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=environment)


def balances_per_second(case: str) -> float:
    """Balances a second over 200 legs and all operations, all cores, after compiling."""
    sys.path.insert(0, str(ROOT / "src"))
    from sinewright.case import read_case
    from sinewright.doubt.prior import PriorSampler
    from sinewright.doubt.proposal import propose
    from sinewright.solve.answer import answer
    from sinewright.transfer.catalogue import catalogue
    from sinewright.transfer.plans import SewnOperation, build_plans
    from sinewright.units import m, rad

    legs, _ = propose(read_case(case), PriorSampler(200, 1))
    plans = build_plans([SewnOperation(moved, rad(8.0), 0.0, rad(30.0), m(8.0)) for moved in catalogue()])
    answer(legs, plans)
    return QUESTIONS * 200 * len(catalogue()) / timed(lambda: answer(legs, plans), 3).wall


def main() -> None:
    """Time and print."""
    case = sys.argv[1] if len(sys.argv) > 1 else str(min((ROOT / "examples").glob("*.toml")))
    draws = sys.argv[2] if len(sys.argv) > 2 else "1000"
    loop = timed(reference_loop, 3)
    lines = [
        f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}; "
        f"{Path(case).name}, {draws} virtual patients, all choices",
        f"{'':<28}{'s':>8}{'processor s':>14}{'x numpy loop':>14}",
        f"{'numpy loop':<28}{loop.wall:8.2f}{loop.processor:14.2f}{1.0:14.1f}",
    ]
    weighing = ("weigh", case, "--draws", draws)
    with tempfile.TemporaryDirectory() as cache:
        for what, arguments, times in (
            ("first weighing (compiles)", weighing, 1),
            ("later weighing", weighing, 3),
            ("--help", ("--help",), 5),
        ):
            took = timed(lambda arguments=arguments: command(cache, *arguments), times)  # type: ignore[misc]
            lines.append(f"{what:<28}{took.wall:8.2f}{took.processor:14.2f}{took.wall / loop.wall:14.1f}")
    rate = balances_per_second(case)
    lines.append(f"{rate:.0f} balances a second, {rate * loop.wall:.0f} in the time of the numpy loop")
    print("\n".join(lines))  # noqa: T201


if __name__ == "__main__":
    main()
