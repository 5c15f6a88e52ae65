"""Road load: what it takes to keep a vehicle rolling, climbing and speeding up."""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.vehicle.limits import check_not_negative, check_positive

__all__ = [
    "AIR_DENSITY_KG_M3",
    "GRAVITY_M_S2",
    "RoadLoad",
    "road_load",
    "rotating_mass_factor",
    "slope_angle_rad",
    "weight_n",
    "wheel_torque_nmm",
    "wheel_turns",
]

GRAVITY_M_S2 = 9.81  #: [common practice]; standard gravity 9.80665 rounded up
AIR_DENSITY_KG_M3 = 1.2  #: dry air at about 20 °C and sea level [common practice]


def weight_n(mass_g: float) -> float:
    """Weight of a mass. [N]"""
    return mass_g * 1e-3 * GRAVITY_M_S2


def slope_angle_rad(slope_percent: float) -> float:
    """Angle of a slope given as rise per 100 of horizontal way. [rad]"""
    return math.atan(slope_percent / 100.0)


@dataclass(frozen=True, kw_only=True)
class RoadLoad:
    """The forces that the driven wheels must overcome together, each along the road. [N]"""

    slope_n: float
    rolling_n: float
    air_n: float
    inertia_n: float

    @property
    def total_n(self) -> float:
        """Sum of the four. [N]"""
        return self.slope_n + self.rolling_n + self.air_n + self.inertia_n


def road_load(
    *,
    mass_g: float,
    slope_percent: float = 0.0,
    rolling_resistance: float = 0.0,
    drag_area_m2: float = 0.0,
    speed_mm_s: float = 0.0,
    acceleration_mm_s2: float = 0.0,
    rotating_factor: float = 1.0,
) -> RoadLoad:
    """Force at the tyres for steady rolling, a slope, still air and acceleration.

    ``F_x = m g (sin th + C_rr cos th) + rho C_d A v^2 / 2 + m k_rot a``

    Parameters
    ----------
    mass_g : float
        Mass of everything that moves along, m. [g]
    slope_percent : float
        Rise per 100 of horizontal way, uphill positive. [%]
    rolling_resistance : float
        Rolling resistance coefficient C_rr. [-]
    drag_area_m2 : float
        Drag coefficient times frontal area, C_d A. [m²]
    speed_mm_s, acceleration_mm_s2 : float
        Speed v and acceleration a along the road. [mm/s], [mm/s²]
    rotating_factor : float
        k_rot of `rotating_mass_factor`. [-]

    Returns
    -------
    RoadLoad
        The four shares. [N]

    Raises
    ------
    OutOfRangeError
        If the mass is not positive, or a coefficient or the speed is negative.

    Sources
    -------
    [memory: Gillespie 1992 ch. 2-4; Wong ch. 3] textbook standard form.
    """
    check_positive("mass_g", mass_g)
    check_not_negative("rolling_resistance", rolling_resistance)
    check_not_negative("drag_area_m2", drag_area_m2)
    check_not_negative("speed_mm_s", speed_mm_s)
    weight, angle = weight_n(mass_g), slope_angle_rad(slope_percent)
    speed_m_s = speed_mm_s * 1e-3
    return RoadLoad(
        slope_n=weight * math.sin(angle),
        rolling_n=weight * math.cos(angle) * rolling_resistance,
        air_n=0.5 * AIR_DENSITY_KG_M3 * drag_area_m2 * speed_m_s**2,
        inertia_n=mass_g * 1e-6 * rotating_factor * acceleration_mm_s2,
    )


def rotating_mass_factor(
    *,
    mass_g: float,
    wheel_diameter_mm: float,
    wheels_inertia_g_mm2: float = 0.0,
    motor_inertia_g_mm2: float = 0.0,
    ratio: float = 1.0,
) -> float:
    """Share by which turning parts make the vehicle seem heavier when it speeds up.

    ``k_rot = 1 + (sum J_wheel + J_motor i^2) / (m r^2)``

    Parameters
    ----------
    mass_g, wheel_diameter_mm : float
        Vehicle mass m and wheel diameter 2 r. [g], [mm]
    wheels_inertia_g_mm2, motor_inertia_g_mm2 : float
        Moments of inertia of all wheels together and of the rotor. [g·mm²]
    ratio : float
        Motor turns per wheel turn, i. [-]

    Returns
    -------
    float
        k_rot, 1 or more. [-]

    Sources
    -------
    [memory: Gillespie 1992 ch. 2]; derived from kinetic energy.
    """
    check_positive("mass_g", mass_g)
    check_positive("wheel_diameter_mm", wheel_diameter_mm)
    check_not_negative("wheels_inertia_g_mm2", wheels_inertia_g_mm2)
    check_not_negative("motor_inertia_g_mm2", motor_inertia_g_mm2)
    turning = wheels_inertia_g_mm2 + motor_inertia_g_mm2 * ratio**2
    return 1.0 + turning / (mass_g * (wheel_diameter_mm / 2.0) ** 2)


def wheel_torque_nmm(force_n: float, wheel_diameter_mm: float) -> float:
    """Torque about the axle of a force along the road at the tyre, ``T = F r``. [N·mm]"""
    check_positive("wheel_diameter_mm", wheel_diameter_mm)
    return force_n * wheel_diameter_mm / 2.0


def wheel_turns(distance_mm: float, wheel_diameter_mm: float) -> float:
    """Count the turns of a wheel on a way, without slip. [-]"""
    check_positive("wheel_diameter_mm", wheel_diameter_mm)
    return distance_mm / (math.pi * wheel_diameter_mm)
