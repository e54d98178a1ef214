"""Rules about when: recovery, the clock of nerve and muscle, leprosy."""

from sinewright.case import Case
from sinewright.choose import facts_timing as f
from sinewright.choose.findings import DAYS_IN_MONTH, listed, months, months_since_onset, nerve_caused
from sinewright.choose.rule import PatientRule
from sinewright.reference import load

LATEST_MARK = "nv-transfer-after-stevoska2021"
NERVE_END = "nv-nerve-useless-after-ho2014"
STUDY_DUE = "nv-emg-repeat"
LIVING_STUDIES = ("few new units", "many units, recovering")


def _month(row: str) -> float:
    return load().row(row).value


def _recovering(case: Case) -> str | None:
    if case.history.recovering and nerve_caused(case):
        return "The nerve still recovers: a tendon moved now may turn out not to have been needed."
    return None


def _early(case: Case) -> str | None:
    since = months_since_onset(case)
    if since is None or not nerve_caused(case) or since >= _month(LATEST_MARK):
        return None
    marks = sorted({_month(row) for row in f.MARKS})
    past = [f"{mark:.0f}" for mark in marks if mark <= since]
    before = [f"{mark:.0f}" for mark in marks if mark > since]
    where = f"past the mark of {listed(past)}, before that of" if past else "before all marks, those of"
    told = f"{months(since).capitalize()} since onset; sources differ on when to transfer"
    return f"{told}: {where} {listed(before)} months."


def _unknown(case: Case) -> str | None:
    if nerve_caused(case) and months_since_onset(case) is None:
        return "The time since onset is not given: too early and too late for the nerve cannot be told apart."
    return None


def _window_open(case: Case) -> str | None:
    since = months_since_onset(case)
    if since is None or not nerve_caused(case) or since > _month(NERVE_END):
        return None
    return f"{months(since).capitalize()} since onset: nerve surgery still has its chance, and loses it with time."


def _window_closed(case: Case) -> str | None:
    since = months_since_onset(case)
    if since is None or not nerve_caused(case) or since <= _month(NERVE_END):
        return None
    return f"{months(since).capitalize()} since onset: late for nerve surgery; a transfer has no such limit."


def _study_due(case: Case) -> str | None:
    if not nerve_caused(case) or (case.history.recovering is False and _levelled(case)):
        return None
    studies = case.history.nerve_studies
    if not studies:
        return "No nerve study is given: whether the nerve recovers is not known."
    start, last = case.history.onset_on, max((s.on for s in studies if s.on), default=None)
    if start is None and case.examined_on and case.history.onset_months and last:
        after = case.history.onset_months.value - (case.examined_on - last).days / DAYS_IN_MONTH
    elif start and last:
        after = (last - start).days / DAYS_IN_MONTH
    else:
        return None
    if after < _month(STUDY_DUE):
        at = months(max(after, 0.0))
        return f"The last nerve study was made {at} after onset: a later one shows whether the nerve recovers."
    return None


def _levelled(case: Case) -> bool:
    stable = case.history.stable_months
    return stable is not None and stable.value >= _month(LATEST_MARK)


def _units_seen(case: Case) -> str | None:
    seen = [s.result for s in case.history.nerve_studies if s.result]
    if case.history.recovering is None and nerve_caused(case) and seen and seen[-1] in LIVING_STUDIES:
        return f'The last nerve study shows "{seen[-1]}", but whether the nerve still recovers is not said.'
    return None


def _leprosy(case: Case) -> bool:
    return "leprosy" in case.history.cause


def _leprosy_reaction(case: Case) -> str | None:
    if _leprosy(case) and case.history.leprosy_treatment == "finished, reaction within 6 months":
        return "There was a leprosy reaction within the last 6 months."
    return None


def _leprosy_treatment(case: Case) -> str | None:
    if not _leprosy(case):
        return None
    if case.history.leprosy_treatment == "in treatment":
        return "The drug treatment of leprosy still runs: sources ask for a time of it first."
    return "The state of the drug treatment of leprosy is not given." if not case.history.leprosy_treatment else None


def _leprosy_timing(case: Case) -> str | None:
    stable = case.history.stable_months
    if not _leprosy(case):
        return None
    if stable is None:
        return "How long the palsy has been stable is not given."
    if stable.value < load().row("nv-leprosy-palsy-stable").high:
        return f"The palsy has been stable for {months(stable.value)}: centres differ on how long to wait."
    return None


RULES = (
    PatientRule(
        "nerve_recovering",
        "block",
        "the nerve still recovers",
        (f.LEVELLED_OFF, f.RECOVERY_AFTER_DISLOCATION, f.TRANSFER_LATE, f.ONE_SITTING, f.END_TO_SIDE),
        _recovering,
        opens="recovery that has levelled off",
    ),
    PatientRule(
        "early_transfer", "warn", "a nerve lesion is younger than sources wait", f.TIMING, _early, severity="danger"
    ),
    PatientRule("onset_unknown", "warn", "time since onset is not given", (f.TRANSFER_LATE, f.NERVE_LIMIT), _unknown),
    PatientRule(
        "nerve_work_open", "warn", "nerve surgery still has its chance", f.NERVE_TIMING, _window_open, severity="danger"
    ),
    PatientRule(
        "nerve_work_late",
        "warn",
        "nerve surgery comes late",
        (*f.NERVE_TIMING, f.MUSCLE_CLOCK, f.NO_LIMIT),
        _window_closed,
        severity="note",
    ),
    PatientRule(
        "nerve_study_due",
        "warn",
        "no late nerve study, and recovery has not levelled off for long",
        (f.SECOND_STUDY, f.DO_NOT_WAIT),
        _study_due,
    ),
    PatientRule(
        "recovery_unclear",
        "warn",
        "the last nerve study shows new units, recovery is not stated",
        (f.SECOND_STUDY, f.LEVELLED_OFF),
        _units_seen,
    ),
    PatientRule(
        "leprosy_reaction",
        "block",
        "leprosy reaction within the last months",
        (f.LEPROSY_REACTION, f.LEPROSY_DRUGS),
        _leprosy_reaction,
        opens="six months without a reaction",
    ),
    PatientRule(
        "leprosy_treatment", "warn", "drug treatment of leprosy not finished", (f.LEPROSY_DRUGS,), _leprosy_treatment
    ),
    PatientRule(
        "leprosy_timing",
        "warn",
        "leprosy palsy not stable for long",
        (f.LEPROSY_EARLY, f.LEPROSY_LATE, f.LEPROSY_STABLE),
        _leprosy_timing,
    ),
)
