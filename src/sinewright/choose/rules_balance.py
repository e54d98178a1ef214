"""Rules about what the foot loses and on which side the tendon pulls."""

from sinewright.case import Case, state_of
from sinewright.choose import facts_body as body
from sinewright.choose import facts_moving as f
from sinewright.choose.findings import EVERTORS, GONE, listed, muscle, names, opposes, spastic, works
from sinewright.choose.rule import OperationRule
from sinewright.transfer.catalogue import Operation

INNER = ("navicular_dorsum", "medial_cuneiform_dorsum", "anterior_tibial_below", "anterior_tibial_above")
SPLIT = ("split_", "two_slips_")  # recipients in two halves, one for each side
VARUS = ("flexible varus", "fixed varus")
MIDDLE = ("intermediate_cuneiform_dorsum", "metatarsal_2_base")
OUTER = ("cuboid_dorsum", "third_peroneal_above")


def _stays(case: Case, moved: Operation, name: str) -> bool | None:
    """True when the muscle keeps its place and works, None where it was not graded."""
    return False if name in moved.taken else works(case, name)


def _arch(case: Case, moved: Operation) -> str | None:
    if "tibialis_posterior" not in moved.taken or state_of(muscle(case, "tibialis_posterior")) in GONE:
        return None
    short = _stays(case, moved, "peroneus_brevis")
    if short:
        return "Tibialis posterior leaves its place while the short peroneal works: the arch may flatten."
    if short is None and "peroneus_brevis" not in moved.taken and state_of(muscle(case, "peroneus_brevis")) not in GONE:
        return "Tibialis posterior leaves its place; whether the short peroneal works was not graded."
    return None


def _flat_arch(case: Case, moved: Operation) -> str | None:
    lost = "tibialis_posterior" in moved.taken and state_of(muscle(case, "tibialis_posterior")) not in GONE
    if lost and case.foot.arch == "flat" and _stays(case, moved, "peroneus_brevis"):
        return "The arch is flat, tibialis posterior leaves it, and the short peroneal goes on pulling it down."
    return None


def _low_arch(case: Case, moved: Operation) -> str | None:
    if "tibialis_posterior" in moved.taken and case.foot.arch in ("low", "flat"):
        return f"The arch is {case.foot.arch} already and loses tibialis posterior."
    return None


def _first_ray(case: Case, moved: Operation) -> str | None:
    if "peroneus_longus" in moved.taken and works(case, "peroneus_longus") is not False:
        return "The long peroneal leaves its place: the first ray loses its plantar-flexor."
    return None


def _short_peroneal(case: Case, moved: Operation) -> str | None:
    if "peroneus_brevis" in moved.taken:
        return "The short peroneal, the main outward balancer, leaves its place."
    return None


def _no_outward(case: Case, moved: Operation) -> str | None:
    taken = [name for name in EVERTORS if name in moved.taken and state_of(muscle(case, name)) not in GONE]
    left = [_stays(case, moved, name) for name in EVERTORS]
    inward = _stays(case, moved, "tibialis_posterior")
    if taken and left == [False, False] and inward is not False and case.foot.subtalar_joint != "fused":
        return f"{names(taken)} taken: no peroneal of grade 4 is left, and tibialis posterior pulls the foot in."
    return None


def _insertion(moved: Operation, places: tuple[str, ...]) -> list[str]:
    return [part.recipient.title for part in moved.parts if part.recipient.name in places]


def _varus_heel(case: Case) -> bool:
    return case.foot.hindfoot in VARUS


def _varus(case: Case, moved: Operation) -> str | None:
    to = _insertion(moved, INNER)
    if _varus_heel(case) and to:
        return f"The hindfoot is in varus, and the pull goes to the inner side: {listed(to)}."
    return None


def _middle(case: Case, moved: Operation) -> str | None:
    to, where = _insertion(moved, MIDDLE), "hindfoot" if _varus_heel(case) else "forefoot"
    if (_varus_heel(case) or case.foot.forefoot in VARUS) and to:
        return f"The {where} is in varus, and the pull goes to the middle: {listed(to)}; further out holds it better."
    return None


def _without_everter(case: Case, moved: Operation) -> str | None:
    to = _insertion(moved, INNER)
    left = [False if name in moved.taken else opposes(case, name) for name in EVERTORS]
    if to and left == [False, False] and case.foot.subtalar_joint != "fused":
        return f"The pull goes to the inner side ({listed(to)}), and no muscle is left that turns the foot out."
    return None


def _forefoot(case: Case, moved: Operation) -> str | None:
    turned_in = case.foot.forefoot in VARUS
    inner = _insertion(moved, INNER)
    round_tibia = any(part.route.name == "round_tibia" for part in moved.parts)
    if not turned_in or not (inner or round_tibia):
        return None
    how = (
        f"the pull goes to the inner side: {listed(inner)}" if inner else "the way round the tibia turns it in further"
    )
    return f"The forefoot is in varus, and {how}."


def _everter_taken(case: Case, moved: Operation) -> str | None:
    taken = [name for name in EVERTORS if name in moved.taken and opposes(case, name)]
    if taken and _varus_heel(case) and _stays(case, moved, "tibialis_posterior") is not False:
        return f"{names(taken)} taken from a foot in varus while tibialis posterior goes on pulling in."
    return None


def _valgus(case: Case, moved: Operation) -> str | None:
    shape = case.foot.hindfoot
    to = _insertion(moved, OUTER)
    if shape in ("flexible valgus", "fixed valgus") and to:
        return f"The hindfoot is in valgus, and the pull goes to the outer side: {listed(to)}."
    return None


def _inner_peroneal(case: Case, moved: Operation) -> str | None:
    to = [p.recipient.title for p in moved.parts if p.donor.muscle in EVERTORS and p.recipient.name in INNER]
    if to and _stays(case, moved, "tibialis_posterior") is not False:
        return f"A peroneal is moved to the inner side ({listed(to)}) while tibialis posterior keeps pulling in."
    return None


def _whole_in_spasticity(case: Case, moved: Operation) -> str | None:
    whole = any(p.donor.muscle == "tibialis_posterior" and not p.recipient.name.startswith(SPLIT) for p in moved.parts)
    if spastic(case) and whole:
        return "The whole of a spastic tibialis posterior is moved to one side."
    return None


RULES = (
    OperationRule(
        "no_outward_balancer",
        "block",
        "no working peroneal left against tibialis posterior",
        (f.SHORT_MUST_WORK, f.POLIO, f.INNER_PERONEAL, f.THINK_OF_BALANCE),
        _no_outward,
        opens="another donor, or a subtalar fusion with it",
    ),
    OperationRule(
        "short_peroneal_unopposed", "warn", "short peroneal works after tibialis posterior is moved", f.ARCH, _arch
    ),
    OperationRule(
        "flat_arch",
        "warn",
        "flat arch loses tibialis posterior while the short peroneal works",
        (f.SHORT_PERONEAL_CASE, f.CHECK_SHORT_PERONEAL, f.LOW_ARCH),
        _flat_arch,
        severity="danger",
        costs="first place",
    ),
    OperationRule(
        "low_arch",
        "warn",
        "low arch loses tibialis posterior",
        (f.LOW_ARCH, f.NO_FLAT_FOOT_LONG, f.NOT_LATE),
        _low_arch,
    ),
    OperationRule(
        "first_ray",
        "warn",
        "long peroneal moved",
        (f.FIRST_RAY, f.LONG_PERONEAL_SPARES, f.LONG_PERONEAL_SCORE, f.LONG_PERONEAL_TORQUE),
        _first_ray,
    ),
    OperationRule("short_peroneal_taken", "warn", "short peroneal moved", (f.POLIO, f.INNER_PERONEAL), _short_peroneal),
    OperationRule(
        "pull_adds_varus",
        "warn",
        "insertion on the inner side of a foot in varus",
        (f.INSERTION_TURNS, f.THIRD_AXIS, f.VARUS_OUTWARD, f.VARUS_STAYED),
        _varus,
        severity="danger",
        costs="offer",
        opens="an insertion further out",
    ),
    OperationRule(
        "inner_without_everter",
        "warn",
        "insertion on the inner side and no muscle left that turns the foot out",
        (f.INSERTION_TURNS, f.THIRD_AXIS, f.THINK_OF_BALANCE),
        _without_everter,
        severity="danger",
        costs="offer",
        opens="an insertion in the middle or further out, or a split",
    ),
    OperationRule(
        "middle_in_varus",
        "warn",
        "insertion in the middle of a foot in varus",
        (f.VARUS_OUTWARD, f.INSERTION_TURNS),
        _middle,
        costs="first place",
    ),
    OperationRule(
        "forefoot_turned_in",
        "warn",
        "inner insertion or way round the tibia with a forefoot in varus",
        (f.INSERTION_TURNS, f.ROUND_TIBIA),
        _forefoot,
        severity="danger",
        costs="first place",
    ),
    OperationRule(
        "everter_taken_in_varus",
        "warn",
        "a peroneal taken from a foot in varus",
        (f.EVERTER_IN_VARUS, f.THINK_OF_BALANCE),
        _everter_taken,
        severity="danger",
        costs="offer",
    ),
    OperationRule(
        "pull_adds_valgus",
        "warn",
        "insertion on the outer side of a foot in valgus",
        (f.INSERTION_TURNS, f.THIRD_AXIS),
        _valgus,
        severity="danger",
        costs="first place",
    ),
    OperationRule(
        "peroneal_to_inner_side",
        "warn",
        "a peroneal to the inner side while tibialis posterior works",
        (f.INNER_PERONEAL, f.INSERTION_TURNS),
        _inner_peroneal,
        severity="danger",
        costs="first place",
    ),
    OperationRule(
        "whole_tendon_spastic",
        "warn",
        "whole tibialis posterior moved in spasticity",
        (body.OVER_CORRECTED, body.SPLIT_SAFE),
        _whole_in_spasticity,
        severity="danger",
        costs="offer",
        opens="a split of the donor or of its insertion",
    ),
)
