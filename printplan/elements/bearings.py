"""Ball bearings: rating life, equivalent loads, reliability, static safety.

Symbols: C dynamic and C_0 static rating, P equivalent load, F_r radial and F_a axial load.
"""

from __future__ import annotations

import bisect
import math
from collections.abc import Sequence

from printplan.elements.ranges import between, not_negative, positive
from printplan.errors import OutOfRangeError

__all__ = [
    "cubic_mean_load_n",
    "deep_groove_load_n",
    "equivalent_load_n",
    "life_hours",
    "rating_life_mrev",
    "reliability_life_factor",
    "required_rating_n",
    "static_load_n",
    "static_safety_factor",
]

#: (f0 F_a/C0, e, Y) of deep groove bearings with normal clearance, X = 0.56 [memory: ISO 281].
_DEEP_GROOVE = (
    (0.172, 0.19, 2.30), (0.345, 0.22, 1.99), (0.689, 0.26, 1.71), (1.03, 0.28, 1.55),
    (1.38, 0.30, 1.45), (2.07, 0.34, 1.31), (3.45, 0.38, 1.15), (5.17, 0.42, 1.04),
    (6.89, 0.44, 1.00),
)  # fmt: skip
DEEP_GROOVE_X = 0.56
#: (reliability, a1) [memory: ISO 281:2007].
_RELIABILITY = (
    (0.90, 1.00), (0.95, 0.64), (0.96, 0.55), (0.97, 0.47), (0.98, 0.37), (0.99, 0.25),
)  # fmt: skip


def _interpolated(value: float, xs: Sequence[float], ys: Sequence[float]) -> float:
    """Value of the broken line through (xs, ys); the caller has checked the range."""
    right = max(1, bisect.bisect_left(xs, value))
    share = (value - xs[right - 1]) / (xs[right] - xs[right - 1])
    return ys[right - 1] + share * (ys[right] - ys[right - 1])


def rating_life_mrev(
    dynamic_rating_n: float, equivalent_n: float, life_factor: float = 1.0
) -> float:
    """Life of a ball bearing: ``a1 (C/P)^3``. [million revolutions]

    Raises
    ------
    OutOfRangeError
        If a load is not positive, or P is above C/2, where the life equation doesn't hold.

    Sources
    -------
    [memory: ISO 281]  equation and its limit of half the rating
    """
    positive(dynamic_rating_n=dynamic_rating_n, equivalent_n=equivalent_n, life_factor=life_factor)
    between("equivalent_n", equivalent_n, 0.0, dynamic_rating_n / 2, "the bearing is far too small")
    return life_factor * (dynamic_rating_n / equivalent_n) ** 3


def life_hours(life_mrev: float, speed_rpm: float) -> float:
    """Hours that a life in million revolutions lasts at a speed. [h]

    Raises
    ------
    OutOfRangeError
        If a number is not positive.

    Sources
    -------
    derived  units only
    """
    positive(life_mrev=life_mrev, speed_rpm=speed_rpm)
    return 1e6 * life_mrev / (60 * speed_rpm)


def equivalent_load_n(
    radial_n: float,
    axial_n: float,
    *,
    radial_factor: float,
    axial_factor: float,
    ring_factor: float = 1.0,
) -> float:
    """Equivalent dynamic load: ``P = X V F_r + Y F_a``, no less than ``V F_r``. [N]

    V is 1.2 in older books when the outer ring turns, 1 otherwise and in today's standard.

    Raises
    ------
    OutOfRangeError
        If a load or factor is negative.

    Sources
    -------
    [memory: ISO 281]; [source: Jindal, ex. 18-2]  ring factor
    """
    not_negative(
        radial_n=radial_n, axial_n=axial_n, radial_factor=radial_factor, axial_factor=axial_factor
    )
    between("ring_factor", ring_factor, 1.0, 1.2)
    mixed = radial_factor * ring_factor * radial_n + axial_factor * axial_n
    return max(mixed, ring_factor * radial_n)


def deep_groove_load_n(
    radial_n: float, axial_n: float, *, static_rating_n: float, geometry_factor: float
) -> float:
    """Equivalent dynamic load of a deep groove ball bearing. [N]

    ``P = F_r`` up to ``F_a/F_r = e``, else ``0.56 F_r + Y F_a``; e and Y from
    ``f0 F_a/C0``, linearly between the table's entries. `geometry_factor` is f0, about 12 to 16.

    Raises
    ------
    OutOfRangeError
        If a number is out of range, or f0 F_a/C0 is above 6.89: the thrust is too high for the
        bearing. Below 0.172 the first entry, the one with the largest Y, is used.

    Sources
    -------
    [memory: ISO 281]
    """
    not_negative(radial_n=radial_n, axial_n=axial_n)
    positive(static_rating_n=static_rating_n)
    between("geometry_factor", geometry_factor, 5.0, 20.0)
    relative = geometry_factor * axial_n / static_rating_n
    columns = list(zip(*_DEEP_GROOVE, strict=True))
    between("f0 F_a/C0", relative, 0.0, columns[0][-1], "the thrust is too high for this bearing")
    # The smallest e and the largest Y stand in the first row: the safe side below the table.
    relative = max(relative, columns[0][0])
    limit = _interpolated(relative, columns[0], columns[1])
    if axial_n <= limit * radial_n:
        return radial_n
    factor = _interpolated(relative, columns[0], columns[2])
    return equivalent_load_n(radial_n, axial_n, radial_factor=DEEP_GROOVE_X, axial_factor=factor)


def reliability_life_factor(reliability: float) -> float:
    """Life factor a1 for a reliability from 0.90 to 0.99, linear between the table's entries.

    Raises
    ------
    OutOfRangeError
        Outside 0.90 to 0.99.

    Sources
    -------
    [memory: ISO 281:2007]
    """
    between("reliability", reliability, 0.90, 0.99)
    return _interpolated(reliability, *zip(*_RELIABILITY, strict=True))


def required_rating_n(
    equivalent_n: float, life_mrev: float, reliability: float = 0.90, weibull_exponent: float = 1.17
) -> float:
    """Dynamic rating that a life at a reliability asks for: ``P (L/a1)^(1/3)``. [N]

    ``a1 = (ln(1/R)/ln(1/0.9))^(1/e)``, a Weibull distribution of lives with exponent e.

    Raises
    ------
    OutOfRangeError
        If a number is out of range.

    Sources
    -------
    [source: Jindal, ex. 18-7]
    """
    positive(equivalent_n=equivalent_n, life_mrev=life_mrev)
    between("reliability", reliability, 0.5, 0.999)
    between("weibull_exponent", weibull_exponent, 0.9, 2.0)
    share = (math.log(1 / reliability) / math.log(1 / 0.9)) ** (1 / weibull_exponent)
    return float(equivalent_n * (life_mrev / share) ** (1 / 3))


def static_load_n(radial_n: float, axial_n: float) -> float:
    """Equivalent static load of a deep groove bearing: ``max(F_r, 0.6 F_r + 0.5 F_a)``. [N]

    Raises
    ------
    OutOfRangeError
        If a load is negative.

    Sources
    -------
    [memory: ISO 76]
    """
    not_negative(radial_n=radial_n, axial_n=axial_n)
    return max(radial_n, 0.6 * radial_n + 0.5 * axial_n)


def static_safety_factor(static_rating_n: float, static_equivalent_n: float) -> float:
    """Safety factor at rest ``C0/P0``: 1 runs quietly, 1.5 to 2 with shocks.

    Raises
    ------
    OutOfRangeError
        If a load is not positive.

    Sources
    -------
    [memory: ISO 76]
    """
    positive(static_rating_n=static_rating_n, static_equivalent_n=static_equivalent_n)
    return static_rating_n / static_equivalent_n


def cubic_mean_load_n(parts: Sequence[tuple[float, float]]) -> float:
    """Steady load of the same life: ``(sum N_j P_j^3/sum N_j)^(1/3)``. [N]

    Parameters
    ----------
    parts : sequence of (load, revolutions)
        Load [N] and its number or share of revolutions.

    Returns
    -------
    float
        Mean load. [N]

    Raises
    ------
    OutOfRangeError
        If a load or share is negative or no revolution is left.

    Sources
    -------
    [memory: ISO 281]
    """
    for load, share in parts:
        not_negative(load_n=load, revolutions=share)
    total = sum(share for _, share in parts)
    if not total > 0:
        raise OutOfRangeError("sum of revolutions", total, "above 0")
    return float((sum(share * load**3 for load, share in parts) / total) ** (1 / 3))
