"""The theatre page: one side, to be read at arm's length. A content and a build function; nothing is pre-ticked.

What was found stands in five lines built from measured entries alone: no free text of the case, so no name slips in.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sinewright.case import Case, Number, share_of_other_side
from sinewright.choose.findings import months, months_since_onset, muscle
from sinewright.errors import InputError
from sinewright.export.dangers import before_the_cut, danger_codes, danger_lines, stop_lines
from sinewright.export.gauge import ExpectedRest
from sinewright.export.plain import sentences
from sinewright.export.planned import CLEARS, LIFTS, Planned, hundred_of, refuse_construct, refuse_unchosen
from sinewright.export.print_text import print_text
from sinewright.export.profile import ProfileView, draw_profile
from sinewright.export.stamp import stamp
from sinewright.export.tightening import MOST_MM, correction_rows
from sinewright.export.typeset import PAPERS, Format, typeset
from sinewright.protect.constructs import find_construct
from sinewright.results import Spread
from sinewright.transfer.surgery import DONORS
from sinewright.units import deg, mm
from sinewright.wording.answer import slap_sentence
from sinewright.wording.directions import BENT, IN_OUT, LENGTH, MARK, PULL, STRETCH, UP_DOWN, angle_words
from sinewright.wording.figures import mark_posture

MASTER = (
    "Side, site and counts: your hospital's checklist is the master and comes first. Nothing here is ticked for you."
)
OWN_LINES, OWN_LENGTH = 4, 110
CAUTIONS = 4  # beside the dangers, which are never cut off


def theatre_page(
    planned: Planned,
    paper: str = "a4",
    own_lines: Sequence[str] = (),
    large: bool = False,
    kind: Format = "pdf",
    construct: str | None = None,
) -> list[bytes]:
    """The theatre page as PDF bytes.

    Parameters
    ----------
    planned : Planned
        The operation; one that nobody chose is printed only where a draft was asked for.
    paper : str
        ``a4`` or ``letter``.
    own_lines : sequence of str
        Typed by the surgeon for this page.
    large : bool
        Larger type, fewer words in the drawing.
    kind : {"pdf", "png"}
        What is written.
    construct : str, optional
        How the junction is sewn (``protect.constructs``), else it is left to be written in.

    Raises
    ------
    InputError
        When nobody chose the operation, the construct cannot be its junction, a line cannot be printed, or the page
        would need a second side.
    """
    refuse_unchosen(planned)
    refuse_construct(planned.case, planned.outcome.choice.id, construct)
    return typeset(
        "theatre", theatre_content(planned, paper, own_lines, large, construct), planned.made_at, kind, sides=1
    )


def theatre_content(
    planned: Planned, paper: str, own_lines: Sequence[str], large: bool, construct: str | None = None
) -> dict[str, Any]:
    """Everything that stands on the page."""
    case, choice, leg = planned.case, planned.outcome.choice, planned.leg
    rest = planned.outcome.spread("rest_on_table_deg")
    if rest is None:
        raise InputError("choice", choice.id, "an operation with a computed resting angle", "choose another one")
    size, top = (12.4, 150.0) if large else (10.6, 158.0)  # large print tells the lengths in the tiles instead
    angle = float(deg(leg.sewn.ankle))
    shown = ProfileView(angle, labelled=not large, headed=False, size=size, top_mm=top, expected=ExpectedRest(rest))
    picture = draw_profile(leg, shown)
    return {
        **stamp(planned),
        "paper": PAPERS[paper],
        "large": large,
        "title": _surgery(choice.title),
        "subtitle": choice.subtitle,
        "svg": picture,
        "alt": f"{case.side} leg from the outer side and from in front with the operation drawn to scale",
        "found": five_lines(case, tuple(choice.donor.split(" + "))),
        "why": _why(planned),
        "tiles": _tiles(planned, rest),
        "steps": _steps(planned, own_lines, rest, construct),
        "stop": stop_lines(planned),
        "dangers": danger_lines(planned),
        "before": before_the_cut(case),
        "wrong": correction_rows(planned.corrections),
        "wrong_note": _wrong_note(planned, rest),
        "tension": _tension(planned),
        "expected": _expected(planned),
        "reserve": _reserve(planned),
        "cautions": cautions_of(planned, CAUTIONS),
    }


def _surgery(donor: str) -> str:
    """``Tibialis posterior transfer``: the operation as a theatre list names it."""
    return donor if "transfer" in donor.lower() else f"{donor} transfer"


def _why(planned: Planned) -> list[str]:
    outcome = planned.outcome
    how = "Chosen by the surgeon." if planned.by_hand else "First under the patient's weights; not yet chosen by hand."
    parts = [how]
    if outcome.standing is not None:
        shared = sum(
            1 for each in planned.weighing.outcomes if each.standing and each.standing.rank == outcome.standing.rank
        )
        parts.append(
            f"Weighted goals {100.0 * outcome.standing.mean:.0f} of 100"
            + (f"; {shared - 1} others are as good within the doubt." if shared > 1 else ".")
        )
    if outcome.reason:
        parts.append(
            outcome.reason if outcome.status == "workable" else f"{outcome.status.capitalize()}: {outcome.reason}"
        )
    return parts


def _tiles(planned: Planned, rest: Spread) -> list[dict[str, Any]]:
    """The four numbers of the operation, large; a second donor adds its own free tendon."""
    leg, outcome = planned.leg, planned.outcome
    tendons = leg.tendons(leg.fixing)
    reach = outcome.spread("reach_margin_mm")
    free = [
        {
            "big": f"{mm(one.free):.0f} mm",
            "small": f"free tendon, mark to cut{f', {one.laid.donor.title}' if len(tendons) > 1 else ''} "
            f"{one.laid.donor.cut_at}",
        }
        for one in tendons
    ]
    tiles: list[dict[str, Any]] = [*free]
    if reach is not None:
        word = "to spare" if reach.p50 >= 0.0 else "too short"
        used = f"{mm(tendons[0].overlap):.0f} mm {'tunnel' if tendons[0].laid.recipient.bone else 'weave'}"
        tiles.append(
            {
                "big": f"{abs(reach.p50):.0f} mm",
                "small": f"{word} after a {used} (nine of ten: {_reach(reach.p05)} to {_reach(reach.p95)})",
            }
        )
    sewn = outcome.choice.set_stretch_mm
    posture = _posture(planned)
    tiles.append({"big": STRETCH.one(sewn), "small": f"mark {MARK.one(sewn)}; {posture}", "strong": True})
    low, high = planned.ruler.low_mm, planned.ruler.high_mm
    tiles[-1]["small"] += f". Most of the lift is kept from {STRETCH.one(low)} to {STRETCH.one(high)}"
    tiles.append(
        {
            "big": angle_words(rest.p50),
            "small": f"foot should rest when let go, {_knee(planned)} (nine of ten: {UP_DOWN.ends(rest)})",
            "strong": True,
        }
    )
    return tiles


def _reach(value: float) -> str:
    return f"{value:.0f}" if value >= 0.0 else f"{-value:.0f} short"


def _knee(planned: Planned) -> str:
    return f"knee {BENT.one(float(deg(planned.leg.sewn.knee)))}"


def _posture(planned: Planned) -> str:
    sewn = planned.leg.sewn
    turned = IN_OUT.one(float(deg(sewn.subtalar)))
    return f"foot held at {angle_words(float(deg(sewn.ankle)))}, hindfoot {turned}, {_knee(planned)}"


def _steps(planned: Planned, own_lines: Sequence[str], rest: Spread, construct: str | None) -> list[str]:
    case, leg = planned.case, planned.leg
    named = find_construct(construct) if construct else None
    calf = case.plan.calf_procedure
    steps = [f"{case.side.upper()} side and site: checked against consent and skin mark, on the hospital's checklist."]
    if calf and calf != "none":
        gain = f", {case.plan.calf_gain_deg:g}° expected" if case.plan.calf_gain_deg is not None else ""
        steps.append(f"First the calf: {calf}{gain}. Passive angle after it, knee straight: ____°")
    steps.append(
        f"Before dividing: {mark_posture()}. "
        "Mark the muscle-tendon junction with a stitch. Distance to a fixed point: ____ mm"
    )
    for one in leg.tendons(leg.fixing):
        steps.append(
            f"{one.laid.donor.title} divided {one.laid.donor.cut_at}. "
            f"Mark to cut end ____ mm (expected {mm(one.free):.0f})"
        )
        steps.append(f"Passed {one.laid.route.title}; glides freely.")
    for one in {one.laid.recipient.name: one for one in leg.tendons(leg.fixing)}.values():
        how = "Tunnel" if one.laid.recipient.bone else "Weave"
        sewn_as = named.title if named and named.in_bone == one.laid.recipient.bone else "________"
        steps.append(
            f"{_posture(planned)[0].upper()}{_posture(planned)[1:]}: pull until the mark lies "
            f"{MARK.one(planned.outcome.choice.set_stretch_mm)}. "
            f"{how} {mm(one.overlap):.0f} mm, {one.laid.recipient.title}. Construct: {sewn_as}."
        )
    steps.append(
        f'Let go. Foot rests at ____°. Outside {UP_DOWN.ends(rest)}: see "If the resting angle is outside the range".'
    )
    return steps + own(own_lines)


def own(lines: Sequence[str]) -> list[str]:
    """Lines that the surgeon typed for this page, checked. Raises InputError for too many or too long ones."""
    if len(lines) > OWN_LINES:
        raise InputError("--line", f"{len(lines)} lines", f"at most {OWN_LINES}", "put the rest on a sheet of your own")
    return [print_text("--line", line, OWN_LENGTH) for line in lines]


def _wrong_note(planned: Planned, rest: Spread) -> str:
    """What the table of resting angles does not say."""
    if not planned.corrections:
        return f"No change of up to {MOST_MM:.0f} mm brings it back: stop. Slip, wrong mark, tight calf?"
    return (
        f"Expected {UP_DOWN.ends(rest)} lying, {_knee(planned)}. Stop: beyond {MOST_MM:.0f} mm. Slip, wrong mark, "
        "tight calf? Does not move either way: look for a caught tendon before the stitch."
    )


def _tension(planned: Planned) -> list[str]:
    """Set tension and settled tension apart, the muscle relaxed and the foot held as sewn."""
    found = planned.leg.tension
    if found is None:
        return []
    return [
        f"Set, on a scale at once: {PULL.spread(found.at_once_N)}; within hours "
        f"{PULL.spread(found.after_relaxation_N)} (assumed; no millimetre is lost).",
        f"Settled: {PULL.spread(found.settled_N)}, the junction longer by {LENGTH.spread(found.creep_mm)}.",
    ]


def _expected(planned: Planned) -> list[str]:
    outcome = planned.outcome
    lift, push = outcome.spread("lift_deg"), outcome.spread("pushdown_deg")
    out = []
    for key, what in ((CLEARS, "Clears the floor, no brace"), (LIFTS, "Lifts to neutral or above and reaches")):
        if (found := hundred_of(planned, key)) is not None:
            out.append(f"{what}: {found.words} virtual legs.")
    if lift is not None:
        out.append(f"Lift, knee straight: {UP_DOWN.spread(lift)}.")
    if push is not None:
        out.append(f"Can still point down to {UP_DOWN.spread(push)}.")
    out += slap_sentence(outcome.chances.get("lowers_foot"))
    return out


def _reserve(planned: Planned) -> str:
    standing = planned.outcome.standing
    title = planned.title_of(standing.reserve) if standing and standing.reserve else ""
    return (
        f"If it cannot be done or fails: {title}."
        if title
        else "No second operation of the list is left: stop and think."
    )


def cautions_of(planned: Planned, most: int) -> list[str]:
    """Short cautions of this operation, then of the case, without the dangers, which stand in their own box; how many
    are left out is said, never hidden."""
    outcome = planned.outcome
    said = [rule.text for rule in (*outcome.rules, *planned.weighing.rules) if rule.code not in danger_codes()]
    said += [f"Overridden in writing: {rule.override}" for rule in outcome.rules if rule.override]
    said += list(outcome.balance.flags) if outcome.balance is not None else []
    said += [warning.text for warning in planned.weighing.warnings]
    unique = sentences(said)
    rest = len(unique) - most
    if rest > 0:
        more = "1 more caution, no danger, stands" if rest == 1 else f"{rest} more cautions, no dangers, stand"
        return [*unique[:most], f"{more} in the weighing: read it before this page."]
    return unique or ["No further rule applies to this operation: that is not a proof of safety."]


def five_lines(case: Case, donors: tuple[str, ...]) -> list[str]:
    """Cause, donor, ankle, foot, retinaculum; what was not examined is said so. Skin and feeling stand as dangers."""
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
    scarred = {True: "scarred or opened before", False: "not scarred", None: "not judged"}[case.foot.membrane_scarred]
    return f"Retinaculum {case.foot.retinaculum or 'not judged'}; interosseous membrane {scarred}."
