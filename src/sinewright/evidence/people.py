"""The invented people of the checks. No real person; each is written as a case file, as a surgeon would write it."""

from sinewright.case import Case, parse_case

WHO = """
schema_version = 1
pseudonym = "invented for checks"
invented = true
side = "right"
[person]
sex = "{sex}"
age_years = {age}
height_cm = {height}
mass_kg = {mass}
"""
# body sizes of the rows tq-anderson-*: "men; 75 kg 1.78 m", "women; 60 kg 1.65 m"
YOUNG_MAN = {"sex": "male", "age": 25, "height": 178, "mass": 75}
YOUNG_WOMAN = {"sex": "female", "age": 25, "height": 165, "mass": 60}
DEAD = (
    "tibialis_anterior",
    "extensor_hallucis_longus",
    "extensor_digitorum_longus",
    "peroneus_tertius",
    "peroneus_longus",
    "peroneus_brevis",
)
ALIVE = (
    "tibialis_posterior",
    "flexor_digitorum_longus",
    "flexor_hallucis_longus",
    "soleus",
    "gastrocnemius_medial",
    "gastrocnemius_lateral",
)


def healthy(man: bool) -> Case:
    """A young healthy man or woman, of whom only sex, age, height and mass are known."""
    return parse_case(WHO.format(**(YOUNG_MAN if man else YOUNG_WOMAN)))


def palsy(man: bool, passive_up_deg: float | None = None) -> Case:
    """A complete common peroneal palsy at 35 years, all else of grade 5; the passive limit if it is to be known."""
    who = dict(YOUNG_MAN if man else YOUNG_WOMAN, age=35)
    text = WHO.format(**who) + "[muscles]\n"
    text += "".join(f'{name}.state = "paralysed"\n' for name in DEAD)
    text += "".join(f'{name}.grade = "5"\n' for name in ALIVE)
    if passive_up_deg is not None:
        text += f"[range.affected]\ndorsiflexion_knee_straight_deg = {passive_up_deg:g}\n"
    return parse_case(text)
