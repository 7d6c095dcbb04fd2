"""Does it fit, does it last, can it be set: each check a value, a limit, a margin and a plain sentence."""

from __future__ import annotations

from jounce.checks.check import Check, Verdict, check_values, worst
from jounce.checks.limits import CRITICAL
from jounce.checks.run import run_checks

__all__ = ["CRITICAL", "Check", "Verdict", "check_values", "run_checks", "worst"]
