"""The leg as a solid for the page: bones as tapered rods and hulls, tendons as tubes along the model's own paths.

One function makes everything that is shown, for the screen and for the tests. Outlines of bones are those of the flat
drawing, stretched by the same six sizes as the landmarks and moved with their segment; a picture, no calculation rests
on them. Millimetres at this border; a left leg is mirrored here, so that inside it is a right one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any, Literal

import numpy as np

from sinewright.anatomy.skeleton import landmark_index
from sinewright.arrays import Floats
from sinewright.export.bones import DrawnBody, moved, outlines
from sinewright.export.leg import DrawnLeg, Tendon
from sinewright.export.strands import PosedPath, pose_at, wavy
from sinewright.results import Side
from sinewright.units import m, mm, rad
from sinewright.wording.directions import angle_words

Kind = Literal["before", "muscle", "after", "recipient", "carries", "calf"]

AROUND = 10
"""Points of a ring."""
FLOOR_GAP_MM = 4.0
"""Sole under the bones; drawn, not calculated."""
LEVELS_MM = (300, 276, 252, 228, 204, 180, 160, 140, 120, 102, 86, 70, 54, 40, 30, 23, 14, 6, -1, -4)
"""Of the rings of a shank bone, from the highest that is shown."""
# Bones of the foot lie along x: name, outline seen from the outer side, outline from in front, first and last x [mm].
BLOCKS = (
    ("talus", "talus", "talus", -25.6, 21.0), ("talus", "talus", "head of the talus", 19.0, 44.9),
    ("heel bone", "heel bone", "heel bone", -59.4, 32.2), ("navicular", "navicular", "navicular", 46.2, 59.8),
    ("cuboid", "cuboid", "cuboid", 34.2, 72.2),
    ("medial cuneiform", "medial cuneiform", "medial cuneiform", 60.6, 93.2),
    ("intermediate cuneiform", "intermediate cuneiform", "intermediate cuneiform", 61.2, 86.2),
    ("lateral cuneiform", "lateral cuneiform", "lateral cuneiform", 60.8, 89.6),
)  # fmt: skip
SLICES = (0.0, 0.05, 0.15, 0.35, 0.6, 0.82, 0.95, 1.0)
# Along a metatarsal or toe bone: share of its length, then which of its three radii how much (base, waist, head).
ALONG = ((-0.05, 0.6, 0, 0), (0.02, 1, 0, 0), (0.22, 0.5, 0.5, 0), (0.5, 0, 1, 0), (0.8, 0, 0.5, 0.5), (0.98, 0, 0, 1),
         (1.06, 0, 0, 0.6))  # fmt: skip
MALLEOLUS_MM = (((-4.0, 34.0, -24.0), 9.0), ((0.0, 22.0, -27.5), 8.0), ((2.0, 14.0, -30.5), 5.6))
TIP_MM = 3.0
RADIUS_MM: dict[Kind, float] = {
    "before": 1.3, "muscle": 8.0, "after": 2.3, "recipient": 1.1, "carries": 1.9, "calf": 3.4,
}  # fmt: skip
SLACK_SHOWN = m(0.5)
FINE = m(7.0)
"""Longest piece of a tube: short ones are painted in the right order, and a belly is round."""


@dataclass(frozen=True)
class Rod:
    """A bone: rings (k, n, 3) [mm] from end to end, in the pose that is shown."""

    name: str
    rings: Floats


@dataclass(frozen=True)
class Tube:
    """Part of a tendon or muscle: the points of its middle (n, 3) and its radius at each (n,), both [mm]."""

    kind: Kind
    muscle: str
    points: Floats
    radii: Floats

    @property
    def length_mm(self) -> float:
        """Length along its middle."""
        return float(np.linalg.norm(np.diff(self.points, axis=0), axis=1).sum())


@dataclass(frozen=True)
class Solid:
    """Everything that is shown of a leg in one pose. x forward, y up, z to the right of the person [mm].

    `floor_mm` is the height of the floor under the lowest point of the foot; `told` says the same in words.
    """

    side: Side
    rods: tuple[Rod, ...]
    tubes: tuple[Tube, ...]
    floor_mm: float
    told: str


@dataclass(frozen=True)
class SolidLeg:
    """One leg with its operation, ready to be shown in any pose; the bones are stretched to the patient once."""

    leg: DrawnLeg

    @cached_property
    def bones(self) -> tuple[tuple[str, str, Floats], ...]:
        """Name, segment and rings (k, n, 3) [m] of every bone with the foot at neutral."""
        return tuple(_bones(self.leg))

    def at(self, ankle_deg: float, subtalar_deg: float = 0.0) -> Solid:
        """The leg at foot angles [deg], muscles relaxed."""
        leg = self.leg
        pose = pose_at(leg.skeleton, rad(ankle_deg), rad(subtalar_deg))
        rods = [(name, mm(moved(rings, segment, pose))) for name, segment, rings in self.bones]
        tendons = leg.tendons(pose)
        tubes = [_tube("calf", "soleus", leg.native("soleus", pose))]
        for one in tendons:
            tubes += _tubes(leg, one, pose)
        mirror = np.array([1.0, 1.0, 1.0 if leg.side == "right" else -1.0])
        return Solid(
            leg.side,
            tuple(Rod(name, rings * mirror) for name, rings in rods),
            tuple(Tube(tube.kind, tube.muscle, tube.points * mirror, tube.radii) for tube in tubes),
            min(float(rings[..., 1].min()) for _, rings in rods) - FLOOR_GAP_MM,
            _told(leg, tendons, ankle_deg, subtalar_deg),
        )


def plain_solid(solid: Solid) -> dict[str, Any]:
    """The solid as plain content for the page: coordinates rounded to a tenth of a millimetre."""
    return {
        "side": solid.side,
        "rods": [[np.round(ring, 1).tolist() for ring in rod.rings] for rod in solid.rods],
        "tubes": [
            [tube.kind, np.round(tube.points, 1).tolist(), np.round(tube.radii, 1).tolist()] for tube in solid.tubes
        ],
        "floor": round(solid.floor_mm, 1),
        "told": solid.told,
    }


def _told(leg: DrawnLeg, tendons: Iterable[Tendon], ankle_deg: float, subtalar_deg: float) -> str:
    heel = ("", f", heel {abs(subtalar_deg):g}° {'in' if subtalar_deg > 0 else 'out'}")[subtalar_deg != 0.0]
    said = [f"{leg.side.capitalize()} leg, foot {angle_words(ankle_deg)}{heel}."]
    for one in tendons:
        slack = float(mm(one.slack))
        state = f"slack by {slack:.0f} mm" if slack >= 0.5 else f"tight, passive pull {one.tension:.0f} N"
        said.append(f"{one.laid.donor.title}, {one.laid.route.title}, to {one.laid.recipient.title}: {state}.")
    return " ".join(said)


# -- tendons ------------------------------------------------------------------------------------------------------


def _tubes(leg: DrawnLeg, one: Tendon, pose: Floats) -> list[Tube]:
    """The way before, the belly and the tendon after, and what carries the pull."""
    muscle, to = one.laid.donor.muscle, one.laid.recipient
    out = [_tube("before", muscle, one.native)]
    out += [_tube("recipient", name, leg.native(name, pose)) for name in to.tendons]
    first = one.moved[0]
    belly = _fine(first.part(0.0, min(one.mark, first.length)))
    out.append(Tube("muscle", muscle, mm(belly.points), _belly(belly)))
    for line in one.moved:
        end = one.junction if to.joined_above else line.length
        if one.mark < end:
            out.append(_tube("after", muscle, hanging(line.part(one.mark, end), one.slack)))
        if to.joined_above:
            out.append(_tube("carries", muscle, line.part(max(one.junction, 0.0), line.length)))
    return out


def hanging(line: PosedPath, slack: float) -> PosedPath:
    """A piece of tendon as it hangs: as it runs when it pulls, in waves when it is slack [m]."""
    if slack < SLACK_SHOWN:
        return line
    across = np.cross(line.points[-1] - line.points[0], np.array([0.0, 0.0, 1.0]))
    return wavy(line, slack, across / max(float(np.linalg.norm(across)), 1e-9))


def _fine(line: PosedPath) -> PosedPath:
    """The same line with points between; its length stays."""
    along = line.along
    more = [np.linspace(a, b, max(1, int(np.ceil((b - a) / FINE))), endpoint=False) for a, b in pairwise(along)]
    places = np.concatenate([*more, along[-1:]])
    points = np.stack([np.interp(places, along, line.points[:, i]) for i in range(3)], axis=1)
    return PosedPath(points, (-1,) * len(points))


def _tube(kind: Kind, muscle: str, line: PosedPath) -> Tube:
    points: Floats = mm(_fine(line).points)
    return Tube(kind, muscle, points, np.full(len(points), RADIUS_MM[kind]))


def _belly(line: PosedPath) -> Floats:
    """Radius [mm] of a belly at the points of its line: thin at both ends. Drawn, not calculated."""
    share = line.along / max(line.length, 1e-9)
    thin = RADIUS_MM["after"]
    out: Floats = thin + (RADIUS_MM["muscle"] - thin) * np.sin(np.pi * np.clip(share, 0.0, 1.0) ** 0.8) ** 0.85
    return out


# -- bones --------------------------------------------------------------------------------------------------------


def _bones(leg: DrawnLeg) -> Iterable[tuple[str, str, Floats]]:
    body = DrawnBody(leg.sizes, leg.neutral)
    bones: dict[str, dict[str, Any]] = {}
    for bone in outlines()["bone"]:
        bones.setdefault(bone["name"], bone)
    for name in ("tibia", "fibula"):
        yield name, "shank", _stretched(body, _shaft(bones[name]), "shank")
    yield "inner malleolus", "shank", _malleolus(leg, body)
    for name, seen, front, first, last in BLOCKS:
        rings, segment = _block(bones[seen]["side"], bones[front]["front"], first, last), bones[seen]["segment"]
        yield name, segment, _stretched(body, rings, segment)
    for ray in outlines()["ray"]:
        yield ray["name"], "foot", _stretched(body, _ray(ray), "foot")


def _stretched(body: DrawnBody, rings: Sequence[Floats], segment: str) -> Floats:
    """Rings of the reference man [mm] at this patient's sizes [m]."""
    return body.stretched(np.array(rings), segment)


def _oval(middle: Floats, u: Floats, v: Floats) -> Floats:
    """A ring (n, 3) about a point with the half axes `u` and `v`."""
    turn = np.linspace(0.0, 2.0 * np.pi, AROUND, endpoint=False)[:, None]
    out: Floats = middle + np.cos(turn) * u + np.sin(turn) * v
    return out


def _shaft(bone: dict[str, Any]) -> list[Floats]:
    """A bone of the shank, level by level."""
    rings = []
    lowest = 23.0 if bone["name"] == "tibia" else min(y for _, y in bone["side"])
    for y in (float(level) for level in LEVELS_MM if level >= lowest):
        (x0, x1), (z0, z1) = span(bone["side"], 1, y), span(bone["front"], 1, y)
        middle = np.array([0.5 * (x0 + x1), y, 0.5 * (z0 + z1)])
        rings.append(_oval(middle, np.array([0.5 * (x1 - x0), 0.0, 0.0]), np.array([0.0, 0.0, 0.5 * (z1 - z0)])))
    return rings


def _malleolus(leg: DrawnLeg, body: DrawnBody) -> Floats:
    """The inner malleolus, down to the model's own landmark [m]."""
    rows = [(body.stretched(at, "shank"), m(radius)) for at, radius in MALLEOLUS_MM]
    rows.append((leg.skeleton.points[0, landmark_index()["medial_malleolus_tip"]], m(TIP_MM)))
    return np.array([_oval(at, np.array([r, 0.0, 0.0]), np.array([0.0, 0.0, r])) for at, r in rows])


def _block(
    side: Sequence[Sequence[float]], front: Sequence[Sequence[float]], first: float, last: float
) -> list[Floats]:
    """A bone of the foot, slice by slice along x: as high as seen from the side, as broad as seen from in front."""
    heights = [span(side, 0, first + share * (last - first)) for share in SLICES]
    most = max(high - low for low, high in heights)
    rings = []
    for share, (low, high) in zip(SLICES, heights, strict=True):
        z0, z1 = span(front, 1, 0.5 * (low + high))
        half = 0.5 * (z1 - z0) * ((high - low) / most) ** 0.5
        middle = np.array([first + share * (last - first), 0.5 * (low + high), 0.5 * (z0 + z1)])
        rings.append(_oval(middle, np.array([0.0, 0.5 * (high - low), 0.0]), np.array([0.0, 0.0, half])))
    return rings


def _ray(ray: dict[str, Any]) -> list[Floats]:
    """A metatarsal or a bone of a toe: base, waist, head."""
    base, head = np.array(ray["base"], dtype=float), np.array(ray["head"], dtype=float)
    along = head - base
    across = np.cross(along, np.array([0.0, 0.0, 1.0]))
    across /= np.linalg.norm(across)
    other = np.cross(along, across) / np.linalg.norm(along)
    rings = []
    for share, *parts in ALONG:
        radius = float(np.dot(parts, ray["radii"]))
        rings.append(_oval(base + share * along, radius * across, radius * other))
    return rings


def span(outline: Sequence[Sequence[float]], axis: int, level: float) -> tuple[float, float]:
    """Lowest and highest place on an outline where its coordinate `axis` is `level`; held inside the outline."""
    values = [point[axis] for point in outline]
    level = min(max(level, min(values) + 1e-6), max(values) - 1e-6)
    found = []
    for a, b in zip(outline, (*outline[1:], outline[0]), strict=True):
        if (a[axis] > level) != (b[axis] > level):
            share = (level - a[axis]) / (b[axis] - a[axis])
            found.append(a[1 - axis] + share * (b[1 - axis] - a[1 - axis]))
    return min(found), max(found)
