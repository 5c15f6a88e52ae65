"""The one mesh type that the rest of the program knows."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

__all__ = ["Solid"]


@dataclass(frozen=True, kw_only=True, eq=False)
class Solid:
    """Triangles with shared corners and paired edges.

    Half-edge ``3 * t + k`` runs from corner ``k`` to corner ``k + 1`` of triangle ``t``.

    Attributes
    ----------
    name : str
        What the user calls it: the file's stem, or the object's name in the file.
    vertices_mm : (n, 3) float64
        Corners, each place once. [mm]
    faces : (m, 3) int32
        Corner numbers of each triangle, counter-clockwise seen from outside.
    opposite : (3 * m,) int32
        For each half-edge the half-edge running the other way, -1 where there is none.
    """

    name: str
    vertices_mm: NDArray[np.float64]
    faces: NDArray[np.int32]
    opposite: NDArray[np.int32]

    def __post_init__(self) -> None:
        for array in (self.vertices_mm, self.faces, self.opposite):
            array.flags.writeable = False

    @property
    def closed(self) -> bool:
        """Whether every edge has its partner: only then volume and sections mean something."""
        return bool(len(self.opposite)) and not bool((self.opposite < 0).any())

    @cached_property
    def box_mm(self) -> NDArray[np.float64]:
        """(2, 3) lowest and highest coordinates. [mm]"""
        return np.array([self.vertices_mm.min(axis=0), self.vertices_mm.max(axis=0)])

    def turned(self, rotation: NDArray[np.float64]) -> Solid:
        """Return a copy turned by the (3, 3) `rotation` (no mirror: determinant +1)."""
        return Solid(
            name=self.name,
            vertices_mm=self.vertices_mm @ np.asarray(rotation, dtype=np.float64).T,
            faces=self.faces.copy(),
            opposite=self.opposite.copy(),
        )
