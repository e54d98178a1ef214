"""The same points, hinges and cylinders in a general physics engine: an independent second method for paths.

The engine gets the landmarks at neutral and is told nothing else: it turns the segments, chooses the touch
points on each cylinder and differentiates on its own. A cylinder is an endless cylinder there; the side on which
the path passes is shown by a site outside it, set here from the way round and the direction of travel.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

import mujoco
import numpy as np

from sinewright.anatomy.path import CYLINDER
from sinewright.anatomy.skeleton import Skeleton
from sinewright.arrays import Floats, Ints

SIDE_SITE_RADII = 3.0  # distance of the side site from the cylinder's axis, in radii


@dataclass
class _Scene:
    """Elements by segment, and the paths, while the model text is written."""

    inside: tuple[list[str], list[str], list[str]] = field(default_factory=lambda: ([], [], []))
    paths: list[str] = field(default_factory=list)
    known: set[str] = field(default_factory=set)

    def add(self, segment: int, name: str, element: str) -> None:
        if name not in self.known:
            self.known.add(name)
            self.inside[segment].append(element)


class Oracle:
    """One person's paths in the engine. ``measure`` gives lengths and moment arms of all of them.

    ``guide`` shows on which side of a cylinder a path passes at neutral: anatomy decides, not the person.
    """

    def __init__(
        self, skeleton: Skeleton, paths: Mapping[str, Ints], person: int = 0, guide: Skeleton | None = None
    ) -> None:
        self.names = tuple(paths)
        text = _model_text(skeleton, paths, person, guide or one_person(skeleton, person))
        self._model: Any = mujoco.MjModel.from_xml_string(text)
        self._data: Any = mujoco.MjData(self._model)

    def measure(self, ankle: float, subtalar: float) -> Floats:
        """Length and arms r = -dL/dq about both axes [m] at joint angles [rad], (paths, 3)."""
        self._data.qpos[:] = (ankle, subtalar)
        mujoco.mj_forward(self._model, self._data)
        lengths = np.array(self._data.ten_length)
        return np.column_stack([lengths, -_tendon_jacobian(self._model, self._data)])


def one_person(skeleton: Skeleton, person: int) -> Skeleton:
    """The same person as a skeleton of one."""
    i = slice(person, person + 1)
    return Skeleton(skeleton.points[i], skeleton.cylinders[i], skeleton.joint[i])


def _tendon_jacobian(model: Any, data: Any) -> Floats:
    """dL/dq, (paths, 2), from either layout of the engine: full (up to 3.x) or compressed rows."""
    size = (model.ntendon, model.nv)
    keeper = model if hasattr(model, "ten_J_rowadr") else data
    if keeper is data and not mujoco.mj_isSparse(model):
        return np.array(data.ten_J, dtype=np.float64).reshape(size)
    values, columns = np.ravel(data.ten_J), np.ravel(keeper.ten_J_colind)
    out = np.zeros(size)
    for i in range(model.ntendon):
        part = slice(keeper.ten_J_rowadr[i], keeper.ten_J_rowadr[i] + keeper.ten_J_rownnz[i])
        out[i, columns[part]] = values[part]
    return out


def _model_text(skeleton: Skeleton, paths: Mapping[str, Ints], person: int, guide: Skeleton) -> str:
    scene = _Scene()
    for elements in paths.values():
        _add_path(scene, skeleton, elements, person, guide)
    joint = skeleton.joint[person]
    mass = '<inertial pos="0 0 0" mass="1" diaginertia="1 1 1"/>'
    ankle = f'<joint type="hinge" axis="{_text(joint[0:3])}" pos="0 0 0"/>'
    subtalar = f'<joint type="hinge" axis="{_text(joint[3:6])}" pos="{_text(joint[6:9])}"/>'
    shank, talus, foot = ("".join(part) for part in scene.inside)
    return (
        '<mujoco><compiler angle="radian"/><option gravity="0 0 0"/>'
        f'<worldbody>{shank}<body name="talus">{mass}{ankle}{talus}<body name="foot">{mass}{subtalar}{foot}'
        f"</body></body></worldbody><tendon>{''.join(scene.paths)}</tendon></mujoco>"
    )


def _add_path(scene: _Scene, skeleton: Skeleton, elements: Ints, person: int, guide: Skeleton) -> None:
    parts = []
    for k, (kind, index, segment) in enumerate(elements):
        if kind == CYLINDER:
            before, after = guide.points[0, elements[k - 1, 1]], guide.points[0, elements[k + 1, 1]]
            side = passing_side(guide.cylinders[0, index, 3:6], guide.cylinders[0, index, 7], before, after)
            parts.append(_add_cylinder(scene, skeleton.cylinders[person, index], index, segment, side))
        else:
            site = f"point_{index}_{segment}"
            position = _text(skeleton.points[person, index])
            scene.add(segment, site, f'<site name="{site}" pos="{position}"/>')
            parts.append(f'<site site="{site}"/>')
    scene.paths.append(f"<spatial>{''.join(parts)}</spatial>")


def _add_cylinder(scene: _Scene, cylinder: Floats, index: int, segment: int, side: Floats) -> str:
    """A cylinder, and a side site of its own for each path."""
    centre, axis, radius = cylinder[0:3], cylinder[3:6], float(cylinder[6])
    round_ = f"cylinder_{index}"
    shape = f'type="cylinder" size="{radius!r} 0.5" pos="{_text(centre)}" zaxis="{_text(axis)}"'
    scene.add(segment, round_, f'<geom name="{round_}" {shape} contype="0" conaffinity="0"/>')
    site = f"side_{len(scene.known)}"
    outside = centre + SIDE_SITE_RADII * radius * side
    scene.add(segment, site, f'<site name="{site}" pos="{_text(outside)}"/>')
    return f'<geom geom="{round_}" sidesite="{site}"/>'


def passing_side(axis: Floats, way: float, before: Floats, after: Floats) -> Floats:
    """Unit vector from the axis to the middle of the wrap, where the path runs along the chord."""
    side = way * np.cross(after - before, axis)
    unit: Floats = side / np.linalg.norm(side)
    return unit


def _text(numbers: Iterable[float]) -> str:
    return " ".join(repr(float(x)) for x in numbers)
