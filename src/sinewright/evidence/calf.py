"""What lengthening the calf gives, in passive dorsiflexion and in push-down strength, and what a harvest leaves behind.

The program's rules: a recession brings the knee-straight limit to the knee-bent one; Achilles lengthening moves both by
one published gain (pa-tal-df-gain-salsich2005, fitted, so no check). No other row here set anything. After a
harvest the flat foot is a flag, never degrees.
"""

from functools import cache
from typing import NamedTuple

import numpy as np

from sinewright.anatomy.skeleton import SIZE_NAMES
from sinewright.case import changed
from sinewright.choose.stance import ARCH, balance, subtalar_capacity
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.proposal import sizes_of
from sinewright.doubt.sample import Sample
from sinewright.doubt.stiffness import draw_passive, lengthen_calf, limit_at
from sinewright.doubt.torques import LIFTERS
from sinewright.doubt.weights import log_weights, normalised, systematic
from sinewright.evidence.people import healthy
from sinewright.evidence.result import Check, Verdict
from sinewright.evidence.scene import Scene, efforts
from sinewright.evidence.verdicts import angle, cannot, direction, many, row, unit, within, within_range
from sinewright.solve.leg import Legs
from sinewright.solve.passive_torque import ankle_passive_torque
from sinewright.units import rad

POOL, LEGS, SEED = 4000, 400, 20
STRAIGHT, BENT = 0.0, 90.0  # knee [deg]
TORQUE = row("pa-test-torque-digiovanni2002").value  # N.m
RECESSION, LENGTHENING = "gastrocnemius recession", "achilles lengthening"
GONIOMETER, RETEST = "me-wb-df-goniometer-sem-konor2012", "me-isokinetic-retest-neuropathy"
SHORT_DEG, GASTROCNEMIUS_BENT_DEG, SOLEUS_BENT_DEG = 0.0, 15.0, 4.0  # invented passive limits, knee straight and bent
DEG = unit("deg")
PREFIX = "calf-recession"
PINNEY = tuple(
    f"{PREFIX}-{what}-pinney2002"
    for what in ("before-straight", "before-bent", "after-straight", "kept-straight", "gain-straight")
)
PHISITKUL = (f"{PREFIX}-before-phisitkul2014", f"{PREFIX}-after-phisitkul2014")
MEDICINA = tuple(
    tuple(f"{PREFIX}-{what}-{way}-medicina2023" for what in ("before", "after", "gain"))
    for way in ("endoscopic", "open")
)
MESSERSCHMIDT = f"{PREFIX}-gain-messerschmidt2018"
HERZENBERG = (f"{PREFIX}-gain-straight-herzenberg2007", f"{PREFIX}-gain-bent-herzenberg2007")
HASTINGS = ("pa-tal-case-before-hastings2000", "pa-tal-case-after-hastings2000")
CADAVER = "calf-tal-before-cadaver10"
GROUP = f"{LEGS} virtual legs measured at {TORQUE:.0f} N.m"
READING = f"tolerance the reading error of {GONIOMETER}; the torque of the published test was not read"
UNMEASURED = f"{LEGS} virtual legs of which nothing was measured"


def _said(id: str) -> str:
    """The angle of a row in words."""
    return angle(row(id).value)


class Limits(NamedTuple):
    """Middle passive angle [deg] at TORQUE before and after, knee straight and bent."""

    straight_before: float
    bent_before: float
    straight: float
    bent: float

    @property
    def gain(self) -> float:
        """Gain with the knee straight."""
        return self.straight - self.straight_before


@cache
def limits_deg(procedure: str, straight_deg: float | None = None, bent_deg: float | None = None) -> Limits:
    """Passive limits of virtual legs that were measured so and then operated so."""
    found = {
        "range.affected.dorsiflexion_knee_straight_deg": straight_deg,
        "range.affected.dorsiflexion_knee_bent_deg": bent_deg,
        "range.affected.examiner_torque_Nm": None if straight_deg is None else TORQUE,
        "plan.calf_procedure": procedure,
    }
    case = changed(healthy(True), {path: value for path, value in found.items() if value is not None})
    sampler = PriorSampler(POOL, SEED)
    drawn = sizes_of(case, sampler)
    passive = draw_passive(case, np.stack([drawn[name] for name in SIZE_NAMES], axis=1), sampler)
    weight = normalised(log_weights(sampler.log_likelihoods, POOL))
    passive = passive[systematic(weight, LEGS, np.random.default_rng([SEED, 1]))]
    after = lengthen_calf(case, passive, PriorSampler(LEGS, SEED))
    return Limits(
        *(float(np.median(limit_at(legs, TORQUE, rad(k), True))) for legs in (passive, after) for k in (STRAIGHT, BENT))
    )


def _operated(procedure: str, *before: str) -> Limits:
    """Legs that were before as these rows print it, knee straight and, if read, bent."""
    return limits_deg(procedure, *(row(id).value for id in before))


def _clears(_: Scene) -> Verdict:
    """Gastrocnemius equinus: short with the knee straight only; soleus equinus: short in both."""
    short, both = row("pa-equinus-gastrocnemius-criterion").value, row("pa-equinus-soleus-criterion").value
    gastrocnemius, soleus = (
        limits_deg(RECESSION, SHORT_DEG, bent) for bent in (GASTROCNEMIUS_BENT_DEG, SOLEUS_BENT_DEG)
    )
    holds = gastrocnemius.straight_before <= short < gastrocnemius.straight and gastrocnemius.bent_before > both
    holds = holds and max(soleus.straight, soleus.bent) <= both
    told = (
        f"knee straight {angle(gastrocnemius.straight_before)}, after recession {angle(gastrocnemius.straight)}; where "
        f"the soleus is short too, after recession {angle(soleus.straight)}, knee bent {angle(soleus.bent)}"
    )
    return direction(
        holds, f"above {short:.0f} deg up after recession; where the soleus is short, not above {both:.0f}", told
    )


def _pinney(_: Scene) -> Verdict:
    found = _operated(RECESSION, *PINNEY[:2])
    printed = [row(id).value for id in PINNEY[2:]]
    names = ("at once", "55 days later", "gain")
    return many([found.straight, found.straight, found.gain], printed, row(GONIOMETER).value, names, DEG)


def _phisitkul(_: Scene) -> Verdict:
    found, after = _operated(RECESSION, PHISITKUL[0]), row(PHISITKUL[1])
    return within(found.straight, after.value, after.sd or 0.0, angle, f"before {angle(found.straight_before)}")


def _medicina(_: Scene) -> Verdict:
    found, printed = [], []
    for before, after, gain in MEDICINA:
        limits = _operated(RECESSION, before)
        found += [limits.straight, limits.gain]
        printed += [row(after).value, row(gain).value]
    names = ("endoscopic, after", "gain", "open, after", "gain")
    return many(found, printed, row(GONIOMETER).value, names, DEG)


def _messerschmidt(_: Scene) -> Verdict:
    return within(limits_deg(RECESSION).gain, row(MESSERSCHMIDT).value, row(GONIOMETER).value, DEG)


def _tashjian(_: Scene) -> Verdict:
    printed = row(f"{PREFIX}-gain-straight-tashjian2003")
    return within_range(limits_deg(RECESSION).gain, *printed.spread_ends, DEG, f"printed mean {printed.value:.0f}")


def _herzenberg(_: Scene) -> Verdict:
    found = limits_deg(RECESSION)
    gains, printed = (found.gain, found.bent - found.bent_before), [row(id).value for id in HERZENBERG]
    return many(gains, printed, row(GONIOMETER).value, ("knee straight", "knee bent"), DEG)


def _bent(_: Scene) -> Verdict:
    found = limits_deg(RECESSION)
    moved = abs(found.bent - found.bent_before)
    told = f"{moved:.1f} deg with the knee bent, {found.gain:.1f} deg with it straight"
    return direction(
        moved <= row(GONIOMETER).value < found.gain, "a gain with the knee straight, none with it bent", told
    )


def _tal_cadaver(_: Scene) -> Verdict:
    printed = row("calf-tal-gain-cadaver10")
    found = _operated(LENGTHENING, CADAVER)
    return within(found.gain, printed.value, printed.sd or 0.0, DEG)


def _tal_series(_: Scene) -> Verdict:
    return within(limits_deg(LENGTHENING).gain, row("calf-tal-gain-jpts2023").value, row(GONIOMETER).value, DEG)


def _tal_case(_: Scene) -> Verdict:
    found = _operated(LENGTHENING, HASTINGS[0])
    return within(found.straight, row(HASTINGS[1]).value, row(GONIOMETER).value, angle)


def strength_change(scene: Scene, procedure: str) -> float:
    """Change [%] of the middle push-down torque at neutral, knee straight: full effort and passive resistance."""
    legs = scene.both
    active = np.abs(efforts(legs, 0.0)[:, ~LIFTERS, 0]).sum(axis=1)
    case = changed(healthy(True), {"plan.calf_procedure": procedure})
    after = lengthen_calf(case, legs.passive, PriorSampler(len(legs.passive), SEED))
    before, then = (
        active - np.array([float(ankle_passive_torque(leg, 0.0, 0.0)[0]) for leg in passive])
        for passive in (legs.passive, after)
    )
    return float(100.0 * np.median(then / before - 1.0))


def _strength_kept(scene: Scene) -> Verdict:
    found, least = strength_change(scene, RECESSION), -row(RETEST).high
    expected = f"no loss against before surgery, retest {-least:.0f} %"
    return direction(found >= least, expected, f"{found:+.0f} %")


def _strength_after_tal(id: str, scene: Scene) -> Verdict:
    return within(strength_change(scene, LENGTHENING), row(id).value, row(RETEST).high, unit("%", 0))


CHECKS = (
    Check(
        "recession-clears-gastrocnemius-equinus",
        "A recession clears an equinus of the gastrocnemius and leaves one of the soleus",
        ("pa-equinus-gastrocnemius-criterion", "pa-equinus-soleus-criterion"),
        f"{GROUP}: {SHORT_DEG:.0f} deg with the knee straight, {GASTROCNEMIUS_BENT_DEG:.0f} or {SOLEUS_BENT_DEG:.0f} "
        "deg up with it bent; middle limits at that torque against the quoted criteria. It shows that the program's "
        "rule does what it says, not that it is right",
        _clears,
    ),
    Check(
        "recession-pinney2002",
        "A recession brings the knee-straight angle to the knee-bent one: 26 legs",
        PINNEY,
        f"{GROUP} as the series was before: {_said(PINNEY[0])} with the knee straight, {_said(PINNEY[1])} with it "
        f"bent; {READING}",
        _pinney,
        by=(GONIOMETER,),
    ),
    Check(
        "recession-medicina2023",
        "Endoscopic and open recession of 64 feet: angle after, and gain",
        (*MEDICINA[0], *MEDICINA[1]),
        f"{GROUP} as the two groups were before: {_said(MEDICINA[0][0])} and {_said(MEDICINA[1][0])} with the knee "
        f"straight; the knee-bent angle was not read, so the knee's share is the one of unmeasured legs; {READING}",
        _medicina,
        by=(GONIOMETER,),
    ),
    Check(
        "recession-phisitkul2014",
        "Dorsiflexion 13 months after endoscopic recession: 294 feet",
        PHISITKUL,
        f"{GROUP} as the series was before: {_said(PHISITKUL[0])} with the knee straight; the knee-bent angle was not "
        "read, so the knee's share is the one of unmeasured legs; tolerance the printed sd between feet",
        _phisitkul,
        "what the bent knee gave these feet was not read. Other groups gained 18 to 20 deg, as unmeasured legs do; "
        "these gained 12. A measured pair of ranges replaces the share of unmeasured legs",
    ),
    Check(
        "recession-messerschmidt2018",
        "Gain of a recession after 6 months in 8 patients",
        (MESSERSCHMIDT,),
        f"{UNMEASURED}, {TORQUE:.0f} N.m, knee straight; no spread is printed: the reading error of {GONIOMETER}",
        _messerschmidt,
        "neither angle before was read, and some of these calves had a short soleus too, which leaves a recession less "
        "to give. A measured pair of ranges replaces the share of unmeasured legs",
        (GONIOMETER,),
    ),
    Check(
        "recession-tashjian2003",
        "Gain of a recession in 15 cadaver limbs, knee straight",
        (f"{PREFIX}-gain-straight-tashjian2003",),
        f"{UNMEASURED}, {TORQUE:.0f} N.m; tolerance the printed range. The torque by hand was not read",
        _tashjian,
    ),
    Check(
        "recession-herzenberg2007",
        "Gain of a recession in 15 cadavers, knee straight and bent",
        HERZENBERG,
        f"{UNMEASURED}, {TORQUE:.0f} N.m; no spread is printed: the reading error of {GONIOMETER}",
        _herzenberg,
        "here a recession leaves the bent knee as it was: a gastrocnemius that is slack with the knee bent has nothing "
        "to give. In these cadavers it gave 8 deg there too; sources differ (one-head-cadaver15 saw none). With the "
        "knee straight 15 other cadavers gained 20 deg (tashjian2003)",
        (GONIOMETER,),
    ),
    Check(
        "recession-leaves-bent-knee",
        "A recession gives nothing with the knee bent",
        ("calf-direction-one-head-bent-cadaver15",),
        f"{UNMEASURED}, {TORQUE:.0f} N.m, knee 90 deg; none: less than the reading error of {GONIOMETER}. Built that "
        "way, so a guard only; herzenberg2007 differs",
        _bent,
        by=(GONIOMETER,),
    ),
    Check(
        "recession-of-one-head",
        "Releasing the inner head alone gives 5 deg, the outer head no more",
        ("calf-one-head-gain-straight-cadaver15",),
        "",
        cannot("5 deg"),
        "a recession here is of the whole gastrocnemius: the two heads have no curve of their own",
    ),
    Check(
        "achilles-lengthening-jpts2023",
        "Gain of Achilles lengthening in 10 patients",
        ("calf-tal-gain-jpts2023",),
        f"{UNMEASURED}, {TORQUE:.0f} N.m, knee straight; no spread is printed: the reading error of {GONIOMETER}. The "
        "gain of the program is that of another series of diabetic ulcers (pa-tal-df-gain-salsich2005)",
        _tal_series,
        by=(GONIOMETER,),
    ),
    Check(
        "achilles-lengthening-cadaver10",
        "Gain of Achilles lengthening in ten cadaver limbs",
        (CADAVER, "calf-tal-after-cadaver10", "calf-tal-gain-cadaver10"),
        f"{GROUP} as the limbs were before: {_said(CADAVER)}, knee straight; tolerance the printed sd",
        _tal_cadaver,
        "the cut tendons were forced open as far as they went, and one tore; the gain here is that of healed patients",
    ),
    Check(
        "achilles-lengthening-hastings2000",
        "Achilles lengthening brings one patient from neutral to 18 deg up",
        HASTINGS,
        f"{GROUP} as the patient was before; one person: the reading error of {GONIOMETER}",
        _tal_case,
        "one patient: how far a surgeon opens the tendon differs. Enter plan.calf_gain_deg where it is known",
        (GONIOMETER,),
    ),
    Check(
        "strength-after-recession",
        "Push-down strength is not lower 3 to 6 months after a recession than before",
        ("calf-direction-strength-chimera2010", "calf-direction-strength-messerschmidt2018"),
        f"healthy mixed group at full effort, neutral, knee straight, active and passive torque; tolerance the retest "
        f"difference of {RETEST}. The muscles are left as they were by the program, so a guard only; a review found no "
        "study with normal power afterwards (calf-direction-strength-gianakos2016)",
        _strength_kept,
        by=(RETEST,),
    ),
    Check(
        "strength-8-weeks-after-achilles-lengthening",
        "Push-down torque is 21 % lower 8 weeks after Achilles lengthening",
        ("tq-pf-after-tal-8wk-hastings2000",),
        f"healthy mixed group at full effort, neutral, knee straight; one patient: tolerance the retest difference of "
        f"{RETEST}",
        lambda scene: _strength_after_tal("tq-pf-after-tal-8wk-hastings2000", scene),
        "the program forecasts the healed leg: the muscles of a lengthened calf pull as before, the first weeks in a "
        "cast are not modelled",
        (RETEST,),
    ),
    Check(
        "strength-7-months-after-achilles-lengthening",
        "Push-down torque is back 7 months after Achilles lengthening",
        ("calf-tal-torque-7mo-hastings2000",),
        f"as at 8 weeks; tolerance the retest difference of {RETEST}",
        lambda scene: _strength_after_tal("calf-tal-torque-7mo-hastings2000", scene),
        by=(RETEST,),
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
)


HARVEST = ("tibialis_posterior",)


def flagged(legs: Legs) -> bool:
    """True when taking tibialis posterior raises the arch flag."""
    return ARCH in balance(subtalar_capacity(legs), legs.capacity, HARVEST, Sample.independent(len(legs.points))).flags


def _flat_foot(scene: Scene) -> Verdict:
    """No flat foot was counted after a harvest in peroneal palsy: there the flag is silent, elsewhere it can speak."""
    silent, speaks = not flagged(scene.palsy), flagged(scene.both)
    told = f"complete palsy: {_flag_words(not silent)}; all muscles at their own normal: {_flag_words(speaks)}"
    return direction(silent and speaks, "no flag where the short peroneal is paralysed, a flag where it works", told)


def _flag_words(flag: bool) -> str:
    return "arch flagged" if flag else "arch not flagged"


HARVEST_CHECKS = (
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
