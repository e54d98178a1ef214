"""The answer of a weighing: what a colleague would say in a minute, and one rung for each donor.

Nothing is computed anew; sentences and rungs are read off the outcomes in the order in which they stand.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby
from string import ascii_lowercase

from sinewright.reference import load
from sinewright.results import Chance, Outcome, Spread, Standing, Weighing
from sinewright.results.answer import Answer, Figure, RuledOut, Rung, Way
from sinewright.transfer.surgery import DONORS
from sinewright.wording.answer import (
    WHY_DIFFER,
    calf_sentence,
    dropped_sentence,
    leaning,
    not_operating_sentence,
    slap_sentence,
    stopped_sentence,
)
from sinewright.wording.counts import percent
from sinewright.wording.dangers import OF_OPERATION, OF_PATIENT, dangers_of
from sinewright.wording.directions import UP_DOWN
from sinewright.wording.figures import is_tied
from sinewright.wording.operations import short_price, short_way

BRACE_FREE, LIFT, PUSH_DOWN = (
    "out-pooled-brace-free-six-series",
    "out-hove1998-active-dorsiflexion",
    "out-hove1998-active-plantarflexion",
)
PUBLISHED_FOR = "tibialis_posterior"  # the one donor of which these series were made
PRICES = {donor.muscle: donor.price for donor in DONORS}
NOT_OFFERED = "not to be offered"  # tier of ``choose.ladder``
Standings = list[tuple[Outcome, Standing]]


def answer_of(weighing: Weighing) -> Answer:
    """The first screen of a weighing.

    Parameters
    ----------
    weighing : Weighing
        Complete, with its rules and standings.

    Returns
    -------
    Answer
        With no rung and no figure when every operation is set aside; its sentence then says what stops them.
    """
    standing = _standing(weighing)
    dangers = dangers_of(weighing.rules, OF_PATIENT)
    if not standing:
        reasons = [outcome.reason for outcome in weighing.outcomes]
        suits = [option.title for option in weighing.options if option.suits == "yes"]
        return Answer(stopped_sentence(_commonest(reasons), suits), dangers, ruled_out=_ruled_out(weighing))
    rungs = _rungs(standing)
    first = standing[0][0]
    return Answer(
        sentences=_sentences(weighing, standing, rungs),
        dangers=dangers,
        figures=_figures(first),
        why_differ=WHY_DIFFER if PUBLISHED_FOR in first.choice.donor else "",
        rungs=rungs,
        ruled_out=_ruled_out(weighing),
    )


def with_answer(weighing: Weighing) -> Weighing:
    """The weighing with its answer."""
    return replace(weighing, answer=answer_of(weighing))


def _standing(weighing: Weighing) -> Standings:
    """Operations that can be offered with where they stand, best first."""
    found = [(each, each.standing) for each in weighing.outcomes if each.standing and each.status != "set aside"]
    return sorted(found, key=lambda pair: pair[1].place)


def _rungs(standing: Standings) -> tuple[Rung, ...]:
    """One rung for each donor, in the order of its best operation; ways numbered ``2``, ``2b``, ``2c`` ..."""
    donors = list(dict.fromkeys(outcome.choice.donor for outcome, _ in standing))
    best = {donor: next(pair for pair in standing if pair[0].choice.donor == donor) for donor in donors}
    chances = {outcome.choice.id: outcome.chances.get("clears_swing") for outcome, _ in standing}
    rungs = []
    for number, donor in enumerate(donors, start=1):
        outcome, stands = best[donor]
        ways = [(o, s) for o, s in standing if o.choice.donor == donor]
        others = [other for other in donors if not set(other.split(" + ")) & set(donor.split(" + "))]
        rungs.append(
            Rung(
                number=str(number),
                title=outcome.choice.title,
                ways=tuple(_way(f"{number}{_letter(k)}", o, s) for k, (o, s) in enumerate(ways)),
                price=short_price(donor, "; ".join(PRICES.get(muscle, "not known") for muscle in donor.split(" + "))),
                left=len(others),
                left_clears=chances.get(stands.reserve),
                tied=is_tied(stands),
                dangers=dangers_of(outcome.rules, OF_OPERATION),
            )
        )
    return tuple(rungs)


def _letter(place: int) -> str:
    """Nothing for the best way of a rung, then ``b`` to ``z``, ``bb`` ..."""
    return "" if place == 0 else ascii_lowercase[place % 26] * (place // 26 + 1)


def _way(number: str, outcome: Outcome, standing: Standing) -> Way:
    return Way(
        number=number,
        id=outcome.choice.id,
        words=short_way(outcome.choice.route, outcome.choice.recipient, outcome.choice.subtitle),
        lift_deg=outcome.spread("lift_deg"),
        clears=outcome.chances.get("clears_swing"),
        tied=is_tied(standing),
    )


def _sentences(weighing: Weighing, standing: Standings, rungs: Sequence[Rung]) -> tuple[str, ...]:
    first = standing[0][0]
    tied = [way for rung in rungs for way in rung.ways if way.tied]
    same = sum(way.tied for way in rungs[0].ways) - 1
    others = [rung.title for rung in rungs[1:] if rung.tied]
    told = [
        leaning(
            first.choice.title,
            rungs[0].best.words,
            first.choice.set_stretch_mm,
            same=max(same, 0),
            others=others,
            tied=len(tied),
        )
    ]
    if without_leads(weighing):
        stands = [one.standing.tier for one in weighing.outcomes if one.standing]
        changes = [opening.change for opening in weighing.openings]
        told = list(not_operating_sentence(NOT_OFFERED in stands, changes))
    told += calf_sentence(*_calf(weighing, first))
    told += slap_sentence(first.chances.get("lowers_foot"))
    told += dropped_sentence(first.spread("lift_deg"), first.chances.get("clears_swing"))
    return tuple(told)


def without_leads(weighing: Weighing) -> bool:
    """Whether not operating stands before every operation."""
    leader = next(iter(weighing.ladder), None)
    return leader is not None and leader in weighing.without


def _calf(weighing: Weighing, first: Outcome) -> tuple[str, Spread | None, Spread | None]:
    """The calf procedure that the choices have, else the one under which the first operation clears most often; its
    lift without it and with it."""
    trials = weighing.calf
    if first.choice.id not in {outcome.choice.id for trial in trials for outcome in trial.outcomes}:
        return "", None, None
    after = {
        trial.procedure: next(outcome for outcome in trial.outcomes if outcome.choice.id == first.choice.id)
        for trial in trials
    }
    usable = {name: found for name, found in after.items() if "clears_swing" in found.chances}
    most = max(usable, key=lambda name: usable[name].chances["clears_swing"].share, default="")
    best = weighing.calf_procedure if weighing.calf_procedure != "none" else most
    if best not in usable or best in ("", "none") or "none" not in usable:
        return "", None, None
    return best, usable["none"].spread("lift_deg"), usable[best].spread("lift_deg")


def _figures(first: Outcome) -> tuple[Figure, ...]:
    moved = first.choice.donor == PUBLISHED_FOR
    figures = [
        _share("clears_swing", "clears the floor without a brace", first.chances.get("clears_swing"), moved),
        _angle("lift_deg", "lift, knee straight", first.spread("lift_deg"), LIFT if moved else "", 1.0),
        _angle("pushdown_deg", "can point down to", first.spread("pushdown_deg"), PUSH_DOWN if moved else "", -1.0),
        _share("lowers_foot", "foot lowered without a slap", first.chances.get("lowers_foot"), False),
        _angle("rest_on_table_deg", "rests after sewing, lying", first.spread("rest_on_table_deg"), "", 1.0),
    ]  # fmt: skip
    return tuple(figure for figure in figures if figure is not None)


def _share(key: str, label: str, chance: Chance | None, published: bool) -> Figure | None:
    if chance is None:
        return None
    printed = ""
    if published:
        row = load().row(BRACE_FREE)
        printed = f"{row.value:g} of {row.n} wear no brace"
    value = f"{percent(chance.share):.0f} of 100"
    between = f"{percent(chance.low):.0f} to {percent(chance.high):.0f}"
    return Figure(key, label, value, range=between, published=printed, rows=(BRACE_FREE,) if published else ())


def _angle(key: str, label: str, spread: Spread | None, row_id: str, sign: float) -> Figure | None:
    if spread is None:
        return None
    printed = ""
    if row_id:
        row = load().row(row_id)
        printed = f"{UP_DOWN.one(sign * row.value)}, {row.n} feet"
    between = UP_DOWN.between(spread.p05, spread.p95)
    return Figure(
        key, label, UP_DOWN.one(spread.p50), range=between, published=printed, rows=(row_id,) if row_id else ()
    )


def _ruled_out(weighing: Weighing) -> tuple[RuledOut, ...]:
    """Donors of which nothing can be offered, each with its commonest reason."""
    offered = {each.choice.donor for each in weighing.outcomes if each.status != "set aside"}
    left = sorted((each for each in weighing.outcomes if each.choice.donor not in offered), key=_by_donor)
    out = []
    for _, group in groupby(left, key=_by_donor):
        outcomes = list(group)
        out.append(RuledOut(outcomes[0].choice.title, _commonest([each.reason for each in outcomes])))
    return tuple(out)


def _by_donor(outcome: Outcome) -> str:
    return outcome.choice.donor


def _commonest(reasons: Sequence[str]) -> str:
    return Counter(reasons).most_common(1)[0][0] if reasons else ""
