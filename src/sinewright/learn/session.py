"""A table session: entries are added and taken back, each answer is made anew from all that count.

Every step gives a new session, so that an older answer can always be shown again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from sinewright.arrays import Floats
from sinewright.case import cautions
from sinewright.choose.present import assumptions_of, caution, sources_of
from sinewright.learn.beliefs import FEWEST, Weighed, chain, each_leg, weigh_legs
from sinewright.learn.contradict import contradicts, expected_words, explanations
from sinewright.learn.entries import TableReading, in_order, known_beside, settings, take_back
from sinewright.learn.expected import advise, expected, shifts
from sinewright.learn.prepare import Prepared, enlarged, number, planned_mm
from sinewright.learn.readings import agreement_with, share_below, shown_by
from sinewright.learn.say import sentences
from sinewright.results import ExpectedAngles, Speaking, TableAnswer, Told
from sinewright.units import deg
from sinewright.version import __version__

MOST_TIMES = 4  # as many legs as were prepared, before no number is given
HELD_AGAINST = 500  # legs that a single reading is held against: each with its error, enough to see one in two hundred
ROWS = (
    "own-stretch-error", "own-protect-ruler-error", "own-protect-retension-error", "own-protect-tendon-length-error",
    "own-protect-table-angle-error", "own-protect-stimulator-drive", "own-protect-spring-error",
    "own-protect-spring-rubbing", "own-protect-early-relaxation", "own-protect-lift-that-matters",
    "own-protect-push-that-matters", "own-protect-rest-that-matters", "own-table-fewest",
)  # fmt: skip


@dataclass
class Looked:
    """What was worked out on some prepared legs: how they agree with each entry, what the plan expects of them."""

    prepared: Prepared
    known: dict[TableReading, Floats] = field(default_factory=dict)
    plan: list[ExpectedAngles] = field(default_factory=list)

    def agreement(self, entry: TableReading) -> Floats:
        """How every leg agrees with an entry, worked out once."""
        same = replace(entry, taken_back=None)
        if same not in self.known:
            self.known[same] = agreement_with(self.prepared, same)
        return self.known[same]

    def weighed(self, entries: Sequence[TableReading]) -> Weighed:
        """Legs after some entries."""
        return weigh_legs(self.prepared, chain(self.prepared, entries, self.agreement))

    def expected(self) -> ExpectedAngles:
        """What is expected before anything is read on the table."""
        if not self.plan:
            self.plan.append(expected(self.prepared, self.weighed(())))
        return self.plan[0]


@dataclass
class Session:
    """Everything entered so far for one prepared operation. A step gives a new session and shares what is known.

    ``looked``: the prepared legs, and more of them where the first were too few for what was entered.
    """

    prepared: Prepared
    entries: tuple[TableReading, ...] = ()
    looked: list[Looked] = field(default_factory=list, repr=False, compare=False)

    def __post_init__(self) -> None:
        if not self.looked:
            self.looked.append(Looked(self.prepared))

    def add(self, *entries: TableReading) -> Session:
        """The session with further entries."""
        return replace(self, entries=(*self.entries, *entries))

    def undo(self, now: datetime) -> Session:
        """The session with its last counting entry taken back; it is kept with the time."""
        return replace(self, entries=take_back(self.entries, now))

    def plan(self) -> ExpectedAngles:
        """What is expected before anything is read on the table."""
        return self.looked[0].expected()

    def legs_that_do(self) -> tuple[Looked, Weighed]:
        """The prepared legs weighed by all entries; more are drawn while too few agree and more can be enough."""
        fewest, place = number(FEWEST), 0
        while True:
            looked = self.looked[place]
            weighed, times = looked.weighed(self.entries), looked.prepared.times
            if weighed.enough or times >= MOST_TIMES or weighed.effective_sample_size * MOST_TIMES / times < fewest:
                return looked, weighed
            place += 1
            if place == len(self.looked):
                self.looked.append(Looked(enlarged(looked.prepared)))

    def answer(self) -> TableAnswer:
        """The answer to all entries that count."""
        looked, weighed = self.legs_that_do()
        prepared, plan = looked.prepared, looked.expected()
        told = self._told(looked)
        bad = tuple(entry for entry, each in zip(in_order(self.entries), told, strict=True) if each.contradicts)
        now = line = advice = None
        if weighed.enough:
            now, line = expected(prepared, weighed), shifts(prepared, weighed)
            advice = advise(plan, line)
        without = self._without(looked, bad) if bad else None
        rows = (*prepared.virtual.rows, *(row for row in ROWS if row not in prepared.virtual.rows))
        case = prepared.case
        speaking = Speaking(prepared.draws, weighed.effective_sample_size, weighed.resampled, weighed.different)
        return TableAnswer(
            version=__version__,
            invented=case.invented,
            side=case.side,
            pseudonym=case.pseudonym,
            seed=prepared.seed,
            draws=prepared.draws,
            choice=prepared.choice,
            planned_mm=planned_mm(prepared),
            entries=told,
            speaking=speaking,
            plan=plan,
            now=now,
            without=without,
            advice=advice,
            shifts=line or (),
            sentences=sentences(now, advice, told, speaking),
            warnings=(*cautions(case), *(caution(text) for text in prepared.virtual.warnings)),
            assumptions=assumptions_of(rows),
            sources=sources_of(rows),
            rows=rows,
        )

    def _without(self, looked: Looked, bad: tuple[TableReading, ...]) -> ExpectedAngles | None:
        weighed = looked.weighed([entry for entry in self.entries if entry not in bad])
        return expected(looked.prepared, weighed) if weighed.enough else None

    def _told(self, looked: Looked) -> tuple[Told, ...]:
        """Every entry, also those taken back, with how it stands to the others."""
        knee = round(deg(self.prepared.sewn.knee), 6)
        numbered = {id(entry): number for number, entry in settings(self.entries)[0]}
        out = []
        for entry in in_order(self.entries):
            told = Told(entry.at.isoformat(timespec="seconds"), entry.words(knee), entry.counts)
            if id(entry) in numbered:
                told = self._held(looked, entry, replace(told, setting=numbered[id(entry)] + 1))
            out.append(told)
        return tuple(out)

    def _held(self, looked: Looked, entry: TableReading, told: Told) -> Told:
        """One reading held against all others of its own and earlier settings."""
        prepared = looked.prepared
        every = max(1, prepared.draws // HELD_AGAINST)
        belief = chain(prepared, known_beside(self.entries, entry), looked.agreement, every)
        weighed = each_leg(prepared, belief, every)
        if not weighed.enough:
            return told
        predicted = shown_by(prepared, entry, weighed.leg, weighed.stretch)
        share = share_below(entry.value, predicted, weighed.weight)
        against = contradicts(share)
        return replace(
            told,
            expected=expected_words(entry, predicted, weighed.weight),
            share_below=share,
            contradicts=against,
            explanations=explanations(prepared, entry, weighed) if against else (),
        )
