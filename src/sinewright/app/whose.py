"""Whom a page or a line of a list is about, in words: made up or not, sex and age, lesion."""

from __future__ import annotations

from sinewright.case import Case

NO_LESION = "lesion not entered yet"


def lesion_words(case: Case) -> str:
    """``common peroneal lesion``; says so where no cause was entered."""
    return ", ".join(case.history.cause) or NO_LESION


def person_words(case: Case) -> str:
    """``man, 61``; empty where neither sex nor age was entered."""
    sex = {"female": "woman", "male": "man"}.get(case.person.sex or "", "")
    age = f"{case.person.age_years.value:g}" if case.person.age_years else ""
    return ", ".join(part for part in (sex or ("person" if age else ""), age) if part)
