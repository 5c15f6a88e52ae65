"""OBJ: lines ``v x y z`` and ``f i j k …``, without a unit.

Point numbers start at 1 and count backwards when negative; what follows a slash (texture, normal)
is ignored, as are groups, names and materials: one file is one part. A backslash continues a
line. [common practice]
"""

from __future__ import annotations

from array import array
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from printplan.errors import MeshFileError
from printplan.part.reading.polygons import fan
from printplan.part.reading.raw import RawMesh, ReadLimits, bounded_lines

__all__ = ["read"]

#: Free-form surfaces: not triangles, and silently leaving them out would be wrong.
FREE_FORM = {b"curv", b"curv2", b"surf", b"bzp", b"bsp"}


def read(path: Path, size: int, unit_mm: float, limits: ReadLimits) -> list[RawMesh]:
    """Read an OBJ file; `size` needs no further check, since every number takes bytes."""
    coordinates, corners, lengths = array("d"), array("q"), array("q")
    count = 0
    for number, line in enumerate(_joined_lines(path, limits), start=1):
        words = line.split()
        if not words:
            continue
        kind = words[0]
        try:
            if kind == b"v":
                x, y, z = words[1:4]
                coordinates.extend((float(x), float(y), float(z)))
                count += 1
            elif kind == b"f":
                for word in words[1:]:
                    corner = int(word.split(b"/", 1)[0])
                    if corner == 0:
                        raise MeshFileError(path, f"line {number}: point numbers start at 1")
                    corners.append(corner - 1 if corner > 0 else count + corner)
                lengths.append(len(words) - 1)
            elif kind in FREE_FORM:
                raise MeshFileError(
                    path,
                    f"line {number}: contains free-form surfaces ({kind.decode()})",
                    "export the part as triangles",
                )
        except (ValueError, OverflowError) as error:
            if isinstance(error, MeshFileError):
                raise
            what = "three numbers" if kind == b"v" else "whole point numbers"
            raise MeshFileError(path, f"line {number}: expected {what}") from error
    if not count or not lengths:
        raise MeshFileError(path, "contains no triangles", "export the part as a mesh again")
    points = np.array(coordinates).reshape(-1, 3)
    faces, notes = fan(path, points, np.array(corners), np.array(lengths), limits)
    return [
        RawMesh(
            path=path,
            name=path.stem,
            format_name="OBJ",
            points=points,
            faces=faces,
            unit_mm=unit_mm,
            notes=notes,
        )
    ]


def _joined_lines(path: Path, limits: ReadLimits) -> Iterator[bytes]:
    """Lines with their continuations; text without a zero byte."""
    held: list[bytes] = []
    length = 0
    with path.open("rb") as file:
        for line in bounded_lines(path, file, limits):
            if b"\0" in line:
                raise MeshFileError(path, "is no text file, though its name ends in .obj")
            if line.endswith((b"\\\n", b"\\\r\n")):
                held.append(line.rstrip(b"\\\r\n"))
                length += len(line)
                if length > limits.line_bytes:
                    raise MeshFileError(path, f"a line is longer than {limits.line_bytes} bytes")
                continue
            if held:
                line = b" ".join([*held, line])
                held, length = [], 0
            yield line
    if held:
        raise MeshFileError(path, "ends within a continued line: cut off")
