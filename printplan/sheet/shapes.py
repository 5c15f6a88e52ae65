"""A part made ready for drawing: normals, edges, samples, and the view of it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from printplan.part.solid import Solid
    from printplan.part.thickness import Thickness

__all__ = ["Projection", "Shape", "motion_between", "projection_of", "shape_of"]

Array = NDArray[np.float64]
Integers = NDArray[np.int64]

#: Edges between faces that lean more than this are drawn; flatter ones are shaded as round.
SMOOTH_COSINE = math.cos(math.radians(30.0))


@dataclass(frozen=True, kw_only=True)
class Shape:
    """What the views of one part share.

    Attributes
    ----------
    solid : Solid
        The standing part.
    corner_normal : (m, 3, 3) float64
        Normals at each triangle's corners, smooth over round surfaces.
    face_normal : (m, 3) float64
        Normals of the triangles.
    edges : (k,) int64
        One half-edge of each edge.
    neighbours : (k,) int64
        Triangle across that edge; its own where there is none.
    sharp : (k,) bool
        Whether the two faces lean by more than 30 degrees.
    samples_mm : (n, 3) float64
        Where thickness is known, in the standing part's frame. [mm]
    sample_normal : (n, 3) float64
        Normals of the surface there.
    sample_mm, sample_area_mm2 : (n,) float64
        Thickness there [mm], and area that each stands for. [mm²]
    limit_mm : float
        Walls below this are thin. [mm]
    """

    solid: Solid
    corner_normal: Array
    face_normal: Array
    edges: Integers
    neighbours: Integers
    sharp: NDArray[np.bool_]
    samples_mm: Array
    sample_normal: Array
    sample_mm: Array
    sample_area_mm2: Array
    limit_mm: float


@dataclass(frozen=True, kw_only=True)
class Projection:
    """From the standing part to pixels, and back.

    Attributes
    ----------
    axes : (3, 3) float64
        Rows point to the right, up, and towards the viewer.
    centre_mm : (3,) float64
        What lies in the middle of the picture. [mm]
    pixels_per_mm : float
        Scale. [px/mm]
    offset : (3,) float64
        Middle of the picture. [px]
    """

    axes: Array
    centre_mm: Array
    pixels_per_mm: float
    offset: Array

    def pixels(self, points_mm: Array) -> Array:
        """Return x, y and depth of (n, 3) points. [px]"""
        seen = (points_mm - self.centre_mm) @ self.axes.T * self.pixels_per_mm
        return np.ascontiguousarray(seen * [1.0, -1.0, -1.0] + self.offset)

    def points(self, pixels: Array) -> Array:
        """Return the (n, 3) points that lie at x, y and depth. [mm]"""
        seen = (pixels - self.offset) * [1.0, -1.0, -1.0] / self.pixels_per_mm
        return seen @ self.axes + self.centre_mm


def motion_between(measured: Solid, standing: Solid) -> Array:
    """(4, 3) matrix that takes (x, y, z, 1) of the measured solid to the standing one."""
    source = measured.vertices_mm[measured.faces].reshape(-1, 3)
    target = standing.vertices_mm[standing.faces].reshape(-1, 3)
    matrix, *_ = np.linalg.lstsq(np.column_stack([source, np.ones(len(source))]), target)
    return np.asarray(matrix, dtype=np.float64)


def shape_of(solid: Solid, thickness: Thickness, motion: Array) -> Shape:
    """Prepare a standing part for drawing.

    Parameters
    ----------
    solid : Solid
        The part as it stands.
    thickness : Thickness
        Samples in the frame they were measured in.
    motion : (4, 3) float64
        From that frame to the standing one.

    Returns
    -------
    Shape
    """
    corners = solid.vertices_mm[solid.faces]
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(cross, axis=1, keepdims=True)
    normal = cross / np.where(length > 0.0, length, 1.0)
    edge = np.flatnonzero(solid.opposite >= 0)
    other = solid.opposite[edge].astype(np.int64)
    leaning = np.einsum("ij,ij->i", normal[edge // 3], normal[other // 3]) < SMOOTH_COSINE
    once = edge < other
    lone = np.flatnonzero(solid.opposite < 0)
    known = np.isfinite(thickness.sample_mm)
    positions = thickness.positions_mm[known]
    return Shape(
        solid=solid,
        corner_normal=_corner_normals(cross, edge[~leaning], other[~leaning]),
        face_normal=normal,
        edges=np.concatenate([edge[once], lone]),
        neighbours=np.concatenate([other[once], lone]) // 3,
        sharp=np.concatenate([leaning[once], np.ones(len(lone), bool)]),
        samples_mm=positions @ motion[:3] + motion[3],
        sample_normal=normal[thickness.sample_face[known]],
        sample_mm=thickness.sample_mm[known],
        sample_area_mm2=thickness.sample_area_mm2[known],
        limit_mm=thickness.limit_mm,
    )


def _corner_normals(cross: Array, edge: Integers, other: Integers) -> Array:
    """(m, 3, 3) normals: means over the faces that join smoothly round each corner."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    count = 3 * len(cross)

    def end(half_edge: Integers) -> Integers:
        return half_edge - half_edge % 3 + (half_edge + 1) % 3

    # a half-edge and its opposite share both corners, crosswise
    a, b = np.concatenate([edge, end(edge)]), np.concatenate([end(other), other])
    links = coo_array((np.ones(len(a), np.int8), (a, b)), shape=(count, count))
    groups, label = connected_components(links, directed=False)
    weight = np.repeat(cross, 3, axis=0)
    total = np.column_stack([np.bincount(label, weight[:, k], groups) for k in range(3)])
    length = np.linalg.norm(total, axis=1, keepdims=True)
    return (total / np.where(length > 0.0, length, 1.0))[label].reshape(-1, 3, 3)


def projection_of(
    solid: Solid, azimuth_deg: float, elevation_deg: float, size: tuple[int, int]
) -> Projection:
    """Look at a part from a direction so that it fills the picture.

    Parameters
    ----------
    solid : Solid
        The part as it stands.
    azimuth_deg, elevation_deg : float
        Where the viewer stands: 0 in front (-y), growing to the right; above the plate. [°]
    size : (width, height)
        Of the picture. [px]

    Returns
    -------
    Projection
    """
    azimuth, elevation = math.radians(azimuth_deg), math.radians(elevation_deg)
    right = np.array([math.cos(azimuth), math.sin(azimuth), 0.0])
    towards = np.array(
        [
            math.sin(azimuth) * math.cos(elevation),
            -math.cos(azimuth) * math.cos(elevation),
            math.sin(elevation),
        ]
    )
    axes = np.array([right, np.cross(towards, right), towards])
    seen = solid.vertices_mm @ axes.T
    low, high = seen.min(axis=0), seen.max(axis=0)
    width, height = size
    scale = min(
        0.90 * width / max(high[0] - low[0], 1e-9), 0.86 * height / max(high[1] - low[1], 1e-9)
    )
    return Projection(
        axes=axes,
        centre_mm=axes.T @ ((low + high) / 2.0),
        pixels_per_mm=float(scale),
        offset=np.array([width / 2.0, height / 2.0, 0.0]),
    )
