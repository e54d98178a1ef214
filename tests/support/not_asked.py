"""Numbers of an examination that are not asked about, each with its reason: what the legs do not carry is not invented.

Paths are those of the case file; ``*`` stands for any part.
"""

from fnmatch import fnmatchcase

SETTING = "how a test was done, not a finding"
NOT_ASKED = {
    "person.age_years": "norms of strength follow it, the legs do not differ in it",
    "leg.calf_circumference_mm": "no muscle of the legs is sized by its girth",
    "leg.other_calf_circumference_mm": "no muscle of the legs is sized by its girth",
    "range.affected.knee_bent_deg": SETTING,
    "range.affected.examiner_torque_Nm": "part of a passive limit read with a known torque",
    "range.affected.active_plantarflexion_down_deg": "not held against the legs",
    "range.affected.resting_hanging_knee_deg": SETTING,
    "range.other.*": "the legs are those of the affected side",
    "torque.*.inversion_Nm": "not held against the legs: each possible donor is tested alone",
    "torque.*.eversion_Nm": "not held against the legs: each possible donor is tested alone",
    "torque.*_tested_at_ankle_deg": SETTING,
    "torque.*.speed_deg_per_s": SETTING,
    "torque.*.knee_deg": SETTING,
    "muscles.*.lever_mm": "part of the force of that muscle",
    "muscles.*.torque_Nm": "the same strength as a force with its lever",
    "muscles.*.other_side_*": "part of the strength of that muscle, read on both legs",
    "muscles.*.tested_at_ankle_deg": SETTING,
    "muscles.*.grade": "a grade leaves strength wide; the dynamometer is asked for",
    "muscles.*.fat_grade": "how fat ties to strength is not in the model: only rank correlations were published",
    "muscles.tibialis_anterior.force_N": "asked as the lifting torque of this leg",
    "muscles.extensor_*.force_N": "asked as the lifting torque of this leg",
    "muscles.peroneus_tertius.force_N": "asked as the lifting torque of this leg",
    "muscles.soleus.force_N": "asked as the push-down torque of this leg",
    "muscles.gastrocnemius_*.force_N": "asked as the push-down torque of this leg",
    "muscles.gracilis.force_N": "a free muscle is not among the choices",
}


def why_not_asked(path: str) -> str:
    """Reason why a number of the examination is not asked about, empty when it has none."""
    return next((reason for pattern, reason in NOT_ASKED.items() if fnmatchcase(path, pattern)), "")
