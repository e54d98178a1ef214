"""Findings that cannot all be true at once. They stop the reading: a plan built on them could hurt someone.

Slips smaller than the smallest change that a goniometer can tell are left to `cautions`.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Protocol

from sinewright.case.examination import BothMotions, Motion
from sinewright.case.fields import Number, number
from sinewright.case.muscles import Muscle, Muscles, grade_step, state_of
from sinewright.case.wishes import PlanWishes
from sinewright.errors import InputError

UP_ERROR_ROW = "me-wb-df-goniometer-mdc-konor2012"
DOWN_ERROR_ROW = "me-pf-mdc"
GONE = ("paralysed", "absent")


class Begun(Protocol):
    """What is compared here of a history."""

    @property
    def onset_on(self) -> date | None: ...
    @property
    def onset_months(self) -> Number | None: ...


class Examined(Protocol):
    """What is compared here of a case."""

    @property
    def examined_on(self) -> date | None: ...
    @property
    def history(self) -> Begun: ...
    @property
    def range(self) -> BothMotions: ...
    @property
    def muscles(self) -> Muscles: ...
    @property
    def plan(self) -> PlanWishes: ...


def goniometer_error_deg(row: str) -> float:
    """The smallest change [deg] that a goniometer can tell, upper end of the evidence row `row`."""
    from sinewright.reference import load

    return load().row(row).high


def contradictions(case: Examined) -> tuple[InputError, ...]:
    """Every contradiction in `case`, in the order of the file's sections; empty when it is consistent."""
    return tuple(_all(case))


def _all(case: Examined) -> Iterator[InputError]:
    yield from _onset(case)
    for leg, motion in (("affected", case.range.affected), ("other", case.range.other)):
        yield from _angles(f"range.{leg}", motion)
    for name, muscle in case.muscles.named():
        yield from _muscle(f"muscles.{name}", muscle)
    yield from _donors(case)


def _onset(case: Examined) -> Iterator[InputError]:
    history = case.history
    if history.onset_on and history.onset_months:
        yield InputError(
            "history.onset_months", history.onset_months.echo("months"), "one of the two",
            "onset_on is given too; keep the date and remove onset_months",
        )  # fmt: skip
    if history.onset_on and case.examined_on and history.onset_on > case.examined_on:
        yield InputError(
            "history.onset_on", history.onset_on, f"a date up to examined_on ({case.examined_on})",
            "correct one of the two dates",
        )  # fmt: skip


def _angles(where: str, motion: Motion) -> Iterator[InputError]:
    down = number(motion.plantarflexion_limit_down_deg)
    for knee in ("straight", "bent"):
        up = number(getattr(motion, f"dorsiflexion_knee_{knee}_deg"))
        active = number(getattr(motion, f"active_dorsiflexion_knee_{knee}_deg"))
        if up is not None and down is not None and up < -down:
            yield _no_room(where, knee, up, down)
        yield from _beyond(f"{where}.active_dorsiflexion_knee_{knee}_deg", active, up, UP_ERROR_ROW)
    active_down = number(motion.active_plantarflexion_down_deg)
    yield from _beyond(f"{where}.active_plantarflexion_down_deg", active_down, down, DOWN_ERROR_ROW)


def _no_room(where: str, knee: str, up: float, down: float) -> InputError:
    return InputError(
        f"{where}.plantarflexion_limit_down_deg",
        f"{down:g} deg down with a dorsiflexion limit of {up:g} deg",
        f"at least {-up:g} deg down, so that the foot has a range with the knee {knee}",
        "downwards counts positive here, and a fixed equinus of 20 is dorsiflexion -20; check both signs",
    )  # fmt: skip


def _beyond(field: str, active: float | None, passive: float | None, row: str) -> Iterator[InputError]:
    """Active range beyond the passive limit by more than the goniometer error of evidence row `row`."""
    if active is None or passive is None or active <= passive:
        return
    error_deg = goniometer_error_deg(row)
    if active > passive + error_deg:
        yield InputError(
            field, f"{active:g} deg with a passive limit of {passive:g} deg",
            f"at most the passive limit plus {error_deg:g} deg of goniometer error",
            "nobody moves a joint further alone than it can be moved; check sign and leg of both angles",
        )  # fmt: skip


def _muscle(where: str, muscle: Muscle) -> Iterator[InputError]:
    state, grade = state_of(muscle), muscle.grade
    if grade and state == "normal" and grade_step(grade.value) < 4:
        yield InputError(
            f"{where}.grade", f'"{grade.value}" in a muscle called normal', '"4-" to "5" for a normal muscle',
            'change state to "weak", "recovering" or "scarred", or correct the grade',
        )  # fmt: skip
    if state in GONE:
        yield from _gone(where, f"called {state}" if muscle.state else "of grade 0", muscle)
    if muscle.fat_grade and not muscle.fat_system:
        yield InputError(
            f"{where}.fat_grade", f'"{muscle.fat_grade}" without its system',
            "fat_grade together with fat_system",
            'the gradings differ: add fat_system, for instance fat_system = "Goutallier"',
        )  # fmt: skip


def _gone(where: str, gone: str, muscle: Muscle) -> Iterator[InputError]:
    if muscle.grade and muscle.grade.value != "0":
        yield InputError(
            f"{where}.grade", f'"{muscle.grade.value}" in a muscle {gone}',
            f'"0" or no grade in a muscle {gone}',
            'change state to "weak" if it contracts at all, or correct the grade',
        )  # fmt: skip
    if muscle.contraction_felt:
        yield InputError(
            f"{where}.contraction_felt", f"true in a muscle {gone}", f"false or nothing in a muscle {gone}",
            'change state to "weak" or "recovering", or correct contraction_felt',
        )  # fmt: skip
    for name, unit in (("force_N", "N"), ("torque_Nm", "Nm")):
        found: Number | None = getattr(muscle, name)
        if found and found.value > 0:
            yield InputError(
                f"{where}.{name}", f"{found.value:g} {unit} in a muscle {gone}",
                f"0 or nothing in a muscle {gone}",
                "correct state or grade, or leave the number out if it came from a neighbour",
            )  # fmt: skip


def _donors(case: Examined) -> Iterator[InputError]:
    for name in case.plan.only_donors:
        state = state_of(case.muscles[name])
        if state in GONE:
            yield InputError(
                "plan.only_donors", f"{name}, whose state is {state}", "muscles that contract",
                f"take {name} out of only_donors, or correct state or grade of muscles.{name}",
            )  # fmt: skip
        if name in case.plan.exclude_donors:
            yield InputError(
                "plan.only_donors", f"{name}, which exclude_donors names too",
                "each donor in one of the two lists",
                "remove it from one of the lists",
            )  # fmt: skip
