"""Support under overhangs, and the brim round the first layer."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from printplan.process.layers import MITRE, LayerStack, in_two
from printplan.process.recipe import Recipe

__all__ = ["Support", "brim_length", "support"]

Floats = NDArray[np.float64]

#: Extruded share of the supported volume; 0.10-0.20 [common practice].
SUPPORT_FRACTION = 0.15
#: Denser layers under the part, and their share; 2-4 layers, 0.5-1.0 [common practice].
INTERFACE_LAYERS = 3
INTERFACE_FRACTION = 0.7
#: Free distance between support and part sideways; 0.3-0.8 mm [common practice].
CLEARANCE_MM = 0.5
#: Overhanging strips narrower than this hold themselves [common practice].
LEAST_STRIP_MM = 0.05
#: Flat ceilings up to this width, held on both sides, span without support; 5-20 mm
#: [common practice]. The low end is taken.
BRIDGE_MM = 5.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Support:
    """Support of every layer, bottom to top; n layers.

    Attributes
    ----------
    column_mm2, perimeter_mm, count : (n,)
        Plan area of the supported columns, its boundary, and number of pieces. [mm²], [mm]
    ceiling_mm2 : (n,) float64
        Area that starts to need support above this layer. [mm²]
    """

    column_mm2: Floats
    perimeter_mm: Floats
    count: NDArray[np.int64]
    ceiling_mm2: Floats

    def deposited_mm2(self) -> Floats:
        """Extruded volume over layer height of each layer. [mm²]

        Returns
        -------
        (n,) float64
            Columns at the support fraction, and the denser layers below each ceiling booked where
            the ceiling is.
        """
        denser = INTERFACE_LAYERS * (INTERFACE_FRACTION - SUPPORT_FRACTION) * self.ceiling_mm2
        return self.column_mm2 * SUPPORT_FRACTION + denser


def support(stack: LayerStack, recipe: Recipe) -> Support:
    """Find where layers overhang, and the columns below down to the next surface.

    Layer i + 1 needs support where it reaches further over layer i than h tan(limit); once it
    does, all of the step between the two outlines there is supported. The topmost layer below is
    left out as a gap, and columns keep clear of the part sideways.

    Parameters
    ----------
    stack : LayerStack
        The layers.
    recipe : Recipe
        Overhang limit; with ``supports="none"`` everything is zero.

    Returns
    -------
    Support
        Areas per layer.

    Sources
    -------
    derived: overhang rule on layers. [common practice] clearance, gap, bridges, densities.
    """
    if recipe.supports == "none":
        n = len(stack)
        zero = np.zeros(n)
        return Support(
            column_mm2=zero,
            perimeter_mm=zero,
            count=np.zeros(n, dtype=np.int64),
            ceiling_mm2=zero,
        )
    key = ("support", recipe.overhang_limit_deg)
    made: Support = stack.kept(key, lambda: _support(stack, recipe.overhang_limit_deg))
    return made


@np.errstate(divide="ignore", invalid="ignore")  # noise of the geometry library
def _support(stack: LayerStack, limit_deg: float) -> Support:
    import shapely

    n = len(stack)
    ceilings = _ceilings(stack, math.tan(math.radians(limit_deg)))
    ceiling_mm2 = np.zeros(n)
    below = np.full(n, shapely.Polygon(), dtype=object)
    column: Any = shapely.Polygon()
    for i in range(n - 2, -1, -1):
        # The ceiling over layer i + 1 enters here: one layer of gap.
        new = ceilings.get(i + 1)
        if new is not None:
            column = shapely.union(column, new)
        if column.is_empty:
            continue
        if new is not None or stack.outline[i + 1] != stack.outline[i]:
            column = shapely.difference(column, stack.outlines[stack.outline[i]])
            column = _wide_pieces(column, 0.01)
        below[i] = column
        if new is not None:
            ceiling_mm2[i] = new.area
    free = _clear_of_part(stack, below)
    column_mm2 = shapely.area(free)
    return Support(
        column_mm2=column_mm2,
        perimeter_mm=shapely.length(free),
        count=np.where(shapely.is_empty(free), 0, shapely.get_num_geometries(free)),
        # Where the part itself is right below, no denser layers are needed.
        ceiling_mm2=np.minimum(ceiling_mm2, column_mm2),
    )


def _clear_of_part(stack: LayerStack, columns: NDArray[Any]) -> NDArray[Any]:
    """Take the clearance round the part off each layer's columns, equal layers once."""
    import shapely

    some = np.flatnonzero(~shapely.is_empty(columns))
    names = [(id(columns[i]), int(stack.outline[i])) for i in some]
    first = {name: int(i) for name, i in zip(reversed(names), some[::-1], strict=True)}
    once = np.array(list(first.values()), dtype=np.int64)
    if not len(once):
        return columns
    needed, which = np.unique(stack.outline[once], return_inverse=True)
    grown = in_two(lambda p: shapely.buffer(p, CLEARANCE_MM, **MITRE), stack.outlines[needed])
    free = in_two(shapely.difference, columns[once], grown[which])
    made = dict(zip(first, free, strict=True))
    result = columns.copy()
    for i, name in zip(some, names, strict=True):
        result[i] = made[name]
    return result


def _ceilings(stack: LayerStack, slope: float) -> dict[int, Any]:
    """For each layer that needs it: the area that the layer above overhangs."""
    import shapely

    pairs, number = np.unique(
        np.stack([stack.outline[:-1], stack.outline[1:]]), axis=1, return_inverse=True
    )
    lower, upper = stack.outlines[pairs[0]], stack.outlines[pairs[1]]
    step = np.zeros(pairs.shape[1])
    # The step between layers i and i + 1 is as high as layer i + 1.
    np.maximum.at(step, number.reshape(-1), stack.thickness_mm[1:])
    differ = np.flatnonzero(pairs[0] != pairs[1])
    if not len(differ):
        return {}
    lower, upper, step = lower[differ], upper[differ], step[differ]
    beyond = in_two(shapely.difference, upper, in_two(_grown, lower, step * slope))
    beyond[:] = [_wide_pieces(over, LEAST_STRIP_MM) for over in beyond]
    kept = np.flatnonzero(~shapely.is_empty(beyond))
    if not len(kept):
        return {}
    differ, lower, upper, step = differ[kept], lower[kept], upper[kept], step[kept]
    gaps_closed = in_two(_without_narrow_gaps, lower)
    strips = in_two(shapely.difference, beyond[kept], gaps_closed)
    strips[:] = [_wide_pieces(strip, LEAST_STRIP_MM) for strip in strips]
    near = in_two(_grown, strips, step * slope + 0.01)
    steps = in_two(shapely.difference, upper, lower)
    areas = in_two(shapely.intersection, steps, near)
    found = {int(j): area for j, area in zip(differ, areas, strict=True) if not area.is_empty}
    return {i: found[int(j)] for i, j in enumerate(number.reshape(-1)) if int(j) in found}


def _grown(areas: NDArray[Any], distance_mm: Floats) -> NDArray[Any]:
    import shapely

    grown: NDArray[Any] = shapely.buffer(areas, distance_mm, **MITRE)
    return grown


def _without_narrow_gaps(areas: NDArray[Any]) -> NDArray[Any]:
    """Fill what lies between material on both sides and no further apart than a bridge."""
    import shapely

    reach = BRIDGE_MM / 2 + 0.02
    closed: NDArray[Any] = shapely.buffer(
        shapely.buffer(areas, reach, **MITRE), -reach + 0.01, **MITRE
    )
    return closed


def _wide_pieces(area: Any, least_mm: float) -> Any:
    """Drop pieces whose mean width, twice area over perimeter, is below `least_mm`."""
    import shapely

    parts = shapely.get_parts(area)
    kept = parts[2 * shapely.area(parts) > least_mm * shapely.length(parts)]
    return shapely.multipolygons(kept) if len(kept) else shapely.Polygon()


def brim_length(first_layer: Any, lines: int, line_width_mm: float) -> float:
    """Length of the loops joined to the outside of the first layer.

    Parameters
    ----------
    first_layer : shapely Polygon or MultiPolygon
        Section of the first layer. [mm]
    lines : int
        Number of loops.
    line_width_mm : float
        Their pitch. [mm]

    Returns
    -------
    float
        Whole length; loops of neighbouring islands merge, holes stay free. [mm]

    Sources
    -------
    derived: area of the grown outline over the line width; n P + pi w n² for one island.
    """
    import shapely

    if lines <= 0 or first_layer.is_empty:
        return 0.0
    parts = shapely.get_parts(first_layer)
    filled = shapely.union_all(shapely.polygons(shapely.get_exterior_ring(parts)))
    grown = shapely.buffer(filled, lines * line_width_mm, quad_segs=32)
    return float((grown.area - filled.area) / line_width_mm)
