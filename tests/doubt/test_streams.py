"""One quantity, one stream: the same seed gives the same legs, and knowing one thing more leaves the rest alone."""

from __future__ import annotations

import zlib

import numpy as np
import pytest

from sinewright.case import changed
from sinewright.doubt.prior import PriorSampler
from sinewright.doubt.proposal import propose
from sinewright.doubt.virtual import draw
from sinewright.errors import DoubtError
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.solve.leg import Legs
from sinewright.solve.passive_torque import LOWER, LOWER_RATE, UPPER, UPPER_KNEE, UPPER_RATE, WEIGHT

from ..virtual_people import EXAMPLES, blank, example

STEM = "knee_dislocation_common_peroneal"


def legs(case: object = None, seed: int = 5, n: int = 60) -> Legs:
    return propose(case or example(STEM), PriorSampler(n, seed))[0]  # type: ignore[arg-type]


def same(a: Legs, b: Legs) -> list[str]:
    """Names of the arrays that differ."""
    return [name for name, x, y in zip(Legs._fields, a, b, strict=True) if not np.array_equal(x, y)]


def test_same_seed_same_legs_and_another_seed_others() -> None:
    assert same(legs(), legs()) == []
    assert same(legs(), legs(seed=6)) == list(Legs._fields)


@pytest.mark.parametrize("stem", EXAMPLES)
def test_the_mirrored_patient_has_the_same_legs(stem: str) -> None:
    case = example(stem)
    other = changed(case, {"side": {"left": "right", "right": "left"}[case.side]})
    assert other.side != case.side
    assert same(legs(case), legs(other)) == []
    a, b = draw(case, 100, 2), draw(other, 100, 2)
    assert same(a.legs, b.legs) == [] and a.sample.effective_sample_size == b.sample.effective_sample_size


def test_a_stream_does_not_depend_on_what_was_asked_before() -> None:
    a, b = PriorSampler(10, 3), PriorSampler(10, 3)
    b.normal("own-toe-take-up")
    b.stream("something new").random(1000)
    assert np.array_equal(a.stream("push").random(5), b.stream("push").random(5))
    assert not np.array_equal(a.stream("push").random(5), a.stream("pull").random(5))


def test_no_two_streams_of_a_leg_share_their_numbers(monkeypatch: pytest.MonkeyPatch) -> None:
    names: list[str] = []
    plain = PriorSampler.stream

    def noted(self: PriorSampler, name: str) -> np.random.Generator:
        names.append(name)
        return plain(self, name)

    monkeypatch.setattr(PriorSampler, "stream", noted)
    legs()
    assert len(set(names)) > 80
    assert len({zlib.crc32(name.encode()) for name in names}) == len(set(names))
    twice = {name for name in names if names.count(name) > 1}
    assert twice == set(), "two quantities would be drawn with the same numbers"


@pytest.mark.parametrize(
    ("entry", "value", "moved", "columns"),
    [
        ("muscles.soleus.torque_Nm", 60.0, "capacity", [LEG_MUSCLES.index("soleus")]),
        ("muscles.flexor_digitorum_longus.grade", "3", "capacity", [LEG_MUSCLES.index("flexor_digitorum_longus")]),
        ("range.affected.plantarflexion_limit_down_deg", 35.0, "passive", [UPPER_RATE, UPPER, LOWER_RATE, LOWER]),
        ("range.affected.dorsiflexion_knee_bent_deg", 12.0, "passive", [UPPER_RATE, UPPER, UPPER_KNEE, LOWER_RATE]),
        ("person.mass_kg", 81.0, "passive", [WEIGHT]),
        ("torque.other.dorsiflexion_Nm", 20.0, "muscles", list(range(12))),
    ],
)
def test_one_more_finding_moves_what_it_speaks_of(entry: str, value: object, moved: str, columns: list[int]) -> None:
    before, after = legs(blank()), legs(changed(blank(), {entry: value}))
    allowed = {moved, "muscles", "normal_lift"} if entry.startswith(("person", "torque")) else {moved}
    if entry.startswith("torque"):
        allowed.add("capacity")  # a strength from a torque is a share of the normal torque
    assert moved in same(before, after) and set(same(before, after)) <= allowed
    changed_columns = np.flatnonzero(np.any(getattr(before, moved) != getattr(after, moved), axis=0).reshape(-1))
    if moved != "muscles":
        assert set(changed_columns) <= set(columns)


def test_streams_can_be_drawn_afresh_one_by_one() -> None:
    usual = legs()
    fresh = propose(example(STEM), PriorSampler(60, 5, ("own-rubbing",), 99))[0]
    assert same(usual, fresh) == ["losses"]
    assert np.flatnonzero(np.any(usual.losses != fresh.losses, axis=0)).tolist() == [4]


def test_rows_are_noted_once_in_order_of_first_use() -> None:
    sampler = PriorSampler(4, 1)
    for id in ("own-rubbing", "own-toe-take-up", "own-rubbing"):
        sampler.normal(id)
    assert sampler.used == ("own-rubbing", "own-toe-take-up")


def test_draws_follow_their_row() -> None:
    sampler = PriorSampler(40_000, 1)
    normal = sampler.normal("own-toe-take-up")  # 6 mm, sd 3
    assert (normal.mean(), normal.std()) == pytest.approx((6.0, 3.0), rel=0.02)
    wide = sampler.lognormal("own-subtalar-stiffness")  # 15 N.m/rad, cv 0.4
    assert np.median(wide) == pytest.approx(15.0, rel=0.02) and np.all(wide > 0.0)
    assert wide.std() / wide.mean() == pytest.approx(0.4, rel=0.03)
    part = sampler.between("own-scarred-recipient-kept")  # 0.7, range 0.45..0.95
    assert 0.45 <= part.min() < 0.5 < 0.9 < part.max() <= 0.95 and part.mean() == pytest.approx(0.7, abs=0.01)


def test_a_row_without_a_spread_cannot_be_drawn() -> None:
    for draw_row in (PriorSampler(4, 1).normal, PriorSampler(4, 1).lognormal):
        with pytest.raises(DoubtError, match="no spread"):
            draw_row("own-fixing-ankle")
    with pytest.raises(DoubtError, match="no range"):
        PriorSampler(4, 1).between("own-fixing-ankle")


def test_a_row_to_check_against_never_sets_a_parameter() -> None:
    from sinewright.errors import SourceDataError

    with pytest.raises(SourceDataError):
        PriorSampler(4, 1).value("pa-riener-angle-at-10nm-knee-0")
