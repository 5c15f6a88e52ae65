"""Cut polygons into triangles: a fan from the first corner."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from printplan.errors import MeshFileError
from printplan.part.reading.raw import ReadLimits

__all__ = ["fan"]


def fan(
    path: Path,
    points: NDArray[np.float64],
    corners: NDArray[np.int64],
    lengths: NDArray[np.int64],
    limits: ReadLimits,
) -> tuple[NDArray[np.int32], tuple[str, ...]]:
    """Triangulate polygons from their first corners.

    Parameters
    ----------
    path : Path
        The file, for messages.
    points : (n, 3) float64
    corners : (c,) int64
        Point numbers of all polygons, one after the other.
    lengths : (p,) int64
        Number of corners of each polygon; fewer than three make no triangle.
    limits : ReadLimits

    Returns
    -------
    faces : (m, 3) int32
    notes : tuple of str
        How many polygons were cut, and how many of them a fan does not fit, being hollow.

    Raises
    ------
    MeshFileError
        If a corner names a point that is not there, or there are too many triangles.
    """
    if len(corners) and (corners.min() < 0 or corners.max() >= len(points)):
        bad = int(corners.min() if corners.min() < 0 else corners.max())
        raise MeshFileError(path, f"a face names point {bad}, but there are {len(points)}")
    triangles = np.maximum(lengths - 2, 0)
    total = int(triangles.sum())
    if total > limits.triangles:
        raise MeshFileError(
            path, f"{total} triangles, more than the {limits.triangles} that are read"
        )
    begin = np.cumsum(lengths) - lengths
    polygon = np.repeat(np.arange(len(lengths)), triangles)
    step = np.arange(total) - np.repeat(np.cumsum(triangles) - triangles, triangles)
    apex = begin[polygon]
    faces = np.stack([corners[apex], corners[apex + step + 1], corners[apex + step + 2]], axis=1)
    cut = lengths > 3
    if not cut.any():
        return faces.astype(np.int32), ()
    notes = [f"{np.count_nonzero(cut)} faces with more than three corners cut into triangles"]
    a, b, c = (points[faces[:, k]] for k in range(3))
    with np.errstate(invalid="ignore", over="ignore"):  # bad points are refused later
        normal = np.cross(b - a, c - a)
        whole = np.zeros((len(lengths), 3))
        np.add.at(whole, polygon, normal)
        against = np.einsum("ij,ij->i", normal, whole[polygon])
        level = np.einsum("ij,ij->i", whole, whole)[polygon]
    hollow = len(np.unique(polygon[against < -1e-9 * level]))
    if hollow:
        notes.append(
            f"{hollow} faces are hollow in outline: their triangles overlap, so that area and "
            "walls are doubtful; export the part as triangles"
        )
    return faces.astype(np.int32), tuple(notes)
