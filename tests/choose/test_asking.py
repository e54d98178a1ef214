"""Value of information against a nested calculation and a closed form; what says nothing gains nothing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from sinewright.choose.asking import WORTH_CHANGING, smooth, value
from sinewright.choose.asking_question import Question
from sinewright.choose.goals import GOALS, Met
from sinewright.results import LEAST_TOLD, TELLS, Answered

N = 4000
# worth of three choices: a + b x + error, x standard normal
A, B, ERROR = np.array([0.60, 0.55, 0.50]), np.array([0.0, 0.10, -0.08]), 0.05
READING_ERROR = 0.7
EVERY_LEG_LIFTS = np.array(True)


def linear(seed: int, n: int = N) -> tuple[Question, Met]:
    """A question about x and goals of which only the first counts, so that worth is the straight line above."""
    rng = np.random.default_rng(seed)
    x = rng.standard_normal(n)
    values = np.zeros((n, 3, len(GOALS)))
    values[:, :, 0] = A + np.outer(x, B) + ERROR * rng.standard_normal((n, 3))
    reading = x + READING_ERROR * rng.standard_normal(n)
    weights = np.eye(len(GOALS))[0]
    return Question("x", "A reading of x", x, reading, True), Met(values, weights, EVERY_LEG_LIFTS)


def nested(error: float, outer: int = 4000, inner: int = 2000) -> tuple[float, float]:
    """The same by brute force: for each reading, worths are averaged over draws of x given that reading.

    A change counts from WORTH_CHANGING on, as in ``asking``. Returns how often, and the expected gain.
    """
    rng = np.random.default_rng(99)
    shrunk = 1.0 / (1.0 + error**2)
    gains = np.empty(outer)
    for i in range(outer):
        reading = np.sqrt(1.0 + error**2) * rng.standard_normal()
        x = shrunk * reading + np.sqrt(1.0 - shrunk) * rng.standard_normal(inner)
        utility = (A + np.outer(x, B) + ERROR * rng.standard_normal((inner, 3))).mean(axis=0)
        gains[i] = utility.max() - utility[0]
    counted = gains > WORTH_CHANGING
    return float(counted.mean()), float(np.mean(counted * gains))


def close_to(found: Answered, ideal: tuple[float, float], read: tuple[float, float]) -> None:
    """Bounds: four standard errors of the sampled share, and a tenth of the gain (sampling of N legs)."""
    for share, gain, (often, expected) in (
        (found.changes, found.gain, ideal),
        (found.changes_read, found.gain_read, read),
    ):
        assert share == pytest.approx(often, abs=4.0 * (often * (1.0 - often) / N) ** 0.5 + 0.01)
        assert gain == pytest.approx(expected, rel=0.10)


def test_value_of_information_is_that_of_a_nested_calculation() -> None:
    question, met = linear(1)
    found = value(question, met, met.met[:, 0, 0])
    close_to(found, nested(1e-9), nested(READING_ERROR))
    assert found.gain > found.gain_read > 0.0
    assert found.changes > found.changes_read > 0.0


def test_two_choices_against_the_closed_form() -> None:
    """E max(0, d + s z) = d F(d/s) + s f(d/s); the part below WORTH_CHANGING is left out by the rule."""
    question, met = linear(2)
    two = replace(met, met=met.met[:, :2])
    gap, slope = A[1] - A[0], B[1]
    for found, s in (
        (value(question, two, met.met[:, 0, 0]).gain, slope),
        (value(question, two, met.met[:, 0, 0]).gain_read, slope / np.sqrt(1.0 + READING_ERROR**2)),
    ):
        edge = (gap - WORTH_CHANGING) / s
        expected = gap * norm.cdf(edge) + s * norm.pdf(edge)
        assert found == pytest.approx(expected, rel=0.10)


def test_how_much_of_the_doubt_a_reading_takes_away_is_the_squared_correlation() -> None:
    question, met = linear(3)
    lift = question.truth + 0.5 * np.random.default_rng(8).standard_normal(N)
    found = value(question, met, lift)
    shares = 1.0 / (1.0 + 0.25) / (1.0 + READING_ERROR**2)
    assert found.narrows == pytest.approx(shares, abs=0.04)


def test_a_measurement_that_says_nothing_gains_nothing() -> None:
    """Twenty unrelated readings over few legs and many choices that are nearly alike: the worst case for noise."""
    for seed in range(20):
        rng = np.random.default_rng(seed)
        values = np.zeros((400, 25, len(GOALS)))
        values[:, :, 0] = 0.6 + 0.15 * rng.standard_normal((400, 25))
        met = Met(values, np.eye(len(GOALS))[0], EVERY_LEG_LIFTS)
        noise = rng.standard_normal(400)
        found = value(Question("noise", "noise", noise, noise, True), met, values[:, 0, 0])
        assert found.gain_read < 0.01


def test_among_forty_questions_that_say_nothing_none_is_told() -> None:
    """Four hundred unrelated readings in ten askings: no change of choice, no doubt taken away."""
    for seed in range(10):
        rng = np.random.default_rng([seed, 40])
        values = np.zeros((400, 25, len(GOALS)))
        values[:, :, 0] = 0.6 + 0.15 * rng.standard_normal((400, 25))
        met = Met(values, np.eye(len(GOALS))[0], EVERY_LEG_LIFTS)
        for _ in range(40):
            noise = rng.standard_normal(400)
            found = value(Question("noise", "noise", noise, noise, True), met, values[:, 0, 0], asked=40)
            assert not found.tells
            assert found.changes < LEAST_TOLD and found.narrows < TELLS


def test_what_is_worth_asking_alone_is_worth_asking_among_many() -> None:
    question, met = linear(7)
    alone, among = (value(question, met, met.met[:, 0, 0], asked) for asked in (1, 40))
    assert among.gain_read == pytest.approx(alone.gain_read, rel=0.05)
    assert among.tells


def test_a_leg_without_a_balance_does_not_move_the_first_choice() -> None:
    question, met = linear(4)
    values = met.met.copy()
    values[:200, 2] = np.nan
    lift = np.where(np.arange(N) < 50, np.nan, met.met[:, 0, 0])
    found = value(question, replace(met, met=values), lift)
    whole = value(question, met, met.met[:, 0, 0])
    assert found.changes_read == pytest.approx(whole.changes_read, abs=0.05)
    assert np.isfinite(found.narrows)


def test_smoothing_finds_a_line_a_curve_and_nothing() -> None:
    rng = np.random.default_rng(5)
    seen = rng.uniform(-1.0, 1.0, 2000)
    truth = np.stack([0.5 * seen, seen**2, np.zeros(2000)], axis=1)
    found = smooth(seen, truth + 0.3 * rng.standard_normal(truth.shape))
    assert np.sqrt(np.mean((found - truth) ** 2, axis=0)) == pytest.approx(np.zeros(3), abs=0.03)
    assert np.ptp(found[:, 2]) < 1e-12


def test_only_order_matters_to_smoothing() -> None:
    rng = np.random.default_rng(6)
    seen = rng.standard_normal(300)
    values = np.stack([seen, seen**2], axis=1)
    assert smooth(np.exp(seen), values) == pytest.approx(smooth(seen, values))
