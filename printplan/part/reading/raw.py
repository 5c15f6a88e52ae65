"""What a reader hands on: the points and triangles of a file, checked but not yet joined."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

import numpy as np
from numpy.typing import NDArray

from printplan.errors import InputError, MeshFileError, nearest

__all__ = [
    "UNIT_MM",
    "RawMesh",
    "ReadLimits",
    "bounded_lines",
    "check_raw_mesh",
    "one_of",
    "unit_mm_of",
]

#: Length units and their size. [mm] The inch is 25.4 mm and the foot 304.8 mm by definition
#: (international yard, 1959) [memory: international yard and pound agreement].
UNIT_MM: dict[str, float] = {
    "micron": 1e-3,
    "um": 1e-3,
    "mm": 1.0,
    "millimeter": 1.0,
    "cm": 10.0,
    "centimeter": 10.0,
    "m": 1000.0,
    "meter": 1000.0,
    "in": 25.4,
    "inch": 25.4,
    "ft": 304.8,
    "foot": 304.8,
}


@dataclass(frozen=True, kw_only=True)
class ReadLimits:
    """How much a file may ask for before it is refused. The defaults suit a desk computer.

    Attributes
    ----------
    file_bytes : int
        Largest file. [bytes]
    triangles : int
        Most triangles in a file, after its components have been put in their places.
    xml_bytes : int
        Largest inflated XML of a package. [bytes]
    inflation : float
        Largest ratio of inflated to packed size, asked of entries above 16 MiB. Real models
        reach 5 to 30.
    directory_bytes : int
        Largest list of entries in a package; 4 MiB hold some 60,000 names. [bytes]
    component_depth : int
        How deep components may hold components.
    instances : int
        Most placed copies of objects in one package.
    line_bytes : int
        Longest line of a text format, longest single token of an XML file. [bytes]
    coordinate_mm : float
        Largest distance of a point from the origin along an axis. [mm]
    """

    file_bytes: int = 2 * 1024**3
    triangles: int = 50_000_000
    xml_bytes: int = 2 * 1024**3
    inflation: float = 200.0
    directory_bytes: int = 4 * 1024**2
    component_depth: int = 16
    instances: int = 100_000
    line_bytes: int = 8 * 1024**2
    coordinate_mm: float = 1e7


@dataclass(frozen=True, kw_only=True, eq=False)
class RawMesh:
    """One part as its file gives it.

    Attributes
    ----------
    path : Path
        The file.
    name : str
        The file's stem, or the object's name in the file.
    format_name : str
        "STL", "3MF", "OBJ" or "PLY".
    points : (n, 3) float32 or float64
        Points in the file's unit.
    faces : (m, 3) int32, optional
        Point numbers of each triangle. None: three successive points make a triangle.
    unit_mm : float
        Size of the file's unit. [mm]
    unit_stated : bool
        Whether the file itself states its unit.
    notes : tuple of str
        What the reader had to decide.
    """

    path: Path
    name: str
    format_name: str
    points: NDArray[np.float32] | NDArray[np.float64]
    faces: NDArray[np.int32] | None
    unit_mm: float
    unit_stated: bool = False
    notes: tuple[str, ...] = ()

    @property
    def triangle_count(self) -> int:
        """Number of triangles as found in the file."""
        return len(self.points) // 3 if self.faces is None else len(self.faces)


def unit_mm_of(unit: str) -> float:
    """Size of a unit of length. [mm]

    Raises
    ------
    InputError
        If the unit is not in `UNIT_MM`.
    """
    size = UNIT_MM.get(unit.strip().lower())
    if size is None:
        near = nearest(unit, UNIT_MM)
        hint = f"did you mean {near!r}?" if near else "known: " + ", ".join(UNIT_MM)
        raise InputError(f"unit {unit[:40]!r} is not known; {hint}")
    return size


def one_of(path: Path, what: str, value: str, known: dict[str, Any]) -> Any:
    """Look `value` up in `known`, or say that the file is damaged there."""
    if value not in known:
        raise MeshFileError(path, f"unknown {what} {value[:40]!r}; known: {', '.join(known)}")
    return known[value]


def bounded_lines(path: Path, file: IO[bytes], limits: ReadLimits) -> Iterator[bytes]:
    """Yield the lines of a text file; refuse one too long to be real."""
    while line := file.readline(limits.line_bytes):
        if len(line) == limits.line_bytes:
            raise MeshFileError(path, f"a line is longer than {limits.line_bytes} bytes")
        yield line


def check_raw_mesh(mesh: RawMesh, limits: ReadLimits) -> RawMesh:
    """Refuse points that are no numbers or absurdly far away, and point numbers out of range.

    Raises
    ------
    MeshFileError
        If anything of that kind is found.
    """
    path, count = mesh.path, len(mesh.points)
    if mesh.triangle_count == 0:
        raise MeshFileError(path, "contains no triangles", "export the part as a mesh again")
    if mesh.triangle_count > limits.triangles:
        raise MeshFileError(
            path,
            f"{mesh.triangle_count} triangles, more than the {limits.triangles} that are read",
            "export it with a coarser tolerance",
        )
    if mesh.faces is not None and count:
        low, high = int(mesh.faces.min()), int(mesh.faces.max())
        if low < 0 or high >= count:
            bad = low if low < 0 else high
            raise MeshFileError(path, f"a triangle names point {bad}, but there are {count}")
    elif mesh.faces is not None:
        raise MeshFileError(path, "contains triangles but no points")
    lowest, highest = mesh.points.min(axis=0), mesh.points.max(axis=0)  # NaN passes through
    if not (np.isfinite(lowest).all() and np.isfinite(highest).all()):
        row = int(np.flatnonzero(~np.isfinite(mesh.points).all(axis=1))[0])
        raise MeshFileError(path, f"point {row} has a coordinate that is not a finite number")
    farthest = mesh.unit_mm * float(max(np.abs(lowest).max(), np.abs(highest).max()))
    if farthest > limits.coordinate_mm:
        raise MeshFileError(
            path,
            f"a coordinate of {farthest:.3g} mm: more than {limits.coordinate_mm:.0e} mm",
            "check the unit",
        )
    return mesh
