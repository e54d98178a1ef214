"""Push-off after an operation: torque and work of everything that pushes the foot down, over what it gives today.

Work is the torque of full effort over the arc that walking uses, cut off where the moved tendon holds the foot: the
tether takes arc, a calf procedure takes torque, a donor takes its own share. The knee is straight.
"""

from dataclasses import dataclass

import numpy as np

from sinewright.anatomy.skeleton import Skeleton
from sinewright.arrays import Bools, Floats
from sinewright.case import Case, calf_procedure
from sinewright.doubt.prior import PriorSampler
from sinewright.muscle.names import CALF, LEG_MUSCLES
from sinewright.reference import load
from sinewright.solve.leg import Legs
from sinewright.solve.native import effort_moments, native_lengths
from sinewright.transfer.catalogue import path_table
from sinewright.transfer.plans import SewnOperation, native_ends
from sinewright.units import rad

FROM, TO = "own-goal-push-from", "own-goal-push-to"
KEPT = {
    "gastrocnemius recession": "own-calf-torque-kept-recession",
    "achilles lengthening": "own-calf-torque-kept-lengthening",
}
ANGLES = 4  # ankle angles at which torque is looked at
TRICEPS = np.array([name in CALF for name in LEG_MUSCLES])


@dataclass(frozen=True)
class PushOff:
    """Torque [N.m] of each muscle that pushes the foot down (N, 12, A) at falling ankle angles (A,) [rad], as it is
    today; share of it that the calf keeps after the procedure (N,), and the rows behind that."""

    angles: Floats
    torques: Floats
    calf_kept: Floats
    rows: tuple[str, ...]

    def work(self, taken: Bools, lowest: Floats) -> Floats:
        """Work (N,) [J] without the muscles of ``taken`` (12,), down to ``lowest`` (N,) [rad] at most."""
        kept = np.where(TRICEPS[None, :], self.calf_kept[:, None], 1.0) * ~taken
        return self._work(np.einsum("nma,nm->na", self.torques, kept), lowest)

    def work_today(self) -> Floats:
        """Work (N,) [J] of the leg as it is, over the whole arc."""
        return self._work(self.torques.sum(axis=1), np.full(len(self.torques), self.angles[-1]))

    def _work(self, torque: Floats, lowest: Floats) -> Floats:
        out = np.zeros(len(torque))
        for k in range(len(self.angles) - 1):
            above, below = self.angles[k], self.angles[k + 1]
            end = np.clip(lowest, below, above)
            share = (above - end) / (above - below)
            at_end = torque[:, k] + share * (torque[:, k + 1] - torque[:, k])
            out += 0.5 * (torque[:, k] + at_end) * (above - end)
        return out


def push_off(case: Case, legs: Legs, seed: int, elastic: bool) -> PushOff:
    """What pushes the foot down in these legs, and what the calf procedure of the case leaves of it."""
    angles = np.linspace(rad(load().fit_value(FROM)), rad(load().fit_value(TO)), ANGLES)
    skeleton = Skeleton(legs.points, legs.cylinders, legs.joint)
    n = len(legs.points)
    torques = np.empty((n, len(LEG_MUSCLES), ANGLES))
    for k, angle in enumerate(angles):
        lengths = native_lengths(skeleton, path_table().elements, native_ends(), np.full(n, angle), np.zeros(n))
        moments = effort_moments(legs.muscles, lengths, np.zeros(lengths.shape[:2]), elastic)[:, :, 0]
        torques[:, :, k] = np.maximum(-moments, 0.0) * legs.capacity
    row = KEPT.get(calf_procedure(case))
    kept = PriorSampler(n, seed).between(row) if row else np.ones(n)
    return PushOff(angles, torques, kept, (row,) if row else ())


def share_kept(found: PushOff, plans: list[SewnOperation], lowest: Floats) -> Floats:
    """Work of push-off over today's (N, C): ``lowest`` (N, C) is how far down each operation lets the foot go [rad]."""
    today = np.maximum(found.work_today(), 1e-9)
    out = np.empty(lowest.shape)
    for i, plan in enumerate(plans):
        gone = plan.moved.taken if plan.moved else ()
        taken = np.array([name in gone for name in LEG_MUSCLES])
        out[:, i] = found.work(taken, lowest[:, i]) / today
    return out
