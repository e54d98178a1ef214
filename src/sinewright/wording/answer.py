"""Sentences of the answer: what the numbers lean to and how firmly, the calf, what stays. Never an order."""

from __future__ import annotations

from collections.abc import Sequence

from sinewright.results import Chance, Spread
from sinewright.wording.counts import count_word
from sinewright.wording.directions import UP_DOWN

WHY_DIFFER = (
    "Why they differ: in print many calves were lengthened and few were followed up; wearing no brace is a habit, "
    "clearing the floor is a height."
)
CALF_DONE = {
    "gastrocnemius recession": "With a gastrocnemius recession first",
    "achilles lengthening": "With the Achilles lengthened first",
}
HALF = 0.5  # of the virtual legs, for the words "most" and "few"


def mark_words(set_stretch_mm: float) -> str:
    """``8 mm beyond the mark``: where the muscle-tendon junction lies against the mark made before cutting.

    >>> mark_words(8.0), mark_words(-3.0), mark_words(0.0)
    ('8 mm beyond the mark', '3 mm short of the mark', 'just at the mark')
    """
    if round(set_stretch_mm) == 0:
        return "just at the mark"
    return f"{abs(set_stretch_mm):.0f} mm {'beyond' if set_stretch_mm > 0 else 'short of'} the mark"


def leaning(title: str, way: str, set_stretch_mm: float, same: int, others: Sequence[str], tied: int) -> str:
    """What the numbers lean to and what is too close to call.

    Parameters
    ----------
    title, way : str
        Donor, and route with recipient, of the first operation.
    set_stretch_mm : float
        Set stretch [mm].
    same : int
        Further ways with this donor that the numbers do not tell from it.
    others : sequence of str
        Other donors that the numbers do not tell from it, best first.
    tied : int
        All operations that are not told apart, the first among them.
    """
    what = f"{title[0].lower()}{title[1:]}, {way}, {mark_words(set_stretch_mm)}"
    if tied <= 1:
        return f"The numbers favour {what}; it stands apart from every other operation."
    if not others:
        return f"The numbers lean to {what}; {_ways(same)} with it {_are(same)} too close to call."
    named = " and ".join(other[0].lower() + other[1:] for other in others[:2])
    more = f" and {count_word(len(others) - 2)} more" if len(others) > 2 else ""
    with_it = f", as {_are(same)} {_ways(same)} with the same donor" if same else ""
    return f"The numbers put {what} first, but {named}{more} {_are(len(others))} too close to call{with_it}."


def not_operating_sentence(lifts: bool, changes: Sequence[str]) -> tuple[str, ...]:
    """Said where not operating leads.

    Parameters
    ----------
    lifts : bool
        Whether an operation would lift, but for a danger that takes it off the offer.
    changes : sequence of str
        What would open a choice, the best first.
    """
    if lifts:
        told = "Not operating leads: what would lift the foot has a danger against it that comes first."
    else:
        told = "Not operating leads: nothing that can be offered clears the floor oftener than this leg does today."
    return (told, f"What would change that: {changes[0]}.") if changes else (told,)


def _ways(count: int) -> str:
    return f"{count_word(count)} more {'way' if count == 1 else 'ways'}"


def _are(count: int) -> str:
    return "is" if count == 1 else "are"


def calf_sentence(procedure: str, before: Spread | None, after: Spread | None) -> tuple[str, ...]:
    """What lengthening the calf first would give; nothing where it gives nothing."""
    if procedure not in CALF_DONE or before is None or after is None:
        return ()
    gained = f"about {UP_DOWN.one(after.p50)} instead of {UP_DOWN.one(before.p50)}"
    return (f"{CALF_DONE[procedure]}: {gained}.",)


def slap_sentence(lowers: Chance | None) -> tuple[str, ...]:
    """Whether the forefoot still slaps after heel strike."""
    if lowers is None:
        return ()
    if lowers.high < HALF:
        return ("The forefoot will still slap after the heel lands.",)
    return ("The forefoot may still slap after the heel lands.",) if lowers.low < HALF else ()


def dropped_sentence(lift: Spread | None, clears: Chance | None) -> tuple[str, ...]:
    """Said where the first operation leaves most feet below neutral, or catching the floor."""
    if clears is not None and clears.high < HALF:
        return ("Most feet would still catch the floor: a brace stays likely.",)
    return ("The middle of the lift stays below neutral.",) if lift is not None and lift.p50 < 0.0 else ()


def stopped_sentence(reason: str, suits: Sequence[str]) -> tuple[str, ...]:
    """Said where no operation can be offered."""
    told = f"As examined, no transfer can be offered: {reason[:1].lower()}{reason[1:]}" if reason else (
        "As examined, no transfer can be offered."
    )  # fmt: skip
    other = f"What may suit instead: {'; '.join(each[:1].lower() + each[1:] for each in suits)}." if suits else ""
    return tuple(part for part in (told, other) if part)
