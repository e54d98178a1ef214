"""From a case to a weighing: the whole chain on one screen.

case -> virtual legs -> operations that this patient allows -> set stretch -> answers -> spreads, status and reason.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from sinewright import __version__
from sinewright.case import Case, cautions
from sinewright.choose.judge import judge
from sinewright.choose.screen import reason_against
from sinewright.choose.tension import choose_stretch
from sinewright.doubt.virtual import Virtual, draw
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.reference import load
from sinewright.results import Caution, Choice, Outcome, Posture, Spread, Weighing
from sinewright.solve import answer as a
from sinewright.transfer.catalogue import Moved, catalogue
from sinewright.transfer.plans import Sewn, lay_plans
from sinewright.units import deg, m, mm, rad

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]
Progress = Callable[[int, int], None]

DEGREES = {
    "lift_deg": a.LIFT,
    "lift_knee_bent_deg": a.LIFT_BENT,
    "rest_deg": a.REST,
    "rest_on_table_deg": a.REST_TABLE,
    "pushdown_deg": a.PUSH,
    "hindfoot_in_lift_deg": a.TILT_IN_LIFT,
}
OWN = ("judged", "recalled")


def weigh(case: Case, draws: int = 1000, seed: int = 1, progress: Progress | None = None) -> Weighing:
    """Weigh every operation for one case. ``progress(done, total)`` is called as legs are finished.

    The same case, draws and seed give the same result. Raises DoubtError or SolveError when no answer can be given.
    """
    virtual = draw(case, draws, seed)
    elastic = case.plan.tendon != "rigid"
    against = {moved.id: reason_against(case, moved) for moved in catalogue()}
    fit = [as_sewn(case, moved) for moved in catalogue() if against[moved.id] is None]
    if case.plan.set_stretch_mm is None:
        fit = choose_stretch(virtual.legs, fit, elastic)
    answers, failed = a.answer(virtual.legs, lay_plans(fit), elastic, progress)
    done = {
        s.moved.id: _outcome(virtual, s, answers[:, i], failed[:, i]) for i, s in enumerate(fit) if s.moved
    }
    outcomes = tuple(
        done[moved.id] if moved.id in done else _set_aside(as_sewn(case, moved), against[moved.id] or "")
        for moved in catalogue()
    )
    return Weighing(
        version=__version__,
        seed=seed,
        draws=draws,
        side=case.side,
        pseudonym=case.pseudonym,
        warnings=(*cautions(case), *(_caution(text) for text in virtual.warnings)),
        sources=_sources(virtual.rows),
        assumptions=_assumptions(virtual.rows),
        outcomes=outcomes,
        tendon="elastic" if elastic else "rigid",
    )


def as_sewn(case: Case, moved: Moved | None) -> Sewn:
    """An operation in the posture of the plan, with the plan's set stretch or none yet."""
    plan, number = case.plan, load().fit_value
    ankle = plan.fixing_ankle_deg if plan.fixing_ankle_deg is not None else number("own-fixing-ankle")
    knee = plan.fixing_knee_deg if plan.fixing_knee_deg is not None else number("own-fixing-knee")
    return Sewn(
        moved,
        rad(ankle),
        rad(plan.fixing_subtalar_deg or 0.0),
        rad(knee),
        m(plan.set_stretch_mm or 0.0),
        m(plan.junction_overlap_mm) if plan.junction_overlap_mm is not None else None,
        case.foot.extensor_mass == "scarred together",
    )


def _choice(sewn: Sewn) -> Choice:
    assert sewn.moved is not None
    parts = sewn.moved.parts
    return Choice(
        id=sewn.moved.id,
        donor=" + ".join(p.donor.muscle for p in parts),
        route=" + ".join(p.route.name for p in parts),
        recipient=" + ".join(p.recipient.name for p in parts),
        fixing=Posture(round(deg(sewn.ankle), 6), round(deg(sewn.subtalar), 6), round(deg(sewn.knee), 6)),
        set_stretch_mm=round(mm(sewn.stretch), 6),
        title=" + ".join([parts[0].donor.title, *(p.donor.title.lower() for p in parts[1:])]),
        subtitle="; ".join(f"{p.route.title}, to {p.recipient.title}" for p in parts),
    )


def _set_aside(sewn: Sewn, reason: str) -> Outcome:
    return Outcome(_choice(sewn), "set aside", reason)


def _outcome(virtual: Virtual, sewn: Sewn, answers: Floats, failed: Ints) -> Outcome:
    """Spreads over the legs that found a balance in every question; the share that did not is kept."""
    good = failed == 0
    share_failed = float(np.mean(~good))
    choice = _choice(sewn)
    if not good.any():
        return Outcome(choice, "set aside", "No virtual leg found a balance.", {}, 1.0)
    found = answers[good]
    spreads = {name: Spread.of(deg(found[:, column])) for name, column in DEGREES.items()}
    spreads["moment_neutral_Nm"] = Spread.of(found[:, a.MOMENT])
    spreads["share_of_normal"] = Spread.of(found[:, a.MOMENT] / virtual.legs.normal_lift[good])
    spreads["reach_margin_mm"] = Spread.of(mm(found[:, a.REACH]))
    spreads["junction_pull_N"] = Spread.of(found[:, a.PULL])
    donors = [LEG_MUSCLES.index(name) for name in choice.donor.split(" + ")]
    now = max(float(np.median(virtual.legs.ceiling[:, i])) for i in donors)
    past = float(mm(np.median(found[:, a.BELLY_PAST])))
    status, reason = judge(spreads, share_failed, now, past)
    return Outcome(choice, status, reason, spreads, share_failed)


def _caution(text: str) -> Caution:
    return Caution("model", text, "sinewright-judgement", "judged")


def _sources(rows: tuple[str, ...]) -> tuple[str, ...]:
    """Citation of every source behind the draws, in order of first use."""
    reference = load()
    return tuple(dict.fromkeys(reference.source(reference.row(id).source).citation for id in rows))


def _assumptions(rows: tuple[str, ...]) -> tuple[str, ...]:
    """Every number behind the draws that is judged or from memory, in words."""
    reference, out = load(), []
    for id in rows:
        row = reference.row(id)
        if row.had in OWN:
            value = f"{row.low:g}" if row.low == row.high else f"{row.low:g} to {row.high:g}"
            how = "assumption" if row.had == "judged" else "from memory"
            out.append(
                f"{row.structure}: {row.quantity.replace('-', ' ')} {value} {row.unit} ({how}, {row.id})"
            )
    return tuple(out)
