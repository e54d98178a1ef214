"""How well virtual legs speak: ``python benchmarks/sampler.py [part ...] [--seeds 20] [--patients 500]``. Prints only.

Parts: ``legs`` (distinct, effective, tail, largest weight, time by example and seed), ``patients`` (simulated patients
with torques of both limbs: none should be refused), ``planted`` (one finding of each is wrong: is it named), ``shares``
(do 95 % intervals hold a large sample's share), ``first`` (is the first choice the same at every seed), ``steps``
(tighter never rests lower, stronger never lifts lower).
"""

import argparse
import sys
from pathlib import Path
from time import process_time

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.doubt.test_calibration import DONOR, template
from tests.support.simulated_patients import next_possible

from sinewright.case import Case, changed, read_case
from sinewright.choose.order import order
from sinewright.doubt.pool import agreeing
from sinewright.doubt.virtual import Virtual, draw
from sinewright.errors import DoubtError
from sinewright.plan import able_of, work
from sinewright.solve import answer as a
from sinewright.solve.rests import has_two, rests
from sinewright.transfer.catalogue import catalogue
from sinewright.transfer.plans import SewnOperation, build_plans
from sinewright.units import deg, m, rad

EXAMPLES = sorted((Path(__file__).parents[1] / "examples").glob("*.toml"))
NO_ANGLES = dict.fromkeys(
    f"range.affected.{name}"
    for name in (
        "active_dorsiflexion_knee_straight_deg", "active_dorsiflexion_knee_bent_deg", "active_plantarflexion_down_deg",
        "resting_hanging_deg", "resting_supine_deg", "resting_hanging_knee_deg",
    )
)  # fmt: skip
FURTHER: dict[str, tuple[str, dict[str, object]]] = {
    "ankle that hardly moves": ("stiff_calf", {
        **NO_ANGLES, "range.affected.dorsiflexion_knee_straight_deg": 3.0,
        "range.affected.dorsiflexion_knee_bent_deg": 3.0, "range.affected.plantarflexion_limit_down_deg": 1.0,
    }),
    "other leg's push-down twice as strong": ("stiff_calf", {"torque.other.plantarflexion_Nm": 190.0}),
    "nothing but limits": ("deep_branch_strong_peroneals", {
        **NO_ANGLES, "torque.other.dorsiflexion_Nm": None, "torque.other.plantarflexion_Nm": None,
        "torque.affected.plantarflexion_Nm": None,
    }),
}  # fmt: skip
PLANTS = (  # field, factor on a torque or degrees on an angle, how it is named
    ("torque.other.dorsiflexion_Nm", 0.25, "other leg's lifting"),
    ("torque.other.plantarflexion_Nm", 3.0, "other leg's push"),
    ("torque.affected.plantarflexion_Nm", 0.15, "push-down torque"),
    ("range.affected.resting_hanging_deg", 30.0, "hanging"),
)


def say(*parts: object) -> None:
    sys.stdout.write(" ".join(str(part) for part in parts) + "\n")
    sys.stdout.flush()


def cases() -> dict[str, Case]:
    """The five examples and three further cases."""
    found = {path.stem: read_case(path) for path in EXAMPLES}
    return found | {name: changed(found[stem], entries) for name, (stem, entries) in FURTHER.items()}


def legs(seeds: int) -> None:
    """A thousand legs of every case at every seed."""
    say("| case | distinct | effective | tail k | largest weight % | proposed | temperatures | cpu s |")
    say("|---|---|---|---|---|---|---|---|")
    for name, case in cases().items():
        rows = []
        for seed in range(1, seeds + 1):
            start = process_time()
            s = agreeing(case, 1000, seed).sample
            tail = np.nan if s.tail is None else s.tail
            rows.append((s.distinct, s.effective_sample_size, tail, 100 * s.largest, s.pool, s.temperatures,
                         process_time() - start))  # fmt: skip
        low, high = np.min(rows, axis=0), np.max(rows, axis=0)
        cells = [f"{x:.3g} to {y:.3g}" for x, y in zip(low, high, strict=True)]
        say(f"| {name} | {' | '.join(cells)} |")


def patients(count: int) -> None:
    """Simulated patients whose findings are true by construction."""
    refused, seeds, effective, warned = [], iter(range(20_000, 900_000)), [], 0
    for number in range(count):
        patient = next_possible(template(), DONOR, seeds)
        try:
            virtual = draw(patient.case, 250, number)
        except DoubtError as refusal:
            refused.append(str(refusal))
            continue
        effective.append(virtual.sample.effective_sample_size)
        warned += any("contradicts" in text for text in virtual.warnings)
    say(f"{count} true patients: refused {len(refused)}, warned {warned}")
    say(f"lowest effective {min(effective):.0f} for 250 legs")
    for text in refused:
        say("  ", text)


def planted(count: int) -> None:
    """Simulated patients with one finding that is wrong: refused or warned of, and the wrong one named."""
    seeds, named, said = iter(range(40_000, 900_000)), 0, 0
    for number in range(count):
        patient = next_possible(template(), DONOR, seeds)
        field, by, name = PLANTS[number % len(PLANTS)]
        old = _value(patient.case, field)
        wrong = changed(patient.case, {field: old * by if field.startswith("torque") else old + by})
        try:
            told = " ".join(draw(wrong, 250, number).warnings)
        except DoubtError as refusal:
            told = str(refusal)
        said += "contradicts" in told
        named += "contradicts" in told and name in told
    say(f"{count} patients with one wrong finding: told of {said}, the wrong one among those named {named}")


def _value(case: Case, field: str) -> float:
    found: object = case
    for part in field.split("."):
        found = getattr(found, part)
    return float(found.value)  # type: ignore[attr-defined]


def shares(seeds: int, truth_legs: int) -> None:
    """Do 95 % intervals hold the mean share of many draws; lift to neutral after eight fixed operations."""
    inside = pairs = 0
    for path in EXAMPLES:
        case = read_case(path)
        plans = build_plans(_eight(case))
        draws = [_lift_shares(draw(case, 1000, 9001 + i), plans) for i in range(max(truth_legs // 1000, 1))]
        truth = np.mean([[share for share, _, _ in one] for one in draws], axis=0)
        here = 0
        for seed in range(101, 101 + seeds):
            found = _lift_shares(draw(case, 1000, seed), plans)
            here += sum(low <= t <= high for (_, low, high), t in zip(found, truth, strict=True))
        inside, pairs = inside + here, pairs + seeds * len(truth)
        say(f"{path.stem}: {here} of {seeds * len(truth)}")
    say(f"intervals that hold the truth: {inside} of {pairs} ({100 * inside / pairs:.1f} %)")


def _eight(case: Case) -> list[SewnOperation]:
    from sinewright.choose.screen import reason_against

    moved = [one for one in catalogue() if reason_against(case, one) is None][:8]
    return [SewnOperation(one, rad(5.0), 0.0, rad(30.0), m(6.0)) for one in moved]


def _lift_shares(virtual: Virtual, plans: object) -> list[tuple[float, float, float]]:
    out, failed = a.answer(virtual.legs, plans)  # type: ignore[arg-type]
    lifts = (out[:, :, a.LIFT] >= 0.0) & (out[:, :, a.REACH] >= 0.0)
    chances = [virtual.sample.chance(lifts[:, i], failed[:, i] == 0) for i in range(lifts.shape[1])]
    return [(chance.share, chance.low, chance.high) for chance in chances]


def first(seeds: int) -> None:
    """The first choice and the ties at every seed."""
    for path in EXAMPLES:
        case, firsts, ties = read_case(path), [], []
        for seed in range(1, seeds + 1):
            worked = work(case, 1000, seed)
            able = able_of(worked.outcomes())
            placed = order(worked.met(able), worked.virtual.sample)
            ids = [worked.plans[i].moved.id for i in able]  # type: ignore[union-attr]
            firsts.append(ids[placed.places[0]])
            ties.append(frozenset(one for one, tied in zip(ids, placed.tied, strict=True) if tied))
        usual = max(set(firsts), key=firsts.count)
        told = sum(one == usual or usual in tie for one, tie in zip(firsts, ties, strict=True))
        same = max(ties.count(tie) for tie in set(ties))
        say(f"{path.stem}: first choice the same in {firsts.count(usual)} of {seeds}")
        say(f"  the same, or told as too close to call, in {told}")
        say(f"  set of ties the same in {same}, of {min(map(len, ties))} to {max(map(len, ties))} operations")


def steps(count: int) -> None:
    """Random legs, operations and steps; a leg with two rests or without a balance does not count."""
    rng, fell, weaker, done, left_out = np.random.default_rng(3), 0, 0, 0, 0
    while done < count:
        case = read_case(EXAMPLES[int(rng.integers(len(EXAMPLES)))])
        drawn = draw(case, 100, int(rng.integers(1000))).legs
        plan = _eight(case)[int(rng.integers(8))]
        line = [plan.__class__(plan.moved, plan.ankle, plan.subtalar, plan.knee, plan.stretch + m(by))
                for by in np.arange(0.0, 10.5, 1.0)]  # fmt: skip
        plans = build_plans(line)
        out, failed = a.answer(drawn, plans)
        one = (failed == 0) & ~has_two(rests(drawn, plans))
        good = one[:, 1:] & one[:, :-1]
        fell += int(np.sum(np.diff(deg(out[:, :, a.REST]), axis=1)[good] < -0.01))
        stronger = drawn._replace(capacity=1.1 * drawn.capacity)
        more, missed = a.answer(stronger, plans)
        both = one & (missed == 0)
        weaker += int(np.sum(deg(more[:, :, a.LIFT] - out[:, :, a.LIFT])[both] < -0.01))
        done, left_out = done + int(good.sum()), left_out + int((~good).sum())
    say(f"{done} steps on solved legs with one rest; left out {left_out}")
    say(f"  rests lower when tighter {fell}, lifts lower when stronger {weaker}")


def main() -> None:
    """Run the parts that are named, or all."""
    reader = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    reader.add_argument("parts", nargs="*", default=["legs", "patients", "planted", "shares", "first", "steps"])
    for name, usual in (("seeds", 20), ("patients", 500), ("planted", 100), ("truth", 50_000), ("steps", 100_000)):
        reader.add_argument(f"--{name}", type=int, default=usual)
    given = reader.parse_args()
    parts = {
        "legs": lambda: legs(given.seeds), "patients": lambda: patients(given.patients),
        "planted": lambda: planted(given.planted), "shares": lambda: shares(given.seeds, given.truth),
        "first": lambda: first(given.seeds), "steps": lambda: steps(given.steps),
    }  # fmt: skip
    for part in given.parts:
        parts[part]()


if __name__ == "__main__":
    main()
