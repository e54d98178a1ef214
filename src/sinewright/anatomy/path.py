"""Length and moment arms of a tendon path, exact to rounding.

A path runs over *elements*: points fixed to a segment, and wrapping cylinders between two points.
All functions are plain scalar kernels: CPU threads and CUDA kernels call the very same source.

Units: metres and radians. Frame: x forward, y up, z to the right, origin on the ankle axis (NOMENCLATURE.md).
Segments: 0 shank, 1 talus, 2 foot.

The arms come from virtual work on the straight pieces alone: a geodesic keeps its length to first order when
its contact points are held on the cylinder, so ``dL = sum e.(dB - dA)`` over the straight pieces A to B.
The wrap is the plane tangent construction, unrolled on the cylinder.
"""

import math
from typing import NamedTuple

from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled

Triple = tuple[float, float, float]

POINT, CYLINDER = 0, 1
SHANK, TALUS, FOOT = 0, 1, 2
POSE_SIZE = 27  # talus rotation 0-8, foot rotation 9-17, foot shift 18-20, subtalar axis 21-23, a point on it 24-26
JOINT_SIZE = 9  # ankle axis, subtalar axis (unit vectors with the foot at neutral), a point of the subtalar axis
CYLINDER_SIZE = 9  # centre, unit axis, radius, way round (+1 anticlockwise about the axis, -1 clockwise), most turn


@compiled
def rotation(x: float, y: float, z: float, angle: float) -> tuple[float, ...]:
    """The 3x3 rotation by ``angle`` [rad] about the unit axis (x, y, z), row by row (Rodrigues)."""
    c, s = math.cos(angle), math.sin(angle)
    k = 1.0 - c
    return (
        c + k * x * x,
        k * x * y - s * z,
        k * x * z + s * y,
        k * x * y + s * z,
        c + k * y * y,
        k * y * z - s * x,
        k * x * z - s * y,
        k * y * z + s * x,
        c + k * z * z,
    )


@compiled
def set_pose(joint: Floats, ankle: float, subtalar: float, pose: Floats) -> None:
    """Fill ``pose`` (27) from ``joint`` (9) at the joint angles [rad]; see the two sizes above for the layout."""
    t = rotation(joint[0], joint[1], joint[2], ankle)
    f = rotation(joint[3], joint[4], joint[5], subtalar)
    cx, cy, cz = joint[6], joint[7], joint[8]
    hx = cx - (f[0] * cx + f[1] * cy + f[2] * cz)
    hy = cy - (f[3] * cx + f[4] * cy + f[5] * cz)
    hz = cz - (f[6] * cx + f[7] * cy + f[8] * cz)
    for i in range(3):
        a, b, c = t[3 * i], t[3 * i + 1], t[3 * i + 2]
        pose[3 * i], pose[3 * i + 1], pose[3 * i + 2] = a, b, c
        for j in range(3):
            pose[9 + 3 * i + j] = a * f[j] + b * f[3 + j] + c * f[6 + j]
        pose[18 + i] = a * hx + b * hy + c * hz
        pose[21 + i] = a * joint[3] + b * joint[4] + c * joint[5]
        pose[24 + i] = a * cx + b * cy + c * cz


@compiled
def turn(x: float, y: float, z: float, segment: int, pose: Floats) -> Triple:
    """A direction fixed to a segment, in the shank frame."""
    if segment == 0:
        return x, y, z
    k = 9 * (segment - 1)
    return (
        pose[k] * x + pose[k + 1] * y + pose[k + 2] * z,
        pose[k + 3] * x + pose[k + 4] * y + pose[k + 5] * z,
        pose[k + 6] * x + pose[k + 7] * y + pose[k + 8] * z,
    )


@compiled
def place(x: float, y: float, z: float, segment: int, pose: Floats) -> Triple:
    """A point fixed to a segment [m], in the shank frame."""
    a, b, c = turn(x, y, z, segment, pose)
    if segment == 2:
        return a + pose[18], b + pose[19], c + pose[20]
    return a, b, c


class PlacedCylinder(NamedTuple):
    """A wrapping cylinder in a pose: a point and the unit vector of its axis in the shank frame, radius [m], way round
    (+1 anticlockwise about the axis) and the most turn [rad]."""

    centre: Triple
    axis: Triple
    radius: float
    way: float
    most_turn: float


@compiled
def placed_cylinder(row: Floats, segment: int, pose: Floats) -> PlacedCylinder:
    """The cylinder of one row (9,), fixed to a segment, in a pose."""
    centre = place(row[0], row[1], row[2], segment, pose)
    axis = turn(row[3], row[4], row[5], segment, pose)
    return PlacedCylinder(centre, axis, row[6], row[7], row[8])


@compiled
def straight(a: Triple, sa: int, b: Triple, sb: int, joint: Floats, pose: Floats) -> Triple:
    """Length [m] of the piece from ``a`` to ``b`` and what it adds to both moment arms [m] (r = -dL/dq)."""
    ex, ey, ez = b[0] - a[0], b[1] - a[1], b[2] - a[2]
    length = math.sqrt(ex * ex + ey * ey + ez * ez)
    if length == 0.0 or sa == sb:
        return length, 0.0, 0.0
    ankle = subtalar = 0.0
    step = (1 if sb >= 1 else 0) - (1 if sa >= 1 else 0)
    if step != 0:
        triple = (
            joint[0] * (a[1] * ez - a[2] * ey) + joint[1] * (a[2] * ex - a[0] * ez) + joint[2] * (a[0] * ey - a[1] * ex)
        )
        ankle = -step * triple / length
    step = (1 if sb == 2 else 0) - (1 if sa == 2 else 0)
    if step != 0:
        x, y, z = a[0] - pose[24], a[1] - pose[25], a[2] - pose[26]
        triple = pose[21] * (y * ez - z * ey) + pose[22] * (z * ex - x * ez) + pose[23] * (x * ey - y * ex)
        subtalar = -step * triple / length
    return length, ankle, subtalar


@compiled
def wrap(a: Triple, b: Triple, cylinder: PlacedCylinder) -> tuple[float, Triple, Triple]:
    """Arc on a cylinder for a path from ``a`` to ``b``.

    Seen along the axis the ends lie between 0 and ``most_turn`` apart the cylinder's way round; what is beyond counts
    as passing free on the near side.

    Parameters
    ----------
    a, b : tuple of float
        Ends of the path in the shank frame [m].
    cylinder : PlacedCylinder

    Returns
    -------
    arc : float
        Length on the cylinder [m]; -1 when the straight line does not touch, or an end lies inside
        (``skeleton.clear_cylinders`` prevents that for people).
    touch_a, touch_b : tuple of float
        Where the path meets and leaves the cylinder [m].
    """
    axis, radius, way = cylinder.axis, cylinder.radius, cylinder.way
    vx, vy, vz = a[0] - cylinder.centre[0], a[1] - cylinder.centre[1], a[2] - cylinder.centre[2]
    wx, wy, wz = b[0] - cylinder.centre[0], b[1] - cylinder.centre[1], b[2] - cylinder.centre[2]
    za = vx * axis[0] + vy * axis[1] + vz * axis[2]
    zb = wx * axis[0] + wy * axis[1] + wz * axis[2]
    vx, vy, vz = vx - za * axis[0], vy - za * axis[1], vz - za * axis[2]
    wx, wy, wz = wx - zb * axis[0], wy - zb * axis[1], wz - zb * axis[2]
    d0 = math.sqrt(vx * vx + vy * vy + vz * vz)
    d1 = math.sqrt(wx * wx + wy * wy + wz * wz)
    if d0 <= radius or d1 <= radius:
        return -1.0, a, b
    cross = axis[0] * (vy * wz - vz * wy) + axis[1] * (vz * wx - vx * wz) + axis[2] * (vx * wy - vy * wx)
    between = way * math.atan2(cross, vx * wx + vy * wy + vz * wz)
    if between < cylinder.most_turn - 2.0 * math.pi:
        between += 2.0 * math.pi
    lead0, lead1 = math.acos(radius / d0), math.acos(radius / d1)
    angle = between - lead0 - lead1
    if angle <= 0.0:
        return -1.0, a, b
    free0, free1 = math.sqrt(d0 * d0 - radius * radius), math.sqrt(d1 * d1 - radius * radius)
    plane = free0 + radius * angle + free1
    z0 = za + (zb - za) * free0 / plane
    z1 = zb - (zb - za) * free1 / plane
    t0 = _touch((vx, vy, vz), d0, way * lead0, z0, cylinder)
    t1 = _touch((wx, wy, wz), d1, -way * lead1, z1, cylinder)
    return math.hypot(radius * angle, z1 - z0), t0, t1


@compiled
def _touch(radial: Triple, distance: float, angle: float, along: float, cylinder: PlacedCylinder) -> Triple:
    """The point on the cylinder reached by turning a vector at right angles to its axis by ``angle`` about the axis."""
    x, y, z = radial
    k, centre = cylinder.axis, cylinder.centre
    c, s = cylinder.radius * math.cos(angle) / distance, cylinder.radius * math.sin(angle) / distance
    return (
        centre[0] + along * k[0] + c * x + s * (k[1] * z - k[2] * y),
        centre[1] + along * k[1] + c * y + s * (k[2] * x - k[0] * z),
        centre[2] + along * k[2] + c * z + s * (k[0] * y - k[1] * x),
    )


@compiled
def length_and_moment_arms(
    elements: Ints, first: int, last: int, points: Floats, cylinders: Floats, joint: Floats, pose: Floats
) -> Triple:
    """Length and moment arms of one path.

    Parameters
    ----------
    elements : int32 array, (E, 3)
        Kind (``POINT`` or ``CYLINDER``), index into ``points`` or ``cylinders``, segment.
    first, last : int
        The path is ``elements[first:last]``; it begins and ends with a point.
    points : array, (P, 3)
        Landmarks with the foot at neutral [m].
    cylinders : array, (C, 9)
        See ``CYLINDER_SIZE``.
    joint, pose : array, (9,) and (27,)
        See ``set_pose``.

    Returns
    -------
    length, ankle_arm, subtalar_arm : float
        All in metres; an arm is r = -dL/dq.
    """
    i = elements[first, 1]
    seg = elements[first, 2]
    here = place(points[i, 0], points[i, 1], points[i, 2], seg, pose)
    length = ankle = subtalar = 0.0
    cylinder = -1
    for k in range(first + 1, last):
        i = elements[k, 1]
        if elements[k, 0] == 1:
            cylinder = k
            continue
        seg_next = elements[k, 2]
        there = place(points[i, 0], points[i, 1], points[i, 2], seg_next, pose)
        arc = -1.0
        if cylinder >= 0:
            p, ps = elements[cylinder, 1], elements[cylinder, 2]
            round_ = placed_cylinder(cylinders[p], ps, pose)
            arc, t0, t1 = wrap(here, there, round_)
            if arc >= 0.0:
                l0, a0, s0 = straight(here, seg, t0, ps, joint, pose)
                l1, a1, s1 = straight(t1, ps, there, seg_next, joint, pose)
                length += l0 + arc + l1
                ankle += a0 + a1
                subtalar += s0 + s1
        if arc < 0.0:
            l0, a0, s0 = straight(here, seg, there, seg_next, joint, pose)
            length += l0
            ankle += a0
            subtalar += s0
        here, seg, cylinder = there, seg_next, -1
    return length, ankle, subtalar


@compiled
def _angle(u: Triple, v: Triple) -> float:
    """Angle between two directions [rad]; 0 when one of them has no length (a tendon never doubles back)."""
    x, y, z = u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]
    sine = math.sqrt(x * x + y * y + z * z)
    return math.atan2(sine, u[0] * v[0] + u[1] * v[1] + u[2] * v[2]) if sine > 0.0 else 0.0


@compiled
def _helix_turn(arc: float, t0: Triple, t1: Triple, cylinder: PlacedCylinder) -> float:
    """Turning [rad] of a path along an arc [m] on a cylinder: its curvature radius grows with its lead."""
    axis = cylinder.axis
    rise = (t1[0] - t0[0]) * axis[0] + (t1[1] - t0[1]) * axis[1] + (t1[2] - t0[2]) * axis[2]
    return (arc * arc - rise * rise) / (arc * cylinder.radius) if arc > 0.0 else 0.0


@compiled
def bend(elements: Ints, first: int, last: int, points: Floats, cylinders: Floats, pose: Floats) -> float:
    """Total turning of one path [rad] over its points and cylinders: the angle that makes a rope rub (capstan).

    Arguments as in ``length_and_moment_arms``.
    """
    i = elements[first, 1]
    here = place(points[i, 0], points[i, 1], points[i, 2], elements[first, 2], pose)
    before = (0.0, 0.0, 0.0)
    total = 0.0
    cylinder = -1
    for k in range(first + 1, last):
        i = elements[k, 1]
        if elements[k, 0] == 1:
            cylinder = k
            continue
        there = place(points[i, 0], points[i, 1], points[i, 2], elements[k, 2], pose)
        if cylinder >= 0:
            p, ps = elements[cylinder, 1], elements[cylinder, 2]
            round_ = placed_cylinder(cylinders[p], ps, pose)
            arc, t0, t1 = wrap(here, there, round_)
            if arc >= 0.0:
                lead = (t0[0] - here[0], t0[1] - here[1], t0[2] - here[2])
                total += _angle(before, lead) + _helix_turn(arc, t0, t1, round_)
                before, here = (there[0] - t1[0], there[1] - t1[1], there[2] - t1[2]), there
                cylinder = -1
                continue
        ahead = (there[0] - here[0], there[1] - here[1], there[2] - here[2])
        total += _angle(before, ahead)
        before, here, cylinder = ahead, there, -1
    return total
