"""The foot as a rigid body on two oblique hinges carried by a moving shank: its inertia and what motion asks of it.

    M(q) q'' = Q - c,   M_ij = m J_i.J_j + w_i.I w_j

w_i are the hinge axes in the shank frame, J_i = w_i x (centre - point of the axis); c holds gravity, the acceleration
of the ankle, the turning of the shank and the products of speeds, by the recursion from shank to foot. The talus
carries no mass of its own: it is part of the foot. Nothing is left out for a rigid foot and a shank that moves in a
plane.
"""

from sinewright.anatomy.path import place
from sinewright.arrays import Floats
from sinewright.compiled import compiled
from sinewright.solve.walk import CENTRE, INERTIA, MASS, Shank

Triple = tuple[float, float, float]


@compiled
def cross(a: Triple, b: Triple) -> Triple:
    """Vector product."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


@compiled
def dot(a: Triple, b: Triple) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


@compiled
def plus(a: Triple, k: float, b: Triple) -> Triple:
    """a + k b."""
    return a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]


@compiled
def turned_inertia(foot: Floats, pose: Floats, v: Triple) -> Triple:
    """Inertia of the foot about its centre, in the pose, times a vector of the shank frame."""
    x = pose[9] * v[0] + pose[12] * v[1] + pose[15] * v[2]
    y = pose[10] * v[0] + pose[13] * v[1] + pose[16] * v[2]
    z = pose[11] * v[0] + pose[14] * v[1] + pose[17] * v[2]
    xx, yy, zz = foot[INERTIA], foot[INERTIA + 1], foot[INERTIA + 2]
    xy, xz, yz = foot[INERTIA + 3], foot[INERTIA + 4], foot[INERTIA + 5]
    a, b, c = xx * x + xy * y + xz * z, xy * x + yy * y + yz * z, xz * x + yz * y + zz * z
    return (
        pose[9] * a + pose[10] * b + pose[11] * c,
        pose[12] * a + pose[13] * b + pose[14] * c,
        pose[15] * a + pose[16] * b + pose[17] * c,
    )


@compiled
def foot_motion(
    ankle_rate: float, subtalar_rate: float, pose: Floats, joint: Floats, foot: Floats, shank: Shank
) -> tuple[float, float, float, float, float]:
    """Inertia about ankle, between both, about subtalar axis [kg.m2]; moments that motion and weight ask for [N.m].

    Args:
        ankle_rate, tilt_rate: joint speeds [rad/s].
        pose, joint: see ``anatomy.path.set_pose``.
        foot (10), base (7): see ``solve.walk``.
    """
    mass = foot[MASS]
    centre = place(foot[CENTRE], foot[CENTRE + 1], foot[CENTRE + 2], 2, pose)
    w1, w2 = (joint[0], joint[1], joint[2]), (pose[21], pose[22], pose[23])
    point = (pose[24], pose[25], pose[26])
    arm = plus(centre, -1.0, point)
    j1, j2 = cross(w1, centre), cross(w2, arm)
    i1, i2 = turned_inertia(foot, pose, w1), turned_inertia(foot, pose, w2)
    m11, m12, m22 = mass * dot(j1, j1) + dot(w1, i1), mass * dot(j1, j2) + dot(w2, i1), mass * dot(j2, j2) + dot(w2, i2)
    turning: Triple = (0.0, 0.0, shank.spin)
    talus = plus(turning, ankle_rate, w1)
    talus_up = plus((0.0, 0.0, shank.spin_up), ankle_rate, cross(turning, w1))
    whole = plus(talus, subtalar_rate, w2)
    whole_up = plus(talus_up, subtalar_rate, cross(talus, w2))
    there = plus((shank.felt_x, shank.felt_y, 0.0), 1.0, cross(talus_up, point))
    there = plus(there, 1.0, cross(talus, cross(talus, point)))
    there = plus(plus(there, 1.0, cross(whole_up, arm)), 1.0, cross(whole, cross(whole, arm)))
    force = (mass * there[0], mass * there[1], mass * there[2])
    moment = plus(turned_inertia(foot, pose, whole_up), 1.0, cross(whole, turned_inertia(foot, pose, whole)))
    about_ankle, about_subtalar = plus(cross(centre, force), 1.0, moment), plus(cross(arm, force), 1.0, moment)
    return m11, m12, m22, dot(w1, about_ankle), dot(w2, about_subtalar)
