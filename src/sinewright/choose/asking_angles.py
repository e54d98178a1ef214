"""Questions about angles and stiffness: passive limits, turning, resting and active angles, an instrumented hindfoot.

An angle that was read may be asked again: how hard the examiner pushed, and how well the patient let go, is doubtful.
"""

from collections.abc import Iterator

import numpy as np

from sinewright.arrays import Floats
from sinewright.case import Number
from sinewright.choose.asking_question import Examined, Question
from sinewright.doubt.expect import angles_today
from sinewright.doubt.sample import middle
from sinewright.doubt.stiffness import ARC_SHARE, GONIOMETER_DOWN, GONIOMETER_UP, KNEE_BENT_DEG
from sinewright.doubt.torques import LIFTERS
from sinewright.reference import load
from sinewright.solve import answer as a
from sinewright.solve.passive_torque import INWARD, LOWER, OUTWARD, SUBTALAR_STIFFNESS, UPPER, UPPER_KNEE
from sinewright.units import deg, rad

SHARE, TURN_ERROR = "own-subtalar-share-of-clinical-arc", "own-subtalar-limit-error"
REST_ERROR, EFFORT_ERROR = "own-rest-reading-error", "own-active-reading-error"
HINDFOOT_ERROR = "own-ask-hindfoot-stiffness-error"
RANGE = "range.affected"


def questions_of_angles(examined: Examined) -> Iterator[Question]:
    """Every angle that the legs carry, and the stiffness of the hindfoot."""
    yield from _limits(examined)
    yield from _turning(examined)
    yield from _today(examined)
    title, stiffness = "Stiffness of the hindfoot", examined.legs.passive[:, SUBTALAR_STIFFNESS]
    read = examined.off_by_share(title, stiffness, load().fit_value(HINDFOOT_ERROR) / 100.0)
    yield Question(title, "An instrumented test of the hindfoot", stiffness, read, rows=(HINDFOOT_ERROR,))


def _limits(examined: Examined) -> Iterator[Question]:
    """Passive limits of the ankle at the reference torque."""
    passive, found = examined.legs.passive, examined.case.range.affected
    straight = deg(passive[:, UPPER])
    bent = deg(passive[:, UPPER] + passive[:, UPPER_KNEE] * rad(KNEE_BENT_DEG))
    up = "Passive lift of the ankle"
    for title, angle, row, name in (
        (f"{up}, knee straight", straight, GONIOMETER_UP, "dorsiflexion_knee_straight_deg"),
        (f"{up}, knee bent", bent, GONIOMETER_UP, "dorsiflexion_knee_bent_deg"),
        (
            "Passive limit of the ankle downwards",
            -deg(passive[:, LOWER]),
            GONIOMETER_DOWN,
            "plantarflexion_limit_down_deg",
        ),
    ):
        measured = getattr(found, name)
        how = f"{_which(title, measured)}, with a known torque,"
        read = examined.off_by(title, angle, load().row(row).high)
        yield _asked(title, how, angle, read=read, rows=(row,), name=name, measured=measured)


def _turning(examined: Examined) -> Iterator[Question]:
    """How far the hindfoot turns, read by a goniometer on the whole foot; a repeat would not say more of that share."""
    found, share = examined.case.range.affected, load().row(SHARE)
    load().fit_value(SHARE)
    for title, column, name in (
        ("How far the sole turns in", INWARD, "inversion_limit_deg"),
        ("How far the sole turns out", OUTWARD, "eversion_limit_out_deg"),
    ):
        if getattr(found, name) is None:
            angle = np.abs(deg(examined.legs.passive[:, column]))
            part = np.clip(share.value + (share.sd or 0.0) * examined.noise(f"{title}: share"), *ARC_SHARE)
            read = examined.off_by(title, angle / part, load().fit_value(TURN_ERROR))
            how = f"{title}, by goniometer,"
            yield _asked(title, how, angle, read=read, rows=(TURN_ERROR, SHARE), name=name, measured=None)


def _today(examined: Examined) -> Iterator[Question]:
    """Resting angles, and active lift where a lifter is alive: they depend on the whole leg."""
    today, found = angles_today(examined.legs), examined.case.range.affected
    questions = [
        ("Resting angle of the hanging foot", a.REST, REST_ERROR, "resting_hanging_deg"),
        ("Resting angle of the lying foot", a.REST_TABLE, REST_ERROR, "resting_supine_deg"),
    ]
    if np.any(examined.legs.capacity[:, LIFTERS] > 0.0):
        questions += [
            ("Active lift, knee straight", a.LIFT, EFFORT_ERROR, "active_dorsiflexion_knee_straight_deg"),
            ("Active lift, knee bent", a.LIFT_BENT, EFFORT_ERROR, "active_dorsiflexion_knee_bent_deg"),
        ]
    for title, column, row, name in questions:
        angle, measured = _whole(today[:, column]), getattr(found, name)
        read = examined.off_by(title, angle, load().fit_value(row))
        yield _asked(
            title,
            f"{_which(title, measured)}, by goniometer,",
            angle,
            read=read,
            rows=(row,),
            name=name,
            measured=measured,
        )


def _whole(angle: Floats) -> Floats:
    """Angles (N,), the middle one where a leg found no balance: such a leg says nothing of the finding."""
    good = np.isfinite(angle)
    out: Floats = np.where(good, angle, middle(angle[good]) if good.any() else 0.0)
    return out


def _which(title: str, measured: Number | None) -> str:
    return title if measured is None else f"A second reading of the {title[0].lower()}{title[1:]}"


def _asked(
    title: str, how: str, truth: Floats, read: Floats, rows: tuple[str, ...], name: str, measured: Number | None
) -> Question:
    return Question(
        title,
        how,
        truth,
        reading=read,
        can_be_measured=True,
        field=f"{RANGE}.{name}",
        rows=rows,
        again=measured is not None,
    )
