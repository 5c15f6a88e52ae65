"""Closed-form checks of machine elements.

In come sizes, loads and material values as plain floats (mm, N, N mm, MPa, deg); out go plain
floats or small frozen records of stresses, forces and factors, each function naming its formula
and where it comes from. Outside a formula's range an `OutOfRangeError` is raised. The room knows
nothing of meshes, filaments or verdicts: `judging` composes demands from it. It may import
`printplan.errors` and numpy only. One subject per module; use ``from printplan.elements import
bolts`` and the like.
"""

from printplan.elements import (
    agma_bevel,
    bearings,
    belts,
    bevel,
    bolts,
    buckling,
    contact,
    notches,
    pin,
    plastic_teeth,
    plates,
    press_fit,
    safety,
    shafts,
    sockets,
    teeth,
    threads,
    tied_teeth,
    torsion,
)

__all__ = [
    "agma_bevel",
    "bearings",
    "belts",
    "bevel",
    "bolts",
    "buckling",
    "contact",
    "notches",
    "pin",
    "plastic_teeth",
    "plates",
    "press_fit",
    "safety",
    "shafts",
    "sockets",
    "teeth",
    "threads",
    "tied_teeth",
    "torsion",
]
