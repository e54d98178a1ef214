"""`sinewright page` and `sinewright draw` from the command line."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from sinewright.cli.app import main

from .conftest import EXAMPLES
from .paper import words_of

CASE = EXAMPLES / "stiff_calf.toml"
CHOICE = "tibialis_posterior.membrane_over.long_extensors_below"
INTO_BONE = "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum"
Told = tuple[int, str]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Callable[..., Told]:
    def call(*arguments: object) -> Told:
        monkeypatch.setattr(sys, "argv", ["sinewright", *map(str, arguments)])
        with pytest.raises(SystemExit) as left:
            main()
        told = capsys.readouterr()
        call.said = told.out  # type: ignore[attr-defined]
        return int(left.value.code or 0), told.err

    return call


def test_the_same_case_and_time_give_the_same_bytes(run: Callable[..., Told], tmp_path: Path) -> None:
    one, two = tmp_path / "one.pdf", tmp_path / "two.pdf"
    for path in (one, two):
        assert run(
            "page", "theatre", CASE, "-o", path, "--choice", CHOICE, "--draws", 100, "--when", "2026-11-24T14:05"
        ) == (0, "")
    assert one.read_bytes() == two.read_bytes()
    assert (one.stat().st_mode & 0o777) == 0o600
    assert "2026-11-24 14:05 UTC" in words_of(one.read_bytes())


@pytest.mark.parametrize("what", ["profile", "ladder", "ruler"])
def test_pictures_as_vector_and_as_pixels(run: Callable[..., Told], tmp_path: Path, what: str) -> None:
    assert run("draw", what, CASE, "-o", tmp_path / "a.svg", "--draws", 100) == (0, "")
    assert (tmp_path / "a.svg").read_text("utf-8").startswith("<svg")
    if what == "ladder":
        assert run("draw", what, CASE, "-o", tmp_path / "a.png", "--draws", 100) == (0, "")
        assert (tmp_path / "a.png").read_bytes().startswith(b"\x89PNG")


def test_a_kept_plan_prints_what_was_chosen_in_it_and_says_when_it_was_replaced(
    run: Callable[..., Told], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SINEWRIGHT_STORE", str(tmp_path / "record.db"))
    assert run("case", "import", CASE)[0] == 0
    name = run.said.split()[0]  # type: ignore[attr-defined]
    assert run("weigh", name, "--draws", 100, "--keep")[0] == 0
    out = tmp_path / "page.pdf"
    code, told = run("page", "theatre", name, "--plan", 1, "-o", out)
    assert code == 2 and "--choice" in told, "a plan that only weighs has no operation that anybody chose"
    keep_chosen(name, run)
    code, told = run("page", "theatre", name, "--plan", 2, "-o", out)
    assert code == 0, told
    words = words_of(out.read_bytes())
    assert "plan 2" in words and "SUPERSEDED" not in words and "long toe extensors, below the retinaculum" in words
    assert "3 mm tighter" in words, "the set stretch that was frozen"
    code, told = run("page", "theatre", name, "--plan", 1, "--choice", CHOICE, "-o", out)
    assert code == 0, told
    assert "SUPERSEDED: plan 1 was replaced by plan 2" in words_of(out.read_bytes())
    code, told = run("page", "theatre", name, "--plan", 9, "-o", out)
    assert code == 2 and "--plan" in told


def keep_chosen(name: str, run: Callable[..., Told]) -> None:
    """A plan with an operation chosen by hand, as the app freezes it."""
    from sinewright.case import changed
    from sinewright.plan import rule_out, weigh
    from sinewright.store.opening import open_store
    from sinewright.store.plans import plan_to_keep

    with open_store(None) as opened:
        stored = opened.case(name)
        case = changed(stored.case, {"plan.set_stretch_mm": 3.0})
        plan = plan_to_keep(weigh(stored.case, 100, 1), rule_out(case, CHOICE, 100, 1))
        with opened.write("surgeon") as unit:
            unit.keep_plan(name, stored.version, plan)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("page", "theatre", CASE, "-o", "page.txt"), ".pdf"),
        (("draw", "profile", CASE, "-o", "leg.pdf"), ".svg or .png"),
        (("page", "theatre", CASE, "-o", "page.pdf", "--paper", "a5"), "a4 or letter"),
        (("page", "patient", CASE, "-o", "page.pdf", "--language", "xx"), "en, de"),
        (("page", "patient", CASE, "-o", "page.pdf", "--operated-on", "soon"), "2026-12-01"),
        (("page", "theatre", CASE, "-o", "page.pdf", "--when", "noon"), "2026-11-24T14:05"),
        (("page", "theatre", CASE, "-o", "page.pdf", "--choice", "brace"), "an id that weigh prints"),
        (("page", "theatre", CASE, "-o", "page.pdf"), "--draft prints the first one with DRAFT across"),
        (("page", "patient", CASE, "-o", "page.pdf"), "--choice: given nothing"),
        (("page", "theatre", CASE, "-o", "page.pdf", "--choice", INTO_BONE, "--construct", "weave"), "--construct"),
        (("page", "patient", CASE, "-o", "page.pdf", "--choice", CHOICE, "--construct", "screw"), "--construct"),
    ],
)
def test_bad_input_is_told(
    run: Callable[..., Told], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[object, ...], said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    code, told = run(*arguments)
    assert code == 2 and said in told
    assert not list(tmp_path.iterdir())
