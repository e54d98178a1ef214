"""The profile is to scale, moves as the model moves, and never lets a right foot pass for a left one."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from sinewright.anatomy.skeleton import landmark_index
from sinewright.export.art import rounded
from sinewright.export.bones import DrawnBody, Eye, block_bones, long_bones, skin, within
from sinewright.export.gauge import ExpectedRest
from sinewright.export.labels import crosses
from sinewright.export.leg import DrawnLeg
from sinewright.export.planned import Planned
from sinewright.export.profile import ProfileView, draw_profile
from sinewright.export.scene import AFTER, BEFORE, CARRIES, hatching
from sinewright.export.strands import pose_at, spot
from sinewright.results import Spread
from sinewright.transfer.catalogue import catalogue
from sinewright.units import mm, rad

from .conftest import planned_case

SVG = "{http://www.w3.org/2000/svg}"
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def points(data: str) -> np.ndarray:
    return np.array([float(n) for n in NUMBER.findall(data)]).reshape(-1, 2)


def group(root: ElementTree.Element, view: str) -> ElementTree.Element:
    return next(each for each in root.iter(f"{SVG}g") if each.get("class") == f"view-{view}")


def paths(element: ElementTree.Element, name: str) -> list[np.ndarray]:
    return [
        points(each.get("d", ""))
        for each in element.iter(f"{SVG}path")
        if (each.get("class") or "").split()[:1] == [name]
    ]


def drawn(leg: DrawnLeg, ankle_deg: float, subtalar_deg: float = 0.0) -> ElementTree.Element:
    return ElementTree.fromstring(draw_profile(leg, ProfileView(ankle_deg, subtalar_deg)))


def length(pieces: list[np.ndarray]) -> float:
    return sum(float(np.linalg.norm(np.diff(piece, axis=0), axis=1).sum()) for piece in pieces)


@pytest.mark.parametrize("view", ["side", "front"])
@pytest.mark.parametrize("ankle_deg", [-35.0, 0.0, 10.0, 20.0])
def test_the_native_tendon_in_the_picture_is_as_long_as_in_the_model(
    planned: Planned, view: str, ankle_deg: float
) -> None:
    """Projected length within 0.5 mm; pieces that change from seen to hidden overlap by one step of at most 2.5 mm."""
    leg = planned.leg
    root = drawn(leg, ankle_deg)
    pose = pose_at(leg.skeleton, rad(ankle_deg), 0.0)
    eye = Eye(view, leg.side)  # type: ignore[arg-type]
    told = sum(length([np.array([eye.flat(p) for p in one.native.points])]) for one in leg.tendons(pose))
    found = paths(group(root, view), "before")
    unique = {tuple(map(tuple, segment)) for piece in found for segment in np.stack([piece[:-1], piece[1:]], axis=1)}
    assert sum(float(np.hypot(*(np.array(b) - np.array(a)))) for a, b in unique) == pytest.approx(told, abs=0.5)


def test_the_cut_and_the_end_stand_where_the_model_puts_them(right_foot: Planned) -> None:
    leg = right_foot.leg
    pose = pose_at(leg.skeleton, rad(-12.0), 0.0)
    one = leg.tendons(pose)[0]
    eye = Eye("side", leg.side)
    ticks = paths(group(drawn(leg, -12.0), "side"), "divide")
    assert np.mean([t.mean(axis=0) for t in ticks], axis=0) == pytest.approx(eye.flat(one.native.at(one.cut)), abs=0.6)
    end = np.vstack(paths(group(drawn(leg, -12.0), "side"), "after"))
    wanted = np.array(eye.flat(one.moved[0].points[-1]))
    assert np.min(np.linalg.norm(end - wanted, axis=1)) < 0.5


def test_cords_lose_less_than_half_a_millimetre_where_their_corners_are_rounded() -> None:
    """The drawn curve is measured by its pieces; the corners of a real recipient path turn by up to 70 degrees."""
    corners = [(0.0, 0.0), (0.0, 40.0), (-14.0, 75.0), (12.0, 96.0), (14.0, 180.0)]
    pen, old, flat = rounded(corners), np.zeros(2), []
    for letter, text in re.findall(r"([MLQ])([^MLQ]*)", pen):
        at = points(text)
        if letter == "Q":
            share = np.linspace(0.0, 1.0, 200)[:, None]
            flat += list((1 - share) ** 2 * old + 2 * share * (1 - share) * at[0] + share**2 * at[1])
        flat.append(at[-1])
        old = at[-1]
    sharp = length([np.array(corners)])
    assert pen.count("Q") == 3
    assert sharp - 0.5 < length([np.array(flat)]) < sharp


@pytest.mark.parametrize("side", ["right", "left"])
@pytest.mark.parametrize("ankle_deg", [-30.0, 8.0, 25.0])
def test_no_two_leaders_cross_whatever_the_operation(right_foot: Planned, side: str, ankle_deg: float) -> None:
    seen = 0
    for moved in catalogue()[::3]:
        leg = replace(right_foot.leg, side=side, sewn=replace(right_foot.leg.sewn, moved=moved))  # type: ignore[arg-type]
        leaders = [
            each[1:] for each in paths(ElementTree.fromstring(draw_profile(leg, ProfileView(ankle_deg))), "leader")
        ]
        seen += len(leaders)
        for i, one in enumerate(leaders):
            assert not [two for two in leaders[i + 1 :] if crosses((one[0], one[1]), (two[0], two[1]))], moved.id
    assert seen > 50


@pytest.mark.parametrize("side", ["right", "left"])
def test_every_leader_ends_on_what_is_drawn_on_the_short_leg_of_the_theatre_page(
    right_foot: Planned, side: str
) -> None:
    shown = ProfileView(8.0, top_mm=158.0)
    for moved in catalogue():
        leg = replace(right_foot.leg, side=side, sewn=replace(right_foot.leg.sewn, moved=moved))  # type: ignore[arg-type]
        ends = [each[-1] for each in paths(ElementTree.fromstring(draw_profile(leg, shown)), "leader")]
        assert ends
        assert all(at[1] >= -shown.top_mm for at in ends), moved.id


def test_shading_stays_inside_its_bone_and_is_mirrored(right_foot: Planned) -> None:
    body = DrawnBody(right_foot.leg.sizes, right_foot.leg.neutral)
    right, left = (
        {b.name: b for b in (*block_bones(body, eye), *long_bones(body, eye))}
        for eye in (Eye("side", "right"), Eye("side", "left"))
    )
    strokes = outside = 0
    for name, bone in right.items():
        shade, mirrored = hatching([bone.ring], 1.0)[0], hatching([left[name].ring], -1.0)[0]
        for text in re.findall("M[^M]+", shade):
            x, y, dx, dy = (float(n) for n in NUMBER.findall(text))
            strokes += 1
            outside += not within(np.array([[x + 0.65 * dx, y + 0.65 * dy]]), bone.ring)[0]
        count = [shade.count("M"), mirrored.count("M")]
        assert abs(count[0] - count[1]) <= 2 + 0.1 * count[0], name
    assert strokes > 300
    assert outside <= 0.01 * strokes, "numbers are printed with one decimal: a stroke on the very edge may miss it"


def test_only_lengths_across_are_true_from_in_front_and_it_says_so(right_foot: Planned) -> None:
    root = drawn(right_foot.leg, 0.0)
    told = [e.text for e in root.iter(f"{SVG}text")]
    assert "from in front, 25° from above" in told and "50 mm, only across" in told and "50 mm" in told
    eye = Eye("front", "right")
    across, up = (np.subtract(eye.flat(p), eye.flat((0.0, 0.0, 0.0))) for p in ((0.0, 0.0, 0.05), (0.0, 0.05, 0.0)))
    assert float(np.hypot(*across)) == pytest.approx(50.0)
    assert float(np.hypot(*up)) == pytest.approx(50.0 * np.cos(rad(25.0)))


def test_before_after_and_recipient_differ_without_colour() -> None:
    """In grey: the moved tendon dark inside, the recipient pale inside, the old way dashed."""
    assert BEFORE.dash and not AFTER.dash and not CARRIES.dash
    assert AFTER.core and CARRIES.core and abs(_grey(AFTER.core) - _grey(CARRIES.core)) > 0.35


def _grey(colour: str) -> float:
    red, green, blue = (int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5))
    return 0.299 * red + 0.587 * green + 0.114 * blue


def test_the_scale_bar_is_50_mm(right_foot: Planned) -> None:
    bar = paths(drawn(right_foot.leg, 0.0), "scale")[0]
    assert float(np.linalg.norm(bar[1] - bar[0])) == pytest.approx(50.0)
    root = drawn(right_foot.leg, 0.0)
    width, box = root.get("width", ""), root.get("viewBox", "").split()
    assert float(width.removesuffix("mm")) == pytest.approx(float(box[2]))


@pytest.mark.parametrize("move_deg", [-30.0, -5.0, 12.0, 25.0])
def test_bones_move_with_their_segment_and_the_shank_stays(right_foot: Planned, move_deg: float) -> None:
    leg, eye = right_foot.leg, Eye("side", "right")
    still, moved = (DrawnBody(leg.sizes, pose_at(leg.skeleton, rad(a), 0.0)) for a in (0.0, move_deg))
    before = {b.name: np.array(b.points) for b in block_bones(still, eye)}
    after = {b.name: np.array(b.points) for b in block_bones(moved, eye)}
    assert after["tibia"] == pytest.approx(before["tibia"])
    assert after["fibula"] == pytest.approx(before["fibula"])
    heel = landmark_index()["achilles_heel"]
    rows = [spot(leg.skeleton, heel, 2, pose_at(leg.skeleton, rad(a), 0.0)) for a in (0.0, move_deg)]
    drawn_turn = _turn(before["heel bone"], after["heel bone"])
    assert drawn_turn == pytest.approx(-move_deg, abs=1.0), "paper's y runs down, so up on paper is a minus"
    assert (mm(float(rows[1][1] - rows[0][1])) > 0.0) == (move_deg < 0.0), "the heel rises when the foot goes down"


def _turn(before: np.ndarray, after: np.ndarray) -> float:
    """Degrees by which an outline turned in the plane, least squares."""
    a, b = before - before.mean(axis=0), after - after.mean(axis=0)
    return float(np.degrees(np.arctan2((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum(), (a * b).sum())))


def test_every_landmark_of_a_bone_site_lies_on_the_drawn_foot(planned: Planned) -> None:
    """Insertion sites lie on or within 6 mm of a drawn bone seen from the side: twice their own placement spread."""
    leg, eye = planned.leg, Eye("side", planned.leg.side)
    body = DrawnBody(leg.sizes, leg.neutral)
    outlines = [np.array(b.points) for b in (*block_bones(body, eye), *long_bones(body, eye))]
    for name in ("navicular_dorsum", "intermediate_cuneiform_dorsum", "lateral_cuneiform_dorsum", "cuboid_dorsum"):
        at = eye.flat(spot(leg.skeleton, landmark_index()[name], 2, leg.neutral))
        near = min(float(np.min(np.linalg.norm(o - np.array(at), axis=1))) for o in outlines)
        assert near < 6.0 or any(within(np.array([at]), np.array(o))[0] for o in outlines), name


def test_the_foot_on_paper_is_as_long_as_measured(planned: Planned) -> None:
    leg = planned.leg
    outline = np.array(skin(DrawnBody(leg.sizes, leg.neutral), Eye("side", leg.side))[0].points)
    foot = outline[outline[:, 1] > 20.0]
    assert float(np.ptp(foot[:, 0])) == pytest.approx(float(mm(float(leg.sizes[0]))), abs=1.0)


def test_a_left_foot_is_the_mirror_of_a_right_one_and_says_so(right_foot: Planned) -> None:
    right, left = right_foot.leg, replace(right_foot.leg, side="left")
    one, two = drawn(right, 5.0), drawn(left, 5.0)
    for view in ("side", "front"):
        for name in ("before", "after"):
            for a, b in zip(paths(group(one, view), name), paths(group(two, view), name), strict=True):
                assert b == pytest.approx(a * [-1.0, 1.0], abs=0.011)
    said = ["".join(e.text or "" for e in root.iter(f"{SVG}text")) for root in (one, two)]
    assert "RIGHT FOOT" in said[0] and "LEFT" not in said[0]
    assert "LEFT FOOT" in said[1] and "RIGHT" not in said[1]
    letters = [[e.text for e in root.iter(f"{SVG}text") if e.text in ("R", "L")] for root in (one, two)]
    assert letters == [["R"], ["L"]]


def test_toes_of_a_right_foot_point_right(right_foot: Planned) -> None:
    toes = [
        b
        for b in long_bones(DrawnBody(right_foot.leg.sizes, right_foot.leg.neutral), Eye("side", "right"))
        if "toe" in b.name
    ]
    assert all(np.array(toe.points)[:, 0].mean() > 100.0 for toe in toes)
    great = [
        b
        for b in long_bones(DrawnBody(right_foot.leg.sizes, right_foot.leg.neutral), Eye("front", "right"))
        if "great" in b.name
    ]
    assert all(np.array(toe.points)[:, 0].mean() > 10.0 for toe in great), (
        "the inner side of a right foot is to the right"
    )


def test_slack_is_wavy_and_tight_is_straight(right_foot: Planned) -> None:
    moved = {each.id: each for each in catalogue()}["tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"]
    leg = right_foot.leg
    sewn = replace(leg.sewn, moved=moved, ankle=rad(0.0), stretch=0.0)
    loose, tight = replace(leg, sewn=sewn), replace(leg, sewn=replace(sewn, stretch=0.012))
    pose = pose_at(leg.skeleton, rad(25.0), 0.0)
    assert loose.tendons(pose)[0].slack > 0.002 and loose.tendons(pose)[0].tension < 0.05
    assert tight.tendons(leg.neutral)[0].slack == 0.0 and tight.tendons(leg.neutral)[0].tension > 1.0
    told = [ElementTree.tostring(drawn(each, angle), "unicode") for each, angle in ((loose, 25.0), (tight, 0.0))]
    assert "slack by" in told[0] and "tight here" in told[1]
    bends = [
        sum(_turning(p) for p in paths(group(drawn(each, a), "side"), "after"))
        for each, a in ((loose, 25.0), (tight, 0.0))
    ]
    assert bends[0] > bends[1] + np.pi, "several waves turn to and fro, a tight tendon only round its pulley"


def _turning(piece: np.ndarray) -> float:
    """How much a drawn line turns in all [rad], whichever way."""
    steps = np.diff(piece, axis=0)
    headings = np.unwrap(np.arctan2(steps[:, 1], steps[:, 0])[np.linalg.norm(steps, axis=1) > 0.05])
    return float(np.abs(np.diff(headings)).sum())


def test_labels_of_a_column_do_not_lie_on_each_other(planned: Planned) -> None:
    spread = Spread(-20.0, -14.0, -11.0, -8.0, 3.0)
    root = ElementTree.fromstring(draw_profile(planned.leg, ProfileView(8.0, expected=ExpectedRest(spread))))
    texts = [e for e in root.iter(f"{SVG}text") if e.text]
    boxes = []
    for e in texts:
        size, wide = float(e.get("font-size", 9)), 0.46 * float(e.get("font-size", 9)) * len(e.text or "")
        x, y = float(e.get("x", 0)), float(e.get("y", 0))
        left = {"start": x, None: x, "middle": x - wide / 2, "end": x - wide}[e.get("text-anchor")]
        boxes.append((left, y - 0.7 * size, left + wide, y + 0.1 * size, e.text))
    for i, a in enumerate(boxes):
        for b in boxes[i + 1 :]:
            assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]), (a[4], b[4])
    x, y, wide, high = (float(v) for v in root.get("viewBox", "").split())
    assert all(b[0] >= x - 1 and b[2] <= x + wide + 4 and y <= b[1] and b[3] <= y + high for b in boxes), boxes


def test_the_same_leg_gives_the_same_picture_and_no_colour_stands_alone() -> None:
    leg = planned_case("stiff_calf").leg
    assert draw_profile(leg, ProfileView(3.0)) == draw_profile(leg, ProfileView(3.0))
    root = drawn(leg, 3.0)
    styles = {
        e.get("class"): (e.get("stroke-dasharray"), e.get("stroke-width"))
        for e in root.iter(f"{SVG}path")
        if e.get("class")
    }
    assert styles["before"] != styles["after"], "before and after differ by dash and width, not only by colour"
