"""The patient as data: examination, history, goals and wishes for the plan, read from a TOML case file."""

from sinewright.case.calf import Procedure, Short, calf_procedure, passive_up, short_calf, weak_calf
from sinewright.case.cautions import cautions, share_of_other_side
from sinewright.case.fields import Finding, Known, Number, number
from sinewright.case.listing import entries, entry
from sinewright.case.missing import DONORS, findings_missing
from sinewright.case.model import SCHEMA_VERSION, Case
from sinewright.case.muscles import (
    FRONT,
    GRADES,
    MUSCLES,
    Grade,
    Graded,
    Muscle,
    MuscleName,
    State,
    grade_position,
    grade_step,
    state_of,
)
from sinewright.case.reading import case_from_tables, changed, parse_case, read_case
from sinewright.case.wishes import CODES, Overrides
from sinewright.case.wording import FindingsError
from sinewright.case.writing import canonical, case_to_toml, digest

__all__ = [
    "CODES", "DONORS", "FRONT", "GRADES", "MUSCLES", "SCHEMA_VERSION", "Case", "Finding", "FindingsError", "Grade",
    "Graded", "Known", "Muscle", "MuscleName", "Number", "Overrides", "Procedure", "Short", "State", "calf_procedure",
    "canonical", "case_from_tables", "case_to_toml", "cautions", "changed", "digest", "entries", "entry",
    "findings_missing", "grade_position", "grade_step", "number", "parse_case", "passive_up", "read_case",
    "share_of_other_side", "short_calf", "state_of", "weak_calf",
]  # fmt: skip
