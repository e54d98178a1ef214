"""Signed numbers in words: no bare sign is ever printed, and a middle never stands without its nine-tenths."""

from __future__ import annotations

from dataclasses import dataclass

from sinewright.results import Posture


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

    def _mark(self, degree: str) -> str:
        if self.unit == "deg":
            return degree
        return f" {self.unit}" if self.unit else ""

    def _parts(self, value: float, words: tuple[str, str]) -> tuple[str, str]:
        digits = f"{abs(value):.{self.decimals}f}"
        if float(digits) == 0.0:
            return ("", self.zero) if self.zero else (digits, "")
        return digits, words[0] if value > 0 else words[1]


DOWN_UP = Direction(plus="down", minus="up", zero="neutral", unit="deg")
OUT_IN = Direction(plus="outward", minus="inward", zero="straight", unit="deg")
VARUS_VALGUS = Direction(plus="varus", minus="valgus", zero="straight", unit="deg")
BENT = Direction(plus="bent", minus="overstretched", zero="straight", unit="deg")
UP_DOWN = Direction(plus="up", minus="down", zero="neutral", unit="deg")
IN_OUT = Direction(plus="inward", minus="outward", zero="straight", unit="deg", brief=("in", "out"))
MOMENT = Direction(plus="", minus="down", unit="Nm", decimals=1)
PULL = Direction(plus="", minus="pushed", unit="N")
MORE = Direction(plus="more", minus="less", zero="no more", unit="deg")
PERCENT = Direction(plus="", minus="down", unit="%")
REACH = Direction(plus="spare", minus="short", zero="just enough", unit="mm")
STRETCH = Direction(plus="tighter than at rest", minus="slacker than at rest", zero="as long as at rest", unit="mm")


def sewn_words(set_stretch_mm: float, fixing: Posture, degree: str) -> str:
    """How tight and in which posture an operation is sewn; every angle with its direction."""
    return (
        f"Sewn {STRETCH.one(set_stretch_mm)}, with ankle {UP_DOWN.one(fixing.ankle_deg, degree)}, hindfoot "
        f"{IN_OUT.one(fixing.subtalar_deg, degree)}, knee {BENT.one(fixing.knee_deg, degree)}."
    )
