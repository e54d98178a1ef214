"""Over generated cases and junk: lossless round trip, and nothing bad passes or escapes as another error."""

from __future__ import annotations

import math
import tomllib
from datetime import date, datetime
from pathlib import Path
from typing import Any, Literal, get_args, get_origin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sinewright.case import Case, case_from_tables, case_to_toml, digest, entry, parse_case, read_case
from sinewright.case.fields import Finding, bounds_of
from sinewright.case.muscles import GRADES
from sinewright.case.paths import all_fields, finding_type, inner_section, is_list
from sinewright.case.writing import toml_value
from sinewright.errors import CaseFileError, InputError, SinewrightError

from .case_helpers import EXAMPLES, SMALL

FEW, MANY = settings(max_examples=60, deadline=None), settings(max_examples=200, deadline=None)
TOP = {"schema_version": 1, "pseudonym": "ZZ-9", "side": "left"}
LEAVES = [(path, field) for path, field in all_fields() if path not in TOP and inner_section(field) is None]
PLAIN = [(path, field) for path, field in LEAVES if "nerve_studies" not in path and "earlier_" not in path]
NUMBERS = [(path, field) for path, field in PLAIN if bounds_of(field)]
TEXTS = st.text(st.characters(exclude_categories=("Cs", "Cc", "Cf")), min_size=1, max_size=80)
DATES = st.dates(date(1900, 1, 1), date(2026, 1, 1))  # a finding cannot come from the future


def good(field: Any) -> st.SearchStrategy[Any]:
    """Values that a field takes, as a TOML reader returns them."""
    kind = field.annotation
    options = [part for part in get_args(kind) if part is not type(None)] or [kind]
    if finding_type(field):
        bounds = bounds_of(field)
        value: st.SearchStrategy[Any] = st.floats(*bounds) if bounds else st.sampled_from(GRADES)
        known = st.sampled_from(["measured", "estimated", "assumed"])
        return value | st.fixed_dictionaries({"value": value, "known": known}, optional={"on": DATES, "by": TEXTS})
    if bounds_of(field):
        return st.floats(*(bounds_of(field) or (0.0, 0.0)))
    if is_list(field):
        return st.lists(st.sampled_from(get_args(get_args(kind)[0])), max_size=3)
    if get_origin(kind) is Literal or get_origin(options[0]) is Literal:
        return st.sampled_from(get_args(kind if get_origin(kind) is Literal else options[0]))
    shortest = next((rule.min_length for rule in field.metadata if hasattr(rule, "min_length")), 1)
    long_enough = TEXTS.map(lambda text: text if shortest == 1 else f"because {text} is settled")
    return {bool: st.booleans(), date: DATES}.get(options[0], long_enough)


def put(tables: dict[str, Any], path: str, value: Any) -> dict[str, Any]:
    *sections, name = path.split(".")
    place = tables
    for each in sections:
        place = place.setdefault(each, {})
    place[name] = value
    return tables


@st.composite
def tables(draw: st.DrawFn) -> dict[str, Any]:
    found: dict[str, Any] = dict(TOP)
    for path, field in draw(st.lists(st.sampled_from(PLAIN), max_size=12)):
        put(found, path, draw(good(field)))
    studies = st.fixed_dictionaries({}, optional={"on": DATES, "note": TEXTS, "result": st.just("normal")})
    put(found, "history.nerve_studies", draw(st.lists(studies, max_size=3)))
    return found


@MANY
@given(tables())
def test_a_case_comes_back_from_its_text_without_loss(given_tables: dict[str, Any]) -> None:
    try:
        case = case_from_tables(given_tables)
    except InputError:  # findings that contradict each other
        return
    again = parse_case(case_to_toml(case))
    assert again == case
    assert digest(again) == digest(case)


@MANY
@given(st.text(st.characters(exclude_categories=("Cs",))) | st.floats(allow_nan=False) | DATES | st.booleans())
def test_every_value_comes_back_from_its_line_of_toml(value: object) -> None:
    line = toml_value(value)
    assert "\n" not in line
    back = tomllib.loads(f"x = {line}")["x"]
    assert back == value and type(back) is type(value)


@MANY
@given(st.sampled_from(PLAIN), st.data())
def test_a_good_value_alone_is_accepted_and_kept(place: tuple[str, Any], data: st.DataObject) -> None:
    path, field = place
    value = data.draw(good(field))
    needs = {"fat_grade": {"fat_system": "Mercuri"}}.get(path.rpartition(".")[2], {})
    prepared: dict[str, Any] = dict(TOP)
    for name, companion in needs.items():
        put(prepared, f"{path.rpartition('.')[0]}.{name}", companion)
    kept = entry(case_from_tables(put(prepared, path, value)), path)
    wanted = value["value"] if isinstance(value, dict) else value
    assert (kept.value if isinstance(kept, Finding) else kept) == (
        tuple(wanted) if isinstance(wanted, list) else wanted
    )


def bad_number(low: float, high: float) -> st.SearchStrategy[Any]:
    """Whatever may not stand in a numeric field with this range."""
    return (
        st.floats(max_value=low, exclude_max=True)
        | st.floats(min_value=high, exclude_min=True)
        | st.integers(max_value=math.ceil(low) - 1)
        | st.integers(min_value=math.floor(high) + 1)
        | st.sampled_from([math.nan, math.inf, -math.inf, True, False, 10**400])
        | st.text(max_size=5)
        | st.lists(st.integers(), max_size=2)
        | DATES
        | st.just({})
        | st.just({"known": "measured"})
    )


@MANY
@given(st.sampled_from(NUMBERS), st.data(), st.booleans())
def test_no_bad_number_passes_and_its_field_is_named(
    place: tuple[str, Any], data: st.DataObject, in_table: bool
) -> None:
    path, field = place
    bounds = bounds_of(field)
    assert bounds
    bad = data.draw(bad_number(*bounds))
    bad = {"value": bad} if in_table else bad
    with pytest.raises(InputError) as caught:
        case_from_tables(put(dict(TOP), path, bad))
    assert path in str(caught.value)
    assert "pydantic" not in str(caught.value)


JUNK = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20) | DATES | st.datetimes(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=12), inner, max_size=3),
    max_leaves=6,
)


@MANY
@given(st.sampled_from(LEAVES), JUNK)
def test_junk_anywhere_is_refused_or_kept_exactly(place: tuple[str, Any], junk: Any) -> None:
    path, _ = place
    try:
        case = case_from_tables(put(dict(TOP), path, junk))
    except SinewrightError:
        return
    kept = entry(case, path) if "nerve_studies." not in path and "earlier_surgery." not in path else None
    if junk is None or kept is None or kept == ():
        return
    value = junk.get("value") if isinstance(junk, dict) else junk
    assert (kept.value if isinstance(kept, Finding) else kept) == (tuple(value) if isinstance(value, list) else value)
    assert not isinstance(value, datetime)


@FEW
@given(st.dictionaries(st.sampled_from(["side", "person", "range", "muscles", "plan", "x", "\u202e"]), JUNK))
def test_junk_tables_raise_nothing_but_our_errors(junk: dict[str, Any]) -> None:
    with pytest.raises(SinewrightError):
        case_from_tables(junk)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("fuzz")


def read_or_refuse(file: Path, content: bytes) -> Case | None:
    file.write_bytes(content)
    case, said = None, file.name
    try:
        case = read_case(file)
    except (InputError, CaseFileError) as error:
        said = str(error)
    assert said.startswith(file.name)
    assert all(sign.isprintable() or sign == "\n" for sign in said)
    return case


@MANY
@given(content=st.binary(max_size=200))
def test_random_bytes_are_never_a_case(folder: Path, content: bytes) -> None:
    assert read_or_refuse(folder / "bytes.toml", content) is None


EXAMPLE_BYTES = [path.read_bytes() for path in EXAMPLES] + [SMALL.encode()]


@MANY
@given(
    content=st.sampled_from(EXAMPLE_BYTES),
    at=st.floats(0, 1),
    cut=st.integers(0, 12),
    put_in=st.binary(max_size=6),
)
def test_a_damaged_file_is_read_or_refused(folder: Path, content: bytes, at: float, cut: int, put_in: bytes) -> None:
    place = int(at * len(content))
    case = read_or_refuse(folder / "damaged.toml", content[:place] + put_in + content[place + cut :])
    if case is not None:
        assert parse_case(case_to_toml(case)) == case


@FEW
@given(content=st.text(max_size=120))
def test_random_text_after_a_good_start_is_read_or_refused(content: str) -> None:
    try:
        case = parse_case(SMALL + content)
    except SinewrightError:
        return
    assert parse_case(case_to_toml(case)) == case


def test_digest_ignores_order_and_layout_and_sees_every_value() -> None:
    one = parse_case(SMALL + "[person]\nage_years = 40\nmass_kg = 80\n")
    two = parse_case("# other layout\n" + SMALL + "person = { mass_kg = 80.0, age_years = 40 }\n")
    three = parse_case(SMALL + '[person]\nage_years = 40\nmass_kg = { value = 80, known = "assumed" }\n')
    assert digest(one) == digest(two) != digest(three)
    assert len(digest(one)) == 64
    flipped = parse_case(SMALL.replace('"left"', '"right"') + "[person]\nage_years = 40\nmass_kg = 80\n")
    assert digest(flipped) != digest(one)
    zero = "[range.affected]\nresting_hanging_deg = 0.0\n"
    assert digest(parse_case(SMALL + zero)) == digest(parse_case(SMALL + zero.replace("0.0", "-0.0")))


def test_the_digest_of_a_known_case_stays_the_same() -> None:
    """A changed digest would cut the tie between a stored plan and its case: old content keeps its digest."""
    assert digest(parse_case(SMALL)) == "ae5e94690b2c39ac987deafad57c220c0d19cbe447b1daadfbf15fd6055629b2"
