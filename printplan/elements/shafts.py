"""Half axles and simple beams: reactions, moments, deflections and combined stress of round bars.

Symbols: F force, a overhang, l span between bearings, d diameter, E modulus, I second moment.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.elements.ranges import between, not_negative, positive
from printplan.errors import OutOfRangeError

__all__ = [
    "OverhungWheel",
    "elliptic_fatigue_factor",
    "end_loaded_cantilever_deflection_mm",
    "largest_principal_stress_mpa",
    "largest_shear_stress_mpa",
    "overhung_wheel",
    "rectangle_bending_stress_mpa",
    "round_bar_bending_stress_mpa",
    "shaft_diameter_for_torque_mm",
    "span_deflection_mm",
    "span_moment_nmm",
    "von_mises_stress_mpa",
]


@dataclass(frozen=True, kw_only=True)
class OverhungWheel:
    """Axle with a wheel outside its two bearings.

    Attributes
    ----------
    near_reaction_n, far_reaction_n : float
        At the bearing beside the wheel and at the other, where it pulls the other way. [N]
    moment_nmm : float
        Bending moment at the near bearing. [N mm]
    bending_stress_mpa : float
        At the near bearing, no notch factor in it. [MPa]
    tip_deflection_mm : float
        At the wheel. [mm]
    """

    near_reaction_n: float
    far_reaction_n: float
    moment_nmm: float
    bending_stress_mpa: float
    tip_deflection_mm: float


def round_bar_bending_stress_mpa(
    moment_nmm: float, outer_mm: float, inner_mm: float = 0.0
) -> float:
    """Bending stress of a round bar or tube: ``32 M D/(pi (D^4 - d^4))``. [MPa]

    Raises
    ------
    OutOfRangeError
        If the diameters don't make a tube.

    Sources
    -------
    [memory: beam tables]
    """
    positive(outer_mm=outer_mm)
    if not 0 <= inner_mm < outer_mm:
        raise OutOfRangeError("inner_mm", inner_mm, f"0 to below the outer {outer_mm:g} mm")
    return 32 * abs(moment_nmm) * outer_mm / (math.pi * (outer_mm**4 - inner_mm**4))


def rectangle_bending_stress_mpa(moment_nmm: float, width_mm: float, depth_mm: float) -> float:
    """Bending stress of a rectangular bar, depth in the plane of bending: ``6 M/(b h^2)``. [MPa]

    Raises
    ------
    OutOfRangeError
        If a size is not positive.

    Sources
    -------
    [memory: beam tables]

    Examples
    --------
    >>> rectangle_bending_stress_mpa(10.0 * 60.0, 10.0, 6.0)
    10.0
    """
    positive(width_mm=width_mm, depth_mm=depth_mm)
    return 6 * abs(moment_nmm) / (width_mm * depth_mm**2)


def overhung_wheel(
    force_n: float,
    *,
    overhang_mm: float,
    span_mm: float,
    diameter_mm: float,
    modulus_mpa: float,
) -> OverhungWheel:
    """Axle with a force outside its bearings.

    ``R_near = F (1 + a/l)``, ``R_far = -F a/l``, ``M = F a``,
    tip deflection ``F a^2 (l + a)/(3 E I)``; bearings that let the axle tilt.

    Raises
    ------
    OutOfRangeError
        If a size or the modulus is not positive.

    Sources
    -------
    [memory: beam tables]
    """
    positive(
        overhang_mm=overhang_mm, span_mm=span_mm, diameter_mm=diameter_mm, modulus_mpa=modulus_mpa
    )
    moment = force_n * overhang_mm
    inertia = math.pi * diameter_mm**4 / 64
    return OverhungWheel(
        near_reaction_n=force_n * (1 + overhang_mm / span_mm),
        far_reaction_n=-force_n * overhang_mm / span_mm,
        moment_nmm=moment,
        bending_stress_mpa=round_bar_bending_stress_mpa(moment, diameter_mm),
        tip_deflection_mm=moment
        * overhang_mm
        * (span_mm + overhang_mm)
        / (3 * modulus_mpa * inertia),
    )


def span_moment_nmm(force_n: float, from_left_mm: float, span_mm: float) -> float:
    """Moment under a force between two bearings: ``F a (l - a)/l``. [N mm]

    Raises
    ------
    OutOfRangeError
        If the force is not between the bearings.

    Sources
    -------
    [memory: beam tables]
    """
    positive(span_mm=span_mm)
    between("from_left_mm", from_left_mm, 0.0, span_mm)
    return force_n * from_left_mm * (span_mm - from_left_mm) / span_mm


def span_deflection_mm(
    force_n: float, span_mm: float, modulus_mpa: float, inertia_mm4: float
) -> float:
    """Deflection under a force in the middle of a span: ``F l^3/(48 E I)``. [mm]

    Raises
    ------
    OutOfRangeError
        If a size or the modulus is not positive.

    Sources
    -------
    [memory: beam tables]
    """
    positive(span_mm=span_mm, modulus_mpa=modulus_mpa, inertia_mm4=inertia_mm4)
    return force_n * span_mm**3 / (48 * modulus_mpa * inertia_mm4)


def end_loaded_cantilever_deflection_mm(
    force_n: float,
    length_mm: float,
    modulus_mpa: float,
    inertia_mm4: float,
    shear_stiffness_n: float = math.inf,
) -> float:
    """Deflection of a cantilever at its loaded end: ``F l^3/(3 E I) + F l/(kappa G A)``. [mm]

    `shear_stiffness_n` is kappa G A (kappa = 5/6 for a rectangle); infinity leaves shear out.

    Raises
    ------
    OutOfRangeError
        If a size, the modulus or the shear stiffness is not positive.

    Sources
    -------
    [memory: Timoshenko; beam tables]
    """
    positive(length_mm=length_mm, modulus_mpa=modulus_mpa, inertia_mm4=inertia_mm4)
    if not shear_stiffness_n > 0:
        raise OutOfRangeError("shear_stiffness_n", shear_stiffness_n, "above 0")
    bending = force_n * length_mm**3 / (3 * modulus_mpa * inertia_mm4)
    return bending + force_n * length_mm / shear_stiffness_n


def von_mises_stress_mpa(normal_mpa: float, shear_mpa: float) -> float:
    """Equivalent stress of tough materials: ``sqrt(sigma^2 + 3 tau^2)``. [MPa]

    Sources
    -------
    [memory: any text on strength of materials]
    """
    return math.hypot(normal_mpa, math.sqrt(3) * shear_mpa)


def largest_principal_stress_mpa(normal_mpa: float, shear_mpa: float) -> float:
    """Largest principal stress, for brittle materials: ``s/2 + sqrt(tau^2 + (s/2)^2)``. [MPa]

    Sources
    -------
    [source: Wentzell, ex. 4.4]
    """
    return normal_mpa / 2 + math.hypot(shear_mpa, normal_mpa / 2)


def largest_shear_stress_mpa(normal_mpa: float, shear_mpa: float) -> float:
    """Largest shear stress of a plane state: ``sqrt(tau^2 + (s/2)^2)``. [MPa]

    Sources
    -------
    [memory: any text on strength of materials]
    """
    return math.hypot(shear_mpa, normal_mpa / 2)


def elliptic_fatigue_factor(
    reversed_normal_mpa: float,
    steady_shear_mpa: float,
    *,
    fatigue_strength_mpa: float,
    shear_yield_mpa: float,
) -> float:
    """Safety factor of reversed bending with steady torque, on an ellipse.

    ``1/sqrt((sigma/S_e)^2 + (tau/S_sy)^2)``.

    Raises
    ------
    OutOfRangeError
        If a strength is not positive or there is no stress.

    Sources
    -------
    [source: Jindal, ex. 15-7]
    """
    positive(fatigue_strength_mpa=fatigue_strength_mpa, shear_yield_mpa=shear_yield_mpa)
    utilisation = math.hypot(
        reversed_normal_mpa / fatigue_strength_mpa, steady_shear_mpa / shear_yield_mpa
    )
    positive(utilisation=utilisation)
    return 1 / utilisation


def shaft_diameter_for_torque_mm(torque_nmm: float, allowable_shear_mpa: float) -> float:
    """Diameter of a solid shaft for a torque: ``(16 T/(pi tau))^(1/3)``. [mm]

    Raises
    ------
    OutOfRangeError
        If the torque is negative or the allowable not positive.

    Sources
    -------
    [source: Sadhu Singh, ex. 7.1]
    """
    not_negative(torque_nmm=torque_nmm)
    positive(allowable_shear_mpa=allowable_shear_mpa)
    return float((16 * torque_nmm / (math.pi * allowable_shear_mpa)) ** (1 / 3))
