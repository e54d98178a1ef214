"""Holds the results of two versions of the program against each other: every number bit for bit, every word listed.

    python tools/compare_results.py write FOLDER [--draws 300]     runs every command on the invented cases
    python tools/compare_results.py compare BEFORE AFTER           exit 1 when a number differs or is gone

``write`` runs the ``sinewright`` beside the Python that runs it; what a command prints is kept as text beside its JSON.
"""

# ruff: noqa: T201

from __future__ import annotations

import argparse
import json
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

EXAMPLES = Path(__file__).parents[1] / "examples"
WEAVE = ("--construct", "weave", "--overlap-mm", "50")
CASES = {  # an operation that this patient allows, on which the commands that need one are run
    "borderline_donor": "tibialis_posterior.membrane_over.lateral_cuneiform_dorsum",
    "deep_branch_strong_peroneals": "tibialis_posterior.membrane_over.long_extensors_below",
    "front_compartment_loss": "peroneus_longus.front_of_fibula_over.lateral_cuneiform_dorsum",
    "knee_dislocation_common_peroneal": "tibialis_posterior.membrane_over.lateral_cuneiform_dorsum",
    "stiff_calf": "tibialis_posterior.membrane_over.lateral_cuneiform_dorsum",
}
# keys of documents that were renamed since, as (pattern, replacement): their numbers are still compared
RENAMED: tuple[tuple[str, str], ...] = (
    (r"\.lets_heel_down\b|\.lets_down\b", ".lowers_foot"),
    (r"\.mid_deg\b", ".swing_ankle_deg"),
    (r"\.mid_hindfoot_deg\b", ".swing_hindfoot_deg"),
    (r"\.strike_deg\b", ".heel_strike_deg"),
    (r"\.strike_hindfoot_deg\b", ".heel_strike_hindfoot_deg"),
    (r"\.clears\b", ".clears_swing"),
    (r"\.stretch_mm\b", ".set_stretch_mm"),
    (r"(^|\.)agreeing$", r"\1effective_sample_size"),
    (r"(^|\.)worth(\.|$)", r"\1utility\2"),
    (r"(^|\.)front$", r"\1pareto_front"),
    (r"(^|\.)effective$", r"\1effective_sample_size"),
    (r"\.choices\[", ".outcomes["),
    (r"(\.outcomes\[\d+\])\.(id|donor|route|recipient|title|subtitle|fixing|set_stretch_mm)\b", r"\1.choice.\2"),
    (r"(\.outcomes\[\d+\])\.(lifts_to_neutral|clears_swing|lowers_foot)\b", r"\1.chances.\2"),
    (r"(\.outcomes\[\d+\])\.(\w+(?:_deg|_mm|_N|_Nm)|share_of_normal)\b", r"\1.quantities.\2"),
    (r"(\.leading\[\d+\])\.(id|title|subtitle)\b", r"\1.choice.\2"),
    (r"(\.leading\[\d+\])\.doubts\b", r"\1.effects"),
    (r"^\.(id|title|subtitle|fixing|set_stretch_mm)\b", r".choice.\1"),
)
WITHIN = ("", ".ruler")  # where a part of an older document may stand today
Leaf = tuple[str, Any]


def commands(case: str, choice: str, draws: int) -> dict[str, list[str]]:
    """The commands run for one case, by name; those that write a document get ``--json`` later."""
    path, many = str(EXAMPLES / f"{case}.toml"), ["--draws", str(draws)]
    chosen = [path, "--choice", choice, *many]
    return {
        "check": ["check", path],
        "weigh": ["weigh", path, *many],
        "ask": ["ask", path, *many],
        "ruler": ["ruler", *chosen],
        "swing": ["swing", *chosen],
        "table": ["table", *chosen, "--rest", "6down", "--mark", "4tighter"],
        "protect": ["protect", *chosen, *WEAVE],
    }


def write(folder: Path, draws: int, only: str = "") -> int:
    """Run everything (or one case) and keep documents and print; the number of commands that failed."""
    folder.mkdir(parents=True, exist_ok=True)
    program, failed = str(Path(sys.executable).with_name("sinewright")), 0
    for case, choice in CASES.items():
        if only not in ("", case):
            continue
        for name, words in commands(case, choice, draws).items():
            kept = folder / f"{case}.{name}"
            wanted = [] if name == "check" else ["--json", f"{kept}.json"]
            run = subprocess.run([program, *words, *wanted], capture_output=True, text=True, check=False)
            Path(f"{kept}.txt").write_text(run.stdout + run.stderr, encoding="utf-8")
            failed += run.returncode != 0
            print(f"{case} {name}: exit {run.returncode}", file=sys.stderr)
    return failed


def leaves(part: Any, at: str = "") -> Iterator[Leaf]:
    """Every number, word and empty list of a document with the path that leads to it."""
    if isinstance(part, dict) and part:
        for key, value in part.items():
            yield from leaves(value, f"{at}.{key}")
    elif isinstance(part, list) and part:
        for i, value in enumerate(part):
            yield from leaves(value, f"{at}[{i}]")
    else:
        yield at, part


def today(at: str, known: dict[str, Any]) -> str:
    """The path under which a value of an older document stands today."""
    if at in known:
        return at
    for pattern, replacement in RENAMED:
        at = re.sub(pattern, replacement, at)
    return next((within + at for within in WITHIN if within + at in known), at)


def is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def compare(before: Path, after: Path) -> int:
    """Print what differs; the number of numbers that do."""
    wrong = 0
    for old in sorted(before.glob("*.json")):
        new = after / old.name
        if not any(after.glob(f"{old.name.split('.')[0]}.*")):
            continue  # a case that was not run
        if not new.exists():
            print(f"{old.name}: gone")
            wrong += 1
            continue
        first, second = (dict(leaves(json.loads(path.read_text(encoding="utf-8")))) for path in (old, new))
        first = {today(at, second): value for at, value in first.items()}
        numbers = [at for at, value in first.items() if is_number(value) and second.get(at) != value]
        words = [at for at, value in first.items() if not is_number(value) and second.get(at) != value]
        added = [at for at in second if at not in first]
        wrong += len(numbers)
        print(f"{old.name}: {len(numbers)} of {sum(map(is_number, first.values()))} numbers differ or are gone")
        for at in numbers[:20]:
            print(f"  number {at}: {first[at]} -> {second.get(at, 'gone')}")
        for at in words[:40]:
            print(f"  word {at}: {first[at]!r} -> {second.get(at, 'gone')!r}")
        for at in added[:40]:
            print(f"  added {at}: {second[at]!r}")
    return wrong


def main() -> int:
    reader = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    what = reader.add_subparsers(dest="what", required=True)
    writer = what.add_parser("write")
    writer.add_argument("folder", type=Path)
    writer.add_argument("--draws", type=int, default=300)
    writer.add_argument("--only", default="", choices=["", *CASES])
    holder = what.add_parser("compare")
    holder.add_argument("before", type=Path)
    holder.add_argument("after", type=Path)
    given = reader.parse_args()
    if given.what == "write":
        return write(given.folder, given.draws, given.only)
    return int(compare(given.before, given.after) > 0)


if __name__ == "__main__":
    sys.exit(main())
