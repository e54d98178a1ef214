"""Architecture of each muscle in a living adult of given size, and how its tendon gives at full force.

    area = living volume / best fibre length          (row st-recommended-median: no cosine in the area)
    F0   = 225 kPa x area                              (row st-recommended-median)
    living volume = cadaver volume x multiplier        (rows arch-*-volume-ward2009, arch-living-multiplier-*)

for the reference adult of 72 kg and 1.71 m; another body scales the volume by the line of total muscle
volume, 47 height mass + 1285 cm3 (rows arch-total-muscle-volume-*-handsfield2014). Most rows of ward2009
are from memory and come from people of 83 years: F0 is a starting point, to be scaled by group to a measured
or normed torque. The free tendon and the aponeurosis are kept apart and joined only by `series_strain`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import pi
from types import MappingProxyType
from typing import Literal

from sinewright.errors import InputError
from sinewright.muscle.names import CALF, LEG_MUSCLES, MUSCLES, compartment, row_name
from sinewright.reference import load
from sinewright.units import m, mm, rad

Volumes = Literal["ward2009 living", "handsfield2014"]

# arch-living-multiplier-non-triceps and -triceps: condition "72 kg, 1.71 m reference adult"
REFERENCE_MASS, REFERENCE_HEIGHT = 72.0, 1.71
HEIGHT_ALLOWED, MASS_ALLOWED = (1.0, 2.3), (20.0, 250.0)

CM3, MM2, KPA, MPA, PERCENT = 1e-6, 1e-6, 1e3, 1e6, 1e-2

TENSION_ROW = "st-recommended-median"
MODULUS_ROW = "ten-tibialis-anterior-young-modulus-maganaris1999"
APONEUROSIS_ROW = "own-muscle-aponeurosis-strain"
WIDE_FIBRE_SPREAD = ("flexor_hallucis_longus", "flexor_digitorum_longus", "soleus")

GROUP_VOLUME = {  # muscles that handsfield2014 gives together; split by their cadaver volumes
    "peroneus_longus": ("peroneal-group", ("peroneus_longus", "peroneus_brevis")),
    "peroneus_brevis": ("peroneal-group", ("peroneus_longus", "peroneus_brevis")),
    "extensor_digitorum_longus": (
        "toe-extensors-edl-ehl",
        ("extensor_digitorum_longus", "extensor_hallucis_longus"),
    ),
    "extensor_hallucis_longus": (
        "toe-extensors-edl-ehl",
        ("extensor_digitorum_longus", "extensor_hallucis_longus"),
    ),
}
TENDON_AREA = {  # rows of tendon area (their mean is used) or of tendon diameter (taken as round)
    "tibialis_anterior": (
        "ten-tibialis-anterior-csa-tatptendon16",
        "ten-tibialis-anterior-csa-pearsall2003",
        "ten-tibialis-anterior-csa-in-vivo-maganaris1999",
    ),
    "tibialis_posterior": (
        "ten-tibialis-posterior-csa-tatptendon16",
        "ten-tibialis-posterior-csa-pearsall2003",
    ),
    "peroneus_longus": ("ten-peroneus-longus-csa-pearsall2003",),
    "flexor_digitorum_longus": ("ten-flexor-digitorum-longus-diameter-seybold2016",),
    "flexor_hallucis_longus": ("ten-flexor-hallucis-longus-diameter-seybold2016",),
    "gracilis": ("ten-gracilis-csa-yucesoy2010",),
}
STRAIN_ROW = {  # where no area exists: strain at full force, measured or assumed
    "gastrocnemius_medial": "ten-gastrocnemius-tendon-strain-maganaris2002",
    "gastrocnemius_lateral": "ten-gastrocnemius-tendon-strain-maganaris2002",
    "soleus": "own-muscle-free-tendon-strain-soleus",
    "extensor_hallucis_longus": "own-muscle-free-tendon-strain",
    "extensor_digitorum_longus": "own-muscle-free-tendon-strain",
    "peroneus_tertius": "own-muscle-free-tendon-strain",
    "peroneus_brevis": "own-muscle-free-tendon-strain",
}
FREE_LENGTH = {
    "tibialis_anterior": ("ten-tibialis-anterior-external-length-maganaris1999",),
    "extensor_hallucis_longus": ("own-muscle-free-tendon-length-toe-extensors",),
    "extensor_digitorum_longus": ("own-muscle-free-tendon-length-toe-extensors",),
    "peroneus_tertius": ("own-muscle-free-tendon-length-peroneus-tertius",),
    "peroneus_longus": ("ten-peroneus-longus-harvest-length-plharvest2018",),
    "peroneus_brevis": (
        "ten-peroneus-brevis-length-right-pbfas2015",
        "ten-peroneus-brevis-length-left-pbfas2015",
    ),
    "tibialis_posterior": ("ten-tibialis-posterior-mobile-length-clinanat2017",),
    "flexor_digitorum_longus": ("own-muscle-free-tendon-length-flexor-digitorum-longus",),
    "flexor_hallucis_longus": ("ten-flexor-hallucis-longus-length-to-hallux-ip-joint-fhlhenry2014",),
    "soleus": ("own-muscle-free-tendon-length-soleus",),
    "gastrocnemius_medial": ("ten-achilles-length-rosso2012",),
    "gastrocnemius_lateral": ("ten-achilles-length-rosso2012",),
    "gracilis": ("ten-gracilis-distal-tendon-length-gracilisgraft",),
}


@dataclass(frozen=True, slots=True)
class BodySize:
    """Size of a person against the reference adult: factor of muscle volume, and what to be told about it."""

    factor: float
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MuscleData:
    """One muscle of one person, unharmed. SI: [m], [rad], [m3], [m2], [N]; strains at full force F0 [1].

    l0 best fibre length; pen0 slant of the fibres at l0; sarcomere_um sarcomere length in the fixed specimen
    (leg of a cadaver) that belongs to the specimen's posture; free_length and free_strain of the free tendon,
    aponeurosis_strain of the tendon sheet inside the muscle; ln_*_sd spread between people as sd of the
    logarithm; rows the ids of all rows used.
    """

    name: str
    compartment: str
    l0: float
    pen0: float
    sarcomere_um: float
    volume: float
    area: float
    F0: float
    free_length: float
    free_strain: float
    aponeurosis_strain: float
    ln_l0_sd: float
    ln_tendon_stiffness_sd: float
    rows: tuple[str, ...]


def body(height: float = REFERENCE_HEIGHT, mass: float = REFERENCE_MASS) -> BodySize:
    """Return the factor of muscle volume of a person of `height` [m] and `mass` [kg]; 1 for 1.71 m, 72 kg.

    Raises InputError outside 1.0..2.3 m or 20..250 kg; outside 1.50..2.00 m or 45..110 kg it warns and takes the end
    of that range: body mass far above it is not muscle.
    """
    _refuse("height_cm", 100 * height, "cm", HEIGHT_ALLOWED[0] * 100, HEIGHT_ALLOWED[1] * 100)
    _refuse("mass_kg", mass, "kg", *MASS_ALLOWED)
    tall, heavy = load().row("own-muscle-body-height-seen"), load().row("own-muscle-body-mass-seen")
    seen = ((100 * height, tall.low / 10, tall.high / 10, "cm"), (mass, heavy.low, heavy.high, "kg"))
    warnings = tuple(
        f"Muscle size was read in adults of {low:g} to {high:g} {unit}; {given:.0f} {unit} counts as the nearest end."
        for given, low, high, unit in seen
        if not low <= given <= high
    )
    slope = load().fit_value("arch-total-muscle-volume-slope-handsfield2014")
    start = load().fit_value("arch-total-muscle-volume-intercept-handsfield2014")
    reference = slope * REFERENCE_HEIGHT * REFERENCE_MASS + start
    counted = min(max(mm(height), tall.low), tall.high) / mm(1.0) * min(max(mass, heavy.low), heavy.high)
    return BodySize((slope * counted + start) / reference, warnings)


def _refuse(field: str, given: float, unit: str, low: float, high: float) -> None:
    if not low <= given <= high:
        advice = "check the number and its unit"
        raise InputError(field, f"{given:g} {unit}", f"{low:g} to {high:g} {unit}", advice)


def series_strain(free_strain: float, free_length: float, aponeurosis_strain: float, slack_length: float) -> float:
    """Return e0 [1], the strain at F0 of free tendon and aponeurosis lumped over `slack_length` [m].

    e0 = (free strain x free length + aponeurosis strain x aponeurosis length)/slack length, the aponeurosis
    being what of the slack length is not free tendon. A free tendon longer than the whole is the whole.
    """
    if not slack_length > 0.0:
        raise InputError("slack length", f"{slack_length:g} m", "more than 0 m", "check the muscle-tendon length")
    free = min(free_length, slack_length)
    return (free_strain * free + aponeurosis_strain * (slack_length - free)) / slack_length


def muscle_data(
    name: str, body_factor: float = 1.0, length_factor: float = 1.0, volumes: Volumes = "ward2009 living"
) -> MuscleData:
    """Return one muscle by its full name, e.g. ``tibialis_posterior``.

    `body_factor` scales the volume (from `body`); `length_factor` scales fibre and free tendon length (1 for
    an adult: fibres did not scale with body size, row arch-direction-fmax-not-scaled-charles2019; for a child
    the shank over the reference shank, row arch-direction-scaling-rule). Strain at full force does not depend
    on size: tendon area is taken to grow with F0. Raises InputError for another name.
    """
    if name not in MUSCLES:
        raise InputError("muscle", name, ", ".join(MUSCLES), "write the name in full")
    fibre, fibre_row = _l0(name)
    volume, volume_rows = _volume(name, volumes)
    tension = load().fit_value(TENSION_ROW) * KPA
    strain, strain_rows = _free_strain(name, tension * volume / fibre)
    l0, free = fibre * length_factor, _mean(FREE_LENGTH[name]) * length_factor
    area = volume * body_factor / l0
    twin = row_name("extensor_digitorum_longus" if name == "peroneus_tertius" else name)
    slant, sarcomere = f"arch-{twin}-pennation-ward2009", f"arch-{twin}-sarcomere-length-ward2009"
    spread = "arch-sampling-ln-fibre-length-sd" + ("-fhl-fdl-soleus" if name in WIDE_FIBRE_SPREAD else "")
    stiffness = "arch-sampling-ln-tendon-stiffness-sd"
    value = load().fit_value
    return MuscleData(
        name=name,
        compartment=compartment(name),
        l0=l0,
        pen0=rad(value(slant)),
        sarcomere_um=value(sarcomere),
        volume=volume * body_factor,
        area=area,
        F0=tension * area,
        free_length=m(free),
        free_strain=strain,
        aponeurosis_strain=value(APONEUROSIS_ROW),
        ln_l0_sd=value(spread),
        ln_tendon_stiffness_sd=value(stiffness),
        rows=(
            fibre_row, *volume_rows, TENSION_ROW, slant, sarcomere, *strain_rows, *FREE_LENGTH[name],
            APONEUROSIS_ROW, spread, stiffness,
        ),
    )  # fmt: skip


@cache
def leg_muscles(
    body_factor: float = 1.0, length_factor: float = 1.0, volumes: Volumes = "ward2009 living"
) -> Mapping[str, MuscleData]:
    """Return all thirteen muscles of one person by name, in the fixed order (see `muscle_data`)."""
    return MappingProxyType({name: muscle_data(name, body_factor, length_factor, volumes) for name in MUSCLES})


def _l0(name: str) -> tuple[float, str]:
    """Best fibre length [m] and its row: gracilis the living optimum, tertius that of the toe extensors."""
    special = {
        "gracilis": "arch-gracilis-optimal-fibre-length-bindermarkey2023",
        "peroneus_tertius": "arch-extensor-digitorum-longus-fibre-length-ward2009",
    }
    row = special.get(name, f"arch-{row_name(name)}-fibre-length-ward2009")
    return m(load().fit_value(row)), row


def _volume(name: str, volumes: Volumes) -> tuple[float, tuple[str, ...]]:
    """Volume [m3] in the reference adult and the rows used."""
    if name == "peroneus_tertius":
        share = "arch-peroneus-tertius-default"
        volume, rows = _volume("extensor_digitorum_longus", volumes)
        return volume * load().fit_value(share), (*rows, share)
    return _handsfield(name) if volumes == "handsfield2014" else _living(name)


def _living(name: str) -> tuple[float, tuple[str, ...]]:
    kind = "triceps" if name in CALF else "non-triceps"
    rows = (f"arch-{row_name(name)}-volume-ward2009", f"arch-living-multiplier-{kind}")
    return load().fit_value(rows[0]) * CM3 * load().fit_value(rows[1]), rows


def _handsfield(name: str) -> tuple[float, tuple[str, ...]]:
    if name not in GROUP_VOLUME:
        row = f"arch-{row_name(name)}-volume-handsfield2014"
        return load().fit_value(row) * CM3, (row,)
    group, members = GROUP_VOLUME[name]
    row = f"arch-{group}-volume-handsfield2014"
    parts = {part: f"arch-{row_name(part)}-volume-ward2009" for part in members}
    share = load().fit_value(parts[name]) / sum(load().fit_value(part) for part in parts.values())
    return load().fit_value(row) * CM3 * share, (row, *parts.values())


def _free_strain(name: str, F0: float) -> tuple[float, tuple[str, ...]]:
    """Strain of the free tendon at the reference adult's F0 [N]: F0/(area E), else the row of the strain."""
    if name in STRAIN_ROW:
        row = load().row(STRAIN_ROW[name])
        return load().fit_value(row.id) * (PERCENT if row.unit == "%" else 1.0), (row.id,)
    rows = TENDON_AREA[name]
    areas = [_tendon_area(row) for row in rows]
    modulus = load().fit_value(MODULUS_ROW) * MPA
    return F0 * len(areas) / (sum(areas) * modulus), (*rows, MODULUS_ROW)


def _tendon_area(row: str) -> float:
    """Cross-section [m2] from a row of area [mm2] or of diameter [mm], taken as round."""
    value = load().fit_value(row)
    return (value if load().row(row).unit == "mm2" else pi / 4 * value**2) * MM2


def _mean(rows: tuple[str, ...]) -> float:
    return sum(load().fit_value(row) for row in rows) / len(rows)


def full_forces(muscles: Mapping[str, MuscleData]) -> tuple[float, ...]:
    """Return F0 [N] of the twelve leg muscles in the fixed order."""
    return tuple(muscles[name].F0 for name in LEG_MUSCLES)
