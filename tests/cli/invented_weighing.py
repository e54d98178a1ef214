"""An invented weighing for the printing tests: no patient, and no number here is a prediction."""

from __future__ import annotations

from sinewright.doubt.sample import chance_of
from sinewright.results import Caution, Goal, OperationSummary, Outcome, Posture, Spread, Standing, Weighing

SEWN = Posture(ankle_deg=10.0, subtalar_deg=-2.0, knee_deg=30.0)


def around(middle: float, half: float, nine_tenths: float) -> Spread:
    return Spread(middle - nine_tenths, middle - half, middle, middle + half, middle + nine_tenths)


def choice(key: str, title: str, subtitle: str) -> OperationSummary:
    return OperationSummary(key, "invented_donor", "invented_route", "invented_recipient", SEWN, 8.0, title, subtitle)


GOALS = (
    Goal("no_brace", 0.6, "share that clears"),
    Goal("small_operation", 0.4, "1 for one donor"),
)


def standing(place: int, mean: float, first_better: float, pareto_front: bool = True, reserve: str = "") -> Standing:
    met = {"no_brace": mean, "small_operation": mean}
    return Standing(
        met, around(mean, 0.05, 0.1), mean, place, 1 + (first_better >= 0.8), first_better, pareto_front, reserve
    )


def workable(key: str, title: str, subtitle: str, lift: float, reach: float, stands: Standing) -> Outcome:
    quantities = {
        "lift_deg": around(lift, 3.0, 8.0),
        "lift_knee_bent_deg": around(lift + 3.0, 3.0, 8.0),
        "rest_deg": around(-6.0, 2.5, 9.0),
        "rest_on_table_deg": around(-4.0, 2.0, 6.0),
        "pushdown_deg": around(-22.0, 4.0, 11.0),
        "moment_neutral_Nm": around(4.2, 1.3, 3.4),
        "share_of_normal": around(0.14, 0.04, 0.16),
        "hindfoot_in_lift_deg": around(2.0, 2.0, 7.0),
        "reach_margin_mm": around(reach, 3.0, 8.0),
        "junction_pull_N": around(120.0, 20.0, 60.0),
        "swing_ankle_deg": around(lift - 4.0, 3.0, 9.0),
        "heel_strike_deg": around(lift - 2.0, 3.0, 8.0),
        "steppage_hip_deg": Spread(0.0, 0.0, 2.0, 4.0, 9.0),
    }
    chances = {"clears_swing": chance_of(190, 300), "lowers_foot": chance_of(6, 300)}
    named = choice(key, title, subtitle)
    return Outcome(named, "workable", "", quantities, failed_share=0.0, standing=stands, chances=chances)


FIRST = workable(
    "a",
    "Tibialis posterior, through the membrane",
    "lateral cuneiform, stretched 8 mm",
    6.0,
    9.0,
    standing(1, 0.7, 0.5, reserve="b"),
)
SECOND = workable("b", "Long peroneal", "long toe extensors, above the retinaculum", 4.0, 21.0, standing(2, 0.6, 0.61))
THIRD = workable(
    "c", "Long toe flexor", "third ray", -14.0, -3.0, standing(4, 0.3, 0.97, pareto_front=False, reserve="a")
)
DOUBT = Outcome(
    choice("d", "Short peroneal", "long toe extensors"),
    "doubtful",
    "In 8 of 100 virtual legs no resting position was found.",
    SECOND.quantities,
    failed_share=0.08,
    standing=standing(3, 0.5, 0.79),
)
ASIDE = Outcome(
    choice("e", "Great-toe flexor", "medial cuneiform"),
    "set aside",
    "The tendon ends 31 mm short of the bone in half of the virtual legs.",
)

WEIGHING = Weighing(
    version="0.1.0",
    seed=1,
    draws=400,
    side="right",
    pseudonym="quiet-otter-58",
    warnings=(
        Caution(
            "calf-tight",
            "The calf is tight with the knee straight only: 5° down – lengthening is weighed.",
            "Šantić 1999, p. 3",
            "quoted",
        ),
    ),
    sources=("Klein P, Mattys S, Rooze M. 1996, J Biomech 29:21.", "Invented B. 2001."),
    assumptions=("Scar keeps 20 to 60 % of the glide (judged).",),
    outcomes=(SECOND, ASIDE, THIRD, DOUBT, FIRST),
    tendon="elastic",
    goals=GOALS,
    effective_sample_size=173.2,
)
