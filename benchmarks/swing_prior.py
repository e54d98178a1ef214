"""No virtual patient of the whole prior is left without a swing: counts failed and NaN answers.

    python benchmarks/swing_prior.py [patients]        (100,000 unless given; about 11 minutes beside other work)

Legs are proposed, not conditioned on an examination: the widest they can be. Push-down and resting hindfoot are drawn
over their whole range instead of solved, speed over 0.3 to 2 m/s, and each leg gets another operation of the catalogue.
"""

import sys

import numpy as np

from sinewright.case import Case
from sinewright.choose.sewing import as_sewn
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.proposal import propose
from sinewright.doubt.walk import draw_walk
from sinewright.evidence.people import healthy, palsy
from sinewright.solve import swing as sw
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import build_plans
from sinewright.units import rad

BATCH = 500


def batch(case: Case, count: int, seed: int) -> tuple[int, int, int]:
    """Swings run, failed, and answers that are not finite."""
    rng = np.random.default_rng(seed)
    legs, _ = propose(case, PriorSampler(count, seed))
    walk = draw_walk(case, legs, seed, float(rng.uniform(0.3, 2.0))).walk
    operations = catalogue()
    plans = build_plans([as_sewn(case, operations[(seed + k) % len(operations)]) for k in range(2)])
    pushdown = rad(rng.uniform(-60.0, 10.0, (count, 2)))
    subtalar = rad(rng.uniform(-15.0, 30.0, (count, 2)))
    plans = plans._replace(stretch=rng.uniform(-0.015, 0.03, 2))
    found, failed = sw.swing(legs, plans, walk, pushdown, subtalar, 0.005)
    motion = (failed & sw.FAILED_MOTION) > 0
    return found.shape[0], int(motion.any(axis=1).sum()), int((~np.isfinite(found)).any(axis=(1, 2)).sum())


def main(patients: int) -> None:
    total = [0, 0, 0]
    cases = [palsy(True), palsy(False), healthy(True), healthy(False)]
    for k in range(0, patients, BATCH):
        done = batch(cases[(k // BATCH) % 4], min(BATCH, patients - k), k // BATCH)
        total = [a + b for a, b in zip(total, done, strict=True)]
        if (k // BATCH) % 20 == 0:
            sys.stdout.write(f"{total[0]} patients, two operations each: {total[1]} failed, {total[2]} not finite\n")
            sys.stdout.flush()
    sys.stdout.write(f"{total[0]} patients, two operations each: {total[1]} failed, {total[2]} not finite\n")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
