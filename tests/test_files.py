"""A file is whole or absent, and the case survives every name it can be reached by."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from sinewright.errors import InputError
from sinewright.files import check_target, write_whole


def test_a_whole_file_replaces_an_old_one_and_leaves_nothing_beside_it(tmp_path: Path) -> None:
    target = tmp_path / "out.json"
    target.write_text("old")
    write_whole(target, "new °\n")
    assert target.read_bytes() == "new °\n".encode()
    assert os.listdir(tmp_path) == ["out.json"]
    assert target.stat().st_mode & 0o077 == 0


@pytest.mark.parametrize("failure", [KeyboardInterrupt, OSError(28, "No space left on device")])
def test_stopped_half_way_the_old_file_stays_and_no_part_is_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failure: BaseException
) -> None:
    target = tmp_path / "out.json"
    target.write_text("old")

    def stop(_: int) -> None:
        raise failure

    monkeypatch.setattr(os, "fsync", stop)
    with pytest.raises((KeyboardInterrupt, InputError)) as caught:
        write_whole(target, "new")
    assert target.read_text() == "old"
    assert os.listdir(tmp_path) == ["out.json"]
    if caught.type is InputError:
        assert "no space left" in str(caught.value)


@pytest.mark.parametrize("way", ["itself", "dots", "symlink", "hard link"])
def test_the_case_is_refused_under_every_name(tmp_path: Path, way: str) -> None:
    case = tmp_path / "case.toml"
    case.write_text("side")
    other = tmp_path / "other.json"
    if way == "symlink":
        other.symlink_to(case)
    if way == "hard link":
        other.hardlink_to(case)
    target = {"itself": case, "dots": tmp_path / ".." / tmp_path.name / "case.toml"}.get(way, other)
    with pytest.raises(InputError, match="any file but the case itself"):
        check_target(target, keep=case)


def test_a_folder_and_a_missing_folder_are_refused_before_any_work(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="the folder"):
        check_target(tmp_path)
    with pytest.raises(InputError, match="make the folder"):
        check_target(tmp_path / "none" / "out.json")
    assert check_target(tmp_path / "out.json") == (tmp_path / "out.json").resolve()
