"""Read mesh files. In: a path. Out: one `RawMesh` for each part of the file, checked.

One module per format, registered here. Files are not trusted: sizes are checked before memory is
taken, every count against the bytes that are there, and whatever is wrong becomes one line
(`MeshFileError`). Nothing outside the named file is read and nothing is written.
"""

from __future__ import annotations

import stat
from collections.abc import Callable
from importlib import import_module
from pathlib import Path

from printplan.errors import MeshFileError
from printplan.part.reading.raw import (
    UNIT_MM,
    RawMesh,
    ReadLimits,
    check_raw_mesh,
    unit_mm_of,
)

__all__ = ["FORMATS", "UNIT_MM", "RawMesh", "ReadLimits", "read_meshes", "unit_mm_of"]

#: Suffix → module with ``read(path, size, unit_mm, limits) -> list[RawMesh]``.
FORMATS: dict[str, str] = {
    ".stl": "printplan.part.reading.stl",
    ".3mf": "printplan.part.reading.threemf",
    ".obj": "printplan.part.reading.obj",
    ".ply": "printplan.part.reading.ply",
}

Reader = Callable[[Path, int, float, ReadLimits], list[RawMesh]]


def read_meshes(
    path: str | Path, *, unit: str = "mm", limits: ReadLimits | None = None
) -> list[RawMesh]:
    """Read the parts of a mesh file.

    Parameters
    ----------
    path : str or Path
        File with a suffix of `FORMATS`, in upper or lower case.
    unit : str
        Unit of the file's numbers, a key of `UNIT_MM`. Ignored by formats that state their own.
    limits : ReadLimits, optional
        How much the file may ask for.

    Returns
    -------
    list of RawMesh
        At least one; points still in the file's unit.

    Raises
    ------
    MeshFileError
        If the file can't be read, is damaged, or asks for too much.
    InputError
        If the unit is not known.
    """
    path, limits = Path(path), limits or ReadLimits()
    unit_mm = unit_mm_of(unit)
    module = FORMATS.get(path.suffix.lower())
    if module is None:
        known = ", ".join(FORMATS)
        raise MeshFileError(path, f"unknown kind of file {path.suffix!r}", f"known: {known}")
    try:
        size = _checked_size(path, limits)
        reader: Reader = import_module(module).read
        meshes = reader(path, size, unit_mm, limits)
        return [check_raw_mesh(mesh, limits) for mesh in meshes]
    except OSError as error:
        raise MeshFileError(path, f"can't be read: {error.strerror or error}") from error
    except MemoryError as error:
        raise MeshFileError(path, "does not fit into this computer's memory") from error


def _checked_size(path: Path, limits: ReadLimits) -> int:
    """Size of a regular, non-empty file that is small enough. [bytes]"""
    try:
        status = path.stat()
    except ValueError as error:  # a zero byte in the name
        raise MeshFileError(path, "is not a possible file name") from error
    if stat.S_ISDIR(status.st_mode):
        raise MeshFileError(path, "is a folder", "name the mesh files in it")
    if not stat.S_ISREG(status.st_mode):
        raise MeshFileError(path, "is not an ordinary file")
    if status.st_size == 0:
        raise MeshFileError(path, "is empty")
    if status.st_size > limits.file_bytes:
        raise MeshFileError(
            path,
            f"{status.st_size} bytes, more than the {limits.file_bytes} that are read",
            "export it with a coarser tolerance",
        )
    return status.st_size
