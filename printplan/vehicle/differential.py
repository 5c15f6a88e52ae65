"""Differentials: how torque and speed divide between two wheels, with internal friction.

The trade uses several numbers for locking. Here the *locking value* is
``S = (T_hi - T_lo)/(T_hi + T_lo)`` and the *bias ratio* ``T_hi/T_lo``; the slower wheel gets T_hi.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.errors import OutOfRangeError
from printplan.vehicle.limits import check_between, check_not_negative, check_positive

__all__ = [
    "DifferentialData",
    "TorqueSplit",
    "bias_ratio",
    "friction_locking_value",
    "load_sharing_factor",
    "locking_value",
    "planet_speed_rad_s",
    "slipping_wheel_split",
    "torque_split",
    "wheel_speeds_in_turn_rad_s",
]

#: K_g by number of planets, upper ends of the ranges: 2 on one floating pin 1.0-1.1, 3 1.1-1.2,
#: 4 on a rigid cross in printed accuracy 1.25-1.5. [memory: AGMA 6123 mesh load factors for the
#: order; common practice for the printed allowance]
_LOAD_SHARING = {1: 1.0, 2: 1.1, 3: 1.2, 4: 1.5}


def load_sharing_factor(pinions: int) -> float:
    """Factor by which the worst-loaded planet carries more than its equal share.

    Parameters
    ----------
    pinions : int
        Number of planets, 1 to 4.

    Returns
    -------
    float
        K_g. [-]

    Raises
    ------
    OutOfRangeError
        For more than four planets or fewer than one.

    Sources
    -------
    [memory: AGMA 6123 mesh load factors, order of magnitude]; printed allowance [common practice]
    """
    if pinions not in _LOAD_SHARING:
        raise OutOfRangeError("pinions", pinions, "1 to 4 planets, or state load_sharing yourself")
    return _LOAD_SHARING[pinions]


@dataclass(frozen=True, kw_only=True)
class DifferentialData:
    """A bevel differential as far as loads depend on it.

    Attributes
    ----------
    locking_value : float
        S; plain bevel differentials 0.05-0.15 [memory: handbook ranges], locked 1. [-]
    pinions : int
        Number of planets.
    load_sharing : float or None
        K_g, 1 or more; None takes `load_sharing_factor`. [-]
    """

    locking_value: float = 0.15
    pinions: int = 2
    load_sharing: float | None = None

    def __post_init__(self) -> None:
        check_between("locking_value", self.locking_value, 0.0, 1.0)
        check_between("pinions", self.pinions, 1, 12)
        if self.load_sharing is None:
            load_sharing_factor(self.pinions)
        elif not (math.isfinite(self.load_sharing) and self.load_sharing >= 1.0):
            raise OutOfRangeError("load_sharing", self.load_sharing, "1 or more")

    @property
    def load_sharing_used(self) -> float:
        """K_g as stated, or else the table's. [-]"""
        return load_sharing_factor(self.pinions) if self.load_sharing is None else self.load_sharing


def bias_ratio(locking_value: float) -> float:
    """Torque bias ratio of a locking value, ``(1 + S)/(1 - S)``; infinite for S = 1.

    Parameters
    ----------
    locking_value : float
        S, 0 to 1. [-]

    Returns
    -------
    float
        T_hi/T_lo. [-]

    Sources
    -------
    [memory: German usage "Sperrwert", Bosch handbook]
    """
    check_between("locking_value", locking_value, 0.0, 1.0)
    return math.inf if locking_value == 1.0 else (1.0 + locking_value) / (1.0 - locking_value)


def locking_value(bias: float) -> float:
    """Locking value of a torque bias ratio, ``(TBR - 1)/(TBR + 1)``; 1 for an infinite one.

    Parameters
    ----------
    bias : float
        T_hi/T_lo, 1 or more. [-]

    Returns
    -------
    float
        S. [-]

    Sources
    -------
    [memory: German usage "Sperrwert", Bosch handbook]
    """
    if not bias >= 1.0:
        raise OutOfRangeError("bias", bias, "1 or more")
    return 1.0 if math.isinf(bias) else (bias - 1.0) / (bias + 1.0)


@dataclass(frozen=True, kw_only=True)
class TorqueSplit:
    """Torque of the two side gears. [N·mm]"""

    high_nmm: float
    low_nmm: float

    @property
    def housing_nmm(self) -> float:
        """Torque that the housing passes on: their sum. [N·mm]"""
        return self.high_nmm + self.low_nmm


def torque_split(housing_torque_nmm: float, locking_value: float = 0.0) -> TorqueSplit:
    """Most uneven split that a differential can give.

    ``T_hi = T (1 + S)/2``, ``T_lo = T (1 - S)/2``.

    Parameters
    ----------
    housing_torque_nmm : float
        Torque through the housing, T. [N·mm]
    locking_value : float
        S. [-]

    Returns
    -------
    TorqueSplit
        Slower and faster wheel.

    Sources
    -------
    [memory: Bosch handbook; Naunheimer] textbook standard
    """
    check_between("locking_value", locking_value, 0.0, 1.0)
    high_nmm = housing_torque_nmm * (1.0 + locking_value) / 2.0
    return TorqueSplit(high_nmm=high_nmm, low_nmm=housing_torque_nmm - high_nmm)


def slipping_wheel_split(
    *,
    slipping_torque_nmm: float,
    locking_value: float,
    available_nmm: float = math.inf,
    grip_limit_nmm: float = math.inf,
    preload_torque_nmm: float = 0.0,
) -> TorqueSplit:
    """Find what reaches the other wheel when one spins on ice or hangs in the air.

    ``T_hi = max(TBR T_lo, T_lo + M_0)``, no more than the motor gives, no more than the gripping
    wheel can put on the road.

    Parameters
    ----------
    slipping_torque_nmm : float
        Torque that the spinning wheel still takes, T_lo = mu_ice N r; 0 in the air. [N·mm]
    locking_value : float
        S; 1 for a locked differential or a through axle. [-]
    available_nmm : float
        Largest torque of the motor at the housing. [N·mm]
    grip_limit_nmm : float
        Torque at which the gripping wheel slips too. [N·mm]
    preload_torque_nmm : float
        Friction torque of preloaded plates or cones, M_0. [N·mm]

    Returns
    -------
    TorqueSplit
        Gripping wheel (high) and spinning wheel (low).

    Raises
    ------
    OutOfRangeError
        If a torque is negative, or a lock is given with nothing that limits its torque.

    Sources
    -------
    derived from the bias ratio
    """
    check_not_negative("slipping_torque_nmm", slipping_torque_nmm)
    check_not_negative("preload_torque_nmm", preload_torque_nmm)
    check_between("locking_value", locking_value, 0.0, 1.0)
    limit_nmm = min(available_nmm, grip_limit_nmm)
    if locking_value == 1.0:
        if math.isinf(limit_nmm):
            raise OutOfRangeError("available_nmm", available_nmm, "a limit, as a lock has none")
        passed_nmm = math.inf
    else:
        biased_nmm = bias_ratio(locking_value) * slipping_torque_nmm
        passed_nmm = max(biased_nmm, slipping_torque_nmm + preload_torque_nmm)
    high_nmm = min(passed_nmm, grip_limit_nmm)
    if high_nmm + slipping_torque_nmm <= available_nmm:
        return TorqueSplit(high_nmm=high_nmm, low_nmm=slipping_torque_nmm)
    # The motor can't spin the wheel: it stalls, and the gripping wheel holds the larger share.
    held = torque_split(available_nmm, locking_value).high_nmm
    preloaded = (available_nmm + preload_torque_nmm) / 2.0
    high_nmm = min(max(held, preloaded), high_nmm, available_nmm)
    return TorqueSplit(high_nmm=high_nmm, low_nmm=available_nmm - high_nmm)


def wheel_speeds_in_turn_rad_s(
    housing_speed_rad_s: float, radius_mm: float, track_mm: float
) -> tuple[float, float]:
    """Speeds of the inner and outer wheel on a circle, ``omega (1 ∓ t/(2 R))``.

    Parameters
    ----------
    housing_speed_rad_s : float
        Speed of the housing, the mean of the two. [rad/s]
    radius_mm, track_mm : float
        Radius R to the middle of the axle, and track t. [mm]

    Returns
    -------
    tuple of float
        Inner, outer. [rad/s]

    Sources
    -------
    derived; ``omega_L + omega_R = 2 omega_housing`` is textbook standard
    """
    check_positive("radius_mm", radius_mm)
    check_not_negative("track_mm", track_mm)
    difference = housing_speed_rad_s * track_mm / (2.0 * radius_mm)
    return housing_speed_rad_s - difference, housing_speed_rad_s + difference


def planet_speed_rad_s(
    speed_left_rad_s: float, speed_right_rad_s: float, side_teeth: int, planet_teeth: int
) -> float:
    """Speed of the planets on their pin, ``(omega_L - omega_R)/2 * z_side/z_planet``, as a size.

    Parameters
    ----------
    speed_left_rad_s, speed_right_rad_s : float
        Wheel speeds. [rad/s]
    side_teeth, planet_teeth : int
        Tooth numbers.

    Returns
    -------
    float
        Speed against the pin. [rad/s]

    Sources
    -------
    derived: rolling of the planet on the side gear, seen from the housing
    """
    check_positive("planet_teeth", planet_teeth)
    check_positive("side_teeth", side_teeth)
    return abs(speed_left_rad_s - speed_right_rad_s) / 2.0 * side_teeth / planet_teeth


def friction_locking_value(
    *,
    friction: float,
    pressure_angle_deg: float,
    side_cone_deg: float,
    planet_cone_deg: float,
    side_mean_radius_mm: float,
    planet_mean_radius_mm: float,
    pin_radius_mm: float,
    side_face_radius_mm: float,
    planet_face_radius_mm: float,
) -> float:
    """Locking value that a plain bevel differential has from friction on pin and back faces.

    ``S = mu [r_pin + tan(al) sin(d_p) r_fp]/r_mp + mu tan(al) sin(d_s) r_fs/r_ms``

    Parameters
    ----------
    friction : float
        mu of the rubbing pair: dry plastic on plastic 0.2-0.4, greased 0.05-0.15. [-]
    pressure_angle_deg : float
        al. [deg]
    side_cone_deg, planet_cone_deg : float
        Pitch-cone angles d_s, d_p. [deg]
    side_mean_radius_mm, planet_mean_radius_mm : float
        Mean pitch radii r_ms, r_mp. [mm]
    pin_radius_mm : float
        Radius of the cross pin, r_pin. [mm]
    side_face_radius_mm, planet_face_radius_mm : float
        Mean radii of the rubbing back faces, r_fs, r_fp. [mm]

    Returns
    -------
    float
        S, without the small share of the teeth. [-]

    Raises
    ------
    OutOfRangeError
        If a radius is not positive, or the friction so high that the gear would seize.

    Sources
    -------
    derived to first order; friction ranges [memory: VDI 2736 / tribology tables]
    """
    check_not_negative("friction", friction)
    check_positive("side_mean_radius_mm", side_mean_radius_mm)
    check_positive("planet_mean_radius_mm", planet_mean_radius_mm)
    slope = math.tan(math.radians(pressure_angle_deg))
    planet_thrust = slope * math.sin(math.radians(planet_cone_deg))
    side_thrust = slope * math.sin(math.radians(side_cone_deg))
    planets = (pin_radius_mm + planet_thrust * planet_face_radius_mm) / planet_mean_radius_mm
    sides = side_thrust * side_face_radius_mm / side_mean_radius_mm
    value = friction * (planets + sides)
    if value > 1.0:
        raise OutOfRangeError("locking value from friction", value, "1 or less; it would seize")
    return value
