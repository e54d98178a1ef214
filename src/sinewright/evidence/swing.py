"""Walking: what the swinging foot needs, clears and shows at heel strike, against papers that set no number of it."""

from functools import cached_property
from weakref import WeakKeyDictionary

import numpy as np

from sinewright.anatomy.path import POSE_SIZE
from sinewright.arrays import Floats
from sinewright.choose.sewing import sewn_for
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.walk import FREE, NOTHING_MOVED, draw_walk, healthy_legs
from sinewright.evidence.people import healthy, palsy
from sinewright.evidence.result import Check, Verdict
from sinewright.evidence.scene import SEED, Scene, operation
from sinewright.evidence.verdicts import angle, cannot, direction, row, unit, within, within_range, within_sd
from sinewright.solve import answer as a
from sinewright.solve import swing as sw
from sinewright.solve.clearance import Sole, lowest
from sinewright.solve.leg import Legs
from sinewright.solve.passive_torque import SUBTALAR_NEUTRAL
from sinewright.solve.swing_held import held
from sinewright.solve.walk import COSINE, MARKS, SINE, Walk
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import SewnOperation, build_plans
from sinewright.units import deg, mm

NATURAL, SLOW = 1.35, 0.7  # m/s: the speed of the curves, and about half of it (ga-speed-dropfoot-abb2017)
TRANSFER = operation("membrane_under.lateral_cuneiform_dorsum")
CM, NM, PER_KG, DEG, PERCENT = unit("cm", 2), unit("N.m"), unit("N.m/kg", 2), unit("deg"), unit("%")


def _men_then_women(legs: Legs) -> tuple[Legs, Legs]:
    """The two halves of a group that stands in turns."""
    return Legs(*(part[0::2] for part in legs)), Legs(*(part[1::2] for part in legs))


class Walks:
    """Swings of the groups of a scene, men before women; every part is built when first asked for."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene

    @cached_property
    def sound(self) -> tuple[Floats, Floats, Floats]:
        """Answers (N, 11), moment about the ankle at toe-off (N,) [N.m] and body mass (N,) of healthy legs."""
        out, start, mass = [], [], []
        for man, legs in ((True, self.scene.men), (False, self.scene.women)):
            walk = draw_walk(healthy(man), legs, SEED, NATURAL).walk
            before, plans = healthy_legs(legs, PriorSampler(len(legs.points), SEED)), build_plans([NOTHING_MOVED])
            subtalar = legs.passive[:, SUBTALAR_NEUTRAL]
            found, _ = sw.swing(before, plans, walk, np.full((len(subtalar), 1), FREE), subtalar[:, None], 0.0)
            out.append(found[:, 0])
            start.append(sw.tracks(before, plans, walk, np.full(len(subtalar), FREE), subtalar)[:, 0, 2])
            mass.append(walk.mass)
        return np.concatenate(out), np.concatenate(start), np.concatenate(mass)

    @cached_property
    def dips(self) -> tuple[float, int]:
        """Share of healthy legs whose toe tip sinks and rises again inside swing, and how many legs there are."""
        found = []
        for man, legs in ((True, self.scene.men), (False, self.scene.women)):
            walk = draw_walk(healthy(man), legs, SEED, NATURAL).walk
            before, plans = healthy_legs(legs, PriorSampler(len(legs.points), SEED)), build_plans([NOTHING_MOVED])
            subtalar = legs.passive[:, SUBTALAR_NEUTRAL]
            tracks = sw.tracks(before, plans, walk, np.full(len(subtalar), FREE), subtalar)
            found += [_dips(_toe_heights(walk, leg, legs.joint[leg], tracks[leg])) for leg in range(len(subtalar))]
        return float(np.mean(found)), len(found)

    @cached_property
    def dropped(self) -> Floats:
        """Answers (N, 11) of the palsy group as it is."""
        return self._walked(self.scene.palsy, None)

    @cached_property
    def dropped_supple(self) -> Floats:
        """The same of the supple group."""
        return self._walked(self.scene.palsy_supple, None)

    @cached_property
    def moved(self) -> Floats:
        """Answers (N, 11) of the supple group after the transfer, effort as learned."""
        return self._walked(self.scene.palsy_supple, TRANSFER)

    @cached_property
    def braced(self) -> Floats:
        """Answers (N, 11) of the palsy group in a stiff brace."""
        out = []
        for man, legs in zip((True, False), _men_then_women(self.scene.palsy), strict=True):
            walk = draw_walk(palsy(man), legs, SEED, SLOW).walk
            zero = np.zeros(len(walk.brace))
            out.append(held(legs, walk, walk.brace, zero, 0.0)[0])
        return np.concatenate(out)

    def held_back(self, name: str | None) -> tuple[Floats, Floats]:
        """Ankle at toe-off and active range (N,) [rad] of the supple group, with this operation or none."""
        start, arc = [], []
        for man, legs in zip((True, False), _men_then_women(self.scene.palsy_supple), strict=True):
            walk = draw_walk(palsy(man), legs, SEED, SLOW).walk
            statics, failed = a.answer(legs, build_plans([self._sewn(legs, name)]))
            found = np.where(failed[:, 0, None] > 0, np.nan, statics[:, 0])
            start.append(np.maximum(walk.toe_off, found[:, a.PUSH]))
            arc.append(found[:, a.LIFT] - found[:, a.PUSH])
        return np.concatenate(start), np.concatenate(arc)

    def _walked(self, group: Legs, name: str | None) -> Floats:
        out = []
        for man, legs in zip((True, False), _men_then_women(group), strict=True):
            walk = draw_walk(palsy(man), legs, SEED, SLOW).walk
            out.append(_swing(legs, walk, self._sewn(legs, name)))
        return np.concatenate(out)

    def _sewn(self, legs: Legs, name: str | None) -> SewnOperation:
        if name is None:
            return NOTHING_MOVED
        moved = next(o for o in catalogue() if o.id == name)
        return sewn_for(palsy(True), legs, [moved])[0]


def _toe_heights(walk: Walk, leg: int, joint: Floats, track: Floats) -> Floats:
    """Height of the tip of the toes [m] at every step of swing."""
    base, where = walk.base[leg], np.empty((MARKS, 2))
    sole = Sole(walk.marks[leg], joint, base, walk.ankle_rise[leg], np.empty(POSE_SIZE))
    out = np.empty(len(track))
    for n in range(len(track)):
        lowest(track[n, 0], track[n, 1], n, sole, where)
        out[n] = walk.ankle_rise[leg, n] + where[0, 0] * base[n, SINE] + where[0, 1] * base[n, COSINE]
    return out


def _dips(height: Floats) -> bool:
    """Whether a height falls and rises again between its first rise and the end."""
    slope = np.diff(height)
    return bool(np.any((slope[:-1] < 0.0) & (slope[1:] >= 0.0)))


def _swing(legs: Legs, walk: Walk, sewn: SewnOperation) -> Floats:
    plans = build_plans([sewn])
    statics, failed = a.answer(legs, plans)
    found, bad = sw.swing(legs, plans, walk, statics[:, :, a.PUSH], statics[:, :, a.REST_SUBTALAR], 0.0)
    return np.where((failed + bad > 0)[:, :, None], np.nan, found)[:, 0]


_WALKS: WeakKeyDictionary[Scene, Walks] = WeakKeyDictionary()


def _walks(scene: Scene) -> Walks:
    return _WALKS.setdefault(scene, Walks(scene))


def _middle(found: Floats, column: int) -> float:
    return float(np.nanmedian(found[:, column]))


def _clearance_cm(found: Floats) -> float:
    return float(mm(_middle(found, sw.CLEARANCE))) / 10.0


def _young(scene: Scene) -> Verdict:
    spread = row("ga-mtc-flat-floor-schulz2011").sd or 0.0
    return within(_clearance_cm(_walks(scene).sound[0]), row("ga-mtc-young-winter1991").value, spread, CM)


def _flat_floor(scene: Scene) -> Verdict:
    return within_sd(_clearance_cm(_walks(scene).sound[0]), row("ga-mtc-flat-floor-schulz2011"), CM)


def _dip_share(scene: Scene) -> Verdict:
    (share, legs), printed = _walks(scene).dips, row("ga-mtc-event-share-schulz2011")
    p = printed.value / 100.0
    return within(100.0 * share, printed.value, 200.0 * float(np.sqrt(p * (1.0 - p) / legs)), PERCENT)


def _in_brace(scene: Scene) -> Verdict:
    return within_sd(_clearance_cm(_walks(scene).braced), row("ga-mtc-with-brace-cruz2009"), CM)


def _toe_off(scene: Scene) -> Verdict:
    _, start, mass = _walks(scene).sound
    printed = row("ga-swing-moment-75kg")
    return within(float(np.median(start / mass)) * 75.0, printed.value, 0.005 * 75.0, NM)


def _demand(scene: Scene) -> Verdict:
    found, _, mass = _walks(scene).sound
    printed = row("ga-moment-loading-control-abb2017")
    return within(float(np.median(found[:, sw.DEMAND] / mass)), -printed.value, printed.sd or 0.0, PER_KG)


def _enough(scene: Scene) -> Verdict:
    found = _walks(scene).sound[0]
    share = float(np.mean(found[:, sw.AVAILABLE] >= found[:, sw.DEMAND]))
    told = f"{NM(_middle(found, sw.AVAILABLE))} available; enough in {100.0 * share:.0f} of 100 legs"
    return direction(share > 0.5, "a healthy foot is let down by its lifters", told)


def _none_left(scene: Scene) -> Verdict:
    most = float(np.nanmax(_walks(scene).dropped[:, sw.AVAILABLE]))
    return direction(most == 0.0, "no lifting moment at all in loading", f"at most {NM(most)} available")


def _strike(scene: Scene) -> Verdict:
    found = float(deg(_middle(_walks(scene).dropped, sw.STRIKE)))
    return within_sd(found, row("ga-ankle-loading-dropfoot-abb2017"), angle)


def _strike_jner(scene: Scene) -> Verdict:
    printed = row("ga-ankle-dorsiflexion-angle-none-jner2023")
    found = float(deg(_middle(_walks(scene).dropped, sw.STRIKE)))
    return within(found, printed.value, (printed.sd or 0.0), angle)


def _steppage(which: str) -> Check:
    printed, knee = row(f"ga-steppage-{which}"), row("own-swing-knee-per-hip").value

    def run(scene: Scene) -> Verdict:
        hip = float(deg(_middle(_walks(scene).dropped, sw.EXTRA_HIP)))
        return within_range(hip * (knee if which == "knee" else 1.0), printed.low, printed.high, DEG)

    return Check(
        id=f"steppage-{which}",
        claim=f"Extra {which} flexion with which people with a drop foot clear the floor",
        rows=(printed.id,),
        setup=f"palsy group at {SLOW} m/s, middle leg, so that the sole just clears the floor",
        run=run,
    )


def _swing_up(scene: Scene) -> Verdict:
    walks = _walks(scene)
    before, after = (float(deg(_middle(x, sw.MID))) for x in (walks.dropped_supple, walks.moved))
    return direction(after > before, "more lift in swing after the transfer", f"{angle(before)} to {angle(after)}")


def gait_after_transfer(scene: Scene) -> Verdict:
    """Before against after: ankle in swing up, at toe-off less far down, active range not reduced."""
    walks = _walks(scene)
    ways = tuple(walks.held_back(name) for name in (None, TRANSFER))
    mid = [float(deg(_middle(x, sw.MID))) for x in (walks.dropped_supple, walks.moved)]
    off, arc = ([float(deg(np.nanmedian(way[i]))) for way in ways] for i in range(2))
    holds = {
        f"mid-swing {angle(mid[0])} to {angle(mid[1])}": mid[1] > mid[0],
        f"toe-off {angle(off[0])} to {angle(off[1])}": off[1] > off[0],
        f"active range {DEG(arc[0])} to {DEG(arc[1])}": arc[1] >= arc[0],
    }
    told = ", ".join(words if good else f"{words} (not so)" for words, good in holds.items())
    return direction(all(holds.values()), "swing up, toe-off less far down, active range not reduced", told)


def _symmetry(scene: Scene) -> Verdict:
    walks, sd = _walks(scene), row("ga-ankle-adult-100").sd or 0.0
    gaps = [float(deg(_middle(walks.moved, c) - _middle(walks.sound[0], c))) for c in (sw.MID, sw.STRIKE)]
    return direction(max(abs(g) for g in gaps) <= sd, f"both within {sd:.0f} deg of a healthy foot", _words(gaps))


def _words(gaps: list[float]) -> str:
    said = [f"{abs(gap):.1f} deg {'higher' if gap >= 0.0 else 'lower'}" for gap in gaps]
    return f"against the healthy foot: mid-swing {said[0]}, heel strike {said[1]}"


SOUND = f"healthy men and women, passive ankle of the printed mean curve, {NATURAL} m/s, middle leg"
DROPPED = f"palsy group, passive range not measured, {SLOW} m/s, middle leg"

CHECKS = (
    Check(
        "toe-clearance-winter1991",
        "Least toe clearance of young healthy people",
        ("ga-mtc-young-winter1991",),
        f"{SOUND}; no spread is printed: the sd of ga-mtc-flat-floor-schulz2011",
        _young,
        by=("ga-mtc-flat-floor-schulz2011",),
    ),
    Check(
        "toe-clearance-schulz2011", "Least toe clearance on a flat floor", ("ga-mtc-flat-floor-schulz2011",), SOUND,
        _flat_floor,
    ),
    Check(
        "toe-clearance-dip-schulz2011",
        "The toe tip sinks to a least height and rises again inside swing",
        ("ga-mtc-event-share-schulz2011",),
        f"{SOUND.rsplit(',', 1)[0]}; share of legs, the paper prints swings; tolerance: two standard errors of a count",
        _dip_share,
        "hip and knee of a virtual leg are the printed curves shifted by a drawn amount, not other shapes; where "
        "the hip is flexed 4 deg more and the knee 3 deg less than in the others the toe rises all the way",
    ),
    Check(
        "toe-clearance-elderly-winter1991", "Least toe clearance of elderly people", ("ga-mtc-elderly-winter1991",),
        "elderly people", cannot("1.1 cm"), "no elderly people are drawn: how age changes hip and knee was not read",
    ),
    Check(
        "toe-clearance-obstacles-schulz2011",
        "Least toe clearance among obstacles",
        ("ga-mtc-visible-obstacles-schulz2011", "ga-mtc-hidden-obstacles-schulz2011"),
        "a floor with obstacles",
        cannot("2.2 cm visible, 2.7 cm hidden"),
        "people lift the leg on purpose; the hip and knee of the model are those of a flat floor",
    ),
    Check(
        "toe-clearance-no-brace-cruz2009",
        "Least toe clearance without the brace",
        ("ga-mtc-without-brace-cruz2009", "ga-pelvic-hike-without-brace-cruz2009"),
        "people after a stroke, walking their own way",
        cannot("1.27 cm with the pelvis hiked 8.2 deg"),
        "a patient's own ways over the floor are left out; the program says how much hip and knee they would take",
    ),
    Check(
        "toe-clearance-brace-cruz2009",
        "Least toe clearance in a brace",
        ("ga-mtc-with-brace-cruz2009",),
        f"palsy group with the ankle held square, {SLOW} m/s, middle leg; the paper is about people after a stroke",
        _in_brace,
        "at half speed the printed hip and knee curves are scaled down and nothing makes up for it; the people of the "
        "paper hike the pelvis 6.5 deg in the brace (ga-pelvic-hike-with-brace-cruz2009), the model does not",
    ),
    Check(
        "swing-moment-bajelan2024",
        "Lifting moment of the ankle at toe-off",
        ("ga-swing-moment-75kg",),
        f"{SOUND}, scaled to 75 kg; tolerance: rounding of the printed 0.02 N.m/kg. The same number per kg is marked "
        "fit, but nothing was set by it",
        _toe_off,
        "the sum starts at rest at the lowest point of the ankle curve, with shoe (0.4 kg), and an effort that aims at "
        "the square foot at once; the paper's moment is a mean over people whose ankle follows the curve",
    ),
    Check(
        "loading-demand-abb2017",
        "Moment that lets a healthy foot down after heel strike",
        ("ga-moment-loading-control-abb2017", "ga-loading-moment-75kg"),
        f"{SOUND}; load under the heel times its lever behind the ankle, tolerance one printed sd",
        _demand,
    ),
    Check(
        "loading-lifters-enough", "Healthy lifters give the moment that loading asks for",
        ("ga-moment-loading-control-abb2017",), SOUND, _enough,
    ),
    Check(
        "loading-dropfoot-no-moment", "A drop foot gives no lifting moment in loading",
        ("ga-moment-loading-dropfoot-abb2017",), DROPPED, _none_left,
    ),
    Check(
        "strike-dropfoot-abb2017",
        "Ankle of an untreated drop foot about heel strike",
        ("ga-ankle-loading-dropfoot-abb2017",),
        f"{DROPPED}, at heel strike; the paper prints the mean of the first tenth of the cycle",
        _strike,
        "loading is not run: after heel strike the foot falls on",
    ),
    Check(
        "strike-dropfoot-jner2023",
        "Ankle of an untreated drop foot in loading",
        ("ga-ankle-dorsiflexion-angle-none-jner2023",),
        f"{DROPPED}, at heel strike; the paper prints the loading response, sd from the printed IQR",
        _strike_jner,
        "loading is not run: after heel strike the foot falls on",
    ),
    _steppage("hip"),
    _steppage("knee"),
    Check(
        "swing-up-dreher2014",
        "More dorsiflexion in swing after tibialis posterior transfer",
        ("ga-direction-dreher2014",),
        f"supple palsy group, {SLOW} m/s, under the retinaculum to the lateral cuneiform, effort as learned",
        _swing_up,
    ),
    Check(
        "swing-symmetry-cjsm2017",
        "Dorsiflexion in swing and at initial contact restored to symmetry after tibialis posterior transfer",
        ("ga-direction-symmetry-cjsm2017",),
        f"supple palsy group, {SLOW} m/s, against the healthy group; band: sd of ga-ankle-adult-100",
        _symmetry,
        "the learned effort is drawn from none to all of it; five operated athletes with intensive training stand at "
        "the upper end",
        ("ga-ankle-adult-100",),
    ),
    Check(
        "loading-control-angle-abb2017",
        "Ankle of healthy people in the first tenth of the cycle",
        ("ga-ankle-loading-control-abb2017",),
        "the sum ends at heel strike",
        cannot("2.4 deg down, mean of 0 to 10 percent"),
        "loading is not run",
    ),
    Check(
        "swing-children-jos2020",
        "Swing and initial contact before and after great-toe flexor transfer in children",
        (
            "ga-peak-swing-dorsiflexion-before-jos2020",
            "ga-peak-swing-dorsiflexion-after-jos2020",
            "ga-ankle-at-initial-contact-before-jos2020",
            "ga-ankle-at-initial-contact-after-jos2020",
        ),
        "children with spastic hemiplegia",
        cannot("swing 19.5 deg down to 1.4 deg up, initial contact 20.9 to 6.3 deg down"),
        "a spastic calf pulls in swing; the model's calf is relaxed from toe-off on, and no children are drawn",
    ),
    Check(
        "loading-leaf-spring-jner2023",
        "Ankle in a leaf-spring brace and in a helical brace",
        ("ga-ankle-dorsiflexion-angle-leaf-spring-jner2023", "ga-ankle-dorsiflexion-angle-helical-jner2023"),
        "a brace that gives",
        cannot("7.5 and 11 deg down in loading"),
        "the brace of the model does not give, and loading is not run",
    ),
)  # fmt: skip
