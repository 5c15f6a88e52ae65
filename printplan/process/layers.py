"""The layers of a standing solid, and their outlines moved inwards for each wall.

A :class:`LayerStack` is cut once per solid, layer height and line width. It remembers what has been
computed on it, so that a second recipe costs little. Layers with the same outline share results.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, Any, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from printplan.errors import InputError, OutOfRangeError, one_line
from printplan.process.bead import bead_spacing
from printplan.process.look_ahead import Rings, rings_of
from printplan.process.recipe import Recipe

if TYPE_CHECKING:
    from printplan.part.solid import Solid

__all__ = ["LayerStack", "cut_layers", "layer_planes", "stack_of"]

#: Ten metres of usual layers; more is a slip of the unit, and would fill the memory.
MOST_LAYERS = 50_000

Polygons = NDArray[Any]
Numbers = NDArray[np.int64]
Kept = TypeVar("Kept")

#: How far dropping points may move an outline; at most a tenth of a line width.
DECIMATION_MM = 0.01
#: Mitred corners keep the number of vertices; sharper ones than this ratio are cut off.
MITRE = {"join_style": "mitre", "mitre_limit": 2.0}


class LayerStack:
    """Layers of one part, bottom to top, with results kept per distinct outline.

    Not to be used by several threads at once: it fills as questions are asked.

    Parameters
    ----------
    polygons : sequence of shapely Polygon or MultiPolygon
        Section of each layer, bottom to top. [mm]
    line_width_mm, layer_height_mm, first_layer_height_mm : float
        What the layers are cut for. [mm]
    name : str
        The part.
    warnings : tuple of str
        What was found amiss while cutting.

    Attributes
    ----------
    name : str
        The part.
    line_width_mm, layer_height_mm, first_layer_height_mm : float
        What the layers were cut for. [mm]
    outlines : (u,) object array
        Distinct polygons among the layers; the last one is empty.
    outline : (n,) int64
        Number of each layer's polygon in `outlines`.
    thickness_mm : (n,) float64
        Height of each layer. [mm]
    region : (n,) int64
        Number of each layer's region: a distinct outline at one bead spacing.
    region_outline : (r,) int64
        Polygon of each region.
    spacing_mm : (r,) float64
        Bead spacing of each region. [mm]
    region_first : (r,) bool
        Whether the region is the first layer.
    extent_mm : (3,) float64
        Size of the box round all layers. [mm]
    warnings : tuple of str
        What was found amiss while cutting.
    """

    def __init__(
        self,
        polygons: Sequence[Any] | Polygons,
        *,
        line_width_mm: float,
        layer_height_mm: float,
        first_layer_height_mm: float,
        name: str = "part",
        warnings: tuple[str, ...] = (),
    ) -> None:
        import shapely

        layers = np.empty(len(polygons), dtype=object)
        layers[:] = list(polygons)
        if not len(layers) or shapely.is_empty(layers).all():
            raise InputError(one_line(f"{name}: no layer has an area to print"))
        self.name = name
        self.warnings = warnings
        self.line_width_mm = line_width_mm
        self.layer_height_mm = layer_height_mm
        self.first_layer_height_mm = first_layer_height_mm
        self.outline, distinct = _distinct(layers)
        self.outlines = np.append(distinct, shapely.Polygon())
        self.thickness_mm = np.full(len(layers), layer_height_mm)
        self.thickness_mm[0] = first_layer_height_mm
        # The first layer is a region of its own: it has its own spacing, and its own speed.
        first = np.arange(len(layers)) == 0
        pairs, region = np.unique(
            np.stack([self.outline, first.astype(np.int64)]), axis=1, return_inverse=True
        )
        self.region = region.reshape(-1)
        self.region_outline = pairs[0]
        self.region_first = pairs[1] == 1
        self.spacing_mm = np.where(
            self.region_first,
            bead_spacing(line_width_mm, first_layer_height_mm),
            bead_spacing(line_width_mm, layer_height_mm),
        )
        bounds = shapely.bounds(distinct)
        size = np.nanmax(bounds[:, 2:], axis=0) - np.nanmin(bounds[:, :2], axis=0)
        self.extent_mm = np.array([*size, self.thickness_mm.sum()])
        self._offsets_made: set[float] = set()
        self._kept: dict[tuple[object, ...], Any] = {}

    def __len__(self) -> int:
        return len(self.outline)

    def kept(self, key: tuple[object, ...], make: Callable[[], Kept]) -> Kept:
        """Return what was computed under `key` before, or compute and keep it.

        Parameters
        ----------
        key : tuple
            What the result is and what it depends on besides the layers.
        make : callable
            Computes the result.

        Returns
        -------
        object
            The kept result; not to be changed by the caller.
        """
        if key not in self._kept:
            self._kept[key] = make()
        return cast("Kept", self._kept[key])

    def fits(self, recipe: Recipe) -> bool:
        """Whether the layers were cut for this recipe's heights and line width."""
        return (
            math.isclose(recipe.line_width_mm, self.line_width_mm)
            and math.isclose(recipe.layer_height_mm, self.layer_height_mm)
            and math.isclose(recipe.first_layer_height_mm, self.first_layer_height_mm)
        )

    def moved_in(self, steps: float) -> Polygons:
        """Regions after moving their outlines inwards by w/2 + `steps` times the spacing.

        Parameters
        ----------
        steps : float
            k gives the centre line of loop k (from 0), n - 1/2 what n walls leave.

        Returns
        -------
        (r,) object array
            Polygons, empty where nothing is left.

        Notes
        -----
        Always from the outline itself, so that errors don't add up.
        """
        return self.kept(("moved in", steps), lambda: self._moved_in(steps))

    def _moved_in(self, steps: float) -> Polygons:
        import shapely

        distance = -(self.line_width_mm / 2 + steps * self.spacing_mm)
        # What a smaller offset has emptied stays empty.
        smaller = [k for k in self._offsets_made if k < steps]
        alive = np.ones(len(distance), dtype=bool)
        if smaller:
            alive = ~shapely.is_empty(self.moved_in(max(smaller)))
        self._offsets_made.add(steps)
        result = np.full(len(distance), shapely.Polygon(), dtype=object)
        sources = self.outlines[self.region_outline]
        result[alive] = in_two(
            lambda p, d: shapely.buffer(p, d, **MITRE), sources[alive], distance[alive]
        )
        return result

    def loop(self, k: int) -> Rings:
        """Give the closed centre lines of wall `k` (0 is the outermost) of all regions."""
        return self.kept(("loop", k), lambda: rings_of(self.moved_in(k)))


def stack_of(
    polygons: Sequence[Any] | Polygons,
    recipe: Recipe,
    name: str = "part",
    warnings: tuple[str, ...] = (),
) -> LayerStack:
    """Make a stack from polygons, one per layer, bottom to top.

    Parameters
    ----------
    polygons : sequence of shapely Polygon or MultiPolygon
        Section of each layer, taken at half its height. [mm]
    recipe : Recipe
        Gives layer heights and line width.
    name : str
        The part.
    warnings : tuple of str
        What was found amiss while cutting.

    Returns
    -------
    LayerStack
        The layers.

    Raises
    ------
    InputError
        If there is no layer, or none has an area.
    """
    return LayerStack(
        polygons,
        line_width_mm=recipe.line_width_mm,
        layer_height_mm=recipe.layer_height_mm,
        first_layer_height_mm=recipe.first_layer_height_mm,
        name=name,
        warnings=warnings,
    )


def layer_planes(height_mm: float, recipe: Recipe) -> NDArray[np.float64]:
    """Heights at which the layers of a part are cut: the middle of each layer.

    Parameters
    ----------
    height_mm : float
        Height of the standing part. [mm]
    recipe : Recipe
        Gives the layer heights.

    Returns
    -------
    (n,) float64
        Cutting heights above the platform. A layer exists if its middle lies in the part, so the
        printed height differs from the part's by at most half a layer. [mm]

    Raises
    ------
    OutOfRangeError
        If the part is thinner than half the first layer, or taller than `MOST_LAYERS` layers.
    """
    first, h = recipe.first_layer_height_mm, recipe.layer_height_mm
    if not (math.isfinite(height_mm) and height_mm > first / 2):
        raise OutOfRangeError(
            "part height [mm]", height_mm, f"more than half the first layer, {first / 2:g} mm"
        )
    if height_mm > MOST_LAYERS * h:
        raise OutOfRangeError(
            "part height [mm]",
            height_mm,
            f"at most {MOST_LAYERS} layers of {h:g} mm: check the unit",
        )
    # The part of a micrometre keeps a height of 99.9999 layers from losing or gaining one.
    further = max(0, math.ceil((height_mm - first) / h - 0.5 - 1e-4))
    return np.concatenate([[first / 2], first + (np.arange(further) + 0.5) * h])


def cut_layers(solid_standing: Solid, recipe: Recipe) -> LayerStack:
    """Cut a solid into the layers of a recipe.

    Parameters
    ----------
    solid_standing : Solid
        The part, build direction +z; it is taken to stand on its lowest point.
    recipe : Recipe
        Gives layer heights and line width.

    Returns
    -------
    LayerStack
        The layers; several recipes with the same heights and width can be estimated on it.

    Raises
    ------
    OutOfRangeError
        If the part is thinner than half the first layer.
    InputError
        If the solid is open or no layer has an area.
    """
    from printplan.part.slicing import slice_layers

    bottom, top = solid_standing.box_mm[:, 2]
    planes = layer_planes(float(top - bottom), recipe)
    layers = slice_layers(solid_standing, planes + bottom)
    if layers.open_contours:
        raise InputError(
            one_line(
                f"{solid_standing.name}: {layers.open_contours} outlines of layers don't close; "
                "expected a closed mesh; mend it in the program it comes from"
            )
        )
    # Only points on straight edges go here, so that equal layers of a prism stay equal; the
    # stack drops what the shape doesn't need.
    polygons = [layers.polygons(k, tolerance_mm=1e-6) for k in range(len(planes))]
    return stack_of(polygons, recipe, solid_standing.name, layers.warnings)


def in_two(function: Callable[..., Polygons], *arrays: NDArray[Any]) -> Polygons:
    """Apply an array function on two threads; the geometry library lets both run.

    Parameters
    ----------
    function : callable
        Takes slices of the arrays, returns an array of the same length.
    *arrays : (n,) ndarray
        Arguments.

    Returns
    -------
    (n,) ndarray
        The joined results.
    """

    def work(part: slice) -> Polygons:
        # The geometry library divides by zero on its way to a right result, and numpy notices.
        with np.errstate(divide="ignore", invalid="ignore"):
            return function(*(a[part] for a in arrays))

    n = len(arrays[0])
    if n < 16:
        return work(slice(None))
    # Interleaved halves share the work more evenly than lower and upper ones.
    with ThreadPoolExecutor(2) as pool:
        even, odd = pool.map(work, (slice(0, n, 2), slice(1, n, 2)))
    joined = np.empty(n, dtype=even.dtype)
    joined[0::2], joined[1::2] = even, odd
    return joined


def _distinct(layers: Polygons) -> tuple[Numbers, Polygons]:
    """Give each layer the number of its polygon, taken as equal when coordinates agree to 1 µm."""
    import shapely

    seen: dict[tuple[bytes, bytes], int] = {}
    number = np.empty(len(layers), dtype=np.int64)
    distinct: list[Any] = []
    for i, polygon in enumerate(layers):
        key = _fingerprint(polygon)
        if key not in seen:
            seen[key] = len(distinct)
            distinct.append(polygon)
        number[i] = seen[key]
    array = np.empty(len(distinct), dtype=object)
    array[:] = distinct
    broken = ~shapely.is_valid(array)
    if broken.any():
        array[broken] = shapely.buffer(shapely.make_valid(array[broken]), 0.0)
    return number, simplified(array, DECIMATION_MM)


def simplified(polygons: Polygons, tolerance_mm: float) -> Polygons:
    """Drop points that the outlines don't need within a tolerance.

    Parameters
    ----------
    polygons : (n,) object array of shapely Polygon or MultiPolygon
        Outlines. [mm]
    tolerance_mm : float
        How far the outline may move. [mm]

    Returns
    -------
    (n,) object array
        Valid outlines; where dropping points would spoil one, the outline itself.
    """
    import shapely

    fewer: Polygons = shapely.simplify(polygons, tolerance_mm, preserve_topology=False)
    spoilt = ~shapely.is_valid(fewer)
    # Small islands must not vanish.
    spoilt |= shapely.get_num_geometries(fewer) != shapely.get_num_geometries(polygons)
    spoilt |= shapely.is_empty(fewer)
    fewer[spoilt] = polygons[spoilt]
    return fewer


def _fingerprint(polygon: Any) -> tuple[bytes, bytes]:
    import shapely

    rings, parts = shapely.get_rings(shapely.get_parts(polygon), return_index=True)
    sizes = np.stack([shapely.get_num_coordinates(rings), parts])
    return np.rint(shapely.get_coordinates(polygon) * 1000).astype(np.int64).tobytes(), (
        sizes.tobytes()
    )
