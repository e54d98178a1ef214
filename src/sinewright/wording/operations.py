"""Operations in short words for a rung or a line: the way a tendon takes and where it ends; what its loss costs.

The full words stand in the catalogue; these are for places where a line must stay a line.
"""

from __future__ import annotations

ROUTES = {
    "membrane_under": "through the membrane",
    "membrane_over": "through the membrane, over the retinaculum",
    "round_tibia": "round the tibia",
    "front_of_fibula_under": "in front of the fibula",
    "front_of_fibula_over": "in front of the fibula, over the retinaculum",
}
RECIPIENTS = {
    "navicular_dorsum": "navicular",
    "medial_cuneiform_dorsum": "medial cuneiform",
    "intermediate_cuneiform_dorsum": "middle cuneiform",
    "lateral_cuneiform_dorsum": "lateral cuneiform",
    "cuboid_dorsum": "cuboid",
    "split_medial_cuneiform_cuboid": "medial cuneiform and cuboid",
    "anterior_tibial_above": "tibialis anterior, high",
    "anterior_tibial_below": "tibialis anterior",
    "long_extensors_above": "long toe extensors, high",
    "long_extensors_below": "long toe extensors",
    "third_peroneal_above": "third peroneal, high",
    "third_peroneal_below": "third peroneal",
    "extensor_mass_above": "extensor mass, high",
    "extensor_mass_below": "extensor mass",
    "anterior_tibial_and_long_peroneal_stump": "tibialis anterior and long-peroneal stump",
}
PRICES = {
    "tibialis_posterior": "arch may sink",
    "peroneus_longus": "first ray weaker",
    "peroneus_brevis": "ankle may give way",
    "flexor_digitorum_longus": "toes curl weaker",
    "flexor_hallucis_longus": "big toe pushes less",
}


def short_way(route: str, recipient: str, full: str) -> str:
    """``through the membrane to lateral cuneiform``; ``full`` where a part has no short words.

    Parameters
    ----------
    route, recipient : str
        Names as in ``Choice``; those of a pair are joined by `` + ``.
    full : str
        Route and recipient in the words of the catalogue.
    """
    routes, recipients = route.split(" + "), recipient.split(" + ")
    if not all(each in ROUTES for each in routes) or not all(each in RECIPIENTS for each in recipients):
        return full
    ends = list(dict.fromkeys(RECIPIENTS[each] for each in recipients))
    if len(routes) > 1 and len(set(routes)) > 1:
        return f"joined in front, to {' and '.join(ends)}"
    return f"{ROUTES[routes[0]]} to {' and '.join(ends)}"


def short_price(donor: str, full: str) -> str:
    """What the loss of a donor, or of both of a pair, costs in three words each; ``full`` where there are none."""
    muscles = donor.split(" + ")
    if not all(muscle in PRICES for muscle in muscles):
        return full
    return "; ".join(PRICES[muscle] for muscle in muscles)
