"""Forces inside a straight-bevel differential: teeth, thrust on the back faces, cross pin.

Everything acts at the mean pitch radius, the middle of the face: the outer radius would make the
forces 10-20 % too small.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.errors import OutOfRangeError
from printplan.vehicle.differential import DifferentialData, torque_split
from printplan.vehicle.limits import check_between, check_positive

__all__ = [
    "CrossPinLoad",
    "DifferentialForces",
    "ToothForces",
    "bevel_tooth_forces",
    "cross_pin_load",
    "differential_forces",
]


@dataclass(frozen=True, kw_only=True)
class ToothForces:
    """Force of one mesh on one bevel gear, in three parts.

    Attributes
    ----------
    tangential_n, radial_n : float
        Around and towards the axis. [N]
    axial_n : float
        Along the gear's own axis, away from the apex. [N]
    """

    tangential_n: float
    radial_n: float
    axial_n: float

    @property
    def resultant_n(self) -> float:
        """Size of the whole force. [N]"""
        return math.hypot(self.tangential_n, self.radial_n, self.axial_n)


def bevel_tooth_forces(
    tangential_n: float, *, pressure_angle_deg: float, cone_deg: float
) -> ToothForces:
    """Radial and axial force of a straight bevel tooth.

    ``F_r = F_t tan(al) cos(d)``, ``F_a = F_t tan(al) sin(d)``; at a shaft angle of 90° the radial
    force of one gear is the axial force of the other.

    Parameters
    ----------
    tangential_n : float
        Tangential force, F_t. [N]
    pressure_angle_deg, cone_deg : float
        Pressure angle al and pitch-cone angle d of the gear. [deg]

    Returns
    -------
    ToothForces
        The three parts.

    Sources
    -------
    [source: Jindal, ex. 27-1; Wentzell, ex. 13.3, p. 286] both use this form
    """
    check_between("pressure_angle_deg", pressure_angle_deg, 0.0, 45.0)
    check_between("cone_deg", cone_deg, 0.0, 90.0)
    separating_n = tangential_n * math.tan(math.radians(pressure_angle_deg))
    cone = math.radians(cone_deg)
    return ToothForces(
        tangential_n=tangential_n,
        radial_n=separating_n * math.cos(cone),
        axial_n=separating_n * math.sin(cone),
    )


@dataclass(frozen=True, kw_only=True)
class DifferentialForces:
    """Forces in a differential at one housing torque.

    Attributes
    ----------
    tooth : ToothForces
        The worst mesh, on the side gear that gets more torque, load sharing in it. [N]
    side_thrust_n : float
        Push of that side gear on its back face, all planets together. [N]
    planet_thrust_n : float
        Push of the worst planet on its back face, both meshes together. [N]
    pin_n : float
        Force of the worst planet on its pin. [N]
    """

    tooth: ToothForces
    side_thrust_n: float
    planet_thrust_n: float
    pin_n: float


def differential_forces(
    differential: DifferentialData,
    *,
    housing_torque_nmm: float,
    side_mean_radius_mm: float,
    side_cone_deg: float,
    pressure_angle_deg: float = 20.0,
) -> DifferentialForces:
    """Tooth, thrust and pin forces at a housing torque, shaft angle 90°.

    ``F_t = T_side K_g/(n r_ms)``, ``F_pin = T K_g/(n r_ms)``.

    Parameters
    ----------
    differential : DifferentialData
        Locking value, number of planets, load sharing.
    housing_torque_nmm : float
        Torque through the housing, T. [N·mm]
    side_mean_radius_mm : float
        Mean pitch radius of the side gears, r_ms. [mm]
    side_cone_deg : float
        Pitch-cone angle of the side gears; the planets have the rest of 90°. [deg]
    pressure_angle_deg : float
        Pressure angle. [deg]

    Returns
    -------
    DifferentialForces
        Forces of the worst mesh and the worst planet.

    Sources
    -------
    derived from statics; tooth force parts [source: Jindal, ex. 27-1]; K_g see
    `load_sharing_factor`
    """
    check_positive("side_mean_radius_mm", side_mean_radius_mm)
    torque_nmm = abs(housing_torque_nmm)
    high_nmm = torque_split(torque_nmm, differential.locking_value).high_nmm
    sharing = differential.load_sharing_used / differential.pinions
    tooth = bevel_tooth_forces(
        high_nmm * sharing / side_mean_radius_mm,
        pressure_angle_deg=pressure_angle_deg,
        cone_deg=side_cone_deg,
    )
    pin_n = torque_nmm * sharing / side_mean_radius_mm
    return DifferentialForces(
        tooth=tooth,
        # However unevenly the planets share, their thrusts add up to that of the whole torque.
        side_thrust_n=tooth.axial_n / sharing,
        planet_thrust_n=bevel_tooth_forces(
            pin_n, pressure_angle_deg=pressure_angle_deg, cone_deg=90.0 - side_cone_deg
        ).axial_n,
        pin_n=pin_n,
    )


@dataclass(frozen=True, kw_only=True)
class CrossPinLoad:
    """Load of a through pin carried only by the housing's walls.

    Attributes
    ----------
    wall_n : float
        Force of the wall on the pin at each end, also the shear in the pin. [N]
    moment_nmm : float
        Bending of the pin at the planet. [N·mm]
    """

    wall_n: float
    moment_nmm: float


def cross_pin_load(
    differential: DifferentialData,
    *,
    housing_torque_nmm: float,
    side_mean_radius_mm: float,
    wall_radius_mm: float,
) -> CrossPinLoad:
    """Wall force and pin bending, ``F_w = T K_g/(n r_w)``, ``M = F_w (r_w - r_ms)``.

    Parameters
    ----------
    differential : DifferentialData
        Number of planets and load sharing.
    housing_torque_nmm : float
        Torque through the housing. [N·mm]
    side_mean_radius_mm, wall_radius_mm : float
        Radii at which the planet pushes and the wall holds, r_ms and r_w. [mm]

    Returns
    -------
    CrossPinLoad
        Wall force and bending moment.

    Raises
    ------
    OutOfRangeError
        If the wall lies nearer to the axis than the middle of the teeth.

    Sources
    -------
    derived from statics; antisymmetric loading, no moment in the middle of the pin
    """
    check_positive("side_mean_radius_mm", side_mean_radius_mm)
    if not wall_radius_mm >= side_mean_radius_mm:
        raise OutOfRangeError(
            "wall_radius_mm", wall_radius_mm, f"at least r_ms = {side_mean_radius_mm:g} mm"
        )
    share = differential.load_sharing_used / differential.pinions
    wall_n = abs(housing_torque_nmm) * share / wall_radius_mm
    return CrossPinLoad(wall_n=wall_n, moment_nmm=wall_n * (wall_radius_mm - side_mean_radius_mm))
