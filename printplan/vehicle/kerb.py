"""Kerbs, steps and drops: pushing over, climbing, striking and coming down.

A wheel of radius r meets a step of height h_k; its hub stands ``s = sqrt(2 r h_k - h_k^2)`` before
the edge. Linear spring, no damping, rider rigidly attached: the dynamic forces are upper bounds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.errors import OutOfRangeError
from printplan.vehicle.limits import check_not_negative, check_positive

__all__ = [
    "KerbStrike",
    "climb_torque_nmm",
    "distance_to_edge_mm",
    "drop_force_n",
    "kerb_strike",
    "push_force_n",
    "stop_force_n",
]


def distance_to_edge_mm(wheel_diameter_mm: float, kerb_height_mm: float) -> float:
    """Horizontal distance from the hub to the edge that the tyre touches, s.

    Parameters
    ----------
    wheel_diameter_mm, kerb_height_mm : float
        Wheel diameter 2 r and step height h_k. [mm]

    Returns
    -------
    float
        ``sqrt(2 r h_k - h_k^2)``. [mm]

    Raises
    ------
    OutOfRangeError
        If the step is as high as the hub or higher: no wheel rolls over that.

    Sources
    -------
    derived from geometry
    """
    check_positive("wheel_diameter_mm", wheel_diameter_mm)
    check_not_negative("kerb_height_mm", kerb_height_mm)
    if kerb_height_mm >= wheel_diameter_mm / 2.0:
        raise OutOfRangeError(
            "kerb_height_mm",
            kerb_height_mm,
            f"a step below the hub, under {wheel_diameter_mm / 2.0:g} mm; "
            "a higher one is a wall that no wheel rolls over",
        )
    return math.sqrt(kerb_height_mm * (wheel_diameter_mm - kerb_height_mm))


def push_force_n(wheel_load_n: float, wheel_diameter_mm: float, kerb_height_mm: float) -> float:
    """Horizontal force at the hub that slowly pushes an idle wheel over a step, ``W s/(r - h_k)``.

    Parameters
    ----------
    wheel_load_n : float
        Load on the wheel, W. [N]
    wheel_diameter_mm, kerb_height_mm : float
        Wheel diameter 2 r and step height h_k. [mm]

    Returns
    -------
    float
        Force. [N]

    Sources
    -------
    derived: moment about the edge
    """
    edge_mm = distance_to_edge_mm(wheel_diameter_mm, kerb_height_mm)
    return wheel_load_n * edge_mm / (wheel_diameter_mm / 2.0 - kerb_height_mm)


def climb_torque_nmm(wheel_load_n: float, wheel_diameter_mm: float, kerb_height_mm: float) -> float:
    """Torque with which a driven wheel climbs a step by itself, ``T = W s``.

    Parameters
    ----------
    wheel_load_n : float
        Load on the wheel, W. [N]
    wheel_diameter_mm, kerb_height_mm : float
        Wheel diameter and step height. [mm]

    Returns
    -------
    float
        Torque at this wheel's hub. [N·mm]

    Sources
    -------
    derived: moment about the edge
    """
    return wheel_load_n * distance_to_edge_mm(wheel_diameter_mm, kerb_height_mm)


def stop_force_n(speed_mm_s: float, stiffness_n_mm: float, mass_g: float) -> float:
    """Peak force when a spring stops a moving mass, ``F = v sqrt(k m)``.

    Parameters
    ----------
    speed_mm_s : float
        Speed into the spring, v. [mm/s]
    stiffness_n_mm : float
        Spring stiffness, k. [N/mm]
    mass_g : float
        Moving mass, m. [g]

    Returns
    -------
    float
        Peak force. [N]

    Sources
    -------
    [source: Wentzell, ex. 7.2, p. 139] same energy balance, there as a deflection
    """
    check_not_negative("speed_mm_s", speed_mm_s)
    check_positive("stiffness_n_mm", stiffness_n_mm)
    check_not_negative("mass_g", mass_g)
    return speed_mm_s * math.sqrt(stiffness_n_mm * mass_g * 1e-6)


def drop_force_n(wheel_load_n: float, stiffness_n_mm: float, height_mm: float) -> float:
    """Peak force when a load falls onto a spring, ``W (1 + sqrt(1 + 2 H/d_st))``, d_st = W/k.

    Parameters
    ----------
    wheel_load_n : float
        Load, W. [N]
    stiffness_n_mm : float
        Spring stiffness, k. [N/mm]
    height_mm : float
        Free fall, H; with 0 the load is put on suddenly and counts twice. [mm]

    Returns
    -------
    float
        Peak force. [N]

    Sources
    -------
    [source: Gere, ex. 2.16, p. 133] same energy balance
    """
    check_positive("wheel_load_n", wheel_load_n)
    check_positive("stiffness_n_mm", stiffness_n_mm)
    check_not_negative("height_mm", height_mm)
    sag_mm = wheel_load_n / stiffness_n_mm
    return wheel_load_n * (1.0 + math.sqrt(1.0 + 2.0 * height_mm / sag_mm))


@dataclass(frozen=True, kw_only=True)
class KerbStrike:
    """A rolling wheel hits an edge.

    Attributes
    ----------
    edge_speed_mm_s : float
        Speed straight into the edge, ``v s/r``. [mm/s]
    force_n : float
        Peak force on the line from the edge to the hub. [N]
    vertical_n, longitudinal_n : float
        Its parts upwards and backwards; upwards never less than the standing load. [N]
    """

    edge_speed_mm_s: float
    force_n: float
    vertical_n: float
    longitudinal_n: float


def kerb_strike(
    *,
    wheel_load_n: float,
    mass_on_wheel_g: float,
    wheel_diameter_mm: float,
    kerb_height_mm: float,
    speed_mm_s: float,
    stiffness_n_mm: float,
) -> KerbStrike:
    """Peak force when a wheel rolls into a kerb.

    ``v_n = v s/r``, ``F = W + v_n sqrt(k m_w)`` on the line from the edge to the hub.

    Parameters
    ----------
    wheel_load_n, mass_on_wheel_g : float
        Standing load W, and the mass m_w that rides on this wheel. [N], [g]
    wheel_diameter_mm, kerb_height_mm : float
        Wheel diameter 2 r and step height. [mm]
    speed_mm_s : float
        Speed along the road, v. [mm/s]
    stiffness_n_mm : float
        Radial stiffness k of tyre, wheel and whatever holds it, in series. [N/mm]

    Returns
    -------
    KerbStrike
        Force and its parts.

    Sources
    -------
    derived from energy: linear spring, no damping, rider rigidly attached (an upper bound)
    """
    radius_mm = wheel_diameter_mm / 2.0
    edge_mm = distance_to_edge_mm(wheel_diameter_mm, kerb_height_mm)
    edge_speed_mm_s = speed_mm_s * edge_mm / radius_mm
    force_n = wheel_load_n + stop_force_n(edge_speed_mm_s, stiffness_n_mm, mass_on_wheel_g)
    return KerbStrike(
        edge_speed_mm_s=edge_speed_mm_s,
        force_n=force_n,
        vertical_n=max(force_n * (radius_mm - kerb_height_mm) / radius_mm, wheel_load_n),
        longitudinal_n=force_n * edge_mm / radius_mm,
    )
