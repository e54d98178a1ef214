"""Ways to sew a junction, as data, and how strong one is on the day of the operation.

Each construct has a usual and a pessimistic test; the source is shown with the number. Rule for the fifth percentile:
log-normal with the printed mean and standard deviation, for the next specimen of a small test (Student's t with n - 1
degrees of freedom, times sqrt(1 + 1/n)). Specimens that failed early in the cycling count among those tested, with the
middle of the cyclic band as their strength. Where a test prints no spread, the assumed coefficient of variation stands.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from scipy.stats import t as student

from sinewright.arrays import Floats
from sinewright.errors import InputError
from sinewright.reference import Row, load

Kind = Literal["weave", "side-to-side", "tunnel", "screw", "anchor"]
Tests = Literal["usual", "pessimistic"]
TESTS: tuple[Tests, ...] = get_args(Tests)

BAND = ("rep-cycle-band-low-marsland2018", "rep-cycle-band-high-marsland2018")
ASSUMED_CV = "rep-cv-assumed"
FEWEST_PASSES, MOST_PASSES = 1, 5
OVERLAP_MM = (5.0, 60.0)


@dataclass(frozen=True)
class Test:
    """One strength test: its row, the row that counts early failures, what the specimens had."""

    row: str
    early: str = ""
    overlap_mm: float | None = None


@dataclass(frozen=True)
class Construct:
    """One way to sew: ``name`` as typed, ``title`` in words of the trade, kind, usual and pessimistic test, and what
    is worth knowing about the test."""

    name: str
    title: str
    kind: Kind
    usual: Test
    pessimistic: Test
    note: str = ""

    @property
    def in_bone(self) -> bool:
        """True for a fixation in bone."""
        return self.kind in ("tunnel", "screw", "anchor")


CONSTRUCTS = (
    Construct(
        "weave",
        "weave of tendon through tendon",
        "weave",
        usual=Test("rep-tp-weave-pb-load-marsland2018"),
        pessimistic=Test("own-protect-weave-pessimistic"),
        note="strength rises in a straight line with the number of passes",
    ),
    Construct(
        "side_to_side_woven",
        "side-to-side, woven or running locking stitch",
        "side-to-side",
        usual=Test("rep-woven-sts-20mm-wachtel2023", overlap_mm=20.0),
        pessimistic=Test("own-protect-side-to-side-woven-pessimistic", overlap_mm=20.0),
        note="tested in the forearm; strength follows the overlap up to a plateau",
    ),
    Construct(
        "side_to_side_simple",
        "side-to-side, simple stitches",
        "side-to-side",
        usual=Test("own-protect-side-to-side-simple", overlap_mm=25.0),
        pessimistic=Test("own-protect-side-to-side-simple", overlap_mm=25.0),
        note="the stitch decides: locking or woven side-to-side holds two to three times as much",
    ),
    Construct(
        "tunnel_sutured",
        "bone tunnel, tendon sutured to itself",
        "tunnel",
        Test("rep-fdl-tunnel-load-marsland2020"),
        Test("rep-tunnel-suture-load-fai2003"),
    ),
    Construct(
        "tunnel_button",
        "bone tunnel with a button",
        "tunnel",
        usual=Test("own-protect-tunnel-button"),
        pessimistic=Test("own-protect-tunnel-button-pessimistic"),
        note="no test in a midfoot bone was read",
    ),
    Construct(
        "screw",
        "interference screw",
        "screw",
        usual=Test("rep-tp-screw-cuboid-load-marsland2018", "rep-tp-screw-cuboid-early-failure-marsland2018"),
        pessimistic=Test("rep-bioscrew-load-fai2003"),
        note="tested in the cuboid; single screws gave way within 100 cycles",
    ),
    Construct(
        "screw_thin_tendon",
        "interference screw, thin tendon",
        "screw",
        usual=Test("rep-fdl-screw-load-marsland2020", "rep-fdl-screw-early-failure-marsland2020"),
        pessimistic=Test("rep-split-ta-screw-load-nunezpereira2009"),
        note="tested with the long toe flexor in the navicular and with half an anterior tibial in the cuboid",
    ),
    Construct(
        "anchor",
        "suture anchor",
        "anchor",
        Test("rep-split-ta-anchor-load-nunezpereira2009"),
        Test("own-protect-anchor-pessimistic"),
    ),
)


def find_construct(name: str) -> Construct:
    """The construct called so. Raises InputError with all names otherwise."""
    for construct in CONSTRUCTS:
        if construct.name == name:
            return construct
    names = ", ".join(each.name for each in CONSTRUCTS)
    raise InputError("--construct", f'"{name}"', names, "name how the junction is sewn")


@dataclass(frozen=True)
class ConstructStrength:
    """Strength of a construct on the day of the operation [N]: ``middle`` and ``p05`` of the next one sewn, log-normal
    ``mu`` and ``sigma``, number of specimens ``n``, rows and citation, what was assumed."""

    construct: Construct
    tests: Tests
    mu: float
    sigma: float
    n: int
    rows: tuple[str, ...]
    source: str
    told: str

    @property
    def middle(self) -> float:
        """Median [N]."""
        return float(np.exp(self.mu))

    @property
    def p05(self) -> float:
        """Fifth percentile of the next specimen [N]."""
        return float(self.quantile(np.array([0.05]))[0])

    def quantile(self, chance: Floats) -> Floats:
        """Strength [N] of the next specimen at chances between 0 and 1, any shape."""
        out: Floats = np.exp(self.mu + self.sigma * np.sqrt(1.0 + 1.0 / self.n) * student.ppf(chance, self.n - 1))
        return out


def strength_of(
    construct: Construct, tests: Tests = "usual", passes: int | None = None, overlap_mm: float | None = None,
    soft_bone: bool = False,
) -> ConstructStrength:  # fmt: skip
    """How strong the junction is on the day of the operation. Raises InputError for impossible passes or overlap."""
    test = construct.usual if tests == "usual" else construct.pessimistic
    row = load().row(test.row)
    mean, sd, n = load().fit_value(test.row), _spread(row), row.n
    rows, told = [row.id], [] if n and row.sd else [f"{100 * sd / mean:.0f} % between specimens is assumed"]
    n = n or round(load().fit_value("own-protect-tests-without-n"))
    if test.early:
        mean, sd, early = _with_early(mean, sd, n, test.early)
        rows += [test.early, *BAND]
        told.append(f"{early} of {n} gave way early and count")
    factor, words, more = _factor(construct, test, passes, overlap_mm)
    rows += more
    if soft_bone and construct.in_bone:
        factor *= load().fit_value("own-protect-soft-bone")
        rows.append("own-protect-soft-bone")
        words += "; soft bone"
    sigma = float(np.sqrt(np.log1p((sd / mean) ** 2)))
    source = f"{row.id}: {load().source(row.source).citation}"
    mu = float(np.log(mean * factor) - 0.5 * sigma**2)
    return ConstructStrength(
        construct,
        tests,
        mu,
        sigma=sigma,
        n=n,
        rows=tuple(rows),
        source=source,
        told="; ".join(filter(None, [words, *told])),
    )


def _spread(row: Row) -> float:
    """Standard deviation of a test [N]; the assumed coefficient of variation where none is printed."""
    return row.sd if row.sd else row.value * load().fit_value(ASSUMED_CV) / 100.0


def _with_early(mean: float, sd: float, n: int, early: str) -> tuple[float, float, int]:
    """Mean and sd [N] when ``k`` of ``n`` specimens failed early, and k."""
    k = round(load().fit_value(early))
    band = 0.5 * sum(load().fit_value(id) for id in BAND)
    whole = ((n - k) * mean + k * band) / n
    variance = ((n - k) * (sd**2 + (mean - whole) ** 2) + k * (band - whole) ** 2) / n
    return whole, float(np.sqrt(variance)), k


def _factor(
    construct: Construct, test: Test, passes: int | None, overlap_mm: float | None
) -> tuple[float, str, list[str]]:
    """How the junction differs from the specimens, in words, and rows used."""
    if passes is not None:
        if construct.kind != "weave":
            raise InputError("--passes", passes, "only with a weave", f"{construct.title} has none")
        if not FEWEST_PASSES <= passes <= MOST_PASSES:
            raise InputError("--passes", passes, f"{FEWEST_PASSES} to {MOST_PASSES}", "no weave with more was tested")
    if overlap_mm is not None:
        if construct.kind not in ("weave", "side-to-side"):
            raise InputError(
                "--overlap-mm", f"{overlap_mm:g} mm", "only tendon to tendon", f"{construct.title} has none"
            )
        if not OVERLAP_MM[0] <= overlap_mm <= OVERLAP_MM[1]:
            raise InputError("--overlap-mm", f"{overlap_mm:g} mm", "5 to 60 mm", "measure the overlap again")
    if construct.kind == "weave":
        tested = load().fit_value("own-protect-weave-passes-tested")
        done = passes or round(tested)
        words = f"{done} {'pass' if done == 1 else 'passes'}"
        factor, rows = done / tested, ["own-protect-weave-passes-tested"]
        if overlap_mm is not None:
            enough = load().fit_value("own-protect-overlap-enough")
            factor *= min(overlap_mm, enough) / enough
            words, rows = f"{words}, overlap {overlap_mm:g} mm", [*rows, "own-protect-overlap-enough"]
        return factor, words, rows
    if construct.kind == "side-to-side" and test.overlap_mm is not None:
        enough = load().fit_value("own-protect-overlap-enough")
        done_mm = test.overlap_mm if overlap_mm is None else overlap_mm
        return min(done_mm, enough) / test.overlap_mm, f"overlap {done_mm:g} mm", ["own-protect-overlap-enough"]
    return 1.0, "", []
