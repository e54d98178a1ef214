"""The answer in sentences. Every sign is a word, every middle stands with its nine tenths, nothing is an order."""

from __future__ import annotations

from collections.abc import Sequence

from sinewright.learn.expected import SHIFTS_MM
from sinewright.learn.prepare import number
from sinewright.results import Advice, ExpectedAngles, Speaking, Spread, Told


def sentences(
    plan: ExpectedAngles, now: ExpectedAngles | None, advice: Advice | None, told: Sequence[Told], speaking: Speaking
) -> tuple[str, ...]:
    """What the entries say, in the order in which it is needed."""
    out = [_against(each) for each in told if each.contradicts]
    if now is None or advice is None:
        few = f"Only {speaking.effective_sample_size:.0f} of {speaking.draws} virtual legs"
        text = f"{few} agree with what was entered. No number "
        todo = "clear the contradiction, or take an entry back" if out else "draw more virtual legs"
        return (*out, f"{text}is given: {todo}.")
    if out:
        out.append("The numbers below count every entry; those without the contradicting ones stand beside them.")
    out.append(
        f"Final lift expected as it is now, with the junction settled: {angles(now.lift_deg)}. "
        f"The plan expected {angles(plan.lift_deg)}."
    )
    out.append(tension_sentence(now))
    out.append(
        f"To rest on the table as planned ({angle(plan.rest_on_table_deg.p50)}): {change(advice.to_planned_rest_mm)}. "
        f"To lift as planned ({angle(plan.lift_deg.p50)}): {change(advice.to_planned_lift_mm)}."
    )
    return (*out, _interval(advice))


def tension_sentence(now: ExpectedAngles) -> str:
    """Set tension and settled tension apart."""
    t = now.tension
    return (
        f"Tension of the relaxed donor at the mark: {forces(t.at_once_N)} read at once; {forces(t.after_relaxation_N)} "
        f"after early relaxation, which loses no millimetre; {forces(t.settled_N)} once the junction has crept by "
        f"{t.creep_mm.p50:.1f} mm ({t.creep_mm.p05:.1f} to {t.creep_mm.p95:.1f})."
    )


def _against(told: Told) -> str:
    fitting = [each.text for each in told.explanations if each.fits]
    tried = f" It would fit if: {' '.join(fitting)}" if fitting else ""
    return f"The {told.words} contradicts the rest, which leads to {told.expected}.{tried}"


def _interval(advice: Advice) -> str:
    lift, push, rest = (number(f"own-protect-{what}-that-matters") for what in ("lift", "push", "rest"))
    if advice.low_mm is None or advice.high_mm is None:
        return (
            f"No change of up to 12 mm keeps lift within {lift:g} deg, push-down within {push:g} deg and rest within "
            f"{rest:g} deg of the plan at the same time."
        )
    where = f"Between {_end(advice.low_mm)} and {_end(advice.high_mm)}"
    what = (
        f"{where} it makes no difference that matters ({lift:g} deg of lift, {push:g} deg of push-down, {rest:g} deg "
        "of rest)."
    )
    inside = advice.low_mm <= 0.0 <= advice.high_mm
    return f"{what} As it is lies {'inside' if inside else 'outside'} that interval."


def _end(mm: float) -> str:
    """One end of the interval; the last millimetres looked at may not be its end."""
    return f"{stretch(mm)} (the last looked at)" if abs(mm) >= SHIFTS_MM[-1] else stretch(mm)


def angle(value: float) -> str:
    """An angle in words."""
    shown = f"{abs(value):.0f}"
    return "neutral" if shown == "0" else f"{shown} deg {'up' if value > 0.0 else 'down'}"


def angles(spread: Spread) -> str:
    """Middle and nine tenths of an angle in words."""
    return f"{angle(spread.p50)} (nine tenths {angle(spread.p05)} to {angle(spread.p95)})"


def forces(spread: Spread) -> str:
    """Middle and nine tenths of a force."""
    return f"{spread.p50:.0f} N ({spread.p05:.0f} to {spread.p95:.0f})"


def stretch(mm: float) -> str:
    """A change of the setting in words."""
    shown = f"{abs(mm):.0f}"
    return "no change" if shown == "0" else f"{shown} mm {'tighter' if mm > 0.0 else 'slacker'}"


def change(mm: float | None) -> str:
    """The change that would be needed, in words."""
    return "no change of up to 12 mm does" if mm is None else stretch(mm)
