"""Questions about strength: torques of both legs, each possible donor on a dynamometer and a scan, its free tendon.

A scan is asked for the unharmed muscle of the other leg: how fat and wasting tie to what a muscle gives now is not in
the model, only what a given volume of sound muscle can pull.
"""

from collections.abc import Iterator

import numpy as np

from sinewright.arrays import Floats
from sinewright.case.examination import Strength
from sinewright.choose.asking_question import Examined, Question
from sinewright.choose.stance import full_efforts
from sinewright.doubt.torques import ARM_DOUBT, LIFTERS, method_of
from sinewright.doubt.virtual import skeleton_of
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.muscle.now import OTHER_SIDE_ROW, measurement_cv
from sinewright.reference import load
from sinewright.solve.native import native_lengths
from sinewright.transfer.catalogue import path_table
from sinewright.transfer.surgery import DONORS, Donor
from sinewright.units import mm

TENDON_ERROR = "own-ask-tendon-length-error"
SCAN_ERROR, TENSION = "own-ask-scan-volume-error", "st-recommended-median"
SCAN_ROWS = (SCAN_ERROR, OTHER_SIDE_ROW, TENSION)
KILOPASCAL = 1000.0  # Pa


def questions_of_strength(examined: Examined) -> Iterator[Question]:
    """Torques that were not measured, then each living donor that may be used."""
    efforts = np.abs(full_efforts(examined.legs)[:, :, 0])
    yield from _other_leg(examined, efforts)
    yield from _this_leg(examined, efforts)
    wishes = examined.case.plan
    for donor in DONORS:
        share = examined.legs.capacity[:, LEG_MUSCLES.index(donor.muscle)]
        weighed = not wishes.only_donors or donor.muscle in wishes.only_donors
        if np.any(share > 0.0) and weighed and donor.muscle not in wishes.exclude_donors:
            yield from _donor(examined, donor, share)


def _other_leg(examined: Examined, efforts: Floats) -> Iterator[Question]:
    """Torques of the other leg, which is this patient's own normal as far as two legs are alike."""
    found, side = examined.case.torque.other, load().fit_value(OTHER_SIDE_ROW) / 100.0
    cv, rows = measurement_cv(method_of(found))
    for title, truth, name in (
        ("Lifting torque of the other leg", examined.legs.normal_lift, "dorsiflexion_Nm"),
        ("Push-down torque of the other leg", efforts[:, ~LIFTERS].sum(axis=1), "plantarflexion_Nm"),
    ):
        if getattr(found, name) is None:
            read = examined.off_by_share(title, truth, float(np.hypot(cv, side)))
            field, rows_too = f"torque.other.{name}", (*rows, OTHER_SIDE_ROW)
            yield Question(title, f"{title} on {_meter(found)}", truth, read, field=field, rows=rows_too)


def _this_leg(examined: Examined, efforts: Floats) -> Iterator[Question]:
    """Torques of the leg to be operated on, where any muscle gives one."""
    found, now = examined.case.torque.affected, efforts * examined.legs.capacity
    cv, rows = measurement_cv(method_of(found))
    for title, members, name in (
        ("Lifting torque of this leg", LIFTERS, "dorsiflexion_Nm"),
        ("Push-down torque of this leg", ~LIFTERS, "plantarflexion_Nm"),
    ):
        truth = now[:, members].sum(axis=1)
        if getattr(found, name) is None and np.all(truth > 0.0):
            read = examined.off_by_share(title, truth, float(np.hypot(cv, ARM_DOUBT)))
            yield Question(
                title, f"{title} on {_meter(found)}", truth, read, field=f"torque.affected.{name}", rows=rows
            )


def _meter(found: Strength) -> str:
    return f"a {method_of(found)} dynamometer"


def _donor(examined: Examined, donor: Donor, share: Floats) -> Iterator[Question]:
    name, found = f"{donor.title[0].lower()}{donor.title[1:]}", getattr(examined.case.muscles, donor.muscle)
    if found.force_N is None and found.torque_Nm is None:
        cv, rows = measurement_cv("hand-held")
        side = load().fit_value(OTHER_SIDE_ROW) / 100.0
        title = f"Strength of the {name}"
        scatter = np.sqrt(2.0 * np.log1p(cv**2) + np.log1p(side**2))
        read = share * np.exp(scatter * examined.noise(title))
        how, field = f"A dynamometer on the {name}, both legs,", f"muscles.{donor.muscle}.force_N"
        yield Question(title, how, share, read, field=field, rows=(*rows, OTHER_SIDE_ROW))
    title, length = f"Free tendon of the {name}", _tendon(examined, donor)
    read = examined.off_by(title, length, load().fit_value(TENDON_ERROR))
    yield Question(title, f"Length of the free tendon of the {name} by ultrasound", length, read, rows=(TENDON_ERROR,))
    title, (volume, read) = f"Volume of the other leg's {name}", _scan(examined, donor)
    yield Question(title, f"A scan for the volume of the other leg's {name}", volume, read, rows=SCAN_ROWS)


def _tendon(examined: Examined, donor: Donor) -> Floats:
    """Free tendon from the belly to the cut, (N,) [mm], as the reach of the tendon is counted from."""
    ends = np.array([path_table().ends[donor.to_cut]], dtype=np.int32)
    zero = np.zeros(len(examined.legs.points))
    return mm(native_lengths(skeleton_of(examined.legs), path_table().elements, ends, zero, zero)[:, 0, 0])


def _scan(examined: Examined, donor: Donor) -> tuple[Floats, Floats]:
    """Volume [m3] of each unharmed muscle, and what a scan of the other leg would show, (N,) each.

    F = tension x volume / fibre length. The doubt s about ln tension is part of that about ln F: when the volume brings
    a share k of its variance, ln V given ln F is normal around k ln F with variance k s^2. No two legs are alike.
    """
    full, fibre = (examined.legs.muscles[:, LEG_MUSCLES.index(donor.muscle), column] for column in (0, 1))
    tension, log_full, title = load().row(TENSION), np.log(full), f"Volume of the {donor.muscle}"
    load().fit_value(TENSION)
    doubt = np.log1p(((tension.sd or 0.0) / tension.value) ** 2)
    k = max(1.0 - doubt / max(float(np.var(log_full)), 1e-12), 0.0)
    middle, own = float(log_full.mean()), np.sqrt(k * doubt) * examined.noise(f"{title}: tension")
    volume = np.exp(middle + k * (log_full - middle) + own) * fibre / (tension.value * KILOPASCAL)
    side, scan = load().fit_value(OTHER_SIDE_ROW) / 100.0, load().fit_value(SCAN_ERROR) / 100.0
    return volume, examined.off_by_share(title, volume, float(np.hypot(scan, side)))
