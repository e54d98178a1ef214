"""What is typed on the table: directions are words, nothing is lost, the wrong patient's file is refused."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from sinewright.errors import CaseFileError, InputError
from sinewright.learn.entries import TableReading, angle_from, in_order, known_beside, settings, stretch_from, take_back
from sinewright.learn.entry_file import Owner, entries_text, read_entries

from .table_people import START, entry

OWNER = Owner("QV-02", "left", "some.choice")


@pytest.mark.parametrize(
    ("text", "value"),
    [("11down", -11.0), ("4 up", 4.0), ("2.5 deg down", -2.5), ("neutral", 0.0), (" 7 DEG UP ", 7.0)],
)
def test_an_angle_has_its_direction_as_a_word(text: str, value: float) -> None:
    assert angle_from("--rest", text) == value


@pytest.mark.parametrize(("text", "value"), [("6tighter", 6.0), ("3 mm slacker", -3.0), ("unchanged", 0.0)])
def test_a_stretch_has_its_direction_as_a_word(text: str, value: float) -> None:
    assert stretch_from("--mark", text) == value


@pytest.mark.parametrize("text", ["11", "-11", "+4", "", "down", "11dn", "11 tighter", "nan up", "1e3up", "-4 up"])
def test_a_bare_number_or_a_sign_is_refused_with_what_to_do(text: str) -> None:
    with pytest.raises(InputError, match=r"--rest: given .*allowed such as 11down or 4up.*direction as a word"):
        angle_from("--rest", text)


@pytest.mark.parametrize(
    ("kind", "value", "told"),
    [
        ("rest", -95.0, "95° down"),
        ("rest", 60.0, "60° up"),
        ("mark", 80.0, "80 mm tighter"),
        ("tendon", 13.0, "13 mm"),
        ("spring", -1.0, "-1 N"),
        ("spring", float("nan"), "nan"),
        ("moved", -40.0, "40 mm slacker"),
    ],
)
def test_an_impossible_value_names_field_value_unit_and_what_to_do(kind: str, value: float, told: str) -> None:
    with pytest.raises(InputError, match=rf"{kind}: given {told}.*check the unit"):
        entry(kind, value)


def test_posture_is_checked() -> None:
    with pytest.raises(InputError, match="knee_deg"):
        entry("rest", -5.0, knee_deg=130.0)
    with pytest.raises(InputError, match="limb"):
        entry("rest", -5.0, limb="sitting")
    with pytest.raises(InputError, match="without a zone"):
        TableReading("rest", -5.0, datetime(2026, 3, 5, tzinfo=UTC))


def test_of_one_moment_what_was_typed_last_is_taken_back() -> None:
    moved, rest = TableReading("moved", 4.0, START), TableReading("rest", -12.0, START, 30.0)
    for given in ((rest, moved), (moved, rest)):
        assert [entry.counts for entry in take_back(given, START)] == [True, False]


def test_every_entry_is_kept_with_its_time_and_undo_takes_the_last_that_counts_back() -> None:
    given = (entry("mark", 5.0, 1), entry("rest", -9.0, 2), entry("spring", 20.0, 3))
    once = take_back(given, START + timedelta(minutes=5))
    twice = take_back(once, START + timedelta(minutes=6))
    assert [e.kind for e in twice] == ["mark", "rest", "spring"]
    assert [e.counts for e in twice] == [True, False, False]
    assert once[2].taken_back == START + timedelta(minutes=5)
    assert settings(twice)[0] == ((0, given[0]),)
    with pytest.raises(InputError, match="undo"):
        take_back(take_back(twice, START), START)


def test_readings_belong_to_the_setting_they_were_made_in() -> None:
    given = (entry("rest", -2.0, 9), entry("moved", 4.0, 5), entry("rest", -9.0, 1), entry("mark", 5.0, 2))
    readings, moves = settings(given)
    assert [(place, e.value) for place, e in readings] == [(0, -9.0), (0, 5.0), (1, -2.0)]
    assert moves == (4.0,)
    assert [e.value for e in known_beside(given, given[2])] == [5.0]
    assert [e.value for e in known_beside(given, given[0])] == [-9.0, 5.0, 4.0]
    assert in_order(given) == in_order(given[::-1])


def test_the_file_gives_the_same_entries_again(tmp_path: Path) -> None:
    given = (
        entry("tendon", 151.5),
        entry("mark", -3.25, 1),
        entry("rest", -11.0, 2, 30.0),
        entry("rest", 0.0, 3, 90.0, "hanging"),
        entry("stimulated", 8.0, 4),
        entry("moved", 4.0, 5),
        TableReading("spring", 30.0, START, note='scale "small" — twice', taken_back=START + timedelta(minutes=9)),
    )
    path = tmp_path / "entries.toml"
    path.write_text(entries_text(OWNER, given), encoding="utf-8")
    assert read_entries(path, OWNER) == given


@pytest.mark.parametrize(
    ("owner", "field"),
    [
        (Owner("QV-03", "left", "some.choice"), "pseudonym"),
        (Owner("QV-02", "right", "some.choice"), "side"),
        (Owner("QV-02", "left", "other.choice"), "choice"),
    ],
)
def test_entries_of_another_patient_leg_or_choice_are_refused(tmp_path: Path, owner: Owner, field: str) -> None:
    path = tmp_path / "entries.toml"
    path.write_text(entries_text(OWNER, (entry("mark", 5.0),)), encoding="utf-8")
    with pytest.raises(InputError, match=f"--entries: {field}"):
        read_entries(path, owner)


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        ('kind = "rest"\nvalue = -11.0', "direction as a word"),
        ('kind = "rest"\nvalue = "11"', "direction as a word"),
        ('kind = "mark"\nvalue = "5 up"', "tighter or slacker"),
        ('kind = "spring"\nvalue = "30"', "a plain number"),
        ('kind = "grip"\nvalue = 3', "known kind"),
        ('value = 3', "has no kind"),
        ('kind = "spring"\nvalue = 3\nsign = 1', "holds sign"),
        ('kind = "spring"\nvalue = 3000.0', "0 N to 300 N"),
    ],
)  # fmt: skip
def test_a_wrong_entry_of_a_file_is_named(tmp_path: Path, lines: str, told: str) -> None:
    path = tmp_path / "entries.toml"
    head = 'pseudonym = "QV-02"\nside = "left"\nchoice = "some.choice"\n[[entry]]\nat = 2026-03-05T09:41:00\n'
    path.write_text(head + lines + "\n", encoding="utf-8")
    with pytest.raises(CaseFileError, match="entry 1") as refused:
        read_entries(path, OWNER)
    assert told in str(refused.value)
