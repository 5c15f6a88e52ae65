"""Bolted joints in plastic: forces on a circle or a group, bearing, shear, preload and its loss.

Symbols: n bolts, r radius of the bolt circle, d bolt diameter, t plate thickness, P thread pitch,
K nut factor, F_i preload, C joint constant, mu friction.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from printplan.elements.ranges import between, not_negative, positive
from printplan.errors import OutOfRangeError

__all__ = [
    "bearing_pressure_mpa",
    "bolt_circle_force_n",
    "bolt_load_n",
    "bolt_shear_stress_mpa",
    "bolts_of_group_n",
    "bolts_that_bear",
    "friction_torque_nmm",
    "nut_factor",
    "preload_from_torque_n",
    "preload_left",
    "tightening_torque_nmm",
    "washer_pressure_mpa",
]

FIRST_MINUTE_H = 1 / 60


def bolts_that_bear(bolts: int, *, fitted: bool = False) -> int:
    """Bolts of a circle that carry a torque by shape.

    All if they are `fitted` (reamed or in metal bushes). In printed clearance holes half of them,
    rounded down, but at least two.

    Raises
    ------
    OutOfRangeError
        If there are fewer than two bolts, which can't carry a pure torque.

    Sources
    -------
    derived (judgement)
    """
    if bolts != int(bolts) or bolts < 2:
        raise OutOfRangeError("bolts", bolts, "a whole number, 2 or more")
    return bolts if fitted else max(2, bolts // 2)


def bolt_circle_force_n(torque_nmm: float, bearing_bolts: int, circle_radius_mm: float) -> float:
    """Force on each bearing bolt of a circle: ``T/(n r)``; n from `bolts_that_bear`. [N]

    Raises
    ------
    OutOfRangeError
        If the radius is not positive or there is no bolt.

    Sources
    -------
    [source: Sadhu Singh, ex. 7.1]  all bear
    """
    positive(circle_radius_mm=circle_radius_mm)
    if bearing_bolts < 1:
        raise OutOfRangeError("bearing_bolts", bearing_bolts, "1 or more")
    return abs(torque_nmm) / (bearing_bolts * circle_radius_mm)


def bolts_of_group_n(
    places_mm: Sequence[tuple[float, float]],
    force_n: tuple[float, float],
    at_mm: tuple[float, float],
) -> tuple[tuple[float, float], ...]:
    """Share of each of several equal bolts under a force beside their middle.

    Direct share ``V/n`` plus ``M r_j/sum r^2`` across the line to the middle, added as vectors.

    Parameters
    ----------
    places_mm : sequence of (x, y)
        Bolt places. [mm]
    force_n, at_mm : (x, y)
        Force in the plane of the bolts and a point on its line. [N], [mm]

    Returns
    -------
    tuple of (x, y)
        Force that the group puts on each bolt. [N]

    Raises
    ------
    OutOfRangeError
        If there are fewer than two bolts or all are in one place.

    Sources
    -------
    [memory: Shigley ex. 8-7]  method
    """
    count = len(places_mm)
    if count < 2:
        raise OutOfRangeError("number of bolts", count, "2 or more")
    x0 = sum(x for x, _ in places_mm) / count
    y0 = sum(y for _, y in places_mm) / count
    polar = sum((x - x0) ** 2 + (y - y0) ** 2 for x, y in places_mm)
    if not polar > 0:
        raise OutOfRangeError("spread of the bolts", polar, "bolts in different places")
    moment = (at_mm[0] - x0) * force_n[1] - (at_mm[1] - y0) * force_n[0]
    return tuple(
        (
            force_n[0] / count - moment * (y - y0) / polar,
            force_n[1] / count + moment * (x - x0) / polar,
        )
        for x, y in places_mm
    )


def bearing_pressure_mpa(force_n: float, diameter_mm: float, thickness_mm: float) -> float:
    """Pressure of a bolt or pin on its hole, on the projected area: ``F/(d t)``. [MPa]

    Raises
    ------
    OutOfRangeError
        If a size is not positive.

    Sources
    -------
    [source: Gere, ex. 1.7]  form
    """
    positive(diameter_mm=diameter_mm, thickness_mm=thickness_mm)
    return abs(force_n) / (diameter_mm * thickness_mm)


def bolt_shear_stress_mpa(force_n: float, diameter_mm: float, shear_planes: int = 1) -> float:
    """Mean shear stress in a bolt or pin: ``4 F/(pi d^2 n_planes)``. [MPa]

    Raises
    ------
    OutOfRangeError
        If the diameter is not positive or the planes are not 1 or 2.

    Sources
    -------
    [source: Gere, ex. 1.7; Sadhu Singh, ex. 7.1]
    """
    positive(diameter_mm=diameter_mm)
    between("shear_planes", shear_planes, 1, 2)
    return 4 * abs(force_n) / (math.pi * diameter_mm**2 * shear_planes)


def friction_torque_nmm(
    bolts: int, friction: float, preload_n: float, circle_radius_mm: float
) -> float:
    """Torque that the clamped faces hold by friction: ``n mu F r``. [N mm]

    Never rely on it where plastic is clamped: the preload creeps away.

    Raises
    ------
    OutOfRangeError
        If a number is out of range.

    Sources
    -------
    [memory: any text on machine elements]
    """
    positive(circle_radius_mm=circle_radius_mm)
    not_negative(preload_n=preload_n)
    between("friction", friction, 0.0, 1.0)
    between("bolts", bolts, 1, 1000)
    return bolts * friction * preload_n * circle_radius_mm


def tightening_torque_nmm(preload_n: float, diameter_mm: float, factor: float = 0.2) -> float:
    """Torque that gives a preload: ``K d F_i``; K about 0.2 dry, 0.15 lubricated. [N mm]

    Raises
    ------
    OutOfRangeError
        If the diameter is not positive or K is outside 0.05 to 0.5.

    Sources
    -------
    [source: Wentzell, ex. 6.1]  K = 0.2
    """
    positive(diameter_mm=diameter_mm)
    not_negative(preload_n=preload_n)
    between("factor", factor, 0.05, 0.5)
    return factor * diameter_mm * preload_n


def preload_from_torque_n(torque_nmm: float, diameter_mm: float, factor: float = 0.2) -> float:
    """Preload that a tightening torque gives: ``T/(K d)``. [N]

    Raises
    ------
    OutOfRangeError
        If the diameter is not positive or K is outside 0.05 to 0.5.

    Sources
    -------
    [source: Wentzell, ex. 6.1]  K = 0.2
    """
    positive(diameter_mm=diameter_mm)
    not_negative(torque_nmm=torque_nmm)
    between("factor", factor, 0.05, 0.5)
    return torque_nmm / (factor * diameter_mm)


def nut_factor(
    diameter_mm: float, pitch_mm: float, thread_friction: float, collar_friction: float
) -> float:
    """Nut factor K of an ISO thread from its frictions.

    ``K = d_m/(2 d) (tan L + mu/cos 30)/(1 - mu tan L/cos 30) + 0.625 mu_c``, with
    ``tan L = P/(pi d_m)`` and d_m the mean of the outer and the root diameter, d - 1.2269 P.

    Raises
    ------
    OutOfRangeError
        If a number is out of range.

    Sources
    -------
    [source: Jindal, ex. 9-3]
    """
    positive(diameter_mm=diameter_mm, pitch_mm=pitch_mm)
    between("pitch_mm", pitch_mm, 0.0, diameter_mm / 3)
    between("thread_friction", thread_friction, 0.0, 0.6)
    between("collar_friction", collar_friction, 0.0, 0.6)
    mean = diameter_mm - 1.226869 * pitch_mm / 2
    lead = pitch_mm / (math.pi * mean)
    friction = thread_friction / math.cos(math.radians(30))
    thread = mean / (2 * diameter_mm) * (lead + friction) / (1 - friction * lead)
    return thread + 0.625 * collar_friction


def bolt_load_n(preload_n: float, external_n: float, joint_constant: float = 1.0) -> float:
    """Force in a preloaded bolt under an external pull: ``F_i + C F_ext``. [N]

    C = k_bolt/(k_bolt + k_parts); soft plastic between the heads makes it nearly 1.

    Raises
    ------
    OutOfRangeError
        If a force is negative or C outside 0 to 1.

    Sources
    -------
    [source: Jindal, ex. 9-6; Wentzell, ex. 6.4]
    """
    not_negative(preload_n=preload_n, external_n=external_n)
    between("joint_constant", joint_constant, 0.0, 1.0)
    return preload_n + joint_constant * external_n


def washer_pressure_mpa(force_n: float, outer_mm: float, hole_mm: float) -> float:
    """Pressure under a round washer or head: ``4 F/(pi (D^2 - d^2))``. [MPa]

    Raises
    ------
    OutOfRangeError
        If the washer is not larger than its hole.

    Sources
    -------
    derived  force over area
    """
    positive(hole_mm=hole_mm)
    if not outer_mm > hole_mm:
        raise OutOfRangeError("outer_mm", outer_mm, f"above the hole of {hole_mm:g} mm")
    return 4 * abs(force_n) / (math.pi * (outer_mm**2 - hole_mm**2))


def preload_left(
    time_h: float, exponent: float = 0.05, reference_h: float = FIRST_MINUTE_H
) -> float:
    """Share of the preload that creep of the clamped plastic leaves: ``(t/t_0)^-n``.

    n = 0.03 to 0.06 for engineering plastics at 23 degC, more when warm; t_0 is the moment when
    the preload was measured, one minute after tightening unless told.

    Raises
    ------
    OutOfRangeError
        If the time is before the reference or the exponent outside 0 to 0.3.

    Sources
    -------
    [memory: creep exponents of that order]
    """
    positive(reference_h=reference_h)
    between("time_h", time_h, reference_h, 1e6)
    between("exponent", exponent, 0.0, 0.3)
    return float((time_h / reference_h) ** -exponent)
