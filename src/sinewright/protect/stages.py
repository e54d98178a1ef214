"""The stages of the weeks after: what each one loads, what published protocols use, who releases it and after what.

A stage has two earliest weeks: the one from which the healing junction keeps the chosen margin for good, and the one of
the schedule (the early end, the middle or the late end of published protocols, or the surgeon's own). The longer is
printed, never before the stages it builds on. A stage is released by a clinician who has looked, never by a date alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from sinewright.arrays import Floats
from sinewright.doubt.sample import middle
from sinewright.errors import InputError
from sinewright.protect.healing import LAST_WEEK, Healing
from sinewright.protect.load import Activity
from sinewright.reference import load

Pace = Literal["early", "usual", "late"]
Hold = Literal["cast", "boot", "frame"]
PACES: tuple[Pace, ...] = get_args(Pace)
HOLDS: tuple[Hold, ...] = get_args(Hold)
WEEKS = np.arange(0.0, LAST_WEEK + 0.25, 0.5)
MOST_WEEKS = 104.0

HOLD_TITLES = {"cast": "Cast", "boot": "Boot, day and night", "frame": "External frame, foot held"}


@dataclass(frozen=True)
class ProtectionStage:
    """One stage: ``key`` as typed, title, what is done, activities that load the junction, row of published weeks,
    whether body weight loads it, stages before it, who releases it and what is looked at first."""

    key: str
    title: str
    what: str
    activities: tuple[Activity, ...]
    published: str
    loaded: bool
    after: tuple[str, ...]
    released_by: str
    look_first: str


STAGES = (
    ProtectionStage(
        "hold",
        "{hold}",
        "the foot is held in the posture of fixing; toes and knee move freely",
        activities=("cast",),
        published="rh-range-fixed",
        loaded=False,
        after=(),
        released_by="surgeon",
        look_first="colour, feeling and movement of the toes; no pressure under the hold; pin sites of a frame dry",
    ),
    ProtectionStage(
        "load",
        "First load, in cast or boot",
        "standing and walking in the hold, weight as prescribed",
        activities=("stand",),
        published="rh-range-first-load",
        loaded=True,
        after=("hold",),
        released_by="surgeon",
        look_first="wound closed and dry; the foot rests where it rested at the operation",
    ),
    ProtectionStage(
        "motion",
        "First active motion, learning the new movement",
        "lift without resistance, out of the hold, supervised; first think of the muscle's old movement",
        activities=("lift",),
        published="rh-range-first-active",
        loaded=False,
        after=("hold",),
        released_by="surgeon and therapist",
        look_first="the donor can be felt to contract; no gap and no step at the junction",
    ),
    ProtectionStage(
        "gait",
        "Out of the boot, training of steps",
        "walking with the new muscle in shoes, a brace where needed",
        activities=("swing", "stand"),
        published="rh-range-boot-off",
        loaded=True,
        after=("load", "motion"),
        released_by="surgeon and therapist",
        look_first="the foot is lifted to neutral without help; a numb sole without pressure marks",
    ),
    ProtectionStage(
        "stretch",
        "Passive stretch downwards",
        "the therapist brings the foot down to the limit that was set, not beyond",
        activities=("stretch",),
        published="own-protect-stretch-from",
        loaded=False,
        after=("motion",),
        released_by="surgeon",
        look_first="active lift has not become less over the last two visits",
    ),
    ProtectionStage(
        "splint",
        "Night splint left off",
        "the foot may hang at night",
        activities=("stretch",),
        published="own-protect-night-splint",
        loaded=False,
        after=("stretch",),
        released_by="therapist",
        look_first="the resting angle in the morning is that of the evening",
    ),
    ProtectionStage(
        "strength",
        "Lift against resistance",
        "strength and balance with bands and own weight",
        activities=("effort",),
        published="own-protect-resisted-from",
        loaded=True,
        after=("gait", "stretch"),
        released_by="surgeon and therapist",
        look_first="steady steps without resistance; no pain at the junction",
    ),
    ProtectionStage(
        "sport",
        "Stairs down with load, running, sport",
        "loads that push the foot down against the muscle",
        activities=("step_down",),
        published="own-protect-step-down-from",
        loaded=True,
        after=("strength",),
        released_by="surgeon",
        look_first="strength against the other leg is measured",
    ),
)
KEYS = tuple(stage.key for stage in STAGES)


@dataclass(frozen=True)
class ActivityMargin:
    """An activity at a week: fifth percentile of strength [N], its ratio to the middle load, the ratio needed, and the
    chance that the junction gives way; ``green`` when ratio and chance keep what was chosen."""

    p05_N: float
    ratio: float
    needed: float
    chance: float
    most_chance: float

    @property
    def green(self) -> bool:
        """True when the margin is kept and the chance of giving way is small enough."""
        return self.ratio >= self.needed and self.chance <= self.most_chance


def kept_at(healing: Healing, tension: Floats, week: float, needed: float, most_chance: float) -> ActivityMargin:
    """Hold the load of an activity against the strength at a week. Load and strength are independent.

    Parameters
    ----------
    healing : junctions over the weeks
    tension : (N,) load of the activity in each leg [N]; legs without a number are left out
    week : since the operation
    needed : smallest ratio of the strength of 1 junction in 20 to the middle load
    most_chance : largest chance of giving way
    """
    strength, found = np.sort(healing.strength(week)), tension[np.isfinite(tension)]
    p05, typical = float(np.percentile(strength, 5.0)), float(middle(found))
    gives = float(np.mean(np.searchsorted(strength, found, side="left") / len(strength)))
    return ActivityMargin(p05, p05 / typical if typical > 0.0 else np.inf, needed, gives, most_chance)


def margin_week(healing: Healing, tension: Floats, needed: float, most_chance: float) -> float | None:
    """The earliest week from which the margin is kept until the curve ends, in half weeks; None when it is not."""
    green = [kept_at(healing, tension, float(week), needed, most_chance).green for week in WEEKS]
    if not green[-1]:
        return None
    last_red = max((i for i, ok in enumerate(green) if not ok), default=-1)
    return float(WEEKS[last_red + 1])


def published_weeks(stage: ProtectionStage) -> tuple[float, float]:
    """Range of published protocols [weeks]: when the stage begins; for the hold, how long it lasts."""
    load().fit_value(stage.published)
    row = load().row(stage.published)
    return row.low, row.high


def scheduled_week(stage: ProtectionStage, pace: Pace, own: Mapping[str, float]) -> float:
    """The week of the schedule: the surgeon's own, else the end or middle of the published range; the hold begins on
    the day of the operation."""
    if stage.key == "hold":
        return 0.0
    if stage.key in own:
        return own[stage.key]
    low, high = published_weeks(stage)
    return {"early": low, "usual": 0.5 * (low + high), "late": high}[pace]


def check_own_weeks(own: Mapping[str, float]) -> None:
    """Raises InputError for an unknown stage or an impossible week."""
    for key, week in own.items():
        if key not in KEYS or key == "hold":
            raise InputError("--week", f'"{key}"', ", ".join(KEYS[1:]), "name the stage, as in motion=3")
        if not 0.0 <= week <= MOST_WEEKS:
            raise InputError(f"--week {key}", f"{week:g} weeks", "0 to 104 weeks", "count from the operation")
