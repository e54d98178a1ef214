"""The thirteen muscles, the compartment each lies in, and how the evidence spells them."""

from __future__ import annotations

FRONT = ("tibialis_anterior", "extensor_hallucis_longus", "extensor_digitorum_longus", "peroneus_tertius")
SIDE = ("peroneus_longus", "peroneus_brevis")
DEEP = ("tibialis_posterior", "flexor_digitorum_longus", "flexor_hallucis_longus")
CALF = ("soleus", "gastrocnemius_medial", "gastrocnemius_lateral")
COMPARTMENTS = {"front": FRONT, "side": SIDE, "deep": DEEP, "calf": CALF}

LEG_MUSCLES = FRONT + SIDE + DEEP + CALF
"""The twelve muscles of the lower leg, in the fixed order of every array over muscles."""

MUSCLES = (*LEG_MUSCLES, "gracilis")


def compartment(muscle: str) -> str:
    """Return front, side, deep or calf; thigh for gracilis. Raises KeyError for another name."""
    if muscle == "gracilis":
        return "thigh"
    return {name: space for space, names in COMPARTMENTS.items() for name in names}[muscle]


def row_name(muscle: str) -> str:
    """Return the name as written in row ids: ``tibialis-posterior``."""
    return muscle.replace("_", "-")
