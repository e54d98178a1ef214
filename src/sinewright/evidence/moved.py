"""What is asked of moved tendons outside the program's own questions: testing machines and passive range.

A testing machine holds the shank upright, the foot free in both angles, no muscle at work. It pulls the tendon either
by the same length or with the same force; the foot then rests where passive joints, its weight and the pull balance.
"""

from typing import NamedTuple

import numpy as np
from scipy.optimize import root

from sinewright.anatomy.path import POSE_SIZE, set_pose
from sinewright.arrays import Floats
from sinewright.doubt.stiffness import limit_at
from sinewright.evidence.scene import Scene, lengths_of, way
from sinewright.evidence.series import at_work
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.solve.balance import HANGING
from sinewright.solve.passive_torque import ankle_passive_torque, passive_joints, weight_moment
from sinewright.units import deg, m, rad

STEPS = (0.0, 12.5, 25.0, 50.0, 75.0, 100.0, 150.0, 200.0, 300.0, 400.0, 600.0)  # N
KNEE = rad(90.0)  # legs are cut below the knee: the gastrocnemius does not hold

HEAD = "tibialis_posterior_origin > "
UNDER = f"{HEAD}membrane_window > under_band > (front_of_ankle) > "
OVER = f"{HEAD}membrane_window > over_band > (front_of_ankle) > "
ROUND = f"{HEAD}round_tibia_back > round_tibia_inner > round_tibia_front > (front_of_ankle) > "
ANTERIOR = "tibialis_anterior_origin > front_band_medial > (front_of_ankle) > "
THIRD_RAY = "metatarsal_3_base"


class Pulled(NamedTuple):
    """Where the machine leaves the foot: ankle and subtalar angle [deg], force in the tendon [N]."""

    ankle_deg: float
    subtalar_deg: float
    force: float


def _left(scene: Scene, text: str, q: float, s: float, force: float) -> tuple[float, float, float]:
    """Moments left about both axes [N.m] and length of the strand [m]."""
    passive, joint, pose = scene.printed_passive, scene.leg.joint[0], np.empty(POSE_SIZE)
    set_pose(joint, q, s, pose)
    weight = weight_moment(passive, HANGING, joint, pose)
    length, up, inward = way(scene.leg, text, q, s)
    about_ankle, about_subtalar, *_ = passive_joints(passive, q, s, KNEE)
    return about_ankle + weight[0] + force * up, about_subtalar + weight[1] + force * inward, length


def _follow(scene: Scene, text: str, force: float) -> list[Pulled]:
    """The foot at growing forces [N] up to the one asked for, each found from the one before."""
    path, at = [], [rad(-10.0), 0.0]
    for f in (*(step for step in STEPS if step < force), force):
        found = root(lambda x, f=f: _left(scene, text, x[0], x[1], f)[:2], at, tol=1e-10)
        if not found.success:
            raise ValueError(f"no balance at {f:g} N for {text}")
        at = [float(v) for v in found.x]
        path.append(Pulled(deg(at[0]), deg(at[1]), f))
    return path


def with_force(scene: Scene, text: str, force: float) -> Pulled:
    """The foot under a force [N] in the tendon. Raises ValueError where no balance is found."""
    return _follow(scene, text, force)[-1]


def by_length(scene: Scene, text: str, pulled_mm: float) -> Pulled:
    """The foot after the tendon was pulled by so much [mm] from where it hangs. Raises ValueError without balance."""
    path = _follow(scene, text, STEPS[-1])
    lengths = [_left(scene, text, rad(p.ankle_deg), rad(p.subtalar_deg), 0.0)[2] for p in path]
    wanted = lengths[0] - m(pulled_mm)
    near = path[int(np.argmin(np.abs(np.array(lengths) - wanted)))]

    def left(x: Floats) -> list[float]:
        a, s, length = _left(scene, text, x[0], x[1], 100.0 * x[2])
        return [a, s, 1e3 * (wanted - length)]

    found = root(left, [rad(near.ankle_deg), rad(near.subtalar_deg), near.force / 100.0], tol=1e-10)
    if not found.success:
        raise ValueError(f"no balance after {pulled_mm:g} mm for {text}")
    return Pulled(deg(float(found.x[0])), deg(float(found.x[1])), 100.0 * float(found.x[2]))


def passive_gain(scene: Scene) -> float:
    """Passive range [deg] that taking tibialis posterior away frees at 10 N.m, knee straight (middle leg, first order).

    Its own passive pull at the limit, times its arm, over the stiffness there; the moved tendon hangs slack.
    """
    legs, i = scene.palsy, LEG_MUSCLES.index("tibialis_posterior")
    limit = limit_at(legs.passive, 10.0, 0.0, True)
    pull = at_work(legs, "tibialis_posterior", 0.0, limit).force
    arm = lengths_of(legs, limit)[:, i, 1]
    stiff = np.array([-ankle_passive_torque(r, rad(q), 0.0)[1] for r, q in zip(legs.passive, limit, strict=True)])
    return float(np.median(deg(-pull * arm / stiff)))
