"""The leg profile: side and front view of one patient's leg with the operation on it, as one vector picture.

One function serves paper and screen. One unit of the picture is one millimetre of the patient; the origin is the ankle
axis. A left leg is mirrored here: its toes point to the left of the paper, its outer border in front view to the right.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from sinewright.export.art import Piece
from sinewright.export.bones import LOOK_DOWN, Eye, Shape, on_paper
from sinewright.export.gauge import ExpectedRest, draw_gauge, lowest_of_gauge, words_reach
from sinewright.export.labels import STEP, Anchor, Label, LabelColumn, place_labels, wrap_words
from sinewright.export.leg import DrawnLeg, Tendon
from sinewright.export.scene import AFTER, BEFORE, CARRIES, SceneView, draw_view, see
from sinewright.export.strands import PosedPath, pose_at
from sinewright.export.svg import BLUE, GREY, INK, PAPER, Picture, Point, straight
from sinewright.transfer.surgery import Recipient
from sinewright.units import deg, m, mm, rad
from sinewright.wording.directions import MARK, angle_words

FRONT_AT = 362.0  # from the side view's ankle axis to the front view's, on paper, at least [mm]
FADE = 22.0  # over which the shank fades at its upper end [mm]
AHEAD = 74.0  # from the ankle axis to where words ahead of the leg may stand [mm]
HALF_FRONT = 58.0  # room that the foot takes in front view to each side [mm]
RUST = "#a34700"  # vermillion, dark enough for words
LEFT_EDGE, BARE_EDGE, BESIDE = -158.0, -82.0, 66.0
HEAD, FOOT = 40.0, 34.0  # room above and below the leg


@dataclass(frozen=True)
class ProfileView:
    """What a profile shows: foot angles [deg], how much of the shank [mm], whether words stand beside it.

    `expected` adds the gauge with the angle as sewn and the resting angle; `headed` the box with the side; `caution`
    stands along the foot of a picture that is taken alone.
    """

    ankle_deg: float
    subtalar_deg: float = 0.0
    top_mm: float = 248.0
    labelled: bool = True
    headed: bool = True
    size: float = 9.5
    expected: ExpectedRest | None = None
    caution: str = ""


def draw_profile(leg: DrawnLeg, shown: ProfileView) -> str:
    """The profile as SVG. Lengths in it are those of the model, projected."""
    pose = pose_at(leg.skeleton, rad(shown.ankle_deg), rad(shown.subtalar_deg))
    tendons = leg.tendons(pose)
    sign = 1.0 if leg.side == "right" else -1.0
    views = [see(leg, pose, Eye(name, leg.side)) for name in ("side", "front")]
    low = max(lowest(view.skin) for view in views)
    high = -shown.top_mm - (HEAD if shown.headed else 15.0)
    hangs = lowest_of_gauge(leg, shown.expected, shown.size) if shown.expected is not None else 0.0
    bottom = max(low + FOOT, hangs)
    left = LEFT_EDGE if shown.labelled and _behind(leg, views[0], tendons, shown.top_mm) else BARE_EDGE
    front = _front_at(leg, shown)
    edges = sorted((sign * left, sign * (front + BESIDE)))
    warned = wrap_words(shown.caution, edges[1] - edges[0] - 12.0, shown.size) if shown.caution else []
    foot, bottom = bottom + 4.0, bottom + STEP * shown.size * len(warned) + (8.0 if warned else 0.0)
    told = f"{_told(leg, shown, tendons)} {shown.caution}".strip()
    picture = Picture(edges[0], high, edges[1] - edges[0], height=bottom - high, title=_title(leg), told=told)
    picture.rect((edges[0], high), edges[1] - edges[0], bottom - high, fill=PAPER)
    _defs(picture, edges, high, shown)
    for view, at in zip(views, (0.0, sign * front), strict=True):
        picture.open(transform=f"translate({at:g},0)", clip_path="url(#shank)", class_=f"view-{view.eye.view}")
        draw_view(picture, leg, view, tendons)
        picture.close()
    _fade(picture, edges, shown)
    if shown.expected is not None:
        draw_gauge(picture, leg, shown.expected, sign, shown.size)
    if shown.labelled:
        _labels(picture, leg, views, tendons, shown)
    _names_of_views(picture, sign, front, low, shown)
    if shown.headed:
        _header(picture, leg, shown, edges, high)
    for i, line in enumerate(warned):
        picture.text((edges[0] + 6.0, foot + STEP * shown.size * (i + 0.8)), line, shown.size)
    return picture.render()


def _front_at(leg: DrawnLeg, shown: ProfileView) -> float:
    """Where the front view stands: clear of the words of the gauge, however large they are."""
    if shown.expected is None:
        return FRONT_AT
    return max(FRONT_AT, words_reach(leg, shown.expected, shown.size) + HALF_FRONT)


def _title(leg: DrawnLeg) -> str:
    donors = " and ".join(part.donor.title for part in leg.parts)
    return f"{leg.side.upper()} leg: {donors}, before and after"


def _told(leg: DrawnLeg, shown: ProfileView, tendons: tuple[Tendon, ...]) -> str:
    """The drawing in words, for those who do not see it."""
    said = [f"{leg.side.capitalize()} leg from the outer side and from in front, foot {angle_words(shown.ankle_deg)}."]
    for one in tendons:
        said.append(
            f"{one.laid.donor.title} divided {one.laid.donor.cut_at}, led {one.laid.route.title}, "
            f"sewn to {one.laid.recipient.title}; mark {MARK.one(float(mm(leg.sewn.stretch)))}; {_state(one)}."
        )
    return " ".join(said)


def _state(tendon: Tendon) -> str:
    slack, pull = float(mm(tendon.slack)), tendon.tension
    return f"slack by {slack:.0f} mm here" if slack >= 0.5 else f"tight here, passive pull {pull:.0f} N"


def _defs(picture: Picture, edges: list[float], high: float, shown: ProfileView) -> None:
    top = -shown.top_mm
    picture.parts.append(
        f'<defs><clipPath id="shank"><rect x="-2000" y="{top:g}" width="4000" height="2000"/></clipPath>'
        f'<linearGradient id="fade" x1="0" y1="0" x2="0" y2="1"><stop offset="0" stop-color="{PAPER}"/>'
        f'<stop offset="1" stop-color="{PAPER}" stop-opacity="0"/></linearGradient>'
        '<linearGradient id="bone" x1="1" y1="0" x2="0" y2="1"><stop offset="0" stop-color="#f8f3e8"/>'
        '<stop offset="0.55" stop-color="#f0e8d8"/><stop offset="1" stop-color="#ddd1b9"/></linearGradient></defs>'
    )


def _fade(picture: Picture, edges: list[float], shown: ProfileView) -> None:
    picture.rect((edges[0], -shown.top_mm - 0.5), edges[1] - edges[0], FADE, fill="url(#fade)")


def _labels(
    picture: Picture, leg: DrawnLeg, views: list[SceneView], tendons: tuple[Tendon, ...], shown: ProfileView
) -> None:
    """Words of the side view: behind the leg, in front of it over the foot, and under the sole."""
    sign = 1.0 if leg.side == "right" else -1.0
    low = lowest(views[0].skin)
    behind, ahead, under = _grouped(leg, views[0], tendons, shown.top_mm)
    top = max(_highest(views[0], tendons, sign) - 8.0, -shown.top_mm)
    right: Anchor = "start" if sign > 0.0 else "end"
    far: Anchor = "end" if sign > 0.0 else "start"
    place_labels(
        picture, behind, LabelColumn(sign * -74.0, 84.0, -shown.top_mm, bottom=low - 12.0, anchor=far, size=shown.size)
    )
    place_labels(
        picture, ahead, LabelColumn(sign * 78.0, 178.0, -shown.top_mm + 2.0, bottom=top, anchor=right, size=shown.size)
    )
    place_labels(
        picture,
        under,
        LabelColumn(sign * 16.0, 150.0, low + 4.0, bottom=low + FOOT, anchor=right, size=shown.size),
        sign,
    )


def _grouped(
    leg: DrawnLeg, view: SceneView, tendons: tuple[Tendon, ...], top_mm: float
) -> tuple[list[Label], list[Label], list[Label]]:
    """Labels that stand behind the leg, ahead of it and under the sole; the same words only once."""
    sign = 1.0 if leg.side == "right" else -1.0
    groups: tuple[list[Label], list[Label], list[Label]] = ([], [], [])
    for label in {(one.bold, one.plain): one for one in _all_labels(leg, view, tendons, top_mm)}.values():
        x = sign * label.at[0]
        groups[2 if label.under and label.at[1] > 22.0 else 1 if x > 6.0 else 0].append(label)
    return groups


def _behind(leg: DrawnLeg, view: SceneView, tendons: tuple[Tendon, ...], top_mm: float) -> bool:
    """True when words stand behind the leg, so that the picture must be wider there."""
    return bool(_grouped(leg, view, tendons, top_mm)[0])


def lowest(shapes: tuple[Shape, ...]) -> float:
    """Lowest point of outlines on paper [mm]."""
    return max(y for shape in shapes for _, y in shape.points)


def _highest(view: SceneView, tendons: tuple[Tendon, ...], sign: float) -> float:
    """Highest skin of the foot or moved tendon ahead of the ankle: words stay above them."""
    points = [p for shape in view.skin for p in shape.points]
    for line, mark in ((line, one.mark) for one in tendons for line in one.moved):
        points += on_paper(view.eye.seen(line.part(mark, line.length).points))
    return min((y for x, y in points if sign * x > AHEAD), default=0.0)


def _all_labels(leg: DrawnLeg, view: SceneView, tendons: tuple[Tendon, ...], top_mm: float) -> list[Label]:
    out: list[Label] = []
    for one in tendons:
        out += _labels_of(leg, view, one, top_mm)
    band = view.eye.flat(view.body.placed((27.6, 32.6, -2.0), "shank"))
    return [*out, Label(band, "", "superior extensor retinaculum")]


def _labels_of(leg: DrawnLeg, view: SceneView, one: Tendon, top_mm: float) -> list[Label]:
    eye, donor = view.eye, one.laid.donor
    line = one.moved[0]
    stretch = MARK.one(float(mm(leg.sewn.stretch)))
    led = 0.62 * one.mark + 0.38 * one.junction if one.mark < one.junction else 0.55 * one.junction
    cut = eye.flat(one.native.at(one.cut))
    out = [
        Label(eye.flat(line.at(one.mark)), f"{donor.title}: mark {stretch}", _state(one), RUST),
        Label(cut, f"divide {donor.cut_at}", f"{mm(one.free):.0f} mm free tendon from its mark", under=True),
        Label(_seen(line, eye, led, FADE - top_mm), "", one.laid.route.title),
    ]
    return [*out, *_junction_label(leg, view, one)]


def _seen(line: PosedPath, eye: Eye, at: float, top: float) -> Point:
    """The place [m] along a line on paper, or the next towards its end that is not above `top` [mm]."""
    places = on_paper(eye.seen(line.at(np.linspace(at, line.length, 60))))
    return next((found for found in places if found[1] >= top), places[0])


def _junction_label(leg: DrawnLeg, view: SceneView, one: Tendon) -> list[Label]:
    to, eye = one.laid.recipient, view.eye
    used = f"{mm(one.overlap):.0f} mm"
    if to.bone:
        return [
            Label(eye.flat(line.at(line.length)), f"tunnel {used}, {name}", "", BLUE)
            for line, name in zip(one.moved, _bones(to), strict=True)
        ]
    at = one.moved[0].at(min(one.junction + 0.5 * one.overlap, one.moved[0].length - m(2.0)))
    if not to.joined_above:
        at = one.moved[0].at(one.junction - 0.5 * one.overlap)
    return [Label(eye.flat(at), f"weave over {used}", f"pull carried by: {to.title}", BLUE)]


def _names_of_views(picture: Picture, sign: float, front: float, low: float, shown: ProfileView) -> None:
    y = -shown.top_mm - 3.0
    style = {"fill": GREY, "text_anchor": "middle"}
    small = min(0.85 * shown.size, 8.2)
    picture.text((0.0, y), "from the outer side", small, **style)
    picture.text((sign * front, y), f"from in front, {deg(LOOK_DOWN):.0f}° from above", small, **style)
    foot = low + 11.0
    picture.text((sign * (front - 46.0), foot), "outer", 0.9 * shown.size, **style)
    picture.text((sign * (front + 46.0), foot), "inner", 0.9 * shown.size, **style)
    _scale(picture, sign * -47.0, low + 12.0, "50 mm", shown)
    _scale(picture, sign * front, foot + 9.0, "50 mm, only across", shown)


def _scale(picture: Picture, x: float, y: float, told: str, shown: ProfileView) -> None:
    """A bar of 50 mm. In the view from in front only lengths across are true: along the shank and the foot they are
    shortened by looking down, and it says so."""
    first = x - 25.0
    picture.path(straight([(first, y), (first + 50.0, y)]), stroke=INK, stroke_width=1.2, class_="scale")
    for end in (first, first + 50.0):
        picture.path(straight([(end, y - 2.0), (end, y + 2.0)]), stroke=INK, stroke_width=1.2)
    picture.text(
        (first + 25.0, y + 0.95 * shown.size), told, min(0.85 * shown.size, 8.6), text_anchor="middle", fill=GREY
    )


def _header(picture: Picture, leg: DrawnLeg, shown: ProfileView, edges: list[float], high: float) -> None:
    """The side in letter and word, and the posture that is drawn."""
    letter, word = leg.side[0].upper(), f"{leg.side.upper()} FOOT"
    box = (edges[0] + 3.0, high + 3.0)
    picture.rect(box, 128.0, 24.0, fill=PAPER, stroke=INK, stroke_width=2.2, rx=5.0)
    picture.text((box[0] + 8.0, box[1] + 18.6), letter, 19.0, font_weight="bold")
    picture.text((box[0] + 28.0, box[1] + 17.6), word, 15.0, font_weight="bold")
    told = (
        f"Drawn with the foot {angle_words(shown.ankle_deg)}, muscles relaxed; sewn {angle_words(deg(leg.sewn.ankle))}"
    )
    picture.text((box[0] + 136.0, box[1] + 10.5), told, shown.size)
    key = (box[0] + 136.0, box[1] + 21.5)
    _key(picture, key, shown)


def _key(picture: Picture, at: Point, shown: ProfileView) -> None:
    """Which stroke is which."""
    x, y = at
    for told, pen, room in (
        ("before", BEFORE, 58.0),
        ("after", AFTER, 50.0),
        ("recipient", CARRIES, 68.0),
        ("behind bone", AFTER, 0.0),
    ):
        pen.draw(picture, [Piece(((x, y - 3.0), (x + 17.0, y - 3.0)), told == "behind bone")], "key")
        picture.text((x + 20.0, y), told, shown.size)
        x += room + 14.0


def plain(shown: ProfileView) -> ProfileView:
    """The same picture without words, for a page that tells them beside it."""
    return replace(shown, labelled=False, headed=False)


def _bones(recipient: Recipient) -> tuple[str, ...]:
    """The bone of each strand in words."""
    if len(recipient.tails) == 1:
        return (recipient.title,)
    return tuple(tail.split(">")[-1].strip().replace("_dorsum", "").replace("_", " ") for tail in recipient.tails)
