"""What elastic tendons and the loss of force with speed change in swing: ``python benchmarks/swing_muscle.py [legs]``.

Same legs, same walk, one transfer, full effort; printed: middle and nine-tenths of the difference in the ankle angle.
"""

import sys

import numpy as np

from sinewright.choose.sewing import as_sewn
from sinewright.doubt.virtual import draw
from sinewright.doubt.walk import draw_walk
from sinewright.evidence.people import palsy
from sinewright.solve import answer as a
from sinewright.solve import swing as sw
from sinewright.solve.walk import FASTEST, LEARNED
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import build_plans
from sinewright.units import deg, m

STIFF, NO_LIMIT = 0.004, 1000.0  # series strain at full force of a nearly rigid tendon; fibres/s without loss of force
CHOICE = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"


def main(count: int) -> None:
    """Print the four ways and their differences from the one in use."""
    case = palsy(True, 10.0)
    legs = draw(case, count, 1).legs
    sewn = as_sewn(case, next(o for o in catalogue() if o.id == CHOICE))
    plans = build_plans([sewn])._replace(stretch=np.array([m(4.0)]))
    found, _ = a.answer(legs, plans)
    push, subtalar = found[:, :, a.PUSH], found[:, :, a.REST_SUBTALAR]
    walk = draw_walk(case, legs, 1).walk
    timing = walk.timing.copy()
    timing[:, LEARNED] = 1.0
    rows = {}
    for name, strain, fastest in (
        ("elastic, with speed", None, None),
        ("elastic, no speed", None, NO_LIMIT),
        ("rigid, with speed", STIFF, None),
        ("rigid, no speed", STIFF, NO_LIMIT),
    ):
        muscles, fibre = legs.muscles.copy(), walk.fibre.copy()
        if strain is not None:
            muscles[:, :, 4] = strain
        if fastest is not None:
            fibre[:, FASTEST] = fastest
        changed = walk._replace(timing=timing, fibre=fibre)
        out, failed = sw.swing(legs._replace(muscles=muscles), plans, changed, push, subtalar, m(5.0))
        rows[name] = np.where(failed > 0, np.nan, deg(out[:, 0]))
        mid, strike = _words(rows[name][:, sw.MID]), _words(rows[name][:, sw.STRIKE])
        told = f"{name}: {int((failed > 0).sum())} failed, ankle at mid-swing {mid}, at heel strike {strike} deg"
        sys.stdout.write(told + "\n")
    base = rows.pop("elastic, with speed")
    for name, out in rows.items():
        gaps = [_words(out[:, c] - base[:, c]) for c in (sw.MID, sw.STRIKE)]
        sys.stdout.write(f"{name} less the one in use: mid-swing {gaps[0]}, heel strike {gaps[1]} deg\n")


def _words(values: np.ndarray) -> str:
    low, middle, high = np.nanpercentile(values, (5, 50, 95))
    return f"{middle:+.1f} ({low:+.1f} to {high:+.1f})"


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 300)
