"""STL as text: ``facet normal … outer loop vertex … endloop endfacet``.

Any case, any white space, several solids one after the other. The word "solid" and what follows
it (a name, mostly) is skipped up to the next facet. The normals are not even parsed. A file must
end its last solid: else it is cut off, and what is missing nobody knows.
"""

from __future__ import annotations

import math
import re
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from printplan.errors import MeshFileError

__all__ = ["MESSAGES", "parse_text", "parse_text_plainly"]

#: Above this size the compiled scanner is worth its start-up. [bytes]
COMPILED_FROM_BYTES = 1_500_000

#: Shortest text of a triangle, used to bound the memory of the result. [bytes]
SHORTEST_FACET_BYTES = 70

#: Status of the scanners → what is wrong.
MESSAGES: dict[int, str] = {
    1: "ends within a facet or before 'endsolid': cut off",
    2: "expected a finite number",
    3: "expected 'outer loop', three times 'vertex', 'endloop', 'endfacet'",
    4: "unknown word between two facets",
}

_TOKEN = re.compile(rb"\S+")
_NUMBER = re.compile(rb"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?\Z")
_BEFORE = (b"outer", b"loop")
_AFTER = (b"endloop", b"endfacet")


def parse_text(path: Path, data: bytes) -> NDArray[np.float64]:
    """Give the corners, (3 n, 3), of a text STL file.

    Raises
    ------
    MeshFileError
        If the text is not what the module's docstring describes; names the line.
    """
    data = data.removeprefix(b"\xef\xbb\xbf")
    if len(data) < COMPILED_FROM_BYTES:
        corners, status, offset = parse_text_plainly(data)
    else:
        from printplan.part.mesh_kernels import scan_stl_text

        room = np.empty((3 * (len(data) // SHORTEST_FACET_BYTES + 1), 3))
        count, status, offset = scan_stl_text(np.frombuffer(data, dtype=np.uint8), room)
        corners = room[: 3 * count].copy()
    if status:
        line = data.count(b"\n", 0, offset) + 1
        raise MeshFileError(path, f"line {line}: {MESSAGES[status]}", "export or copy it again")
    if not len(corners):
        raise MeshFileError(path, "contains no triangles", "export the part as a mesh again")
    return corners


class _StopScanError(Exception):
    """The text is wrong at `offset`."""

    def __init__(self, status: int, offset: int) -> None:
        super().__init__(status, offset)
        self.status, self.offset = status, offset


class _Tokens:
    """Words one by one, with the place of the last one."""

    def __init__(self, data: bytes) -> None:
        self.data, self.matches = data, _TOKEN.finditer(data)
        self.start = self.end = 0
        self.first_on_line = True

    def next(self) -> bytes:
        """Next word in lower case, empty at the end."""
        match = next(self.matches, None)
        if match is None:
            self.start = self.end = len(self.data)
            return b""
        gap = self.data[self.end : match.start()]
        self.first_on_line = self.end == 0 or b"\n" in gap or b"\r" in gap
        self.start, self.end = match.span()
        return match.group().lower()

    def expect(self, words: tuple[bytes, ...]) -> None:
        for word in words:
            token = self.next()
            if token != word:
                raise _StopScanError(3 if token else 1, self.start)

    def number(self) -> float:
        token = self.next()
        if not token:
            raise _StopScanError(1, self.start)
        value = float(token) if _NUMBER.match(token) else math.nan
        if not math.isfinite(value):
            raise _StopScanError(2, self.start)
        return value


def parse_text_plainly(data: bytes) -> tuple[NDArray[np.float64], int, int]:
    """Scan without compiled code: corners, status (0: well), byte offset of the trouble."""
    tokens, values = _Tokens(data), list[float]()
    ended, named = False, False
    try:
        while word := tokens.next():
            if word == b"facet":
                if tokens.next() != b"normal":
                    if named:  # part of a name
                        continue
                    raise _StopScanError(3, tokens.start)
                ended = named = False
                _read_facet(tokens, values)
            elif word == b"endsolid":
                ended = named = True
            elif word == b"solid" and tokens.first_on_line:
                ended, named = False, True
            elif not named:
                raise _StopScanError(4, tokens.start)
        if not ended:
            raise _StopScanError(1, len(data))
    except _StopScanError as stop:
        return np.empty((0, 3)), stop.status, stop.offset
    return np.array(values).reshape(-1, 3), 0, 0


def _read_facet(tokens: _Tokens, values: list[float]) -> None:
    for _ in range(3):
        tokens.next()
    tokens.expect(_BEFORE)
    for _ in range(3):
        tokens.expect((b"vertex",))
        values.extend((tokens.number(), tokens.number(), tokens.number()))
    tokens.expect(_AFTER)
