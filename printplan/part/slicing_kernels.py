"""Compiled loops of slicing: crossings, sums, linked contours, decimation.

All kernels know one rule: a corner is *above* a plane when ``z >= height``, else below. So a
triangle has either no crossing or exactly two crossed edges, and no case is special. A crossing
point is always computed from the lower vertex number to the higher one: both triangles at an edge
get the same bits.

Arrays: vertices (n, 3) float64, shifted near the origin by the caller; faces (m, 3) int32;
heights (k,) float64, ascending, at any spacing.
"""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

__all__ = ["crossings_by_plane", "decimate_rings", "link_contours", "sum_planes"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]
Longs = NDArray[np.int64]


@njit(cache=True, nogil=True, error_model="numpy")
def _planes_up_to(heights: Floats, z: float) -> int:
    """Count the heights at or below z (binary search)."""
    low = 0
    high = len(heights)
    while low < high:
        middle = (low + high) >> 1
        if heights[middle] <= z:
            low = middle + 1
        else:
            high = middle
    return low


@njit(cache=True, nogil=True, error_model="numpy")
def _crossing(vertices: Floats, a: int, b: int, height: float) -> tuple[float, float]:
    """Point of edge a-b in the plane, the same bits from both sides."""
    if a > b:
        a, b = b, a
    share = (height - vertices[a, 2]) / (vertices[b, 2] - vertices[a, 2])
    x = vertices[a, 0] + share * (vertices[b, 0] - vertices[a, 0])
    y = vertices[a, 1] + share * (vertices[b, 1] - vertices[a, 1])
    return x, y


@njit(cache=True, nogil=True, error_model="numpy")
def crossings_by_plane(vertices: Floats, faces: Ints, heights: Floats) -> tuple[Longs, Ints]:
    """List the triangles that each plane crosses, in ascending order.

    Time O(m log k + crossings); memory 8 m + 4 x crossings bytes.

    Returns
    -------
    start : (k + 1,) int64
        Plane ``k`` crosses the triangles ``crossing[start[k]:start[k + 1]]``.
    crossing : (start[-1],) int32
    """
    m = len(faces)
    k = len(heights)
    span = np.empty((m, 2), np.int32)
    fill = np.zeros(k + 1, np.int64)
    for t in range(m):
        z0 = vertices[faces[t, 0], 2]
        z1 = vertices[faces[t, 1], 2]
        z2 = vertices[faces[t, 2], 2]
        top = max(z0, max(z1, z2))
        # crossed are the planes with lowest < height <= top: the comparison of the rule itself
        first = _planes_up_to(heights, min(z0, min(z1, z2)))
        last = first
        while last < k and heights[last] <= top:
            fill[last + 1] += 1
            last += 1
        span[t, 0] = first
        span[t, 1] = last
    for j in range(k):
        fill[j + 1] += fill[j]
    start = fill.copy()
    crossing = np.empty(start[k], np.int32)
    for t in range(m):
        for j in range(span[t, 0], span[t, 1]):
            crossing[fill[j]] = t
            fill[j] += 1
    return start, crossing


@njit(cache=True, nogil=True, error_model="numpy")
def sum_planes(
    vertices: Floats, faces: Ints, heights: Floats, begin: int, end: int, sums: Floats
) -> None:
    """Add the boundary sums of triangles ``begin`` to ``end`` to each plane (Green's theorem).

    `sums` (k, 7): area, perimeter, integrals of x, y, xx, yy, xy. Needs no pairing of edges, only
    a closed, oriented surface. Time O(triangles log k + crossings); memory of `sums` only.
    """
    for t in range(begin, end):
        a = faces[t, 0]
        b = faces[t, 1]
        c = faces[t, 2]
        za = vertices[a, 2]
        zb = vertices[b, 2]
        zc = vertices[c, 2]
        top = max(za, max(zb, zc))
        j = _planes_up_to(heights, min(za, min(zb, zc)))
        while j < len(heights) and heights[j] <= top:
            h = heights[j]
            # turn the triangle so that its lone corner comes first
            above_a = za >= h
            above_b = zb >= h
            above_c = zc >= h
            if above_b == above_c:
                lone, second, third, above = a, b, c, above_a
            elif above_a == above_c:
                lone, second, third, above = b, c, a, above_b
            else:
                lone, second, third, above = c, a, b, above_c
            # material lies on the left: the contour leaves over the edge that climbs
            if above:
                px, py = _crossing(vertices, lone, second, h)
                qx, qy = _crossing(vertices, third, lone, h)
            else:
                px, py = _crossing(vertices, third, lone, h)
                qx, qy = _crossing(vertices, lone, second, h)
            cross = px * qy - qx * py
            row = sums[j]
            row[0] += cross / 2.0
            row[1] += np.sqrt((qx - px) ** 2 + (qy - py) ** 2)
            row[2] += cross * (px + qx) / 6.0
            row[3] += cross * (py + qy) / 6.0
            row[4] += cross * (px * px + px * qx + qx * qx) / 12.0
            row[5] += cross * (py * py + py * qy + qy * qy) / 12.0
            row[6] += cross * (2.0 * (px * py + qx * qy) + px * qy + qx * py) / 24.0
            j += 1


@njit(cache=True, nogil=True, error_model="numpy")
def _climbing_edge(vertices: Floats, faces: Ints, t: int, height: float) -> int:
    """Which edge of the triangle runs from below to above the plane."""
    above_0 = vertices[faces[t, 0], 2] >= height
    above_1 = vertices[faces[t, 1], 2] >= height
    if not above_0 and above_1:
        return 0
    if not above_1 and vertices[faces[t, 2], 2] >= height:
        return 1
    return 2


@njit(cache=True, nogil=True, error_model="numpy")
def _falling_edge(vertices: Floats, faces: Ints, t: int, height: float) -> int:
    """Which edge of the triangle runs from above to below the plane."""
    above_0 = vertices[faces[t, 0], 2] >= height
    above_1 = vertices[faces[t, 1], 2] >= height
    if above_0 and not above_1:
        return 0
    if above_1 and not vertices[faces[t, 2], 2] >= height:
        return 1
    return 2


@njit(cache=True, nogil=True, error_model="numpy")
def _walk(
    vertices: Floats,
    faces: Ints,
    opposite: Ints,
    height: float,
    plane: int,
    t: int,
    stamp: Ints,
    points: Floats,
    w: int,
) -> tuple[int, bool]:
    """Follow one contour from triangle t; return the next free slot and whether it closed."""
    first = t
    while True:
        stamp[t] = plane
        e = _climbing_edge(vertices, faces, t, height)
        points[w, 0], points[w, 1] = _crossing(vertices, faces[t, e], faces[t, (e + 1) % 3], height)
        w += 1
        o = opposite[3 * t + e]
        if o < 0:
            return w, False
        t = o // 3
        if t == first:
            return w, True
        if stamp[t] == plane:  # only if `opposite` does not pair edges one to one
            return w, False


@njit(cache=True, nogil=True, error_model="numpy")
def link_contours(
    mesh: tuple[Floats, Ints, Ints],
    heights: Floats,
    start: Longs,
    crossing: Ints,
    has_open_edges: bool,
    planes: tuple[int, int],
    points: Floats,
    contour_start: Longs,
    contour_closed: NDArray[np.bool_],
    contours: Longs,
    area: Floats,
    perimeter: Floats,
) -> None:
    """Link the crossings of the planes ``planes[0]`` to ``planes[1]`` into contours.

    `mesh` is (vertices, faces, opposite). A plane has as many points as crossed triangles, so each
    writes its own range ``start[k]:start[k + 1]`` of `points`, `contour_start` and
    `contour_closed`; `contours` gets the number of contours of each plane. Areas and perimeters
    count closed contours only. Planes are independent, hence threads never meet.
    Time O(crossings), limited by reading triangles in random order; memory 4 m bytes of stamps.
    """
    vertices, faces, opposite = mesh
    stamp = np.full(len(faces), -1, np.int32)
    for k in range(planes[0], planes[1]):
        w = start[k]
        c = start[k]
        # runs that begin at an open edge first, else they would be met in the middle
        for heads_only in (True, False):
            if heads_only and not has_open_edges:
                continue
            for j in range(start[k], start[k + 1]):
                t = crossing[j]
                if stamp[t] == k:
                    continue
                entry = 3 * t + _falling_edge(vertices, faces, t, heights[k])
                if heads_only and opposite[entry] >= 0:
                    continue
                begin = w
                w, closed = _walk(vertices, faces, opposite, heights[k], k, t, stamp, points, w)
                contour_start[c] = begin
                contour_closed[c] = closed
                c += 1
                if not closed:
                    continue
                x0 = points[begin, 0]
                y0 = points[begin, 1]
                px = points[w - 1, 0] - x0
                py = points[w - 1, 1] - y0
                for i in range(begin, w):
                    qx = points[i, 0] - x0
                    qy = points[i, 1] - y0
                    area[k] += 0.5 * (px * qy - qx * py)
                    perimeter[k] += np.sqrt((qx - px) ** 2 + (qy - py) ** 2)
                    px = qx
                    py = qy
        contours[k] = c - start[k]


@njit(cache=True, nogil=True, error_model="numpy")
def decimate_rings(
    points: Floats, ring_start: Longs, tolerance: float, kept: Floats, kept_start: Longs
) -> None:
    """Drop points that a chord passes within `tolerance`; one greedy pass per ring.

    From the last kept point (the anchor) keep the cone of directions that pass every skipped
    point within the tolerance. When the next point leaves the cone, or comes back nearer to the
    anchor than the farthest skipped one, the point before it is kept and becomes the anchor.
    Each ring starts at its lowest x (then y), so the result does not depend on the start of the
    input. Rings of which fewer than three points remain keep the start, the point farthest from
    it and the point farthest from the chord between the two.

    `points` (n, 2); ring r is ``points[ring_start[r]:ring_start[r + 1]]``; `kept` (n, 2) and
    `kept_start` are filled in the same manner. Time O(n), memory none beside the result.
    """
    w = 0
    for r in range(len(ring_start) - 1):
        kept_start[r] = w
        begin = ring_start[r]
        n = ring_start[r + 1] - begin
        if n == 0:
            continue
        low = 0
        for i in range(1, n):
            dx = points[begin + i, 0] - points[begin + low, 0]
            if dx < 0.0 or (dx == 0.0 and points[begin + i, 1] < points[begin + low, 1]):
                low = i
        ax = points[begin + low, 0]
        ay = points[begin + low, 1]
        kept[w, 0] = ax
        kept[w, 1] = ay
        w += 1
        # right and left border of the cone, once a point lies outside the tolerance circle
        has_cone = False
        rx = ry = lx = ly = 0.0
        farthest = 0.0
        bx = ax
        by = ay
        i = 1
        while i <= n:
            x = points[begin + (low + i) % n, 0]
            y = points[begin + (low + i) % n, 1]
            dx = x - ax
            dy = y - ay
            distance = np.sqrt(dx * dx + dy * dy)
            inside = distance >= farthest
            if inside and has_cone:
                inside = (
                    rx * dy - ry * dx >= 0.0
                    and dx * ly - dy * lx >= 0.0
                    and dx * (rx + lx) + dy * (ry + ly) > 0.0
                )
            if not inside:
                kept[w, 0] = bx
                kept[w, 1] = by
                w += 1
                ax = bx
                ay = by
                has_cone = False
                farthest = 0.0
                continue  # the same point again, seen from the new anchor
            if distance > tolerance:
                farthest = distance
                sine = tolerance / distance
                cosine = np.sqrt(1.0 - sine * sine)
                ux = dx / distance
                uy = dy / distance
                nrx = ux * cosine + uy * sine
                nry = uy * cosine - ux * sine
                nlx = ux * cosine - uy * sine
                nly = uy * cosine + ux * sine
                if not has_cone or rx * nry - ry * nrx > 0.0:
                    rx = nrx
                    ry = nry
                if not has_cone or lx * nly - ly * nlx < 0.0:
                    lx = nlx
                    ly = nly
                has_cone = True
            bx = x
            by = y
            i += 1
        if w - kept_start[r] < 3:
            w = kept_start[r] + min(n, 3)
            _three_extremes(points[begin : begin + n], low, kept[kept_start[r] : w])
    kept_start[len(ring_start) - 1] = w


@njit(cache=True, nogil=True, error_model="numpy")
def _three_extremes(ring: Floats, low: int, kept: Floats) -> None:
    """Start, the point farthest from it, the point farthest from their chord, in ring order."""
    n = len(ring)
    far = low
    side = low
    most = -1.0
    for i in range(n):
        d = (ring[i, 0] - ring[low, 0]) ** 2 + (ring[i, 1] - ring[low, 1]) ** 2
        if i != low and d > most:
            most = d
            far = i
    most = -1.0
    cx = ring[far, 0] - ring[low, 0]
    cy = ring[far, 1] - ring[low, 1]
    for i in range(n):
        d = abs(cx * (ring[i, 1] - ring[low, 1]) - cy * (ring[i, 0] - ring[low, 0]))
        if i not in (low, far) and d > most:
            most = d
            side = i
    second, third = far, side
    if (side - low) % n < (far - low) % n:
        second, third = side, far
    picked = (low, second, third)
    for i in range(len(kept)):
        kept[i, 0] = ring[picked[i], 0]
        kept[i, 1] = ring[picked[i], 1]
