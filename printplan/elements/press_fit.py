"""Press fits of a printed hub on a bearing or shaft after Lame, and what warmth takes from them.

Symbols: delta interference on the diameter, d joint and D outer diameter, E modulus, nu Poisson's
ratio, b length, mu friction.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.elements.ranges import between, not_negative, positive
from printplan.errors import OutOfRangeError

__all__ = ["PressFit", "interference_lost_mm", "lame_hoop_factor", "press_fit"]

STEEL_EXPANSION_PER_K = 12e-6  # [memory]


@dataclass(frozen=True, kw_only=True)
class PressFit:
    """State of a press fit.

    Attributes
    ----------
    pressure_mpa : float
        Pressure in the joint. [MPa]
    hoop_stress_mpa : float
        Tension at the hub's bore. [MPa]
    axial_hold_n, torque_hold_nmm : float
        Push and torque that the friction holds. [N], [N mm]
    """

    pressure_mpa: float
    hoop_stress_mpa: float
    axial_hold_n: float
    torque_hold_nmm: float


def lame_hoop_factor(bore_mm: float, outer_mm: float) -> float:
    """Hoop stress at the bore per inner pressure: ``C = (D^2 + d^2)/(D^2 - d^2)``.

    Raises
    ------
    OutOfRangeError
        If the ring has no wall.

    Sources
    -------
    [memory: textbook Lame]
    """
    positive(bore_mm=bore_mm)
    if not (outer_mm > bore_mm and math.isfinite(outer_mm)):
        raise OutOfRangeError("outer_mm", outer_mm, f"above the bore of {bore_mm:g} mm")
    return (outer_mm**2 + bore_mm**2) / (outer_mm**2 - bore_mm**2)


def press_fit(
    *,
    interference_mm: float,
    joint_mm: float,
    hub_outer_mm: float,
    length_mm: float,
    hub_modulus_mpa: float,
    hub_poisson: float,
    friction: float,
    shaft_modulus_mpa: float | None = None,
    shaft_poisson: float = 0.3,
) -> PressFit:
    """Press fit of a hub on a solid shaft or bearing ring.

    ``p = (delta/d)/[(C_h + nu_h)/E_h + (1 - nu_s)/E_s]``; hoop stress ``p C_h``; axial hold
    ``mu pi d b p``; torque hold half a diameter more. Take the creep modulus (0.3 to 0.5 of E)
    for the grip that lasts, the short-term modulus for the risk of cracking.

    Parameters
    ----------
    interference_mm, joint_mm, hub_outer_mm, length_mm : float
        delta on the diameter, d, D, b; zero interference is a loose fit. [mm]
    hub_modulus_mpa, hub_poisson : float
        Of the printed hub. [MPa], [-]
    friction : float
        Coefficient of friction.
    shaft_modulus_mpa, shaft_poisson : float
        Of the shaft; None is rigid, as a metal one is beside plastic.

    Returns
    -------
    PressFit

    Raises
    ------
    OutOfRangeError
        If a number is out of range, or the interference is above 3 % of the diameter.

    Sources
    -------
    [memory: textbook Lame; plastics guides use the same with a rigid metal shaft]
    """
    not_negative(interference_mm=interference_mm)
    positive(joint_mm=joint_mm, length_mm=length_mm, hub_modulus_mpa=hub_modulus_mpa)
    between("hub_poisson", hub_poisson, 0.0, 0.5)
    between("friction", friction, 0.0, 1.0)
    between(
        "interference_mm", interference_mm, 0.0, 0.03 * joint_mm, "a larger strain isn't elastic"
    )
    hoop = lame_hoop_factor(joint_mm, hub_outer_mm)
    softness = (hoop + hub_poisson) / hub_modulus_mpa
    if shaft_modulus_mpa is not None:
        positive(shaft_modulus_mpa=shaft_modulus_mpa)
        softness += (1 - shaft_poisson) / shaft_modulus_mpa
    pressure = interference_mm / joint_mm / softness
    hold = friction * math.pi * joint_mm * length_mm * pressure
    return PressFit(
        pressure_mpa=pressure,
        hoop_stress_mpa=pressure * hoop,
        axial_hold_n=hold,
        torque_hold_nmm=hold * joint_mm / 2,
    )


def interference_lost_mm(
    joint_mm: float,
    warming_k: float,
    hub_expansion_per_k: float,
    shaft_expansion_per_k: float = STEEL_EXPANSION_PER_K,
) -> float:
    """Interference on the diameter that warming takes away: ``d (alpha_h - alpha_s) dT``. [mm]

    Negative when the parts cool.

    Raises
    ------
    OutOfRangeError
        If the diameter is not positive or an expansion is not that of a solid.

    Sources
    -------
    [memory]  plastics 60e-6 to 110e-6, steel 12e-6 per kelvin
    """
    positive(joint_mm=joint_mm)
    between("hub_expansion_per_k", hub_expansion_per_k, 0.0, 3e-4)
    between("shaft_expansion_per_k", shaft_expansion_per_k, 0.0, 3e-4)
    return joint_mm * (hub_expansion_per_k - shaft_expansion_per_k) * warming_k
