"""How hip and knee move through the cycle, and what the shank and ankle do because of it.

Curves: adult key points (rows ga-hip-adult-*, ga-knee-adult-*; from memory after Winter 1991) joined without
overshoot and kept to six harmonics, so that rates and accelerations are those of a smooth curve. The hip stands on the
other leg, whose foot lies flat between 10 and 50 percent of its own cycle: that gives its height and its vertical
acceleration. Its forward speed is taken as even: were all of its rise traded for speed, a moved foot would differ by
less than 1 deg, a dropped one at heel strike by half a degree, in mid-swing by 1 to 4 deg.

Angles in radians, percent of the cycle from heel strike, x forward, y up.
"""

from dataclasses import dataclass
from functools import cache
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike
from scipy.interpolate import PchipInterpolator

from sinewright.arrays import Floats
from sinewright.reference import load
from sinewright.solve.walk import BASE, COSINE, FELT_X, FELT_Y, KNEE, SINE, SPIN, SPIN_UP
from sinewright.units import GRAVITY, rad

Joint = Literal["hip", "knee"]
HARMONICS = 6
FINE = 1000


@dataclass(frozen=True)
class GaitCurve:
    """One joint through the cycle: mean, cosine and sine parts (6,) [rad]; sd between people [rad]; rows used."""

    mean: float
    cosine: Floats
    sine: Floats
    sd: float
    rows: tuple[str, ...]

    def at(self, percent: ArrayLike) -> tuple[Floats, Floats, Floats]:
        """Angle and its first and second derivative by the part of the cycle (0 to 1), at any shape of percent."""
        turn = 2.0 * np.pi * np.arange(1, HARMONICS + 1)
        x = np.asarray(percent, dtype=np.float64)[..., None] / 100.0 * turn
        c, s = np.cos(x), np.sin(x)
        angle: Floats = self.mean + c @ self.cosine + s @ self.sine
        rate: Floats = c @ (turn * self.sine) - s @ (turn * self.cosine)
        bend: Floats = -(c @ (turn**2 * self.cosine)) - s @ (turn**2 * self.sine)
        return angle, rate, bend


@cache
def curve(joint: Joint) -> GaitCurve:
    """The adult curve of a joint."""
    rows = [r for r in load().rows(quantity=f"{joint}-flexion-angle") if r.id.startswith(f"ga-{joint}-adult-")]
    points = sorted((r.condition_number("gait_percent"), load().fit_value(r.id)) for r in rows)
    x, y = np.array(points).T
    y[-1] = y[0]
    ahead, behind = x[1:3] + 100.0, x[-3:-1] - 100.0
    line = PchipInterpolator(np.concatenate([behind, x, ahead]), np.concatenate([y[-3:-1], y, y[1:3]]))
    parts = np.fft.rfft(rad(line(np.arange(FINE) * 100.0 / FINE))) / FINE
    inside = parts[1 : HARMONICS + 1]
    sd = float(np.mean([r.sd or 0.0 for r in rows]))
    return GaitCurve(float(parts[0].real), 2.0 * inside.real, -2.0 * inside.imag, rad(sd), tuple(r.id for r in rows))


class Walker(NamedTuple):
    """What tells one way of walking from another; arrays that broadcast together.

    thigh, shank: lengths between joint centres [m]; ankle_height [m]; drop: hip lower on the swing side [m];
    cycle: time of one cycle [s]; size: how far hip and knee swing against the printed curves; levels in swing and
    stance added to hip and knee [rad].
    """

    thigh: Floats
    shank: Floats
    ankle_height: Floats
    drop: Floats
    cycle: Floats
    size: Floats
    hip_swing: Floats
    knee_swing: Floats
    hip_stance: Floats
    knee_stance: Floats


class GaitMotion(NamedTuple):
    """Motion of the swinging leg: ``base`` (..., 7) as in ``solve.walk``, height of the ankle axis above the floor
    [m], thigh angle [rad], vertical and forward acceleration of the hip [m/s2]."""

    base: Floats
    ankle_rise: Floats
    thigh: Floats
    hip_up: Floats


def motion(person: Walker, percent: Floats) -> GaitMotion:
    """Motion at ``percent`` of the cycle; shapes of person and percent broadcast. Meant for 60 to 100 percent."""
    per = 1.0 / person.cycle
    h, dh, ddh = _joint("hip", person.size, person.hip_swing, percent, per)
    k, dk, ddk = _joint("knee", person.size, person.knee_swing, percent, per)
    f, df, ddf = h - k, dh - dk, ddh - ddk
    height, lift = _hip_height(person, percent, per)
    ax = person.thigh * _across(h, dh, ddh) + person.shank * _across(f, df, ddf)
    ay = lift + person.thigh * _upward(h, dh, ddh) + person.shank * _upward(f, df, ddf) + GRAVITY
    s, c = np.sin(f), np.cos(f)
    base = np.empty((*np.broadcast_shapes(h.shape, ay.shape), BASE))
    base[..., SINE], base[..., COSINE], base[..., SPIN], base[..., SPIN_UP] = s, c, df, ddf
    base[..., FELT_X], base[..., FELT_Y], base[..., KNEE] = ax * c + ay * s, ay * c - ax * s, k
    rise = height - person.thigh * np.cos(h) - person.shank * c
    return GaitMotion(base, rise, np.broadcast_to(h, rise.shape), lift)


def ankle_rise_and_shank(person: Walker, percent: Floats) -> tuple[Floats, Floats]:
    """Height of the ankle axis [m] and angle of the shank [rad] alone: enough to see whether a foot clears."""
    per = 1.0 / person.cycle
    h, _, _ = _joint("hip", person.size, person.hip_swing, percent, per)
    k, _, _ = _joint("knee", person.size, person.knee_swing, percent, per)
    height, _ = _hip_height(person, percent, per)
    return height - person.thigh * np.cos(h) - person.shank * np.cos(h - k), h - k


def _hip_height(person: Walker, percent: Floats, per: Floats) -> tuple[Floats, Floats]:
    """Height of the swinging hip above the floor [m] and its vertical acceleration [m/s2], from the standing leg."""
    other = np.asarray(percent) - 50.0
    h, dh, ddh = _joint("hip", person.size, person.hip_stance, other, per)
    k, dk, ddk = _joint("knee", person.size, person.knee_stance, other, per)
    f, df, ddf = h - k, dh - dk, ddh - ddk
    height = person.ankle_height + person.shank * np.cos(f) + person.thigh * np.cos(h) - person.drop
    return height, -person.shank * _upward(f, df, ddf) - person.thigh * _upward(h, dh, ddh)


def _joint(joint: Joint, size: Floats, level: Floats, percent: Floats, per: Floats) -> tuple[Floats, Floats, Floats]:
    angle, rate, bend = curve(joint).at(percent)
    return size * angle + level, size * rate * per, size * bend * per**2


def _across(angle: Floats, rate: Floats, bend: Floats) -> Floats:
    """Forward acceleration of the lower end of a rod of length 1."""
    out: Floats = np.cos(angle) * bend - np.sin(angle) * rate**2
    return out


def _upward(angle: Floats, rate: Floats, bend: Floats) -> Floats:
    """Upward acceleration of the lower end of a rod of length 1."""
    out: Floats = np.sin(angle) * bend + np.cos(angle) * rate**2
    return out
