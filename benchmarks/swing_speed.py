"""How long the swing of 1000 virtual patients and 20 choices takes; asked for: under 5 s on two cores.

    python benchmarks/swing_speed.py [legs] [choices]

Prints wall and processor time of the swing alone; drawing the legs and their statics is timed apart.
"""

import sys
import time

from sinewright.choose.screen import reason_against
from sinewright.choose.sewing import as_sewn
from sinewright.choose.tension import choose_stretch
from sinewright.doubt.virtual import draw
from sinewright.doubt.walk import draw_walk
from sinewright.evidence.people import palsy
from sinewright.solve import answer as a
from sinewright.solve.swing import swing
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import build_plans


def main() -> None:
    legs_asked, choices = (int(sys.argv[1]), int(sys.argv[2])) if len(sys.argv) > 2 else (1000, 20)
    case = palsy(True)
    start = time.perf_counter()
    legs = draw(case, legs_asked, 1).legs
    able = [as_sewn(case, moved) for moved in catalogue() if reason_against(case, moved) is None][:choices]
    plans = build_plans(choose_stretch(legs, able, True))
    statics, _ = a.answer(legs, plans)
    sys.stdout.write(f"legs and statics: {time.perf_counter() - start:.1f} s\n")
    start = time.perf_counter()
    walk = draw_walk(case, legs, 1).walk
    sys.stdout.write(f"drawing the walk: {time.perf_counter() - start:.1f} s\n")
    for round_ in ("first", "again"):
        start, used = time.perf_counter(), time.process_time()
        _, failed = swing(legs, plans, walk, statics[:, :, a.PUSH], statics[:, :, a.REST_SUBTALAR], 0.005)
        wall, used = time.perf_counter() - start, time.process_time() - used
        each = 1e6 * used / failed.size
        what = f"swing, {round_}: {failed.shape[0]} legs x {failed.shape[1]} choices"
        cost = f"{wall:.2f} s wall, {used:.2f} s processor ({each:.0f} us each)"
        sys.stdout.write(f"{what}: {cost}, {int((failed > 0).sum())} failed\n")


if __name__ == "__main__":
    main()
