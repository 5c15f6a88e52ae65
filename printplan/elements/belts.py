"""Printed pulleys for toothed belts: teeth in mesh, force on a tooth, shear of its root.

Symbols: z teeth, p pitch, d pitch diameter, T torque, F_e effective force, z_m teeth in mesh.
"""

from __future__ import annotations

import math

from printplan.elements.ranges import between, not_negative, positive
from printplan.errors import OutOfRangeError

__all__ = [
    "belt_tooth_capacity_factor",
    "effective_force_n",
    "pulley_pitch_diameter_mm",
    "pulley_tooth_force_n",
    "pulley_tooth_shear_mpa",
    "teeth_in_mesh",
]

#: Teeth that share the force on a printed pulley, whose pitch is never quite that of the belt.
SHARING_TEETH = 2
#: Share of a belt's rated tooth load with few teeth in mesh [memory: RMA IP-24 / ISO 5295].
_CAPACITY = {2: 0.2, 3: 0.4, 4: 0.6, 5: 0.8}


def pulley_pitch_diameter_mm(teeth: int, pitch_mm: float) -> float:
    """Pitch diameter of a toothed pulley: ``z p/pi``. [mm]

    Raises
    ------
    OutOfRangeError
        If there are fewer than 6 teeth or the pitch is not positive.

    Sources
    -------
    [memory: any text on belts]
    """
    positive(pitch_mm=pitch_mm)
    between("teeth", teeth, 6, 1000)
    return teeth * pitch_mm / math.pi


def effective_force_n(torque_nmm: float, pitch_diameter_mm: float) -> float:
    """Force that belt and pulley exchange: ``2 T/d``. [N]

    Raises
    ------
    OutOfRangeError
        If the diameter is not positive.

    Sources
    -------
    [source: Wentzell, ex. 14.1]
    """
    positive(pitch_diameter_mm=pitch_diameter_mm)
    return 2 * abs(torque_nmm) / pitch_diameter_mm


def teeth_in_mesh(teeth: int, wrap_deg: float) -> int:
    """Whole teeth of a pulley inside the belt's wrap: ``floor(z wrap/360)``.

    Raises
    ------
    OutOfRangeError
        If a number is out of range or less than one tooth is in mesh.

    Sources
    -------
    [memory: RMA IP-24 / ISO 5295 practice]
    """
    between("teeth", teeth, 6, 1000)
    between("wrap_deg", wrap_deg, 1.0, 360.0)
    count = math.floor(teeth * wrap_deg / 360 + 1e-9)
    if count < 1:
        raise OutOfRangeError("teeth in mesh", count, "1 or more; give the belt more wrap")
    return count


def belt_tooth_capacity_factor(meshing_teeth: int) -> float:
    """Share of the belt's rated load with few teeth in mesh: 1 from six, 0.2 with two.

    Raises
    ------
    OutOfRangeError
        With fewer than two teeth in mesh.

    Sources
    -------
    [memory: RMA IP-24 / ISO 5295 practice]
    """
    if meshing_teeth < 2:
        raise OutOfRangeError("meshing_teeth", meshing_teeth, "2 or more")
    return _CAPACITY.get(meshing_teeth, 1.0)


def pulley_tooth_force_n(
    effective_n: float, meshing_teeth: int, sharing_teeth: int = SHARING_TEETH
) -> float:
    """Force on the most loaded pulley tooth: F_e over the teeth that share it. [N]

    ``F_e/min(z_m, sharing)``. On a printed pulley only two or three teeth share when its pitch is
    off; with a true pitch all z_m do.

    Raises
    ------
    OutOfRangeError
        If the force is negative or a count below 1.

    Sources
    -------
    [common practice]  how many share
    """
    not_negative(effective_n=effective_n)
    between("meshing_teeth", meshing_teeth, 1, 1000)
    between("sharing_teeth", sharing_teeth, 1, 1000)
    return effective_n / min(meshing_teeth, sharing_teeth)


def pulley_tooth_shear_mpa(
    tooth_force_n: float, root_width_mm: float, face_width_mm: float
) -> float:
    """Mean shear stress at a pulley tooth's root: ``F/(root width face width)``. [MPa]

    Raises
    ------
    OutOfRangeError
        If a size is not positive or the force negative.

    Sources
    -------
    derived  force over sheared area
    """
    not_negative(tooth_force_n=tooth_force_n)
    positive(root_width_mm=root_width_mm, face_width_mm=face_width_mm)
    return tooth_force_n / (root_width_mm * face_width_mm)
