"""What was found, in five lines built from measured entries alone: no free text of the case, so no name slips in."""

from __future__ import annotations

from sinewright.case import Case, Number, share_of_other_side
from sinewright.choose.findings import months, months_since_onset, muscle
from sinewright.transfer.surgery import DONORS
from sinewright.wording.directions import UP_DOWN


def five_lines(case: Case, donors: tuple[str, ...]) -> list[str]:
    """Cause, donor, ankle, foot, skin and feeling; what was not examined is said so."""
    return [_cause(case), _donors(case, donors), _ankle(case), _foot(case), _bed(case)]


def _cause(case: Case) -> str:
    history = case.history
    cause = " and ".join(history.cause) if history.cause else "cause not given"
    since = months_since_onset(case)
    when = f"{months(since)} before the examination" if since is not None else "time of onset not given"
    still = {True: "still recovering", False: "no longer recovering", None: "recovery not judged"}[history.recovering]
    return f"{cause[0].upper()}{cause[1:]}, {when}; {still}."


def _donors(case: Case, donors: tuple[str, ...]) -> str:
    return " ".join(_donor(case, name) for name in donors)


def _donor(case: Case, name: str) -> str:
    title = next((donor.title for donor in DONORS if donor.muscle == name), name.replace("_", " "))
    found = muscle(case, name)
    parts = [f"grade {found.grade.value}" if found.grade else "no grade"]
    if found.torque_Nm is not None:
        parts.append(f"{found.torque_Nm.value:g} Nm {found.torque_Nm.known}")
    elif found.force_N is not None:
        parts.append(f"{found.force_N.value:g} N {found.force_N.known}")
    else:
        parts.append("force not measured")
    share = share_of_other_side(found)
    if share is not None:
        parts.append(f"{100.0 * share:.0f} % of the other leg")
    return f"{title}: {', '.join(parts)}."


def _ankle(case: Case) -> str:
    here = case.range.affected
    straight, bent = _up(here.dorsiflexion_knee_straight_deg), _up(here.dorsiflexion_knee_bent_deg)
    return f"Passive dorsiflexion: {straight} with the knee straight, {bent} with it bent."


def _up(found: Number | None) -> str:
    if found is None:
        return "not measured"
    return UP_DOWN.exact(found.value)


def _foot(case: Case) -> str:
    foot = case.foot
    joints = [
        f"{name} {state}" for name, state in (("ankle", foot.ankle_joint), ("subtalar", foot.subtalar_joint)) if state
    ]
    told = [
        f"hindfoot {foot.hindfoot}" if foot.hindfoot else "hindfoot not judged",
        f"arch {foot.arch}" if foot.arch else "arch not judged",
        f"joints: {', '.join(joints)}" if joints else "joints not judged",
    ]
    line = "; ".join(told)
    return f"{line[0].upper()}{line[1:]}."


def _bed(case: Case) -> str:
    foot = case.foot
    shin = foot.skin_front_of_shin or "not judged"
    top = foot.skin_top_of_foot or "not judged"
    sole = foot.feeling_sole or "not tested"
    band = foot.retinaculum or "not judged"
    return f"Skin: shin {shin}, top of foot {top}; feeling of the sole {sole}; retinaculum {band}."
