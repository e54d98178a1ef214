"""The page of cases: what it lists, finds, makes, reads and puts away."""

from __future__ import annotations

from typing import Any, cast

from sinewright.app.pages.cases import PURPOSE, CasesPage, _import, _read
from sinewright.app.services import Services, add_once, examples
from sinewright.case import case_from_tables, read_case
from sinewright.service.compute import Compute
from sinewright.store.store import Store

from .app_browser import EXAMPLES
from .app_user import Idle, with_user


def desk_on(store: Store) -> Services:
    return Services(store, cast(Compute, Idle()))


def test_every_invented_example_says_what_it_is_about() -> None:
    found = examples()
    assert {each.file for each in found} == {path.name for path in EXAMPLES.glob("*.toml")}
    assert all(each.case.invented and len(each.about) > 20 for each in found)


def test_an_empty_store_says_what_to_do(store: Store) -> None:
    async def act(user: Any) -> None:
        await user.open("/")
        await user.should_see("No case is stored yet. Try an invented one")
        await user.should_see(PURPOSE)

    with_user(desk_on(store), act)


def test_the_list_shows_side_in_letter_and_word_and_marks_invented(store: Store) -> None:
    with store.write("surgeon") as unit:
        name = unit.add_case(read_case(EXAMPLES / "borderline_donor.toml"))

    async def act(user: Any) -> None:
        await user.open("/")
        for words in (name, "L", "Sciatic lesion", ", left foot", "invented case", "no plan kept yet"):
            await user.should_see(words)

    with_user(desk_on(store), act)


def test_a_case_is_put_away_and_taken_back(store: Store) -> None:
    with store.write("surgeon") as unit:
        name = unit.add_case(read_case(EXAMPLES / "stiff_calf.toml"))

    async def act(user: Any) -> None:
        await user.open("/")
        user.find("Put away").click()
        await user.should_see(f"{name} was put away; nothing is ever deleted.")
        user.find("Show those put away").click()
        await user.should_see("Take back")
        user.find("Take back").click()
        await user.should_see("Nothing was put away.")

    with_user(desk_on(store), act)
    assert [line.name for line in store.cases()] == [name]


def test_a_new_case_has_the_side_that_was_named(store: Store) -> None:
    async def act(user: Any) -> None:
        await user.open("/")
        user.find("New case, left foot").click()
        for _ in range(200):
            if store.cases():
                break
            await __import__("asyncio").sleep(0.02)

    with_user(desk_on(store), act)
    (line,) = store.cases()
    assert (line.side, line.invented) == ("left", False)


def test_what_is_looked_for_narrows_the_list(store: Store) -> None:
    with store.write("surgeon") as unit:
        names = [unit.add_case(each.case) for each in examples()]
    context = CasesPage(desk_on(store), _read(desk_on(store), False), word=names[0].upper())
    assert [each.line.name for each in context.found] == [names[0]]
    context.word = "qv-0"
    assert len(context.found) == len(names)
    context.word = "Sciatic"
    assert [each.lesion for each in context.found] == ["sciatic lesion"]


def test_a_bad_file_is_refused_in_words_and_stores_nothing(store: Store) -> None:
    shown: list[str] = []

    async def act(user: Any) -> None:
        from nicegui import ui

        from sinewright.app.elements import box

        @ui.page("/try")
        async def page() -> None:
            context = CasesPage(desk_on(store), (), slots={"problem": box("div")})
            await _import(context, {"name": "mine.toml", "text": 'side = "both"'})
            shown.append(context.slots["problem"].default_slot.children[0].text)  # type: ignore[attr-defined]

        await user.open("/try")

    with_user(desk_on(store), act)
    assert 'side: given the text "both"' in shown[0]
    assert store.cases() == ()


def test_opening_the_same_file_twice_stores_it_once(store: Store) -> None:
    case = read_case(EXAMPLES / "stiff_calf.toml")
    assert add_once(store, case, "surgeon") == add_once(store, case, "surgeon")
    assert len(store.cases()) == 1


def test_an_empty_case_is_not_weighed_and_says_what_it_needs(store: Store) -> None:
    with store.write("surgeon") as unit:
        name = unit.add_case(case_from_tables({"schema_version": 1, "pseudonym": "new", "side": "left"}))

    async def act(user: Any) -> None:
        await user.open(f"/case/{name}/choices")
        await user.should_see("Needed first: the cause of the drop foot")
        await user.should_see("To the findings")

    with_user(desk_on(store), act)
