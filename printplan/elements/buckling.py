"""Buckling of struts, flat walls and thin tubes.

Symbols: A area, I second moment, l length, K end factor, SR = K l/sqrt(I/A) slenderness, E modulus,
S_y yield strength, t wall thickness, b wall width, R radius.
"""

from __future__ import annotations

import math
from typing import Literal

from printplan.elements.ranges import between, positive
from printplan.errors import UnknownNameError

__all__ = [
    "euler_load_n",
    "limit_slenderness",
    "slenderness",
    "strut_load_n",
    "tube_buckling_stress_mpa",
    "wall_buckling_stress_mpa",
]

#: k of a long plate by its long edges [memory: standard].
_EDGES = {"both": 4.0, "one free": 0.43}


def slenderness(
    length_mm: float, area_mm2: float, inertia_mm4: float, end_factor: float = 1.0
) -> float:
    """Slenderness ratio ``K l/sqrt(I/A)``.

    Raises
    ------
    OutOfRangeError
        If a size is not positive, or K outside 0.5 (both ends held) to 2.5 (2 is one end free).

    Sources
    -------
    [memory: standard]
    """
    positive(length_mm=length_mm, area_mm2=area_mm2, inertia_mm4=inertia_mm4)
    between("end_factor", end_factor, 0.5, 2.5)
    return end_factor * length_mm / math.sqrt(inertia_mm4 / area_mm2)


def limit_slenderness(modulus_mpa: float, yield_mpa: float) -> float:
    """Slenderness above which Euler's load holds: ``C_c = sqrt(2 pi^2 E/S_y)``.

    Raises
    ------
    OutOfRangeError
        If modulus or strength are not positive.

    Sources
    -------
    [source: Wentzell, ex. 3.6]
    """
    positive(modulus_mpa=modulus_mpa, yield_mpa=yield_mpa)
    return math.sqrt(2 * math.pi**2 * modulus_mpa / yield_mpa)


def euler_load_n(
    length_mm: float, modulus_mpa: float, inertia_mm4: float, end_factor: float = 1.0
) -> float:
    """Buckling load of a slender strut: ``pi^2 E I/(K l)^2``. [N]

    Raises
    ------
    OutOfRangeError
        If a number is out of range.

    Sources
    -------
    [source: Wentzell, ex. 3.5]
    """
    positive(length_mm=length_mm, modulus_mpa=modulus_mpa, inertia_mm4=inertia_mm4)
    between("end_factor", end_factor, 0.5, 2.5)
    return math.pi**2 * modulus_mpa * inertia_mm4 / (end_factor * length_mm) ** 2


def strut_load_n(
    *,
    length_mm: float,
    area_mm2: float,
    inertia_mm4: float,
    modulus_mpa: float,
    yield_mpa: float,
    end_factor: float = 1.0,
) -> float:
    """Buckling load of any straight strut, no safety factor in it. [N]

    Euler above C_c, Johnson ``A S_y (1 - S_y SR^2/(4 pi^2 E))`` below. Under a load that stands,
    take the creep modulus.

    Raises
    ------
    OutOfRangeError
        If a number is out of range.

    Sources
    -------
    [source: Wentzell, ex. 3.5, 3.6]
    """
    ratio = slenderness(length_mm, area_mm2, inertia_mm4, end_factor)
    if ratio >= limit_slenderness(modulus_mpa, yield_mpa):
        return euler_load_n(length_mm, modulus_mpa, inertia_mm4, end_factor)
    return area_mm2 * yield_mpa * (1 - yield_mpa * ratio**2 / (4 * math.pi**2 * modulus_mpa))


def wall_buckling_stress_mpa(
    thickness_mm: float,
    width_mm: float,
    *,
    held: Literal["both", "one free"],
    modulus_mpa: float,
    poisson: float,
) -> float:
    """Stress at which a long flat wall buckles: ``k pi^2 E/(12 (1 - nu^2)) (t/b)^2``. [MPa]

    k = 4 with both long edges held, 0.43 with one free: a bare flange wants a lip.

    Raises
    ------
    OutOfRangeError
        If a number is out of range, or the wall is thicker than a quarter of its width.
    UnknownNameError
        For another way of holding.

    Sources
    -------
    [memory: standard]
    """
    if held not in _EDGES:
        raise UnknownNameError("held edges", held, _EDGES)
    positive(thickness_mm=thickness_mm, width_mm=width_mm, modulus_mpa=modulus_mpa)
    between("poisson", poisson, 0.0, 0.5)
    between("thickness / width", thickness_mm / width_mm, 0.0, 0.25, "too stout to buckle")
    plate = math.pi**2 * modulus_mpa / (12 * (1 - poisson**2))
    return _EDGES[held] * plate * (thickness_mm / width_mm) ** 2


def tube_buckling_stress_mpa(
    thickness_mm: float, radius_mm: float, modulus_mpa: float, knock_down: float = 0.3
) -> float:
    """Stress at which a thin round tube buckles when pushed: ``f 0.605 E t/R``. [MPa]

    Real tubes reach f = 0.3 to 0.5 of the ideal value; f = 1 is the ideal one.

    Raises
    ------
    OutOfRangeError
        If a number is out of range, or the wall is thicker than a fifth of the radius.

    Sources
    -------
    [memory: standard]
    """
    positive(thickness_mm=thickness_mm, radius_mm=radius_mm, modulus_mpa=modulus_mpa)
    between("thickness / radius", thickness_mm / radius_mm, 0.0, 0.2, "too stout to buckle")
    between("knock_down", knock_down, 0.05, 1.0)
    return knock_down * 0.605 * modulus_mpa * thickness_mm / radius_mm
