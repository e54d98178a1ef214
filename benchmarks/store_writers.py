"""Eight programs on one store for a minute: ``python benchmarks/store_writers.py [SECONDS]``.

The test suite runs the same for five seconds. With SINEWRIGHT_TEST_POSTGRES set, a server is tried as well.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.store.conftest import SERVER, server_place
from tests.store.test_many_writers import WRITERS, run_writers

from sinewright.store.place import find_place


def main() -> None:
    """Runs the minute and prints what happened."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0
    with tempfile.TemporaryDirectory() as folder:
        places = {"file": find_place(str(Path(folder) / "store.db"))}
        if SERVER:
            places["PostgreSQL"] = server_place()
        for kind, place in places.items():
            happened = run_writers(place, seconds)
            told = ", ".join(f"{count} {what}" for what, count in happened.items())
            sys.stdout.write(f"{kind}: {WRITERS} programs, {seconds:g} s: {told}; nothing lost, chain whole\n")


if __name__ == "__main__":
    main()
