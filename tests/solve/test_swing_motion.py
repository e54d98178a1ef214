"""The swing integrator against an independent one, closed forms, energy and its own order."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from sinewright.anatomy.path import POSE_SIZE, set_pose
from sinewright.arrays import Floats
from sinewright.muscle.equilibrium import MuscleTendon
from sinewright.solve.actuators import Operated, muscle_tension
from sinewright.solve.effort import Effort, ramp
from sinewright.solve.foot_motion import foot_motion
from sinewright.solve.gait import Walker, motion
from sinewright.solve.idle import idle_tension
from sinewright.solve.leg import Body
from sinewright.solve.passive_torque import OFFSET, PASSIVE_SIZE, SUBTALAR_STIFFNESS
from sinewright.solve.swing import (
    ALLOWED,
    MID,
    MID_SUBTALAR,
    STRIKE,
    STRIKE_SUBTALAR,
    Course,
    Start,
    foot_of,
    new_swing_space,
    set_out,
    swing,
    tracks,
    travel,
)
from sinewright.solve.swing_step import MUSCLES, SwingingFoot, rate
from sinewright.solve.walk import BASE, COSINE, FELT_Y, FOOT, NODES, RISE, Shank

from .swing_people import Ground, ground

WITHIN_DEG = 0.05


def reference_track(g: Ground, leg: int, plan: int) -> Floats:
    """Ankle and hindfoot [rad] at mid-swing and heel strike by SciPy's Radau method, motion exact in time."""
    legs, walk = g.legs, g.drawn.walk
    body = Body(g.plans.elements, legs.points[leg], legs.cylinders[leg], legs.joint[leg], legs.passive[leg], True)
    space = new_swing_space(walk.base.shape[1])
    start = Start(g.pushdown[leg, plan], g.rest_subtalar[leg, plan])
    moved, count = set_out(Operated(leg, plan, legs, g.plans), walk, start, body, space)
    foot = foot_of.py_func(leg, walk, moved, count, body, space)  # type: ignore[attr-defined]
    y, shares = space.state[: MUSCLES + 2 * count].copy(), space.shares
    whole = walk.step[leg] * (walk.base.shape[1] - 1)
    person = Walker(*(np.asarray(part[leg]) for part in g.drawn.person))
    out = np.empty(len(y))
    rise, toe_off = walk.timing[leg, RISE], g.drawn.toe_off[leg]

    def slope(t: float, state: Floats) -> Floats:
        percent = toe_off + (100.0 - toe_off) * t / whole
        base = motion(person, np.array([percent])).base[0]
        share = np.interp(t / whole, np.linspace(0.0, 1.0, NODES), shares)
        asked = np.array([row["level"] * share * ramp(t - row["onset"], rise) for row in foot.working])
        foot.guess[:] = 0.0
        rate(state, Shank(*base), asked, foot, space.steps.stiff, out)
        return out.copy()

    found = solve_ivp(slope, (0.0, whole), y, "Radau", t_eval=[0.5 * whole, whole], rtol=1e-7, atol=1e-9, max_step=0.01)
    assert found.success
    return np.asarray(found.y[:2].T)


@pytest.mark.parametrize(("healthy", "plan"), [(True, 0), (False, 0), (False, 1)], ids=["healthy", "today", "moved"])
def test_scipy_radau_gives_the_same_swing(healthy: bool, plan: int) -> None:
    """With the setting used in weighing."""
    g = ground(healthy, 4)
    exact = np.array([reference_track(g, leg, plan) for leg in range(4)])
    out, failed = swing(g.legs, g.plans, g.drawn.walk, g.pushdown, g.rest_subtalar, 0.01)
    assert not failed.any()
    found = out[:, plan][:, [MID, STRIKE, STRIKE_SUBTALAR]]
    wanted = np.stack([exact[:, 0, 0], exact[:, 1, 0], exact[:, 1, 1]], axis=1)
    assert np.degrees(np.abs(found - wanted)).max() < WITHIN_DEG


FINE = 1e-4  # of the usual tolerance of a step
MANY = 160


def test_every_leg_of_many_keeps_close_to_a_far_finer_step_and_to_radau() -> None:
    """Legs whose strong lifters wake inside swing are the hard ones: the hardest of many goes through Radau as well."""
    g = ground(True, MANY)
    given = (g.legs, g.plans, g.drawn.walk, g.pushdown[:, 0], g.rest_subtalar[:, 0])
    coarse, fine = (tracks(*given, allowed=ALLOWED * k)[:, :, :2] for k in (1.0, FINE))
    off = np.degrees(np.abs(coarse - fine)).max(axis=(1, 2))
    assert off.max() < WITHIN_DEG
    hardest = int(np.argmax(off))
    exact = reference_track(g, hardest, 0)
    assert np.degrees(np.abs(fine[hardest, [len(fine[0]) // 2, -1]] - exact)).max() < 1e-3
    assert np.degrees(np.abs(coarse[hardest, [len(fine[0]) // 2, -1]] - exact)).max() < WITHIN_DEG


@pytest.mark.parametrize("plan", [0, 1], ids=["today", "moved"])
def test_every_dropped_foot_keeps_close_to_a_far_finer_step(plan: int) -> None:
    """Angles at mid-swing and heel strike, both axes."""
    g = ground(False, 60)
    given = (g.legs, g.plans, g.drawn.walk, g.pushdown, g.rest_subtalar, 0.01)
    coarse, fine = (swing(*given, allowed=ALLOWED * k)[0][:, plan] for k in (1.0, FINE))
    columns = [MID, MID_SUBTALAR, STRIKE, STRIKE_SUBTALAR]
    assert np.degrees(np.abs(coarse[:, columns] - fine[:, columns])).max() < WITHIN_DEG


def free_foot(inertia: float, subtalar_stiffness: float, centre_down: float = 0.0) -> tuple[Body, Floats]:
    """A foot on a cross hinge and a long hinge that do not couple, without end stops, muscles or ankle stiffness."""
    passive = np.zeros(PASSIVE_SIZE)
    passive[SUBTALAR_STIFFNESS], passive[OFFSET] = subtalar_stiffness, 0.0
    passive[9], passive[10], passive[11] = 50.0, -50.0, 1.0  # stops far away
    joint = np.array([0.0, 0.0, 1.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0])
    empty = np.zeros((0, 3), dtype=np.int32)
    foot = np.zeros(FOOT)
    foot[0], foot[2], foot[4:7] = 1.0, -centre_down, inertia
    return Body(empty, np.zeros((0, 3)), np.zeros((0, 9)), joint, passive, True), foot


def run(body: Body, foot: Floats, start: tuple[float, float], damping: Floats, steps: int, time: float) -> Floats:
    base = np.zeros((steps + 1, BASE))
    base[:, COSINE], base[:, FELT_Y] = 1.0, 9.80665
    space, y = new_swing_space(steps + 1), np.array([*start, 0.0, 0.0])
    bare = SwingingFoot(
        body=body,
        actuators=space.statics.actuators[:0],
        working=space.working[:0],
        idle=space.idle,
        inertia=foot,
        fibre=np.array([10.0, 0.05, 0.015, 0.05]),
        damping=damping,
        guess=space.guess[:0],
        pose=np.empty(POSE_SIZE),
    )
    assert travel(Course(base, time / steps, Effort(np.zeros(NODES), 0.05)), bare, 1e9, y, space)
    return space.track


def test_damped_pendulum_follows_its_closed_form() -> None:
    """Hindfoot on a spring with damping: q = q0 e^(-d t) (cos w t + d/w sin w t)."""
    inertia, stiffness, c, time, steps = 0.004, 8.0, 0.08, 0.4, 800
    body, foot = free_foot(inertia, stiffness)
    track = run(body, foot, (0.0, 0.2), np.array([0.0, c]), steps, time)
    t = np.linspace(0.0, time, steps + 1)
    d = c / (2.0 * inertia)
    w = math.sqrt(stiffness / inertia - d * d)
    exact = 0.2 * np.exp(-d * t) * (np.cos(w * t) + d / w * np.sin(w * t))
    assert np.degrees(np.abs(track[:, 1] - exact)).max() < WITHIN_DEG
    assert np.abs(track[:, 0]).max() < 1e-12


def test_hanging_pendulum_swings_in_its_own_time() -> None:
    """Small swing of a weight under gravity: w^2 = m g l/(I + m l^2)."""
    body, foot = free_foot(0.004, 0.0, centre_down=0.06)
    w = math.sqrt(9.80665 * 0.06 / (0.004 + 0.06**2))
    track = run(body, foot, (1e-4, 0.0), np.zeros(2), 2000, 2.0)
    exact = 1e-4 * np.cos(w * np.linspace(0.0, 2.0, 2001))
    assert np.abs(track[:, 0] - exact).max() < 2e-7


def energy(body: Body, foot: Floats, q: Floats, rates: Floats) -> float:
    """Kinetic energy and height of the foot on a shank at rest, from the points of the foot alone."""
    pose, still = np.empty(POSE_SIZE), Shank(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    set_pose(body.joint, q[0], q[1], pose)
    m_aa, m_as, m_ss, _, _ = foot_motion(0.0, 0.0, pose, body.joint, foot, still)
    turned = pose[9:18].reshape(3, 3) @ foot[1:4] + pose[18:21]
    kinetic = 0.5 * (m_aa * rates[0] ** 2 + 2.0 * m_as * rates[0] * rates[1] + m_ss * rates[1] ** 2)
    spring = 0.5 * body.passive[SUBTALAR_STIFFNESS] * q[1] ** 2
    return float(kinetic + spring + foot[0] * 9.80665 * turned[1])


def test_energy_lost_is_energy_damped() -> None:
    """A real foot on its two oblique hinges, swinging 25 deg: energy falls by exactly what damping takes."""
    g = ground(True, 1)
    walk, legs = g.drawn.walk, g.legs
    passive = free_foot(0.0, 12.0)[0].passive
    body = Body(g.plans.elements, legs.points[0], legs.cylinders[0], legs.joint[0], passive, True)
    damping, steps, time = np.array([0.02, 0.01]), 4000, 0.6
    track = run(body, walk.foot[0], (-0.45, 0.2), damping, steps, time)
    q, h = track[:, :2], time / steps
    rates = (q[2:] - q[:-2]) / (2.0 * h)
    taken = h * np.cumsum((damping * rates**2).sum(axis=1))
    first, last = 10, steps - 10
    before = energy(body, walk.foot[0], q[first + 1], rates[first])
    after = energy(body, walk.foot[0], q[last + 1], rates[last])
    lost, damped = before - after, taken[last] - taken[first]
    assert damped > 0.02
    assert lost == pytest.approx(damped, abs=2e-4)


def test_halving_the_step_quarters_the_error() -> None:
    """Order two on the whole model, transfer and shank motion included, without re-done steps."""
    found = []
    for steps in (128, 256, 512, 2048):
        g = ground(False, 3, steps)
        out, failed = swing(g.legs, g.plans, g.drawn.walk, g.pushdown, g.rest_subtalar, 0.01, allowed=1e9)
        assert not failed.any()
        found.append(out[:, :, STRIKE])
    errors = [np.sqrt(np.mean((f - found[-1]) ** 2)) for f in found[:-1]]
    orders = [math.log2(errors[i] / errors[i + 1]) for i in range(2)]
    assert all(1.6 < order < 2.6 for order in orders), (errors, orders)


def test_newton_euler_agrees_with_lagrange() -> None:
    """What motion asks of the hinges equals the Lagrange equations of the foot's own points, by finite differences."""
    g = ground(True, 1)
    joint, foot = g.legs.joint[0], g.drawn.walk.foot[0]
    masses, points = point_masses(foot)
    base_rows = lambda t: (0.7 * math.sin(3.0 * t), 0.2 * t * t, 0.1 * math.cos(5.0 * t))  # noqa: E731

    def q_of(t: float) -> tuple[float, float]:
        return -0.3 + 0.8 * t + 2.0 * t * t, 0.1 - 0.5 * t + 1.5 * t * t

    def world(t: float, q: tuple[float, float]) -> Floats:
        f, x, y = base_rows(t)
        pose = np.empty(POSE_SIZE)
        set_pose(joint, q[0], q[1], pose)
        inside = points @ pose[9:18].reshape(3, 3).T + pose[18:21]
        c, s = math.cos(f), math.sin(f)
        turned = inside @ np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]]).T
        return np.asarray(turned + np.array([x, y, 0.0]))

    e = 1e-4
    acceleration = (world(e, q_of(e)) - 2.0 * world(0.0, q_of(0.0)) + world(-e, q_of(-e))) / e**2
    acceleration[:, 1] += 9.80665
    asked = []
    for i in range(2):
        up, down = list(q_of(0.0)), list(q_of(0.0))
        up[i], down[i] = up[i] + e, down[i] - e
        way = (world(0.0, (up[0], up[1])) - world(0.0, (down[0], down[1]))) / (2.0 * e)
        asked.append(float((masses[:, None] * acceleration * way).sum()))
    pose = np.empty(POSE_SIZE)
    set_pose(joint, *q_of(0.0), pose)
    shank = Shank(sine=0.0, cosine=1.0, spin=2.1, spin_up=0.0, felt_x=0.4, felt_y=-2.5 + 9.80665, knee=0.0)
    m_aa, m_as, m_ss, c_a, c_s = foot_motion(0.8, -0.5, pose, joint, foot, shank)
    assert m_aa * 4.0 + m_as * 3.0 + c_a == pytest.approx(asked[0], rel=1e-5)
    assert m_as * 4.0 + m_ss * 3.0 + c_s == pytest.approx(asked[1], rel=1e-5)


def point_masses(foot: Floats) -> tuple[Floats, Floats]:
    """Six points with the mass, centre and inertia of the foot."""
    xx, yy, zz, xy, xz, yz = foot[4:10]
    second = 0.5 * np.trace(np.diag([xx, yy, zz])) * np.eye(3) - np.array([[xx, xy, xz], [xy, yy, yz], [xz, yz, zz]])
    values, vectors = np.linalg.eigh(second)
    one = foot[0] / 6.0
    moment_arms = vectors * np.sqrt(values / (2.0 * one))
    points = np.concatenate([foot[1:4] + moment_arms.T, foot[1:4] - moment_arms.T])
    return np.full(6, one), points


@pytest.mark.parametrize(("healthy", "plan"), [(True, 0), (False, 1)])
def test_tension_at_rest_is_read_as_exactly_as_it_matters(healthy: bool, plan: int) -> None:
    """Between its places the tension keeps to within 0.2 N (less than 0.01 N.m) of the solved one; beyond, exactly."""
    g, solved_somewhere = ground(healthy, 12), False
    for leg in range(12):
        legs, walk = g.legs, g.drawn.walk
        body = Body(g.plans.elements, legs.points[leg], legs.cylinders[leg], legs.joint[leg], legs.passive[leg], True)
        space = new_swing_space(walk.base.shape[1])
        set_out(Operated(leg, plan, legs, g.plans), walk, Start(-0.4, 0.0), body, space)
        for i in np.flatnonzero(space.idle["spacing"] > 0.0):
            row, muscle = space.idle[i], MuscleTendon(*space.statics.actuators[i]["muscle"])
            last = row["first"] + 24 * row["spacing"]
            for length in np.linspace(row["first"] - 0.002, last + 0.002, 400):
                exact, _ = muscle_tension(muscle, 0.0, float(length), True)
                assert idle_tension(row, muscle, float(length)) == pytest.approx(exact, abs=0.2)
                solved_somewhere = solved_somewhere or exact > 5.0
    assert solved_somewhere
