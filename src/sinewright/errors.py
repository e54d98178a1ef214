"""Every error the package raises on purpose.

::

    SinewrightError                 anything below; `exit_code` is what the command returns
    +-- InputError                  a value the user gave is outside what is allowed (exit code 2)
    +-- CaseFileError               a case file cannot be read at all (exit code 2)
    +-- SourceDataError             a published number is unusable or used against its mark (exit code 3)
    +-- SolveError                  no equilibrium was found; never replaced by a number (exit code 4)
    +-- DoubtError                  too few virtual legs agree with the examination (exit code 5)
    +-- StoreError                  the record cannot be opened, trusted or written (exit code 6; in store.errors)

Each message is a sentence for the surgeon: which field, what was given, what is allowed, what to do.
"""

from __future__ import annotations

from typing import ClassVar


class SinewrightError(Exception):
    """Root of the tree. ``str(error)`` is always a sentence that can be shown as it is."""

    exit_code: ClassVar[int] = 1


class InputError(SinewrightError):
    """One value of the user is not allowed.

    Arguments: `field` as the user sees it, `given` with its unit, `allowed` with units, `advice` what to do.
    """

    exit_code: ClassVar[int] = 2

    def __init__(self, field: str, given: object, allowed: str, advice: str) -> None:
        super().__init__(field, given, allowed, advice)
        self.field, self.given, self.allowed, self.advice = field, given, allowed, advice

    def __str__(self) -> str:
        return f"{self.field}: given {self.given}, allowed {self.allowed}; {self.advice.rstrip('.')}."


class CaseFileError(SinewrightError):
    """A case file is missing or cannot be read as a case.

    Arguments: `file`, `problem` found in it, `advice` what to do, `line` if known.
    """

    exit_code: ClassVar[int] = 2

    def __init__(self, file: str, problem: str, advice: str, line: int | None = None) -> None:
        super().__init__(file, problem, advice, line)
        self.file, self.problem, self.advice, self.line = file, problem, advice, line

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}, line {self.line}"
        return f"{place}: {self.problem}; {self.advice.rstrip('.')}."


class SourceDataError(SinewrightError):
    """A published or assumed number is unusable, or is used against its mark.

    Arguments: `file`, `line` (0 if no single line is to blame), `problem`.
    """

    exit_code: ClassVar[int] = 3

    def __init__(self, file: str, line: int, problem: str) -> None:
        super().__init__(file, line, problem)
        self.file, self.line, self.problem = file, line, problem

    def __str__(self) -> str:
        place = f"{self.file}, line {self.line}" if self.line else self.file
        return f"{place}: {self.problem.rstrip('.')}."


class SolveError(SinewrightError):
    """No equilibrium was found. The message says for which question and posture."""

    exit_code: ClassVar[int] = 4


class DoubtError(SinewrightError):
    """The virtual legs cannot carry a distribution: too few agree with the examination."""

    exit_code: ClassVar[int] = 5
