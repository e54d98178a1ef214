"""The equations of the swinging foot and one time step through them.

State y: ankle, tilt, their speeds, then for each working muscle its activation and its fibre length along the tendon.
Activation follows thelen2003 (rows curve-thelen2003-activation-*): a' = (u - a)/tau, tau longer the more is active when
rising, shorter when falling.

Step: a linearly implicit method of two stages and order two,

    (1 - g h A) k1 = f(t, y),  (1 - g h A) k2 = f(t + h, y + h k1) - 2 k1,  y+ = y + h (3 k1 + k2)/2,  g = 1 - 1/sqrt(2)

whose order does not depend on A, so A keeps only what is stiff: damping, end-range torque, tendons, fibres and
activation. It damps what is faster than the step, so stiff tendons and stops need no shorter one.
"""

import math

from sinewright.anatomy.path import set_pose
from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled
from sinewright.solve.fibre import fibre_rate
from sinewright.solve.field import COUNTING, EFFORT, TAKEN, path_of
from sinewright.solve.foot_motion import foot_motion
from sinewright.solve.idle import idle_tension
from sinewright.solve.leg import Body
from sinewright.solve.passive_torque import passive_joints
from sinewright.solve.walk import FASTEST, FIBRE_DAMPING, KNEE, T_ACT, T_DEACT

ANKLE, SUBTALAR, ANKLE_RATE, SUBTALAR_RATE, MUSCLES = range(5)
# What counts as one rad when a step is judged: a wrong activation, speed or fibre turns the foot after the step.
# With a strong anterior tibial that wakes inside swing an activation of 0.05 rad let 0.1 deg through (mid-swing).
ACTIVATION_WEIGHT = 1.0  # rad for a whole activation
RATE_WEIGHT = 0.006  # rad for one rad/s
FIBRE_WEIGHT = 10.0  # rad for a metre of fibre
GAMMA = 1.0 - 1.0 / math.sqrt(2.0)
# per working muscle: arms, stiffness of tendon and fibre, damping, time constant of activation, speed over the fastest
ARM_A, ARM_S, TENDON, FIBRE, DAMPING, TAU, GUESS = range(7)
SIDE = 7
# of the foot: inertia (3), passive slopes (3), moment of tendons and tissues about the ankle [N.m]
M_AA, M_AS, M_SS, K_A, K_AS, K_S, NET = range(7)
FRAME = 7


@compiled
def time_constant(activation: float, excitation: float, up: float, down: float) -> float:
    """Time constant of activation [s]."""
    stretch = 0.5 + 1.5 * activation
    return up * stretch if excitation > activation else down / stretch


@compiled
def rate(
    y: Floats, base: Floats, excitation: Floats, live: Ints, pulls: Floats, words: Ints, idle: Floats, body: Body,
    foot: Floats, fibre: Floats, damping: Floats, pose: Floats, out: Floats, side: Floats, frame: Floats,
) -> None:  # fmt: skip
    """Fill ``out`` with dy/dt, ``side`` (muscles, 7) and ``frame`` (7) with what the implicit step needs."""
    set_pose(body.joint, y[ANKLE], y[SUBTALAR], pose)
    m_aa, m_as, m_ss, c_a, c_s = foot_motion(y[ANKLE_RATE], y[SUBTALAR_RATE], pose, body.joint, foot, base)
    m_a, m_s, k_a, k_as, k_s = passive_joints(body.passive, y[ANKLE], y[SUBTALAR], base[KNEE])
    m_a += -c_a - damping[0] * y[ANKLE_RATE]
    m_s += -c_s - damping[1] * y[SUBTALAR_RATE]
    frame[M_AA], frame[M_AS], frame[M_SS] = m_aa, m_as, m_ss
    frame[K_A], frame[K_AS], frame[K_S] = k_a, k_as, k_s
    for j in range(len(live)):
        i, at = live[j], MUSCLES + 2 * j
        length, r_a, r_s = path_of(pulls[i], words[i], base[KNEE], body, pose)
        force, v, tendon, own, slow = fibre_rate(
            pulls[i], y[at], y[at + 1], length, fibre[FASTEST], fibre[FIBRE_DAMPING], side[j, GUESS]
        )
        tau = time_constant(y[at], excitation[j], fibre[T_ACT], fibre[T_DEACT])
        out[at], out[at + 1] = (excitation[j] - y[at]) / tau, v
        side[j, ARM_A], side[j, ARM_S], side[j, TENDON], side[j, FIBRE] = r_a, r_s, tendon, own
        side[j, DAMPING], side[j, TAU], side[j, GUESS] = slow, tau, v / (fibre[FASTEST] * pulls[i, 1])
        if words[i, COUNTING] == EFFORT:
            force -= idle_tension(idle[i], pulls[i], length)
        m_a, m_s = m_a + force * r_a, m_s + force * r_s
    for i in range(len(pulls)):
        if words[i, COUNTING] == TAKEN:
            length, r_a, r_s = path_of(pulls[i], words[i], base[KNEE], body, pose)
            force = idle_tension(idle[i], pulls[i], length)
            m_a, m_s = m_a - force * r_a, m_s - force * r_s
    frame[NET] = m_a + c_a
    det = m_aa * m_ss - m_as * m_as
    out[ANKLE], out[SUBTALAR] = y[ANKLE_RATE], y[SUBTALAR_RATE]
    out[ANKLE_RATE], out[SUBTALAR_RATE] = (m_ss * m_a - m_as * m_s) / det, (m_aa * m_s - m_as * m_a) / det


@compiled
def implicit(r: Floats, gh: float, damping: Floats, side: Floats, frame: Floats, k: Floats) -> None:
    """Solve (1 - gh A) k = r for the stiff parts A: muscles are eliminated, a 2x2 system is left."""
    a_aa, a_as, a_ss = frame[M_AA], frame[M_AS], frame[M_SS]
    b_a = a_aa * r[ANKLE_RATE] + a_as * r[SUBTALAR_RATE] + gh * (frame[K_A] * r[ANKLE] + frame[K_AS] * r[SUBTALAR])
    b_s = a_as * r[ANKLE_RATE] + a_ss * r[SUBTALAR_RATE] + gh * (frame[K_AS] * r[ANKLE] + frame[K_S] * r[SUBTALAR])
    a_aa += gh * damping[0] - gh * gh * frame[K_A]
    a_as -= gh * gh * frame[K_AS]
    a_ss += gh * damping[1] - gh * gh * frame[K_S]
    for j in range(len(side)):
        r_a, r_s, tendon, slow = side[j, ARM_A], side[j, ARM_S], side[j, TENDON], side[j, DAMPING]
        give = 1.0 + gh * (tendon + side[j, FIBRE]) / slow
        series = tendon * (1.0 + gh * side[j, FIBRE] / slow) / give
        pulled = series * (r_a * r[ANKLE] + r_s * r[SUBTALAR]) + tendon * r[MUSCLES + 2 * j + 1] / give
        b_a, b_s = b_a - gh * r_a * pulled, b_s - gh * r_s * pulled
        a_aa += gh * gh * series * r_a * r_a
        a_as += gh * gh * series * r_a * r_s
        a_ss += gh * gh * series * r_s * r_s
    det = a_aa * a_ss - a_as * a_as
    k[ANKLE_RATE], k[SUBTALAR_RATE] = (a_ss * b_a - a_as * b_s) / det, (a_aa * b_s - a_as * b_a) / det
    k[ANKLE], k[SUBTALAR] = r[ANKLE] + gh * k[ANKLE_RATE], r[SUBTALAR] + gh * k[SUBTALAR_RATE]
    for j in range(len(side)):
        at, tendon, slow = MUSCLES + 2 * j, side[j, TENDON], side[j, DAMPING]
        taken_up = side[j, ARM_A] * k[ANKLE] + side[j, ARM_S] * k[SUBTALAR]
        k[at] = r[at] / (1.0 + gh / side[j, TAU])
        k[at + 1] = (r[at + 1] - gh * tendon / slow * taken_up) / (1.0 + gh * (tendon + side[j, FIBRE]) / slow)


@compiled
def step(
    y: Floats, h: float, base: Floats, base_next: Floats, excitation: Floats, excitation_next: Floats, live: Ints,
    pulls: Floats, words: Ints, idle: Floats, body: Body, foot: Floats, fibre: Floats, damping: Floats, pose: Floats,
    space: Floats, side: Floats, frame: Floats, held_side: Floats, held_frame: Floats,
) -> float:  # fmt: skip
    """Move ``y`` on by h [s]; gives how far angles [rad] (and activations) differ from a step of order one.

    ``space`` (4, len(y)) is working space; ``held_frame`` keeps the frame at the start of the step.
    """
    f, k1, k2, mid = space[0], space[1], space[2], space[3]
    rate(y, base, excitation, live, pulls, words, idle, body, foot, fibre, damping, pose, f, side, frame)
    copy_rows(side, held_side)
    copy(frame, held_frame)
    implicit(f, GAMMA * h, damping, held_side, held_frame, k1)
    for i in range(len(y)):
        mid[i] = y[i] + h * k1[i]
    rate(mid, base_next, excitation_next, live, pulls, words, idle, body, foot, fibre, damping, pose, f, side, frame)
    for i in range(len(y)):
        f[i] -= 2.0 * k1[i]
    implicit(f, GAMMA * h, damping, held_side, held_frame, k2)
    for i in range(len(y)):
        y[i] += h * (1.5 * k1[i] + 0.5 * k2[i])
    off: float = max(abs(k1[ANKLE] + k2[ANKLE]), abs(k1[SUBTALAR] + k2[SUBTALAR]))
    off = max(
        off,
        RATE_WEIGHT * abs(k1[ANKLE_RATE] + k2[ANKLE_RATE]),
        RATE_WEIGHT * abs(k1[SUBTALAR_RATE] + k2[SUBTALAR_RATE]),
    )
    for j in range(len(live)):
        off = max(off, ACTIVATION_WEIGHT * abs(k1[MUSCLES + 2 * j] + k2[MUSCLES + 2 * j]))
        off = max(off, FIBRE_WEIGHT * abs(k1[MUSCLES + 2 * j + 1] + k2[MUSCLES + 2 * j + 1]))
    return 0.5 * h * off


@compiled
def copy(a: Floats, out: Floats) -> None:
    """Fill ``out`` (n) with ``a`` (n)."""
    for i in range(len(out)):
        out[i] = a[i]


@compiled
def copy_rows(a: Floats, out: Floats) -> None:
    """Fill ``out`` (n, m) with ``a`` (n, m)."""
    for i in range(len(out)):
        copy(a[i], out[i])


@compiled
def between(a: Floats, b: Floats, part: float, out: Floats) -> None:
    """Fill ``out`` with the place ``part`` of the way from a to b."""
    for i in range(len(out)):
        out[i] = a[i] + part * (b[i] - a[i])
