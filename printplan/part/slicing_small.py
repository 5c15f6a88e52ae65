"""Slicing of small parts with plain numpy: nothing to compile, and the twin of the kernels."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from printplan.part.contours import ring_sums
from printplan.part.solid import Solid

__all__ = ["MOST_CROSSINGS", "Links", "link_with_numpy", "sum_with_numpy"]

#: More crossings than this are left to the compiled loops.
MOST_CROSSINGS = 100_000

Array = NDArray[np.float64]
Integers = NDArray[np.int64]
#: Points, contour start, contour closed, layer start, area, perimeter: see `Layers`.
Links = tuple[Array, Integers, NDArray[np.bool_], Integers, Array, Array]


@dataclass(frozen=True, kw_only=True)
class _Crossings:
    """All pairs of a triangle and a plane that crosses it, triangle by triangle."""

    triangle: Integers
    plane: Integers
    pair_start: Integers
    first_plane: Integers


def _crossings(vertices: Array, faces: NDArray[np.int32], heights: Array) -> _Crossings | None:
    z = vertices[faces, 2]
    first = np.searchsorted(heights, z.min(axis=1), side="right")
    count = np.searchsorted(heights, z.max(axis=1), side="right") - first
    total = int(count.sum())
    if total > MOST_CROSSINGS:
        return None
    pair_start = np.cumsum(count) - count
    triangle = np.repeat(np.arange(len(faces)), count)
    plane = np.arange(total) - np.repeat(pair_start - first, count)
    return _Crossings(
        triangle=triangle, plane=plane, pair_start=pair_start, first_plane=first.astype(np.int64)
    )


def _edge_points(
    vertices: Array, faces: NDArray[np.int32], heights: Array, pairs: _Crossings, *, climbing: bool
) -> tuple[Integers, Array]:
    """Give the crossed edge (0, 1, 2) that climbs or falls, and its point in the plane."""
    corners = faces[pairs.triangle]
    height = heights[pairs.plane]
    above = vertices[corners, 2] >= height[:, None]
    after = np.roll(above, -1, axis=1)
    edge = np.argmax(~above & after if climbing else above & ~after, axis=1)
    rows = np.arange(len(corners))
    ends = np.stack([corners[rows, edge], corners[rows, (edge + 1) % 3]])
    low, high = vertices[ends.min(axis=0)], vertices[ends.max(axis=0)]
    share = (height - low[:, 2]) / (high[:, 2] - low[:, 2])
    return edge, low[:, :2] + share[:, None] * (high[:, :2] - low[:, :2])


def sum_with_numpy(vertices: Array, faces: NDArray[np.int32], heights: Array) -> Array | None:
    """Do what the kernel `sum_planes` does; None if there are too many crossings."""
    pairs = _crossings(vertices, faces, heights)
    if pairs is None:
        return None
    (px, py), (qx, qy) = (
        _edge_points(vertices, faces, heights, pairs, climbing=climbing)[1].T
        for climbing in (False, True)
    )
    cross = px * qy - qx * py
    terms = (
        cross / 2.0,
        np.hypot(qx - px, qy - py),
        cross * (px + qx) / 6.0,
        cross * (py + qy) / 6.0,
        cross * (px * px + px * qx + qx * qx) / 12.0,
        cross * (py * py + py * qy + qy * qy) / 12.0,
        cross * (2.0 * (px * py + qx * qy) + px * qy + qx * py) / 24.0,
    )
    return np.stack([np.bincount(pairs.plane, t, len(heights)) for t in terms], axis=1)


def link_with_numpy(vertices: Array, solid: Solid, heights: Array) -> Links | None:
    """Do what the kernel `link_contours` does; None if there are too many crossings."""
    pairs = _crossings(vertices, solid.faces, heights)
    if pairs is None:
        return None
    edge, point = _edge_points(vertices, solid.faces, heights, pairs, climbing=True)
    partner = solid.opposite[3 * pairs.triangle + edge].astype(np.int64)
    neighbour = partner // 3
    following = pairs.pair_start[neighbour] + pairs.plane - pairs.first_plane[neighbour]
    following[partner < 0] = -1
    is_head = np.ones(len(following), dtype=bool)
    is_head[following[following >= 0]] = False
    order = np.argsort(pairs.plane, kind="stable")

    # runs that begin at an open edge first, plane by plane, then the closed ones
    heads = order[np.argsort(pairs.plane[order] * 2 + ~is_head[order], kind="stable")]
    walk: list[int] = []
    begins: list[int] = []
    closed: list[bool] = []
    for begin, end in _walks(heads.tolist(), following.tolist(), walk):
        begins.append(begin)
        closed.append(end)
    sequence = np.array(walk, dtype=np.int64)
    contour_start = np.array([*begins, len(walk)], dtype=np.int64)
    contour_closed = np.array(closed, dtype=np.bool_)
    contour_plane = pairs.plane[sequence[contour_start[:-1]]]
    layer_start = np.searchsorted(contour_plane, np.arange(len(heights) + 1)).astype(np.int64)
    points = point[sequence]
    area, perimeter = ring_sums(points, contour_start)
    keep = contour_closed
    return (
        points,
        contour_start,
        contour_closed,
        layer_start,
        np.bincount(contour_plane[keep], area[keep], len(heights)).astype(np.float64),
        np.bincount(contour_plane[keep], perimeter[keep], len(heights)).astype(np.float64),
    )


def _walks(heads: list[int], following: list[int], walk: list[int]) -> Iterator[tuple[int, bool]]:
    """Append each contour's pairs to `walk`; yield where it begins and whether it closed."""
    seen = bytearray(len(following))
    for head in heads:
        if seen[head]:
            continue
        begin, pair = len(walk), head
        while pair >= 0 and not seen[pair]:
            seen[pair] = 1
            walk.append(pair)
            pair = following[pair]
        yield begin, pair == head
