"""Published claims as data: the same list runs in the tests and prints the report. Nothing is fitted or tuned here."""

from sinewright.evidence.registry import CHECKS, Residual, fit_residuals, run_checks
from sinewright.evidence.result import Check
from sinewright.results import CheckResult

__all__ = ["CHECKS", "Check", "CheckResult", "Residual", "fit_residuals", "run_checks"]
