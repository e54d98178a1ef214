"""Signed numbers in words: no bare sign is ever printed, and a middle never stands without its nine-tenths.

Every face says an angle, a turn, a stretch or a force by what stands here. A sentence holds the sign °; a terminal that
cannot show it spells it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from sinewright.results import Posture, Spread


@dataclass(frozen=True)
class Direction:
    """How a signed number is said: the words for + and -, and what zero is called ("" = print the 0).

    `brief` holds shorter words for the nine-tenths: the full word stands with the middle just above.
    """

    plus: str
    minus: str
    zero: str = ""
    unit: str = ""
    decimals: int = 0
    brief: tuple[str, str] | None = None

    def one(self, value: float, degree: str = "°") -> str:
        """``12° up``, ``8° down``, ``neutral``."""
        digits, word = self._parts(value, (self.plus, self.minus))
        if not digits:
            return word
        return f"{digits}{self._mark(degree)} {word}".strip()

    def exact(self, value: float, degree: str = "°") -> str:
        """As `one`, but with the digits as they were given, for echoing what somebody typed."""
        if value == 0.0 and self.zero:
            return self.zero
        word = (self.plus if value > 0 else self.minus) if value else ""
        return f"{abs(value):g}{self._mark(degree)} {word}".strip()

    def between(self, low: float, high: float) -> str:
        """``3 to 18 up``, ``8 down to 12 up``, ``neutral to 5 up``; the unit stands with the middle."""
        words = self.brief or (self.plus, self.minus)
        (first, first_word), (last, last_word) = self._parts(low, words), self._parts(high, words)
        start = " ".join(part for part in (first, first_word) if part)
        end = " ".join(part for part in (last, last_word) if part)
        if start == end:
            return start
        if first_word == last_word or not first_word:
            start = first
        return f"{start} to {end}"

    def span(self, low: float, high: float, degree: str = "°") -> str:
        """As `between` with the unit at every number, for sentences: ``8° down to 12° up``, ``18° to 6° down``."""
        start, end = self.one(low, degree), self.one(high, degree)
        words = (self.plus, self.minus)
        (digits, first), (_, last) = self._parts(low, words), self._parts(high, words)
        if start == end:
            return start
        if digits and first == last:
            start = f"{digits}{degree if self.unit == 'deg' else ''}"
        return f"{start} to {end}"

    def spread(self, found: Spread, degree: str = "°") -> str:
        """The middle and its nine-tenths: ``6° down (15° to 1° down)``, ``31 N (0 to 140)``."""
        between = self.ends(found, degree) if self.unit == "deg" else self.between(found.p05, found.p95)
        return f"{self.one(found.p50, degree)} ({between})"

    def ends(self, found: Spread, degree: str = "°") -> str:
        """The nine-tenths alone: ``15° to 1° down``."""
        return self.span(found.p05, found.p95, degree)

    def to(self, decimals: int) -> Direction:
        """The same words with so many decimals."""
        return replace(self, decimals=decimals)

    def _mark(self, degree: str) -> str:
        if self.unit == "deg":
            return degree
        return f" {self.unit}" if self.unit else ""

    def _parts(self, value: float, words: tuple[str, str]) -> tuple[str, str]:
        digits = f"{abs(value):.{self.decimals}f}"
        if float(digits) == 0.0:
            return ("", self.zero) if self.zero else (digits, "")
        return digits, words[0] if value > 0 else words[1]


UP_DOWN = Direction(plus="up", minus="down", zero="neutral", unit="deg")
DOWN_UP = Direction(plus="down", minus="up", zero="neutral", unit="deg")
IN_OUT = Direction(plus="inward", minus="outward", zero="straight", unit="deg", brief=("in", "out"))
OUT_IN = Direction(plus="outward", minus="inward", zero="straight", unit="deg")
VARUS_VALGUS = Direction(plus="varus", minus="valgus", zero="straight", unit="deg")
BENT = Direction(plus="bent", minus="overstretched", zero="straight", unit="deg")
MOMENT = Direction(plus="", minus="down", unit="Nm", decimals=1)
PULL = Direction(plus="", minus="pushed", unit="N")
LENGTH = Direction(plus="", minus="shorter", unit="mm", decimals=1)
MORE = Direction(plus="", minus="less", zero="none", unit="deg")
PERCENT = Direction(plus="", minus="down", unit="%")
REACH = Direction(plus="spare", minus="short", zero="just enough", unit="mm")
STRETCH = Direction(plus="tighter", minus="slacker", unit="mm")
CHANGE = Direction(plus="tighter", minus="slacker", zero="no change", unit="mm")
MARK = Direction(plus="beyond its start point", minus="short of its start point", zero="at its start point", unit="mm")


def angle_words(degrees: float) -> str:
    """An ankle angle, up from neutral positive: ``8° up``, ``12° down``, ``neutral``."""
    return UP_DOWN.one(degrees)


def change_words(by: float, verbs: tuple[str, str], unit: str) -> str:
    """A change as a verb: ``rises by 3°``, ``falls by 9 %``, ``stays``."""
    amount = round(abs(by))
    return f"{verbs[0] if by > 0.0 else verbs[1]} by {amount}{unit}" if amount else "stays"


def sewn_words(stretch_mm: float, fixing: Posture) -> str:
    """How tight and in which posture an operation is sewn; every angle with its direction."""
    return f"Set stretch {STRETCH.one(stretch_mm)}; sewn with {posture_words(fixing)}."


def posture_words(fixing: Posture) -> str:
    """``ankle 8° up, hindfoot straight, knee 30° bent``."""
    return (
        f"ankle {UP_DOWN.one(fixing.ankle_deg)}, hindfoot {IN_OUT.one(fixing.subtalar_deg)}, "
        f"knee {BENT.one(fixing.knee_deg)}"
    )
