"""Draws how each virtual leg walks: speed, hip and knee curves, damping, timing and learned effort.

Hip and knee levels and the drop of the pelvis scatter between people. Combinations with which this leg's own foot,
before the injury, would scrape the floor are left out: of 128 candidates for each leg one is picked by the chance that
a hundred steps in a row stay clear. A patient's own ways of lifting the foot over the floor are not in it: they are the
answer (steppage), not the question.
"""

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.special import log_ndtr

from sinewright.arrays import Floats
from sinewright.case import Case
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.stiffness import printed_limits
from sinewright.doubt.walk_body import Sizes, body_mass, draw_sizes_of, foot_with_shoe, heel_load, sole_marks
from sinewright.errors import InputError
from sinewright.reference import load
from sinewright.solve.gait import Walker, ankle_rise_and_shank, curve, motion
from sinewright.solve.leg import Legs
from sinewright.solve.passive_torque import (
    LOWER,
    LOWER_KNEE,
    LOWER_RATE,
    OFFSET,
    SUBTALAR_NEUTRAL,
    UPPER,
    UPPER_KNEE,
    UPPER_RATE,
)
from sinewright.solve.swing import tracks
from sinewright.solve.walk import (
    FASTEST,
    FIBRE,
    FIBRE_DAMPING,
    LEARNED,
    NODES,
    ON_DONOR,
    ON_LIFTERS,
    RISE,
    STEPS,
    T_ACT,
    T_DEACT,
    TIMING,
    Walk,
)
from sinewright.transfer.plans import SewnOperation, build_plans
from sinewright.units import m, rad

CANDIDATES = 128
EVERY = 4  # step of swing at which a candidate is looked at
AT_ONCE = 50  # legs whose candidates are looked at together: what fits near the processor
SPEEDS = (0.3, 2.0)  # m/s
MILLISECOND = 1e-3
FREE = -1.0  # rad: nothing hinders push-off
TOE_OFF_ROW, WANTED_ROW, WINDOW_ROW = "ga-ankle-adult-62", "ga-ankle-adult-85", "own-swing-window"
NOTHING_MOVED = SewnOperation(None, 0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Drawn:
    """Ways of walking of some legs, the persons behind them, toe-off (N,) [percent], walking speed [m/s], rows used."""

    walk: Walk
    person: Walker
    toe_off: Floats
    speed: float
    rows: tuple[str, ...]


def draw_walk(case: Case, legs: Legs, seed: int, speed: float | None = None, steps: int = STEPS) -> Drawn:
    """Draw a way of walking for each leg. ``speed`` [m/s]: none for the row own-swing-speed; ``steps`` in eights.

    The same case, legs, seed and speed give the same walk. Raises InputError for a speed outside 0.3 to 2 m/s.
    """
    sampler = PriorSampler(len(legs.points), seed)
    pace = sampler.value("own-swing-speed") if speed is None else speed
    if not SPEEDS[0] <= pace <= SPEEDS[1]:
        allowed = f"{SPEEDS[0]:g} to {SPEEDS[1]:g} m/s"
        raise InputError("--speed", f"{pace:g} m/s", allowed, "Give the speed of level walking in metres a second.")
    sizes, toe_off = draw_sizes_of(case, legs, sampler), np.clip(sampler.normal("own-swing-toe-off"), 57.0, 67.0)
    many = _candidates(sizes, pace, sampler)
    fixed = _fixed(case, legs, sizes, toe_off=toe_off, cycle=many.cycle[:, 0, 0], steps=steps, sampler=sampler)
    chance = sampler.stream("own walk").random(sampler.draws)
    normal = rad(_normal_ankle(sampler)(_percent(toe_off, steps)))
    first = _walk(fixed, _pick(many, fixed, normal, toe_off=toe_off, chance=chance, sampler=sampler), toe_off, steps)
    healthy = _healthy_ankle(legs, first, sampler)
    person = _pick(many, fixed, healthy, toe_off=toe_off, chance=chance, sampler=sampler)
    return Drawn(_walk(fixed, person, toe_off, steps), person, toe_off, pace, sampler.used)


def healthy_legs(legs: Legs, sampler: PriorSampler) -> Legs:
    """The legs before the injury: every muscle at its own normal, the passive ankle of the printed mean curve."""
    passive, limits = legs.passive.copy(), printed_limits(sampler)
    passive[:, UPPER_RATE], passive[:, LOWER_RATE] = limits["upper_rate"] / rad(1.0), limits["lower_rate"] / rad(1.0)
    passive[:, UPPER], passive[:, LOWER] = rad(limits["upper"]), rad(limits["lower"])
    passive[:, UPPER_KNEE], passive[:, LOWER_KNEE] = limits["upper_knee"], limits["lower_knee"]
    passive[:, OFFSET] = limits["offset"]
    return legs._replace(passive=passive, capacity=np.ones_like(legs.capacity))


def _healthy_ankle(legs: Legs, walk: Walk, sampler: PriorSampler) -> Floats:
    """Ankle (N, T+1) [rad] of each leg before the injury; at the wanted angle where it was not found."""
    free, subtalar = np.full(sampler.draws, FREE), legs.passive[:, SUBTALAR_NEUTRAL]
    found = tracks(healthy_legs(legs, sampler), build_plans([NOTHING_MOVED]), walk, free, subtalar)[:, :, 0]
    return np.where(np.isnan(found), walk.wanted[:, None], found)


def _percent(toe_off: Floats, steps: int) -> Floats:
    """Percent of the cycle at every step of swing, (N, T+1)."""
    out: Floats = toe_off[:, None] + (100.0 - toe_off[:, None]) * np.arange(steps + 1) / steps
    return out


def _walk(fixed: Walk, person: Walker, toe_off: Floats, steps: int) -> Walk:
    """The walk of each leg with the motion of its shank filled in."""
    moved = motion(Walker(*(part[:, None] for part in person)), _percent(toe_off, steps))
    return fixed._replace(
        step=person.cycle * (1.0 - toe_off / 100.0) / steps,
        base=np.ascontiguousarray(moved.base),
        ankle_rise=np.ascontiguousarray(moved.ankle_rise),
        thigh=np.ascontiguousarray(moved.thigh),
    )


def _fixed(
    case: Case, legs: Legs, sizes: Sizes, toe_off: Floats, cycle: Floats, steps: int, sampler: PriorSampler
) -> Walk:
    """Everything that does not depend on how hip and knee move; their motion is still empty."""
    n, empty, window = sampler.draws, np.empty(0), sampler.row(WINDOW_ROW)
    ends = np.rint(np.array([window.low, window.high]) / 100.0 * steps).astype(np.int32)
    return Walk(
        step=empty,
        base=empty,
        ankle_rise=empty,
        thigh=empty,
        window=np.tile(ends, (n, 1)),
        foot=foot_with_shoe(case, legs, sizes, sampler),
        marks=sole_marks(sizes, sampler),
        limb=np.stack([sizes.thigh, sizes.shank], axis=1),
        fibre=_fibre(sampler),
        timing=_timing(cycle, toe_off, sampler),
        damping=_damping(sampler),
        toe_off=rad(sampler.normal(TOE_OFF_ROW)),
        wanted=np.full(n, rad(sampler.value(WANTED_ROW))),
        pace=_pace(cycle, toe_off, sampler),
        mass=body_mass(case, legs, sampler),
        heel=heel_load(sizes, sampler),
        brace=rad(sampler.normal("own-swing-brace-angle")),
        knee_per_hip=np.full(n, sampler.value("own-swing-knee-per-hip")),
    )


def _candidates(sizes: Sizes, speed: float, sampler: PriorSampler) -> Walker:
    """CANDIDATES ways for each leg; arrays (N, 1 or K, 1)."""
    hip, knee = curve("hip"), curve("knee")
    sampler.note(*hip.rows, *knee.rows)
    both, h, k = (sampler.value(f"own-swing-correlation-{name}") for name in ("hip-knee", "hip", "knee"))
    far = h * both
    shape = np.array([[1.0, both, h, far], [both, 1.0, far, k], [h, far, 1.0, both], [far, k, both, 1.0]])
    z = sampler.stream("hip and knee").standard_normal((sampler.draws, CANDIDATES, 5))
    levels = (z[:, :, :4] @ np.linalg.cholesky(shape).T) * np.array([hip.sd, knee.sd, hip.sd, knee.sd])
    drop = sampler.row("own-swing-pelvic-drop")
    cadence = np.sqrt(60.0 * speed / np.maximum(sampler.normal("own-swing-walk-ratio"), 0.003))
    size = (speed / sampler.value("own-swing-curve-speed")) ** sampler.between("own-swing-speed-exponent")
    return Walker(
        thigh=sizes.thigh[:, None, None],
        shank=sizes.shank[:, None, None],
        ankle_height=sizes.ankle_height[:, None, None],
        drop=m(drop.value + (drop.sd or 0.0) * z[:, :, 4:]),
        cycle=120.0 / cadence[:, None, None],
        size=size[:, None, None],
        hip_swing=levels[:, :, 0, None],
        knee_swing=levels[:, :, 1, None],
        hip_stance=levels[:, :, 2, None],
        knee_stance=levels[:, :, 3, None],
    )


def _pick(many: Walker, fixed: Walk, ankle: Floats, toe_off: Floats, chance: Floats, sampler: PriorSampler) -> Walker:
    """One candidate for each leg, by the chance that the tip of the toes stays clear while the ankle moves so."""
    steps = ankle.shape[1] - 1
    places = np.arange(fixed.window[0, 0], fixed.window[0, 1] + 1, max(EVERY * steps // STEPS, 1))
    percent, q = _percent(toe_off, steps)[:, places], ankle[:, places]
    parts = (slice(i, i + AT_ONCE) for i in range(0, len(ankle), AT_ONCE))
    least = np.concatenate(
        [_least(Walker(*(part[some] for part in many)), percent[some], q[some], fixed.marks[some]) for some in parts]
    )
    spread = 10.0 * m(sampler.value("ga-mtc-within-person-sd"))
    log_chance = sampler.value("own-swing-steps-without-touch") * log_ndtr(least / spread)
    weight = np.cumsum(np.exp(log_chance - log_chance.max(axis=1, keepdims=True)), axis=1)
    found = np.argmax(weight >= chance[:, None] * weight[:, -1:], axis=1)
    rows = np.arange(len(found))
    return Walker(*(part[rows, found if part.shape[1] > 1 else 0, 0] for part in many))


def _least(many: Walker, percent: Floats, ankle: Floats, marks: Floats) -> Floats:
    """Least height of the tip of the toes [m] in each candidate way of some legs, (n, K); (n, places) each."""
    rise, shank = ankle_rise_and_shank(many, percent[:, None])
    c, s = np.cos(ankle)[:, None], np.sin(ankle)[:, None]
    x, y = (marks[:, 0, axis][:, None, None] for axis in (0, 1))
    x, y = c * x - s * y, s * x + c * y
    out: Floats = np.min(rise + x * np.sin(shank) + y * np.cos(shank), axis=-1)
    return out


def _normal_ankle(sampler: PriorSampler) -> PchipInterpolator:
    """Normal ankle angle [deg] by percent of the cycle (rows ga-ankle-adult-*)."""
    rows = [r for r in load().rows(quantity="ankle-dorsiflexion-angle") if r.id.startswith("ga-ankle-adult-")]
    points = sorted((r.condition_number("gait_percent"), sampler.value(r.id)) for r in rows)
    return PchipInterpolator(*np.array(points).T)


def _pace(cycle: Floats, toe_off: Floats, sampler: PriorSampler) -> Floats:
    """Speed at which a normal ankle rises at the nodes of effort (N, 5) [rad/s]; where it falls, 0."""
    percent = toe_off[:, None] + (100.0 - toe_off[:, None]) * np.arange(NODES) / (NODES - 1)
    rising = np.maximum(_normal_ankle(sampler).derivative()(percent), 0.0)
    out: Floats = rad(rising) * 100.0 / cycle[:, None]
    return out


def _fibre(sampler: PriorSampler) -> Floats:
    out = np.empty((sampler.draws, FIBRE))
    out[:, FASTEST] = sampler.value("curve-thelen2003-force-velocity-vmax")
    out[:, FIBRE_DAMPING] = sampler.between("own-swing-fibre-damping")
    out[:, T_ACT] = MILLISECOND * sampler.value("curve-thelen2003-activation-t-act")
    out[:, T_DEACT] = MILLISECOND * sampler.value("curve-thelen2003-activation-t-deact")
    return out


def _timing(cycle: Floats, toe_off: Floats, sampler: PriorSampler) -> Floats:
    out = np.empty((sampler.draws, TIMING))
    onset = (sampler.normal("ga-emg-on-tibialis-anterior") - toe_off) / 100.0 * cycle
    out[:, ON_LIFTERS] = onset
    out[:, ON_DONOR] = onset + MILLISECOND * sampler.between("own-swing-donor-delay")
    out[:, RISE] = MILLISECOND * sampler.value("own-swing-rise-time")
    out[:, LEARNED] = sampler.between("own-swing-learned-drive")
    return out


def _damping(sampler: PriorSampler) -> Floats:
    return np.stack([sampler.lognormal(f"own-swing-{joint}-damping") for joint in ("ankle", "subtalar")], axis=1)
