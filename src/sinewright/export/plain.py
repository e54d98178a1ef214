"""Cautions for people: a rule or warning becomes a sentence of the language file, a field of the case becomes words."""

from __future__ import annotations

import re
from collections.abc import Iterable

from sinewright.choose.stance import ARCH, FIRST_RAY
from sinewright.export.planned import Planned
from sinewright.results import Caution, Fired
from sinewright.wording.language import Words

WARNINGS = {
    "legs-exchanged": "legs_mixed_up",
    "lift-without-lifters": "check_numbers",
    "force-without-lever": "check_strength",
    "force-looks-like-kilograms": "check_strength",
    "grade-against-force": "check_strength",
    "knee-bent-below-straight": "check_numbers",
    "active-above-passive": "check_numbers",
    "foot-held-up": "check_numbers",
    "nothing-lost": "legs_mixed_up",
    "age-outside-evidence": "outside",
    "body-mass-index-outside-evidence": "outside",
    "size-outside-evidence": "outside",
    "model": "model",
    "override-not-needed": "",
}  # code of a warning of the case -> key of its sentence; nothing is said of an empty one
FLAGS = {ARCH: "arch", FIRST_RAY: "first_ray"}
HABITS = ("numb_sole", "diabetes_or_smoking", "blood_thinner", "poor_skin", "poor_circulation", "soft_bone")

_PATH = re.compile(r"\b[a-z]+(?:\.[a-z_]+)+(?:_[A-Z][A-Za-z]*)?\b")
_FIELD = re.compile(r"\b[a-z]+(?:_[a-z]+)*_(?:deg|mm|cm|kg|N|Nm|years)\b")
_UNIT = re.compile(r"_(?:deg|mm|cm|kg|N|Nm|years)$")
_GROUPS = ("muscles", "range", "torque", "foot", "person", "history", "leg", "plan", "brace", "goals")
_LEGS = {"affected": "this leg", "other": "the other leg"}


def plain_cautions(planned: Planned, words: Words) -> list[str]:
    """Every caution of this operation and case as a sentence for the patient, each once, none left out."""
    outcome, weighing = planned.outcome, planned.weighing
    said = [_rule(rule, words) for rule in (*outcome.rules, *weighing.rules)]
    said += [_line(words, FLAGS.get(flag, "other")) for flag in (outcome.balance.flags if outcome.balance else ())]
    said += [_warning(each, words) for each in weighing.warnings]
    return [text for text in dict.fromkeys(said) if text]


def own_habits(planned: Planned, words: Words) -> list[str]:
    """The cautions that the patient can do something about after the operation."""
    spoken = {rule.code for rule in (*planned.outcome.rules, *planned.weighing.rules)}
    return [_line(words, code) for code in HABITS if code in spoken]


def _rule(rule: Fired, words: Words) -> str:
    told = _line(words, rule.code)
    return f"{told} {_line(words, 'overridden')}" if rule.override else told


def _warning(warning: Caution, words: Words) -> str:
    key = WARNINGS.get(warning.code, "other")
    return _line(words, key) if key else ""


def _line(words: Words, key: str) -> str:
    return words.line(f"caution.{key if key in words.table['caution'] else 'other'}")


def spoken(text: str) -> str:
    """A sentence with the fields of a case file said in words, for a page that is read, not typed.

    >>> spoken("muscles.tibialis_posterior is grade 5 by hand")
    'tibialis posterior is grade 5 by hand'
    """
    return _FIELD.sub(lambda found: _named(found[0]), _PATH.sub(lambda found: _path(found[0]), text))


def _path(path: str) -> str:
    first, *parts = path.split(".")
    if first not in _GROUPS:
        return path
    if first == "plan":
        return f"the plan's {_named(' '.join(parts))}"
    legs = [_LEGS[part] for part in parts if part in _LEGS]
    names = [_named(part) for part in parts if part not in _LEGS]
    told = ", ".join(names) or {"torque": "strength"}.get(first, first)
    return f"{told} of {legs[0]}" if legs else told


def _named(field: str) -> str:
    return _UNIT.sub("", field).replace("_", " ")


def sentences(texts: Iterable[str]) -> list[str]:
    """Texts that begin with a capital letter, each once."""
    return [f"{text[0].upper()}{text[1:]}" for text in dict.fromkeys(spoken(each) for each in texts) if text]
