"""One view of the leg in its drawing order: skin, calf, bone, tendons before and after, retinaculum, marks.

A bone is shaded as an engraver does it: short parallel strokes inside the edges that turn away from the light. Strokes
instead of grey tones stay on a copier and in black and white. A picture, nothing is calculated from it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from sinewright.anatomy.skeleton import landmark_index, landmarks
from sinewright.arrays import Bools, Floats, Indices
from sinewright.export.art import DARK, Pen, across_at, belly_on, covered, pieces, tick, woven
from sinewright.export.bones import Cover, DrawnBody, Eye, Shape, alike, block_bones, long_bones, on_paper, skin, within
from sinewright.export.leg import DrawnLeg, Tendon
from sinewright.export.strands import PosedPath, spot, wavy
from sinewright.export.svg import BLUE, INK, PAPER, VERMILLION, Picture, Point, smooth, smooth_all, straight
from sinewright.results import Side
from sinewright.units import m, mm

APART = 1.4  # between two strokes along the edge [mm]
SHORTEST, LONGEST, DARK_FROM = 0.7, 6.0, -0.1
SLANT, LEAST_STEEP = (0.6, -0.8), 0.12  # direction of all strokes; an edge that runs along them gets none
AT_ONCE = 256  # strokes: what is looked at together stays small enough to be quick
INSIDE = (0.3, 0.65, 1.0)  # shares of a stroke that must lie inside the outline
LIGHT = (0.62, -0.78)  # towards the light on the paper of a right foot: from above and in front


def hatching(outlines: Sequence[Floats], sign: float) -> list[str]:
    """Path data of the strokes inside closed outlines (n, 2) [mm], worked out for all of them at once; `sign` is -1 for
    a mirrored (left) foot."""
    if not outlines:
        return []
    edge = _edge(outlines)
    light = np.array([sign * LIGHT[0], LIGHT[1]])
    dark = -(edge.outward @ light)
    most = np.minimum(LONGEST, 0.4 * _thickness(outlines))[edge.ring]
    long = most * np.clip((dark - DARK_FROM) / (1.0 - DARK_FROM), 0.0, 1.0)
    slant = np.array([sign * SLANT[0], SLANT[1]])
    long = np.where(-(edge.outward @ slant) > LEAST_STEEP, long, 0.0) * (0.8 + 0.2 * (-1.0) ** edge.place)
    drawn = np.flatnonzero(long > SHORTEST)
    strokes = np.column_stack([edge.points, slant * long[:, None]])[drawn]
    ring = edge.ring[drawn]
    kept = _inside(strokes, alike(outlines), ring)
    ends = np.searchsorted(ring[kept], np.arange(len(outlines) + 1)).tolist()
    return [_strokes(strokes[kept][first:last]) for first, last in pairwise(ends)]


def _inside(strokes: Floats, rings: Floats, ring: Indices) -> Bools:
    """Which strokes (n, 4) stay inside their outline: number `ring` (n,) of `rings`."""
    out = np.ones(len(strokes), dtype=bool)
    for first in range(0, len(strokes), AT_ONCE):
        here = slice(first, first + AT_ONCE)
        for share in INSIDE:
            out[here] &= within(strokes[here, :2] + share * strokes[here, 2:], rings[ring[here]])
    return out


def _strokes(strokes: Floats) -> str:
    """Path data of strokes (n, 4) [mm]: where each starts and its step."""
    return "M%.1f,%.1fl%.1f,%.1f" * len(strokes) % tuple(strokes.ravel().tolist())


@dataclass(frozen=True)
class _Edge:
    """Points (n, 2) every `APART` along outlines, the unit normals that point out of them there, the number of the
    outline of each and its place along it."""

    points: Floats
    outward: Floats
    ring: Indices
    place: Indices


def _edge(outlines: Sequence[Floats]) -> _Edge:
    corners = np.vstack([each[[*range(len(each)), 0]] for each in outlines])
    ends = np.cumsum([len(each) + 1 for each in outlines])
    first = ends - [len(each) + 1 for each in outlines]
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(corners, axis=0), axis=1))])
    length = along[ends - 1] - along[first]
    count = np.maximum(8, (length / APART).astype(np.int64))
    ring = np.repeat(np.arange(len(outlines)), count)
    start = np.repeat(np.cumsum(count) - count, count)
    place = np.arange(len(ring)) - start
    at = along[first][ring] + (place + 0.5) * length[ring] / count[ring]
    fine = np.stack([np.interp(at, along, corners[:, i]) for i in range(2)], axis=1)
    before, after = (start + (place + step) % count[ring] for step in (-2, 2))
    tangent = fine[after] - fine[before]
    tangent /= np.maximum(np.linalg.norm(tangent, axis=1, keepdims=True), 1e-9)
    turning = corners[:-1, 0] * corners[1:, 1] - corners[1:, 0] * corners[:-1, 1]
    turning[ends[:-1] - 1] = 0.0  # from one outline to the next
    way = np.where(np.add.reduceat(turning, first) > 0.0, 1.0, -1.0)[ring]
    return _Edge(fine, np.stack([tangent[:, 1], -tangent[:, 0]], axis=1) * way[:, None], ring, place)


def _thickness(outlines: Sequence[Floats]) -> Floats:
    """The smaller breadth of every outline [mm], along its own axes."""
    size = np.array([len(points) for points in outlines])
    first, ring = np.cumsum(size) - size, np.repeat(np.arange(len(size)), size)
    points = np.vstack(outlines)
    middle = points - (np.add.reduceat(points, first) / size[:, None])[ring]
    _, axes = np.linalg.eigh(np.add.reduceat(middle[:, :, None] * middle[:, None, :], first))
    across = np.einsum("ni,nij->nj", middle, axes[ring])
    out: Floats = np.min(np.maximum.reduceat(across, first) - np.minimum.reduceat(across, first), axis=1)
    return out


BONE_EDGE, SKIN, SKIN_EDGE = "#6d6555", "#faf5ef", "#bcae9b"
BROWN = "#8c4a1c"
BEFORE = Pen(BROWN, 1.8, "4 2.6")
AFTER = Pen(DARK, 4.2, core=VERMILLION)
CARRIES = Pen(BLUE, 4.0, core="#dcedf8")  # hollow: told from the moved tendon without colour
QUIET = Pen("#6f8496", 1.7, None, None, 0.75)
THICKEST_MM = {
    "tibialis_posterior": 11.0,
    "peroneus_longus": 10.0,
    "peroneus_brevis": 8.5,
    "flexor_digitorum_longus": 8.0,
    "flexor_hallucis_longus": 10.0,
}  # half the breadth of a belly; drawn, not calculated
CORD_MM = ((0.0, 3.4), (14.0, 3.0), (45.0, 2.6), (85.0, 3.4), (125.0, 6.5), (170.0, 12.0), (220.0, 16.5), (290.0, 17.0))
PALE_FROM_FRONT = ("heel bone",)
MOST_INKED = 256
_INKED: dict[tuple[tuple[Point, ...], Side], tuple[str, str]] = {}
"""Outline and shading of the last bones that were drawn, by their points: those of the shank never move."""


@dataclass(frozen=True)
class SceneView:
    """Everything still in one view: eye, body in its pose, skin and bones on paper, far ones first."""

    eye: Eye
    body: DrawnBody
    pose: Floats
    skin: tuple[Shape, ...]
    bones: tuple[Shape, ...]

    @cached_property
    def cover(self) -> Cover:
        """What the bones hide."""
        return Cover.of(self.bones)


def see(leg: DrawnLeg, pose: Floats, eye: Eye) -> SceneView:
    """Outlines of skin and bones of one view."""
    body = DrawnBody(leg.sizes, pose)
    bones = sorted((*block_bones(body, eye), *long_bones(body, eye)), key=lambda shape: shape.depth)
    return SceneView(eye, body, pose, tuple(skin(body, eye)), tuple(bones))


def draw_view(picture: Picture, leg: DrawnLeg, view: SceneView, tendons: tuple[Tendon, ...]) -> None:
    """One view, from the skin to the marks."""
    _skin(picture, view)
    for one in tendons:
        _belly(picture, one, view, behind=True)
    _calf(picture, leg, view)
    for bone, (outline, shade) in zip(view.bones, _inked(view.bones, view.eye), strict=True):
        pale = view.eye.view == "front" and bone.name in PALE_FROM_FRONT
        picture.path(
            outline, fill="url(#bone)", stroke=BONE_EDGE, stroke_width=0.9,
            stroke_linejoin="round", opacity=0.4 if pale else None, class_="bone",
        )  # fmt: skip
        if not pale:
            _modelled(picture, bone, shade)
    over = any(one.laid.route.name.endswith("_over") or one.laid.route.name == "round_tibia" for one in tendons)
    for one in {one.laid.recipient.name: one for one in sorted(tendons, key=lambda t: -t.slack)}.values():
        _recipients(picture, leg, one, view)  # two donors on one recipient: the tighter one decides how it hangs
    if over:
        _band(picture, view)
    for one in tendons:
        BEFORE.draw(picture, pieces(one.native, view.eye, view.cover), "before")
    for one in tendons:
        _belly(picture, one, view, behind=False)
        _moved(picture, one, view)
    if not over:
        _band(picture, view)
    if any(one.laid.route.needs_membrane for one in tendons):
        _window(picture, leg, view)
    for one in tendons:
        _junction(picture, leg, one, view)
        _marks(picture, leg, one, view)


def _inked(bones: Sequence[Shape], eye: Eye) -> list[tuple[str, str]]:
    """Path data of outline and shading of every bone; what did not move since it was last drawn is taken as it was."""
    keys = [(bone.points, eye.side) for bone in bones]
    new = {key: bone for key, bone in zip(keys, bones, strict=True) if key not in _INKED}
    outlines = smooth_all([bone.points for bone in new.values()], closed=True)
    strokes = hatching([bone.ring for bone in new.values()], 1.0 if eye.side == "right" else -1.0)
    made = dict(zip(new, zip(outlines, strokes, strict=True), strict=True))
    found = {key: made[key] if key in made else _INKED[key] for key in keys}
    for key, ink in found.items():
        _INKED.pop(key, None)
        _INKED[key] = ink
    while len(_INKED) > MOST_INKED:
        _INKED.pop(next(iter(_INKED)))
    return [found[key] for key in keys]


def _modelled(picture: Picture, bone: Shape, shade: str) -> None:
    """What makes a bone round: strokes on the side away from the light, and the edges inside its outline."""
    if shade:
        picture.path(shade, stroke=BONE_EDGE, stroke_width=0.34, stroke_linecap="round", opacity=0.75)
    for line in smooth_all(bone.lines):
        picture.path(line, stroke=BONE_EDGE, stroke_width=0.5, stroke_linecap="round", opacity=0.65)


def _skin(picture: Picture, view: SceneView) -> None:
    """Overlapping parts read as one: all borders first, then all fillings."""
    outlines = smooth_all([shape.points for shape in view.skin], closed=True)
    for outline in outlines:
        picture.path(outline, stroke=SKIN_EDGE, stroke_width=2.4, stroke_linejoin="round")
    for outline in outlines:
        picture.path(outline, fill=SKIN)
    for shape, outline in zip(view.skin, outlines, strict=True):
        if shape.name == "toe":
            picture.path(outline, fill=SKIN, stroke=SKIN_EDGE, stroke_width=0.7, opacity=0.9)


def _calf(picture: Picture, leg: DrawnLeg, view: SceneView) -> None:
    """The heel cord, quietly: it is what pulls the foot down."""
    if view.eye.view == "front":
        return
    line = leg.native("soleus", view.pose)
    outline: list[list[Point]] = [[], []]
    for above, half in CORD_MM:
        at, across = across_at(line, line.length - m(above + 0.5), view.eye)
        for side, turn in enumerate((1.0, -1.0)):
            outline[side].append((at[0] + turn * half * across[0], at[1] + turn * half * across[1]))
    around = [*outline[0], *outline[1][::-1]]
    style: dict[str, object] = {"fill": "#eceff1", "stroke": "#a9b4bd", "stroke_width": 0.8, "opacity": 0.8}
    picture.path(smooth(around, closed=True), class_="heel-cord", **style)


def _belly(picture: Picture, one: Tendon, view: SceneView, behind: bool) -> None:
    """The belly from its origin to the moved mark; what lies behind bone is drawn before it and shines through."""
    line = one.moved[0].part(0.0, max(one.mark, m(20.0)))
    half = THICKEST_MM[one.laid.donor.muscle]
    hidden = covered(view.eye.seen(line.at(np.array([0.45 * line.length]))), view.cover)[0]
    if behind and hidden:
        belly_on(picture, line, half, view.eye, faint=False)
    if not behind:
        belly_on(picture, line, half, view.eye, faint=hidden)


def _moved(picture: Picture, one: Tendon, view: SceneView) -> None:
    """The tendon from its mark to its end on bone or to the junction; wavy when slack."""
    for line in one.moved:
        end = line.length if not one.laid.recipient.joined_above else one.junction
        if one.mark < end:
            free = as_tight(line.part(one.mark, end), one.slack, view.eye)
            AFTER.draw(picture, pieces(free, view.eye, view.cover), "after")


def as_tight(line: PosedPath, slack: float, eye: Eye) -> PosedPath:
    """The strand as it hangs: straight when it pulls, with a wave as long as its slack [m] when it does not."""
    if float(mm(slack)) < 0.5:
        return line
    sight = np.array([0.0, 0.0, 1.0]) if eye.view == "side" else np.array([1.0, 0.0, 0.0])
    across = np.cross(line.points[-1] - line.points[0], sight)
    return wavy(line, slack, across / max(float(np.linalg.norm(across)), 1e-9))


def _recipients(picture: Picture, leg: DrawnLeg, one: Tendon, view: SceneView) -> None:
    """The tendon that carries the pull, from above the junction to its insertion; it hangs loose with a low belly."""
    to = one.laid.recipient
    for muscle in to.tendons:
        native = leg.native(muscle, view.pose)
        QUIET.draw(picture, pieces(native, view.eye, view.cover), "recipient-above")
    if not to.joined_above:
        return
    loose = one.slack if one.mark >= one.junction else 0.0
    for line in one.moved:
        carried = line.part(one.junction, line.length)
        if loose:
            start = min(max(one.mark, one.junction + one.overlap), 0.8 * line.length)
            carried = as_tight(line.part(start, line.length), loose, view.eye)
        CARRIES.draw(picture, pieces(carried, view.eye, view.cover), "recipient")


def _band(picture: Picture, view: SceneView) -> None:
    """The superior extensor retinaculum, a band of cross fibres from tibia to fibula."""
    whole = ((9.0, 30.0), (20.0, 24.0), (26.5, 12.0), (28.0, -2.0), (25.0, -14.0), (14.0, -25.0))
    ring = whole[:4] if view.eye.view == "side" else whole
    fibres = np.array([[(x, y - 0.12 * z, z) for x, z in ring] for y in (46.0, 42.4, 38.8, 35.2, 31.6)])
    seen = view.eye.seen(view.body.placed(fibres, "shank"))
    for fibre in smooth_all([on_paper(each) for each in seen]):
        picture.path(fibre, stroke="#7c8893", stroke_width=1.5, opacity=0.55, class_="retinaculum")


def _window(picture: Picture, leg: DrawnLeg, view: SceneView) -> None:
    """The window in the membrane between the bones."""
    x, y = view.eye.flat(_mark(leg, "membrane_window", view.pose))
    wide = 5.5 if view.eye.view == "front" else 3.2
    picture.parts.append(
        f'<ellipse cx="{x:.2f}" cy="{y:.2f}" rx="{wide:g}" ry="17" fill="none" '
        f'stroke="{INK}" stroke-width="1" stroke-dasharray="2.4 1.8" class="window"/>'
    )


def _mark(leg: DrawnLeg, name: str, pose: Floats) -> Floats:
    at = landmark_index()[name]
    return spot(leg.skeleton, at, landmarks()[at].segment, pose)


def _junction(picture: Picture, leg: DrawnLeg, one: Tendon, view: SceneView) -> None:
    """A weave about the recipient over the overlap, or a tunnel into bone."""
    to = one.laid.recipient
    if to.bone:
        for line in one.moved:
            _tunnel(picture, leg, one, line, view)
        return
    for line in one.moved:
        first = one.junction if to.joined_above else one.junction - one.overlap
        piece = line.part(first, first + one.overlap)
        if not to.joined_above:
            picture.path(straight(view.eye.seen(piece.points)[:, :2]), stroke=BLUE, stroke_width=2.8)
        weave = smooth(woven(piece, 5, 2.6, view.eye))
        picture.path(weave, stroke=PAPER, stroke_width=3.6)
        picture.path(weave, stroke=VERMILLION, stroke_width=2.4, class_="weave")
        for i in range(6):
            at, across = across_at(piece, i / 5 * piece.length, view.eye)
            tick(picture, at, across, 3.4, stroke=INK, stroke_width=0.9)


def _tunnel(picture: Picture, leg: DrawnLeg, one: Tendon, line: PosedPath, view: SceneView) -> None:
    """The tendon goes into the bone, straight down in the foot, over the length that is used up."""
    pose = view.pose
    down = np.array([-pose[10], -pose[13], -pose[16]])
    start, end = line.points[-1], line.points[-1] + down * one.overlap
    ends = [view.eye.flat(start), view.eye.flat(end)]
    picture.path(straight(ends), stroke=INK, stroke_width=5.2, opacity=0.9, class_="tunnel")
    picture.path(straight(ends), stroke=PAPER, stroke_width=3.8)
    picture.path(straight(ends), stroke=VERMILLION, stroke_width=2.4, stroke_dasharray="2.6 1.6")
    picture.circle(ends[0], 3.6, fill=PAPER, stroke=INK, stroke_width=1.4)
    picture.circle(ends[0], 1.6, fill=VERMILLION)


def _marks(picture: Picture, leg: DrawnLeg, one: Tendon, view: SceneView) -> None:
    """Where it is divided (a cross) and the muscle-tendon mark: hollow at its start point, solid where it lies now."""
    at, across = across_at(one.native, one.cut - m(0.5), view.eye)
    for turn in (1.0, -1.0):
        along = (across[1], -across[0])
        arm = (across[0] + turn * along[0], across[1] + turn * along[1])
        tick(picture, at, arm, 4.2, stroke=PAPER, stroke_width=3.4)
        tick(picture, at, arm, 4.2, stroke=INK, stroke_width=1.6, class_="divide")
    home = leg.native(one.laid.donor.muscle, leg.neutral)
    rest, rest_across = across_at(home, one.native_mark - one.native.length + home.length, view.eye)
    dotted: dict[str, object] = {"stroke": BROWN, "stroke_width": 1.1, "stroke_dasharray": "1.8 1.2"}
    tick(picture, rest, rest_across, 5.0, class_="rest-mark", **dotted)
    now, now_across = across_at(one.moved[0], one.mark, view.eye)
    tick(picture, now, now_across, 6.0, stroke=PAPER, stroke_width=3.6)
    tick(picture, now, now_across, 6.0, stroke=INK, stroke_width=2.0, class_="mark")
