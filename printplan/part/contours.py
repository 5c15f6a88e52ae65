"""Rings of a plane: fewer points, signed areas, and polygons with holes."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printplan.errors import OutOfRangeError

if TYPE_CHECKING:
    from shapely import MultiPolygon, Polygon

__all__ = ["decimate_ring", "decimated", "polygons_of", "ring_sums"]

Array = NDArray[np.float64]
Integers = NDArray[np.int64]


def decimate_ring(ring_mm: ArrayLike, tolerance_mm: float) -> Array:
    """Drop the points of a closed ring that the shape does not need.

    No dropped point lies farther from the new ring than the tolerance. The ring starts at its
    lowest x (then y) and keeps at least three points.

    Parameters
    ----------
    ring_mm : (n, 2) array_like
        Points in order, the first not repeated. [mm]
    tolerance_mm : float
        Largest deviation. [mm]

    Returns
    -------
    (k, 2) float64
        Some of the points, in the same order. [mm]

    Raises
    ------
    OutOfRangeError
        If the tolerance is negative or not finite.

    Sources
    -------
    [memory: Reumann and Witkam 1974; Williams 1978]: the family of cone methods.
    """
    return decimated([np.asarray(ring_mm, dtype=np.float64)], tolerance_mm)[0]


def decimated(rings: list[Array], tolerance_mm: float) -> list[Array]:
    """Decimate several rings at once, see `decimate_ring`."""
    if not 0.0 <= tolerance_mm < np.inf:
        raise OutOfRangeError("tolerance_mm", tolerance_mm, "0 or more, finite")
    if not rings:
        return []
    from printplan.part.slicing_kernels import decimate_rings

    points = np.concatenate(rings)
    ring_start = np.cumsum([0, *map(len, rings)], dtype=np.int64)
    kept, kept_start = np.empty_like(points), np.empty_like(ring_start)
    decimate_rings(points, ring_start, float(tolerance_mm), kept, kept_start)
    return [kept[a:b].copy() for a, b in itertools.pairwise(kept_start)]


def polygons_of(rings: list[Array]) -> Polygon | MultiPolygon:
    """Build polygons from oriented rings: the quick way where rings nest cleanly."""
    import shapely

    packed = np.cumsum([0, *map(len, rings)], dtype=np.int64)
    area, _ = ring_sums(np.concatenate(rings) if rings else np.empty((0, 2)), packed)
    # rings without area (folded facets) bound nothing
    rings = [ring for ring, a in zip(rings, area, strict=True) if a != 0.0]
    area = area[area != 0.0]
    outer = [i for i in range(len(rings)) if area[i] > 0.0]
    holes: dict[int, list[Array]] = {i: [] for i in outer}
    discs = {i: shapely.Polygon(rings[i]) for i in outer}
    for i in np.flatnonzero(area < 0.0):
        spot = shapely.Point(rings[i][0])
        around = [j for j in outer if area[j] > -area[i] and discs[j].covers(spot)]
        if not around:
            return _polygons_by_winding(rings)
        holes[min(around, key=lambda j: area[j])].append(rings[i])
    shapes = [shapely.Polygon(rings[i], holes[i]) for i in outer]
    region = shapes[0] if len(shapes) == 1 else shapely.MultiPolygon(shapes)
    return region if region.is_valid else _polygons_by_winding(rings)


def _polygons_by_winding(rings: list[Array]) -> Polygon | MultiPolygon:
    """Keep what the rings wind round at least once: right for any rings, but slow."""
    import shapely

    lines = shapely.unary_union([shapely.LinearRing(ring) for ring in rings])
    faces = shapely.get_parts(shapely.polygonize([lines]))
    spots = shapely.get_coordinates(shapely.point_on_surface(faces))
    winding = np.zeros(len(faces), dtype=np.int64)
    for ring in rings:
        (px, py), (qx, qy) = ring.T, np.roll(ring, -1, axis=0).T
        x, y = spots[:, :1], spots[:, 1:]
        left = (qx - px) * (y - py) - (x - px) * (qy - py)
        winding += ((py <= y) & (qy > y) & (left > 0.0)).sum(axis=1)
        winding -= ((py > y) & (qy <= y) & (left < 0.0)).sum(axis=1)
    region = shapely.union_all(faces[winding > 0])
    return region if region.geom_type in ("Polygon", "MultiPolygon") else shapely.MultiPolygon()


def ring_sums(points: Array, ring_start: Integers) -> tuple[Array, Array]:
    """Signed area and perimeter of each ring of a packed list."""
    if len(points) == 0:
        return np.zeros(0), np.zeros(0)
    length = np.diff(ring_start)
    p = points - np.repeat(points[ring_start[:-1]], length, axis=0)
    after = np.arange(1, len(points) + 1)
    after[ring_start[1:] - 1] = ring_start[:-1]
    q = p[after]
    cross = (p[:, 0] * q[:, 1] - q[:, 0] * p[:, 1]) / 2.0
    sides = np.hypot(*(q - p).T)
    return np.add.reduceat(cross, ring_start[:-1]), np.add.reduceat(sides, ring_start[:-1])
