"""Rank-based calibration in full: ``python benchmarks/calibration.py [patients] [draws]``. Prints, asserts nothing."""

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))  # the simulated patients are those of the tests

from tests.doubt.test_calibration import DONOR, template
from tests.support.simulated_patients import ranks

from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import SewnOperation
from sinewright.units import m, rad


def main(patients: int, draws: int) -> None:
    """Print histograms and coverage of lift and rest over simulated patients."""
    moved = next(each for each in catalogue() if each.id == f"{DONOR}.membrane_under.lateral_cuneiform_dorsum")
    found = ranks(
        template(), DONOR, SewnOperation(moved, rad(8.0), 0.0, rad(30.0), m(5.0)), patients, draws, seed=50_000
    )
    for name, rank in zip(("lift", "rest"), found.rank.T, strict=True):
        counts, _ = np.histogram(rank, bins=10, range=(0.0, 1.0))
        covered = [float(np.mean(np.abs(rank - 0.5) <= 0.5 * share)) for share in (0.5, 0.9)]
        text = f"{name}: ranks by tenths {counts.tolist()}, 50 % covers {covered[0]:.3f}, 90 % {covered[1]:.3f}"
        sys.stdout.write(text + "\n")
    low, middle = np.percentile(found.effective_sample_size, (5, 50))
    text = f"effective number: 5 % under {low:.0f}, middle {middle:.0f}; refused {found.refused} of {patients}"
    sys.stdout.write(text + "\n")


if __name__ == "__main__":
    main(*(int(x) for x in [*sys.argv[1:], "1000", "400"][:2]))
