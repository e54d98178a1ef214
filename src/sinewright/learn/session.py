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
from sinewright.doubt.weights import FEWEST
from sinewright.learn.beliefs import Weighed, chain, each_leg, weigh_legs
from sinewright.learn.contradict import contradicts, expected_words, explanations
from sinewright.learn.entries import TableReading, in_order, known_beside, settings, take_back
from sinewright.learn.expected import advise, expected, shifts
from sinewright.learn.prepare import Prepared, planned_mm
from sinewright.learn.readings import agreement_with, share_below, shown_by
from sinewright.learn.say import sentences
from sinewright.results import ExpectedAngles, Speaking, TableAnswer, Told
from sinewright.units import deg
from sinewright.version import __version__

HELD_AGAINST = 500  # legs that a single reading is held against: each with its error, enough to see one in two hundred
ROWS = (
    "own-stretch-error", "own-protect-ruler-error", "own-protect-retension-error", "own-protect-tendon-length-error",
    "own-protect-table-angle-error", "own-protect-stimulator-drive", "own-protect-spring-error",
    "own-protect-spring-rubbing", "own-protect-early-relaxation", "own-protect-lift-that-matters",
    "own-protect-push-that-matters", "own-protect-rest-that-matters",
)  # fmt: skip


@dataclass
class Session:
    """Everything entered so far for one prepared operation. A step gives a new session and shares what is known."""

    prepared: Prepared
    entries: tuple[TableReading, ...] = ()
    _known: dict[TableReading, Floats] = field(default_factory=dict, repr=False, compare=False)
    _plan: list[ExpectedAngles] = field(default_factory=list, repr=False, compare=False)

    def add(self, *entries: TableReading) -> Session:
        """The session with further entries."""
        return replace(self, entries=(*self.entries, *entries))

    def undo(self, now: datetime) -> Session:
        """The session with its last counting entry taken back; it is kept with the time."""
        return replace(self, entries=take_back(self.entries, now))

    def agreement(self, entry: TableReading) -> Floats:
        """How every leg agrees with an entry, worked out once for this operation."""
        same = replace(entry, taken_back=None)
        if same not in self._known:
            self._known[same] = agreement_with(self.prepared, same)
        return self._known[same]

    def weighed(self, entries: Sequence[TableReading]) -> Weighed:
        """Legs after some entries."""
        return weigh_legs(self.prepared, chain(self.prepared, entries, self.agreement))

    def plan(self) -> ExpectedAngles:
        """What is expected before anything is read on the table."""
        if not self._plan:
            self._plan.append(expected(self.prepared, self.weighed(())))
        return self._plan[0]

    def answer(self) -> TableAnswer:
        """The answer to all entries that count."""
        prepared, plan = self.prepared, self.plan()
        weighed = self.weighed(self.entries)
        told = self._told()
        bad = tuple(entry for entry, each in zip(in_order(self.entries), told, strict=True) if each.contradicts)
        now = line = advice = None
        if weighed.enough:
            now, line = expected(prepared, weighed), shifts(prepared, weighed)
            advice = advise(plan, line)
        without = self._without(bad) if bad else None
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

    def _without(self, bad: tuple[TableReading, ...]) -> ExpectedAngles | None:
        weighed = self.weighed([entry for entry in self.entries if entry not in bad])
        return expected(self.prepared, weighed) if weighed.enough else None

    def _told(self) -> tuple[Told, ...]:
        """Every entry, also those taken back, with how it stands to the others."""
        knee = round(deg(self.prepared.sewn.knee), 6)
        numbered = {id(entry): number for number, entry in settings(self.entries)[0]}
        out = []
        for entry in in_order(self.entries):
            told = Told(entry.at.isoformat(timespec="seconds"), entry.words(knee), entry.counts)
            if id(entry) in numbered:
                told = self._held(entry, replace(told, setting=numbered[id(entry)] + 1))
            out.append(told)
        return tuple(out)

    def _held(self, entry: TableReading, told: Told) -> Told:
        """One reading held against all others of its own and earlier settings."""
        every = max(1, self.prepared.draws // HELD_AGAINST)
        belief = chain(self.prepared, known_beside(self.entries, entry), self.agreement, every)
        weighed = each_leg(self.prepared, belief, every)
        if weighed.effective_sample_size < FEWEST:
            return told
        predicted = shown_by(self.prepared, entry, weighed.leg, weighed.stretch)
        share = share_below(entry.value, predicted, weighed.weight)
        against = contradicts(share)
        return replace(
            told,
            expected=expected_words(entry, predicted, weighed.weight),
            share_below=share,
            contradicts=against,
            explanations=explanations(self.prepared, entry, weighed) if against else (),
        )
