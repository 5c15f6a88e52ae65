"""Judging: checks and temperature become a verdict with its reasons.

In: a measured part, its role and loads, a recipe, a filament, the part's temperature on the hot
day. Out: a `Verdict` per filament (suitable, marginal, unsuitable, not judged) with every check
behind it, the numbers, and what was not checked. May import everything below: elements, stress,
process, part, filament, climate, vehicle, job.
"""

from __future__ import annotations

from printplan.judging.margins import Check, check_demand
from printplan.judging.required import required_safety
from printplan.judging.verdicts import Reason, Suitability, Verdict, judge

__all__ = [
    "Check",
    "Reason",
    "Suitability",
    "Verdict",
    "check_demand",
    "judge",
    "required_safety",
]
