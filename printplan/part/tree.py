"""Triangles in space-filling order: the box tree that rays and balls search, and even samples.

The tree is complete and binary, without pointers: the children of node ``i`` are ``2 i + 1`` and
``2 i + 2``, leaves hold four triangles each. Built with numpy alone, in O(m log m).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from printplan.errors import InputError
from printplan.part.solid import Solid

__all__ = ["LEAF", "TriangleTree", "build_tree", "flat_patches", "morton_codes", "surface_samples"]

#: Triangles in a leaf; the compiled search assumes the same number.
LEAF = 4
#: Cosine of the largest angle (0.5°) between neighbours in one flat patch.
FLAT_COSINE = 0.99996
#: Fewest samples on any part.
FEWEST_SAMPLES = 1_000
#: Steps of an even two-dimensional sequence: 1 / g and 1 / g² with g³ = g + 1.
EVEN_STEPS = (0.7548776662466927, 0.5698402909980532)


@dataclass(frozen=True, kw_only=True, eq=False)
class TriangleTree:
    """Boxes and triangles in leaf order, near the origin.

    Attributes
    ----------
    origin_mm : (3,) float64
        What was deducted from the coordinates. [mm]
    boxes : (2 * leaves - 1, 6) float32
        Lowest and highest x, y, z of each node. [mm]
    corners : (LEAF * leaves, 9) float32
        Corners of the triangles in leaf order; single precision is 1e-5 mm on a 200 mm part. [mm]
    face : (LEAF * leaves,) int32
        Triangle number of each row; some occur twice, to fill the last leaves.
    """

    origin_mm: NDArray[np.float64]
    boxes: NDArray[np.float32]
    corners: NDArray[np.float32]
    face: NDArray[np.int32]


def morton_codes(points: NDArray[np.float64]) -> NDArray[np.uint64]:
    """Place of each (n, 3) point on a space-filling curve, 21 bits per axis.

    Sources
    -------
    [memory: Morton 1966; Lauterbach and others 2009]
    """
    # one column at a time: numpy reduces narrow arrays ten times slower
    low = [points[:, k].min() for k in range(3)]
    extent = max(float(points[:, k].max() - low[k]) for k in range(3)) or 1.0
    code = np.zeros(len(points), np.uint64)
    # spread the bits of each axis so that two zeros follow every bit
    spreads = (
        (32, 0x1F00000000FFFF),
        (16, 0x1F0000FF0000FF),
        (8, 0x100F00F00F00F00F),
        (4, 0x10C30C30C30C30C3),
        (2, 0x1249249249249249),
    )
    for axis in range(3):
        cell = ((points[:, axis] - low[axis]) * ((2**21 - 1) / extent)).astype(np.uint64)
        for bits, mask in spreads:
            cell = (cell | (cell << np.uint64(bits))) & np.uint64(mask)
        code |= cell << np.uint64(axis)
    return code


def build_tree(solid: Solid) -> TriangleTree:
    """Sort the triangles of a solid into a tree.

    Parameters
    ----------
    solid : Solid
        At least one triangle; need not be closed.

    Returns
    -------
    TriangleTree
        About 60 bytes per triangle.

    Raises
    ------
    InputError
        If there is no triangle.

    Sources
    -------
    [memory: Lauterbach and others 2009]: a tree from the order along a Morton curve.
    """
    m = len(solid.faces)
    if m == 0:
        raise InputError("solid without triangles: expected at least one; check the mesh file")
    origin = solid.box_mm.mean(axis=0)
    vertices = solid.vertices_mm - origin
    order = np.argsort(morton_codes(vertices[solid.faces].mean(axis=1)), kind="stable")
    leaves = 1
    while leaves * LEAF < m:
        leaves *= 2
    # spread the triangles evenly, so that no leaf holds padding only
    order = order[np.arange(leaves * LEAF) * m // (leaves * LEAF)]
    corners = vertices.astype(np.float32)[solid.faces[order]].reshape(-1, 9)

    boxes = np.empty((2 * leaves - 1, 6), np.float32)
    by_leaf = corners.reshape(leaves, LEAF * 3, 3)
    boxes[leaves - 1 :, :3] = by_leaf.min(axis=1)
    boxes[leaves - 1 :, 3:] = by_leaf.max(axis=1)
    first = leaves - 1
    while first > 0:
        pairs = boxes[first : 2 * first + 1].reshape(-1, 2, 6)
        first = (first - 1) // 2
        level = boxes[first : 2 * first + 1]
        level[:, :3] = pairs[:, :, :3].min(axis=1)
        level[:, 3:] = pairs[:, :, 3:].max(axis=1)
    return TriangleTree(origin_mm=origin, boxes=boxes, corners=corners, face=order.astype(np.int32))


def surface_samples(
    solid: Solid, spacing_mm: float, most: int
) -> tuple[NDArray[np.int64], NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Spread samples evenly over the surface, the same ones at every call.

    Sample ``i`` lies in the triangle at which the summed area passes ``(i + 1/2) / n`` of the
    whole, at a place of an even sequence. So samples turn with the part. A flat patch that got
    none receives one in its largest triangle, unless patches outnumber half of the samples.

    Parameters
    ----------
    solid : Solid
        The part.
    spacing_mm : float
        Wanted spacing. [mm]
    most : int
        Most samples.

    Returns
    -------
    face : (n,) int64
        Triangle of each sample.
    position, normal : (n, 3) float64
        Place and outward unit normal. [mm]
    area : (n,) float64
        Area that a sample stands for. [mm²]

    Raises
    ------
    InputError
        If the surface has no area.
    """
    corners = solid.vertices_mm[solid.faces]
    u, v = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    normal = np.cross(u, v)
    length = np.linalg.norm(normal, axis=1)
    area = length / 2.0
    total = float(area.sum())
    if not 0.0 < total < np.inf:
        raise InputError(f"solid {solid.name!r} has no surface area: check the mesh file")
    patch = flat_patches(solid, normal / np.where(length > 0.0, length, 1.0)[:, None])
    patches = int(patch.max()) + 1
    spare = patches if patches <= most // 2 else 0
    n = min(max(round(total / spacing_mm**2), FEWEST_SAMPLES), most - spare)
    face = np.searchsorted(np.cumsum(area), (np.arange(n) + 0.5) * (total / n))
    face = np.minimum(face, len(area) - 1)
    share = np.arange(1, n + 1)[:, None] * np.array(EVEN_STEPS) % 1.0
    share = np.where(share.sum(axis=1, keepdims=True) > 1.0, 1.0 - share, share)
    weight = np.full(n, total / n)
    if spare:
        extra, extra_area = _one_per_patch(patch, area, np.bincount(patch[face], minlength=patches))
        face = np.concatenate([face, extra])
        share = np.concatenate([share, np.full((len(extra), 2), 1.0 / 3.0)])
        weight = np.concatenate([weight, extra_area])
    position = corners[face, 0] + share[:, :1] * u[face] + share[:, 1:] * v[face]
    return face, position, normal[face] / length[face, None], weight


def _one_per_patch(
    patch: NDArray[np.int64], area: NDArray[np.float64], samples: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Largest triangle, and area, of each patch that has area but no samples."""
    patch_area = np.bincount(patch, area)
    order = np.lexsort((-area, patch))
    first = order[np.searchsorted(patch[order], np.arange(len(patch_area)))]
    empty = (samples == 0) & (area[first] > 0.0)
    return first[empty], patch_area[empty]


def flat_patches(solid: Solid, normal: NDArray[np.float64]) -> NDArray[np.int64]:
    """Give each connected patch of triangles in one plane its number.

    Parameters
    ----------
    solid : Solid
        The part.
    normal : (m, 3) float64
        Unit normals of its triangles.

    Returns
    -------
    (m,) int64
        Patch of each triangle; neighbours in a patch turn by less than half a degree.
    """
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    edge = np.flatnonzero(solid.opposite > np.arange(len(solid.opposite)))
    here, there = edge // 3, solid.opposite[edge] // 3
    flat = np.einsum("ij,ij->i", normal[here], normal[there]) > FLAT_COSINE
    here, there = here[flat], there[flat]
    m = len(solid.faces)
    links = coo_array((np.ones(len(here), np.int8), (here, there)), shape=(m, m))
    return connected_components(links, directed=False)[1].astype(np.int64)
