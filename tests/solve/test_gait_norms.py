"""Hip and knee of the adult curves against the open gait array of 39 boys, and what a moving hip does to the ankle."""

import numpy as np
import pytest
from fdatools.datasets import load_gait

from sinewright.arrays import Floats
from sinewright.reference import load
from sinewright.solve.gait import Walker, ankle_rise_and_shank, curve, motion
from sinewright.solve.walk import COSINE, FELT_X, FELT_Y, KNEE, SINE, SPIN, SPIN_UP

PLACES = 2.5 + 5.0 * np.arange(20)
PELVIS_DEG = 19.0  # note of the rows ga-hip-boys-*: subtract about 18 to 20 deg for an adult vertical reference
PERSON = Walker(*(np.array(v) for v in (0.43, 0.43, 0.066, 0.006, 1.1, 1.0, 0.02, -0.03, 0.01, 0.04)))


@pytest.fixture(scope="module")
def boys() -> Floats:
    """Hip and knee angles (20, 39, 2) [deg] of the array that the package fdatools carries."""
    return np.asarray(load_gait().value, dtype=np.float64)


@pytest.mark.parametrize(("joint", "column"), [("hip", 0), ("knee", 1)])
def test_ramsay_silverman_rows_are_those_of_the_array(joint: str, column: int, boys: Floats) -> None:
    rows = sorted(
        (r.condition_number("gait_percent"), r) for r in load().rows() if r.id.startswith(f"ga-{joint}-boys-")
    )
    assert [at for at, _ in rows] == PLACES.tolist()
    assert np.allclose([r.value for _, r in rows], boys[:, :, column].mean(axis=1), atol=0.0051)
    assert np.allclose([r.sd for _, r in rows], boys[:, :, column].std(axis=1, ddof=1), atol=0.0051)


@pytest.mark.parametrize(("joint", "column", "pelvis_tilt"), [("hip", 0, PELVIS_DEG), ("knee", 1, 0.0)])
def test_adult_curves_run_like_those_of_the_boys(joint: str, column: int, pelvis_tilt: float, boys: Floats) -> None:
    """Same shape, and everywhere within two standard deviations of the difference between two people."""
    norm = curve(joint)  # type: ignore[arg-type]
    adult = np.degrees(norm.at(PLACES)[0])
    mean, sd = boys[:, :, column].mean(axis=1) - pelvis_tilt, boys[:, :, column].std(axis=1, ddof=1)
    assert np.corrcoef(adult, mean)[0, 1] > 0.99
    assert np.all(np.abs(adult - mean) < 2.0 * np.hypot(sd, np.degrees(norm.sd)))


def test_correlations_between_people_are_those_of_the_array(boys: Floats) -> None:
    hip, knee = boys[:, :, 0], boys[:, :, 1]
    swing, stance, wide = slice(15, 18), slice(5, 8), slice(12, 20)

    def r(a: Floats, b: Floats) -> float:
        return float(np.corrcoef(a.mean(axis=0), b.mean(axis=0))[0, 1])

    value = load().fit_value
    assert value("own-swing-correlation-hip-knee") == pytest.approx(r(hip[wide], knee[wide]), abs=0.05)
    assert value("own-swing-correlation-hip-knee") == pytest.approx(r(hip[stance], knee[stance]), abs=0.05)
    assert value("own-swing-correlation-hip") == pytest.approx(r(hip[stance], hip[swing]), abs=0.05)
    assert value("own-swing-correlation-knee") == pytest.approx(r(knee[stance], knee[swing]), abs=0.05)


@pytest.mark.parametrize("joint", ["hip", "knee"])
def test_smoothed_curves_keep_the_key_points_of_winter1991(joint: str) -> None:
    """Within the +- 2 deg that the rows claim for themselves."""
    norm = curve(joint)  # type: ignore[arg-type]
    for id in norm.rows:
        row = load().row(id)
        found = float(np.degrees(norm.at(row.condition_number("gait_percent"))[0]))
        assert found == pytest.approx(row.value, abs=2.0), id


def test_rates_are_slopes_of_the_angles() -> None:
    for joint in ("hip", "knee"):
        norm, at, e = curve(joint), np.linspace(60.0, 100.0, 23), 1e-3  # type: ignore[arg-type]
        before, here, after = (norm.at(at + d) for d in (-e, 0.0, e))
        assert np.allclose((after[0] - before[0]) / (2.0 * e / 100.0), here[1], atol=1e-5)
        assert np.allclose((after[1] - before[1]) / (2.0 * e / 100.0), here[2], atol=1e-3)


def test_felt_acceleration_is_that_of_the_ankle_point() -> None:
    """Second difference of the ankle's own place, turned into the shank, plus gravity."""
    at = np.linspace(63.0, 99.0, 13)
    seconds = PERSON.cycle / 100.0

    def place(percent: Floats) -> tuple[Floats, Floats]:
        moved = motion(PERSON, percent)
        shank = np.arctan2(moved.base[..., SINE], moved.base[..., COSINE])
        x = PERSON.thigh * np.sin(moved.thigh) + PERSON.shank * np.sin(shank)
        return np.asarray(x), moved.ankle_rise

    e = 0.01
    steps = [place(at + d) for d in (-e, 0.0, e)]
    ax, ay = ((steps[2][i] - 2.0 * steps[1][i] + steps[0][i]) / (e * seconds) ** 2 for i in range(2))
    ay = ay + 9.80665
    base = motion(PERSON, at).base
    assert np.allclose(base[:, FELT_X], ax * base[:, COSINE] + ay * base[:, SINE], atol=1e-3)
    assert np.allclose(base[:, FELT_Y], ay * base[:, COSINE] - ax * base[:, SINE], atol=1e-3)


def test_signs_of_the_swinging_leg() -> None:
    """Knee flexion +; a flexed knee brings the lower end of the shank behind; the hip lies over the standing leg."""
    early, late = motion(PERSON, np.array([70.0])), motion(PERSON, np.array([97.0]))
    assert early.base[0, KNEE] > np.radians(50.0) > late.base[0, KNEE]
    assert early.base[0, SINE] < 0.0 < late.base[0, SINE]
    assert early.base[0, SPIN] == pytest.approx(0.0, abs=3.0)
    assert np.isfinite(early.base[0, SPIN_UP])
    higher = PERSON._replace(hip_swing=PERSON.hip_swing + 0.1, knee_swing=PERSON.knee_swing + 0.1)
    rise, _ = ankle_rise_and_shank(PERSON, np.array([80.0]))
    lifted, _ = ankle_rise_and_shank(higher, np.array([80.0]))
    assert lifted[0] > rise[0]
