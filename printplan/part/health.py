"""From the points and triangles of a file to a solid, and what was found and mended on the way."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from printplan.errors import MeshFileError
from printplan.part.bulk import EMPTY_SHARE, surface_area_mm2
from printplan.part.reading import RawMesh
from printplan.part.reading.mending import (
    drop_degenerate,
    drop_duplicates,
    join_near_vertices,
    turn_to_agree,
)
from printplan.part.reading.nesting import Shells, measure_shells
from printplan.part.reading.topology import (
    OPEN,
    SAME_WAY,
    Pairing,
    label_shells,
    pair_half_edges,
    weld,
)
from printplan.part.solid import Solid

__all__ = ["Health", "make_solid", "split_bodies"]

Int32s = NDArray[np.int32]


@dataclass(frozen=True, kw_only=True)
class Health:
    """What was found of a mesh, and what was done about it.

    Attributes
    ----------
    closed : bool
        Every edge has its partner, after mending.
    encloses_volume : bool
        Closed and not just a sheet: volume, sections and layers mean something.
    crowded_edges : int
        Edges with more than two triangles (where bodies touch), after mending.
    winding_consistent : bool
        Neighbouring triangles agreed which side is outside, as found.
    outward : bool
        No body was inside out, as found. True where it can't be told.
    open_edges : int
        Edges without partner, after mending.
    bodies, cavities : int
        Shells with material inside, and shells that bound a hollow.
    degenerate_faces, duplicate_faces : int
        Dropped: triangles that use a vertex twice; triangles that were there twice.
    joined_vertices : int
        Vertices on open edges joined with near neighbours.
    mended : tuple of str
        What was done.
    warnings : tuple of str
        What could not be mended or is doubtful.
    """

    closed: bool
    encloses_volume: bool
    crowded_edges: int
    winding_consistent: bool
    outward: bool
    open_edges: int
    bodies: int
    cavities: int
    degenerate_faces: int
    duplicate_faces: int
    joined_vertices: int
    mended: tuple[str, ...]
    warnings: tuple[str, ...]

    @property
    def manifold(self) -> bool:
        """Whether no edge has more than two triangles."""
        return self.crowded_edges == 0

    def to_dict(self) -> dict[str, Any]:
        """Return plain values."""
        return {**asdict(self), "manifold": self.manifold}


def make_solid(raw: RawMesh) -> tuple[Solid, Health]:
    """Join equal points, pair edges, mend what leaves the shape alone, turn bodies outwards.

    Parameters
    ----------
    raw : RawMesh
        As a reader gives it.

    Returns
    -------
    (Solid, Health)
        The solid in mm.

    Raises
    ------
    MeshFileError
        If no triangle with three different corners is left.
    """
    mesh = _Workpiece(raw)
    mesh.mend_edges()
    shells = mesh.turn_outwards()
    solid = Solid(
        name=raw.name,
        vertices_mm=mesh.vertices,
        faces=mesh.faces,
        opposite=np.maximum(mesh.pairing.opposite, OPEN),
    )
    return solid, mesh.health(shells)


class _Workpiece:
    """A mesh under repair: vertices in mm, faces, the pairing of its edges, and notes."""

    def __init__(self, raw: RawMesh) -> None:
        points, label = weld(raw.points)
        faces = label.reshape(-1, 3) if raw.faces is None else label[raw.faces]
        self.faces, self.degenerate = drop_degenerate(faces)
        if not len(self.faces):
            raise MeshFileError(
                raw.path, "holds no triangle with three different corners", "export it again"
            )
        self.vertices = points.astype(np.float64) * raw.unit_mm
        self.notes = raw.notes
        self.duplicates = self.joined = 0
        self.two_sided = self.agreed = self.outward = True
        self.mended: list[str] = []
        if self.degenerate:
            self.mended.append(f"{self.degenerate} triangles without area dropped")
        self.shell_of: Int32s = np.zeros(0, dtype=np.int32)
        self.compact()
        self.pairing = self.pair()

    def compact(self) -> None:
        """Forget vertices that no triangle uses."""
        used = np.zeros(len(self.vertices), dtype=np.bool_)
        used[self.faces] = True
        if not used.all():
            place = np.cumsum(used, dtype=np.int32) - np.int32(1)
            self.vertices, self.faces = self.vertices[used], place[self.faces]

    def pair(self) -> Pairing:
        """Pair the half-edges anew."""
        self.pairing = pair_half_edges(self.vertices, self.faces)
        return self.pairing

    def mend_edges(self) -> None:
        """Close what can be closed without inventing surface."""
        if self.pairing.complete and not self.pairing.crowded_edges:
            return
        self.drop_twins()
        if self.pairing.count(OPEN):
            self.join_near()
        self.agreed = self.pairing.count(SAME_WAY) == 0
        if not self.agreed:
            self.faces, turned, self.two_sided = turn_to_agree(self.faces, self.pairing)
            self.pair()
            if turned:
                self.mended.append(f"{turned} triangles turned to agree with their neighbours")

    def drop_twins(self) -> None:
        """Drop doubled triangles."""
        self.faces, dropped = drop_duplicates(self.faces)
        self.duplicates += dropped
        if dropped:
            self.mended.append(f"{dropped} doubled triangles dropped")
            self.compact()
            self.pair()

    def join_near(self) -> None:
        """Join near vertices on open edges, unless that leaves as many edges open as before."""
        faces, pairing = self.faces, self.pairing
        joined_faces, joined = join_near_vertices(self.vertices, faces, pairing.opposite)
        self.faces, slivers = drop_degenerate(joined_faces)
        if not joined or not len(self.faces) or self.pair().count(OPEN) >= pairing.count(OPEN):
            self.faces, self.pairing = faces, pairing
            return
        self.joined = joined
        self.degenerate += slivers
        self.mended.append(f"{joined} vertices on open edges joined with near neighbours")
        self.compact()
        self.pair()
        if self.pairing.crowded_edges:
            self.drop_twins()

    def turn_outwards(self) -> Shells:
        """Turn bodies that are inside out, with all that is in them."""
        shells = self.find_shells()
        if self.two_sided and shells.turned_over.any():
            over = shells.turned_over[self.shell_of]
            self.faces = self.faces.copy()
            self.faces[over] = self.faces[over][:, ::-1]
            self.outward = False
            number = int(np.count_nonzero(shells.turned_over))
            self.mended.append(f"{number} shells that were inside out turned")
            self.pair()
            shells = self.find_shells()
        return shells

    def find_shells(self) -> Shells:
        """Find the shells and measure them."""
        opposite = self.pairing.opposite
        self.shell_of, count = label_shells(opposite)
        return measure_shells(self.vertices, self.faces, opposite, self.shell_of, count)

    def health(self, shells: Shells) -> Health:
        """Sum up."""
        cavity = shells.closed & (shells.volumes_mm3 < 0)
        open_edges = int(np.count_nonzero(self.pairing.opposite < 0))
        area = surface_area_mm2(self.vertices, self.faces)
        full = float(shells.volumes_mm3.sum()) > EMPTY_SHARE * area**1.5
        return Health(
            closed=open_edges == 0,
            encloses_volume=open_edges == 0 and full,
            crowded_edges=self.pairing.crowded_edges,
            winding_consistent=self.agreed,
            outward=self.outward,
            open_edges=open_edges,
            bodies=int(np.count_nonzero(~cavity)),
            cavities=int(np.count_nonzero(cavity)),
            degenerate_faces=self.degenerate,
            duplicate_faces=self.duplicates,
            joined_vertices=self.joined,
            mended=tuple(self.mended),
            warnings=(*self.notes, *self.edge_warnings(open_edges, full), *_doubts(shells)),
        )

    def edge_warnings(self, open_edges: int, full: bool) -> list[str]:
        """Say what is wrong with the surface as a whole."""
        found: list[str] = []
        if not self.two_sided:
            found.append("the surface has one side only (a Möbius band); it bounds no solid")
        elif open_edges:
            found.append(
                f"not closed: {open_edges} open edges; volume and sections are not measured "
                "and walls are doubtful; close the mesh where it was drawn"
            )
        elif not full:
            found.append("the surface encloses no volume: a sheet, or doubled onto itself")
        if self.pairing.crowded_edges:
            found.append(
                f"{self.pairing.crowded_edges} edges have more than two triangles: bodies touch "
                "there, or a wall without thickness ends there"
            )
        if self.joined:
            found.append(f"{self.joined} vertices were moved by up to 0.05 mm to close gaps")
        return found


def _doubts(shells: Shells) -> list[str]:
    """Say where material may be counted twice."""
    found: list[str] = []
    nested = shells.closed & (shells.volumes_mm3 > 0) & (shells.depth % 2 == 1)
    if nested.any():
        found.append(
            f"{np.count_nonzero(nested)} bodies lie inside another body: their material is "
            "counted twice"
        )
    if shells.overlapping:
        found.append(
            f"{shells.overlapping} pairs of bodies have overlapping boxes: if the bodies "
            "themselves overlap, material is counted twice"
        )
    if not shells.compared:
        found.append(
            f"{len(shells.volumes_mm3)} shells are too many to tell which lie in which: "
            "material may be counted twice"
        )
    return found


def split_bodies(solid: Solid) -> list[Solid]:
    """Take a solid apart into bodies; a cavity stays with the body around it.

    Bodies inside a cavity of another body are bodies of their own.

    Parameters
    ----------
    solid : Solid

    Returns
    -------
    list of Solid
        In the order of their first triangles; `solid` itself if it is one body.
    """
    label, count = label_shells(solid.opposite)
    if count == 1:
        return [solid]
    shells = measure_shells(solid.vertices_mm, solid.faces, solid.opposite, label, count)
    owner = np.arange(count)
    size = np.abs(shells.volumes_mm3)
    for shell in np.flatnonzero(shells.closed & (shells.volumes_mm3 < 0) & (shells.depth > 0)):
        around = np.flatnonzero(shells.inside[shell] & (shells.volumes_mm3 > 0))
        if len(around):
            owner[shell] = around[np.argmin(size[around])]
    bodies = np.unique(owner)
    if len(bodies) == 1:
        return [solid]
    return [
        _subset(solid, owner[label] == body, f"{solid.name} {number}")
        for number, body in enumerate(bodies, start=1)
    ]


def _subset(solid: Solid, keep: NDArray[np.bool_], name: str) -> Solid:
    """Take the triangles `keep` of a solid: whole shells, so that partners stay together."""
    used, flat = np.unique(solid.faces[keep], return_inverse=True)
    place = np.cumsum(keep, dtype=np.int32) - np.int32(1)
    opposite = solid.opposite.reshape(-1, 3)[keep].ravel()
    opposite = np.where(opposite < 0, OPEN, 3 * place[opposite // 3] + opposite % 3)
    return Solid(
        name=name,
        vertices_mm=solid.vertices_mm[used],
        faces=flat.reshape(-1, 3).astype(np.int32),
        opposite=opposite.astype(np.int32),
    )
