"""Does a reading contradict everything else, and what could explain it.

A reading is held against what all other entries lead to. Where it was hardly to be expected (less than 1 in 200 on its
side), it contradicts them. Explanations that can be computed are tried: the other direction, another knee, another
limb, another unit, a junction that lies elsewhere than believed; each either fits or does not. The others are listed
as what to look for; they are facts of the trade (common practice) or, where marked, from memory.
"""

from dataclasses import replace
from typing import Protocol

import numpy as np

from sinewright.arrays import Floats
from sinewright.doubt.sample import spread_of
from sinewright.errors import InputError
from sinewright.learn.beliefs import Weighed
from sinewright.learn.entries import ANGLES, PLAIN, Kind, TableReading, said
from sinewright.learn.prepare import Prepared
from sinewright.learn.readings import Predicted, share_below, shown_by
from sinewright.results import Explanation
from sinewright.units import GRAVITY, m
from sinewright.wording.directions import BENT, STRETCH


class Share(Protocol):
    """Share of what would be read that lies below an entry, with the junction elsewhere by so much."""

    def __call__(self, other: TableReading, by_mm: float = 0.0) -> float: ...


UNEXPECTED = 0.005  # on either side
FITS = 0.05  # an explanation fits when the reading then lies inside the middle nine tenths
KNEES_DEG = (0.0, 30.0, 60.0, 90.0)
SLIPS_MM = (-12.0, -9.0, -6.0, 6.0, 9.0, 12.0)
NOISE_SEED = 5

LOOK_FOR: dict[Kind, tuple[str, ...]] = {
    "rest": (
        "Wrong side or wrong patient: hold the case against the leg on the table.",
        "The calf is tight again, or a lengthening was not done or did more than planned: test passive lift again.",
        "A thigh tourniquet is still up, or muscle relaxant is or is not working: both change the length of the calf "
        "and of the donor (textbook value, no source checked).",
        "The tendon is caught in the window, under the retinaculum or in skin: pull it through its whole path.",
        "The foot was held by a drape, a hand or the table.",
    ),
    "stimulated": (
        "Another muscle answered the stimulator: feel donor and calf while it runs.",
        "Muscle relaxant is working: stimulation then says nothing (textbook value, no source checked).",
        "A thigh tourniquet cut the nerve off: after a long time the muscle answers weakly or not (textbook value, no "
        "source checked).",
        "The tendon is caught on its path: watch it glide while the muscle contracts.",
        "The junction gave way: look at the mark.",
    ),
    "mark": (
        "The fixed point beside the mark moved, or another mark was read.",
        "The start point was read in another posture than the one in which the mark was made.",
    ),
    "tendon": (
        "The tendon was cut at another level, or measured from another place than the lowest fibres.",
        "The size of the leg in the case is wrong: check foot length and malleolar height.",
    ),
    "spring": (
        "The scale pulled against rubbing in the path: pull and let back, and take the middle.",
        "Muscle relaxant is not working, or the muscle answered the pull.",
        "The donor is scarred: stiffer than any muscle of the model.",
    ),
    "moved": (),
}


def contradicts(share: float) -> bool:
    """True when hardly anything that could be read lies on the far side of the reading."""
    return share < UNEXPECTED or share > 1.0 - UNEXPECTED


def expected_words(entry: TableReading, predicted: Predicted, weight: Floats) -> str:
    """Nine tenths of what could have been read, in words."""
    activations = predicted.shown.shape[1]
    noise = np.random.default_rng(NOISE_SEED).standard_normal(predicted.shown.shape)
    read = predicted.shown + noise * predicted.sd
    if entry.kind in PLAIN:
        read = np.maximum(read, 0.0)
    found = spread_of(read, np.repeat(weight, activations))
    low, high = found.p05, found.p95
    return f"{said(entry.kind, round(float(low)))} to {said(entry.kind, round(float(high)))}"


def explanations(prepared: Prepared, entry: TableReading, others: Weighed) -> tuple[Explanation, ...]:
    """What may explain an entry, computed ones that fit first, then what to look for, then what does not fit."""

    def share(other: TableReading, by_mm: float = 0.0) -> float:
        stretch = others.stretch + m(by_mm)
        return share_below(other.value, shown_by(prepared, other, others.leg, stretch), others.weight)

    found = [*_other_words(entry, share), *_slips(entry, share)]
    listed = [Explanation(text, None) for text in LOOK_FOR[entry.kind]]
    fits = [each for each in found if each.fits]
    return (*fits, *listed, *(each for each in found if not each.fits))


def _fits(share: float) -> bool:
    return FITS <= share <= 1.0 - FITS


def _other_words(entry: TableReading, share: Share) -> list[Explanation]:
    """The same reading with another sign, posture or unit."""
    out = []
    for text, other in _variants(entry):
        if other is not None:
            out.append(Explanation(text, _fits(share(other))))
    return out


def _variants(entry: TableReading) -> list[tuple[str, TableReading | None]]:
    kind, value = entry.kind, entry.value
    out: list[tuple[str, TableReading | None]] = []
    if kind in (*ANGLES, "mark") and value:
        out.append((f"The direction was mixed up: {said(kind, -value)} is meant.", _changed(entry, value=-value)))
    if kind in ANGLES:
        for knee in KNEES_DEG:
            if entry.knee_deg is None or abs(knee - entry.knee_deg) >= 15.0:
                posture = "straight" if knee == 0.0 else BENT.exact(knee)
                out.append((f"The knee was {posture}.", _changed(entry, knee_deg=knee)))
    if kind == "rest":
        other = "hanging" if entry.limb == "lying" else "lying"
        words = "the shank was hanging" if other == "hanging" else "the leg was lying"
        out.append((f"{words[0].upper()}{words[1:]}.", _changed(entry, limb=other)))
    if kind in ("tendon", "mark"):
        for factor, words in ((10.0, "centimetres were entered"), (0.1, "tenths of a millimetre were entered")):
            wording = f"{words[0].upper()}{words[1:]}: {said(kind, round(value * factor, 3))} is meant."
            out.append((wording, _changed(entry, value=value * factor)))
    if kind == "spring":
        newtons = round(value * GRAVITY, 1)
        out.append((f"The scale shows kilograms: {newtons:g} N is meant.", _changed(entry, value=newtons)))
    return out


def _changed(entry: TableReading, **what: object) -> TableReading | None:
    """The entry with something else in it, or None where that cannot be."""
    try:
        return replace(entry, **what)  # type: ignore[arg-type]
    except InputError:
        return None


def _slips(entry: TableReading, share: Share) -> list[Explanation]:
    """The junction lies elsewhere than the mark says: the smallest slip that fits."""
    if entry.kind not in (*ANGLES, "spring"):
        return []
    for by in sorted(SLIPS_MM, key=abs):
        if _fits(share(entry, by)):
            gave = "the junction slipped, or " if by < 0 else ""
            text = f"The tendon is about {STRETCH.exact(by)} than believed: {gave}the mark was misread."
            return [Explanation(text, True)]
    return [Explanation("The junction slipped or the mark was misread, by up to 12 mm.", False)]
