"""The equations of the swinging foot and one time step through them.

State y: ankle and subtalar angle, their speeds, then for each working muscle its activation and its fibre length along
the tendon. Activation follows thelen2003 (rows curve-thelen2003-activation-*): a' = (u - a)/tau, tau longer the more
is active when rising, shorter when falling.

Step: a linearly implicit method of two stages and order two,

    (1 - g h A) k1 = f(t, y),  (1 - g h A) k2 = f(t + h, y + h k1) - 2 k1,  y+ = y + h (3 k1 + k2)/2,  g = 1 - 1/sqrt(2)

whose order does not depend on A, so A keeps only what is stiff: damping, end-range torque, tendons, fibres and
activation. It damps what is faster than the step, so stiff tendons and stops need no shorter one.
"""

import math
from typing import Any, NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from sinewright.anatomy.path import set_pose
from sinewright.arrays import Floats
from sinewright.compiled import compiled
from sinewright.muscle.equilibrium import muscle_of
from sinewright.solve.actuators import ACTIVATION, TAKEN, Actuators, path_of
from sinewright.solve.fibre import fibre_rate
from sinewright.solve.foot_motion import foot_motion
from sinewright.solve.idle import IdleTensions, idle_tension
from sinewright.solve.leg import Body
from sinewright.solve.passive_torque import passive_joints
from sinewright.solve.walk import FASTEST, FIBRE_DAMPING, T_ACT, T_DEACT, Shank

ANKLE, SUBTALAR, ANKLE_RATE, SUBTALAR_RATE, MUSCLES = range(5)
# What counts as one rad when a step is judged: a wrong activation, speed or fibre turns the foot after the step.
# With a strong anterior tibial that wakes inside swing an activation of 0.05 rad let 0.1 deg through (mid-swing).
ACTIVATION_WEIGHT = 1.0  # rad for a whole activation
RATE_WEIGHT = 0.006  # rad for one rad/s
FIBRE_WEIGHT = 10.0  # rad for a metre of fibre
GAMMA = 1.0 - 1.0 / math.sqrt(2.0)

WORKING = np.dtype(
    [
        ("actuator", np.int32),
        ("level", np.float64),
        ("onset", np.float64),
        ("length", np.float64),
        ("moment_arm", np.float64),
        ("idle_tension", np.float64),
        ("slowed_level", np.float64),
    ],
    align=True,
)
WorkingMuscles = NDArray[Any]  # (W,) of ``WORKING``

STIFF = np.dtype(
    [
        ("ankle_arm", np.float64),
        ("subtalar_arm", np.float64),
        ("tendon", np.float64),
        ("fibre", np.float64),
        ("damping", np.float64),
        ("time_constant", np.float64),
    ],
    align=True,
)
StiffMuscles = NDArray[Any]  # (W,) of ``STIFF``


class WorkingMuscle(Protocol):
    """A muscle that works or hangs on in swing.

    actuator: its row; level: activation at full effort; onset after toe-off [s]. Held still at the angle that the
    effort aims at: length, moment_arm [m], idle_tension counted elsewhere [N], slowed_level: level x velocity factor.
    """

    actuator: int
    level: float
    onset: float
    length: float
    moment_arm: float
    idle_tension: float
    slowed_level: float


class StiffMuscle(Protocol):
    """What the implicit step needs of a muscle: arms [m], stiffness [N/m], damping [N.s/m], time constant [s]."""

    ankle_arm: float
    subtalar_arm: float
    tendon: float
    fibre: float
    damping: float
    time_constant: float


class SwingingFoot(NamedTuple):
    """One swinging foot: what stays the same from step to step, and the working space of ``rate``.

    body, actuators; working: rows of ``WORKING``; idle: tension at rest of each actuator; inertia (10,), fibre (4,) and
    damping (2,): see ``solve.walk``; guess (W,): speed of each fibre over its fastest; pose (27,).
    """

    body: Body
    actuators: Actuators
    working: WorkingMuscles
    idle: IdleTensions
    inertia: Floats
    fibre: Floats
    damping: Floats
    guess: Floats
    pose: Floats


class FootTerms(NamedTuple):
    """Inertia [kg.m2], passive slopes [N.m/rad] of both axes, moment of tendons and tissues about the ankle [N.m]."""

    m_aa: float
    m_as: float
    m_ss: float
    k_a: float
    k_as: float
    k_s: float
    net: float


class StepSpace(NamedTuple):
    """Working space of ``step``: stages (4, len(y)), stiff parts at the start and at the end of a step."""

    stages: Floats
    stiff: StiffMuscles
    stiff_end: StiffMuscles


@compiled
def time_constant(activation: float, excitation: float, up: float, down: float) -> float:
    """Time constant of activation [s]."""
    stretch = 0.5 + 1.5 * activation
    return up * stretch if excitation > activation else down / stretch


@compiled
def rate(
    y: Floats, shank: Shank, excitation: Floats, foot: SwingingFoot, stiff: StiffMuscles, out: Floats
) -> FootTerms:
    """Fill ``out`` with dy/dt and ``stiff`` with what the implicit step needs of each working muscle."""
    body, actuators, pose, fibre = foot.body, foot.actuators, foot.pose, foot.fibre
    set_pose(body.joint, y[ANKLE], y[SUBTALAR], pose)
    m_aa, m_as, m_ss, c_a, c_s = foot_motion(y[ANKLE_RATE], y[SUBTALAR_RATE], pose, body.joint, foot.inertia, shank)
    m_a, m_s, k_a, k_as, k_s = passive_joints(body.passive, y[ANKLE], y[SUBTALAR], shank.knee)
    m_a += -c_a - foot.damping[0] * y[ANKLE_RATE]
    m_s += -c_s - foot.damping[1] * y[SUBTALAR_RATE]
    for j in range(len(foot.working)):
        i, at = foot.working[j].actuator, MUSCLES + 2 * j
        actuator, row = actuators[i], stiff[j]
        muscle = muscle_of(actuator.muscle)
        length, r_a, r_s = path_of(actuator, shank.knee, body, pose)
        now = fibre_rate(muscle, y[at], y[at + 1], length, fibre[FASTEST], fibre[FIBRE_DAMPING], foot.guess[j])
        tau = time_constant(y[at], excitation[j], fibre[T_ACT], fibre[T_DEACT])
        out[at], out[at + 1] = (excitation[j] - y[at]) / tau, now.speed
        row.ankle_arm, row.subtalar_arm, row.tendon, row.fibre = r_a, r_s, now.tendon, now.fibre
        row.damping, row.time_constant = now.damping, tau
        foot.guess[j] = now.speed / (fibre[FASTEST] * muscle.optimal_fibre)
        force = now.force
        if actuator.counting == ACTIVATION:
            force -= idle_tension(foot.idle[i], muscle, length)
        m_a, m_s = m_a + force * r_a, m_s + force * r_s
    for i in range(len(actuators)):
        actuator = actuators[i]
        if actuator.counting == TAKEN:
            length, r_a, r_s = path_of(actuator, shank.knee, body, pose)
            force = idle_tension(foot.idle[i], muscle_of(actuator.muscle), length)
            m_a, m_s = m_a - force * r_a, m_s - force * r_s
    det = m_aa * m_ss - m_as * m_as
    out[ANKLE], out[SUBTALAR] = y[ANKLE_RATE], y[SUBTALAR_RATE]
    out[ANKLE_RATE], out[SUBTALAR_RATE] = (m_ss * m_a - m_as * m_s) / det, (m_aa * m_s - m_as * m_a) / det
    return FootTerms(m_aa, m_as, m_ss, k_a, k_as, k_s, m_a + c_a)


@compiled
def implicit(r: Floats, gh: float, damping: Floats, stiff: StiffMuscles, terms: FootTerms, k: Floats) -> None:
    """Solve (1 - gh A) k = r for the stiff parts A: muscles are eliminated, a 2x2 system is left."""
    a_aa, a_as, a_ss, k_a, k_as, k_s, _ = terms
    muscles = (len(r) - MUSCLES) // 2
    b_a = a_aa * r[ANKLE_RATE] + a_as * r[SUBTALAR_RATE] + gh * (k_a * r[ANKLE] + k_as * r[SUBTALAR])
    b_s = a_as * r[ANKLE_RATE] + a_ss * r[SUBTALAR_RATE] + gh * (k_as * r[ANKLE] + k_s * r[SUBTALAR])
    a_aa += gh * damping[0] - gh * gh * k_a
    a_as -= gh * gh * k_as
    a_ss += gh * damping[1] - gh * gh * k_s
    for j in range(muscles):
        row = stiff[j]
        r_a, r_s, tendon, slow = row.ankle_arm, row.subtalar_arm, row.tendon, row.damping
        give = 1.0 + gh * (tendon + row.fibre) / slow
        series = tendon * (1.0 + gh * row.fibre / slow) / give
        pulled = series * (r_a * r[ANKLE] + r_s * r[SUBTALAR]) + tendon * r[MUSCLES + 2 * j + 1] / give
        b_a, b_s = b_a - gh * r_a * pulled, b_s - gh * r_s * pulled
        a_aa += gh * gh * series * r_a * r_a
        a_as += gh * gh * series * r_a * r_s
        a_ss += gh * gh * series * r_s * r_s
    det = a_aa * a_ss - a_as * a_as
    k[ANKLE_RATE], k[SUBTALAR_RATE] = (a_ss * b_a - a_as * b_s) / det, (a_aa * b_s - a_as * b_a) / det
    k[ANKLE], k[SUBTALAR] = r[ANKLE] + gh * k[ANKLE_RATE], r[SUBTALAR] + gh * k[SUBTALAR_RATE]
    for j in range(muscles):
        at, row = MUSCLES + 2 * j, stiff[j]
        tendon, slow = row.tendon, row.damping
        taken_up = row.ankle_arm * k[ANKLE] + row.subtalar_arm * k[SUBTALAR]
        k[at] = r[at] / (1.0 + gh / row.time_constant)
        k[at + 1] = (r[at + 1] - gh * tendon / slow * taken_up) / (1.0 + gh * (tendon + row.fibre) / slow)


@compiled
def step(
    y: Floats, h: float, shanks: tuple[Shank, Shank], excitation: Floats, foot: SwingingFoot, space: StepSpace
) -> tuple[float, float]:
    """Move ``y`` on by one time step.

    Parameters
    ----------
    y : array
        State, changed in place.
    h : float
        Time step [s].
    shanks : pair of Shank
        Motion of the shank at the start and at the end.
    excitation : array, (2, W)
        Excitation of the working muscles at the start and at the end.
    foot : SwingingFoot
    space : StepSpace

    Returns
    -------
    off, net : float
        How far the step differs from one of order one [rad]; moment of tendons and tissues about the ankle at its start
        [N.m].
    """
    n = len(y)
    f, k1, k2, mid = space.stages[0, :n], space.stages[1, :n], space.stages[2, :n], space.stages[3, :n]
    terms = rate(y, shanks[0], excitation[0], foot, space.stiff, f)
    implicit(f, GAMMA * h, foot.damping, space.stiff, terms, k1)
    for i in range(n):
        mid[i] = y[i] + h * k1[i]
    rate(mid, shanks[1], excitation[1], foot, space.stiff_end, f)
    for i in range(n):
        f[i] -= 2.0 * k1[i]
    implicit(f, GAMMA * h, foot.damping, space.stiff, terms, k2)
    for i in range(n):
        y[i] += h * (1.5 * k1[i] + 0.5 * k2[i])
    off: float = max(abs(k1[ANKLE] + k2[ANKLE]), abs(k1[SUBTALAR] + k2[SUBTALAR]))
    off = max(
        off,
        RATE_WEIGHT * abs(k1[ANKLE_RATE] + k2[ANKLE_RATE]),
        RATE_WEIGHT * abs(k1[SUBTALAR_RATE] + k2[SUBTALAR_RATE]),
    )
    for j in range(len(foot.working)):
        off = max(off, ACTIVATION_WEIGHT * abs(k1[MUSCLES + 2 * j] + k2[MUSCLES + 2 * j]))
        off = max(off, FIBRE_WEIGHT * abs(k1[MUSCLES + 2 * j + 1] + k2[MUSCLES + 2 * j + 1]))
    return 0.5 * h * off, terms.net
