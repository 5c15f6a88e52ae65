"""What each layer is filled with: walls, skins, infill, and what stays empty."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from printplan.errors import InputError, one_line
from printplan.process.layers import MITRE, LayerStack, in_two, simplified
from printplan.process.recipe import Recipe

__all__ = ["Regions", "regions"]

Floats = NDArray[np.float64]
Numbers = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True, eq=False)
class Regions:
    """Areas and lengths of every layer, bottom to top; n layers.

    Attributes
    ----------
    stack : LayerStack
        The layers.
    recipe : Recipe
        What they are filled by.
    section_mm2 : (n,) float64
        Whole area of the layer. [mm²]
    loop_mm : (n, walls) float64
        Length of the centre line of each wall, outermost first. [mm]
    loop_count : (n,) int64
        Closed beads in the layer.
    outline_count : (n,) int64
        Boundaries of the layer, holes included.
    wall_mm2 : (n,) float64
        Plan area that the walls' material fills (volume over layer height). [mm²]
    gap_mm2 : (n,) float64
        Part of `wall_mm2` beyond what the loops alone would fill: gaps between loops in thin
        places, counted as filled; negative where loops run closer than their spacing. [mm²]
    rounding_mm2 : (n,) float64
        What the round edge of the outermost bead leaves free. [mm²]
    skin_mm2, skin_perimeter_mm, skin_count : (n,)
        Solid areas, their boundary and number of pieces. [mm²], [mm]
    infill_mm2, infill_perimeter_mm, infill_count : (n,)
        Sparse areas, their boundary and number of pieces. [mm²], [mm]
    thin_mm2 : (n,) float64
        Area thinner than all walls of both sides together, where walls are all there is. [mm²]
    lost_mm2 : (n,) float64
        Area narrower than a single bead. [mm²]
    """

    stack: LayerStack
    recipe: Recipe
    section_mm2: Floats
    loop_mm: Floats
    loop_count: Numbers
    outline_count: Numbers
    wall_mm2: Floats
    gap_mm2: Floats
    rounding_mm2: Floats
    skin_mm2: Floats
    skin_perimeter_mm: Floats
    skin_count: Numbers
    infill_mm2: Floats
    infill_perimeter_mm: Floats
    infill_count: Numbers
    thin_mm2: Floats
    lost_mm2: Floats

    @cached_property
    def volume_mm3(self) -> dict[str, float]:
        """Deposited volume of walls, skins and infill. [mm³]"""
        height = self.stack.thickness_mm
        return {
            "walls": float(self.wall_mm2 @ height),
            "skins": float(self.skin_mm2 @ height),
            "infill": float(self.infill_mm2 @ height) * self.recipe.infill_fraction,
        }


def regions(stack: LayerStack, recipe: Recipe) -> Regions:
    """Divide the layers into walls, skins and infill.

    Wall k (from 0) runs at the distance w/2 + k s from the outline; skins and infill start at
    w/2 + (walls - 1/2) s. A point is skin where it is not covered by all of the next `top_skins`
    layers above, or not by all of the `bottom_skins` layers below. Section area = walls + skins +
    infill + rounding, exactly.

    Parameters
    ----------
    stack : LayerStack
        Layers cut for the recipe's heights and width.
    recipe : Recipe
        Walls, skins, infill.

    Returns
    -------
    Regions
        Areas and lengths per layer.

    Raises
    ------
    InputError
        If the stack was cut for other heights or another width.

    Sources
    -------
    derived: true polygon offsets, so loops merge where the part is thin. The
    round-edge void follows from P(0) and P(w/2), exact for straight, mitred and smooth outlines.
    """
    import shapely

    if not stack.fits(recipe):
        raise InputError(
            one_line(
                f"recipe {recipe.name!r}: layers of {stack.name!r} were cut for "
                f"{stack.layer_height_mm:g} mm high and {stack.line_width_mm:g} mm wide lines; "
                "cut them again for this recipe"
            )
        )
    of_layer = stack.region
    outlines = stack.outlines[stack.region_outline]
    section = shapely.area(outlines)
    loops = [stack.loop(k) for k in range(recipe.wall_count)]
    count = len(outlines)
    length = np.stack(
        [
            np.bincount(x.owner[x.ring], weights=x.length_mm, minlength=count).astype(np.float64)
            for x in loops
        ],
        axis=1,
    )
    beads = sum(np.bincount(x.owner, minlength=count) for x in loops)
    inner = stack.moved_in(recipe.wall_count - 0.5)
    edge = (stack.line_width_mm - stack.spacing_mm) / 2
    outer_mm = shapely.length(outlines)
    rounding = outer_mm * edge - (outer_mm - length[:, 0]) / stack.line_width_mm * edge**2
    wall = section - rounding - shapely.area(inner)
    gap = wall - stack.spacing_mm * length.sum(axis=1)
    thin, lost = stack.kept(
        ("thin", recipe.wall_count),
        lambda: _thin_places(
            stack, recipe, np.column_stack([outer_mm, length, shapely.length(inner)]), gap
        ),
    )
    pair, sizes = _skins_and_infill(stack, recipe, inner)
    return Regions(
        stack=stack,
        recipe=recipe,
        section_mm2=section[of_layer],
        loop_mm=length[of_layer],
        loop_count=np.asarray(beads)[of_layer],
        outline_count=_ring_count(outlines)[of_layer],
        wall_mm2=wall[of_layer],
        gap_mm2=gap[of_layer],
        rounding_mm2=rounding[of_layer],
        thin_mm2=thin[of_layer],
        lost_mm2=lost[of_layer],
        **{key: value[pair] for key, value in sizes.items()},
    )


def _ring_count(outlines: NDArray[Any]) -> Numbers:
    import shapely

    parts, owner = shapely.get_parts(outlines, return_index=True)
    rings = 1 + shapely.get_num_interior_rings(parts)
    return np.bincount(owner, weights=rings, minlength=len(outlines)).astype(np.int64)


def _thin_places(
    stack: LayerStack, recipe: Recipe, around_mm: Floats, gap_mm2: Floats
) -> tuple[Floats, Floats]:
    """Area per region where not all walls fit, and where not even one bead does.

    A place has room for an offset if moving the offset region back out covers it. Two things tell
    cheaply which regions need that look. Where everything fits, the boundary shortens evenly from
    the outline (first column of `around_mm`) over the loops to the inner region (last column),
    and the loops leave no gap.
    """
    import shapely

    steps = [*range(recipe.wall_count), recipe.wall_count - 0.5]
    depth = stack.line_width_mm / 2 + np.outer(stack.spacing_mm, steps)
    depth = np.insert(depth, 0, 0.0, axis=1)
    slope = np.diff(around_mm, axis=1) / np.diff(depth, axis=1)
    uneven = np.ptp(slope, axis=1) * depth[:, -1]
    suspect = np.flatnonzero((np.abs(gap_mm2) > 0.05) | (uneven > 0.5))
    thin, lost = np.zeros(len(gap_mm2)), np.zeros(len(gap_mm2))
    if not len(suspect):
        return thin, lost
    outlines = stack.outlines[stack.region_outline[suspect]]
    for result, k in ((lost, 0.0), (thin, recipe.wall_count - 0.5)):
        # A trifle further out than in, so that rounding leaves no slivers.
        distance = stack.line_width_mm / 2 + k * stack.spacing_mm[suspect] + 0.01
        served = in_two(_moved_out, stack.moved_in(k)[suspect], distance)
        result[suspect] = shapely.area(in_two(shapely.difference, outlines, served))
    return thin, lost


def _moved_out(regions: NDArray[Any], distance_mm: Floats) -> NDArray[Any]:
    import shapely

    grown: NDArray[Any] = shapely.buffer(regions, distance_mm, **MITRE)
    return grown


def _skins_and_infill(
    stack: LayerStack, recipe: Recipe, inner: NDArray[Any]
) -> tuple[Numbers, dict[str, NDArray[Any]]]:
    """Sizes of the skins and infill of each distinct (region, cover) pair, and layer → pair."""
    cover = _Covers(stack).between(recipe.top_skins, recipe.bottom_skins)
    (region, covered), pair = np.unique(
        np.stack([stack.region, cover.number]), axis=1, return_inverse=True
    )
    key = ("skins", recipe.wall_count, recipe.top_skins, recipe.bottom_skins)
    sizes = stack.kept(key, lambda: _split(inner[region], cover.shapes[covered]))
    return pair.reshape(-1), sizes


def _split(inner: NDArray[Any], cover: NDArray[Any]) -> dict[str, NDArray[Any]]:
    """Part each inner region into what lies under cover (infill) and what doesn't (skin)."""
    import shapely

    skin = in_two(shapely.difference, inner, cover)
    whole = shapely.area(inner)
    parts, owner = shapely.get_parts(skin, return_index=True)
    area, around = shapely.area(parts), shapely.length(parts)
    # Strips narrower than a tenth of a millimetre are dust of the outlines, not skin.
    real = 2 * area > 0.1 * around
    area, around, owner = area[real], around[real], owner[real]
    size = len(inner)
    skin_area = np.bincount(owner, weights=area, minlength=size)
    skin_around = np.bincount(owner, weights=around, minlength=size)
    sparse = whole - skin_area > 1e-6
    infill = np.full(size, shapely.Polygon(), dtype=object)
    some = sparse & (skin_area > 0)
    infill[sparse & ~some] = inner[sparse & ~some]
    infill[some] = in_two(_common_area, inner[some], cover[some])
    pieces, of = shapely.get_parts(infill, return_index=True)
    of = of[shapely.area(pieces) > 1e-6]
    return {
        "skin_mm2": skin_area,
        "skin_perimeter_mm": skin_around,
        "skin_count": np.bincount(owner, minlength=size),
        "infill_mm2": np.where(sparse, whole - skin_area, 0.0),
        "infill_perimeter_mm": shapely.length(infill),
        "infill_count": np.bincount(of, minlength=size),
    }


@dataclass(frozen=True, kw_only=True, eq=False)
class _Cover:
    shapes: NDArray[Any]
    number: Numbers


class _Covers:
    """Areas common to runs of neighbouring layers, each distinct intersection made once."""

    def __init__(self, stack: LayerStack) -> None:
        self.stack = stack

    def between(self, above: int, below: int) -> _Cover:
        """Give what is covered by all of the next `above` and of the last `below` layers.

        Zero counts ask for no skin on that side: everything is covered there.
        """
        key = ("cover", above, below)
        return self.stack.kept(key, lambda: self._between(above, below))

    def _between(self, above: int, below: int) -> _Cover:
        n = len(self.stack)
        sides = []
        if above:
            sides.append(_shifted(self._run(above), 1, n, self._empty))
        if below:
            sides.append(_shifted(self._run(below), -below, n, self._empty))
        if len(sides) == 2:
            return self._common(sides[0], sides[1])
        return sides[0] if sides else self._run(1)

    @property
    def _empty(self) -> Any:
        return self.stack.outlines[-1]

    def _run(self, count: int) -> _Cover:
        """Give the common area of layers i … i + count - 1; a run beyond the top is empty."""
        return self.stack.kept(("run", count), lambda: self._make_run(count))

    def _make_run(self, count: int) -> _Cover:
        if count == 1:
            return _Cover(shapes=self._coarse_outlines(), number=self.stack.outline)
        # Two overlapping runs of half the length make a run: ceil(log2(count)) rounds in all.
        half = (count + 1) // 2
        run = self._run(half)
        later = _shifted(run, count - half, len(self.stack), self._empty)
        return self._common(run, later)

    def _coarse_outlines(self) -> NDArray[Any]:
        """Give the outlines with fewer points: a tenth of a line width doesn't change a skin."""
        return simplified(self.stack.outlines, self.stack.line_width_mm / 10)

    def _common(self, one: _Cover, other: _Cover) -> _Cover:
        import shapely

        pairs, number = np.unique(np.stack([one.number, other.number]), axis=1, return_inverse=True)
        a, b = one.shapes[pairs[0]], other.shapes[pairs[1]]
        shapes = a.copy()
        empty = shapely.is_empty(a) | shapely.is_empty(b)
        shapes[empty] = self._empty
        differ = ~empty & np.array([x is not y for x, y in zip(a, b, strict=True)], dtype=bool)
        shapes[differ] = in_two(_common_area, a[differ], b[differ])
        return _Cover(shapes=shapes, number=number.reshape(-1))


def _common_area(a: NDArray[Any], b: NDArray[Any]) -> NDArray[Any]:
    """Intersections, without the lines and points where outlines only touch."""
    import shapely

    common: NDArray[Any] = shapely.intersection(a, b)
    polygonal = np.isin(shapely.get_type_id(common), (3, 6))
    for i in np.flatnonzero(~polygonal):
        parts = shapely.get_parts(common[i])
        areas = parts[shapely.get_type_id(parts) == 3]
        common[i] = shapely.multipolygons(areas) if len(areas) else shapely.Polygon()
    return common


def _shifted(cover: _Cover, by: int, count: int, empty: Any) -> _Cover:
    """Layer i gets what layer i + by had, and nothing beyond the ends."""
    shapes = np.append(cover.shapes, np.array([empty], dtype=object))
    number = np.full(count, len(shapes) - 1)
    if by >= 0:
        number[: max(count - by, 0)] = cover.number[by:]
    else:
        number[-by:] = cover.number[: max(count + by, 0)]
    return _Cover(shapes=shapes, number=number)
