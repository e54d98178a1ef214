"""What `import sinewright` offers: every command as a function that gives back its document.

Each function loads what it needs when it is called. Angles are in degrees, up, in and tighter positive.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TypeAlias

from sinewright.case import Case
from sinewright.case import read_case as _read
from sinewright.errors import InputError

if TYPE_CHECKING:
    from sinewright.learn.entries import TableReading
    from sinewright.results import (
        Asked,
        Checked,
        EvidenceDocument,
        Protection,
        RulerDocument,
        SwingPage,
        TableAnswer,
        Weighing,
    )
    from sinewright.solve.chunks import Progress

Given: TypeAlias = Case | str | Path
PICTURES = ("profile", "ladder", "ruler")


class Picture(str):
    """A drawing as SVG text; a notebook shows the drawing."""

    __slots__ = ()

    def _repr_svg_(self) -> str:
        return str(self)


def read_case(path: str | Path) -> Case:
    """Read a case file.

    Parameters
    ----------
    path : str or Path
        A TOML case file; docs/case-file.md lists its entries.

    Returns
    -------
    Case
        The patient's leg as frozen data.

    Raises
    ------
    CaseFileError
        For a file that cannot be read.
    FindingsError
        For an entry that is unknown, impossible or contradicts another.
    """
    return _read(path)


def check(case: Given) -> Checked:
    """Say what a case holds, what is odd and what is worth measuring. Nothing is computed.

    Parameters
    ----------
    case : Case, str or Path
        A case, or the path of a case file.

    Returns
    -------
    Checked
        Entries, contradictions, rules that speak, missing findings.
    """
    from sinewright.choose.checking import check as checked

    return checked(_case(case))


def weigh(case: Given, *, draws: int = 1000, seed: int = 1, progress: Progress | None = None) -> Weighing:
    """Weigh every operation for one case.

    Parameters
    ----------
    case : Case, str or Path
        A case, or the path of a case file.
    draws : int
        Number of virtual legs, at least 100.
    seed : int
        Same case, draws and seed: same result.
    progress : callable, optional
        Called with what is done and the total.

    Returns
    -------
    Weighing
        Every operation in order under the patient's weights, those set aside last.

    Raises
    ------
    InputError
        For an empty case; says what is needed first.
    DoubtError
        When too few virtual legs agree with the examination.
    """
    from sinewright import plan
    from sinewright.case.needed import refuse_empty

    read = _case(case)
    refuse_empty(read)
    return plan.weigh(read, draws=_draws(draws), seed=seed, progress=progress)


def ruler(case: Given, choice: str, *, draws: int = 1000, seed: int = 1) -> RulerDocument:
    """Lay out one operation along its set stretch, with its set and settled tension.

    Parameters
    ----------
    case : Case, str or Path
        A case, or the path of a case file.
    choice : str
        Id of the operation, as `weigh` gives it, or an abbreviation that fits no other.
    draws, seed : int
        As for `weigh`.

    Returns
    -------
    RulerDocument
        Lift, rest, push-down, moment and pull at each mark [mm].

    Raises
    ------
    InputError
        For a choice that is unknown or set aside for this patient.
    """
    from sinewright import plan
    from sinewright.protect import tension
    from sinewright.results import RulerDocument
    from sinewright.version import __version__

    read = _case(case)
    found = plan.rule_out(read, choice, _draws(draws), seed)
    return RulerDocument(
        version=__version__,
        invented=read.invented,
        side=read.side,
        pseudonym=read.pseudonym,
        seed=seed,
        draws=draws,
        ruler=found,
        tension=tension.tension_at(read, found.choice, draws, seed),
    )


def swing(
    case: Given,
    choice: str,
    *,
    speed_m_s: float | None = None,
    margin_mm: float | None = None,
    draws: int = 1000,
    seed: int = 1,
) -> SwingPage:
    """Walk one operation from toe-off to heel strike beside other feet.

    Parameters
    ----------
    case : Case, str or Path
        A case, or the path of a case file.
    choice : str
        Id of the operation, as for `ruler`.
    speed_m_s : float, optional
        Walking speed [m/s]; an unhurried walk when left out.
    margin_mm : float, optional
        Clearance asked for under the sole [mm]; the usual one when left out.
    draws, seed : int
        As for `weigh`.

    Returns
    -------
    SwingPage
        Clearance, steppage and lowering of the foot, for every foot.
    """
    from sinewright import plan

    return plan.swing_out(_case(case), choice, _draws(draws), seed, speed_m_s, margin_mm)


def ask(case: Given, *, draws: int = 1000, seed: int = 1, progress: Progress | None = None) -> Asked:
    """Say which measurement would change the first choice most often, and what its lift hangs on.

    Parameters
    ----------
    case : Case, str or Path
        A case, or the path of a case file.
    draws, seed, progress
        As for `weigh`.

    Returns
    -------
    Asked
        Measurements, the most useful first; doubts of the leading choices.
    """
    from sinewright import plan

    return plan.ask_next(_case(case), _draws(draws), seed, progress)


def table(
    case: Given,
    choice: str,
    *entries: TableReading,
    planned_mm: float | None = None,
    draws: int = 2000,
    seed: int = 1,
    progress: Progress | None = None,
) -> TableAnswer:
    """Weigh what was measured on the operating table.

    Parameters
    ----------
    case : Case, str or Path
        A case, or the path of a case file.
    choice : str
        Id of the operation, as for `ruler`.
    *entries : TableReading
        What was read, in the order of time.
    planned_mm : float, optional
        Set stretch of the plan [mm], tighter positive; else the case's, else that of `weigh`.
    draws, seed, progress
        As for `weigh`.

    Returns
    -------
    TableAnswer
        What is expected now, and millimetres to the plan.
    """
    from sinewright.learn.prepare import prepare
    from sinewright.learn.session import Session
    from sinewright.units import m

    stretch = None if planned_mm is None else m(planned_mm)
    prepared = prepare(_case(case), choice, _draws(draws), seed=seed, planned=stretch, progress=progress)
    return Session(prepared, entries).answer()


def protection(
    case: Given, choice: str, construct: str, *, draws: int = 1000, seed: int = 1, **wishes: Any
) -> Protection:
    """Hold the load on the junction against its strength as it heals.

    Parameters
    ----------
    case : Case, str or Path
        A case, or the path of a case file.
    choice : str
        Id of the operation, as for `ruler`.
    construct : str
        How the junction is sewn: weave, anchor, tunnel_button and others; docs/protect.md lists them.
    draws, seed : int
        As for `weigh`.
    **wishes
        Fields of `sinewright.protect.protection.Wish`: hold, pace, passes, overlap_mm, planned_mm and others.

    Returns
    -------
    Protection
        Stages with the week before which none may begin. A clinician releases each.

    Raises
    ------
    InputError
        For a wish that is unknown or cannot be.
    """
    from dataclasses import fields

    from sinewright.protect.protection import Wish
    from sinewright.protect.protection import protection as planned

    known = {field.name for field in fields(Wish)} - {"construct"}
    unknown = sorted(set(wishes) - known)
    if unknown:
        raise InputError("protection", unknown[0], ", ".join(sorted(known)), "name one of these wishes")
    return planned(_case(case), choice, Wish(construct, **wishes), _draws(draws), seed)


def draw(
    case: Given,
    picture: Literal["profile", "ladder", "ruler"] = "profile",
    choice: str | None = None,
    *,
    draws: int = 1000,
    seed: int = 1,
) -> Picture:
    """Draw the leg with one operation, the ladder of choices, or the tension ruler.

    Parameters
    ----------
    case : Case, str or Path
        A case, or the path of a case file.
    picture : {"profile", "ladder", "ruler"}
        What to draw.
    choice : str, optional
        Id of the operation; else the first under the patient's weights. The ladder shows every choice.
    draws, seed : int
        As for `weigh`.

    Returns
    -------
    Picture
        SVG text.
    """
    if picture not in PICTURES:
        raise InputError("picture", picture, ", ".join(PICTURES), "choose one of them")
    from sinewright.export.drawing import drawing

    return Picture(drawing(_case(case), picture, choice, _draws(draws), seed))


def claims() -> EvidenceDocument:
    """Hold published claims against the program.

    Returns
    -------
    EvidenceDocument
        Every claim with what was published, what the program gives, and how it stands; misses included.
    """
    from sinewright.evidence import run_checks
    from sinewright.results import EvidenceDocument
    from sinewright.version import __version__

    return EvidenceDocument(version=__version__, checks=run_checks())


FEWEST_DRAWS = 100


def _draws(draws: int) -> int:
    if draws < FEWEST_DRAWS:
        advice = "the ends of nine-tenths mean nothing below"
        raise InputError("draws", draws, f"{FEWEST_DRAWS} virtual legs or more", advice)
    return draws


def _case(given: Given) -> Case:
    return given if isinstance(given, Case) else read_case(given)
