"""Fit the unpublished landmark offsets to the moment arms that may be fitted. ``python -m sinewright.anatomy.fit``

Published arms exist, published landmark coordinates do not. Each free landmark is moved off its own placement as
little as possible (its spread is the yardstick) so that the arms of the reference man meet the rows marked ``fit``:
minimise ``sum ((arm - printed) / tolerance)^2 + sum (offset / spread)^2``. Rows marked ``check`` are never read here.
The result is ``reference/geometry/fitted_offsets.csv``; a test runs the fit again and compares.
"""

import csv
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares

from sinewright.anatomy.joints import ankle_axis, subtalar_axis
from sinewright.anatomy.path import POSE_SIZE, length_and_moment_arms, set_pose
from sinewright.anatomy.skeleton import (
    Skeleton,
    build,
    geometry_rows,
    landmarks,
    native_paths,
    reference_sizes,
)
from sinewright.arrays import Floats
from sinewright.reference import Reference, load
from sinewright.units import m, mm, rad


@dataclass(frozen=True)
class Target:
    """One printed arm: angles [deg] over which the model's arm is averaged, printed value and tolerance [mm]."""

    row: str
    muscle: str
    axis: int
    ankle_deg: tuple[float, ...]
    subtalar_deg: tuple[float, ...]
    moment_arm_mm: float
    tolerance_mm: float


@dataclass(frozen=True)
class Fit:
    """Offsets (P, 3) [m] of all landmarks and the model arm of each target [mm]."""

    offsets: Floats
    targets: tuple[Target, ...]
    moment_arms_mm: Floats


def targets(reference: Reference) -> tuple[Target, ...]:
    """The fitted rows as targets; the value always comes from the row."""
    out = []
    for line in geometry_rows("fit_targets"):
        row = reference.row(line["row"])
        angles = tuple(float(a) for a in line["ankle_deg"].split())
        subtalars = tuple(float(a) for a in line["subtalar_deg"].split())
        axis = ("talocrural", "subtalar").index(line["axis"])
        sign = float(line["sign"])
        value = sign * reference.fit_value(row.id)
        out.append(
            Target(
                row.id,
                line["muscle"],
                axis,
                ankle_deg=angles,
                subtalar_deg=subtalars,
                moment_arm_mm=value,
                tolerance_mm=float(line["tolerance_mm"]),
            )
        )
    return tuple(out)


def reference_joint_axes(reference: Reference) -> Floats:
    """Default axes of both hinges, (1, 6)."""
    a = [rad(reference.fit_value(f"ax-talocrural-{k}")) for k in ("frontal-inman1976", "transverse-ismaninman1969")]
    s = [rad(reference.fit_value(f"ax-subtalar-{k}-krahenbuhl2017")) for k in ("inclination", "deviation")]
    return np.concatenate([ankle_axis(*a), subtalar_axis(*s)])[None]


def moment_arms(skeleton: Skeleton, muscle: str, ankle: float, subtalar: float, person: int = 0) -> Floats:
    """Length and both arms [m] of a native path at joint angles [rad]: (3,)."""
    pose = np.empty(POSE_SIZE)
    set_pose(skeleton.joint[person], ankle, subtalar, pose)
    elements = native_paths()[muscle]
    return np.array(
        length_and_moment_arms(
            elements,
            0,
            len(elements),
            skeleton.points[person],
            skeleton.cylinders[person],
            skeleton.joint[person],
            pose,
        )
    )


def model_moment_arm_mm(skeleton: Skeleton, target: Target) -> float:
    """Mean arm of the model over the angles of a target [mm]."""
    found = [
        moment_arms(skeleton, target.muscle, rad(a), rad(s))[1 + target.axis]
        for a in target.ankle_deg
        for s in target.subtalar_deg
    ]
    return float(mm(float(np.mean(found))))


def solve(reference: Reference) -> Fit:
    """Run the fit from the printed placements (offsets on file are ignored)."""
    marks = landmarks()
    on_file = {r["id"]: [m(float(r[f"{a}_mm"])) for a in "xyz"] for r in geometry_rows("fitted_offsets")}
    start = -np.array([on_file.get(mark.name, [0.0, 0.0, 0.0]) for mark in marks])
    free = [(i, "xyz".index(a)) for i, mark in enumerate(marks) for a in mark.free]
    rows, cols = np.array(free).T
    spread = np.array([marks[i].spread for i in rows])
    wanted, axes = targets(reference), reference_joint_axes(reference)

    def skeleton(x: Floats) -> Skeleton:
        shifts = start.copy()
        shifts[rows, cols] += x * spread
        return build(reference_sizes()[None], axes, shifts[None])

    def misfit(x: Floats) -> Floats:
        body = skeleton(x)
        gaps = [(model_moment_arm_mm(body, t) - t.moment_arm_mm) / t.tolerance_mm for t in wanted]
        return np.concatenate([gaps, x])

    best = least_squares(misfit, np.zeros(len(rows)), x_scale=1.0, xtol=1e-12, ftol=1e-12, gtol=1e-12)
    offsets = np.zeros((len(marks), 3))
    offsets[rows, cols] = best.x * spread
    body = skeleton(best.x)
    return Fit(offsets, wanted, np.array([model_moment_arm_mm(body, t) for t in wanted]))


def report(fit: Fit) -> list[str]:
    """Residual table, one line per target, then the moved landmarks."""
    lines = [f"{'row':62s} {'printed':>8s} {'model':>8s} {'gap':>6s} mm"]
    for t, arm in zip(fit.targets, fit.moment_arms_mm, strict=True):
        lines.append(f"{t.row:62s} {t.moment_arm_mm:8.1f} {arm:8.1f} {arm - t.moment_arm_mm:6.1f}")
    lines += ["", f"{'landmark':34s} {'shift x, y, z [mm]':>24s}  spread"]
    for mark, shift in zip(landmarks(), fit.offsets, strict=True):
        if mark.free:
            x, y, z = mm(shift)
            lines.append(f"{mark.name:34s} {x:8.1f}{y:8.1f}{z:8.1f}  {mm(mark.spread):5.1f}")
    return lines


def write(fit: Fit, path: Path) -> None:
    """Keep the offsets, rounded to a hundredth of a millimetre."""
    with path.open("w", newline="", encoding="utf-8") as stream:
        out = csv.writer(stream, lineterminator="\n")
        out.writerow(["id", "x_mm", "y_mm", "z_mm"])
        for mark, shift in zip(landmarks(), fit.offsets, strict=True):
            if mark.free:
                out.writerow([mark.name, *(f"{v:.2f}" for v in mm(shift))])


def main(arguments: Sequence[str]) -> None:
    """Print the residuals; with ``--write`` also keep the offsets."""
    fit = solve(load())
    sys.stdout.write("\n".join(report(fit)) + "\n")
    if "--write" in arguments:
        write(fit, Path(str(files("sinewright.reference") / "geometry" / "fitted_offsets.csv")))


if __name__ == "__main__":
    main(sys.argv[1:])
