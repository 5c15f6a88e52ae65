"""Cuts of a solid by parallel planes z = constant: linked contours, or just their sums.

Rule of the plane: a corner is above when ``z >= height``. A plane that lies in a face therefore
gives the section just below it. Other directions: turn the solid, never the planes.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printplan.errors import InputError, OutOfRangeError
from printplan.part.contours import decimate_ring, decimated, polygons_of
from printplan.part.slicing_small import Links, link_with_numpy, sum_with_numpy
from printplan.part.solid import Solid

if TYPE_CHECKING:
    from shapely import MultiPolygon, Polygon

__all__ = ["LayerSums", "Layers", "decimate_ring", "layer_sums", "slice_layers", "sum_triangles"]

#: Below this many triangles plain numpy is used, without compiled loops.
SMALL_TRIANGLES = 5_000

Array = NDArray[np.float64]
Integers = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True, eq=False)
class Layers:
    """Linked contours of a solid at ascending heights.

    Material lies to the left: outer contours run counter-clockwise, holes clockwise.

    Attributes
    ----------
    heights_mm : (k,) float64
        Heights of the planes. [mm]
    points_mm : (n, 2) float64
        Points of all contours, one after the other; x, y. [mm]
    contour_start : (c + 1,) int64
        Contour ``j`` has the points ``contour_start[j]`` to ``contour_start[j + 1]``.
    contour_closed : (c,) bool
        False for a run that ends at an open edge of the mesh (such a run lacks its first point).
    layer_start : (k + 1,) int64
        Layer ``i`` has the contours ``layer_start[i]`` to ``layer_start[i + 1]``.
    area_mm2, perimeter_mm : (k,) float64
        Of the closed contours of each layer: holes deducted; overlapping shells count twice.
    warnings : tuple of str
        What the reader must know.
    """

    heights_mm: Array
    points_mm: Array
    contour_start: Integers
    contour_closed: NDArray[np.bool_]
    layer_start: Integers
    area_mm2: Array
    perimeter_mm: Array
    warnings: tuple[str, ...] = ()

    def __len__(self) -> int:
        """Give the number of layers."""
        return len(self.heights_mm)

    @property
    def open_contours(self) -> int:
        """Number of contours that do not close: more than 0 means a mesh with open edges."""
        return int((~self.contour_closed).sum())

    @property
    def open_in_layer(self) -> Integers:
        """(k,) number of contours of each layer that do not close."""
        before = np.concatenate([[0], np.cumsum(~self.contour_closed)])
        return np.diff(before[self.layer_start]).astype(np.int64)

    def rings(self, layer: int) -> list[Array]:
        """Give the closed contours of a layer, each (n, 2), no point repeated at the end. [mm]"""
        return [
            self.points_mm[self.contour_start[j] : self.contour_start[j + 1]]
            for j in range(self.layer_start[layer], self.layer_start[layer + 1])
            if self.contour_closed[j]
        ]

    def decimated_rings(self, layer: int, tolerance_mm: float = 0.01) -> list[Array]:
        """Give the same without the points that the shape does not need. [mm]"""
        return decimated(self.rings(layer), tolerance_mm)

    def polygons(self, layer: int, tolerance_mm: float = 0.01) -> Polygon | MultiPolygon:
        """Give the region of a layer as a valid polygon with holes.

        Parameters
        ----------
        layer : int
            Which layer.
        tolerance_mm : float
            Contours are decimated within it; at most a tenth of the line width is sensible. [mm]

        Returns
        -------
        shapely.Polygon or shapely.MultiPolygon
            Empty where the plane meets no material. Where shells overlap, material counts once.
        """
        return polygons_of(self.decimated_rings(layer, tolerance_mm))


@dataclass(frozen=True, kw_only=True, eq=False)
class LayerSums:
    """Area, perimeter and moments of each plane, by Green's theorem.

    Attributes
    ----------
    heights_mm : (k,) float64
        Heights of the planes. [mm]
    origin_mm : (2,) float64
        The x, y to which the moments refer. [mm]
    area_mm2, perimeter_mm : (k,) float64
        Holes deducted. [mm², mm]
    first_mm3 : (k, 2) float64
        Integrals of x and y about the origin. [mm³]
    second_mm4 : (k, 3) float64
        Integrals of xx, yy and xy about the origin. [mm⁴]
    """

    heights_mm: Array
    origin_mm: Array
    area_mm2: Array
    perimeter_mm: Array
    first_mm3: Array = field(repr=False)
    second_mm4: Array = field(repr=False)

    @property
    def centroid_mm(self) -> Array:
        """(k, 2) centroid of each plane; NaN where there is no area. [mm]"""
        area = np.where(self.area_mm2 != 0.0, self.area_mm2, np.nan)
        return np.asarray(self.origin_mm + self.first_mm3 / area[:, None])

    @property
    def central_mm4(self) -> Array:
        """(k, 3) integrals of xx, yy and xy about the centroid of each plane. [mm⁴]"""
        area = np.where(self.area_mm2 != 0.0, self.area_mm2, np.nan)
        x, y = (self.first_mm3 / area[:, None]).T
        return np.asarray(self.second_mm4 - area[:, None] * np.stack([x * x, y * y, x * y], axis=1))


def slice_layers(solid: Solid, heights_mm: ArrayLike) -> Layers:
    """Cut a solid at heights and link the cuts to contours.

    Parameters
    ----------
    solid : Solid
        The part, in the print frame (z up).
    heights_mm : (k,) array_like
        Ascending heights, at any spacing. [mm]

    Returns
    -------
    Layers
        A run of points that meets an open edge stays open, and is counted and reported.

    Raises
    ------
    OutOfRangeError
        If the heights are not finite or not ascending.

    Sources
    -------
    derived: walking over paired half-edges; areas by Green's theorem.
    """
    heights = _checked_heights(heights_mm)
    shift = _middle(solid.vertices_mm)
    vertices = solid.vertices_mm - np.append(shift, 0.0)
    linked = None
    if len(solid.faces) < SMALL_TRIANGLES:
        linked = link_with_numpy(vertices, solid, heights)
    if linked is None:
        linked = _link_compiled(vertices, solid, heights)
    points, contour_start, closed, layer_start, area, perimeter = linked
    layers = Layers(
        heights_mm=heights,
        points_mm=points + shift,
        contour_start=contour_start,
        contour_closed=closed,
        layer_start=layer_start,
        area_mm2=area,
        perimeter_mm=perimeter,
        warnings=_open_warning(closed),
    )
    for array in (layers.points_mm, layers.area_mm2, layers.perimeter_mm):
        array.flags.writeable = False
    return layers


def layer_sums(solid: Solid, heights_mm: ArrayLike) -> LayerSums:
    """Area, perimeter and moments of a solid at heights, without linking contours.

    Parameters
    ----------
    solid : Solid
        A closed solid; its edges need not be paired.
    heights_mm : (k,) array_like
        Ascending heights, at any spacing. [mm]

    Returns
    -------
    LayerSums
        Overlapping shells count twice.

    Raises
    ------
    OutOfRangeError
        If the heights are not finite or not ascending.
    """
    return sum_triangles(solid.vertices_mm, solid.faces, heights_mm)


def sum_triangles(vertices_mm: Array, faces: NDArray[np.int32], heights_mm: ArrayLike) -> LayerSums:
    """Do the same for any closed, oriented set of triangles, also without shared corners.

    Parameters
    ----------
    vertices_mm : (n, 3) float64
        Corners. [mm]
    faces : (m, 3) int32
        Corner numbers, counter-clockwise from outside.
    heights_mm : (k,) array_like
        Ascending heights. [mm]

    Returns
    -------
    LayerSums
        About the middle of the box in x and y.

    Raises
    ------
    OutOfRangeError
        If the heights are not finite or not ascending.

    Sources
    -------
    [memory: Green's theorem for polygon moments]
    """
    heights = _checked_heights(heights_mm)
    shift = _middle(vertices_mm)
    vertices = vertices_mm - np.append(shift, 0.0)
    sums = None
    if len(faces) < SMALL_TRIANGLES:
        sums = sum_with_numpy(vertices, faces, heights)
    if sums is None:
        sums = _sum_compiled(vertices, faces, heights)
    return LayerSums(
        heights_mm=heights,
        origin_mm=shift,
        area_mm2=sums[:, 0],
        perimeter_mm=sums[:, 1],
        first_mm3=sums[:, 2:4],
        second_mm4=sums[:, 4:7],
    )


def _checked_heights(heights_mm: ArrayLike) -> Array:
    heights = np.array(heights_mm, dtype=np.float64).reshape(-1)
    bad = ~np.isfinite(heights)
    bad[1:] |= ~(np.diff(heights) >= 0.0)
    if bad.any():
        raise OutOfRangeError("heights_mm", float(heights[bad][0]), "finite, ascending heights")
    return heights


def _middle(vertices: Array) -> Array:
    """Middle of the box in x, y: moments taken about a near point lose no digits."""
    if not len(vertices):
        raise InputError("solid without triangles: expected at least one; check the mesh file")
    # one column at a time: numpy reduces narrow arrays ten times slower
    return np.array([(vertices[:, k].min() + vertices[:, k].max()) / 2.0 for k in (0, 1)])


def _open_warning(closed: NDArray[np.bool_]) -> tuple[str, ...]:
    count = int((~closed).sum())
    if not count:
        return ()
    return (f"{count} contours do not close (open edges in the mesh): left out of areas and rings",)


def _in_two_threads(work: Callable[[int, int], object], cuts: tuple[int, int, int]) -> None:
    """Run `work` on the two ranges between the cuts; the compiled loops release the lock."""
    if (os.cpu_count() or 1) < 2:
        work(cuts[0], cuts[2])
        return
    with ThreadPoolExecutor(2) as pool:
        list(pool.map(work, cuts[:2], cuts[1:]))


def _sum_compiled(vertices: Array, faces: NDArray[np.int32], heights: Array) -> Array:
    from printplan.part.slicing_kernels import sum_planes

    faces = _read_only(faces)
    parts: list[Array] = []

    def work(begin: int, end: int) -> None:
        sums = np.zeros((len(heights), 7))
        parts.append(sums)
        sum_planes(vertices, faces, heights, begin, end, sums)

    m = len(faces)
    _in_two_threads(work, (0, m // 2, m))
    return np.asarray(sum(parts))


def _read_only(array: NDArray[np.int32]) -> NDArray[np.int32]:
    """Give a view that can't be written: compiled loops then exist in one version only."""
    view = np.ascontiguousarray(array, dtype=np.int32).view()
    view.flags.writeable = False
    return view


def _link_compiled(vertices: Array, solid: Solid, heights: Array) -> Links:
    from printplan.part.slicing_kernels import crossings_by_plane, link_contours

    faces, opposite = _read_only(solid.faces), _read_only(solid.opposite)
    start, crossing = crossings_by_plane(vertices, faces, heights)
    k, n = len(heights), int(start[-1])
    points = np.empty((n, 2))
    contour_start = np.empty(n, np.int64)
    closed = np.empty(n, np.bool_)
    contours = np.zeros(k, np.int64)
    area, perimeter = np.zeros(k), np.zeros(k)
    mesh = (vertices, faces, opposite)

    def work(begin: int, end: int) -> None:
        link_contours(
            mesh, heights, start, crossing, not solid.closed, (begin, end),
            points, contour_start, closed, contours, area, perimeter,
        )  # fmt: skip

    _in_two_threads(work, (0, int(np.searchsorted(start, n // 2)), k))
    layer_start = np.concatenate([[0], np.cumsum(contours)])
    # contours of a plane stand packed at the front of its range
    used = np.arange(layer_start[-1]) + np.repeat(start[:-1] - layer_start[:-1], contours)
    return points, np.append(contour_start[used], n), closed[used], layer_start, area, perimeter
