"""All checks, theme by theme, and the one function that runs them."""

from sinewright.evidence import calf, fibre, harvest, moment_arms, outcomes, passive, protect, swing, torque, transfer
from sinewright.evidence.result import Check, result_of
from sinewright.evidence.scene import Scene
from sinewright.results import CheckResult

THEMES: dict[str, tuple[Check, ...]] = {
    "Moment arms and excursions": moment_arms.CHECKS,
    "Torque of healthy legs": torque.CHECKS,
    "Fibres, tendons, relative size": fibre.CHECKS,
    "The passive joints": passive.CHECKS,
    "Moved tendons": transfer.CHECKS,
    "Calf lengthening and harvest": (*calf.CHECKS, *harvest.CHECKS),
    "Series of patients": outcomes.CHECKS,
    "Walking": swing.CHECKS,
    "Junctions and the weeks after": protect.CHECKS,
}
CHECKS: tuple[Check, ...] = tuple(check for checks in THEMES.values() for check in checks)


def run_checks(scene: Scene | None = None) -> tuple[CheckResult, ...]:
    """Hold every published claim against the program. The shared scene is built once; same version, same answer."""
    ground = scene or Scene()
    return tuple(result_of(check, ground) for check in CHECKS)
