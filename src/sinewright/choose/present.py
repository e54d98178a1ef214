"""Numbers of the kernels turned into results that a person reads: degrees, millimetres, spreads, sentences."""

import numpy as np

from sinewright.arrays import Bools, Floats, Ints
from sinewright.choose.judge import judge
from sinewright.doubt.sample import Sample, middle
from sinewright.doubt.virtual import Virtual
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.reference import load
from sinewright.results import Caution, OperationSummary, Outcome, Posture, Spread
from sinewright.solve import answer as a
from sinewright.transfer.plans import SewnOperation
from sinewright.units import deg, mm
from sinewright.wording.known import KNOWN_WORDS

DEGREES = {
    "lift_deg": a.LIFT,
    "lift_knee_bent_deg": a.LIFT_BENT,
    "rest_deg": a.REST,
    "rest_on_table_deg": a.REST_TABLE,
    "pushdown_deg": a.PUSH,
    "hindfoot_in_lift_deg": a.SUBTALAR_IN_LIFT,
}
OWN = ("judged", "recalled")


def choice_of(sewn: SewnOperation) -> OperationSummary:
    """The operation in words."""
    assert sewn.moved is not None
    parts = sewn.moved.parts
    return OperationSummary(
        id=sewn.moved.id,
        donor=" + ".join(p.donor.muscle for p in parts),
        route=" + ".join(p.route.name for p in parts),
        recipient=" + ".join(p.recipient.name for p in parts),
        fixing=Posture(round(deg(sewn.ankle), 6), round(deg(sewn.subtalar), 6), round(deg(sewn.knee), 6)),
        set_stretch_mm=round(mm(sewn.stretch), 6),
        title=" + ".join([parts[0].donor.title, *(p.donor.title.lower() for p in parts[1:])]),
        subtitle="; ".join(f"{p.route.title}, to {p.recipient.title}" for p in parts),
    )


def set_aside(sewn: SewnOperation, reason: str) -> Outcome:
    """An operation that was not computed, with its reason."""
    return Outcome(choice_of(sewn), "set aside", reason)


def outcome_of(virtual: Virtual, sewn: SewnOperation, answers: Floats, failed: Ints) -> Outcome:
    """Spreads over the legs that found a balance in every question; the share that did not is kept."""
    good = failed == 0
    choice = choice_of(sewn)
    if not good.any():
        return Outcome(choice, "set aside", "No virtual leg found a balance.", {}, 1.0)
    spreads = spreads_of(virtual.sample, answers, virtual.legs.normal_lift, good)
    donors = [LEG_MUSCLES.index(name) for name in choice.donor.split(" + ")]
    now = max(float(middle(virtual.legs.capacity[:, i])) for i in donors)
    past = float(mm(middle(answers[good][:, a.BELLY_PAST])))
    share_failed = float(np.mean(~good))
    status, reason = judge(spreads, share_failed, now, past)
    lifts = (answers[:, a.LIFT] >= 0.0) & (answers[:, a.REACH] >= 0.0)
    chances = {"lifts_to_neutral": virtual.sample.chance(lifts, good)}
    return Outcome(choice, status, reason, spreads, share_failed, chances=chances)


def spreads_of(sample: Sample, answers: Floats, normal_lift: Floats, good: Bools) -> dict[str, Spread]:
    """Spreads of the printed quantities.

    Parameters
    ----------
    sample : the legs that were answered
    answers : (N, 12) from ``solve.answer``
    normal_lift : (N,) lifting moment of the unharmed leg [N.m]
    good : (N,) whether the leg found a balance in every question; the others are left out
    """
    values = {name: deg(answers[:, column]) for name, column in DEGREES.items()} | {
        "moment_neutral_Nm": answers[:, a.MOMENT],
        "share_of_normal": answers[:, a.MOMENT] / normal_lift,
        "reach_margin_mm": mm(answers[:, a.REACH]),
        "junction_pull_N": answers[:, a.PULL],
    }
    return {name: sample.spread(each, good) for name, each in values.items()}


def caution(text: str) -> Caution:
    """A warning of the model."""
    return Caution("model", text, "sinewright-judgement", "judged")


def sources_of(rows: tuple[str, ...]) -> tuple[str, ...]:
    """Citation of every source behind the draws, in order of first use."""
    reference = load()
    return tuple(dict.fromkeys(reference.source(reference.row(id).source).citation for id in rows))


def assumptions_of(rows: tuple[str, ...]) -> tuple[str, ...]:
    """Every number behind the draws that is judged or from memory, in words."""
    reference, out = load(), []
    for id in rows:
        row = reference.row(id)
        if row.known in OWN:
            value = f"{row.low:g}" if row.low == row.high else f"{row.low:g} to {row.high:g}"
            how = "assumption" if row.known == "judged" else KNOWN_WORDS["recalled"]
            what = f"{row.structure}: {row.quantity.replace('-', ' ')}"
            out.append(f"{what} {value} {row.unit} ({how}, {row.id})")
    return tuple(out)
