"""Compiled loops for big meshes. Plain arrays in and out; the caller takes the memory.

Each has a numpy or pure Python twin that is used for small meshes (`reading.stl_text`,
`topology`) and against which it is tested. m is the number of triangles, n of vertices.
"""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

__all__ = ["label_shells", "number_rows", "pair_half_edges", "scan_stl_text"]

OPEN, CROWDED, SAME_WAY = -1, -2, -3


@njit(cache=True, nogil=True, error_model="numpy")
def number_rows(
    words: NDArray[np.uint32],
    seed: np.uint64,
    table: NDArray[np.int32],
    label: NDArray[np.int32],
    first: NDArray[np.int32],
) -> int:
    """Give equal rows the same number, in the order of their first appearance.

    Open addressing with linear probing; rows are compared in full, the hash is never trusted.
    `table` (a power of two long, all -1) holds row numbers, `first` the first row of each number.
    O(rows), 4 bytes a slot. Returns the count, -1 if the table is too full, -2 if probing takes
    too long (a file made to collide).
    """
    rows, width = words.shape
    mask = table.size - 1
    room = min(first.size, table.size * 5 // 8)
    probes_left = 32 * rows + 1024
    count = 0
    for i in range(rows):
        h = seed
        for j in range(width):
            h = (h ^ np.uint64(words[i, j])) * np.uint64(0x9E3779B97F4A7C15)
            h ^= h >> np.uint64(29)
        slot = np.int64((h >> np.uint64(16)) & np.uint64(mask))
        while True:
            k = table[slot]
            if k < 0:
                if count >= room:
                    return -1
                table[slot] = count
                first[count] = i
                label[i] = count
                count += 1
                break
            other = first[k]
            same = True
            for j in range(width):
                if words[i, j] != words[other, j]:
                    same = False
                    break
            if same:
                label[i] = k
                break
            slot = (slot + 1) & mask
            probes_left -= 1
            if probes_left < 0:
                return -2
    return count


@njit(cache=True, nogil=True, error_model="numpy")
def pair_half_edges(
    corners: NDArray[np.int32],
    start: NDArray[np.int32],
    bucket: NDArray[np.int32],
    seen: NDArray[np.int32],
    opposite: NDArray[np.int32],
) -> int:
    """Find for each half-edge the one that runs the other way along the same edge.

    `corners` (3 m) are the flat faces. Half-edges go into buckets by their smaller vertex
    (`start`: n + 2 zeros, `bucket`: 3 m). Within the bucket of v, ``seen[w, 0]`` and
    ``seen[w, 1]`` (n, 2, all -1) hold the places of the first two half-edges that join v and w;
    places only grow, so that entries of earlier buckets are known by being smaller than the
    bucket's start, and no entry is ever compared with all others: a hub of a million spokes costs
    no more than a million ordinary vertices. O(m + n). `opposite` becomes the partner, or OPEN
    (alone), SAME_WAY (two running the same way), CROWDED (three or more). Returns the number of
    crowded edges.
    """
    half_edges = corners.size
    for e in range(half_edges):
        v = corners[e]
        w = corners[e + 1 if e % 3 < 2 else e - 2]
        start[min(v, w) + 2] += 1
    for v in range(2, start.size):
        start[v] += start[v - 1]
    for e in range(half_edges):
        v = corners[e]
        w = corners[e + 1 if e % 3 < 2 else e - 2]
        low = min(v, w)
        bucket[start[low + 1]] = e
        start[low + 1] += 1
    crowded = 0
    for low in range(start.size - 2):
        begin = start[low]
        for place in range(begin, start[low + 1]):
            e = bucket[place]
            v = corners[e]
            w = corners[e + 1 if e % 3 < 2 else e - 2]
            high = max(v, w)
            if seen[high, 0] < begin:
                seen[high, 0] = place
                seen[high, 1] = -1
                opposite[e] = OPEN
                continue
            one = bucket[seen[high, 0]]
            if seen[high, 1] < 0:
                seen[high, 1] = place
                if corners[one] != v:
                    opposite[e] = one
                    opposite[one] = e
                else:
                    opposite[e] = SAME_WAY
                    opposite[one] = SAME_WAY
                continue
            if opposite[one] != CROWDED:
                crowded += 1
                opposite[one] = CROWDED
                opposite[bucket[seen[high, 1]]] = CROWDED
            opposite[e] = CROWDED
    return crowded


@njit(cache=True, nogil=True, error_model="numpy")
def label_shells(opposite: NDArray[np.int32], root: NDArray[np.int32]) -> None:
    """Give each triangle the smallest number among the triangles it hangs together with.

    Union-find with path halving over the paired half-edges. `root` comes in as 0 … m - 1.
    O(m) in practice, no memory beside.
    """
    for e in range(opposite.size):
        if opposite[e] < 0:
            continue
        a = e // 3
        b = opposite[e] // 3
        while root[a] != a:
            root[a] = root[root[a]]
            a = root[a]
        while root[b] != b:
            root[b] = root[root[b]]
            b = root[b]
        if a < b:
            root[b] = a
        else:
            root[a] = b
    for t in range(root.size):
        root[t] = root[root[t]]


@njit(cache=True, nogil=True, error_model="numpy")
def _next_word(data: NDArray[np.uint8], at: int) -> tuple[int, int, bool]:
    """Start and end of the next word, and whether a line break lies before it."""
    new_line = at == 0
    while at < data.size and (data[at] == 32 or 9 <= data[at] <= 13):
        if data[at] == 10 or data[at] == 13:
            new_line = True
        at += 1
    start = at
    while at < data.size and not (data[at] == 32 or 9 <= data[at] <= 13):
        at += 1
    return start, at, new_line


@njit(cache=True, nogil=True, error_model="numpy")
def _is_word(data: NDArray[np.uint8], start: int, end: int, word: NDArray[np.uint8]) -> bool:
    """Compare with a lower-case word, whatever the case of the text."""
    if end - start != word.size:
        return False
    for i in range(word.size):
        c = data[start + i]
        if 65 <= c <= 90:
            c += 32
        if c != word[i]:
            return False
    return True


@njit(cache=True, nogil=True, error_model="numpy")
def _number(data: NDArray[np.uint8], start: int, end: int) -> float:
    """Value of a decimal number, NaN when it is none.

    Up to 15 digits and small powers of ten the result is the nearest double, as mantissa and
    power are exact then; longer numbers are right to about 1e-16 of their size.
    """
    at = start
    sign = 1.0
    if at < end and (data[at] == 43 or data[at] == 45):
        if data[at] == 45:
            sign = -1.0
        at += 1
    mantissa = np.int64(0)
    power = 0
    digits = 0
    after_point = False
    while at < end:
        c = data[at]
        if 48 <= c <= 57:
            digits += 1
            if mantissa < 100_000_000_000_000_000:
                mantissa = mantissa * 10 + np.int64(c - 48)
                if after_point:
                    power -= 1
            elif not after_point:
                power += 1
        elif c == 46 and not after_point:
            after_point = True
        else:
            break
        at += 1
    if digits == 0:
        return np.nan
    if at < end:
        if data[at] != 101 and data[at] != 69:
            return np.nan
        at += 1
        exponent_sign = 1
        if at < end and (data[at] == 43 or data[at] == 45):
            if data[at] == 45:
                exponent_sign = -1
            at += 1
        if at >= end:
            return np.nan
        exponent = 0
        while at < end:
            if not 48 <= data[at] <= 57:
                return np.nan
            if exponent < 10_000:
                exponent = exponent * 10 + int(data[at] - 48)
            at += 1
        power += exponent_sign * exponent
    if mantissa == 0:
        return sign * 0.0
    if power >= 0:
        return sign * (float(mantissa) * 10.0**power)
    return sign * (float(mantissa) / 10.0 ** (-power))


_WORDS = tuple(
    np.frombuffer(word, dtype=np.uint8)
    for word in (
        b"facet",
        b"normal",
        b"outer",
        b"loop",
        b"vertex",
        b"endloop",
        b"endfacet",
        b"solid",
        b"endsolid",
    )
)
_FACET, _NORMAL, _OUTER, _LOOP, _VERTEX, _ENDLOOP, _ENDFACET, _SOLID, _ENDSOLID = _WORDS


@njit(cache=True, nogil=True, error_model="numpy")
def scan_stl_text(data: NDArray[np.uint8], corners: NDArray[np.float64]) -> tuple[int, int, int]:
    """Read the corners of a text STL file; twin of `stl_text.parse_text_plainly`.

    One pass over the bytes, no memory beside `corners`. Returns the number of triangles, the
    status (0: well, else a key of `stl_text.MESSAGES`) and the byte offset of the trouble.
    """
    count = 0
    ended = False
    named = False
    end = 0
    while True:
        start, end, new_line = _next_word(data, end)
        if start == end:
            return (count, 0, 0) if ended else (count, 1, data.size)
        if _is_word(data, start, end, _FACET):
            start, end, new_line = _next_word(data, end)
            if not _is_word(data, start, end, _NORMAL):
                if named:
                    continue
                return count, 3, start
            ended = False
            named = False
            for _ in range(3):
                start, end, new_line = _next_word(data, end)
            for i in range(7):  # outer, loop, thrice "vertex x y z", endloop, endfacet
                if i == 0:
                    word = _OUTER
                elif i == 1:
                    word = _LOOP
                elif i < 5:
                    word = _VERTEX
                elif i == 5:
                    word = _ENDLOOP
                else:
                    word = _ENDFACET
                start, end, new_line = _next_word(data, end)
                if start == end:
                    return count, 1, start
                if not _is_word(data, start, end, word):
                    return count, 3, start
                if 2 <= i < 5:
                    for k in range(3):
                        start, end, new_line = _next_word(data, end)
                        if start == end:
                            return count, 1, start
                        value = _number(data, start, end)
                        if not np.isfinite(value):
                            return count, 2, start
                        corners[3 * count + i - 2, k] = value
            count += 1
        elif _is_word(data, start, end, _ENDSOLID):
            ended = True
            named = True
        elif new_line and _is_word(data, start, end, _SOLID):
            ended = False
            named = True
        elif not named:
            return count, 4, start
