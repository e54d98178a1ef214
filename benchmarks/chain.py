"""The whole way of simulated patients in full: ``python benchmarks/chain.py [patients] [draws]``. Prints only.

Examined with error, weighed, sewn with error, read on the table, seen later: coverage of 50 and 90 % intervals and of
shares, for each template and by the arc of the true ankle.
"""

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.doubt.test_calibration import DONOR, template
from tests.support.whole_chain import STATIONS, Ways, ways

from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import SewnOperation
from sinewright.units import m, rad

STIFF_DEG = 45.0


def main(patients: int, draws: int) -> None:
    """Follow the patients and print what covered what."""
    moved = next(one for one in catalogue() if one.id == f"{DONOR}.membrane_under.lateral_cuneiform_dorsum")
    found = ways(
        template(), DONOR, SewnOperation(moved, rad(8.0), 0.0, rad(30.0), m(5.0)), patients, draws, seed=60_000
    )
    show("all", found, np.ones(len(found.ranks), dtype=bool))
    arc = np.array(found.arc)
    show(f"arc under {STIFF_DEG:.0f} deg", found, arc < STIFF_DEG)
    show(f"arc of {STIFF_DEG:.0f} deg or more", found, arc >= STIFF_DEG)
    sys.stdout.write(f"refused {len(found.refused)} of {patients}: {found.refused[:3]}\n")


def show(title: str, found: Ways, which: np.ndarray) -> None:
    """Coverage at every station and of the shares, for some of the patients."""
    ranks = np.array(found.ranks)[which]
    if not len(ranks):
        return
    cells = []
    for at, station in enumerate(STATIONS):
        good = ranks[np.isfinite(ranks[:, at]), at]
        held = [float(np.mean(np.abs(good - 0.5) <= 0.5 * share)) for share in (0.5, 0.9)]
        cells.append(f"{station} {held[0]:.2f} / {held[1]:.2f}")
    said, happened = np.array(found.said)[which], np.array(found.happened)[which]
    sys.stdout.write(f"{title}, {len(ranks)} patients: {'; '.join(cells)}\n")
    sys.stdout.write(f"  lift to neutral said {said.sum():.1f}, happened {happened.sum()}\n")


if __name__ == "__main__":
    main(*(int(x) for x in [*sys.argv[1:], "400", "300"][:2]))
