"""Planning: the only room that strings the stages together.

In: a `Job`. Out: a `JobPlan`: for every part the filaments ranked with their verdicts, the pick and
its recipe, mass, hours and cost; plates, spools, hardware and totals for the set. May import
everything below; the faces (cli, sheet) import it.
"""

from __future__ import annotations

from printplan.planning.planner import judge_job, plan_job
from printplan.planning.result import Candidate, JobPlan, PartPlan, Plate, PlateItem, SpoolUse

__all__ = [
    "Candidate",
    "JobPlan",
    "PartPlan",
    "Plate",
    "PlateItem",
    "SpoolUse",
    "judge_job",
    "plan_job",
]
