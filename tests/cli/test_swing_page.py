"""The swing page says every number with its doubt, keeps slap apart from clearance, and its JSON follows the schema."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from sinewright.cli.screen import Screen
from sinewright.cli.swing_page import swing_lines
from sinewright.doubt.sample import chance_of
from sinewright.results import Spread, SwingFoot, SwingPage, json_text, schema_text

from .cli_streams import Stream
from .invented_weighing import around, choice

TODAY = SwingFoot(
    "today", "As it is today", around(-30.0, 3.0, 8.0), around(2.0, 2.0, 5.0), around(-12.0, 3.0, 8.0),
    around(1.0, 2.0, 5.0), around(-50.0, 5.0, 20.0), Spread(6.0, 9.0, 12.0, 14.0, 19.0),
    Spread(8.0, 12.0, 16.0, 18.0, 25.0), around(3.0, 0.5, 1.5), around(19.0, 2.0, 5.0), chance_of(3, 300),
    chance_of(0, 300), 0.02,
)  # fmt: skip
BRACE = replace(TODAY, name="brace", title="With a stiff brace", available_Nm=None, demand_Nm=None, lowers_foot=None,
                failed_share=0.0)  # fmt: skip
PAGE = SwingPage(
    version="0.1.0",
    side="left",
    pseudonym="quiet-otter-58",
    seed=1,
    draws=300,
    choice=choice("a", "Tibialis posterior", "through the membrane"),
    speed_m_s=1.1,
    margin_mm=5.0,
    feet=(TODAY, BRACE),
    per_degree_mm={"ankle": around(2.5, 0.2, 0.5), "knee": around(0.4, 0.5, 1.5), "hip": around(2.7, 0.3, 1.0)},
    notes=("One note.",),
    rows=("own-swing-speed",),
)


@pytest.mark.parametrize("width", [60, 100, 200])
def test_every_foot_is_told_with_its_doubt(width: int) -> None:
    screen = Screen(Stream(terminal=False), width=width, full=False)
    lines = [line.plain for line in swing_lines(PAGE, screen)]
    assert max(len(line) for line in lines) <= width
    told = " ".join(" ".join(lines).split())
    assert "left foot" in told
    assert "clears 5 mm: 1 in 100 (0 to 3); lowest point of the sole 50 mm below the floor (70 to 30 below)" in told
    assert "mid-swing: ankle 30 deg down (38 to 22 down)" in told
    assert "hip 12 deg (6 to 19), knee" in told
    assert told.count("lowering the foot after") == 1
    assert "the lifters give 3.0 Nm (1.5 to 4.5), the floor asks for 19.0 Nm (14.0 to 24.0)" in told
    assert "no solution in 2.0 %" in told
    assert "clears the floor by 5 mm: today 1 in 100 (0 to 3), in a stiff brace 1 in 100 (0 to 3)" in told
    assert "foot lowered under control after heel strike: today 0 in 100 (0 to 1)" in told


def test_what_is_none_in_all_is_said_without_brackets() -> None:
    nothing = Spread(0.0, 0.0, 0.0, 0.0, 0.2)
    foot = replace(
        TODAY, steppage_hip_deg=nothing, steppage_knee_deg=nothing, available_Nm=Spread(0.0, 0.0, 0.0, 0.0, 0.0)
    )
    screen = Screen(Stream(terminal=False), width=200, full=False)
    page = replace(PAGE, feet=(foot,))
    told = " ".join(line.plain for line in swing_lines(page, screen))
    assert "(steppage): none in any virtual leg" in told
    assert "the lifters give no lifting moment in any virtual leg, the floor asks for" in told


def test_json_follows_its_schema() -> None:
    content = json.loads(json_text(PAGE))
    Draft202012Validator(json.loads(schema_text(SwingPage))).validate(content)
    assert content["feet"][0]["clears_swing"]["draws"] == 300
    assert content["feet"][1]["available_Nm"] is None


@pytest.mark.parametrize(
    ("option", "value", "said"), [("--speed", "7", "0.3 to 2 m/s"), ("--margin-mm", "-1", "0 to 100 mm")]
)
def test_an_impossible_walk_is_refused(
    run: Callable[..., object], case_file: Path, option: str, value: str, said: str
) -> None:
    told = run("swing", case_file, "--choice", "tibialis_posterior.membrane_under.lateral_cuneiform_dorsum",
               "--draws", "100", option, value)  # fmt: skip
    assert told.code == 2  # type: ignore[attr-defined]
    assert option in told.err  # type: ignore[attr-defined]
    assert said in told.err  # type: ignore[attr-defined]
