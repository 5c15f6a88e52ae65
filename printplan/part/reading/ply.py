"""PLY: a text header that declares elements and their properties, then the data.

Text or binary of either byte order, without a unit. Of all elements only ``vertex`` (x, y, z) and
``face`` (the list vertex_indices or vertex_index) count; others are stepped over.
[common practice]
"""

from __future__ import annotations

import struct
from array import array
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Any

import numpy as np
from numpy.typing import NDArray

from printplan.errors import MeshFileError
from printplan.part.reading.polygons import fan
from printplan.part.reading.raw import RawMesh, ReadLimits, bounded_lines, one_of

__all__ = ["read"]

#: Names of number types → numpy's short name.
TYPES: dict[str, str] = {
    "char": "i1",
    "uchar": "u1",
    "short": "i2",
    "ushort": "u2",
    "int": "i4",
    "uint": "u4",
    "float": "f4",
    "double": "f8",
    "int8": "i1",
    "uint8": "u1",
    "int16": "i2",
    "uint16": "u2",
    "int32": "i4",
    "uint32": "u4",
    "float32": "f4",
    "float64": "f8",
}

#: Encoding → byte order; text has none.
ORDERS: dict[str, str] = {"ascii": "", "binary_little_endian": "<", "binary_big_endian": ">"}

INDEX_NAMES = ("vertex_indices", "vertex_index")
HEADER_BYTES = 65536

#: numpy's short name → struct's letter.
LETTERS = {
    "i1": "b",
    "u1": "B",
    "i2": "h",
    "u2": "H",
    "i4": "i",
    "u4": "I",
    "f4": "f",
    "f8": "d",
}


@dataclass(frozen=True)
class _Property:
    name: str
    kind: str
    count_kind: str | None = None  # set: a list, preceded by its length


@dataclass(frozen=True)
class _Element:
    name: str
    count: int
    properties: list[_Property] = field(default_factory=list)

    @property
    def is_fixed(self) -> bool:
        """Whether all records have the same length."""
        return all(p.count_kind is None for p in self.properties)

    @property
    def smallest_bytes(self) -> int:
        """Length of the shortest binary record: lists empty."""
        return sum(int((p.count_kind or p.kind)[1]) for p in self.properties)


@dataclass
class _Found:
    """What has been gathered from the data."""

    points: NDArray[np.float64] | None = None
    corners: NDArray[np.int64] | None = None
    lengths: NDArray[np.int64] | None = None


def read(path: Path, size: int, unit_mm: float, limits: ReadLimits) -> list[RawMesh]:
    """Read a PLY file."""
    with path.open("rb") as file:
        order, elements = _read_header(path, file)
        left = size - file.tell()
        # A text record takes at least one character and a line end for each number.
        smallest = (
            (2 * len(e.properties) * e.count for e in elements)
            if not order
            else (e.smallest_bytes * e.count for e in elements)
        )
        needed = sum(smallest) - (0 if order else 1)
        if needed > left:
            raise MeshFileError(
                path,
                f"is cut off or damaged: the header promises at least {needed} bytes of data, "
                f"{max(left, 0)} follow",
                "export or copy it again",
            )
        found = _Found()
        if order:
            _read_binary(path, file.read(left), order, elements, found)
        else:
            _read_text(path, bounded_lines(path, file, limits), elements, found)
    if found.points is None or found.corners is None or found.lengths is None:
        raise MeshFileError(path, "contains no triangles", "export the part as a mesh again")
    faces, notes = fan(path, found.points, found.corners, found.lengths, limits)
    return [
        RawMesh(
            path=path,
            name=path.stem,
            format_name="PLY",
            points=found.points,
            faces=faces,
            unit_mm=unit_mm,
            notes=notes,
        )
    ]


def _read_header(path: Path, file: IO[bytes]) -> tuple[str, list[_Element]]:
    def next_line() -> list[str]:
        line = file.readline(HEADER_BYTES)
        if not line.endswith(b"\n") or file.tell() > HEADER_BYTES:
            raise MeshFileError(path, "its header does not end: cut off or no PLY file")
        return line.decode("ascii", errors="replace").split()

    if next_line() != ["ply"]:
        raise MeshFileError(path, "does not begin with 'ply'", "check that it is a PLY file")
    order: str | None = None
    elements: list[_Element] = []
    while (words := next_line()) != ["end_header"]:
        match words:
            case ["format", encoding, "1.0"]:
                order = one_of(path, "encoding", encoding, ORDERS)
            case ["element", name, count] if count.isascii() and count.isdigit():
                elements.append(_Element(name, _whole(path, count)))
            case ["property", "list", count_kind, kind, name] if elements:
                count_type = one_of(path, "number type", count_kind, TYPES)
                if count_type[0] == "f":
                    raise MeshFileError(path, f"the length of list {name[:40]!r} is no integer")
                kind = one_of(path, "number type", kind, TYPES)
                elements[-1].properties.append(_Property(name, kind, count_type))
            case ["property", kind, name] if elements:
                kind = one_of(path, "number type", kind, TYPES)
                elements[-1].properties.append(_Property(name, kind))
            case [] | ["comment", *_] | ["obj_info", *_]:
                pass
            case _:
                line = " ".join(words)[:60]
                raise MeshFileError(path, f"unknown line in its header: {line!r}")
    if order is None:
        raise MeshFileError(path, "its header has no line 'format'")
    if len({e.name for e in elements}) < len(elements):
        raise MeshFileError(path, "its header names an element twice")
    for element in elements:
        _check_element(path, element)
    return order, elements


def _whole(path: Path, text: str) -> int:
    if len(text) > 18:
        raise MeshFileError(path, f"promises {text[:20]}… elements: damaged")
    return int(text)


def _check_element(path: Path, element: _Element) -> None:
    names = [p.name for p in element.properties]
    if len(set(names)) < len(names):
        raise MeshFileError(path, f"element {element.name[:40]!r} names a property twice")
    if element.count and not names:
        raise MeshFileError(path, f"element {element.name[:40]!r} has no properties")
    if element.name in ("vertex", "face") and not element.count:
        raise MeshFileError(path, "contains no triangles", "export the part as a mesh again")
    if element.name == "vertex":
        if not element.is_fixed or not {"x", "y", "z"} <= set(names):
            raise MeshFileError(path, "its vertices are not made of the numbers x, y, z")
    elif element.name == "face":
        lists = [p for p in element.properties if p.name in INDEX_NAMES]
        if len(lists) != 1 or lists[0].count_kind is None or lists[0].kind[0] == "f":
            raise MeshFileError(path, "its faces have no list 'vertex_indices' of integers")


def _read_binary(
    path: Path, data: bytes, order: str, elements: list[_Element], found: _Found
) -> None:
    at = 0
    for element in elements:
        if element.name == "vertex":
            kinds: list[tuple[str, str]] = [(p.name, order + p.kind) for p in element.properties]
            _demand(path, data, at + element.smallest_bytes * element.count)
            records = np.frombuffer(data, np.dtype(kinds), element.count, at)
            found.points = np.stack([records[k].astype(np.float64) for k in "xyz"], axis=1)
            at += element.smallest_bytes * element.count
        elif element.is_fixed or not element.count:
            at += element.smallest_bytes * element.count
        else:
            even = _read_even_lists(data, at, order, element)
            if even is None:
                even = _read_uneven_lists(path, data, at, order, element)
            at, corners, lengths = even
            if element.name == "face":
                found.corners, found.lengths = corners, lengths


def _demand(path: Path, data: bytes, end: int) -> None:
    if end > len(data):
        raise MeshFileError(path, "ends within its data: cut off", "export or copy it again")


def _read_even_lists(
    data: bytes, at: int, order: str, element: _Element
) -> tuple[int, NDArray[np.int64], NDArray[np.int64]] | None:
    """Read all records at once if their lists are as long as those of the first one."""
    kinds: list[Any] = []
    first = at
    for i, p in enumerate(element.properties):
        if p.count_kind is None:
            kinds.append((f"p{i}", order + p.kind))
            first += int(p.kind[1])
            continue
        width = int(p.count_kind[1])
        if first + width > len(data):
            return None
        length = int(np.frombuffer(data, order + p.count_kind, 1, first)[0])
        if not 0 <= length <= 64:
            return None
        kinds += [(f"n{i}", order + p.count_kind), (f"p{i}", order + p.kind, (length,))]
        first += width + length * int(p.kind[1])
    record = np.dtype(kinds)
    if at + record.itemsize * element.count > len(data):
        return None
    records = np.frombuffer(data, record, element.count, at)
    for i, p in enumerate(element.properties):
        if p.count_kind is not None and (records[f"n{i}"] != records[f"n{i}"][0]).any():
            return None
    at += record.itemsize * element.count
    for i, p in enumerate(element.properties):
        if p.name in INDEX_NAMES:
            lists = records[f"p{i}"].astype(np.int64)
            return at, lists.ravel(), np.full(len(lists), lists.shape[1])
    return at, np.empty(0, np.int64), np.empty(0, np.int64)


def _read_uneven_lists(
    path: Path, data: bytes, at: int, order: str, element: _Element
) -> tuple[int, NDArray[np.int64], NDArray[np.int64]]:
    """Step through the records one by one."""
    corners, lengths = array("q"), array("q")
    steps = [
        (
            struct.Struct(order + LETTERS[p.count_kind]) if p.count_kind else None,
            int(p.kind[1]),
            order + "{}" + LETTERS[p.kind],
            p.name in INDEX_NAMES,
        )
        for p in element.properties
    ]
    for _ in range(element.count):
        for count_struct, width, pattern, wanted in steps:
            length = 1
            if count_struct is not None:
                _demand(path, data, at + count_struct.size)
                length = count_struct.unpack_from(data, at)[0]
                at += count_struct.size
                if length < 0:
                    raise MeshFileError(path, "a list has a negative length: damaged")
            _demand(path, data, at + length * width)
            if wanted:
                corners.extend(struct.unpack_from(pattern.format(length), data, at))
                lengths.append(length)
            at += length * width
    return at, np.array(corners, dtype=np.int64), np.array(lengths, dtype=np.int64)


def _read_text(path: Path, lines: Iterator[bytes], elements: list[_Element], found: _Found) -> None:
    coordinates, corners, lengths = array("d"), array("q"), array("q")
    for element in elements:
        places = [i for name in "xyz" for i, p in enumerate(element.properties) if p.name == name]
        for record in range(element.count):
            words = next(lines, b"").split()
            if not words:
                raise MeshFileError(path, "ends within its data: cut off", "export it again")
            try:
                if element.name == "vertex":
                    if len(words) != len(element.properties):
                        raise ValueError
                    coordinates.extend(float(words[i]) for i in places)
                elif element.name == "face":
                    _read_text_face(words, element, corners, lengths)
            except (ValueError, IndexError, OverflowError) as error:
                raise MeshFileError(
                    path, f"{element.name} {record}: its line does not fit the header"
                ) from error
        if element.name == "vertex":
            found.points = np.array(coordinates).reshape(-1, 3)
        elif element.name == "face":
            found.corners, found.lengths = np.array(corners), np.array(lengths)


def _read_text_face(
    words: list[bytes], element: _Element, corners: array[int], lengths: array[int]
) -> None:
    at = 0
    for p in element.properties:
        length = 1
        if p.count_kind is not None:
            length = int(words[at])
            at += 1
        if length < 0 or at + length > len(words):
            raise ValueError
        if p.name in INDEX_NAMES:
            corners.extend(map(int, words[at : at + length]))
            lengths.append(length)
        at += length
    if at != len(words):
        raise ValueError
