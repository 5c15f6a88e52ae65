"""Time along closed paths: junction speeds with look-ahead, exact for constant acceleration.

The vertices of all rings of a stack lie in one flat array, so one numpy pass serves all layers.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from printplan.process.motion import corner_speed

__all__ = ["Rings", "ring_times", "rings_of"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Rings:
    """Closed paths, flattened: segment i runs from vertex i to the next vertex of its ring.

    Attributes
    ----------
    length_mm : (n,) float64
        Length of each segment. [mm]
    turn_deg : (n,) float64
        Turn angle at the start vertex of each segment, 0 straight on, 180 back. [deg]
    ring : (n,) int64
        Number of the ring that each segment belongs to, ascending.
    first, last : (m,) int64
        First and last segment of each ring.
    owner : (m,) int64
        Number of the region that each ring belongs to.
    """

    length_mm: Floats
    turn_deg: Floats
    ring: NDArray[np.int64]
    first: NDArray[np.int64]
    last: NDArray[np.int64]
    owner: NDArray[np.int64]


def rings_of(regions: NDArray[Any]) -> Rings:
    """Take the outlines of an array of polygons apart.

    Parameters
    ----------
    regions : (r,) object array of shapely Polygon or MultiPolygon
        Regions whose outer and inner boundaries are paths.

    Returns
    -------
    Rings
        All boundaries, with the number of the region each belongs to.
    """
    import shapely

    parts, part_owner = shapely.get_parts(regions, return_index=True)
    rings, ring_part = shapely.get_rings(parts, return_index=True)
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    step = np.diff(xy, axis=0)
    inside = (ring[1:] == ring[:-1]) & (np.abs(step).max(axis=1, initial=0.0) > 1e-9)
    step, ring = step[inside], ring[:-1][inside]
    names, first, count = np.unique(ring, return_index=True, return_counts=True)
    last = first + count - 1
    before = np.arange(len(step)) - 1
    before[first] = last
    was = step[before]
    cross = was[:, 0] * step[:, 1] - was[:, 1] * step[:, 0]
    dot = (was * step).sum(axis=1)
    return Rings(
        length_mm=np.hypot(step[:, 0], step[:, 1]),
        turn_deg=np.degrees(np.abs(np.arctan2(cross, dot))),
        ring=np.repeat(np.arange(len(names)), count),
        first=first,
        last=last,
        owner=part_owner[ring_part[names]],
    )


def ring_times(
    rings: Rings,
    speed_mm_s: Floats,
    acceleration_mm_s2: float,
    deviation_mm: float,
    *,
    stop_at_seam: bool = True,
) -> Floats:
    """Time to go once round each ring.

    Each junction is limited by the corner speed for the allowed deviation, on chorded arcs by
    sqrt(a R), and by what can be reached from its neighbours (v1² <= v0² + 2 a L, forward and
    backward, repeated until nothing changes). Each segment is then a trapezoid.

    Parameters
    ----------
    rings : Rings
        The paths.
    speed_mm_s : (m,) float64
        Cruise speed of each ring. [mm/s]
    acceleration_mm_s2 : float
        Acceleration. [mm/s²]
    deviation_mm : float
        Allowed deviation of the path at a corner. [mm]
    stop_at_seam : bool
        Whether the first vertex of a ring is passed at rest, as the start and end of a bead.

    Returns
    -------
    (m,) float64
        Duration of each ring. [s]

    Sources
    -------
    derived: trapezoids and the inscribed corner arc. [common practice] forward and backward pass.
    """
    length, a = rings.length_mm, acceleration_mm_s2
    if not len(length):
        return np.zeros(len(rings.owner))
    v = speed_mm_s[rings.ring]
    before = np.arange(len(length)) - 1
    before[rings.first] = rings.last
    after = np.arange(len(length)) + 1
    after[rings.last] = rings.first
    # The curve through three points of a chorded arc has about this radius.
    tangent = np.tan(np.radians(np.minimum(rings.turn_deg, 179.9)) / 2)
    radius = (length + length[before]) / 4 / np.maximum(tangent, 1e-12)
    square = np.minimum(corner_speed(rings.turn_deg, a, deviation_mm, v) ** 2, a * radius)
    if stop_at_seam:
        square[rings.first] = 0.0
    gain = 2 * a * length
    gain_before = gain[before]
    while True:
        lower = np.minimum(square, square[before] + gain_before)
        np.minimum(lower, lower[after] + gain, out=lower)
        if np.array_equal(lower, square):
            break
        square = lower
    end = square[after]
    ends = np.sqrt(square) + np.sqrt(end)
    ramps = (2 * v * v - square - end) / (2 * a)
    peak = np.sqrt(a * length + (square + end) / 2)
    time = np.where(
        length >= ramps, (2 * v - ends) / a + (length - ramps) / v, (2 * peak - ends) / a
    )
    return np.bincount(rings.ring, weights=time, minlength=len(rings.owner)).astype(np.float64)
