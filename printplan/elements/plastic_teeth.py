"""Plastic spur teeth after the German guideline: root stress, tip deflection, flank pressure.

All formulas and constants are [memory: VDI 2736-2:2014] unless marked: verify them against the
guideline before they guard a person. It has no bevel part; bevel gears come in through their
virtual spur gears, with care. Its allowables are for moulded and machined teeth, not printed ones.
"""

from __future__ import annotations

import math

from printplan.elements.ranges import between, not_negative, positive

__all__ = [
    "contact_ratio_factor",
    "flank_pressure_mpa",
    "loss_factor",
    "tip_deflection_mm",
    "vdi_root_stress_mpa",
]

#: Coefficient of lam = 7.5 F_t/b (1/E1 + 1/E2).
TIP_DEFLECTION_COEFFICIENT = 7.5


def contact_ratio_factor(contact_ratio: float) -> float:
    """Contact ratio factor ``Y_eps = 0.25 + 0.75/eps``.

    Raises
    ------
    OutOfRangeError
        If the ratio is outside 1 to 2.

    Sources
    -------
    [memory: VDI 2736-2:2014]
    """
    between("contact_ratio", contact_ratio, 1.0, 2.0, "below 1 the gears don't run")
    return 0.25 + 0.75 / contact_ratio


def vdi_root_stress_mpa(
    tangential_n: float,
    *,
    face_width_mm: float,
    module_mm: float,
    form_factor: float,
    notch_factor: float,
    contact_factor: float = 1.0,
    load_factor: float = 1.0,
) -> float:
    """Root stress of a spur tooth: ``sigma_F = K_F F_t/(b m) Y_Fa Y_Sa Y_eps``. [MPa]

    Here the form factor Y_Fa multiplies (about 2 to 4, the inverse way of Lewis' Y), Y_Sa is the
    notch factor. The allowable is ``2 sigma_Flim,N/S_F``.

    Raises
    ------
    OutOfRangeError
        If a size is not positive or a factor is out of its range.

    Sources
    -------
    [memory: VDI 2736-2:2014]
    """
    not_negative(tangential_n=tangential_n)
    positive(face_width_mm=face_width_mm, module_mm=module_mm)
    between("form_factor", form_factor, 1.5, 6.0, "this is Y_Fa, not Lewis' Y")
    between("notch_factor", notch_factor, 1.0, 3.5)
    between("contact_factor", contact_factor, 0.5, 1.0)
    between("load_factor", load_factor, 1.0, 10.0)
    nominal = tangential_n / (face_width_mm * module_mm)
    return load_factor * nominal * form_factor * notch_factor * contact_factor


def tip_deflection_mm(
    tangential_n: float,
    *,
    face_width_mm: float,
    modulus_mpa: float,
    partner_modulus_mpa: float | None,
) -> float:
    """Tip deflection of meshing teeth: ``lam = 7.5 F_t/b (1/E1 + 1/E2)``. [mm]

    A steel partner (None) counts as rigid. The customary limit is `teeth.deflection_limit_mm`.

    Raises
    ------
    OutOfRangeError
        If a size or modulus is not positive.

    Sources
    -------
    [memory: VDI 2736-2:2014]
    """
    not_negative(tangential_n=tangential_n)
    positive(face_width_mm=face_width_mm, modulus_mpa=modulus_mpa)
    softness = 1 / modulus_mpa
    if partner_modulus_mpa is not None:
        positive(partner_modulus_mpa=partner_modulus_mpa)
        softness += 1 / partner_modulus_mpa
    return TIP_DEFLECTION_COEFFICIENT * tangential_n / face_width_mm * softness


def loss_factor(
    pinion_teeth: int, gear_teeth: int, pinion_tip_ratio: float, gear_tip_ratio: float
) -> float:
    """Share of the tooth force times speed that is lost, per unit of friction coefficient.

    ``H_v = pi (u + 1)/z2 (1 - e1 - e2 + e1^2 + e2^2)``, e1 and e2 the tip contact ratios (their
    sum is the contact ratio), u = z2/z1.

    Raises
    ------
    OutOfRangeError
        If the teeth are not positive or a tip contact ratio is outside 0 to 1.5.

    Sources
    -------
    [memory: VDI 2736-2:2014]
    """
    positive(pinion_teeth=pinion_teeth, gear_teeth=gear_teeth)
    between("pinion_tip_ratio", pinion_tip_ratio, 0.0, 1.5)
    between("gear_tip_ratio", gear_tip_ratio, 0.0, 1.5)
    e1, e2 = pinion_tip_ratio, gear_tip_ratio
    ratio = gear_teeth / pinion_teeth
    return math.pi * (ratio + 1) / gear_teeth * (1 - e1 - e2 + e1**2 + e2**2)


def flank_pressure_mpa(
    tangential_n: float,
    *,
    face_width_mm: float,
    pinion_pitch_diameter_mm: float,
    teeth_ratio: float,
    contact_ratio: float,
    moduli_mpa: tuple[float, float],
    poisson_ratios: tuple[float, float],
    pressure_angle_deg: float = 20.0,
    load_factor: float = 1.0,
) -> float:
    """Pressure between spur flanks: ``Z_E Z_H Z_eps sqrt(F_t K_H (u + 1)/(b d1 u))``. [MPa]

    ``Z_E = 1/sqrt(pi sum (1 - nu^2)/E)``, ``Z_H = 2/sqrt(sin 2 alpha)``,
    ``Z_eps = sqrt((4 - eps)/3)``; u >= 1 is the ratio of the larger to the smaller gear.

    Raises
    ------
    OutOfRangeError
        If a number is out of range.

    Sources
    -------
    [memory: VDI 2736-2:2014; ISO 6336-2]
    """
    not_negative(tangential_n=tangential_n)
    positive(face_width_mm=face_width_mm, pinion_pitch_diameter_mm=pinion_pitch_diameter_mm)
    between("teeth_ratio", teeth_ratio, 1.0, 50.0)
    between("contact_ratio", contact_ratio, 1.0, 2.0)
    between("load_factor", load_factor, 1.0, 10.0)
    softness = 0.0
    for modulus, poisson in zip(moduli_mpa, poisson_ratios, strict=True):
        positive(modulus_mpa=modulus)
        between("poisson_ratio", poisson, 0.0, 0.5)
        softness += (1 - poisson**2) / modulus
    elastic = 1 / math.sqrt(math.pi * softness)
    zone = 2 / math.sqrt(math.sin(2 * math.radians(pressure_angle_deg)))
    overlap = math.sqrt((4 - contact_ratio) / 3)
    line_load = tangential_n * load_factor / (face_width_mm * pinion_pitch_diameter_mm)
    return elastic * zone * overlap * math.sqrt(line_load * (teeth_ratio + 1) / teeth_ratio)
