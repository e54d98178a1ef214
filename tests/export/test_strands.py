"""What the pen follows is as long as what the model measures, in every pose."""

from __future__ import annotations

import numpy as np
import pytest

from sinewright.anatomy.fit import reference_joint_axes
from sinewright.anatomy.path import length_and_moment_arms
from sinewright.anatomy.skeleton import Skeleton, build, clear_cylinders, native_paths, reference_sizes
from sinewright.export.strands import PosedPath, lay_line, pose_at, wavy
from sinewright.reference import load
from sinewright.transfer.catalogue import moved_paths, pulling_paths
from sinewright.units import rad

POSES = [(rad(a), rad(s)) for a in (-50.0, -20.0, 0.0, 15.0, 30.0) for s in (-15.0, 0.0, 25.0)]
PATHS = {**native_paths(), **moved_paths()}


@pytest.fixture(scope="module")
def skeleton() -> Skeleton:
    sizes = reference_sizes() * np.array([0.9, 1.05, 1.1, 0.95, 1.0, 1.08])
    return clear_cylinders(build(sizes[None], reference_joint_axes(load())), pulling_paths())


@pytest.mark.parametrize("name", PATHS)
def test_a_drawn_strand_is_as_long_as_the_model_says(skeleton: Skeleton, name: str) -> None:
    """Within 0.05 mm: arcs are drawn as chords of 0.06 rad, which lose less than 2 parts in 10,000 of the arc."""
    steps = PATHS[name]
    for ankle, subtalar in POSES:
        pose = pose_at(skeleton, ankle, subtalar)
        body = (skeleton.points[0], skeleton.cylinders[0], skeleton.joint[0])
        told = length_and_moment_arms(steps, 0, len(steps), *body, pose)[0]
        assert lay_line(skeleton, steps, pose).length == pytest.approx(told, abs=5e-5)


def test_a_part_of_a_line_is_as_long_as_asked() -> None:
    line = PosedPath(np.array([[0.0, 0.0, 0.0], [0.03, 0.0, 0.0], [0.03, 0.04, 0.0]]), (3, 5, 7))
    assert line.part(0.01, 0.05).length == pytest.approx(0.04)
    assert line.until(5) == pytest.approx(0.03)
    assert line.at(0.05) == pytest.approx([0.03, 0.02, 0.0])


@pytest.mark.parametrize("slack", [0.002, 0.005, 0.01])
def test_a_slack_line_is_longer_by_its_slack(slack: float) -> None:
    """Within a hundredth of a millimetre: the height of the wave is searched until its length is met."""
    line = PosedPath(np.array([[0.0, 0.0, 0.0], [0.1, 0.0, 0.0]]), (1, 2))
    longer = wavy(line, slack, np.array([0.0, 1.0, 0.0])).length - line.length
    assert longer == pytest.approx(slack, abs=1e-5)
    assert wavy(line, 0.0, np.array([0.0, 1.0, 0.0])) is line
