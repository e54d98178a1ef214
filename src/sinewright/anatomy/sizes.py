"""The six sizes of a leg for one person: measured where given, else drawn with their correlations.

Means, spreads and correlations come from the American army survey of 2012 (rows anth-*-ansur2). Correlations that are
not printed follow from printed spreads of ratios: for X/Y with cv c, ``c^2 = a^2 + b^2 - 2 r a b``. Height hardly
predicts malleolar height and does not predict dorsum height; they stay wide unless measured.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from sinewright.anatomy.skeleton import SIZE_NAMES
from sinewright.arrays import Floats, symmetric_root
from sinewright.reference import Reference, load
from sinewright.units import m

Sex = Literal["female", "male"]

# order of the joint distribution; malleolus_height is the height of the outer malleolus above the floor
DRAWN = (
    "stature",
    "foot_length",
    "malleolus_height",
    "dorsum_height",
    "foot_breadth",
    "malleolar_breadth",
    "shank_length",
)
ROW = {
    "stature": "stature",
    "foot_length": "foot-length",
    "malleolus_height": "lateral-malleolus-height",
    "foot_breadth": "foot-breadth",
    "malleolar_breadth": "bimalleolar-breadth",
    "shank_length": "shank-length",
}
RATIOS = (
    ("malleolus_height", "stature", "lateral-malleolus-height-over-stature"),
    ("foot_breadth", "foot_length", "foot-breadth-over-foot-length"),
    ("shank_length", "stature", "shank-length-over-stature"),
    ("shank_length", "foot_length", "shank-length-over-foot-length"),
)
DORSUM = "anth-dorsum-height-over-foot-length-derived"
AXIS_HEIGHT = "own-ankle-height-over-malleolus-height"
READING_ERROR = "own-size-reading-error"


@dataclass(frozen=True)
class Population:
    """Mean (7,) and covariance (7, 7) of the drawn sizes [m], in the order of ``DRAWN``."""

    mean: Floats
    covariance: Floats


def population(sex: Sex, reference: Reference | None = None) -> Population:
    """Joint distribution of stature and sizes for one sex; the covariance is made positive definite."""
    ref = reference or load()
    word = "women" if sex == "female" else "men"
    mean, sd = np.empty(len(DRAWN)), np.empty(len(DRAWN))
    for i, name in enumerate(DRAWN):
        row = ref.row(DORSUM if name == "dorsum_height" else f"anth-{ROW[name]}-{word}-ansur2")
        if row.sd is None:
            raise ValueError(f"{row.id} has no standard deviation")
        scale = mean[1] if name == "dorsum_height" else m(1.0)
        mean[i], sd[i] = ref.fit_value(row.id) * scale, row.sd * scale
    return Population(mean, _nearest(np.outer(sd, sd) * _correlation(ref, word, mean, sd)))


def _correlation(ref: Reference, word: str, mean: Floats, sd: Floats) -> Floats:
    """Printed correlations, those that follow from ratios, and the rest through foot length and stature alone."""
    at = {name: i for i, name in enumerate(DRAWN)}
    r = np.eye(len(DRAWN))

    def put(a: str, b: str, value: float) -> None:
        r[at[a], at[b]] = r[at[b], at[a]] = value

    put("foot_length", "stature", ref.fit_value(f"anth-r-foot-length-stature-{word}-ansur2"))
    put("foot_length", "malleolus_height", ref.fit_value(f"anth-r-foot-length-malleolus-height-{word}-ansur2"))
    put(
        "foot_length",
        "malleolar_breadth",
        ref.fit_value(f"anth-r-foot-length-malleolar-breadth-{word}-ansur2"),
    )
    cv = sd / mean
    for a, b, name in RATIOS:
        row = ref.row(f"anth-{name}-{word}-ansur2")
        ref.fit_value(row.id)
        c = (row.sd or 0.0) / row.value
        x, y = cv[at[a]], cv[at[b]]
        put(a, b, float(np.clip((x * x + y * y - c * c) / (2.0 * x * y), -0.95, 0.95)))
    for a, b in (("foot_breadth", "stature"), ("malleolar_breadth", "stature")):
        put(a, b, r[at[a], 1] * r[0, 1])
    for a, b in (("foot_breadth", "malleolar_breadth"), ("malleolus_height", "malleolar_breadth")):
        put(a, b, r[at[a], 1] * r[at[b], 1])
    for a, b in (("foot_breadth", "malleolus_height"),):
        put(a, b, r[at[a], 1] * r[at[b], 1])
    for a in ("malleolus_height", "foot_breadth", "malleolar_breadth"):
        put(a, "shank_length", r[at[a], 0] * r[at["shank_length"], 0])
    return r


def _nearest(covariance: Floats) -> Floats:
    """The covariance with its eigenvalues kept above a millionth of the largest."""
    values, vectors = np.linalg.eigh(covariance)
    values = np.maximum(values, values[-1] * 1e-6)
    out: Floats = (vectors * values) @ vectors.T
    return out


def reading_error() -> float:
    """Error of one size read on a living leg [m], as a standard deviation."""
    return m(load().fit_value(READING_ERROR))


def draw_sizes(sex: Sex, measured: Mapping[str, float], draws: int, rng: np.random.Generator) -> Floats:
    """Sizes (draws, 6) [m] in the order of ``skeleton.SIZE_NAMES``, given what was measured: see ``draw_body``."""
    drawn = draw_body(sex, measured, draws, rng)
    return np.stack([drawn[name] for name in SIZE_NAMES], axis=1)


def draw_body(sex: Sex, measured: Mapping[str, float], draws: int, rng: np.random.Generator) -> dict[str, Floats]:
    """Every size of ``DRAWN`` and the height of the ankle axis, each (draws,) [m], given what was measured [m].

    ``measured`` uses the names of ``DRAWN``; each measurement carries the reading error. Nothing else is fixed.
    """
    who = population(sex)
    mean, covariance = who.mean, who.covariance
    known = [i for i, name in enumerate(DRAWN) if name in measured]
    if known:
        seen = np.array([measured[DRAWN[i]] for i in known])
        block = covariance[np.ix_(known, known)] + reading_error() ** 2 * np.eye(len(known))
        gain = np.linalg.solve(block, covariance[known]).T
        mean, covariance = mean + gain @ (seen - mean[known]), covariance - gain @ covariance[known]
    out = mean + rng.standard_normal((draws, len(DRAWN))) @ symmetric_root(covariance)
    lower = 0.6 * who.mean
    out = np.maximum(out, lower)
    row = load().row(AXIS_HEIGHT)
    load().fit_value(row.id)
    axis = row.value + (row.sd or 0.0) * rng.standard_normal(draws)
    drawn = {name: out[:, i] for i, name in enumerate(DRAWN)}
    drawn["ankle_height"] = drawn["malleolus_height"] * axis
    return drawn
