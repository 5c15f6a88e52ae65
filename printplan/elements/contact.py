"""Path of contact and contact ratio of spur pairs and of the virtual pair of bevel gears.

Symbols: r pitch, r_a tip and r_b base radius, alpha pressure angle, m module, z teeth.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.elements.bevel import BevelPair
from printplan.elements.ranges import between, positive

__all__ = ["PathOfContact", "path_of_contact", "virtual_contact"]

SMALLEST_CONTACT_RATIO = 1.2


@dataclass(frozen=True, kw_only=True)
class PathOfContact:
    """Path of contact of a spur pair, or of the virtual pair of bevel gears.

    Attributes
    ----------
    approach_mm, recess_mm : float
        The parts before and after the pitch point, with the first gear driving. [mm]
    arc_mm : float
        Arc of contact on the pitch circle. [mm]
    contact_ratio : float
        Teeth in contact on average.
    interference : bool
        Whether a tip reaches below the partner's base circle. The lengths are then cut off at
        the interference point, because contact beyond it isn't that of involutes.
    warnings : tuple of str
        What the reader must know.
    """

    approach_mm: float
    recess_mm: float
    arc_mm: float
    contact_ratio: float
    interference: bool
    warnings: tuple[str, ...] = ()


def path_of_contact(
    *,
    driver_teeth: float,
    driven_teeth: float,
    module_mm: float,
    driver_addendum_mm: float,
    driven_addendum_mm: float,
    pressure_angle_deg: float = 20.0,
) -> PathOfContact:
    """Path of contact of a spur pair at the standard centre distance.

    ``eps = [sqrt(ra1^2 - rb1^2) + sqrt(ra2^2 - rb2^2) - (r1 + r2) sin alpha]/(pi m cos alpha)``,
    each part no longer than the partner's ``r sin alpha`` (interference point).

    Raises
    ------
    OutOfRangeError
        If a number is not positive or the pressure angle is out of range.

    Sources
    -------
    [memory: standard gear theory]  path and ratio
    derived  the cut at the interference point
    """
    positive(
        driver_teeth=driver_teeth,
        driven_teeth=driven_teeth,
        module_mm=module_mm,
        driver_addendum_mm=driver_addendum_mm,
        driven_addendum_mm=driven_addendum_mm,
    )
    between("pressure_angle_deg", pressure_angle_deg, 10.0, 35.0)
    alpha = math.radians(pressure_angle_deg)
    r1, r2 = driver_teeth * module_mm / 2, driven_teeth * module_mm / 2

    def beyond_pitch_point(radius: float, addendum: float) -> float:
        tip, base = radius + addendum, radius * math.cos(alpha)
        return math.sqrt(tip**2 - base**2) - radius * math.sin(alpha)

    approach, recess = (
        beyond_pitch_point(r2, driven_addendum_mm),
        beyond_pitch_point(r1, driver_addendum_mm),
    )
    limits = r1 * math.sin(alpha), r2 * math.sin(alpha)
    interference = approach > limits[0] or recess > limits[1]
    approach, recess = min(approach, limits[0]), min(recess, limits[1])
    arc = (approach + recess) / math.cos(alpha)
    ratio = arc / (math.pi * module_mm)
    warnings = []
    if interference:
        warnings.append(
            "tips reach below the partner's base circle: the contact ratio counts only true "
            "involute contact; shift the profiles or give more teeth"
        )
    if ratio < SMALLEST_CONTACT_RATIO:
        warnings.append(f"contact ratio {ratio:.2f} is below {SMALLEST_CONTACT_RATIO}: runs rough")
    return PathOfContact(
        approach_mm=approach,
        recess_mm=recess,
        arc_mm=arc,
        contact_ratio=ratio,
        interference=interference,
        warnings=tuple(warnings),
    )


def virtual_contact(pair: BevelPair, profile_shift: float = 0.0) -> PathOfContact:
    """Path of contact of the virtual spur pair at the mean section.

    `profile_shift` is added to the first member's addendum and taken from the second's, in
    modules, so that the working pitch cones stay where they are.

    Raises
    ------
    OutOfRangeError
        If the shift is beyond +-0.9.

    Sources
    -------
    [memory: standard gear theory]  virtual pair of z/cos d teeth with the mean module
    """
    between("profile_shift", profile_shift, -0.9, 0.9)
    return path_of_contact(
        driver_teeth=pair.pinion.virtual_teeth,
        driven_teeth=pair.gear.virtual_teeth,
        module_mm=pair.mean_module_mm,
        driver_addendum_mm=pair.mean_module_mm * (1 + profile_shift),
        driven_addendum_mm=pair.mean_module_mm * (1 - profile_shift),
        pressure_angle_deg=pair.pressure_angle_deg,
    )
