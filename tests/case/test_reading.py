"""Reading from a file: what can go wrong with the file itself, and what a read case gives."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

import pytest
from pydantic import ValidationError

from sinewright.case import changed, entries, entry, number, parse_case, read_case
from sinewright.errors import CaseFileError

from .case_helpers import SMALL, small


def message(path: Path) -> str:
    with pytest.raises(CaseFileError) as caught:
        read_case(path)
    return str(caught.value)


def test_missing_folder_link_and_pipe_are_told_apart(tmp_path: Path) -> None:
    assert "there is no such file" in message(tmp_path / "none.toml")
    assert "this is a folder" in message(tmp_path)
    (tmp_path / "link.toml").symlink_to(tmp_path / "gone.toml")
    assert "this link leads nowhere" in message(tmp_path / "link.toml")
    (tmp_path / "loop.toml").symlink_to(tmp_path / "loop.toml")
    assert "loop.toml" in message(tmp_path / "loop.toml")
    os.mkfifo(tmp_path / "pipe")
    assert "not an ordinary file" in message(tmp_path / "pipe")
    assert "x.toml" in message(tmp_path / "a\0b" / "x.toml")
    assert message(tmp_path / "red\x1b[31m.toml").startswith("red?[31m.toml: there is no such file")


def test_a_link_to_a_case_is_read(tmp_path: Path) -> None:
    (tmp_path / "case.toml").write_text(SMALL)
    (tmp_path / "link.toml").symlink_to(tmp_path / "case.toml")
    assert read_case(tmp_path / "link.toml") == read_case(str(tmp_path / "case.toml"))


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "case.toml"
    file.write_text(SMALL)

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    assert "you may not read this file" in message(file)


def test_size_and_coding_are_checked(tmp_path: Path) -> None:
    file = tmp_path / "case.toml"
    limit = 1024 * 1024
    file.write_bytes(SMALL.encode() + b"#" * (limit - len(SMALL)))
    assert read_case(file) == small()
    file.write_bytes(SMALL.encode() + b"#" * (limit - len(SMALL) + 1))
    assert "larger than 1 MiB" in message(file)
    file.write_bytes(SMALL.encode() + b'note = "Gr\xfc\xdfe"\n')
    assert "line 5: not UTF-8" in message(file)
    file.write_bytes(SMALL.encode("utf-16"))
    assert "not UTF-8" in message(file)


def test_windows_line_ends_and_a_leading_mark_are_accepted(tmp_path: Path) -> None:
    file = tmp_path / "case.toml"
    file.write_bytes(b"\xef\xbb\xbf" + SMALL.replace("\n", "\r\n").encode())
    assert read_case(file) == small()


def test_a_finding_says_how_it_is_known() -> None:
    case = parse_case(
        SMALL + "[leg]\nfoot_length_mm = 262\n"
        'shank_length_mm = { value = 380, known = "estimated", on = 2025-03-04, by = "tape" }\n'
    )
    plain, told = case.leg.foot_length_mm, case.leg.shank_length_mm
    assert plain is not None
    assert told is not None
    assert (plain.value, plain.known, plain.on) == (262.0, "measured", None)
    assert isinstance(plain.value, float)
    assert (told.value, told.known, told.on, told.by) == (380.0, "estimated", date(2025, 3, 4), "tape")
    assert told.echo("mm") == "380 mm (estimated, 2025-03-04, tape)"
    assert number(plain) == 262.0
    assert number(case.leg.dorsum_height_mm) is None


def test_what_is_left_out_is_none_and_never_a_number() -> None:
    filled = [each.path for each in entries(small())]
    assert filled == ["schema_version", "pseudonym", "invented", "side"]


def test_entries_echo_value_unit_and_origin() -> None:
    case = changed(small(), {"muscles.soleus.force_N": {"value": 3, "known": "assumed"}, "goals.lift": 4})
    texts = {each.path: each.text for each in entries(case)}
    assert texts["muscles.soleus.force_N"] == "3 N (assumed)"
    assert texts["goals.lift"] == "4.0 weight"
    assert entry(case, "muscles.soleus.force_N") == case.muscles.soleus.force_N
    with pytest.raises(KeyError):
        entry(case, "muscles.soleus.force_kg")


def test_a_case_is_frozen_and_changed_gives_a_checked_copy() -> None:
    case = small()
    with pytest.raises(ValidationError):
        case.side = "right"  # type: ignore[misc]
    other = changed(case, {"side": "right", "person.age_years": 40})
    assert (case.side, other.side, other.other_side) == ("left", "right", "left")
    assert changed(other, {"side": "left", "person.age_years": None}) == case


def test_muscles_are_reached_by_full_name_only() -> None:
    muscles = small().muscles
    assert muscles["tibialis_posterior"] is muscles.tibialis_posterior
    for wrong in ("TP", "tibialis_posterior_r", "named", "model_config"):
        with pytest.raises(KeyError):
            muscles[wrong]  # type: ignore[index]
    assert len(list(muscles.named())) == 13
