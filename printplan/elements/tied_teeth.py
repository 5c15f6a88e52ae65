"""Teeth tied to a web at one or both ends: where the stress goes, and why it earns no credit."""

from __future__ import annotations

import bisect
from typing import Literal

from printplan.elements.ranges import between

__all__ = ["tied_tooth_corner_factor", "tied_tooth_root_factor"]

#: b/h: (root, one end tied; joint, one end; root, both ends; joint, both ends), bending moments
#: over the plain cantilever's. derived: thin-plate Ritz, root clamped, uniform line load at the
#: tip, nu = 0.35.
_TIED = (
    (2.0, (0.90, 1.32, 0.27, 1.02)),
    (3.0, (1.02, 1.30, 0.65, 1.24)),
    (4.0, (1.05, 1.31, 0.87, 1.29)),
    (6.0, (1.06, 1.35, 0.99, 1.34)),
    (8.0, (1.07, 1.35, 1.00, 1.36)),
)


def _read(slenderness: float, column: int) -> float:
    between("face width / tooth height", slenderness, _TIED[0][0], _TIED[-1][0])
    right = max(1, bisect.bisect_left(_TIED, slenderness, key=lambda row: row[0]))
    (low, first), (high, second) = _TIED[right - 1], _TIED[right]
    share = (slenderness - low) / (high - low)
    return first[column] + share * (second[column] - first[column])


def tied_tooth_root_factor(
    face_width_mm: float, tooth_height_mm: float, tied_ends: Literal[1, 2]
) -> float:
    """Peak root moment of a tied tooth over that of the free one; below 1 earns no credit.

    Raises
    ------
    OutOfRangeError
        If face width over height is outside 2 to 8.

    Sources
    -------
    derived  thin plate; real teeth are thick, which weakens the effect
    """
    return _read(face_width_mm / tooth_height_mm, 0 if tied_ends == 1 else 2)


def tied_tooth_corner_factor(
    face_width_mm: float, tooth_height_mm: float, tied_ends: Literal[1, 2]
) -> float:
    """Peak moment at the joint of tooth and web over the root moment of the free tooth.

    Use it as a factor on the Lewis stress to judge that corner, which wants a fillet of 0.3 m.

    Raises
    ------
    OutOfRangeError
        If face width over height is outside 2 to 8.

    Sources
    -------
    derived  thin plate, as above
    """
    return _read(face_width_mm / tooth_height_mm, 1 if tied_ends == 1 else 3)
