"""What a muscle is now follows from its grade unless it is said by hand, and is the same wherever it is read."""

from __future__ import annotations

import pytest

from sinewright.app.shank import listing, picture, sentence
from sinewright.case import FindingsError, Muscle, findings_missing, parse_case, state_of
from sinewright.choose.findings import grade_of, works
from sinewright.choose.screen import reason_without_rules
from sinewright.transfer.catalogue import catalogue

HEAD = 'schema_version = 1\npseudonym = "AB-1"\nside = "right"\n'


@pytest.mark.parametrize(
    ("given", "state"),
    [
        ({}, None),
        ({"grade": "0"}, "paralysed"),
        ({"grade": "0", "contraction_felt": True}, "weak"),
        ({"grade": "1"}, "weak"),
        ({"grade": "4+"}, "weak"),
        ({"grade": "5-"}, "normal"),
        ({"grade": "5"}, "normal"),
        ({"grade": "3", "state": "scarred"}, "scarred"),
        ({"grade": "4-", "state": "normal"}, "normal"),
    ],
)
def test_the_state_follows_the_grade_unless_it_is_given(given: dict[str, object], state: str | None) -> None:
    assert state_of(Muscle.model_validate(given)) == state


def test_a_graded_muscle_is_nowhere_called_not_examined() -> None:
    case = parse_case(HEAD + '[muscles]\nperoneus_longus.grade = "5"\ntibialis_anterior.grade = "0"')
    told = listing(case)
    assert "<span>long peroneal</span> <b>works, grade 5</b>" in told
    assert "paralysed, grade 0" in told
    assert "long peroneal" in sentence(case)
    assert 'class="belly normal"' in picture(case)
    asked = [each.field for each in findings_missing(case) if "not examined" in each.why]
    assert "muscles.peroneus_longus.grade" not in asked
    assert "muscles.tibialis_posterior.grade" in asked


def test_a_donor_of_grade_0_cannot_pull_whatever_its_state_field_says() -> None:
    case = parse_case(HEAD + '[muscles]\nperoneus_longus.grade = "0"')
    assert (grade_of(case, "peroneus_longus"), works(case, "peroneus_longus")) == (0, False)
    reasons = {
        reason_without_rules(case, moved) for moved in catalogue() if moved.parts[0].donor.muscle == "peroneus_longus"
    }
    assert all(reason and "cannot pull" in reason for reason in reasons)


def test_a_force_in_a_muscle_of_grade_0_is_refused() -> None:
    with pytest.raises(FindingsError, match="40 N in a muscle of grade 0"):
        parse_case(HEAD + '[muscles.tibialis_posterior]\ngrade = "0"\nforce_N = 40')
