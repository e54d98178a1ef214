"""Rules overridden in the case: a written reason, a code that exists, old files unchanged."""

from __future__ import annotations

import pytest

from sinewright.case import CODES, case_to_toml, digest, entry, parse_case

from .case_helpers import SMALL, refusal, with_

WHY = "the ulcer heals under a total contact cast and surgery waits for it"


def test_a_reason_is_kept_through_a_file() -> None:
    case = with_({"plan.overrides.open_ulcer": WHY})
    assert parse_case(case_to_toml(case)) == case
    assert entry(case, "plan.overrides.open_ulcer") == WHY
    assert digest(case) != digest(parse_case(SMALL))


def test_a_case_without_overrides_keeps_the_fingerprint_it_had_before_they_existed() -> None:
    old = parse_case(SMALL + "[plan]\nfixing_ankle_deg = 8\n")
    assert digest(old) == "ce81698ae77606d528d8c11481f6dc4fb43c257b5ba87ec51b986d507a7c65fd"


def test_an_unknown_code_is_refused_with_all_codes_there_are() -> None:
    said = str(refusal(f'{SMALL}[plan.overrides]\nulcer = "{WHY}"\n'))
    assert "plan.overrides.ulcer" in said
    assert all(code in said for code in CODES)
    assert "open_ulcer is probably meant" in said


@pytest.mark.parametrize("reason", ["ok", "         ", "  no   ", "x" * 401])
def test_a_reason_is_a_sentence(reason: str) -> None:
    said = str(refusal(f'{SMALL}[plan.overrides]\nopen_ulcer = "{reason}"\n'))
    assert "allowed text in quotes, 10 to 400 signs" in said
    assert ("shorten the text" in said) == (len(reason) > 400)
