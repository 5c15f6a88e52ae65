"""From loose triangles to shared vertices, paired edges and shells.

Small meshes take numpy, big ones the compiled loops of `mesh_kernels`; both give the same arrays.
A half-edge ``3 * t + k`` runs from corner k to corner k + 1 of triangle t.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "COMPILED_FROM",
    "OPEN",
    "SAME_WAY",
    "Pairing",
    "label_shells",
    "number_rows",
    "pair_half_edges",
    "weld",
]

#: From this many triangles on the compiled loops are worth their start-up.
COMPILED_FROM = 5000

#: What `Pairing.opposite` says of a half-edge without partner.
OPEN, CROWDED, SAME_WAY = -1, -2, -3

#: Angles around a crowded edge that differ by less are taken as one: coordinates in single
#: precision carry about this much noise. [rad]
ANGLE_NOISE_RAD = 1e-5

Int32s = NDArray[np.int32]
Points = NDArray[np.float32] | NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, eq=False)
class Pairing:
    """Partners of the half-edges.

    Attributes
    ----------
    opposite : (3 m,) int32
        Partner; OPEN where the edge has one triangle only; SAME_WAY where it has two that run
        the same way (one of them is turned over).
    crowded_edges : int
        Edges with more than two triangles.
    """

    opposite: Int32s
    crowded_edges: int

    @property
    def complete(self) -> bool:
        """Whether every half-edge has its partner."""
        return not bool((self.opposite < 0).any())

    def count(self, kind: int) -> int:
        """Half-edges of the `kind` OPEN or SAME_WAY."""
        return int(np.count_nonzero(self.opposite == kind))


def number_rows(rows: NDArray[np.uint32]) -> tuple[Int32s, Int32s]:
    """Give equal rows the same number, in the order of their first appearance.

    Parameters
    ----------
    rows : (n, w) uint32

    Returns
    -------
    first : (u,) int32
        The first row of each number.
    label : (n,) int32
        The number of each row.
    """
    rows = np.ascontiguousarray(rows)
    if len(rows) >= 3 * COMPILED_FROM:
        numbered = _number_rows_compiled(rows)
        if numbered is not None:
            return numbered
    whole = rows.view(np.dtype((np.void, rows.itemsize * rows.shape[1]))).ravel()
    _, first, label = np.unique(whole, return_index=True, return_inverse=True)
    order = np.argsort(first, kind="stable")
    rank = np.empty(len(order), dtype=np.int32)
    rank[order] = np.arange(len(order), dtype=np.int32)
    return first[order].astype(np.int32), rank[label.ravel()]


def _number_rows_compiled(rows: NDArray[np.uint32]) -> tuple[Int32s, Int32s] | None:
    """Try with a hash table, doubled when it fills; None if the rows collide too often."""
    from printplan.part import mesh_kernels

    label = np.empty(len(rows), dtype=np.int32)
    # A start that no file can know; the result does not depend on it.
    seed = np.uint64(secrets.randbits(64))
    slots = 1 << max(10, (len(rows) // 2).bit_length())
    while True:
        first = np.empty(min(len(rows), slots), dtype=np.int32)
        table = np.full(slots, -1, dtype=np.int32)
        count = mesh_kernels.number_rows(rows, seed, table, label, first)
        if count >= 0:
            return first[:count].copy(), label
        if count == -2:
            return None
        slots *= 2


def weld(points: Points) -> tuple[Points, Int32s]:
    """Join points with exactly equal coordinates; -0.0 equals 0.0.

    Parameters
    ----------
    points : (n, 3) float32 or float64

    Returns
    -------
    unique : (u, 3) of the same type
        In the order of their first appearance.
    label : (n,) int32
        For each point its place in `unique`.
    """
    points = np.ascontiguousarray(points + points.dtype.type(0.0))
    first, label = number_rows(points.view(np.uint32).reshape(len(points), -1))
    return points[first], label


def pair_half_edges(vertices: NDArray[np.float64], faces: Int32s) -> Pairing:
    """Find for each half-edge the one that runs the other way along the same edge.

    Around an edge with more than two triangles, those are paired that have material between
    them, so that bodies that touch along an edge stay two bodies.

    Parameters
    ----------
    vertices : (n, 3) float64
    faces : (m, 3) int32
    """
    if len(faces) >= COMPILED_FROM:
        from printplan.part import mesh_kernels

        count = len(vertices)
        opposite = np.empty(faces.size, dtype=np.int32)
        crowded = mesh_kernels.pair_half_edges(
            np.ascontiguousarray(faces).ravel(),
            np.zeros(count + 2, dtype=np.int32),
            np.empty(faces.size, dtype=np.int32),
            np.full((count, 2), -1, dtype=np.int32),
            opposite,
        )
    else:
        opposite, crowded = _pair_by_sorting(faces)
    if crowded:
        _pair_around_crowded_edges(vertices, faces, opposite)
    return Pairing(opposite=opposite, crowded_edges=int(crowded))


def _ends(faces: Int32s) -> tuple[Int32s, Int32s]:
    """First and last vertex of each half-edge."""
    return faces.ravel(), np.ascontiguousarray(faces[:, [1, 2, 0]]).ravel()


def _edge_keys(tail: Int32s, head: Int32s) -> NDArray[np.int64]:
    """One number for each undirected edge."""
    low = np.minimum(tail, head).astype(np.int64)
    return (low << 32) | np.maximum(tail, head)


def _pair_by_sorting(faces: Int32s) -> tuple[Int32s, int]:
    tail, head = _ends(faces)
    keys = _edge_keys(tail, head)
    order = np.argsort(keys, kind="stable")
    begins = np.flatnonzero(np.r_[True, np.diff(keys[order]) != 0])
    lengths = np.diff(np.r_[begins, len(keys)])
    opposite = np.full(len(keys), OPEN, dtype=np.int32)
    one, two = order[begins[lengths == 2]], order[begins[lengths == 2] + 1]
    same = tail[one] == tail[two]
    opposite[one] = np.where(same, SAME_WAY, two)
    opposite[two] = np.where(same, SAME_WAY, one)
    opposite[order[np.repeat(lengths > 2, lengths)]] = CROWDED
    return opposite, int(np.count_nonzero(lengths > 2))


def _pair_around_crowded_edges(
    vertices: NDArray[np.float64], faces: Int32s, opposite: Int32s
) -> None:
    """Pair by angle the half-edges marked CROWDED; those left over become OPEN.

    Seen along the edge from its lower vertex number, material lies clockwise of a triangle that
    runs along (+) and anti-clockwise of one that runs against (-). So going anti-clockwise each
    - opens a stretch of material that the next free + closes: matching brackets on a circle.
    """
    crowd = np.flatnonzero(opposite == CROWDED)
    tail, head = _ends(faces)
    third = faces[:, [2, 0, 1]].ravel()[crowd]
    keys = _edge_keys(tail[crowd], head[crowd])
    forward = tail[crowd] < head[crowd]
    start = vertices[np.minimum(tail[crowd], head[crowd])]
    along = vertices[np.maximum(tail[crowd], head[crowd])] - start
    along /= np.linalg.norm(along, axis=1, keepdims=True)
    across = np.eye(3)[np.argmin(np.abs(along), axis=1)]
    across = np.cross(along, across)
    across /= np.linalg.norm(across, axis=1, keepdims=True)
    arm = vertices[third] - start
    angle = np.arctan2(
        np.einsum("ij,ij->i", arm, np.cross(along, across)), np.einsum("ij,ij->i", arm, across)
    )
    steps = int(2 * np.pi / ANGLE_NOISE_RAD)
    turn = np.round(angle / (2 * np.pi) * steps).astype(np.int64) % steps
    # At equal angles + comes first: it ends one stretch before - begins the next.
    order = np.lexsort((~forward, turn, keys))
    begins = np.flatnonzero(np.r_[True, np.diff(keys[order]) != 0])
    opposite[crowd] = OPEN
    for group in np.split(order, begins[1:]):
        waiting: list[int] = []
        for lap in range(2):  # twice round: a stretch may pass the angle zero
            for i in group:
                e = int(crowd[i])
                if opposite[e] >= 0:
                    continue
                if forward[i] and waiting:
                    partner = waiting.pop()
                    opposite[e], opposite[partner] = partner, e
                elif not forward[i] and lap == 0:
                    waiting.append(e)


def label_shells(opposite: Int32s) -> tuple[Int32s, int]:
    """Find the shells: triangles that hang together over paired edges.

    Returns
    -------
    label : (m,) int32
        Shell of each triangle, in the order of their first triangles.
    count : int
        Number of shells.
    """
    triangles = len(opposite) // 3
    root = np.arange(triangles, dtype=np.int32)
    if triangles >= COMPILED_FROM:
        from printplan.part import mesh_kernels

        mesh_kernels.label_shells(opposite, root)
    else:
        neighbour = np.where(opposite < 0, np.arange(len(opposite)), opposite) // 3
        neighbour = neighbour.reshape(-1, 3)
        while True:
            lower = np.minimum(root, root[neighbour].min(axis=1, initial=triangles))
            lower = lower[lower]
            if np.array_equal(lower, root):
                break
            root = lower
    shells, label = np.unique(root, return_inverse=True)
    return label.astype(np.int32), len(shells)
