"""Editing a stored case: stored at once or refused in words; two tabs lose nothing; the last entry is taken back."""

from __future__ import annotations

from typing import Any

import pytest

from sinewright.app.examination import Examination
from sinewright.app.form import PARTS, groups, part_of, paths, values
from sinewright.app.shank import listing, picture, sentence
from sinewright.case import entry, findings_missing, number, read_case
from sinewright.case.labels import path_in_words
from sinewright.case.paths import all_fields, inner_section
from sinewright.store.store import Store

from .app_browser import EXAMPLES

UP = "range.affected.dorsiflexion_knee_straight_deg"
DOWN = "range.affected.plantarflexion_limit_down_deg"
FOOT = "leg.foot_length_mm"


@pytest.fixture
def name(store: Store) -> str:
    with store.write("surgeon") as unit:
        return unit.add_case(read_case(EXAMPLES / "deep_branch_strong_peroneals.toml"))


def tab(store: Store, name: str) -> Examination:
    return Examination(store, "surgeon", store.case(name))


def test_an_entry_is_stored_with_how_it_is_known(store: Store, name: str) -> None:
    exam = tab(store, name)
    assert exam.edit(FOOT, 261, "estimated")
    found = store.case(name).case.leg.foot_length_mm
    assert found is not None
    assert (found.value, found.known) == (261.0, "estimated")


def test_an_entry_out_of_range_is_refused_beside_its_field_and_not_stored(store: Store, name: str) -> None:
    exam = tab(store, name)
    before = store.case(name).version
    assert not exam.edit(UP, 95, "measured")
    assert exam.problems[UP] == (
        "Given 95° up; allowed is 70° down to 45° up. Check the number and the word beside it."
    )
    assert store.case(name).version == before
    assert exam.shown(values(exam.case, "move"))[UP]["value"] == 95


@pytest.mark.parametrize(
    ("path", "typed", "sentence"),
    [
        ("person.height_cm", "abc", 'Given the text "abc"; allowed is a number from 50 to 250 cm. Write one number'),
        ("person.height_cm", "1.70 m", "Write centimetres: 1.70 m is 170."),
        ("person.height_cm", "5'7", "allowed is a number from 50 to 250 cm"),
        (UP, "8", "Say whether 8 is up or down."),
        (DOWN, "-40", "a minus can be read both ways here"),
        ("examined_on", "2099-01-01", "allowed is a date from 1900-01-01 to"),
        ("examined_on", "1800-01-01", "Correct the year."),
    ],
)
def test_a_refused_entry_has_its_sentence_at_its_own_field_and_is_kept_as_typed(
    store: Store, name: str, path: str, typed: str, sentence: str
) -> None:
    exam = tab(store, name)
    part = part_of(path).place
    known = None if path == "examined_on" else "measured"
    assert not exam.edit(path, typed, known)
    assert set(exam.problems) == {path}
    assert sentence in exam.problems[path]
    assert exam.shown(values(exam.case, part))[path]["value"] == typed
    assert exam.edit("history.smoking", "smokes", None), "another entry is not held up"
    assert sentence in exam.problems[path]
    assert exam.stored.version == 2


@pytest.mark.parametrize(
    ("path", "typed", "way", "value"),
    [
        ("person.height_cm", "170 cm", "", 170.0),
        ("person.height_cm", "170,5", "", 170.5),
        ("person.age_years", "34 y", "", 34.0),
        ("leg.foot_length_mm", "26 cm", "", 260.0),
        (UP, "\u22126", "", -6.0),
        (UP, "6°", "down", -6.0),
        (DOWN, "48°", "", 48.0),
    ],
)
def test_a_number_is_taken_as_it_is_typed(
    store: Store, name: str, path: str, typed: str, way: str, value: float
) -> None:
    exam = tab(store, name)
    assert exam.edit(path, typed, "measured", way), exam.problems
    assert number(entry(store.case(name).case, path)) == value


def test_a_number_in_a_list_is_refused_beside_its_own_field(store: Store, name: str) -> None:
    exam = tab(store, name)
    row = {"what": "nerve repair", "before_months": {"value": "soon", "known": "measured"}}
    assert not exam.edit("history.earlier_surgery", [row], None)
    assert "history.earlier_surgery.0.before_months" in exam.problems
    row["before_months"] = {"value": "2 years", "known": "measured"}
    assert exam.edit("history.earlier_surgery", [row], None)
    assert number(store.case(name).case.history.earlier_surgery[0].before_months) == 24.0


def test_a_contradiction_is_named_and_both_entries_are_stored_once_they_fit(store: Store, name: str) -> None:
    exam = tab(store, name)
    assert not exam.edit(UP, -60, "measured")  # the foot would have no range: it goes down by 48 degrees only
    assert DOWN in exam.problems
    assert "Does not fit" in exam.problems[UP]
    assert exam.edit("person.age_years", 35, "measured"), "another entry is not held up"
    for path in ("range.affected.active_dorsiflexion_knee_straight_deg",):
        exam.edit(path, None, "measured")
    assert exam.edit(DOWN, 70, "measured"), exam.problems
    assert exam.refused == {}
    case = store.case(name).case
    assert (number(entry(case, UP)), number(entry(case, DOWN))) == (-60.0, 70.0)


def test_undo_takes_entries_back_one_by_one_as_new_versions(store: Store, name: str) -> None:
    exam = tab(store, name)
    exam.edit(FOOT, 250, "measured")
    exam.edit(FOOT, 251, "measured")
    exam.edit("history.smoking", "smokes", None)
    exam.edit("history.cause", ["stroke or other central lesion"], None)
    last = store.case(name).version
    assert [exam.undo() for _ in range(4)] == ["history.cause", "history.smoking", FOOT, FOOT]
    assert exam.undo() == ""
    again = store.case(name)
    assert again.case.leg == read_case(EXAMPLES / "deep_branch_strong_peroneals.toml").leg
    assert again.version == last + 4


def test_two_tabs_that_change_different_entries_keep_both(store: Store, name: str) -> None:
    one, two = tab(store, name), tab(store, name)
    assert one.edit(FOOT, 250, "measured")
    assert two.edit("person.age_years", 35, "measured")
    case = store.case(name).case
    assert (number(case.leg.foot_length_mm), number(case.person.age_years)) == (250.0, 35.0)


def test_two_tabs_that_change_the_same_entry_are_told_and_nothing_is_overwritten(store: Store, name: str) -> None:
    one, two = tab(store, name), tab(store, name)
    assert one.edit(FOOT, 250, "measured")
    assert not two.edit(FOOT, 270, "measured")
    assert "somebody else changed this to 250" in two.problems[FOOT]
    assert number(store.case(name).case.leg.foot_length_mm) == 250.0
    assert two.edit(FOOT, 270, "measured"), "typed again, knowing the other"
    assert number(store.case(name).case.leg.foot_length_mm) == 270.0


def test_a_list_of_studies_is_edited_as_a_whole(store: Store, name: str) -> None:
    exam = tab(store, name)
    rows: list[dict[str, Any]] = list(values(exam.case, "history")["history.nerve_studies"]["value"])
    assert exam.edit("history.nerve_studies", [*rows, {"on": "2025-09-01", "result": "normal"}], None)
    assert len(store.case(name).case.history.nerve_studies) == len(rows) + 1
    assert not exam.edit("history.nerve_studies", [{"on": "yesterday"}], None)
    assert "history.nerve_studies.0.on" in exam.problems


def test_another_tab_is_seen(store: Store, name: str) -> None:
    one, two = tab(store, name), tab(store, name)
    one.edit(FOOT, 250, "measured")
    assert two.reread()
    assert not two.reread()
    assert number(two.case.leg.foot_length_mm) == 250.0


def test_what_this_tab_is_storing_is_not_taken_for_somebody_elses(store: Store, name: str) -> None:
    seen: list[bool] = []

    class Slow:
        """The store; while an entry was just written and not yet read again, the tab's clock looks for changes."""

        def __getattr__(self, what: str) -> Any:
            return getattr(store, what)

        def case(self, wanted: str) -> Any:
            seen.append(exam.reread())
            return store.case(wanted)

    exam = tab(store, name)
    exam.store = Slow()  # type: ignore[assignment]
    assert exam.edit(FOOT, 261, "measured")
    assert seen == [False]
    assert exam.stored.version == store.case(name).version
    assert not exam.reread()


def test_the_form_holds_every_entry_of_a_case_but_its_head() -> None:
    listed = {path for part in PARTS for path in paths(part.place)}
    fields = {path for path, info in all_fields() if inner_section(info) is None}
    rows = ("history.nerve_studies.", "history.earlier_surgery.")
    wanted = {path for path in fields if not path.startswith(rows)}
    assert wanted - listed == {"schema_version", "pseudonym", "invented", "side"}
    assert listed - wanted == {"history.nerve_studies", "history.earlier_surgery"}


def test_every_number_of_the_form_has_its_unit_and_range() -> None:
    for part in PARTS:
        for group in groups(part.place, "left"):
            cells = [*group.get("cells", ()), *group.get("more", ())]
            cells += [cell for row in group.get("rows", ()) for cell in row["cells"]]
            for cell in cells:
                if cell["kind"] == "number":
                    assert cell["low"] < cell["high"], cell
                    assert cell["unit"] or cell["path"].startswith("goals."), cell


def test_what_is_missing_can_be_reached_in_its_part() -> None:
    case = read_case(EXAMPLES / "borderline_donor.toml")
    for each in findings_missing(case.model_copy(update={"leg": type(case.leg)(), "range": type(case.range)()})):
        assert each.field in paths(part_of(each.field).place)
        assert "_" not in path_in_words(each.field)


def test_the_cut_through_the_shank_is_mirrored_for_a_left_leg_and_says_its_side() -> None:
    right, left = (read_case(EXAMPLES / f"{name}.toml") for name in ("stiff_calf", "borderline_donor"))
    assert "right shank" in picture(right)
    assert picture(right).index(">inner<") < picture(right).index(">outer<")
    assert picture(left).index(">outer<") < picture(left).index(">inner<")
    assert "Gone: " in sentence(right)
    assert "anterior tibial</span> <b>paralysed" in listing(right)
