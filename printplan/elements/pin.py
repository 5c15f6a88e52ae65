"""Cross pin and thrust faces of a bevel differential.

Symbols: T torque on the case, n planets, r_ms mean pitch radius of the side gear, r_w radius of
the case wall, d pin diameter, F_a tooth thrust.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.elements.ranges import between, not_negative, positive
from printplan.errors import OutOfRangeError

__all__ = [
    "CrossPin",
    "case_bolt_tension_n",
    "cross_pin",
    "planet_thrust_n",
    "side_gear_thrust_n",
    "thrust_face_pressure_mpa",
]


@dataclass(frozen=True, kw_only=True)
class CrossPin:
    """Loads and stresses of the pin that carries the planets.

    Attributes
    ----------
    planet_force_n, wall_force_n : float
        Force of one planet on the pin, and of the pin on the case wall. [N]
    moment_nmm : float
        Bending moment in the pin at the planet. [N mm]
    bending_stress_mpa, shear_stress_mpa : float
        In the pin. [MPa]
    planet_pressure_mpa, wall_pressure_mpa : float
        On the planet's bore and on the case wall's bore. [MPa]
    """

    planet_force_n: float
    wall_force_n: float
    moment_nmm: float
    bending_stress_mpa: float
    shear_stress_mpa: float
    planet_pressure_mpa: float
    wall_pressure_mpa: float


def cross_pin(
    case_torque_nmm: float,
    *,
    planets: int,
    side_mean_radius_mm: float,
    wall_radius_mm: float,
    pin_mm: float,
    wall_mm: float,
    planet_bore_length_mm: float,
    sharing_factor: float = 1.0,
) -> CrossPin:
    """Through pin carried by the case walls only.

    ``F_pin = T K/(n r_ms)``, ``F_w = T K/(n r_w)``, ``M = F_w (r_w - r_ms)``: loads at both ends
    are opposite, so the middle has no moment. Bearing in the plastic case usually decides.

    Parameters
    ----------
    case_torque_nmm : float
        Torque that the case passes on. [N mm]
    planets : int
        Planets on pins, one per half pin.
    side_mean_radius_mm, wall_radius_mm : float
        r_ms; middle of the wall that holds the pin. [mm]
    pin_mm, wall_mm, planet_bore_length_mm : float
        Pin diameter, wall thickness, length of the planet's bore. [mm]
    sharing_factor : float
        K >= 1 for uneven sharing, as in `bevel.mesh_tangential_force_n`.

    Returns
    -------
    CrossPin

    Raises
    ------
    OutOfRangeError
        If a size is not positive or the wall lies inside the planets' mean radius.

    Sources
    -------
    derived  from statics
    """
    not_negative(case_torque_nmm=case_torque_nmm)
    positive(
        side_mean_radius_mm=side_mean_radius_mm,
        pin_mm=pin_mm,
        wall_mm=wall_mm,
        planet_bore_length_mm=planet_bore_length_mm,
    )
    between("planets", planets, 1, 12)
    between("sharing_factor", sharing_factor, 1.0, planets)
    if not wall_radius_mm >= side_mean_radius_mm:
        raise OutOfRangeError(
            "wall_radius_mm", wall_radius_mm, f"{side_mean_radius_mm:.2f} mm (r_ms) or more"
        )
    share = case_torque_nmm * sharing_factor / planets
    planet_force, wall_force = share / side_mean_radius_mm, share / wall_radius_mm
    moment = wall_force * (wall_radius_mm - side_mean_radius_mm)
    return CrossPin(
        planet_force_n=planet_force,
        wall_force_n=wall_force,
        moment_nmm=moment,
        bending_stress_mpa=32 * moment / (math.pi * pin_mm**3),
        shear_stress_mpa=4 * wall_force / (math.pi * pin_mm**2),
        planet_pressure_mpa=planet_force / (pin_mm * planet_bore_length_mm),
        wall_pressure_mpa=wall_force / (pin_mm * wall_mm),
    )


def side_gear_thrust_n(mesh_axial_n: float, planets: int) -> float:
    """Thrust on a side gear's back face: ``n F_a``, F_a of one mesh. [N]

    Raises
    ------
    OutOfRangeError
        If the force is negative or there is no planet.

    Sources
    -------
    derived  from statics
    """
    not_negative(mesh_axial_n=mesh_axial_n)
    between("planets", planets, 1, 12)
    return planets * mesh_axial_n


def planet_thrust_n(mesh_axial_n: float) -> float:
    """Thrust on a planet's back face, which meshes with both side gears: ``2 F_a``. [N]

    Raises
    ------
    OutOfRangeError
        If the force is negative.

    Sources
    -------
    derived  from statics
    """
    not_negative(mesh_axial_n=mesh_axial_n)
    return 2 * mesh_axial_n


def thrust_face_pressure_mpa(thrust_n: float, outer_mm: float, inner_mm: float) -> float:
    """Pressure on a ring-shaped thrust face: ``4 F/(pi (D^2 - d^2))``. [MPa]

    Raises
    ------
    OutOfRangeError
        If the force is negative or the ring has no face.

    Sources
    -------
    derived  force over area
    """
    not_negative(thrust_n=thrust_n, inner_mm=inner_mm)
    if not (outer_mm > inner_mm and math.isfinite(outer_mm)):
        raise OutOfRangeError("outer_mm", outer_mm, f"above the inner {inner_mm:g} mm")
    return 4 * thrust_n / (math.pi * (outer_mm**2 - inner_mm**2))


def case_bolt_tension_n(side_thrust_n: float, bolts: int) -> float:
    """Pull on each bolt that holds the case halves against the side gear's thrust. [N]

    Raises
    ------
    OutOfRangeError
        If the force is negative or there are fewer than two bolts.

    Sources
    -------
    derived  from statics
    """
    not_negative(side_thrust_n=side_thrust_n)
    between("bolts", bolts, 2, 1000)
    return side_thrust_n / bolts
