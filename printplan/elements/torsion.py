"""Twisting of straight bars: torsion constant J (T = G J theta') and largest shear stress.

Symbols: T torque, s across flats, a side, b long and h short side, t wall thickness.
"""

from __future__ import annotations

import math

from printplan.elements.ranges import between, positive
from printplan.errors import OutOfRangeError

__all__ = [
    "hexagon_torsion_constant_mm4",
    "hexagon_torsion_stress_mpa",
    "rectangle_torsion_constant_mm4",
    "rectangle_torsion_stress_mpa",
    "slit_tube_torsion_stress_mpa",
    "square_torsion_stress_mpa",
    "thin_tube_torsion_stress_mpa",
    "tube_torsion_stress_mpa",
    "twist_deg",
]

#: derived: hexagon of 1 mm across flats, finite elements on the stress function, extrapolated;
#: older tables print 0.1888 and 0.1154 [memory].
HEXAGON_W_T = 0.1877
HEXAGON_J = 0.1151


def hexagon_torsion_stress_mpa(torque_nmm: float, across_flats_mm: float) -> float:
    """Largest shear stress of a hexagon bar: ``tau = T/(0.1877 s^3)``, at mid-flat. [MPa]

    Raises
    ------
    OutOfRangeError
        If the size is not positive.

    Sources
    -------
    derived  finite elements; [memory: Roark] 0.188
    """
    positive(across_flats_mm=across_flats_mm)
    return abs(torque_nmm) / (HEXAGON_W_T * across_flats_mm**3)


def hexagon_torsion_constant_mm4(across_flats_mm: float) -> float:
    """Torsion constant of a hexagon bar: ``J = 0.1151 s^4``. [mm4]

    Raises
    ------
    OutOfRangeError
        If the size is not positive.

    Sources
    -------
    derived  finite elements; [memory: Roark] 0.1150
    """
    positive(across_flats_mm=across_flats_mm)
    return HEXAGON_J * across_flats_mm**4


def _rectangle_coefficients(ratio: float) -> tuple[float, float]:
    """Alpha and beta of tau = T/(alpha b h^2), J = beta b h^3, for ratio = b/h >= 1.

    The terms fall at least as fast as 1/k^5 and exp(-k): ten are exact to double precision's eye.
    """
    odd = range(1, 41, 2)
    wall = sum(math.tanh(k * math.pi * ratio / 2) / k**5 for k in odd)
    beta = (1 - 192 / math.pi**5 / ratio * wall) / 3
    # 1/cosh is written with exp to stay finite for slender bars.
    edge = sum(
        2 * math.exp(-k * math.pi * ratio / 2) / (1 + math.exp(-k * math.pi * ratio)) / k**2
        for k in odd
    )
    return beta / (1 - 8 / math.pi**2 * edge), beta


def rectangle_torsion_stress_mpa(torque_nmm: float, side_mm: float, other_side_mm: float) -> float:
    """Largest shear stress of a rectangular bar: ``T/(alpha b h^2)``, middle of the long side.

    alpha from the series solution, any ratio of the sides, in either order. [MPa]

    Raises
    ------
    OutOfRangeError
        If a side is not positive.

    Sources
    -------
    [memory: Timoshenko & Goodier, Theory of Elasticity, torsion of rectangular bars]
    """
    positive(side_mm=side_mm, other_side_mm=other_side_mm)
    long, short = max(side_mm, other_side_mm), min(side_mm, other_side_mm)
    return abs(torque_nmm) / (_rectangle_coefficients(long / short)[0] * long * short**2)


def rectangle_torsion_constant_mm4(side_mm: float, other_side_mm: float) -> float:
    """Torsion constant of a rectangular bar: ``J = beta b h^3``. [mm4]

    Raises
    ------
    OutOfRangeError
        If a side is not positive.

    Sources
    -------
    [memory: Timoshenko & Goodier, Theory of Elasticity, torsion of rectangular bars]
    """
    positive(side_mm=side_mm, other_side_mm=other_side_mm)
    long, short = max(side_mm, other_side_mm), min(side_mm, other_side_mm)
    return _rectangle_coefficients(long / short)[1] * long * short**3


def square_torsion_stress_mpa(torque_nmm: float, side_mm: float) -> float:
    """Largest shear stress of a square bar, ``T/(0.208 a^3)``, in the middle of a side. [MPa]

    Raises
    ------
    OutOfRangeError
        If the side is not positive.

    Sources
    -------
    [memory: Timoshenko & Goodier, Theory of Elasticity]
    """
    return rectangle_torsion_stress_mpa(torque_nmm, side_mm, side_mm)


def _check_tube(outer_mm: float, inner_mm: float) -> None:
    positive(outer_mm=outer_mm)
    if not 0 <= inner_mm < outer_mm:
        raise OutOfRangeError("inner_mm", inner_mm, f"0 to below the outer {outer_mm:g} mm")


def tube_torsion_stress_mpa(torque_nmm: float, outer_mm: float, inner_mm: float = 0.0) -> float:
    """Shear stress at the outside of a round tube or bar: ``16 T D/(pi (D^4 - d^4))``. [MPa]

    Raises
    ------
    OutOfRangeError
        If the diameters don't make a tube.

    Sources
    -------
    [memory: any text on strength of materials]  exact
    """
    _check_tube(outer_mm, inner_mm)
    return 16 * abs(torque_nmm) * outer_mm / (math.pi * (outer_mm**4 - inner_mm**4))


def thin_tube_torsion_stress_mpa(torque_nmm: float, enclosed_mm2: float, wall_mm: float) -> float:
    """Shear stress in a closed thin wall (Bredt): ``T/(2 A_m t)``. [MPa]

    `enclosed_mm2` is the area inside the wall's centre line, `wall_mm` its thinnest place.

    Raises
    ------
    OutOfRangeError
        If a size is not positive.

    Sources
    -------
    [memory: Bredt 1896, any text on strength of materials]
    """
    positive(enclosed_mm2=enclosed_mm2, wall_mm=wall_mm)
    return abs(torque_nmm) / (2 * enclosed_mm2 * wall_mm)


def slit_tube_torsion_stress_mpa(torque_nmm: float, outer_mm: float, inner_mm: float) -> float:
    """Shear stress in a round tube slit along its length: ``3 T/(pi d_m t^2)``. [MPa]

    A thin open strip; a slit costs a thin tube about fifteen times its torque.

    Raises
    ------
    OutOfRangeError
        If the diameters don't make a tube, or the wall is thicker than a tenth of the mean girth.

    Sources
    -------
    [memory: any text on strength of materials]  thin open section, J = sum l t^3/3
    """
    _check_tube(outer_mm, inner_mm)
    wall = (outer_mm - inner_mm) / 2
    girth = math.pi * (outer_mm + inner_mm) / 2
    between("wall / girth", wall / girth, 0.0, 0.1)
    return 3 * abs(torque_nmm) / (girth * wall**2)


def twist_deg(
    torque_nmm: float, length_mm: float, shear_modulus_mpa: float, constant_mm4: float
) -> float:
    """Twist of a bar over its length: ``T l/(G J)``. [deg]

    Raises
    ------
    OutOfRangeError
        If a size or the modulus is not positive.

    Sources
    -------
    [memory: any text on strength of materials]
    """
    positive(length_mm=length_mm, shear_modulus_mpa=shear_modulus_mpa, constant_mm4=constant_mm4)
    return math.degrees(torque_nmm * length_mm / (shear_modulus_mpa * constant_mm4))
