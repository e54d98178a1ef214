"""Total effects against closed forms, and against SciPy on the model at the same samples."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from scipy.stats import sobol_indices

from sinewright.arrays import Floats
from sinewright.doubt import sensitivity
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.proposal import propose
from sinewright.doubt.sensitivity import DOUBTS, effects, redrawn, total_effect
from sinewright.doubt.stiffness import lengthen_calf
from sinewright.solve import answer as a
from sinewright.solve.leg import Legs
from sinewright.transfer.plans import build_plans
from sinewright.units import deg

from ..virtual_people import example, plan

STEM, PAIRS = "knee_dislocation_common_peroneal", 64
PLANS = build_plans([plan("tibialis_posterior.membrane_under.lateral_cuneiform_dorsum")])


def pairs(f: object, sample: object, inputs: int, n: int) -> list[tuple[float, float]]:
    """Total effect and its error of each input of a test function, from matched draws."""
    one, two = sample(1, n), sample(2, n)  # type: ignore[operator]
    base = f(one)  # type: ignore[operator]
    found = []
    for i in range(inputs):
        mixed = one.copy()
        mixed[:, i] = two[:, i]
        other = f(mixed)  # type: ignore[operator]
        found.append(total_effect(base, other, 0.5 * float(np.var(base) + np.var(other))))
    return found


def test_ishigami() -> None:
    """sin x1 + 7 sin^2 x2 + 0.1 x3^4 sin x1 on [-pi, pi]^3: totals from its variances in closed form."""
    a_, b_ = 7.0, 0.1

    def f(x: Floats) -> Floats:
        return np.asarray(np.sin(x[:, 0]) * (1.0 + b_ * x[:, 2] ** 4) + a_ * np.sin(x[:, 1]) ** 2)

    first = 0.5 * (1.0 + b_ * pi**4 / 5.0) ** 2
    second = a_**2 / 8.0
    both = b_**2 * pi**8 * (1.0 / 18.0 - 1.0 / 50.0)
    whole = first + second + both
    expected = [(first + both) / whole, second / whole, both / whole]
    found = pairs(f, lambda seed, n: np.random.default_rng(seed).uniform(-pi, pi, (n, 3)), 3, 40_000)
    for (total, error), wanted in zip(found, expected, strict=True):
        assert error < 0.01
        assert total == pytest.approx(wanted, abs=4.0 * error)  # four standard errors


def test_linear_normal() -> None:
    """A sum c . x of standard normals: each total is c_i^2 over their sum; one without weight has none."""
    c = np.array([3.0, 2.0, 1.0, 0.0])
    found = pairs(lambda x: x @ c, lambda seed, n: np.random.default_rng(seed).standard_normal((n, 4)), 4, 40_000)
    for (total, error), wanted in zip(found, c**2 / np.sum(c**2), strict=True):
        assert total == pytest.approx(wanted, abs=4.0 * error + 1e-12)
    assert found[3] == (0.0, 0.0)


def test_the_stated_error_is_that_of_repeated_draws() -> None:
    c = np.array([2.0, 1.0])

    def once(seed: int) -> tuple[float, float]:
        rng = np.random.default_rng(seed)
        one = rng.standard_normal((300, 2))
        mixed = one.copy()
        mixed[:, 0] = rng.standard_normal(300)
        return total_effect(one @ c, mixed @ c, 5.0)

    found = np.array([once(seed) for seed in range(400)])
    assert found[:, 0].std() == pytest.approx(found[:, 1].mean(), rel=0.15)  # 400 repeats know it to about 4 %


def lift(legs: Legs) -> Floats:
    answers, failed = a.answer(legs, PLANS)
    assert np.all(failed == 0)
    return deg(answers[:, :, a.LIFT])


def test_totals_are_those_of_scipy_on_the_model_at_matched_samples() -> None:
    """SciPy's totals are Jansen's too, over the variance of both independent samples together; ours, over the mean of
    the variances of the two samples that are compared. Brought to SciPy's variance they must agree to rounding."""
    case = example(STEM)
    every = tuple(stream for streams in DOUBTS.values() for stream in streams)
    base, all_new = redrawn(case, lift, PAIRS, 7, ()), redrawn(case, lift, PAIRS, 7, every)
    mixed = {doubt: redrawn(case, lift, PAIRS, 7, streams) for doubt, streams in DOUBTS.items()}
    func = {"f_A": base.T, "f_B": all_new.T, "f_AB": np.stack([other.T for other in mixed.values()])}
    wanted = sobol_indices(func=func, n=PAIRS).total_order.ravel()
    common = float(np.var(np.concatenate([base, all_new])))
    found = {effect.doubt: effect.total for effect in effects(case, lift, PAIRS, 7)[0]}
    for (doubt, other), theirs in zip(mixed.items(), wanted, strict=True):
        own_variance = 0.5 * float(np.var(base) + np.var(other))
        assert total_effect(base[:, 0], other[:, 0], common)[0] == pytest.approx(theirs, rel=1e-9)
        assert found[doubt] * own_variance / common == pytest.approx(theirs, rel=1e-9)


def test_effects_come_largest_first_for_each_column_and_progress_is_told() -> None:
    case, told = example(STEM), []

    def two(legs: Legs) -> Floats:
        return np.column_stack([legs.losses[:, 0], legs.passive[:, 0]])

    scar, other = effects(case, two, 40, 3, progress=lambda done, total: told.append((done, total)))
    assert scar[0].doubt == "scar and gliding" and scar[0].total > 0.5
    assert all(effect.total == 0.0 for effect in scar[1:])
    assert [e.total for e in other] == sorted((e.total for e in other), reverse=True)
    assert told == [(i, len(DOUBTS)) for i in range(1, len(DOUBTS) + 1)]


def test_pairs_without_an_answer_are_left_out() -> None:
    case = example(STEM)

    def some(legs: Legs) -> Floats:
        out = legs.losses[:, [0]].copy()
        out[:5] = np.nan
        return out

    (found,) = effects(case, some, 40, 3)
    assert all(np.isfinite([effect.total, effect.error]).all() for effect in found)
    (nothing,) = effects(case, lambda legs: np.full((40, 1), np.nan), 40, 3)
    assert nothing == ()


def test_every_stream_of_a_virtual_leg_belongs_to_exactly_one_doubt(monkeypatch: pytest.MonkeyPatch) -> None:
    seen: set[str] = set()
    real = PriorSampler.stream

    def spy(self: PriorSampler, name: str) -> np.random.Generator:
        seen.add(name)
        return real(self, name)

    monkeypatch.setattr(PriorSampler, "stream", spy)
    for stem in (STEM, "stiff_calf", "front_compartment_loss"):
        case = example(stem)
        sampler = PriorSampler(20, 1)
        legs, _ = propose(case, sampler)
        lengthen_calf(case, legs.passive, sampler)
    for name in seen:
        owners = [doubt for doubt, streams in DOUBTS.items() if name.startswith(streams)]
        assert len(owners) == 1, f"{name}: {owners}"
    for doubt, streams in sensitivity.DOUBTS.items():
        assert any(name.startswith(streams) for name in seen), f"{doubt} is drawn from nothing"
