"""What a harvest leaves behind: flat foot as a flag, never as degrees."""

from sinewright.choose.stance import ARCH, balance, subtalar_capacity
from sinewright.doubt.sample import Sample
from sinewright.evidence.result import Check, Verdict
from sinewright.evidence.scene import Scene
from sinewright.evidence.verdicts import cannot, direction
from sinewright.solve.leg import Legs

HARVEST = ("tibialis_posterior",)


def flagged(legs: Legs) -> bool:
    """True when taking tibialis posterior raises the arch flag."""
    return ARCH in balance(subtalar_capacity(legs), legs.capacity, HARVEST, Sample.independent(len(legs.points))).flags


def _flat_foot(scene: Scene) -> Verdict:
    """No flat foot was counted after a harvest in peroneal palsy: there the flag is silent, elsewhere it can speak."""
    silent, speaks = not flagged(scene.palsy), flagged(scene.both)
    told = f"complete palsy: {_said(not silent)}; all muscles at their own normal: {_said(speaks)}"
    return direction(silent and speaks, "no flag where the short peroneal is paralysed, a flag where it works", told)


def _said(flag: bool) -> str:
    return "arch flagged" if flag else "arch not flagged"


CHECKS = (
    Check(
        "flat-foot-flag-after-harvest",
        "Flat foot is not seen after a tibialis posterior harvest (0 of 17, 0 of 10)",
        ("out-cho2017-count-flat-foot", "cx-flat-foot-pecheva2018", "out-yeap2001io-direction-flat-foot"),
        "stance balance with tibialis posterior gone: the arch is a flag, no degrees are predicted. Complete palsy has "
        "no short peroneal to unbalance it; the same harvest with all muscles at work must raise the flag",
        _flat_foot,
    ),
    Check(
        "flat-foot-degrees-after-harvest",
        "Radiographs do not progress to flat foot after harvest (0 of 31)",
        ("cx-flat-foot-longterm",),
        "",
        cannot("0 of 31"),
        "the foot is one piece here: an arch cannot sink, so no angle of it is predicted; see the flag",
    ),
    Check(
        "brace-free-after-transfer",
        "Almost all walk without a brace after transfer",
        ("out-hove1998-count-brace-free", "out-agarwal2020-count-brace-free", "out-cho2017-count-brace-free"),
        "",
        cannot("17 of 17, 19 of 20, 16 of 17"),
        "leaving the brace off is the patient's decision and no angle was read at which it was taken; the share that "
        "lifts to neutral is held against its own counts",
    ),
)
