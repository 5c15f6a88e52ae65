"""Compiled loops of the pictures: triangles and lines into a depth buffer.

Coordinates are pixels: x to the right, y down, depth away from the viewer in the same scale.
Pixel (i, j) has its centre at x = j + 1/2, y = i + 1/2. Compiled because a
view of 80,000 triangles visits millions of pixels one by one.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit
from numpy.typing import NDArray

__all__ = ["draw_lines", "draw_triangles"]

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Integers = NDArray[np.int32]


@njit(cache=True, nogil=True, error_model="numpy")
def draw_triangles(
    points: Floats,
    faces: Integers,
    corner_shade: Floats,
    both_sides: bool,
    depth: Singles,
    face_at: Integers,
    shade_at: Singles,
) -> None:
    """Draw triangles, the nearest wins; on a tie the first.

    Parameters
    ----------
    points : (n, 3) float64
        x, y, depth of the corners. [px]
    faces : (m, 3) int32
        Corner numbers, counter-clockwise seen from outside.
    corner_shade : (m, 3) float64
        Brightness at each triangle's corners.
    both_sides : bool
        Draw triangles seen from inside too (open meshes).
    depth, face_at, shade_at : (h, w) float32, int32, float32
        Changed in place: depth of what is seen, its triangle, its brightness.

    Notes
    -----
    Loop order triangle, row, span: O(m + rows + pixels covered); nothing is allocated. The span
    of a row is where all three edge functions are not negative, so slivers cost no more than
    they cover.
    """
    height, width = depth.shape
    for t in range(faces.shape[0]):
        a, b, c = faces[t, 0], faces[t, 1], faces[t, 2]
        ax, ay, az = points[a, 0], points[a, 1], points[a, 2]
        bx, by, bz = points[b, 0], points[b, 1], points[b, 2]
        cx, cy, cz = points[c, 0], points[c, 1], points[c, 2]
        # y runs down, so a triangle that faces the viewer has a negative area
        area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
        if area == 0.0 or (area > 0.0 and not both_sides):
            continue
        top = max(0, math.ceil(min(ay, by, cy) - 0.5))
        bottom = min(height - 1, math.floor(max(ay, by, cy) - 0.5))
        lowest, highest = min(ax, bx, cx) - 0.5, max(ax, bx, cx) - 0.5
        sa, sb, sc = corner_shade[t, 0], corner_shade[t, 1], corner_shade[t, 2]
        # share of corners a and b at a pixel: linear in x and y
        a_dx, a_dy = (by - cy) / area, (cx - bx) / area
        b_dx, b_dy = (cy - ay) / area, (ax - cx) / area
        for i in range(top, bottom + 1):
            y = i + 0.5
            a_0 = a_dx * (0.5 - cx) + a_dy * (y - cy)
            b_0 = b_dx * (0.5 - cx) + b_dy * (y - cy)
            left, right = lowest, highest
            for k in range(3):
                if k == 0:
                    base, slope = a_0, a_dx
                elif k == 1:
                    base, slope = b_0, b_dx
                else:
                    base, slope = 1.0 - a_0 - b_0, -a_dx - b_dx
                if slope > 0.0:
                    left = max(left, -base / slope)
                elif slope < 0.0:
                    right = min(right, -base / slope)
                elif base < 0.0:
                    right = left - 1.0
            # the slack keeps pixels on a shared edge from falling between two triangles
            first = max(0, math.ceil(left - 1e-7))
            last = min(width - 1, math.floor(right + 1e-7))
            for j in range(first, last + 1):
                wa, wb = a_0 + a_dx * j, b_0 + b_dx * j
                wc = 1.0 - wa - wb
                z = np.float32(wa * az + wb * bz + wc * cz)
                if z < depth[i, j]:
                    depth[i, j] = z
                    face_at[i, j] = t
                    shade_at[i, j] = np.float32(wa * sa + wb * sb + wc * sc)


@njit(cache=True, nogil=True, error_model="numpy")
def draw_lines(
    ends: Floats, strength: float, slack: float, depth: Singles, line_at: Singles
) -> None:
    """Draw lines two pixels wide where nothing nearer hides them.

    Parameters
    ----------
    ends : (k, 2, 3) float64
        x, y, depth of both ends. [px]
    strength : float
        Written into `line_at` where it is greater than what is there.
    slack : float
        How far behind the surface a line may lie and still be seen. [px]
    depth : (h, w) float32
        Depth buffer, filled; unchanged.
    line_at : (h, w) float32
        Changed in place.

    Notes
    -----
    One step per pixel of the longer side: O(sum of the lengths); nothing is allocated.
    """
    height, width = depth.shape
    for n in range(ends.shape[0]):
        x, y, z = ends[n, 0, 0], ends[n, 0, 1], ends[n, 0, 2]
        dx, dy, dz = ends[n, 1, 0] - x, ends[n, 1, 1] - y, ends[n, 1, 2] - z
        steps = max(1, math.ceil(max(abs(dx), abs(dy))))
        for s in range(steps + 1):
            part = s / steps
            corner_j = math.floor(x + part * dx - 0.5)
            corner_i = math.floor(y + part * dy - 0.5)
            near = z + part * dz - slack
            for i in range(max(0, corner_i), min(height, corner_i + 2)):
                for j in range(max(0, corner_j), min(width, corner_j + 2)):
                    if near <= depth[i, j] and line_at[i, j] < strength:
                        line_at[i, j] = strength
