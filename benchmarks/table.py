"""From entry to answer on the table: ``python benchmarks/table.py [legs]``. Prints milliseconds, asserts nothing.

An invented case is prepared once; then entries are added one by one and each answer is timed as a surgeon waits for it:
new likelihood, all legs weighed anew, every entry held against the others, spreads, and what each millimetre would do.
"""

import sys
from datetime import datetime, timedelta
from os import cpu_count
from pathlib import Path
from time import perf_counter, process_time

import numpy as np
from tests.support.simulated_operations import ranks

from sinewright.case import read_case
from sinewright.doubt.virtual import draw
from sinewright.learn.entries import TableReading
from sinewright.learn.prepare import lay_out, prepare
from sinewright.learn.session import Session

CASE = Path(__file__).parents[1] / "examples" / "knee_dislocation_common_peroneal.toml"
CHOICE = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
START = datetime(2026, 3, 5, 9, 40)
READ = (("tendon", 150.0), ("mark", 5.0), ("rest", -9.0), ("stimulated", 4.0), ("spring", 30.0), ("moved", 3.0),
        ("mark", 8.0), ("rest", -6.0))  # fmt: skip
ROUNDS = 5


def main(legs: int, operations: int) -> None:
    """Time the preparation, every entry, and the ranks of simulated operations."""
    before = perf_counter()
    prepared = prepare(read_case(CASE), CHOICE, legs)
    say(f"{legs} legs on {cpu_count()} processors; prepared in {perf_counter() - before:.1f} s")
    entries = [TableReading(kind, value, START + timedelta(minutes=i)) for i, (kind, value) in enumerate(READ)]  # type: ignore[arg-type]
    warm = Session(prepared).add(*entries)
    warm.answer()
    times, spent = np.empty((ROUNDS, len(entries))), np.empty((ROUNDS, len(entries)))
    for turn in range(ROUNDS):
        session = Session(prepared)
        session.plan()
        prepared.memory.clear()
        for i, entry in enumerate(entries):
            before, used = perf_counter(), process_time()
            session = session.add(entry)
            answer = session.answer()
            times[turn, i], spent[turn, i] = 1000.0 * (perf_counter() - before), 1000.0 * (process_time() - used)
    for i, entry in enumerate(entries):
        waited, worked = np.median(times[:, i]), np.median(spent[:, i])
        slowest = times[:, i].max()
        say(f"  {entry.words():<45} waited {waited:5.0f} ms (slowest {slowest:5.0f}), processor {worked:5.0f} ms")
    s = answer.speaking
    say(
        f"effective number {s.effective_sample_size:.0f} of {s.draws}, "
        f"resampled {s.resampled}, different legs {s.different}"
    )
    if operations:
        truths = draw(prepared.case, operations, 77).legs
        found = ranks(lay_out(prepared.case, prepared.sewn, prepared.virtual, prepared.elastic, 1), truths, 5)
        for name, rank in zip(("lift", "rest on the table"), found.rank.T, strict=True):
            counts, _ = np.histogram(rank, bins=10, range=(0.0, 1.0))
            covered = [float(np.mean(np.abs(rank - 0.5) <= 0.5 * share)) for share in (0.5, 0.9)]
            say(f"{name}: ranks by tenths {counts.tolist()}, 50 % covers {covered[0]:.3f}, 90 % {covered[1]:.3f}")
        low, middle = np.percentile(found.effective_sample_size, (5, 50))
        say(f"effective number: 5 % under {low:.0f}, middle {middle:.0f}; refused {found.refused} of {operations}")


def say(text: str) -> None:
    """One line."""
    sys.stdout.write(text + "\n")


if __name__ == "__main__":
    main(*(int(x) for x in [*sys.argv[1:], "4000", "0"][:2]))
