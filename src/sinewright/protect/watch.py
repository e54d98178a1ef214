"""What to watch for after the operation: for the patient in plain words, for the therapist in words of the trade."""

from __future__ import annotations

from sinewright.case import Case
from sinewright.protect.constructs import Construct
from sinewright.reference import load
from sinewright.results import Sign

REST_ERROR = "own-rest-reading-error"  # row: a resting angle that differs by less was not read lower [deg]


def signs(case: Case, construct: Construct, hold: str) -> tuple[Sign, ...]:
    """All signs for this patient, the gravest first."""
    out = [
        Sign("patient", "A pop or a snap in the foot or leg, or the foot suddenly hangs lower than yesterday.",
             "Stop, keep the foot up and in its hold, and call the clinic the same day.", "recalled"),
        Sign("patient", "Pain or swelling of the calf, shortness of breath, pain in the chest.",
             "Call emergency help at once: it may be a clot.", "practice"),
        Sign("patient", "Toes that turn pale, blue or cold, swell, or can be moved or felt less than before.",
             "Raise the leg and call at once: the hold may be too tight.", "practice"),
        Sign("patient", "The wound opens, weeps, smells, gets red or hot, or there is fever.",
             "Call the clinic the same day.", "practice"),
        Sign("therapist", "A sudden loss of resting or active dorsiflexion, a pop, or a new gap or step in the tendon.",
             "No more active motion; hold in the posture of fixing; the surgeon sees the patient the same day.",
             "recalled"),
        Sign("therapist", "The donor contracts but the foot does not follow.",
             "Feel tendon and junction: caught on its path, slack, or given way; tell the surgeon.",
             "practice"),
        Sign("therapist", f"Resting angle lower by {load().fit_value(REST_ERROR):g}° or more at two visits in a row.",
             "Tension is being lost: go back one stage and tell the surgeon.", "judged"),
        Sign("therapist", "Heel turning in or out more than before, or a skin mark over the tendon or lump.",
             "Tell the surgeon; check shoe and brace.", "practice"),
    ]  # fmt: skip
    if case.foot.feeling_sole in ("reduced", "absent"):
        see = "Any mark, blister or warm spot on the foot, which is not felt: look morning and evening, with a mirror."
        out.insert(0, Sign("patient", see, "Take the load off and call the clinic the same day.", "practice"))
    if hold == "frame":
        see = "A pin site that is red, hot, weeping or painful, or a pin that is loose."
        out.append(Sign("patient", see, "Call the clinic the same day; care for pins as you were taught.", "practice"))
    if construct.in_bone:
        see = "New tenderness over the bone in which the tendon is fixed."
        out.append(
            Sign("therapist", see, "No load until the surgeon has seen it: a fixation may be slipping.", "judged")
        )
    return tuple(out)
