"""An invented ruler and invented answers to what to measure: no number here is a prediction."""

from __future__ import annotations

from sinewright.results import (
    Answered,
    Asked,
    Effect,
    Exchange,
    FixingTension,
    Leading,
    Mark,
    Ruler,
    RulerDocument,
    Spread,
)

from .invented_weighing import FIRST, SECOND, around


def mark(set_stretch_mm: float, ankle_deg: float = 10.0, failed_share: float = 0.0) -> Mark:
    quantities = {
        "lift_deg": around(4.0 + 0.1 * set_stretch_mm, 2.0, 5.0),
        "lift_knee_bent_deg": around(6.0, 2.0, 5.0),
        "rest_deg": around(-10.0 + 0.7 * set_stretch_mm, 3.0, 8.0),
        "rest_on_table_deg": around(-8.0, 3.0, 8.0),
        "pushdown_deg": around(-36.0 + 0.4 * set_stretch_mm, 2.0, 4.0),
        "moment_neutral_Nm": around(9.0, 2.0, 4.0),
        "junction_pull_N": around(300.0 + set_stretch_mm, 40.0, 90.0),
    }
    return Mark(set_stretch_mm, ankle_deg, quantities, failed_share)


RULER = Ruler(
    choice=FIRST.choice,
    marks=tuple(mark(float(at)) for at in range(-12, 17, 2)),
    postures=tuple(mark(7.0, ankle) for ankle in (0.0, 5.0, 10.0)),
    exchange=(Exchange(0.0, 12.5, 1.0), Exchange(5.0, 8.5, 0.9), Exchange(10.0, None, 0.1)),
    chosen=mark(7.0),
    loose=mark(2.0),
    tight=mark(12.0),
    low_mm=-2.0,
    high_mm=10.0,
    sentences=("Mark the junction.", "Pull until the mark lies 7 mm past its start point."),
)
METER = Answered("Strength", "A dynamometer on the donor", True, 0.36, 0.31, 0.05, 0.04, 0.052, 0.4, field="at")
ANGLE = Answered(
    "Passive lift", "A second reading of the passive lift", True, 0.02, 0.0, 0.001, 0.0, 0.0, 0.16, field="at"
)
DULL = Answered("Hindfoot", "A test of the hindfoot", True, 0.0, 0.0, 0.0, 0.0, 0.0, 0.01)
SCAR = Answered("Scar", "Scar", False, 0.06, 0.06, 0.01, 0.01, 0.0, 0.03)
LEARNING = Answered("How well the muscle learns", "learning", False, 0.0, 0.0, 0.0, 0.0, 0.0, 0.03)
EFFECTS = (
    Effect("unharmed strength", 0.36, 0.03),
    Effect("scar and gliding", 0.2, 0.02),
    Effect("settling", 0.1, 0.01),
)
TENSION = FixingTension(
    Spread(0.0, 12.0, 31.0, 60.0, 140.0), Spread(0.0, 9.0, 25.0, 48.0, 110.0), Spread(0.0, 4.0, 13.0, 30.0, 80.0),
    Spread(1.2, 1.8, 2.5, 3.3, 4.8),
)  # fmt: skip
RULED = RulerDocument(
    version="0.1.0", side="left", pseudonym="quiet-otter-58", seed=1, draws=300, ruler=RULER, tension=TENSION
)
ASKED = Asked(
    version="0.1.0",
    side="right",
    pseudonym="quiet-otter-58",
    seed=1,
    draws=300,
    effective_sample_size=173.0,
    questions=(METER, ANGLE, DULL, SCAR, LEARNING),
    leading=(Leading(FIRST.choice, EFFECTS), Leading(SECOND.choice, EFFECTS[:1])),
)
