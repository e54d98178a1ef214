"""One status and one sentence for a computed choice: workable, doubtful with the reason, or set aside."""

from sinewright.reference import load
from sinewright.results import Spread, Status
from sinewright.wording.directions import angle_words

FAILED_TOO_OFTEN, WEAK_SHARE, WEAK_DONOR = "own-judge-failed-share", "own-judge-weak-share", "own-judge-weak-donor"
LOW_LIFT, MUSCLE_PAST, MUCH_PAST = "own-judge-low-lift", "own-judge-muscle-past", "own-judge-much-muscle-past"
WALKING_PUSHES = "pa-gait-need-pf"  # row: plantarflexion that walking uses [deg down]
ROWS = (FAILED_TOO_OFTEN, WEAK_SHARE, WEAK_DONOR, LOW_LIFT, MUSCLE_PAST, MUCH_PAST)


def judge(
    quantities: dict[str, Spread], failed_share: float, donor_now: float, belly_past_mm: float
) -> tuple[Status, str]:
    """Status and reason from the spreads, the share of failed draws, the donor's middle strength now and its belly.

    ``donor_now`` is a share of the donor's own normal; ``belly_past_mm`` how far its lowest fibres lie past the
    junction.
    """
    limit = load().fit_value
    reach, lift, share = quantities["reach_margin_mm"], quantities["lift_deg"], quantities["share_of_normal"]
    if reach.p95 < 0.0:
        return "set aside", f"The tendon does not reach: {-reach.p50:.0f} mm short in the middle leg."
    if lift.p95 < limit(LOW_LIFT):
        return "set aside", f"It would not lift the foot: {angle_words(lift.p50)} in the middle leg."
    doubts = []
    if reach.p50 < 0.0:
        doubts.append(f"the tendon is {-reach.p50:.0f} mm short in the middle leg")
    elif reach.p05 < 0.0:
        doubts.append("the tendon may not reach")
    if donor_now < limit(WEAK_DONOR):
        doubts.append(f"the donor has about {100 * donor_now:.0f} % of its normal strength")
    if quantities["pushdown_deg"].p50 > -load().row(WALKING_PUSHES).value:
        doubts.append(f"the calf can push the foot only to {angle_words(quantities['pushdown_deg'].p50)}")
    if share.p50 < limit(WEAK_SHARE):
        doubts.append(f"it gives about {100 * share.p50:.0f} % of a normal lift")
    if belly_past_mm > limit(MUSCLE_PAST):
        doubts.append(f"the lowest muscle fibres reach {belly_past_mm:.0f} mm beyond the junction")
    if failed_share > limit(FAILED_TOO_OFTEN):
        doubts.append(f"{100 * failed_share:.0f} of 100 legs found no balance")
    grave = (
        reach.p50 < 0.0
        or donor_now < limit(WEAK_DONOR)
        or share.p50 < limit(WEAK_SHARE)
        or belly_past_mm > limit(MUCH_PAST)
        or failed_share > limit(FAILED_TOO_OFTEN)
    )
    text = "; ".join(doubts)
    return ("doubtful" if grave else "workable"), (text[:1].upper() + text[1:] + "." if text else "")
