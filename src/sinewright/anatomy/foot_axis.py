"""The axis about which a whole foot turns in and out when it is pulled: not the anatomical subtalar axis.

Cadaver studies that read supination and pronation of the whole foot, and tendon excursion against them, measure arms
about a *functional* axis (subtalar and midtarsal joints together). It is found here from the nine printed ratios of
arms about it (rows ``ma-*-foot-eversion-axis-ratio-hintermann1994``), with the scale held at the printed arm of
tibialis posterior (row ``ma-tibialis-posterior-st-mean-klein1996``). Four unknowns: two angles, and where the axis
passes the plane of the subtalar point. Nothing of the leg is moved; the residuals are part of the answer.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares

from sinewright.anatomy.joints import subtalar_axis
from sinewright.anatomy.path import POSE_SIZE, length_and_moment_arms, set_pose
from sinewright.anatomy.skeleton import Skeleton, native_paths
from sinewright.arrays import Floats, Ints
from sinewright.reference import Reference
from sinewright.units import m, rad

SCALE_ROW = "ma-tibialis-posterior-st-mean-klein1996"
RATIO_MUSCLES = (
    "tibialis_posterior",
    "flexor_digitorum_longus",
    "flexor_hallucis_longus",
    "tibialis_anterior",
    "soleus",
    "extensor_hallucis_longus",
    "extensor_digitorum_longus",
    "peroneus_longus",
    "peroneus_brevis",
)
START_DEG = (30.0, 15.0)  # a flatter, straighter axis than the subtalar one; the answer does not depend on it


@dataclass(frozen=True)
class FootAxis:
    """Rise above the sole and turn to the inner side [rad], a point on it (3,) [m], printed and found arms [m]."""

    inclination: float
    deviation: float
    point: Floats
    muscles: tuple[str, ...]
    printed: Floats
    found: Floats
    rows: tuple[str, ...]

    @property
    def residuals(self) -> Floats:
        """Found less printed arm of each muscle (9,) [m]."""
        out: Floats = self.found - self.printed
        return out


def ratio_row(muscle: str) -> str:
    """Id of the row that holds the printed ratio of a muscle."""
    return f"ma-{muscle.replace('_', '-')}-foot-eversion-axis-ratio-hintermann1994"


def moment_arm_about(skeleton: Skeleton, elements: Ints, axis: Floats, point: Floats) -> float:
    """Turning-in arm [m] of a path of the first leg about an axis through a point [m], both joints at neutral."""
    joint = np.concatenate([skeleton.joint[0, :3], axis, point])
    pose = np.empty(POSE_SIZE)
    set_pose(joint, 0.0, 0.0, pose)
    _, _, arm = length_and_moment_arms(
        elements, 0, len(elements), skeleton.points[0], skeleton.cylinders[0], joint, pose
    )
    return float(arm)


def fit_foot_axis(reference: Reference, skeleton: Skeleton) -> FootAxis:
    """Least squares over the nine printed arms, all weighted alike, for the first leg of a skeleton."""
    scale = m(reference.fit_value(SCALE_ROW))
    printed = scale * np.array([reference.fit_value(ratio_row(name)) for name in RATIO_MUSCLES])
    level = float(skeleton.joint[0, 6])

    def found(x: Floats) -> Floats:
        axis, point = subtalar_axis(x[0], x[1]), np.array([level, x[2], x[3]])
        return np.array([moment_arm_about(skeleton, native_paths()[name], axis, point) for name in RATIO_MUSCLES])

    start = np.array([*(rad(a) for a in START_DEG), skeleton.joint[0, 7], skeleton.joint[0, 8]])
    best = least_squares(lambda x: (found(x) - printed) / scale, start, x_scale=[0.3, 0.3, 0.01, 0.01])
    up, inward, y, z = (float(v) for v in best.x)
    rows = (SCALE_ROW, *(ratio_row(name) for name in RATIO_MUSCLES))
    return FootAxis(
        up, inward, np.array([level, y, z]), muscles=RATIO_MUSCLES, printed=printed, found=found(best.x), rows=rows
    )
