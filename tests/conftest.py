"""What holds for every test: no property is judged by how long a slow or busy machine takes over it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

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
    """Put the longest groups in front, before the tests are handed out."""
    place = {name: i for i, name in enumerate(LONGEST_FIRST)}
    items.sort(key=lambda item: place.get(group_of(item.path), len(place)))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """Hand out whole groups; the markers of xdist for it change names of tests in a way that pytest no longer reads."""
    from xdist.scheduler import LoadScopeScheduling

    class WholeGroups(LoadScopeScheduling):
        def _split_scope(self, nodeid: str) -> str:
            return group_of(HERE.parent / nodeid.partition("::")[0])

    return WholeGroups(config, log)
