"""What the commands find, as frozen data in degrees, millimetres, newtons and newton metres.

These types stand at the border: terminal, paper, app, store and JSON read the same objects.
Up, in and tighter are positive.
"""

from sinewright.results.asking import LEAST_TOLD, TELLS, Answered, Asked, Effect
from sinewright.results.evidence import Agreement, CheckResult
from sinewright.results.protecting import Carried, Factor, Line, Protection, Reader, Sewn, Sign, Week
from sinewright.results.ruler import Exchange, Mark, Ruler, Tension
from sinewright.results.spread import PERCENTILES, Chance, Spread
from sinewright.results.swing import Foot, SwingPage
from sinewright.results.table import Advice, Expected, Explanation, Shift, Speaking, TableAnswer, Told
from sinewright.results.weighing import (
    CALF_PROCEDURES,
    CHANCES,
    KNOWN,
    QUANTITIES,
    STATUSES,
    Balance,
    CalfTrial,
    Caution,
    Choice,
    Fired,
    Goal,
    Kind,
    Known,
    Option,
    Outcome,
    Posture,
    Side,
    Standing,
    Status,
    Suits,
    Tendon,
    View,
    Weighing,
)

__all__ = [
    "CALF_PROCEDURES", "CHANCES", "KNOWN", "LEAST_TOLD", "PERCENTILES", "QUANTITIES", "STATUSES", "TELLS", "Advice",
    "Agreement", "Answered", "Asked", "Balance", "CalfTrial", "Carried", "Caution", "Chance", "CheckResult",
    "Choice", "Effect", "Exchange", "Expected", "Explanation", "Factor", "Fired", "Foot", "Goal", "Kind", "Known",
    "Line", "Mark", "Option", "Outcome", "Posture", "Protection", "Reader", "Ruler", "Sewn", "Shift", "Side",
    "Sign", "Speaking", "Spread", "Standing", "Status", "Suits", "SwingPage", "TableAnswer", "Tendon", "Tension",
    "Told", "View", "Week", "Weighing",
]  # fmt: skip
