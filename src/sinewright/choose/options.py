"""Ways other than moving a tendon: does each suit this patient, why, and what is known. No number is predicted."""

from collections.abc import Callable
from dataclasses import dataclass

from sinewright.case import Case, passive_up, short_calf, state_of
from sinewright.choose import facts_body as body
from sinewright.choose import facts_options as f
from sinewright.choose import facts_timing as t
from sinewright.choose.fact import Fact
from sinewright.choose.findings import (
    FRONT,
    GONE,
    central,
    earlier_moved,
    front_lost,
    months,
    months_since_onset,
    muscle,
    names,
    nerve_caused,
    numb,
    passive_arc,
    works,
)
from sinewright.choose.rules_body import ARC_FIXED
from sinewright.choose.screen import reason_against
from sinewright.reference import load
from sinewright.results import Alternative, Suits
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.surgery import DONORS
from sinewright.wording.directions import angle_words

Verdict = tuple[Suits, str]
TRANSFER_AFTER, NERVE_END = "nv-transfer-after-stevoska2021", "nv-nerve-useless-after-ho2014"
MUSCLE_END = "nv-muscle-irreversible-seal"


@dataclass(frozen=True)
class AlternativeRule:
    """One way: its facts, and the question whether it suits, answered with a reason from the case.

    The question is asked after the rules have spoken: its second argument says whether a transfer is left to weigh.
    """

    id: str
    title: str
    facts: tuple[Fact, ...]
    suits: Callable[[Case, bool], Verdict]


def options(case: Case, left: bool | None = None) -> tuple[Alternative, ...]:
    """Every way other than a transfer, in the order from least to most done.

    Parameters
    ----------
    left
        Whether an operation is left that is not set aside; None: as the rules alone say.
    """
    if left is None:
        left = any(reason_against(case, moved) is None for moved in catalogue())
    out = []
    for way in WAYS:
        suits, reason = way.suits(case, left)
        out.append(Alternative(way.id, way.title, suits, reason, tuple(fact.view() for fact in way.facts)))
    return tuple(out)


def _month(row: str) -> float:
    return load().row(row).value


def _silent(case: Case) -> bool:
    """True when every muscle in front is known not to contract."""
    return all(state_of(muscle(case, name)) in GONE for name in FRONT)


def _wait(case: Case, _left: bool) -> Verdict:
    since = months_since_onset(case)
    if front_lost(case):
        return "no", "The muscles in front are gone: no nerve brings them back."
    if case.history.recovering:
        return "yes", "The nerve still recovers."
    if since is None:
        return "unclear", "Time since onset is not given."
    told = f"{months(since).capitalize()} since onset"
    if case.history.recovering is None:
        return "unclear", f"{told}; whether the nerve recovers is not given."
    if since < _month(TRANSFER_AFTER):
        return "unclear", f"{told} and no recovery yet: sources differ on how long to watch."
    return "no", f"{told} and no recovery."


def _brace(case: Case, _left: bool) -> Verdict:
    if case.foot.ulcer == "open":
        return "unclear", "An ulcer is open: only a brace that leaves it free of pressure."
    if case.foot.equinus_fixed:
        return "unclear", "Equinus is fixed: a brace for neutral does not fit before a release."
    if numb(case):
        return (
            "yes",
            f"It serves until something better does; feeling of the sole is {case.foot.feeling_sole}: check skin.",
        )
    if case.shoes.barefoot_at_home:
        return "yes", "It serves now, but not barefoot, and walking barefoot matters to this patient."
    return "yes", "It serves now, and as long as the patient prefers it."


def _stimulation(case: Case, _left: bool) -> Verdict:
    if central(case):
        return "yes", "The lesion is central, so the nerve below it can be stimulated."
    if front_lost(case):
        return "no", "The muscles in front are gone: there is nothing to stimulate."
    if _silent(case):
        return "no", "No muscle in front contracts: a peripheral lesion that is complete cannot be stimulated."
    if nerve_caused(case):
        return "unclear", "A peripheral lesion that may be incomplete: only fibres that live can be stimulated."
    return "unclear", "The cause does not say whether the lower motor neuron is intact."


def _nerve_surgery(case: Case, _left: bool) -> Verdict:
    since = months_since_onset(case)
    if front_lost(case):
        return "no", "The muscles in front are gone: a nerve has nothing to reach."
    if not nerve_caused(case):
        return "unclear", "No peroneal or sciatic lesion is given as the cause."
    if case.history.recovering:
        return "unclear", "The nerve still recovers by itself."
    if since is None:
        return "unclear", "Time since onset is not given."
    told = f"{months(since).capitalize()} since onset"
    if since <= _month(NERVE_END):
        return "yes", f"{told}: within the time in which sources see a benefit."
    if since < load().row(MUSCLE_END).low:
        return "unclear", f"{told}: late; an entrapment may still gain from decompression."
    if not _silent(case):
        return "unclear", f"{told}: late, but the lesion may be incomplete."
    return "no", f"{told}: muscles without a nerve for so long do not come back."


def _lengthening(case: Case, _left: bool) -> Verdict:
    straight, _ = passive_up(case)
    if straight is None:
        return "unclear", "Passive dorsiflexion with the knee straight is not given."
    found = f"dorsiflexion ends at {angle_words(straight)} with the knee straight"
    if short_calf(case) is None:
        return "no", f"The calf is not short: {found}."
    if straight < 0.0:
        return "yes", f"The calf is short: {found}; the heel comes down, and a brace does the lifting."
    return "unclear", f"The calf is short, but {found}; alone it does not lift the foot."


def _donor_left(case: Case) -> bool | None:
    """True when a donor of grade 4 is left, False when none is, None where donors were not graded."""
    found = [works(case, donor.muscle) for donor in DONORS]
    return True if any(found) else None if None in found else False


def _tenodesis(case: Case, left: bool) -> Verdict:
    if case.foot.ankle_joint == "fused":
        return "no", "The ankle is fused: it needs no tendon to hold it."
    strong = _donor_left(case)
    if strong is None:
        return "unclear", "Not every possible donor was graded."
    if left and strong:
        return "no", "A transfer is left that can lift instead of only hold."
    if strong:
        return "unclear", "Donors of grade 4 are there, but every transfer is set aside: what stands against it first."
    return "yes", "No donor of grade 4 is left: a tendon can hold the foot, not lift it."


def _bad_joints(case: Case) -> list[str]:
    foot = case.foot
    joints = (("ankle", foot.ankle_joint), ("subtalar joint", foot.subtalar_joint), ("midfoot", foot.midfoot_joints))
    bad = [f"the {name} is {state}" for name, state in joints if state in ("arthritic", "unstable")]
    shapes = (("hindfoot", foot.hindfoot), ("forefoot", foot.forefoot))
    return bad + [f"the {name} is in {shape}" for name, shape in shapes if (shape or "").startswith("fixed")]


def _against_fusion(case: Case) -> str | None:
    """What has to be put right before bone is fused."""
    foot, history = case.foot, case.history
    if history.infection == "active" or foot.ulcer == "open":
        return "not before infection and ulcer have healed"
    if foot.bone == "growing":
        return "not before the bone has grown"
    if all(pulse == "absent" for pulse in (foot.dorsalis_pedis_pulse, foot.posterior_tibial_pulse)):
        return "not before the circulation is judged"
    return None


def _fusion(case: Case, left: bool) -> Verdict:
    bad, against, foot = _bad_joints(case), _against_fusion(case), case.foot
    stiff = foot.subtalar_joint == "stiff" or foot.midfoot_joints == "stiff"
    if foot.ankle_joint == "fused":
        return "no", "The ankle is fused already."
    if bad:
        found = f"{bad[0][:1].upper()}{bad[0][1:]}"
        return ("unclear", f"{found}, but {against}.") if against else ("yes", f"{found}: bone work is needed anyhow.")
    arc = passive_arc(case)
    if arc is not None and arc < load().row(ARC_FIXED).value:
        return "unclear", f"The ankle moves only {arc:.0f} degrees between its limits: little would be given up."
    if not left and against is None:
        why = "equinus is fixed" if foot.equinus_fixed else "no transfer is left"
        return "unclear", f"No joint is arthritic, but {why}: a foot fused square needs no brace."
    if against and not left:
        return "unclear", f"No transfer is left, but {against}."
    if stiff:
        return "unclear", "Joints beside the ankle are stiff: there is less motion to give up, and less left after it."
    if foot.ankle_joint is None and foot.subtalar_joint is None and foot.midfoot_joints is None:
        return "unclear", "The joints of the foot were not described."
    return "no", "No joint is arthritic or unstable and the shape is not fixed: motion would be given up for nothing."


def _free_muscle(case: Case, left: bool) -> Verdict:
    if not front_lost(case):
        return "no", "The muscles in front are in place; a free muscle replaces muscle that is lost."
    if case.history.nerve_stump_living is False:
        return "no", "The muscles in front are lost, but no living motor nerve is there to drive a free muscle."
    if state_of(muscle(case, "gracilis")) in GONE:
        return "unclear", "The muscles in front are lost, but the gracilis cannot be taken: another muscle."
    if case.history.nerve_stump_living is None:
        return "unclear", "The muscles in front are lost; whether the deep peroneal stump lives is not given."
    missing = "; it brings the skin that is missing" if case.foot.skin_front_of_shin in ("graft", "open wound") else ""
    return "yes", f"The muscles in front are lost and a living deep peroneal stump is known{missing}."


def _freeing(case: Case, left: bool) -> Verdict:
    spent = earlier_moved(case)
    if not spent:
        return "no", "Nothing was moved before."
    return "yes", f"{names(spent)} moved already: if it is stuck it is freed, if it is slack it is shortened."


WAYS = (
    AlternativeRule("wait", "Wait and watch the nerve", (*t.TIMING[:5], t.SECOND_STUDY), _wait),
    AlternativeRule("brace", "Brace", (f.BRACE_FIRST, f.BRACE_WALK, f.BRACE_STROKE, f.BRACE_LEFT), _brace),
    AlternativeRule(
        "stimulation",
        "Electrical stimulation",
        (f.NEEDS_LOWER_NEURON, f.STIMULATION_EQUAL, f.STIMULATION_THERAPY, f.STIMULATION_STROKE),
        _stimulation,
    ),
    AlternativeRule(
        "nerve_surgery",
        "Nerve repair, graft or transfer",
        (*t.NERVE_TIMING, f.BRANCH, f.GRAFT, f.SOLEUS_BRANCH, t.ONE_SITTING),
        _nerve_surgery,
    ),
    AlternativeRule(
        "calf_lengthening",
        "Calf lengthening alone",
        (f.LENGTHENING_ALONE, f.LENGTHENING_GAIN, body.GASTROCNEMIUS_TEST, body.SOLEUS_TEST),
        _lengthening,
    ),
    AlternativeRule("free_and_retension", "Freeing and re-tensioning", (f.FREED, f.REOPERATED, f.SHORTENED), _freeing),
    AlternativeRule(
        "free_muscle",
        "Free functioning muscle",
        (f.FREE_MUSCLE_NEEDS, f.FREE_MUSCLE_SERIES, f.FREE_MUSCLE_DEGREES),
        _free_muscle,
    ),
    AlternativeRule("tenodesis", "Tenodesis", (f.TENODESIS_BACKUP, f.TETHER, f.TENODESIS_GAP), _tenodesis),
    AlternativeRule(
        "fusion",
        "Fusion",
        (f.FUSE_OR_CORRECT, f.FUSION_NEEDS, body.COUNT_AGAINST, f.TENODESIS_BACKUP, f.FUSED_AFTER_FRAME, f.FUSION_GAP),
        _fusion,
    ),
)
