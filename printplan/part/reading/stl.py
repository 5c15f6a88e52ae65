"""STL: triangles without a unit, in binary records or as text.

Binary: 80 bytes of anything, the number of triangles (uint32, little endian), then 50 bytes each:
normal, three corners, 16 bits of anything [common practice]. The normals are ignored: the order
of the corners tells outside from inside. The size decides which kind a file is, since binary
files that begin with the word "solid" are about.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from printplan.errors import MeshFileError
from printplan.part.reading.raw import RawMesh, ReadLimits
from printplan.part.reading.stl_text import parse_text

__all__ = ["read"]

HEADER_BYTES = 84
RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


def read(path: Path, size: int, unit_mm: float, limits: ReadLimits) -> list[RawMesh]:
    """Read an STL file; several solids in a text file are joined."""
    with path.open("rb") as file:
        head = file.read(HEADER_BYTES)
    count = int.from_bytes(head[80:84], "little") if len(head) == HEADER_BYTES else -1
    promised = HEADER_BYTES + RECORD.itemsize * count
    text = head.removeprefix(b"\xef\xbb\xbf").lstrip()[:5].lower() == b"solid"
    notes: tuple[str, ...] = ()
    points: NDArray[np.float32] | NDArray[np.float64]
    if size == promised or not text:
        if size < promised or count < 0:
            raise MeshFileError(path, *_truncated(count, size))
        if size > promised:
            notes = (f"{size - promised} bytes after the last triangle were ignored",)
        _check_count(path, count, limits)
        points = _read_binary(path, count)
    else:
        with path.open("rb") as file:
            data = file.read(limits.file_bytes)
        if b"\0" in data:
            raise MeshFileError(path, *_truncated(count, size))
        points = parse_text(path, data)
        _check_count(path, len(points) // 3, limits)
    return [
        RawMesh(
            path=path,
            name=path.stem,
            format_name="STL",
            points=points,
            faces=None,
            unit_mm=unit_mm,
            notes=notes,
        )
    ]


def _read_binary(path: Path, count: int) -> NDArray[np.float32]:
    records = np.fromfile(path, dtype=RECORD, count=count, offset=HEADER_BYTES)
    if len(records) < count:  # it shrank after its size was taken
        raise MeshFileError(path, f"promises {count} triangles and holds {len(records)}")
    return np.ascontiguousarray(records["corners"], dtype=np.float32).reshape(-1, 3)


def _check_count(path: Path, count: int, limits: ReadLimits) -> None:
    if count > limits.triangles:
        raise MeshFileError(
            path,
            f"{count} triangles, more than the {limits.triangles} that are read",
            "export it with a coarser tolerance",
        )


def _truncated(count: int, size: int) -> tuple[str, str]:
    if count < 0:
        return f"is no STL file: {size} bytes are less than its header", "export it again"
    needed = HEADER_BYTES + RECORD.itemsize * count
    return (
        f"is cut off or damaged: the header promises {count} triangles ({needed} bytes), "
        f"the file has {size} bytes",
        "export or copy it again",
    )
