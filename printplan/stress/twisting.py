"""Twisting of sections of any shape: torsion constant and shear stress, both on the safe side.

Prandtl's stress hill is replaced by one whose height depends only on the distance s from the
outline. Any such hill is in equilibrium, so its stiffness is a lower bound of the true one; the
best of them gives, with A(s) and P(s) the area and perimeter of the outline moved in by s,

    J >= 4 integral g(s) A(s)^2/P(s) ds,

where g is 1 in the shell and the core factor beyond. Circle, round tube and thin strip come out
exactly, a square 11 % too soft. derived (the idea is that of Polya's web functions [memory]).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from printplan.stress.section_moments import PrintedSection

if TYPE_CHECKING:
    from shapely import Geometry, Polygon

__all__ = ["Twist", "twist_of"]

#: Steps to the inscribed circle: to a thousandth of its largest possible radius.
HALVINGS = 10
#: The outline is smoothed within this share of its size.
SIMPLIFIED_SHARE = 1e-3

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(6)


@dataclass(frozen=True, kw_only=True)
class Twist:
    """Torsion of a section.

    Attributes
    ----------
    constant_mm4 : float
        Torsion constant J, a lower bound. [mm4]
    stress_per_torque_mm3 : float
        Largest shear stress per unit of torque, away from re-entrant corners. [1/mm3]
    """

    constant_mm4: float
    stress_per_torque_mm3: float


def _hill(geometry: Geometry, start: float, stop: float) -> float:
    """Integral of 4 A^2/P over the offsets from `start` to `stop`, by Gauss' rule."""
    if not stop > start:
        return 0.0
    offsets = start + (stop - start) * (_NODES + 1) / 2
    total = 0.0
    for offset, weight in zip(offsets, _WEIGHTS, strict=True):
        inner = geometry.buffer(-float(offset), join_style="mitre")
        if not inner.is_empty:
            total += float(weight) * 4 * inner.area**2 / inner.length
    return total * (stop - start) / 2


def _weighted_hill(geometry: Geometry, depth: float, shell: float, core_factor: float) -> float:
    edge = min(shell, depth)
    return _hill(geometry, 0.0, edge) + core_factor * _hill(geometry, edge, depth)


def _inradius(shape: Geometry) -> float:
    """Radius of the largest circle inside, by halving: at which offset does nothing remain?"""
    low, high = 0.0, float(np.sqrt(shape.area / np.pi))
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if shape.buffer(-middle).is_empty else (middle, high)
    return high


def _one_island(polygon: Polygon, shell: float, core_factor: float) -> Twist:
    import shapely

    polygon = shapely.simplify(polygon, SIMPLIFIED_SHARE * float(np.sqrt(polygon.area)))
    shape, depth = polygon, _inradius(polygon)
    constant = _weighted_hill(shape, depth, shell, core_factor)
    if polygon.interiors:
        # A closed tube: a hill on the outer wall only, flat inside the wall's thinnest place.
        filled = shapely.Polygon(polygon.exterior)
        wall = min(polygon.exterior.distance(hole) for hole in polygon.interiors)
        closed = _weighted_hill(filled, wall, shell, core_factor)
        if closed > constant:
            shape, depth, constant = filled, _inradius(filled), closed
    # Roark's largest stress of a convex section with flat sides, T c/J, against that of the hill
    # at the outline, 2 T A/(J P): the true peak sits where the section is thickest.
    roundness = np.pi**2 * (2 * depth) ** 4 / (16 * shape.area**2)
    lever = 2 * depth / (1 + roundness) * (1 + 0.15 * roundness)
    lever = max(lever, 2 * shape.area / shape.length)
    return Twist(constant_mm4=constant, stress_per_torque_mm3=lever / constant)


def twist_of(section: PrintedSection) -> Twist:
    """Torsion constant and stress of a section; several islands twist together.

    Sources
    -------
    derived  lower bound of J, see the module
    [memory: Roark, torsion of solid sections]  peak of a convex section,
        ``c = D/(1 + k) (1 + 0.15 k)``, ``k = pi^2 D^4/(16 A^2)``, D the inscribed circle

    Notes
    -----
    Against finite elements and closed forms the stress is 3 to 50 % high (see the tests).
    Re-entrant corners concentrate it further: their notch factor is not in it.
    """
    import shapely

    islands = [
        _one_island(polygon, section.shell_mm, section.core_factor)
        for polygon in shapely.get_parts(section.outline)
    ]
    total = sum(island.constant_mm4 for island in islands)
    # Islands that twist by the same angle share the torque as their stiffness.
    worst = max(island.stress_per_torque_mm3 * island.constant_mm4 for island in islands)
    return Twist(constant_mm4=total, stress_per_torque_mm3=worst / total)
