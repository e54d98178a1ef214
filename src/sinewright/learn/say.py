"""The answer in sentences. Every sign is a word, every middle stands with its nine tenths, nothing is an order."""

from __future__ import annotations

from collections.abc import Sequence

from sinewright.learn.expected import SHIFTS_MM
from sinewright.learn.prepare import number
from sinewright.results import Advice, ExpectedAngles, Speaking, Told
from sinewright.wording.directions import CHANGE, LENGTH, PULL, UP_DOWN
from sinewright.wording.on_table import first_line


def sentences(
    now: ExpectedAngles | None, advice: Advice | None, told: Sequence[Told], speaking: Speaking
) -> tuple[str, ...]:
    """What the entries say, in the order in which it is needed; nothing while none counts.

    The planned numbers are not said again: they stand where the plan stands.
    """
    if not any(each.counts for each in told):
        return ()
    out = [_against(each) for each in told if each.contradicts]
    if now is None or advice is None:
        few = f"Only {speaking.effective_sample_size:.0f} of {speaking.draws} virtual legs"
        text = f"{few} agree with what was entered. No number "
        todo = "clear the contradiction, or take an entry back" if out else "measure again, or take an entry back"
        return (*out, f"{text}is given: {todo}.")
    if out:
        out.append("The numbers below count every entry; those without the contradicting ones stand beside them.")
    out.append(first_line(advice, float(SHIFTS_MM[-1])))
    out.append(f"Final lift expected as it is now, with the junction settled: {UP_DOWN.spread(now.lift_deg)}.")
    out.append(
        f"To rest on the table as planned: {change(advice.to_planned_rest_mm)}. "
        f"To lift as planned: {change(advice.to_planned_lift_mm)}."
    )
    out.append(tension_sentence(now))
    return (*out, _interval(advice))


def tension_sentence(now: ExpectedAngles) -> str:
    """Set tension and settled tension apart."""
    t = now.tension
    return (
        f"Tension of the relaxed donor at the mark: {PULL.spread(t.at_once_N)} read at once; "
        f"{PULL.spread(t.after_relaxation_N)} after early relaxation, which loses no millimetre; "
        f"{PULL.spread(t.settled_N)} once the junction has crept by {LENGTH.spread(t.creep_mm)}."
    )


def _against(told: Told) -> str:
    fitting = [each.text for each in told.explanations if each.fits]
    tried = f" It would fit if: {' '.join(fitting)}" if fitting else ""
    return f"The {told.words} contradicts the rest, which leads to {told.expected}.{tried}"


def _interval(advice: Advice) -> str:
    lift, push, rest = (number(f"own-protect-{what}-that-matters") for what in ("lift", "push", "rest"))
    if advice.low_mm is None or advice.high_mm is None:
        return (
            f"No change of up to {SHIFTS_MM[-1]:g} mm keeps lift within {lift:g}°, push-down within {push:g}° and "
            f"rest within {rest:g}° of the plan at the same time."
        )
    where = f"Between {_end(advice.low_mm)} and {_end(advice.high_mm)}"
    what = (
        f"{where} the result stays within {lift:g}° of lift, {push:g}° of push-down and {rest:g}° of rest of the plan."
    )
    inside = advice.low_mm <= 0.0 <= advice.high_mm
    return f"{what} The present setting lies {'inside' if inside else 'outside'} it."


def _end(millimetres: float) -> str:
    """One end of the interval; the last millimetres looked at may not be its end."""
    words = CHANGE.one(millimetres)
    return f"{words} (the last looked at)" if abs(millimetres) >= SHIFTS_MM[-1] else words


def change(millimetres: float | None) -> str:
    """The change that would be needed, in words."""
    return f"no change of up to {SHIFTS_MM[-1]:g} mm does" if millimetres is None else CHANGE.one(millimetres)
