"""Closed forms for the time of moves: ramps, corners, straight lines between stops.

Times in s, lengths in mm, speeds in mm/s, accelerations in mm/s². Functions whose arguments may be
arrays say so; they broadcast as numpy does.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printplan.errors import OutOfRangeError

__all__ = [
    "corner_loss",
    "corner_speed",
    "corner_speed_from_jump",
    "effective_line_speed",
    "mean_chord",
    "rest_to_rest_time",
    "s_curve_time",
    "trapezoid_time",
]

Floats = NDArray[np.float64]


def trapezoid_time(
    length_mm: float,
    speed_mm_s: float,
    acceleration_mm_s2: float,
    entry_mm_s: float = 0.0,
    exit_mm_s: float = 0.0,
) -> float:
    """Time of a straight move with constant acceleration, cruise and constant deceleration.

    With L, v, a, v0 and v1 for the arguments in order: the ramps take
    d = (v² - v0²)/(2a) + (v² - v1²)/(2a). If L >= d, t = (v - v0)/a + (v - v1)/a + (L - d)/v;
    else the peak is v_p = sqrt(a L + (v0² + v1²)/2) and t = (2 v_p - v0 - v1)/a.

    Parameters
    ----------
    length_mm : float
        Length of the move. [mm]
    speed_mm_s, entry_mm_s, exit_mm_s : float
        Cruise speed and the speeds at both ends, not above it. [mm/s]
    acceleration_mm_s2 : float
        Acceleration and deceleration. [mm/s²]

    Returns
    -------
    float
        Duration. [s]

    Raises
    ------
    OutOfRangeError
        If speed or acceleration is not positive, or the length is too short to change between
        the end speeds: abs(v1² - v0²) <= 2 a L must hold.

    Sources
    -------
    derived: kinematics of constant acceleration.

    Examples
    --------
    >>> round(trapezoid_time(20, 60, 500), 6)
    0.453333
    """
    _positive("speed [mm/s]", speed_mm_s)
    _positive("acceleration [mm/s²]", acceleration_mm_s2)
    l, v, a, v0, v1 = length_mm, speed_mm_s, acceleration_mm_s2, entry_mm_s, exit_mm_s  # noqa: E741
    if max(v0, v1) > v:
        raise OutOfRangeError("end speed [mm/s]", max(v0, v1), f"at most the cruise speed, {v:g}")
    # The squares cancel: what is left carries their rounding.
    if abs(v1 * v1 - v0 * v0) > 2 * a * l + 1e-12 * (2 * a * l + v0 * v0 + v1 * v1):
        raise OutOfRangeError(
            "length [mm]", l, f"at least {abs(v1 * v1 - v0 * v0) / (2 * a):.4g} to change speed"
        )
    ramps = (2 * v * v - v0 * v0 - v1 * v1) / (2 * a)
    if l >= ramps:
        return (2 * v - v0 - v1) / a + (l - ramps) / v
    peak = math.sqrt(a * l + (v0 * v0 + v1 * v1) / 2)
    return (2 * peak - v0 - v1) / a


def rest_to_rest_time(
    length_mm: ArrayLike, speed_mm_s: ArrayLike, acceleration_mm_s2: float
) -> Floats:
    """Time of straight moves from rest to rest: L/v + v/a, or 2 sqrt(L/a) for short ones.

    Parameters
    ----------
    length_mm, speed_mm_s : array_like
        Lengths and cruise speeds. [mm], [mm/s]
    acceleration_mm_s2 : float
        Acceleration. [mm/s²]

    Returns
    -------
    ndarray of float64
        Durations. [s]

    Sources
    -------
    derived: :func:`trapezoid_time` with both end speeds zero.
    """
    l = np.asarray(length_mm, dtype=np.float64)  # noqa: E741
    v = np.asarray(speed_mm_s, dtype=np.float64)
    a = acceleration_mm_s2
    return np.where(l >= v * v / a, l / v + v / a, 2 * np.sqrt(l / a))


def s_curve_time(
    length_mm: float, speed_mm_s: float, acceleration_mm_s2: float, jerk_mm_s3: float
) -> float:
    """Time of a straight move from rest to rest with limited jerk.

    With T_a = v/a + a/j (needs v j >= a²): L >= v T_a gives t = L/v + T_a; down to 2 a³/j²
    t = a/j + sqrt((a/j)² + 4 L/a); shorter still t = (32 L/j)^(1/3). Where v j < a² the
    acceleration never reaches a: T_a = 2 sqrt(v/j), and short moves follow the cube root.

    Parameters
    ----------
    length_mm : float
        Length of the move. [mm]
    speed_mm_s : float
        Cruise speed. [mm/s]
    acceleration_mm_s2 : float
        Largest acceleration. [mm/s²]
    jerk_mm_s3 : float
        Rate of change of the acceleration. [mm/s³]

    Returns
    -------
    float
        Duration. [s]

    Raises
    ------
    OutOfRangeError
        If speed, acceleration or jerk is not positive.

    Sources
    -------
    derived; [memory: Biagiotti & Melchiorri 2008, Trajectory Planning] agrees.
    """
    _positive("speed [mm/s]", speed_mm_s)
    _positive("acceleration [mm/s²]", acceleration_mm_s2)
    _positive("jerk [mm/s³]", jerk_mm_s3)
    l, v, a, j = length_mm, speed_mm_s, acceleration_mm_s2, jerk_mm_s3  # noqa: E741
    reaches_a = v * j >= a * a
    ramp = v / a + a / j if reaches_a else 2 * math.sqrt(v / j)
    if l >= v * ramp:
        return l / v + ramp
    if reaches_a and l >= 2 * a**3 / j**2:
        return a / j + math.sqrt((a / j) ** 2 + 4 * l / a)
    return float(np.cbrt(32 * l / j))


def corner_speed(
    turn_deg: ArrayLike, acceleration_mm_s2: float, deviation_mm: float, speed_mm_s: ArrayLike
) -> Floats:
    """Speed through a corner that may be cut by a small deviation.

    v_c = sqrt(a delta S / (1 - S)), S = cos(phi/2), at most `speed_mm_s`: the arc tangent to both
    legs that passes the corner at the distance delta, driven at the centripetal acceleration a.

    Parameters
    ----------
    turn_deg : array_like
        Turn angle phi, 0 straight on, 180 back. [deg]
    acceleration_mm_s2 : float
        Acceleration a. [mm/s²]
    deviation_mm : float
        Allowed deviation delta of the path at the corner. [mm]
    speed_mm_s : array_like
        Speed on the legs, which the corner speed never exceeds. [mm/s]

    Returns
    -------
    ndarray of float64
        Corner speeds. [mm/s]

    Sources
    -------
    derived: geometry of the inscribed arc.
    """
    cosine = np.cos(np.radians(np.asarray(turn_deg, dtype=np.float64)) / 2)
    cosine = np.clip(cosine, 0.0, 1.0)
    with np.errstate(divide="ignore"):
        free = np.sqrt(acceleration_mm_s2 * deviation_mm * cosine / (1 - cosine))
    return np.asarray(np.minimum(free, np.asarray(speed_mm_s, dtype=np.float64)))


def corner_speed_from_jump(turn_deg: ArrayLike, jump_mm_s: float, speed_mm_s: ArrayLike) -> Floats:
    """Speed through a corner where the velocity vector may jump: v_c = dv / (2 sin(phi/2)).

    Parameters
    ----------
    turn_deg : array_like
        Turn angle phi. [deg]
    jump_mm_s : float
        Allowed sudden change dv of the velocity vector. [mm/s]
    speed_mm_s : array_like
        Speed on the legs, which the corner speed never exceeds. [mm/s]

    Returns
    -------
    ndarray of float64
        Corner speeds. [mm/s]

    Sources
    -------
    derived: length of the difference of two velocity vectors.
    """
    sine = np.sin(np.radians(np.asarray(turn_deg, dtype=np.float64)) / 2)
    with np.errstate(divide="ignore"):
        free = jump_mm_s / (2 * sine)
    return np.minimum(free, np.asarray(speed_mm_s, dtype=np.float64))


def corner_loss(
    speed_mm_s: ArrayLike, corner_speed_mm_s: ArrayLike, acceleration_mm_s2: float
) -> Floats:
    """Time lost at a corner between long legs: (v - v_c)² / (a v).

    Parameters
    ----------
    speed_mm_s, corner_speed_mm_s : array_like
        Speed on the legs and through the corner. [mm/s]
    acceleration_mm_s2 : float
        Acceleration. [mm/s²]

    Returns
    -------
    ndarray of float64
        Time lost against driving on at full speed. [s]

    Sources
    -------
    derived; exact if both legs are longer than (v² - v_c²)/a, too large on shorter ones.
    """
    v = np.asarray(speed_mm_s, dtype=np.float64)
    lost = v - np.asarray(corner_speed_mm_s, dtype=np.float64)
    return np.asarray(lost * lost / (acceleration_mm_s2 * v))


def effective_line_speed(
    length_mm: ArrayLike, speed_mm_s: ArrayLike, acceleration_mm_s2: float
) -> Floats:
    """Mean speed on straight lines that stop at both ends.

    v / (1 + v²/(a l)), or sqrt(a l)/2 where the line is shorter than v²/a.

    Parameters
    ----------
    length_mm, speed_mm_s : array_like
        Length of one line and its cruise speed. [mm], [mm/s]
    acceleration_mm_s2 : float
        Acceleration. [mm/s²]

    Returns
    -------
    ndarray of float64
        Mean speeds. [mm/s]

    Sources
    -------
    derived: length over :func:`rest_to_rest_time`.
    """
    l = np.asarray(length_mm, dtype=np.float64)  # noqa: E741
    v = np.asarray(speed_mm_s, dtype=np.float64)
    a = acceleration_mm_s2
    with np.errstate(divide="ignore"):
        long = v / (1 + v * v / (a * l))
    return np.where(l >= v * v / a, long, np.sqrt(a * l) / 2)


def mean_chord(area_mm2: ArrayLike, perimeter_mm: ArrayLike) -> Floats:
    """Mean length of parallel lines cut by a region: pi A / P, zero for an empty region.

    Parameters
    ----------
    area_mm2, perimeter_mm : array_like
        Area and perimeter, holes included. [mm²], [mm]

    Returns
    -------
    ndarray of float64
        Mean length of a segment, over all directions. [mm]

    Sources
    -------
    [memory: Cauchy-Crofton, integral geometry]
    """
    area = np.asarray(area_mm2, dtype=np.float64)
    perimeter = np.asarray(perimeter_mm, dtype=np.float64)
    return np.pi * area / np.where(perimeter > 0, perimeter, np.inf)


def _positive(name: str, value: float) -> None:
    if not (math.isfinite(value) and value > 0):
        raise OutOfRangeError(name, value, "a positive, finite value")
