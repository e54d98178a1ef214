"""The functional foot axis: found from printed ratios of arms, with its residuals."""

import numpy as np
import pytest

from sinewright.anatomy import foot_axis
from sinewright.anatomy.fit import reference_joint_axes
from sinewright.anatomy.foot_axis import FootAxis, fit_foot_axis, moment_arm_about
from sinewright.anatomy.joints import subtalar_axis
from sinewright.anatomy.skeleton import Skeleton, build, native_paths, reference_sizes
from sinewright.reference import load
from sinewright.units import deg, mm, rad


@pytest.fixture(scope="module")
def skeleton() -> Skeleton:
    return build(reference_sizes()[None], reference_joint_axes(load()))


@pytest.fixture(scope="module")
def axis(skeleton: Skeleton) -> FootAxis:
    return fit_foot_axis(load(), skeleton)


def test_hintermann_1994_ratios_leave_these_residuals(axis: FootAxis) -> None:
    # a guard against a change nobody noticed, not a pass mark: the long toe flexor is the one that does not fit
    left = dict(zip(axis.muscles, np.abs(mm(axis.residuals)), strict=True))
    assert max(left, key=left.__getitem__) == "flexor_digitorum_longus"
    assert left["flexor_digitorum_longus"] == pytest.approx(4.8, abs=0.3)
    assert np.sqrt(np.mean(mm(axis.residuals) ** 2)) == pytest.approx(2.3, abs=0.2)
    assert np.array_equal(np.sign(axis.found), np.sign(axis.printed))


def test_the_axis_is_flatter_and_straighter_than_the_subtalar_one(axis: FootAxis) -> None:
    inclination = load().fit_value("ax-subtalar-inclination-krahenbuhl2017")
    deviation = load().fit_value("ax-subtalar-deviation-krahenbuhl2017")
    assert 0.0 < deg(axis.inclination) < inclination
    assert 0.0 < deg(axis.deviation) < deviation


def test_the_answer_does_not_depend_on_the_start(
    axis: FootAxis, skeleton: Skeleton, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(foot_axis, "START_DEG", (45.0, 5.0))
    again = fit_foot_axis(load(), skeleton)
    assert again.inclination == pytest.approx(axis.inclination, abs=1e-4)
    assert again.deviation == pytest.approx(axis.deviation, abs=1e-4)


def test_no_other_axis_nearby_is_better(axis: FootAxis, skeleton: Skeleton) -> None:
    def misfit(up: float, inward: float, point: np.ndarray) -> float:
        line = subtalar_axis(up, inward)
        moment_arms = [moment_arm_about(skeleton, native_paths()[name], line, point) for name in axis.muscles]
        return float(((np.array(moment_arms) - axis.printed) ** 2).sum())

    best = misfit(axis.inclination, axis.deviation, axis.point)
    assert best == pytest.approx(float((axis.residuals**2).sum()))
    step = rad(2.0)
    for up, inward in ((step, 0.0), (-step, 0.0), (0.0, step), (0.0, -step)):
        assert misfit(axis.inclination + up, axis.deviation + inward, axis.point) > best
    for shift in ((0.0, 0.002, 0.0), (0.0, -0.002, 0.0), (0.0, 0.0, 0.002), (0.0, 0.0, -0.002)):
        assert misfit(axis.inclination, axis.deviation, axis.point + np.array(shift)) > best
