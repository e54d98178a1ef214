"""`import sinewright`: what it offers, that a bare import is quick, and that the examples of docs/python.md run."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest

import sinewright
from sinewright.errors import SinewrightError

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "python.md"
CASE = ROOT / "examples" / "stiff_calf.toml"
CHOICE = "tibialis_posterior.membrane_over.lateral_cuneiform_dorsum"
FUNCTIONS = [name for name in sinewright.__all__ if name[0].islower()]


def test_all_is_sorted_and_everything_in_it_is_there_and_documented() -> None:
    assert sinewright.__all__ == sorted(sinewright.__all__)
    for name in sinewright.__all__:
        assert getattr(sinewright, name).__doc__, name
    assert set(sinewright.__all__) <= set(dir(sinewright))
    with pytest.raises(AttributeError, match="it offers"):
        sinewright.anything  # noqa: B018


def test_no_room_of_the_package_takes_the_place_of_what_is_offered() -> None:
    rooms = {path.stem for path in (ROOT / "src" / "sinewright").iterdir()}
    assert not rooms & set(sinewright.__all__)


@pytest.mark.parametrize("name", [name for name in FUNCTIONS if name != "json_text"])
def test_every_function_says_what_it_gives_back(name: str) -> None:
    told = getattr(sinewright, name).__doc__
    assert "Returns\n" in told
    if name != "claims":
        assert "Parameters\n" in told


def test_a_bare_import_loads_nothing_heavy() -> None:
    run = [sys.executable, "-X", "importtime", "-c", "import sinewright"]
    told = subprocess.run(run, capture_output=True, text=True, check=True).stderr
    loaded = {line.split("|")[-1].strip() for line in told.splitlines()}
    assert "sinewright" in loaded
    heavy = {"numba", "scipy", "numpy", "pydantic", "rich", "sqlalchemy"}
    own = {name for name in loaded if name.startswith("sinewright.")}
    assert own == {"sinewright.version"}
    assert not {name for name in loaded if name.split(".")[0] in heavy}


def blocks() -> list[str]:
    return re.findall(r"```python\n(.*?)```", PAGE.read_text("utf-8"), re.DOTALL)


def test_the_examples_of_the_page_run_and_name_everything_that_is_offered(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    examples = tmp_path / "examples"
    examples.symlink_to(ROOT / "examples")
    monkeypatch.chdir(tmp_path)
    code = blocks()
    space: dict[str, object] = {}
    for block in code:
        exec(compile(block, str(PAGE), "exec"), space)
    assert "not a medical device" in capsys.readouterr().out
    assert ElementTree.fromstring((tmp_path / "leg.svg").read_text("utf-8")).tag.endswith("svg")
    named = set(re.findall(r"\w+", PAGE.read_text("utf-8")))
    assert set(sinewright.__all__) <= named


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda: sinewright.weigh(CASE, draws=3), "100 virtual legs or more"),
        (lambda: sinewright.draw(CASE, "leg"), "profile, ladder, ruler"),  # type: ignore[arg-type]
        (lambda: sinewright.ruler(CASE, "nothing", draws=100), "nothing"),
        (lambda: sinewright.protection(CASE, CHOICE, "weave", draws=100, speed=1), "speed"),
        (lambda: sinewright.read_case("nowhere.toml"), "nowhere.toml"),
    ],
)
def test_bad_input_is_refused_with_what_is_allowed(call: object, told: str) -> None:
    with pytest.raises(SinewrightError, match=told):
        call()  # type: ignore[operator]
