"""Compiled search for wall thickness: rays and shrinking balls in the tree of triangles.

Arrays as `printplan.part.tree.TriangleTree` holds them: boxes (2 leaves - 1, 6) and corners
(4 leaves, 9) in float32, complete binary tree. All arithmetic is in double precision.
"""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

__all__ = ["fit_slabs", "measure_thickness"]

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Ints = NDArray[np.int32]
Point = tuple[float, float, float]

#: A ray starts this far inside the surface, beyond the rounding of single precision. [mm]
RAY_START_MM = 1e-4
#: What slabs are widened by, for the rounding of single precision on parts of up to 0.5 m. [mm]
ROUNDING_MM = 1e-4
#: Triangles in the largest node that gets a slab.
LARGEST_SLAB = 256
#: Rounds of shrinking; 2 to 5 are usual.
MOST_ROUNDS = 40


@njit(cache=True, nogil=True, error_model="numpy")
def _ray_into_box(boxes: Singles, node: int, o: Point, inverse: Point, best: float) -> float:
    """Where the ray enters the box, or infinity if it misses it or enters beyond `best`."""
    near = 0.0
    far = best
    for axis in range(3):
        a = (boxes[node, axis] - o[axis]) * inverse[axis]
        b = (boxes[node, axis + 3] - o[axis]) * inverse[axis]
        near = max(near, min(a, b))
        far = min(far, max(a, b))
    # a little generous, since the boxes are rounded
    return float(near if near <= far * 1.000001 + 1e-6 else np.inf)


@njit(cache=True, nogil=True, error_model="numpy")
def _ray_leaves_triangle(corners: Singles, q: int, o: Point, d: Point) -> float:
    """Distance at which the ray leaves the material through triangle q, else infinity."""
    row = corners[q]
    ax, ay, az = np.float64(row[0]), np.float64(row[1]), np.float64(row[2])
    ux, uy, uz = row[3] - ax, row[4] - ay, row[5] - az
    vx, vy, vz = row[6] - ax, row[7] - ay, row[8] - az
    px = d[1] * vz - d[2] * vy
    py = d[2] * vx - d[0] * vz
    pz = d[0] * vy - d[1] * vx
    determinant = ux * px + uy * py + uz * pz
    # negative: the ray runs along the outward normal, so it leaves
    if not determinant < -1e-30:
        return np.inf
    sx, sy, sz = o[0] - ax, o[1] - ay, o[2] - az
    u = (sx * px + sy * py + sz * pz) / determinant
    if u < -1e-9 or u > 1.0 + 1e-9:
        return np.inf
    qx = sy * uz - sz * uy
    qy = sz * ux - sx * uz
    qz = sx * uy - sy * ux
    v = (d[0] * qx + d[1] * qy + d[2] * qz) / determinant
    if v < -1e-9 or u + v > 1.0 + 1e-9:
        return np.inf
    return float((vx * qx + vy * qy + vz * qz) / determinant)


@njit(cache=True, nogil=True, error_model="numpy")
def _ray_out(
    boxes: Singles, corners: Singles, o: Point, d: Point, stack: Ints
) -> tuple[float, int]:
    """First exit of a ray from the material: distance and row of `corners` (-1: none)."""
    inverse = (
        1.0 / d[0] if abs(d[0]) > 1e-12 else 1e12,
        1.0 / d[1] if abs(d[1]) > 1e-12 else 1e12,
        1.0 / d[2] if abs(d[2]) > 1e-12 else 1e12,
    )
    first_leaf = len(boxes) // 2
    best = np.inf
    hit = -1
    depth = 0
    stack[0] = 0
    while depth >= 0:
        node = stack[depth]
        depth -= 1
        if _ray_into_box(boxes, node, o, inverse, best) == np.inf:
            continue
        while node < first_leaf:
            left = 2 * node + 1
            near_left = _ray_into_box(boxes, left, o, inverse, best)
            near_right = _ray_into_box(boxes, left + 1, o, inverse, best)
            nearer, farther = (left, left + 1) if near_left <= near_right else (left + 1, left)
            if min(near_left, near_right) == np.inf:
                break
            if max(near_left, near_right) < np.inf:
                depth += 1
                stack[depth] = farther
            node = nearer
        if node < first_leaf:
            continue
        first = 4 * (node - first_leaf)
        for q in range(first, first + 4):
            t = _ray_leaves_triangle(corners, q, o, d)
            if RAY_START_MM < t < best:
                best = t
                hit = q
    return best, hit


@njit(cache=True, nogil=True, error_model="numpy")
def fit_slabs(corners: Singles, opposing: float, slabs: Singles) -> None:
    """Wrap each node of up to `LARGEST_SLAB` triangles in a slab along its mean normal.

    Boxes alone are loose round a slanted surface: a ball that touches a sphere all round would
    have to look at every triangle. A slab along the normal is as tight as the surface is flat.

    `slabs` (nodes, 6): axis, lowest and highest place along it, and the cosine beyond which a
    sample's normal opposes no triangle of the node. Nodes with more triangles get a slab without
    bounds. Time O(m log LARGEST_SLAB); memory of `slabs` only.
    """
    nodes = len(slabs)
    first_leaf = nodes // 2
    held = 4
    level_start = first_leaf
    while True:
        for node in range(level_start, 2 * level_start + 1):
            slab = slabs[node]
            slab[:3] = 0.0
            slab[3] = -np.inf
            slab[4] = np.inf
            slab[5] = 2.0
            if held <= LARGEST_SLAB:
                first = (node - level_start) * held
                _fit_slab(corners, first, first + held, opposing, slab)
        if level_start == 0:
            return
        level_start = (level_start - 1) // 2
        held *= 2


@njit(cache=True, nogil=True, error_model="numpy")
def _normal(corners: Singles, q: int) -> tuple[float, float, float, float]:
    """Outward normal of triangle q, twice its area long, and that length."""
    row = corners[q]
    ax, ay, az = np.float64(row[0]), np.float64(row[1]), np.float64(row[2])
    ux, uy, uz = row[3] - ax, row[4] - ay, row[5] - az
    vx, vy, vz = row[6] - ax, row[7] - ay, row[8] - az
    x = uy * vz - uz * vy
    y = uz * vx - ux * vz
    z = ux * vy - uy * vx
    return x, y, z, np.sqrt(x * x + y * y + z * z)


@njit(cache=True, nogil=True, error_model="numpy")
def _fit_slab(corners: Singles, first: int, end: int, opposing: float, slab: Singles) -> None:
    x = y = z = 0.0
    for q in range(first, end):
        mx, my, mz, _ = _normal(corners, q)
        x += mx
        y += my
        z += mz
    size = np.sqrt(x * x + y * y + z * z)
    if not size > 0.0:
        return
    x /= size
    y /= size
    z /= size
    low = np.inf
    high = -np.inf
    widest = 1.0
    for q in range(first, end):
        row = corners[q]
        for k in range(3):
            place = x * row[3 * k] + y * row[3 * k + 1] + z * row[3 * k + 2]
            low = min(low, place)
            high = max(high, place)
        mx, my, mz, length = _normal(corners, q)
        if length > 0.0:
            widest = min(widest, (mx * x + my * y + mz * z) / length)
    slab[0] = x
    slab[1] = y
    slab[2] = z
    # single precision rounds: leave room for it
    slab[3] = low - ROUNDING_MM
    slab[4] = high + ROUNDING_MM
    # no triangle opposes if the sample's normal is nearer to the axis than limit minus spread
    spread = np.arccos(max(min(widest, 1.0), -1.0)) + 1e-3
    limit = np.arccos(opposing)
    slab[5] = np.cos(limit - spread) if spread < limit else 2.0


@njit(cache=True, nogil=True, error_model="numpy")
def _node_gap(boxes: Singles, slabs: Singles, node: int, c: Point, n: Point) -> float:
    """Squared distance from a point to what a node may hold; infinity if nothing opposes n."""
    slab = slabs[node]
    if slab[0] * n[0] + slab[1] * n[1] + slab[2] * n[2] > slab[5]:
        return np.inf
    gap = 0.0
    for axis in range(3):
        d = max(max(boxes[node, axis] - c[axis], c[axis] - boxes[node, axis + 3]), 0.0)
        gap += d * d
    place = slab[0] * c[0] + slab[1] * c[1] + slab[2] * c[2]
    off = max(max(slab[3] - place, place - slab[4]), 0.0)
    return float(max(gap, off * off))


@njit(cache=True, nogil=True, error_model="numpy")
def _opposing_cosine(corners: Singles, q: int, n: Point) -> float:
    """Cosine between a sample's outward normal and that of triangle q (1 where degenerate)."""
    x, y, z, length = _normal(corners, q)
    return (x * n[0] + y * n[1] + z * n[2]) / length if length > 0.0 else 1.0


@njit(cache=True, nogil=True, error_model="numpy")
def _nearest_in_triangle(corners: Singles, q: int, c: Point) -> Point:
    """Nearest point of triangle q to the point c, by the regions of corners, edges and face."""
    row = corners[q]
    ax, ay, az = np.float64(row[0]), np.float64(row[1]), np.float64(row[2])
    ux, uy, uz = row[3] - ax, row[4] - ay, row[5] - az
    vx, vy, vz = row[6] - ax, row[7] - ay, row[8] - az
    px, py, pz = c[0] - ax, c[1] - ay, c[2] - az
    pu = ux * px + uy * py + uz * pz
    pv = vx * px + vy * py + vz * pz
    uu = ux * ux + uy * uy + uz * uz
    uv = ux * vx + uy * vy + uz * vz
    vv = vx * vx + vy * vy + vz * vz
    s = 0.0  # share of u and of v in the nearest point
    t = 0.0
    edge_u = pu * (pv - uv) - (pu - uu) * pv
    edge_v = (pu - uv) * pv - pu * (pv - vv)
    edge_w = (pu - uu) * (pv - vv) - (pu - uv) * (pv - uv)
    along = (pv - uv) - (pu - uu)
    back = (pu - uv) - (pv - vv)
    if pu <= 0.0 and pv <= 0.0:
        pass
    elif pu >= uu and pv - uv <= pu - uu:
        s = 1.0
    elif pv >= vv and pu - uv <= pv - vv:
        t = 1.0
    elif edge_u <= 0.0 and pu >= 0.0 and pu <= uu:
        s = pu / uu
    elif edge_v <= 0.0 and pv >= 0.0 and pv <= vv:
        t = pv / vv
    elif edge_w <= 0.0 and along >= 0.0 and back >= 0.0:
        t = along / (along + back)
        s = 1.0 - t
    else:
        total = edge_u + edge_v + edge_w
        s = edge_v / total
        t = edge_u / total
    return ax + s * ux + t * vx, ay + s * uy + t * vy, az + s * uz + t * vz


@njit(cache=True, nogil=True, error_model="numpy")
def _nearest_opposing(
    boxes: Singles,
    slabs: Singles,
    corners: Singles,
    c: Point,
    n: Point,
    opposing: float,
    best: float,
    stack: Ints,
    gaps: Floats,
) -> tuple[int, Point]:
    """Nearest point to c, nearer than sqrt(best), on triangles that face the sample's normal."""
    first_leaf = len(boxes) // 2
    hit = -1
    spot = (0.0, 0.0, 0.0)
    depth = 0
    stack[0] = 0
    gaps[0] = 0.0
    while depth >= 0:
        node = stack[depth]
        gap = gaps[depth]
        depth -= 1
        if gap >= best:
            continue
        while node < first_leaf:
            left = 2 * node + 1
            gap_left = _node_gap(boxes, slabs, left, c, n)
            gap_right = _node_gap(boxes, slabs, left + 1, c, n)
            nearer, farther = (left, left + 1) if gap_left <= gap_right else (left + 1, left)
            if min(gap_left, gap_right) >= best:
                break
            if max(gap_left, gap_right) < best:
                depth += 1
                stack[depth] = farther
                gaps[depth] = max(gap_left, gap_right)
            node = nearer
        if node < first_leaf:
            continue
        first = 4 * (node - first_leaf)
        for q in range(first, first + 4):
            x, y, z = _nearest_in_triangle(corners, q, c)
            d = (x - c[0]) ** 2 + (y - c[1]) ** 2 + (z - c[2]) ** 2
            if d < best and _opposing_cosine(corners, q, n) < opposing:
                best = d
                hit = q
                spot = (x, y, z)
    return hit, spot


@njit(cache=True, nogil=True, error_model="numpy")
def measure_thickness(
    boxes: Singles,
    slabs: Singles,
    corners: Singles,
    positions: Floats,
    normals: Floats,
    samples: tuple[int, int],
    noise: tuple[float, float],
    opposing: float,
    ray_mm: Floats,
    ball_mm: Floats,
    cosine: Floats,
    contact: Floats,
) -> None:
    """Ray and largest inscribed ball at the samples ``samples[0]`` to ``samples[1]``.

    A ball touches the surface at the sample from inside. It starts at half the ray's length and
    shrinks to pass through the nearest point of an opposing triangle (normals farther apart than
    the angle of cosine `opposing`) until none reaches into it by more than ``noise[0]`` (a tenth
    of the radius of tiny balls), or by the share ``noise[1]`` of the radius if that is more.

    Written per sample: length of the inward ray (NaN: it met nothing), diameter of the ball,
    cosine between the normals of sample and contact, contact point. About O(log m) per sample and
    round; memory two stacks of 64 entries.
    """
    stack = np.empty(64, np.int32)
    gaps = np.empty(64)
    for i in range(samples[0], samples[1]):
        p = (positions[i, 0], positions[i, 1], positions[i, 2])
        n = (normals[i, 0], normals[i, 1], normals[i, 2])
        ray, hit = _ray_out(boxes, corners, p, (-n[0], -n[1], -n[2]), stack)
        if hit < 0:
            ray_mm[i] = ball_mm[i] = cosine[i] = np.nan
            contact[i, :] = np.nan
            continue
        r = 0.5 * ray
        spot = (p[0] - ray * n[0], p[1] - ray * n[1], p[2] - ray * n[2])
        for _ in range(MOST_ROUNDS):
            c = (p[0] - r * n[0], p[1] - r * n[1], p[2] - r * n[2])
            reach = r - max(min(noise[0], 0.1 * r), noise[1] * r)
            found, x = _nearest_opposing(
                boxes, slabs, corners, c, n, opposing, reach * reach, stack, gaps
            )
            if found < 0:
                break
            v = (p[0] - x[0], p[1] - x[1], p[2] - x[2])
            height = v[0] * n[0] + v[1] * n[1] + v[2] * n[2]
            if height <= RAY_START_MM:
                break
            smaller = (v[0] * v[0] + v[1] * v[1] + v[2] * v[2]) / (2.0 * height)
            if not smaller < r:
                break
            r = smaller
            hit = found
            spot = x
        ray_mm[i] = ray
        ball_mm[i] = 2.0 * r
        cosine[i] = _opposing_cosine(corners, hit, n)
        contact[i, 0], contact[i, 1], contact[i, 2] = spot
