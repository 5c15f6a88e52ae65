"""Bending of metal straight bevel teeth by the AGMA method: the yardstick beside plastic ones.

Inputs are SI; the size and mounting factors were fitted in inches and are converted inside.
"""

from __future__ import annotations

import math

from printplan.elements.ranges import between, not_negative, positive
from printplan.errors import OutOfRangeError

__all__ = [
    "agma_bevel_root_stress_mpa",
    "agma_life_factor",
    "agma_mounting_factor",
    "agma_reliability_factor",
    "agma_size_factor",
    "agma_velocity_factor",
]

MM_PER_INCH = 25.4
FEET_PER_MINUTE_M_S = 0.3048 / 60
#: K_mb for no gear / one gear / both gears held on both sides [source: Shigley-15].
MOUNTING = (1.25, 1.10, 1.00)


def agma_velocity_factor(speed_m_s: float, quality: float) -> float:
    """Dynamic factor ``K_v = ((A + sqrt V)/A)^B``, V in feet per minute.

    ``B = 0.25 (12 - Q_v)^(2/3)``, ``A = 50 + 56 (1 - B)``; printed gears are about Q_v 3 to 5.

    Raises
    ------
    OutOfRangeError
        If the quality is outside 3 to 11 or the speed outside 0 to 25 m/s.

    Sources
    -------
    [source: Shigley-15]
    [common practice]  quality of printed gears
    """
    between("quality", quality, 3.0, 11.0)
    between("speed_m_s", speed_m_s, 0.0, 25.0)
    exponent = 0.25 * (12 - quality) ** (2 / 3)
    base = 50 + 56 * (1 - exponent)
    return float((1 + math.sqrt(speed_m_s / FEET_PER_MINUTE_M_S) / base) ** exponent)


def agma_size_factor(outer_module_mm: float) -> float:
    """Size factor ``K_s = 0.4867 + 0.2132/P_d``, 0.5 for P_d above 16 per inch.

    Raises
    ------
    OutOfRangeError
        If the module is not positive or above 50 mm.

    Sources
    -------
    [source: Shigley-15]
    """
    positive(outer_module_mm=outer_module_mm)
    between("outer_module_mm", outer_module_mm, 0.0, 50.0)
    pitch = MM_PER_INCH / outer_module_mm
    return 0.5 if pitch > 16 else 0.4867 + 0.2132 / pitch


def agma_mounting_factor(face_width_mm: float, gears_held_both_sides: int) -> float:
    """Load distribution ``K_m = K_mb + 0.0036 b^2``, b in inches.

    K_mb is 1.25 with no gear of the pair held on both sides, 1.10 with one, 1.00 with both.
    Printed gears on plain bores: no gear, or worse.

    Raises
    ------
    OutOfRangeError
        If the face width is not positive or the count is not 0, 1 or 2.

    Sources
    -------
    [source: Shigley-15]
    """
    positive(face_width_mm=face_width_mm)
    if gears_held_both_sides not in (0, 1, 2):
        raise OutOfRangeError("gears_held_both_sides", gears_held_both_sides, "0, 1 or 2")
    return MOUNTING[gears_held_both_sides] + 0.0036 * (face_width_mm / MM_PER_INCH) ** 2


def agma_bevel_root_stress_mpa(
    outer_tangential_n: float,
    *,
    face_width_mm: float,
    outer_module_mm: float,
    geometry_factor: float,
    overload_factor: float = 1.0,
    velocity_factor: float = 1.0,
    size_factor: float = 1.0,
    mounting_factor: float = 1.0,
) -> float:
    """Root stress ``(W_t/b)(1/m_e) K_o K_v K_s K_m/(K_x J)`` of straight teeth (K_x = 1). [MPa]

    `outer_tangential_n` acts at the large end; J is `geometry_factor`.

    Raises
    ------
    OutOfRangeError
        If a size is not positive, the force negative or J outside 0.1 to 0.6.

    Sources
    -------
    [source: Shigley-15]
    """
    not_negative(outer_tangential_n=outer_tangential_n)
    positive(
        face_width_mm=face_width_mm,
        outer_module_mm=outer_module_mm,
        overload_factor=overload_factor,
        velocity_factor=velocity_factor,
        size_factor=size_factor,
        mounting_factor=mounting_factor,
    )
    between("geometry_factor", geometry_factor, 0.1, 0.6)
    factors = overload_factor * velocity_factor * size_factor * mounting_factor
    return outer_tangential_n / (face_width_mm * outer_module_mm) * factors / geometry_factor


def agma_reliability_factor(reliability: float) -> float:
    """Reliability factor ``K_R = 0.50 - 0.25 log10(1 - R)``, from 0.99 to 0.999.

    Raises
    ------
    OutOfRangeError
        Outside that range.

    Sources
    -------
    [source: Shigley-15]
    """
    between("reliability", reliability, 0.99, 0.999)
    return 0.50 - 0.25 * math.log10(1 - reliability)


def agma_life_factor(cycles: float) -> float:
    """Life factor of steel ``K_L = 1.683 N^-0.0323``; 1.0 at ten million cycles.

    Raises
    ------
    OutOfRangeError
        Outside 3e6 to 1e10 cycles, where this branch of the curve doesn't hold.

    Sources
    -------
    [source: Shigley-15]  formula
    [memory: Shigley 15]  its lower end at 3e6
    """
    between("cycles", cycles, 3e6, 1e10)
    return float(1.683 * cycles**-0.0323)
