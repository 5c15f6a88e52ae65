"""What holds a screw in plastic: cut thread, heat-set insert, captive nut.

Symbols: d thread diameter, L_e engaged length, tau_s shear strength of the plastic.
"""

from __future__ import annotations

import math

from printplan.elements.ranges import between, not_negative, positive
from printplan.errors import OutOfRangeError

__all__ = [
    "captive_nut_floor_shear_mpa",
    "captive_nut_pressure_mpa",
    "insert_pull_out_force_n",
    "screw_strip_force_n",
    "strip_area_mm2",
]


def strip_area_mm2(diameter_mm: float, engaged_mm: float) -> float:
    """Sheared area of a nut thread of ISO profile: ``0.875 pi d L_e``. [mm2]

    Raises
    ------
    OutOfRangeError
        If a size is not positive.

    Sources
    -------
    [memory: VDI 2230]  its exact form gives the same for ISO threads
    """
    positive(diameter_mm=diameter_mm, engaged_mm=engaged_mm)
    return 0.875 * math.pi * diameter_mm * engaged_mm


def screw_strip_force_n(
    diameter_mm: float,
    engaged_mm: float,
    shear_strength_mpa: float,
    printed_share: float = 0.5,
) -> float:
    """Pull that strips a thread in plastic: ``share 0.875 pi d L_e tau_s``. [N]

    A printed thread reaches 0.5 to 0.8 of a full one; length beyond 3 d is refused because the
    first turns carry it all.

    Raises
    ------
    OutOfRangeError
        If a number is out of range.

    Sources
    -------
    [memory: VDI 2230]  area
    [common practice]  printed share; [source: abstract on fastening-site design, Lincoln et al.]
        engagement of 2 to 3 d
    """
    positive(shear_strength_mpa=shear_strength_mpa)
    between("printed_share", printed_share, 0.05, 1.0)
    between("engaged_mm", engaged_mm, 0.0, 3 * diameter_mm, "count at most three diameters")
    return printed_share * strip_area_mm2(diameter_mm, engaged_mm) * shear_strength_mpa


def insert_pull_out_force_n(
    outer_mm: float, length_mm: float, shear_strength_mpa: float, efficiency: float = 0.4
) -> float:
    """Pull that tears a heat-set insert out: ``eta pi d_o L tau_s``, eta 0.4 to 0.7. [N]

    Raises
    ------
    OutOfRangeError
        If a number is out of range.

    Sources
    -------
    [common practice]
    """
    positive(outer_mm=outer_mm, length_mm=length_mm, shear_strength_mpa=shear_strength_mpa)
    between("efficiency", efficiency, 0.05, 1.0)
    return efficiency * math.pi * outer_mm * length_mm * shear_strength_mpa


def captive_nut_pressure_mpa(force_n: float, across_flats_mm: float, hole_mm: float) -> float:
    """Pressure under a hexagon nut in its pocket, over its face less the hole. [MPa]

    Raises
    ------
    OutOfRangeError
        If the nut is not larger than the hole.

    Sources
    -------
    derived  force over area, hexagon ``sqrt(3)/2 s^2``
    """
    not_negative(force_n=force_n)
    positive(across_flats_mm=across_flats_mm, hole_mm=hole_mm)
    if not across_flats_mm > hole_mm:
        raise OutOfRangeError("across_flats_mm", across_flats_mm, f"above the hole {hole_mm:g} mm")
    area = math.sqrt(3) / 2 * across_flats_mm**2 - math.pi / 4 * hole_mm**2
    return force_n / area


def captive_nut_floor_shear_mpa(
    force_n: float, across_flats_mm: float, floor_mm: float, open_sides: int = 0
) -> float:
    """Shear of a nut through the floor of its pocket: force over nut perimeter times floor. [MPa]

    `open_sides` of the six don't count when the pocket is open to insert the nut. The floor
    should be at least as thick as the nut.

    Raises
    ------
    OutOfRangeError
        If a size is not positive or more than three sides are open.

    Sources
    -------
    derived  force over sheared area
    """
    not_negative(force_n=force_n)
    positive(across_flats_mm=across_flats_mm, floor_mm=floor_mm)
    between("open_sides", open_sides, 0, 3)
    side = across_flats_mm / math.sqrt(3)
    return force_n / ((6 - open_sides) * side * floor_mm)
