"""All checks, theme by theme, and the one function that runs them.

What the fit of unpublished landmarks leaves is shown beside the checks and never counted among them.
"""

from dataclasses import dataclass

from sinewright.anatomy.fit import model_moment_arm_mm, reference_joint_axes, targets
from sinewright.anatomy.foot_axis import ratio_row
from sinewright.anatomy.skeleton import build, reference_sizes
from sinewright.evidence import calf, fibre, moment_arms, outcomes, passive, protect, swing, torque, transfer
from sinewright.evidence.result import Check, result_of
from sinewright.evidence.scene import Scene
from sinewright.reference import load
from sinewright.results import CheckResult
from sinewright.units import mm

THEMES: dict[str, tuple[Check, ...]] = {
    "Moment arms and excursions": moment_arms.CHECKS,
    "Torque of healthy legs": torque.CHECKS,
    "Fibres, tendons, relative size": fibre.CHECKS,
    "The passive joints": passive.CHECKS,
    "Moved tendons": transfer.CHECKS,
    "Calf lengthening and harvest": (*calf.CHECKS, *calf.HARVEST_CHECKS),
    "Series of patients": outcomes.CHECKS,
    "Walking": swing.CHECKS,
    "Junctions and the weeks after": protect.CHECKS,
}
CHECKS: tuple[Check, ...] = tuple(check for checks in THEMES.values() for check in checks)


def run_checks(scene: Scene | None = None) -> tuple[CheckResult, ...]:
    """Hold every published claim against the program. Same version, same answer.

    Parameters
    ----------
    scene : what the checks share; built once where none is given

    Returns
    -------
    One result for each of `CHECKS`, in their order.
    """
    ground = scene or Scene()
    return tuple(result_of(check, ground) for check in CHECKS)


@dataclass(frozen=True, slots=True)
class Residual:
    """One fitted row: what was fitted, printed and left arm [mm], how the row is known."""

    row: str
    what: str
    printed_mm: float
    found_mm: float
    known: str


def fit_residuals(scene: Scene | None = None) -> tuple[Residual, ...]:
    """Every row of ``reference/geometry/fit_targets.csv``, then the ratios behind the functional foot axis."""
    leg = build(reference_sizes()[None], reference_joint_axes(load()))
    out = []
    for t in targets(load()):
        axis = ("ankle", "subtalar")[t.axis]
        muscle = t.muscle.replace("_", " ")
        out.append(
            Residual(
                t.row, f"{muscle}, {axis} arm", t.moment_arm_mm, model_moment_arm_mm(leg, t), load().row(t.row).known
            )
        )
    axis_ = (scene or Scene()).foot_axis
    for name, printed, found in zip(axis_.muscles, mm(axis_.printed), mm(axis_.found), strict=True):
        id = ratio_row(name)
        what = f"{name.replace('_', ' ')}, arm about the foot axis"
        out.append(Residual(id, what, float(printed), float(found), load().row(id).known))
    return tuple(out)
