"""What holds for every test: no property is judged by how long a slow or busy machine takes over it."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("sinewright", deadline=None)
settings.load_profile("sinewright")

HERE = Path(__file__).parent
# Rooms whose files share what is dear to make: one worker runs the whole room.
WHOLE_ROOMS = ("evidence", "export")
# The longest groups are handed out first, so that no worker is left alone with one at the end.
LONGEST_FIRST = (
    "app.test_path",
    "export",
    "evidence",
    "choose.test_examples",
    "choose.test_calf",
    "doubt.test_weights",
    "app.test_plan_calf",
    "app.test_plan_to_protect",
    "app.test_keyboard",
    "doubt.test_calibration",
)


def group_of(path: Path) -> str:
    """Tests of one group run on one worker, so that what they share is made once: a file, or one of WHOLE_ROOMS."""
    if HERE not in path.parents:
        return str(path)
    parts = path.relative_to(HERE).with_suffix("").parts
    return parts[0] if parts[0] in WHOLE_ROOMS else ".".join(parts)


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Name the group of every test, and put the longest groups in front, before the tests are handed out."""
    place = {name: i for i, name in enumerate(LONGEST_FIRST)}
    items.sort(key=lambda item: place.get(group_of(item.path), len(place)))
    for item in items:
        item.add_marker(pytest.mark.xdist_group(group_of(item.path)))
