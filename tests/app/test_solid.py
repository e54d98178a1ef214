"""The solid leg is the model's: tubes as long as its paths, bones where it moves them, a left leg truly a left one."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sinewright.anatomy.path import length_and_moment_arms, place
from sinewright.anatomy.skeleton import SEGMENTS, landmark_index, native_paths
from sinewright.case import changed, read_case
from sinewright.export.leg import DrawnLeg, leg_of
from sinewright.export.solid import AROUND, FINE, Solid, SolidLeg, Tube, moved, plain_solid, span
from sinewright.export.strands import pose_at
from sinewright.transfer.catalogue import moved_paths
from sinewright.units import mm, rad

from .app_browser import EXAMPLES

LEGS = (
    ("deep_branch_strong_peroneals", "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum", 4.0),
    ("deep_branch_strong_peroneals", "tibialis_posterior.membrane_under.split_medial_cuneiform_cuboid", -25.0),
    ("borderline_donor", "tibialis_posterior.membrane_over.anterior_tibial_below", 0.0),
    ("borderline_donor", "tibialis_posterior.membrane_under.anterior_tibial_above", -25.0),
)
FEET = ((-40.0, 0.0), (0.0, 0.0), (8.0, 10.0), (20.0, -12.0))


@cache
def leg(example: str, choice: str, set_stretch_mm: float) -> DrawnLeg:
    case = changed(read_case(EXAMPLES / f"{example}.toml"), {"plan.set_stretch_mm": set_stretch_mm})
    return leg_of(case, choice, 100, 1)


def model_length_mm(drawn: DrawnLeg, elements: Any, foot: tuple[float, float]) -> float:
    """Length of a path by the kernel that everything else is computed with, not by what is drawn."""
    skeleton, pose = drawn.skeleton, pose_at(drawn.skeleton, rad(foot[0]), rad(foot[1]))
    found = length_and_moment_arms(
        elements, 0, len(elements), skeleton.points[0], skeleton.cylinders[0], skeleton.joint[0], pose
    )
    return float(mm(found[0]))


def of_kind(solid: Solid, *kinds: str) -> list[Tube]:
    return [tube for tube in solid.tubes if tube.kind in kinds]


@pytest.mark.parametrize("foot", FEET, ids=str)
@pytest.mark.parametrize("which", LEGS, ids=lambda which: f"{which[1]} {which[2]:g}")
def test_every_tube_is_as_long_as_the_path_of_the_model(
    which: tuple[str, str, float], foot: tuple[float, float]
) -> None:
    """Within 0.5 mm: arcs are drawn in steps of 0.06 rad. A slack tendon is longer than its way by its slack."""
    drawn = leg(*which)
    solid = SolidLeg(drawn).at(*foot)
    (one,) = drawn.tendons(pose_at(drawn.skeleton, rad(foot[0]), rad(foot[1])))
    for tube in of_kind(solid, "before", "calf", "recipient"):
        assert tube.length_mm == pytest.approx(model_length_mm(drawn, native_paths()[tube.muscle], foot), abs=0.5)
    joined = one.laid.recipient.joined_above
    if joined:
        return
    belly = of_kind(solid, "muscle")[0].length_mm
    for text, tube in zip(one.laid.paths, of_kind(solid, "after"), strict=True):
        way = model_length_mm(drawn, moved_paths()[text], foot)
        free = way - float(mm(one.mark))
        slack = min(float(mm(one.slack)), 0.25 * free) if one.slack >= 0.0005 else 0.0
        assert tube.length_mm == pytest.approx(free + slack, abs=0.5)
        assert belly == pytest.approx(float(mm(one.mark)), abs=0.5)


@pytest.mark.parametrize("foot", FEET, ids=str)
def test_what_carries_the_pull_and_the_new_tendon_make_up_the_whole_way(foot: tuple[float, float]) -> None:
    drawn = leg(*LEGS[3])
    solid = SolidLeg(drawn).at(*foot)
    (one,) = drawn.tendons(pose_at(drawn.skeleton, rad(foot[0]), rad(foot[1])))
    (carries,) = of_kind(solid, "carries")
    whole = model_length_mm(drawn, moved_paths()[one.laid.paths[0]], foot)
    assert carries.length_mm + float(mm(one.junction)) == pytest.approx(whole, abs=0.5)


def test_a_slack_tendon_is_among_those_that_are_held_against_the_model() -> None:
    drawn = leg(*LEGS[1])
    slack = [one.slack for foot in FEET for one in drawn.tendons(pose_at(drawn.skeleton, rad(foot[0]), rad(foot[1])))]
    assert max(slack) > 0.001


@pytest.mark.parametrize("foot", FEET, ids=str)
def test_bones_move_as_the_model_moves_their_segment(foot: tuple[float, float]) -> None:
    drawn = leg(*LEGS[0])
    solid, pose = SolidLeg(drawn).at(*foot), pose_at(drawn.skeleton, rad(foot[0]), rad(foot[1]))
    for (name, segment, rings), rod in zip(SolidLeg(drawn).bones, solid.rods, strict=True):
        assert rod.name == name
        for ring, corner in ((0, 0), (-1, AROUND // 3)):
            told = np.array(place(*rings[ring, corner], SEGMENTS[segment], pose))
            assert rod.rings[ring, corner] == pytest.approx(mm(told), abs=1e-6)


def test_the_foot_lifts_its_toes_and_the_shank_stays() -> None:
    low, high = (SolidLeg(leg(*LEGS[0])).at(angle) for angle in (-20.0, 10.0))
    where = {rod.name: number for number, rod in enumerate(low.rods)}
    toe = where["great toe, last bone"]
    assert high.rods[toe].rings[..., 1].mean() > low.rods[toe].rings[..., 1].mean() + 50.0
    assert np.array_equal(high.rods[where["tibia"]].rings, low.rods[where["tibia"]].rings)
    for solid in (low, high):
        assert min(rod.rings[..., 1].min() for rod in solid.rods) > solid.floor_mm


def test_a_left_leg_is_the_mirror_of_a_right_one_and_its_great_toe_lies_inward() -> None:
    from dataclasses import replace

    right = leg(*LEGS[0])
    solids = {side: SolidLeg(replace(right, side=side)).at(5.0, 4.0) for side in ("right", "left")}  # type: ignore[arg-type]
    mirror = np.array([1.0, 1.0, -1.0])
    for one, other in zip(solids["right"].rods, solids["left"].rods, strict=True):
        assert np.array_equal(one.rings * mirror, other.rings)
    for tube, twin in zip(solids["right"].tubes, solids["left"].tubes, strict=True):
        assert np.array_equal(tube.points * mirror, twin.points)
    for side, outward in (("right", 1.0), ("left", -1.0)):
        across = {rod.name: outward * float(rod.rings[..., 2].mean()) for rod in solids[side].rods}
        assert across["great toe, first bone"] < across["fifth toe, first bone"] - 40.0
        assert across["inner malleolus"] < across["fibula"]
        assert solids[side].told.startswith(f"{side.capitalize()} leg, foot 5° up, heel 4° in.")


def test_pieces_are_short_and_what_goes_to_the_page_is_plain_and_small() -> None:
    import json

    solid = SolidLeg(leg(*LEGS[2])).at(-12.0)
    for tube in solid.tubes:
        assert np.linalg.norm(np.diff(tube.points, axis=0), axis=1).max() <= mm(FINE) + 1e-6
    assert len(json.dumps(plain_solid(solid))) < 80_000


def test_a_shank_bone_does_not_move_and_a_slice_lies_between_its_borders() -> None:
    points = np.array([[0.01, 0.02, 0.03]])
    assert np.array_equal(moved(points, "shank", np.zeros(27)), points)
    square = ((0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (0.0, 4.0))
    assert span(square, 0, 5.0) == (0.0, 4.0)
    assert span(square, 0, 99.0) == (0.0, 4.0)


def test_the_inner_malleolus_ends_at_the_landmark_of_the_model() -> None:
    drawn = leg(*LEGS[0])
    rod = next(rod for rod in SolidLeg(drawn).at(0.0).rods if rod.name == "inner malleolus")
    tip = drawn.skeleton.points[0, landmark_index()["medial_malleolus_tip"]]
    assert rod.rings[-1].mean(axis=0) == pytest.approx(mm(tip), abs=1e-6)


# -- the paper --------------------------------------------------------------------------------------------------------

PART = Path(__file__).parents[2] / "src" / "sinewright" / "app" / "parts" / "solid.js"
ASK = """async ([text, side, azimuth, height, points]) => {
  const part = await import(URL.createObjectURL(new Blob([text], { type: "text/javascript" })));
  const eye = part.eyeAt(side, azimuth, height);
  const on = points.map((p) => part.project(p, eye));
  return { axes: [eye.right, eye.up, eye.to], on, words: part.viewWords(azimuth, height) };
}"""


@pytest.mark.slow
@pytest.mark.parametrize("side", ["right", "left"])
def test_the_paper_never_mirrors_and_shows_each_side_where_the_drawing_does(chromium: Any, side: str) -> None:
    """From the outer side a right foot points to the right of the paper; from in front its outer border lies left."""
    page = chromium.new_page()
    out = 1.0 if side == "right" else -1.0
    toe, outer = [180.0, -60.0, 0.0], [0.0, 0.0, out * 40.0]
    views = {
        at: page.evaluate(ASK, [PART.read_text("utf-8"), side, *at, [toe, outer]])
        for at in ((0, 0), (90, 0), (180, 0), (35, 16), (270, 40))
    }
    page.close()
    for view in views.values():
        assert np.linalg.det(np.array(view["axes"])) == pytest.approx(1.0)
    assert out * views[0, 0]["on"][0][0] > 100.0
    assert views[0, 0]["on"][1][2] > 30.0
    assert out * views[90, 0]["on"][1][0] < -30.0
    assert views[90, 0]["on"][0][2] > 100.0
    assert out * views[180, 0]["on"][0][0] < -100.0
    assert views[0, 0]["words"] == "the outer side"
    assert views[270, 40]["words"] == "behind, from above"
