"""Rules about what the foot loses and on which side the tendon pulls."""

from sinewright.case import Case, state_of
from sinewright.choose import facts_body as body
from sinewright.choose import facts_moving as f
from sinewright.choose.findings import GONE, listed, muscle, names, spastic, works
from sinewright.choose.rule import OperationRule
from sinewright.transfer.catalogue import Operation

EVERTORS = ("peroneus_longus", "peroneus_brevis")
INNER = ("navicular_dorsum", "medial_cuneiform_dorsum", "anterior_tibial_below", "anterior_tibial_above")
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


def _varus(case: Case, moved: Operation) -> str | None:
    shape = case.foot.hindfoot
    to = _insertion(moved, INNER)
    if shape in ("flexible varus", "fixed varus") and to:
        return f"The hindfoot is in varus, and the pull goes to the inner side: {listed(to)}."
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
    whole = any(p.donor.muscle == "tibialis_posterior" and len(p.paths) == 1 for p in moved.parts)
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
    ),
    OperationRule(
        "short_peroneal_unopposed", "warn", "short peroneal works after tibialis posterior is moved", f.ARCH, _arch
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
    ),
    OperationRule(
        "pull_adds_valgus",
        "warn",
        "insertion on the outer side of a foot in valgus",
        (f.INSERTION_TURNS, f.THIRD_AXIS),
        _valgus,
    ),
    OperationRule(
        "peroneal_to_inner_side",
        "warn",
        "a peroneal to the inner side while tibialis posterior works",
        (f.INNER_PERONEAL, f.INSERTION_TURNS),
        _inner_peroneal,
    ),
    OperationRule(
        "whole_tendon_spastic",
        "warn",
        "whole tibialis posterior moved in spasticity",
        (body.OVER_CORRECTED, body.SPLIT_SAFE),
        _whole_in_spasticity,
    ),
)
