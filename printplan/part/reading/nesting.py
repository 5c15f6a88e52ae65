"""Which shell lies inside which: bodies, cavities, and shells turned inside out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Shells", "contains", "measure_shells"]

#: Most triangles that are visited to find out which shell lies inside which (some seconds).
MOST_VISITS = 10_000_000
#: Most shells that are compared with each other.
MOST_SHELLS = 2000
#: Spots on a shell that are tried when asking whether it lies inside another.
SPOTS = 3


@dataclass(frozen=True, kw_only=True, eq=False)
class Shells:
    """The closed shells of a mesh, s of them.

    Attributes
    ----------
    volumes_mm3 : (s,) float64
        Signed: negative where the triangles face inwards. [mm³]
    closed : (s,) bool
        Whether the shell has no open edge.
    inside : (s, s) or (s, 1) bool
        ``inside[i, j]``: shell i lies inside shell j. One empty column if not compared.
    overlapping : int
        Pairs of shells whose boxes overlap though neither lies inside the other. The shells
        themselves may still keep clear of each other.
    compared : bool
        False where there were too many shells or triangles to compare them.
    """

    volumes_mm3: NDArray[np.float64]
    closed: NDArray[np.bool_]
    inside: NDArray[np.bool_]
    overlapping: int
    compared: bool

    @property
    def depth(self) -> NDArray[np.int64]:
        """How many shells surround each shell."""
        return np.asarray(self.inside.sum(axis=1), dtype=np.int64)

    @property
    def turned_over(self) -> NDArray[np.bool_]:
        """Shells to turn: those not inside another that face inwards, and what is in them."""
        outermost = self.closed & (self.depth == 0) & (self.volumes_mm3 < 0)
        if not self.compared:
            return np.asarray(outermost)
        within = self.closed & (self.inside & outermost).any(axis=1)
        return np.asarray(outermost | within)


def measure_shells(
    vertices: NDArray[np.float64],
    faces: NDArray[np.int32],
    opposite: NDArray[np.int32],
    label: NDArray[np.int32],
    count: int,
) -> Shells:
    """Measure each shell and find which lies inside which.

    Parameters
    ----------
    vertices : (n, 3) float64
        [mm]
    faces : (m, 3) int32
    opposite : (3 m,) int32
    label : (m,) int32
        Shell of each triangle.
    count : int
        Number of shells.
    """
    centre = (vertices.min(axis=0) + vertices.max(axis=0)) / 2
    volumes = np.bincount(label, _tetrahedra(vertices - centre, faces), count).astype(np.float64)
    closed = np.bincount(label, (opposite.reshape(-1, 3) < 0).any(axis=1), count) == 0
    if count == 1:
        return Shells(
            volumes_mm3=volumes,
            closed=closed,
            inside=np.zeros((1, 1), dtype=np.bool_),
            overlapping=0,
            compared=True,
        )
    if count > MOST_SHELLS:
        return _not_compared(volumes, closed)
    return _compare(vertices, faces, label, volumes, closed)


def _tetrahedra(vertices: NDArray[np.float64], faces: NDArray[np.int32]) -> NDArray[np.float64]:
    """Signed volume between the origin and each triangle. [mm³]"""
    x, y, z = (np.ascontiguousarray(vertices[:, k])[faces.T] for k in range(3))
    cross_x = y[1] * z[2] - z[1] * y[2]
    cross_y = z[1] * x[2] - x[1] * z[2]
    cross_z = x[1] * y[2] - y[1] * x[2]
    return np.asarray((x[0] * cross_x + y[0] * cross_y + z[0] * cross_z) / 6.0)


def _compare(
    vertices: NDArray[np.float64],
    faces: NDArray[np.int32],
    label: NDArray[np.int32],
    volumes: NDArray[np.float64],
    closed: NDArray[np.bool_],
) -> Shells:
    count = len(volumes)
    order = np.argsort(label, kind="stable")
    begins = np.searchsorted(label[order], np.arange(count + 1))
    members = [faces[order[begins[i] : begins[i + 1]]] for i in range(count)]
    low = np.array([vertices[m].min(axis=(0, 1)) for m in members])
    high = np.array([vertices[m].max(axis=(0, 1)) for m in members])
    margin = 1e-6 * float((high - low).max())
    inside = np.zeros((count, count), dtype=np.bool_)
    meets = np.zeros((count, count), dtype=np.bool_)
    visits = 0
    for i in range(count):
        meets[i] = ((low < high[i] - margin) & (low[i] < high - margin)).all(axis=1)
        fits = ((low <= low[i]) & (high >= high[i])).all(axis=1) & closed
        fits[i] = False
        for j in np.flatnonzero(fits):
            visits += SPOTS * len(members[j])
            if visits > MOST_VISITS:
                return _not_compared(volumes, closed)
            inside[i, j] = _lies_inside(vertices, members[i], members[j])
    unsure = np.triu(meets & ~inside & ~inside.T, k=1)
    return Shells(
        volumes_mm3=volumes,
        closed=closed,
        inside=inside,
        overlapping=int(unsure.sum()),
        compared=True,
    )


def _not_compared(volumes: NDArray[np.float64], closed: NDArray[np.bool_]) -> Shells:
    return Shells(
        volumes_mm3=volumes,
        closed=closed,
        inside=np.zeros((len(volumes), 1), dtype=np.bool_),
        overlapping=0,
        compared=False,
    )


def _lies_inside(
    vertices: NDArray[np.float64], inner: NDArray[np.int32], outer: NDArray[np.int32]
) -> bool:
    """Whether most of some spots on `inner` lie inside `outer`."""
    picks = np.linspace(0, len(inner) - 1, SPOTS).astype(np.int64)
    spots = vertices[inner[picks]].mean(axis=1)
    return 2 * int(contains(vertices, outer, spots).sum()) > SPOTS


def contains(
    vertices: NDArray[np.float64], faces: NDArray[np.int32], spots: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Whether each spot lies inside a closed shell, whichever way its triangles face.

    The solid angles of all triangles seen from a spot add up to ±4π inside and 0 outside.

    Parameters
    ----------
    vertices : (n, 3) float64
    faces : (m, 3) int32
    spots : (k, 3) float64

    Sources
    -------
    [memory: Van Oosterom and Strackee 1983] solid angle of a triangle
    """
    found = np.zeros(len(spots), dtype=np.bool_)
    for i, spot in enumerate(spots):
        a, b, c = (vertices[faces[:, k]] - spot for k in range(3))
        la, lb, lc = (np.sqrt(np.einsum("ij,ij->i", v, v)) for v in (a, b, c))
        triple = np.einsum("ij,ij->i", a, np.cross(b, c))
        level = (
            la * lb * lc
            + np.einsum("ij,ij->i", a, b) * lc
            + np.einsum("ij,ij->i", b, c) * la
            + np.einsum("ij,ij->i", c, a) * lb
        )
        solid_angle = 2.0 * float(np.arctan2(triple, level).sum())
        # A spot on the surface sees half of the sphere: that is not inside.
        found[i] = abs(solid_angle) > 3.0 * np.pi
    return found
