"""How much of the solid material's strength a printed section keeps: walls, skins and infill.

A model of our own: the solid shell counts in full, the infill with a power of its fraction. It
reproduces the published ranking for flat coupons (skins before walls before infill), no more;
no study with a complete table of walls by infill could be read.
"""

from __future__ import annotations

import math

from printplan.errors import OutOfRangeError

__all__ = ["infill_strength_factor", "wall_core_area_factor", "wall_core_bending_factor"]

#: Exponents of strength over infill fraction; ``general.toml`` carries them with their origin.
EXPONENT_ALONG, EXPONENT_ACROSS = 1.0, 1.5


def infill_strength_factor(infill_fraction: float, along: bool) -> float:
    """Strength of infill as a fraction of the solid's.

    Along the infill's walls ``f``; across them ``min(f^1.5, max(f/2, f^2))``: a square grid pulled
    along its lines has half of its walls in the load, and dense infill nears the solid.

    Parameters
    ----------
    infill_fraction : float
        Extruded volume over the volume of the region, 0 to 1. [-]
    along : bool
        True where the load runs along the infill walls, False across them.

    Raises
    ------
    OutOfRangeError
        If the fraction is not between 0 and 1.

    Sources
    -------
    [memory: Gibson & Ashby, Cellular Solids, 2nd ed., 1997]  n about 1 for stretch-dominated
    cells, 1.5 to 2 for bending-dominated ones
    [memory: Wang & McDowell 2004, J. Eng. Mater. Technol. 126:137]  f/2 for a square grid along its
    lines; how the three join is our choice, on the lower side of each
    """
    if not 0.0 <= infill_fraction <= 1.0:
        raise OutOfRangeError("infill_fraction", infill_fraction, "a fraction from 0 to 1")
    if along:
        return float(infill_fraction**EXPONENT_ALONG)
    grid = max(infill_fraction / 2, infill_fraction**2)
    return float(min(infill_fraction**EXPONENT_ACROSS, grid))


def wall_core_area_factor(thickness_mm: float, shell_mm: float, core_factor: float) -> float:
    """Strength of a plate with two solid skins and a weaker core in tension, against the solid.

    ``1 − (1 − c) (t − 2 s) / t`` with t thickness, s shell, c core factor: area shares.

    Parameters
    ----------
    thickness_mm, shell_mm : float
        Whole thickness and solid skin on each side. [mm]
    core_factor : float
        Strength of the core against the solid, 0 to 1. [-]

    Returns
    -------
    float
        1 where the skins meet (shell ≥ half the thickness). [-]

    Raises
    ------
    OutOfRangeError
        If the thickness is not positive, the shell negative, or the factor outside 0 to 1.

    Sources
    -------
    derived  area shares
    """
    return 1.0 - (1.0 - core_factor) * _core_share(thickness_mm, shell_mm, core_factor)


def wall_core_bending_factor(thickness_mm: float, shell_mm: float, core_factor: float) -> float:
    """Bending strength of the same plate against the solid.

    ``1 − (1 − c) ((t − 2 s) / t)³``: the second moment of area of the core counts with c, and the
    outer fibre sits in the solid skin.

    Parameters, returns and errors as for `wall_core_area_factor`.

    Sources
    -------
    derived  parallel-axis sum of skins and core, core stiffness ∝ core strength
    """
    return 1.0 - (1.0 - core_factor) * _core_share(thickness_mm, shell_mm, core_factor) ** 3


def _core_share(thickness_mm: float, shell_mm: float, core_factor: float) -> float:
    """Core thickness over whole thickness, 0 where the skins meet."""
    if not (math.isfinite(thickness_mm) and thickness_mm > 0.0):
        raise OutOfRangeError("thickness_mm", thickness_mm, "a finite thickness above 0 mm")
    if not (math.isfinite(shell_mm) and shell_mm >= 0.0):
        raise OutOfRangeError("shell_mm", shell_mm, "a finite shell thickness, 0 mm or more")
    if not 0.0 <= core_factor <= 1.0:
        raise OutOfRangeError("core_factor", core_factor, "a fraction from 0 to 1")
    return max(0.0, thickness_mm - 2.0 * shell_mm) / thickness_mm
