"""Where to cut a part between its hold and its loads, and which islands of a cut carry."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from shapely import Geometry

__all__ = ["carrying_islands", "cut_directions", "frame_across", "whole_sections"]

Array = NDArray[np.float64]

#: An axis gets its own cuts if a load lies this share of the farthest load's distance along it.
SIDEWAYS_SHARE = 0.2
#: Two directions closer than this (cosine) are one.
SAME_DIRECTION = 0.98
#: Islands whose distance to the hold or a load is within this share of the cut's size count alike.
ALIKE_DISTANCE = 0.05
#: A load or the hold enters within this share of the size (root of the area) of a section.
ENTRY_SHARE = 0.5
#: A section grows if it gains this share of its area from one cut to the next.
GROWTH_SHARE = 1e-3


def cut_directions(hold_mm: Array, places_mm: Array) -> list[Array]:
    """Choose unit normals for the families of cuts, all pointing away from the hold.

    The line from the hold to the farthest load comes first; then every axis of the part along
    which a load lies far enough from the hold, either way; cuts across an arm that goes round a
    corner are square to it in one of them.

    Parameters
    ----------
    hold_mm : (3,) float64
        The held place. [mm]
    places_mm : (n, 3) float64
        Where the loads act. [mm]

    Returns
    -------
    list of (3,) float64
        Empty if every load acts at the hold.
    """
    away = places_mm - hold_mm
    lengths = np.linalg.norm(away, axis=1)
    farthest = float(lengths.max(initial=0.0))
    if not farthest > 0:
        return []
    chord = away[int(lengths.argmax())] / farthest
    directions = [chord]
    for candidate in (-chord, *np.eye(3), *-np.eye(3)):
        far_enough = float((away @ candidate).max()) >= SIDEWAYS_SHARE * farthest
        if far_enough and all(candidate @ known < SAME_DIRECTION for known in directions):
            directions.append(candidate)
    return directions


def frame_across(normal: Array) -> tuple[Array, Array]:
    """Two unit vectors u, v in the plane across `normal`, with u x v = normal."""
    helper = np.eye(3)[int(np.abs(normal).argmin())]
    u = np.cross(helper, normal)
    u /= np.linalg.norm(u)
    return u, np.cross(normal, u)


def _nearest(islands: NDArray[Any], place: Array) -> NDArray[np.bool_]:
    """Mark the islands as near to a place as the nearest one, give or take."""
    import shapely

    distances = shapely.distance(islands, shapely.points(place))
    low_u, low_v, high_u, high_v = shapely.total_bounds(islands)
    size = float(np.hypot(high_u - low_u, high_v - low_v))
    marks: NDArray[np.bool_] = distances <= distances.min() + ALIKE_DISTANCE * size
    return marks


def carrying_islands(
    outlines: Sequence[Geometry],
    station_mm: Array,
    hold_uv_mm: Array,
    loads_uv_mm: Array,
    load_station_mm: Array,
) -> tuple[list[Geometry], tuple[str, ...]]:
    """Keep the islands of each cut that lie on a way from the hold to a load.

    Islands of neighbouring cuts are joined where they overlap. A way starts at the islands
    nearest to the hold in the first cut and ends at those nearest to each load in the last cut
    before it. Where no way leads through (an arm that turns back), the islands nearest to the
    straight line between hold and load count alone.

    Parameters
    ----------
    outlines : sequence of shapely geometries
        Section of each cut, never empty, in one frame. [mm]
    station_mm : (k,) float64
        Ascending places of the cuts along the normal, from the hold. [mm]
    hold_uv_mm, loads_uv_mm, load_station_mm : (2,), (n, 2), (n,) float64
        Hold and loads in the frame, and the loads' places along the normal. [mm]

    Returns
    -------
    outlines : list of shapely geometries
        What carries in each cut.
    warnings : tuple of str
        What was left out, or counted together.
    """
    import shapely

    parts = [np.asarray(shapely.get_parts(outline)) for outline in outlines]
    if all(len(islands) == 1 for islands in parts):
        return list(outlines), ()
    beyond = load_station_mm > station_mm[0]
    last = np.searchsorted(station_mm, load_station_mm[beyond]) - 1
    ends = [np.zeros(len(islands), dtype=bool) for islands in parts]
    for cut, place in zip(last, loads_uv_mm[beyond], strict=True):
        ends[cut] |= _nearest(parts[cut], place)
    joined = [
        shapely.intersects(near[:, None], far[None, :]) for near, far in itertools.pairwise(parts)
    ]
    forward = [_nearest(parts[0], hold_uv_mm)]
    for links in joined:
        forward.append((links & forward[-1][:, None]).any(axis=0))
    backward = [ends[-1]]
    for links, end in zip(reversed(joined), reversed(ends[:-1]), strict=True):
        backward.append((links & backward[-1][None, :]).any(axis=1) | end)
    kept, lost, shared, turned = [], 0, 0, 0
    middle = loads_uv_mm[beyond].mean(axis=0)
    reach = float(load_station_mm[beyond].max())
    for cut, islands in enumerate(parts):
        carries = forward[cut] & backward[-1 - cut]
        if not carries.any():
            turned += 1
            share = station_mm[cut] / reach
            carries = _nearest(islands, hold_uv_mm + share * (middle - hold_uv_mm))
        lost += bool((~carries).any())
        shared += bool(carries.sum() > 1)
        kept.append(shapely.multipolygons(islands[carries]))
    count = len(parts)
    warnings = []
    if lost:
        warnings.append(f"{lost} of {count} cuts have islands off the way of the load: left out")
    if shared:
        warnings.append(
            f"in {shared} of {count} cuts several islands carry: counted as one stiff section, "
            "right only if they are joined firmly at both ends"
        )
    if turned:
        warnings.append(
            f"in {turned} of {count} cuts no island leads straight from hold to load: "
            "the nearest one was counted"
        )
    return kept, tuple(warnings)


def whole_sections(area_mm2: Array, station_mm: Array, reach_mm: float) -> NDArray[np.bool_]:
    """Mark the cuts that aren't mere slivers beside the hold or the farthest load.

    A real load or hold has a width, a point has none: where it sits on a surface, the cuts next to
    it meet only a tip of the body and beam theory would give any stress. Such cuts are told by two
    signs together, from the end inwards: the section still grows from cut to cut, and the end is
    nearer than half of the section's size. A straight bar loses no cut, and neither does a neck
    before a wider end.

    Parameters
    ----------
    area_mm2, station_mm : (k,) float64
        Section and place of each cut, from the hold to the load. [mm2], [mm]
    reach_mm : float
        Place of the farthest load. [mm]

    Returns
    -------
    (k,) bool
        At least one is True.

    Sources
    -------
    derived (judgement)  after Saint-Venant's principle
    """
    keep = np.ones(len(area_mm2), dtype=bool)
    inner_last = len(area_mm2) - 1
    for order, distance in (
        (np.arange(inner_last + 1), station_mm),
        (np.arange(inner_last, -1, -1), reach_mm - station_mm),
    ):
        for here, further in itertools.pairwise(order):
            grows = area_mm2[further] > (1 + GROWTH_SHARE) * area_mm2[here]
            if not (grows and distance[here] < ENTRY_SHARE * np.sqrt(area_mm2[here])):
                break
            keep[here] = False
    if not keep.any():
        keep[int(area_mm2.argmax())] = True
    return keep
