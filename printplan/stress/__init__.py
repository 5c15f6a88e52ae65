"""Stress through the whole part.

In come a `part.Solid`, point loads with the place that holds it, and the printed structure (shell
and core); out go `CutStresses`: resultants and nominal stresses in real sections between hold and
load, split along and across the layers. The room may import `printplan.part`,
`printplan.filament` (for the names of directions) and what lies below them, not `elements` or
`process`.
"""

from printplan.stress.bending import normal_stress_mpa
from printplan.stress.cuts import (
    CutPlan,
    CutStresses,
    PointLoad,
    WorstCut,
    cut_stresses,
    plan_cuts,
)
from printplan.stress.section_moments import (
    PrintedSection,
    SectionMoments,
    polygon_moments,
    printed_section,
)
from printplan.stress.shearing import cross_shear_mpa
from printplan.stress.twisting import Twist, twist_of

__all__ = [
    "CutPlan",
    "CutStresses",
    "PointLoad",
    "PrintedSection",
    "SectionMoments",
    "Twist",
    "WorstCut",
    "cross_shear_mpa",
    "cut_stresses",
    "normal_stress_mpa",
    "plan_cuts",
    "polygon_moments",
    "printed_section",
    "twist_of",
]
