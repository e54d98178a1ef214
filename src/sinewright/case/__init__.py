"""The patient as data: examination, history, goals and wishes for the plan, read from a TOML case file."""

from sinewright.case.fields import Finding, Known, Number, number
from sinewright.case.model import SCHEMA_VERSION, Case, Side
from sinewright.case.muscles import FRONT, GRADES, MUSCLES, Grade, Muscle, MuscleName, State, grade_step
from sinewright.case.reading import case_from_tables, changed, parse_case, read_case
from sinewright.case.wording import FindingsError
from sinewright.case.writing import canonical, case_to_toml, digest

__all__ = [
    "FRONT", "GRADES", "MUSCLES", "SCHEMA_VERSION", "Case", "Finding", "FindingsError", "Grade", "Known",
    "Muscle", "MuscleName", "Number", "Side", "State", "canonical", "case_from_tables", "case_to_toml",
    "changed", "digest", "grade_step", "number", "parse_case", "read_case",
]  # fmt: skip
