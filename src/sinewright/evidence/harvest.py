"""What the calf procedure gives and what a harvest leaves behind: flat foot as a flag, never as degrees."""

from functools import cache

import numpy as np

from sinewright.case import changed
from sinewright.choose.stance import ARCH, balance, capacity
from sinewright.doubt.assumed import Numbers
from sinewright.doubt.stiffness import lengthen_calf, limit_at
from sinewright.doubt.virtual import draw
from sinewright.evidence.people import palsy
from sinewright.evidence.result import Check, Verdict
from sinewright.evidence.scene import Scene
from sinewright.evidence.verdicts import angle, cannot, direction, row
from sinewright.solve.leg import Legs
from sinewright.units import rad

HARVEST = ("tibialis_posterior",)
LEGS, SEED = 100, 20
STRAIGHT, BENT = 0.0, 90.0  # knee [deg]
TORQUE = 10.0  # N.m, as in pa-test-torque-digiovanni2002
SHORT_DEG, GASTROCNEMIUS_BENT_DEG, SOLEUS_BENT_DEG = 0.0, 15.0, 4.0  # invented passive limits, knee straight and bent


@cache
def limits_deg(bent_deg: float, procedure: str) -> tuple[float, float]:
    """Middle passive angle [deg] at TORQUE, knee straight and bent, of legs measured so and then operated so."""
    measured = {
        "range.affected.dorsiflexion_knee_straight_deg": SHORT_DEG,
        "range.affected.dorsiflexion_knee_bent_deg": bent_deg,
        "range.affected.examiner_torque_Nm": TORQUE,
    }
    case = changed(palsy(True), {**measured, "plan.calf_procedure": procedure})
    resist = lengthen_calf(case, draw(case, LEGS, SEED).now.resist, Numbers(LEGS, SEED))
    straight, bent = (float(np.median(limit_at(resist, TORQUE, rad(knee), True))) for knee in (STRAIGHT, BENT))
    return straight, bent


def _recession(_: Scene) -> Verdict:
    """Gastrocnemius equinus: short with the knee straight only; soleus equinus: short in both."""
    short, both = row("pa-equinus-gastrocnemius-criterion").value, row("pa-equinus-soleus-criterion").value
    before, after = (limits_deg(GASTROCNEMIUS_BENT_DEG, each) for each in ("none", "gastrocnemius recession"))
    soleus = limits_deg(SOLEUS_BENT_DEG, "gastrocnemius recession")
    holds = before[0] <= short < after[0] and before[1] > both and max(soleus) <= both
    told = (
        f"knee straight {angle(before[0])}, after recession {angle(after[0])}; "
        f"where the soleus is short too, after recession {angle(soleus[0])}, knee bent {angle(soleus[1])}"
    )
    return direction(
        holds, f"above {short:.0f} deg up after recession; where the soleus is short, not above {both:.0f}", told
    )


def flagged(legs: Legs) -> bool:
    """True when taking tibialis posterior raises the arch flag."""
    return ARCH in balance(capacity(legs), legs.ceiling, HARVEST).flags


def _flat_foot(scene: Scene) -> Verdict:
    """No flat foot was counted after a harvest in peroneal palsy: there the flag is silent, elsewhere it can speak."""
    silent, speaks = not flagged(scene.palsy), flagged(scene.both)
    told = f"complete palsy: {_said(not silent)}; all muscles at their own normal: {_said(speaks)}"
    return direction(silent and speaks, "no flag where the short peroneal is paralysed, a flag where it works", told)


def _said(flag: bool) -> str:
    return "arch flagged" if flag else "arch not flagged"


CHECKS = (
    Check(
        "recession-clears-gastrocnemius-equinus",
        "A recession clears an equinus of the gastrocnemius and leaves one of the soleus",
        ("pa-equinus-gastrocnemius-criterion", "pa-equinus-soleus-criterion"),
        f"{LEGS} virtual legs of a man with complete palsy, measured at {TORQUE:.0f} N.m: {SHORT_DEG:.0f} deg with the "
        f"knee straight, {GASTROCNEMIUS_BENT_DEG:.0f} or {SOLEUS_BENT_DEG:.0f} deg up with it bent; middle limits at "
        "that torque against the quoted criteria. It shows that the program's rule does what it says, not that it is "
        "right",
        _recession,
    ),
    Check(
        "recession-with-flexor-transfer-jos2020",
        "Swing dorsiflexion from 19.5 deg down to 1.4 deg up after great-toe flexor transfer with recession",
        ("ga-peak-swing-dorsiflexion-before-jos2020", "ga-peak-swing-dorsiflexion-after-jos2020"),
        "",
        cannot("19.5 deg down before, 1.4 deg up after"),
        "children with cerebral palsy, walking: growth and spasticity are not modelled, and their passive range was "
        "not read",
    ),
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
