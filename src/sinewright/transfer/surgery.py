"""The surgical knowledge as data: donors, routes, recipients, sound pairs of donors. Frozen, no arithmetic.

Paths are written as elements, see ``anatomy.skeleton.parse_path``. Routes and recipients follow common practice; the
papers that measured them are named in each ``source`` (keys of the reference room).
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Donor:
    """A muscle that can be moved: where its belly ends, where it is cut, the path from there, what is lost with it."""

    muscle: str
    title: str
    to_cut: str
    cut_at: str
    price: str


@dataclass(frozen=True)
class Route:
    """A way to the front of the ankle for some donors: path from the donor's origin to in front of the ankle."""

    name: str
    title: str
    donors: tuple[str, ...]
    via: str
    hold: str
    needs_membrane: bool
    source: str


@dataclass(frozen=True)
class Recipient:
    """What the tendon is sewn to: one to three paths with their shares of the tension.

    ``tails`` follow the route; for a tendon joined above the retinaculum they begin at the junction and the route's
    hold is left out. ``tendons`` are the muscles whose tendons carry the pull, ``bone`` tells a bony fixation.
    """

    name: str
    title: str
    tails: tuple[str, ...]
    shares: tuple[float, ...]
    bone: bool
    joined_above: bool
    tendons: tuple[str, ...]
    source: str


TO_FOOT = "(front_of_ankle) > "

DONORS = (
    Donor(
        "tibialis_posterior",
        "Tibialis posterior",
        "tibialis_posterior_mtj > tibialis_posterior_retro > (medial_malleolus) > tibialis_posterior_navicular",
        "at the navicular",
        "the main inward balancer and the arch's muscle are spent",
    ),
    Donor(
        "peroneus_longus",
        "Long peroneal",
        "long_peroneal_mtj > (lateral_malleolus) > long_peroneal_tubercle > long_peroneal_cuboid",
        "at the cuboid groove",
        "push of the first ray weakens; the short peroneal must work",
    ),
    Donor(
        "peroneus_brevis",
        "Short peroneal",
        "short_peroneal_mtj > (lateral_malleolus) > short_peroneal_tubercle > short_peroneal_insertion",
        "at the fifth metatarsal base",
        "the main outward balancer is spent",
    ),
    Donor(
        "flexor_digitorum_longus",
        "Long toe flexor",
        "toe_flexor_mtj > (medial_malleolus) > toe_flexor_sustentaculum > toe_flexor_crossing",
        "where it crosses the great-toe flexor",
        "toe grip is lost",
    ),
    Donor(
        "flexor_hallucis_longus",
        "Great-toe flexor",
        "hallux_flexor_mtj > hallux_flexor_talus > hallux_flexor_sustentaculum > hallux_flexor_crossing",
        "where it crosses the long toe flexor",
        "push of the great toe is lost",
    ),
)

DEEP = ("tibialis_posterior", "flexor_digitorum_longus", "flexor_hallucis_longus")
OUTER = ("peroneus_longus", "peroneus_brevis")

ROUTES = (
    Route(
        "membrane_under",
        "through the interosseous membrane, under the retinaculum",
        DEEP,
        via="membrane_window",
        hold="under_band",
        needs_membrane=True,
        source="wagner2018",
    ),
    Route(
        "membrane_over",
        "through the interosseous membrane, over the retinaculum",
        DEEP,
        via="membrane_window",
        hold="over_band",
        needs_membrane=True,
        source="wagner2018",
    ),
    Route(
        "round_tibia",
        "round the tibia, under the skin",
        ("tibialis_posterior",),
        via="round_tibia_back > round_tibia_inner",
        hold="round_tibia_front",
        needs_membrane=False,
        source="wagner2018",
    ),
    Route(
        "front_of_fibula_under",
        "in front of the fibula, under the retinaculum",
        OUTER,
        via="front_of_fibula",
        hold="front_band_lateral",
        needs_membrane=False,
        source="common-practice",
    ),
    Route(
        "front_of_fibula_over",
        "in front of the fibula, over the retinaculum",
        OUTER,
        via="front_of_fibula",
        hold="over_band_outer",
        needs_membrane=False,
        source="common-practice",
    ),
)


def _bone(name: str, title: str, source: str = "goh1995") -> Recipient:
    return Recipient(
        name, title, (f"{TO_FOOT}{name}",), shares=(1.0,), bone=True, joined_above=False, tendons=(), source=source
    )


ANTERIOR_TIBIAL = f"anterior_tibial_junction > front_band_medial > {TO_FOOT}tibialis_anterior_insertion"
LONG_EXTENSORS = (
    f"toe_extensor_junction > front_band_lateral > {TO_FOOT}inferior_band_lateral"
    " > toe_extensor_dorsum > toe_extensor_toes"
)
GREAT_TOE_EXTENSOR = (
    f"hallux_extensor_junction > front_band_middle > {TO_FOOT}inferior_band_middle > hallux_extensor_dorsum"
    " > hallux_extensor_toe"
)
THIRD_PERONEAL = f"third_peroneal_junction > front_band_outer > {TO_FOOT}third_peroneal_insertion"
LONG_PERONEAL_STUMP = "anterior_tibial_junction > long_peroneal_stump > long_peroneal_cuboid > long_peroneal_insertion"

RECIPIENTS = (
    _bone("navicular_dorsum", "navicular"),
    _bone("medial_cuneiform_dorsum", "medial cuneiform"),
    _bone("intermediate_cuneiform_dorsum", "intermediate cuneiform"),
    _bone("lateral_cuneiform_dorsum", "lateral cuneiform, third ray", "hui1998"),
    _bone("cuboid_dorsum", "cuboid"),
    _bone("metatarsal_2_base", "second metatarsal base"),
    _bone("metatarsal_3_base", "third metatarsal base", "hui1998"),
    Recipient(
        "split_medial_cuneiform_cuboid",
        "split: medial cuneiform and cuboid",
        (f"{TO_FOOT}medial_cuneiform_dorsum", f"{TO_FOOT}cuboid_dorsum"),
        shares=(0.5, 0.5),
        bone=True,
        joined_above=False,
        tendons=(),
        source="rath2010-rct",
    ),
    Recipient(
        "anterior_tibial_above",
        "anterior tibial tendon, above the retinaculum",
        (ANTERIOR_TIBIAL,),
        shares=(1.0,),
        bone=False,
        joined_above=True,
        tendons=("tibialis_anterior",),
        source="common-practice",
    ),
    Recipient(
        "anterior_tibial_below",
        "anterior tibial tendon, below the retinaculum",
        (f"{TO_FOOT}tibialis_anterior_insertion",),
        shares=(1.0,),
        bone=False,
        joined_above=False,
        tendons=("tibialis_anterior",),
        source="common-practice",
    ),
    Recipient(
        "long_extensors_above",
        "long toe extensors, above the retinaculum",
        (LONG_EXTENSORS,),
        shares=(1.0,),
        bone=False,
        joined_above=True,
        tendons=("extensor_digitorum_longus",),
        source="common-practice",
    ),
    Recipient(
        "long_extensors_below",
        "long toe extensors, below the retinaculum",
        (f"{TO_FOOT}toe_extensor_dorsum > toe_extensor_toes",),
        shares=(1.0,),
        bone=False,
        joined_above=False,
        tendons=("extensor_digitorum_longus",),
        source="common-practice",
    ),
    Recipient(
        "third_peroneal_above",
        "third peroneal tendon, above the retinaculum",
        (THIRD_PERONEAL,),
        shares=(1.0,),
        bone=False,
        joined_above=True,
        tendons=("peroneus_tertius",),
        source="common-practice",
    ),
    Recipient(
        "third_peroneal_below",
        "third peroneal tendon, below the retinaculum",
        (f"{TO_FOOT}third_peroneal_insertion",),
        shares=(1.0,),
        bone=False,
        joined_above=False,
        tendons=("peroneus_tertius",),
        source="common-practice",
    ),
    Recipient(
        "extensor_mass_below",
        "common extensor mass, below the retinaculum",
        (
            f"{TO_FOOT}tibialis_anterior_insertion",
            f"{TO_FOOT}hallux_extensor_dorsum > hallux_extensor_toe",
            f"{TO_FOOT}toe_extensor_dorsum > toe_extensor_toes",
        ),
        shares=(0.5, 0.2, 0.3),
        bone=False,
        joined_above=False,
        tendons=("tibialis_anterior", "extensor_hallucis_longus", "extensor_digitorum_longus"),
        source="common-practice",
    ),
    Recipient(
        "extensor_mass_above",
        "common extensor mass, above the retinaculum",
        (ANTERIOR_TIBIAL, GREAT_TOE_EXTENSOR, LONG_EXTENSORS),
        shares=(0.5, 0.2, 0.3),
        bone=False,
        joined_above=True,
        tendons=("tibialis_anterior", "extensor_hallucis_longus", "extensor_digitorum_longus"),
        source="common-practice",
    ),
    Recipient(
        "anterior_tibial_and_long_peroneal_stump",
        "anterior tibial tendon joined with the long-peroneal stump",
        (ANTERIOR_TIBIAL, LONG_PERONEAL_STUMP),
        shares=(0.5, 0.5),
        bone=False,
        joined_above=True,
        tendons=("tibialis_anterior", "peroneus_longus"),
        source="common-practice",
    ),
)


@dataclass(frozen=True)
class TendonTransfer:
    """One donor of an operation: muscle, route, recipient."""

    donor: str
    route: str
    recipient: str


@dataclass(frozen=True)
class OperationRecipe:
    """One operation as parts; ``also_taken`` are muscles whose tendon is used without being a working donor."""

    parts: tuple[TendonTransfer, ...]
    also_taken: tuple[str, ...] = ()


def _single(donor: str, route: str, *recipients: str) -> tuple[OperationRecipe, ...]:
    return tuple(OperationRecipe((TendonTransfer(donor, route, r),)) for r in recipients)


STIRRUP = "anterior_tibial_and_long_peroneal_stump"
OPERATIONS = (
    *_single(
        "tibialis_posterior",
        "membrane_under",
        "medial_cuneiform_dorsum",
        "intermediate_cuneiform_dorsum",
        "lateral_cuneiform_dorsum",
        "cuboid_dorsum",
        "metatarsal_2_base",
        "metatarsal_3_base",
        "split_medial_cuneiform_cuboid",
        "anterior_tibial_below",
        "anterior_tibial_above",
        "long_extensors_above",
        "extensor_mass_above",
        "extensor_mass_below",
    ),
    *_single(
        "tibialis_posterior",
        "membrane_over",
        "intermediate_cuneiform_dorsum",
        "lateral_cuneiform_dorsum",
        "anterior_tibial_below",
        "long_extensors_below",
    ),
    *_single(
        "tibialis_posterior",
        "round_tibia",
        "navicular_dorsum",
        "intermediate_cuneiform_dorsum",
        "lateral_cuneiform_dorsum",
        "cuboid_dorsum",
        "anterior_tibial_below",
    ),
    OperationRecipe((TendonTransfer("tibialis_posterior", "membrane_under", STIRRUP),), ("peroneus_longus",)),
    *_single(
        "peroneus_longus",
        "front_of_fibula_under",
        "anterior_tibial_above",
        "long_extensors_above",
        "third_peroneal_above",
        "third_peroneal_below",
        "extensor_mass_above",
        "extensor_mass_below",
        "intermediate_cuneiform_dorsum",
        "lateral_cuneiform_dorsum",
    ),
    *_single(
        "peroneus_longus",
        "front_of_fibula_over",
        "medial_cuneiform_dorsum",
        "intermediate_cuneiform_dorsum",
        "lateral_cuneiform_dorsum",
    ),
    *_single(
        "peroneus_brevis",
        "front_of_fibula_under",
        "anterior_tibial_above",
        "long_extensors_above",
        "third_peroneal_above",
        "lateral_cuneiform_dorsum",
    ),
    *_single(
        "flexor_digitorum_longus",
        "membrane_under",
        "intermediate_cuneiform_dorsum",
        "lateral_cuneiform_dorsum",
        "long_extensors_above",
    ),
    *_single(
        "flexor_hallucis_longus",
        "membrane_under",
        "intermediate_cuneiform_dorsum",
        "lateral_cuneiform_dorsum",
        "anterior_tibial_above",
    ),
    OperationRecipe(
        (
            TendonTransfer("tibialis_posterior", "membrane_under", "anterior_tibial_above"),
            TendonTransfer("peroneus_longus", "front_of_fibula_under", "anterior_tibial_above"),
        )
    ),
    OperationRecipe(
        (
            TendonTransfer("tibialis_posterior", "membrane_under", "lateral_cuneiform_dorsum"),
            TendonTransfer("flexor_digitorum_longus", "membrane_under", "long_extensors_above"),
        )
    ),
    OperationRecipe(
        (
            TendonTransfer("peroneus_longus", "front_of_fibula_under", "anterior_tibial_above"),
            TendonTransfer("peroneus_brevis", "front_of_fibula_under", "long_extensors_above"),
        )
    ),
)
