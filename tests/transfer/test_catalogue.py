"""The operations on offer: complete, valid, and with names that stay."""

from __future__ import annotations

import re
from itertools import pairwise

import numpy as np
import pytest

from sinewright.anatomy.skeleton import cylinders, landmark_index, native_paths, parse_path
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.reference import load
from sinewright.solve import answer as a
from sinewright.transfer.catalogue import (
    Operation,
    catalogue,
    donors,
    moved_paths,
    origin_of,
    path_table,
    recipients,
    route_donor,
    routes,
)
from sinewright.transfer.plans import SewnOperation, build_plans
from sinewright.transfer.surgery import TendonTransfer

from ..virtual_people import flawless, people, plan

USED = {(p.donor.muscle, p.route.name, p.recipient.name) for moved in catalogue() for p in moved.parts}
TP, PL, PB = "tibialis_posterior", "peroneus_longus", "peroneus_brevis"
FDL, FHL = "flexor_digitorum_longus", "flexor_hallucis_longus"


def test_every_donor_asked_for_is_moved() -> None:
    assert {donor for donor, _, _ in USED} == {TP, PL, PB, FDL, FHL} == set(donors())
    assert {route for donor, route, _ in USED if donor == TP} == {"membrane_under", "membrane_over", "round_tibia"}


def test_pairs_and_splits_asked_for() -> None:
    pairs = {frozenset(p.donor.muscle for p in moved.parts) for moved in catalogue() if len(moved.parts) == 2}
    assert {frozenset((TP, PL)), frozenset((TP, FDL))} <= pairs
    joined = [moved for moved in catalogue() if set(moved.taken) == {TP, PL} and len(moved.parts) == 1]
    assert [m.parts[0].recipient.tendons for m in joined] == [("tibialis_anterior", "peroneus_longus")]
    assert any(moved.parts[0].recipient.name == "split_medial_cuneiform_cuboid" for moved in catalogue())


@pytest.mark.parametrize(
    "recipient",
    [
        "navicular_dorsum",
        "medial_cuneiform_dorsum",
        "intermediate_cuneiform_dorsum",
        "lateral_cuneiform_dorsum",
        "cuboid_dorsum",
        "metatarsal_3_base",
        "split_medial_cuneiform_cuboid",
        "anterior_tibial_above",
        "anterior_tibial_below",
        "long_extensors_above",
        "long_extensors_below",
        "third_peroneal_above",
        "extensor_mass_above",
        "metatarsal_2_base",
        "third_peroneal_below",
        "extensor_mass_below",
    ],
)
def test_every_recipient_asked_for_is_used(recipient: str) -> None:
    assert recipient in {name for _, _, name in USED}


def test_ids_are_unique_and_speak() -> None:
    ids = [moved.id for moved in catalogue()]
    assert len(ids) == len(set(ids))
    for moved in catalogue():
        parts = [(p.donor.muscle, p.route.name, p.recipient.name) for p in moved.parts]
        assert moved.id == "+".join(".".join(part) for part in parts)
        assert re.fullmatch(r"[a-z0-9_]+(\.[a-z0-9_]+){2}(\+[a-z0-9_]+(\.[a-z0-9_]+){2})?", moved.id)


def test_ids_that_plans_were_made_with_stay() -> None:
    """A stored plan names its operation; add to this list, never take from it."""
    assert {
        "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum",
        "tibialis_posterior.membrane_under.split_medial_cuneiform_cuboid",
        "tibialis_posterior.membrane_over.anterior_tibial_below",
        "tibialis_posterior.round_tibia.lateral_cuneiform_dorsum",
        "tibialis_posterior.membrane_under.anterior_tibial_and_long_peroneal_stump",
        "peroneus_longus.front_of_fibula_under.anterior_tibial_above",
        "peroneus_longus.front_of_fibula_over.lateral_cuneiform_dorsum",
        "peroneus_brevis.front_of_fibula_under.third_peroneal_above",
        "flexor_digitorum_longus.membrane_under.lateral_cuneiform_dorsum",
        "flexor_hallucis_longus.membrane_under.anterior_tibial_above",
        "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
        "+flexor_digitorum_longus.membrane_under.long_extensors_above",
    } <= {moved.id for moved in catalogue()}


@pytest.mark.parametrize("moved", catalogue(), ids=lambda moved: moved.id)
def test_every_path_is_a_way_from_the_donor_to_the_foot(moved: Operation) -> None:
    for part in moved.parts:
        for text in part.paths:
            elements = parse_path(text)
            assert text.split(" > ")[0] == origin_of(part.donor.muscle)
            assert elements[0, 2] == 0 and elements[-1, 2] == 2  # from the shank to the foot
            assert np.all(np.diff(elements[:, 2]) >= 0), "a tendon that goes back up"
            points = [w for w in text.split(" > ") if not w.startswith("(")]
            assert len(points) == len(set(points)) and set(points) <= set(landmark_index())
            assert all(x != y for x, y in pairwise(points))
        assert part.paths[0].startswith(part.reach)
        assert part.to_cut.split(" > ")[-1] in set(own_words(part.donor.muscle))


def own_words(muscle: str) -> set[str]:
    at = {i: name for name, i in landmark_index().items()}
    return {at[i] for kind, i, _ in native_paths()[muscle] if kind == 0}


@pytest.mark.parametrize("moved", catalogue(), ids=lambda moved: moved.id)
def test_who_leaves_the_place(moved: Operation) -> None:
    muscles = [part.donor.muscle for part in moved.parts]
    assert moved.taken[: len(muscles)] == tuple(muscles) and set(moved.taken) <= set(LEG_MUSCLES)
    assert len(set(moved.taken)) == len(moved.taken)


def test_a_route_takes_its_own_donors_only() -> None:
    with pytest.raises(ValueError, match="does not go"):
        route_donor(TendonTransfer(PL, "membrane_under", "cuboid_dorsum"))
    with pytest.raises(KeyError):
        route_donor(TendonTransfer("soleus", "membrane_under", "cuboid_dorsum"))


def test_what_goes_through_the_membrane_says_so() -> None:
    for route in routes().values():
        assert route.needs_membrane == ("membrane_window" in route.via)
        assert set(route.donors) <= set(donors())


def test_sources_are_known() -> None:
    keys = {route.source for route in routes().values()} | {r.source for r in recipients().values()}
    for key in keys - {"common-practice"}:
        assert load().source(key).citation


def test_the_table_of_steps_holds_every_path_once() -> None:
    table = path_table()
    assert set(table.ends) == set(native_paths()) | set(moved_paths())
    for name, elements in {**native_paths(), **moved_paths()}.items():
        first, last = table.ends[name]
        assert np.array_equal(table.elements[first:last], elements)
    assert sum(last - first for first, last in table.ends.values()) == len(table.elements)
    assert table.elements[table.elements[:, 0] == 1, 1].max() < len(cylinders())


def test_arrays_hold_what_was_sewn() -> None:
    moved = [m for m in catalogue() if len(m.parts) == 2][0]  # noqa: RUF015
    plans = build_plans([plan(None), SewnOperation(moved, 0.1, 0.02, 0.5, 0.007, overlap=0.02)])
    assert plans.donor[0].tolist() == [-1, -1] and not plans.taken[0].any()
    assert [LEG_MUSCLES[i] for i in plans.donor[1]] == [part.donor.muscle for part in moved.parts]
    assert plans.fixing[1] == pytest.approx([0.1, 0.02, 0.5]) and plans.stretch[1] == 0.007
    assert plans.overlap[1].tolist() == [0.02, 0.02]
    assert {LEG_MUSCLES[i] for i in np.flatnonzero(plans.taken[1])} == set(moved.taken)


def test_every_operation_lifts_a_healthy_leg() -> None:
    """A transfer whose middle leg pushes the foot down would be an error of sign or path."""
    legs = flawless(people("deep_branch_strong_peroneals", 60))
    full = legs._replace(capacity=np.where(np.arange(12) >= 4, 1.0, 0.0) * np.ones_like(legs.capacity))
    out, _ = a.answer(full, build_plans([plan(moved, 10.0) for moved in catalogue()]), moment_only=True)
    weak = {moved.id: x for moved, x in zip(catalogue(), np.median(out[:, :, a.MOMENT], axis=0), strict=True) if x <= 0}
    assert weak == {}


@pytest.mark.parametrize("route", ["membrane_under", "round_tibia"])
def test_hindfoot_follows_the_insertion_from_medial_to_lateral(route: str) -> None:
    sites = {
        "membrane_under": ("medial", "intermediate", "lateral"),
        "round_tibia": ("intermediate", "lateral"),
    }[route]
    names = [*(f"{site}_cuneiform_dorsum" for site in sites), "cuboid_dorsum"]
    legs = flawless(people("deep_branch_strong_peroneals", 60))
    out, _ = a.answer(legs, build_plans([plan(f"{TP}.{route}.{name}", 10.0) for name in names]))
    assert np.all(np.diff(np.median(out[:, :, a.SUBTALAR_IN_LIFT], axis=0)) < 0.0)  # less and less turned in
