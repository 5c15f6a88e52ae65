"""Cornering: skidding, tipping sideways and the load of the outer wheel.

Sideways acceleration is written as its ratio to gravity, ``a_y / g = v^2 / (g R)``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from printplan.vehicle.chassis import Axle, Chassis, axle_loads
from printplan.vehicle.limits import check_not_negative, check_positive
from printplan.vehicle.road import GRAVITY_M_S2

__all__ = [
    "CorneringLimit",
    "cornering_limit",
    "cornering_radius_mm",
    "hub_moment_nmm",
    "lateral_ratio",
    "lateral_transfer_n",
    "outer_wheel_lateral_n",
    "outer_wheel_load_n",
    "rollover_ratio",
    "skid_speed_mm_s",
]


def lateral_ratio(speed_mm_s: float, radius_mm: float) -> float:
    """Sideways acceleration over gravity, ``v^2/(g R)``; also the tangent of the lean. [-]"""
    check_positive("radius_mm", radius_mm)
    return speed_mm_s**2 / (GRAVITY_M_S2 * 1e3 * radius_mm)


def cornering_radius_mm(speed_mm_s: float, ratio: float) -> float:
    """Radius on which a speed gives a sideways acceleration of `ratio` times gravity. [mm]"""
    check_positive("ratio", ratio)
    return speed_mm_s**2 / (GRAVITY_M_S2 * 1e3 * ratio)


def skid_speed_mm_s(lateral_grip: float, radius_mm: float) -> float:
    """Speed at which tyres let go on a level circle, ``v = sqrt(mu g R)``.

    Parameters
    ----------
    lateral_grip : float
        Sideways grip, mu. [-]
    radius_mm : float
        Radius of the circle, R. [mm]

    Returns
    -------
    float
        Speed. [mm/s]

    Sources
    -------
    [source: Tayal, ex. 15.18] the same formula
    """
    check_not_negative("lateral_grip", lateral_grip)
    check_positive("radius_mm", radius_mm)
    return math.sqrt(lateral_grip * GRAVITY_M_S2 * 1e3 * radius_mm)


def rollover_ratio(chassis: Chassis) -> float:
    """Sideways acceleration over gravity at which the vehicle tips over.

    Four wheels ``t/(2 h)``; a single front wheel ``(t/2)(a/L)/h``; a single rear wheel
    ``(t/2)(b/L)/h``. Two wheels in line lean into the curve: infinite.

    Parameters
    ----------
    chassis : Chassis
        Weight, wheels and centre of mass.

    Returns
    -------
    float
        Threshold; rigid frame on level ground, no springs. [-]

    Sources
    -------
    derived: moment about the line through the outer contacts; four wheels as
    [memory: Gillespie 1992 ch. 9]
    """
    paired_front, paired_rear = chassis.front_wheels == 2, chassis.rear_wheels == 2
    if not paired_front and not paired_rear:
        return math.inf
    four_wheels = chassis.track_mm / (2.0 * chassis.centre_height_mm)
    if paired_front and paired_rear:
        return four_wheels
    from_single_mm = (
        chassis.centre_behind_front_mm if paired_rear else chassis.centre_before_rear_mm
    )
    return four_wheels * from_single_mm / chassis.wheelbase_mm


@dataclass(frozen=True, kw_only=True)
class CorneringLimit:
    """The hardest corner: its sideways acceleration over gravity, and what ends it."""

    ratio: float
    limited_by: Literal["skid", "tip"]


def cornering_limit(chassis: Chassis, lateral_grip: float) -> CorneringLimit:
    """Lower of skidding and tipping.

    Parameters
    ----------
    chassis : Chassis
        Weight, wheels and centre of mass.
    lateral_grip : float
        Sideways grip. [-]

    Returns
    -------
    CorneringLimit
        Sideways acceleration over gravity and its reason.

    Sources
    -------
    derived
    """
    check_not_negative("lateral_grip", lateral_grip)
    tip = rollover_ratio(chassis)
    if tip < lateral_grip:
        return CorneringLimit(ratio=tip, limited_by="tip")
    return CorneringLimit(ratio=lateral_grip, limited_by="skid")


def lateral_transfer_n(chassis: Chassis, ratio: float) -> float:
    """Load that moves from the inner to the outer wheels of all axles, ``W (a_y/g) h/t``. [N]"""
    return chassis.weight_n * ratio * chassis.centre_height_mm / chassis.track_mm


def outer_wheel_load_n(chassis: Chassis, axle: Axle, ratio: float) -> float:
    """Largest load on the outer wheel of an axle in a corner, level road.

    ``N = N_axle/2 + min(W (a_y/g) h/t, N_axle/2)``. A rigid frame on four wheels leaves open how
    the axles divide the transfer, so this axle is taken to carry all of it until its inner wheel
    lifts; with one paired axle that is exact. A single wheel keeps its load.

    Parameters
    ----------
    chassis : Chassis
        Weight, wheels and centre of mass.
    axle : {"front", "rear"}
        Which axle.
    ratio : float
        Sideways acceleration over gravity. [-]

    Returns
    -------
    float
        Wheel load. [N]

    Sources
    -------
    derived
    """
    axle_n = axle_loads(chassis).on(axle)
    if chassis.wheels(axle) == 1:
        return axle_n
    return axle_n / 2.0 + min(lateral_transfer_n(chassis, ratio), axle_n / 2.0)


def outer_wheel_lateral_n(chassis: Chassis, axle: Axle, ratio: float, lateral_grip: float) -> float:
    """Largest sideways force at the outer wheel of an axle.

    The axle takes ``N_axle a_y/g``; the outer wheel may take all of it, up to its own grip.

    Parameters
    ----------
    chassis : Chassis
        Weight, wheels and centre of mass.
    axle : {"front", "rear"}
        Which axle.
    ratio : float
        Sideways acceleration over gravity. [-]
    lateral_grip : float
        Sideways grip. [-]

    Returns
    -------
    float
        Sideways force at the contact. [N]

    Sources
    -------
    derived
    """
    outer_n = outer_wheel_load_n(chassis, axle, ratio)
    return min(lateral_grip * outer_n, axle_loads(chassis).on(axle) * ratio)


def hub_moment_nmm(
    *, lateral_n: float, vertical_n: float, wheel_diameter_mm: float, offset_mm: float = 0.0
) -> float:
    """Tilting moment on a hub, ``M = F_y r + N e``, the two taken to add up.

    Parameters
    ----------
    lateral_n, vertical_n : float
        Sideways force and load at the contact, F_y and N. [N]
    wheel_diameter_mm : float
        Wheel diameter, 2 r. [mm]
    offset_mm : float
        Distance e of the wheel's middle plane from the plane where the moment is asked. [mm]

    Returns
    -------
    float
        Size of the moment. [N·mm]

    Sources
    -------
    derived from statics
    """
    check_positive("wheel_diameter_mm", wheel_diameter_mm)
    return abs(lateral_n) * wheel_diameter_mm / 2.0 + abs(vertical_n * offset_mm)
