"""Small repairs that leave the shape alone: doubled triangles, near misses, turned triangles."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from printplan.part.reading.topology import (
    OPEN,
    SAME_WAY,
    Pairing,
    number_rows,
)

__all__ = [
    "drop_degenerate",
    "drop_duplicates",
    "join_near_vertices",
    "same_way_partners",
    "turn_to_agree",
]

#: Vertices on open edges closer than this share of the part's diagonal are joined …
NEAR_SHARE = 1e-4
#: … but never those farther apart than this: a tenth of a usual bead. [mm] [common practice]
NEAR_MM = 0.05
#: Neighbours looked at for each vertex; bounds the work on crowded spots.
NEIGHBOURS = 8

Int32s = NDArray[np.int32]


def drop_degenerate(faces: Int32s) -> tuple[Int32s, int]:
    """Drop triangles that use a vertex twice; returns the rest and how many were dropped."""
    a, b, c = faces.T
    flat = (a == b) | (b == c) | (c == a)
    dropped = int(np.count_nonzero(flat))
    return (faces[~flat] if dropped else faces), dropped


def drop_duplicates(faces: Int32s) -> tuple[Int32s, int]:
    """Drop triangles that are there twice; returns the rest and how many were dropped.

    Twice the same way round: one stays. Once each way: both stay, as where two bodies share a
    wall, unless each triangle of the mesh has such a twin (a sheet drawn from both sides) or all
    three edges are left with an odd number of triangles by the twin.
    """
    turn = np.argmin(faces, axis=1)[:, None]
    rotated = np.take_along_axis(faces, (turn + np.arange(3)) % 3, axis=1)
    first, _ = number_rows(rotated.view(np.uint32))
    kept = faces[first]
    alike_first, _ = number_rows(np.sort(kept, axis=1).view(np.uint32))
    if len(alike_first) < len(kept):
        twin = np.ones(len(kept), dtype=np.bool_)
        twin[alike_first] = False
        if 2 * len(alike_first) > len(kept):
            twin &= _on_odd_edges(kept)
        kept = kept[~twin]
    return kept, len(faces) - len(kept)


def _on_odd_edges(faces: Int32s) -> NDArray[np.bool_]:
    """Triangles all of whose edges have an odd number of triangles."""
    edges = np.stack([faces, faces[:, [1, 2, 0]]], axis=2).reshape(-1, 2)
    _, label = number_rows(np.sort(edges, axis=1).view(np.uint32))
    odd = np.bincount(label) % 2 == 1
    return np.asarray(odd[label].reshape(-1, 3).all(axis=1))


def join_near_vertices(
    vertices: NDArray[np.float64], faces: Int32s, opposite: Int32s
) -> tuple[Int32s, int]:
    """Join vertices on open edges that lie almost at the same place.

    Only those: rounding all coordinates would split pairs that sit astride a cell border, and
    spoil fine detail that is in order.

    Returns
    -------
    faces : (m, 3) int32
        With the joined vertices; may hold degenerate triangles.
    joined : int
        Vertices that disappeared.
    """
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components
    from scipy.spatial import cKDTree

    ahead = np.ascontiguousarray(faces[:, [1, 2, 0]]).ravel()
    lonely = np.flatnonzero(opposite == OPEN)
    rim = np.unique(np.concatenate([faces.ravel()[lonely], ahead[lonely]]))
    size = float(np.linalg.norm(vertices.max(axis=0) - vertices.min(axis=0)))
    reach = min(NEAR_SHARE * size, NEAR_MM)
    if len(rim) < 2 or reach <= 0.0:
        return faces, 0
    tree = cKDTree(vertices[rim])
    most = min(NEIGHBOURS, len(rim))
    near = np.asarray(tree.query(vertices[rim], k=most, distance_upper_bound=reach)[1])
    one, other = np.nonzero(near < len(rim))
    links = coo_array(
        (np.ones(len(one), dtype=np.int8), (one, near[one, other])), shape=(len(rim), len(rim))
    )
    groups, group = connected_components(links, directed=False)
    target = np.arange(len(vertices), dtype=np.int32)
    lead = np.full(groups, -1, dtype=np.int32)
    lead[group[::-1]] = rim[::-1]
    target[rim] = lead[group]
    return target[faces], len(rim) - int(groups)


def same_way_partners(faces: Int32s, opposite: Int32s) -> tuple[NDArray[np.int64], ...]:
    """Half-edges of edges with two triangles that run the same way, in two matching arrays."""
    places = np.flatnonzero(opposite == SAME_WAY)
    corners = faces.ravel()
    ahead = np.ascontiguousarray(faces[:, [1, 2, 0]]).ravel()
    order = np.lexsort((ahead[places], corners[places]))
    return places[order[::2]], places[order[1::2]]


def turn_to_agree(faces: Int32s, pairing: Pairing) -> tuple[Int32s, int, bool]:
    """Turn triangles so that neighbours agree which side is outside; the majority stays.

    Each triangle appears as two nodes, as it is and turned over. Neighbours that agree link like
    with like, others as-is with turned. A surface with one side only (a Möbius band) links a
    triangle with its own turned self.

    Returns
    -------
    faces : (m, 3) int32
    turned : int
        Triangles that were turned.
    two_sided : bool
        False for a surface that has one side only; then nothing is turned.
    """
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    count = len(faces)
    agree = np.flatnonzero(pairing.opposite >= 0)
    agree = agree[agree < pairing.opposite[agree]]
    one, other = agree // 3, pairing.opposite[agree] // 3
    left, right = (p // 3 for p in same_way_partners(faces, pairing.opposite))
    rows = np.concatenate([one, one + count, left, left + count])
    columns = np.concatenate([other, other + count, right + count, right])
    links = coo_array(
        (np.ones(len(rows), dtype=np.int8), (rows, columns)), shape=(2 * count, 2 * count)
    )
    _, label = connected_components(links, directed=False)
    as_is, turned = label[:count], label[count:]
    if (as_is == turned).any():
        return faces, 0, False
    # Of a patch's two colourings, the one with more triangles as they are is kept.
    sizes = np.bincount(as_is, minlength=int(label.max()) + 1)
    turn = (sizes[turned] > sizes[as_is]) | ((sizes[turned] == sizes[as_is]) & (turned < as_is))
    faces = faces.copy()
    faces[turn] = faces[turn][:, ::-1]
    return faces, int(np.count_nonzero(turn)), True
