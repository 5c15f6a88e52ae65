"""Convection: heat that moving air takes from a face.

Nusselt numbers of still air (buoyancy) and of wind, and the coefficients that follow from them.
A face that is warmer than the air and looks up sheds plumes freely; one that looks down, or a cold
one that looks up, keeps its layer of air and loses less.
"""

from __future__ import annotations

import math

from printplan.climate.air import (
    GRAVITY_M_S2,
    STANDARD_PRESSURE_PA,
    AirProperties,
    air_properties,
)

__all__ = [
    "face_coefficient",
    "forced_coefficient",
    "mixed_coefficient",
    "natural_coefficient",
    "nusselt_cylinder_in_wind",
    "nusselt_flat_plate_in_wind",
    "nusselt_horizontal_cylinder",
    "nusselt_plate_facing_down",
    "nusselt_plate_facing_up",
    "nusselt_vertical_plate",
    "rayleigh_number",
]

#: Where the flow over a hot plate facing up turns turbulent; Nu jumps by 6 % here (30.4 to 32.3).
_TURBULENT_RAYLEIGH = 1e7
#: Where the flow along a flat plate turns turbulent.
_TURBULENT_REYNOLDS = 5e5


def nusselt_plate_facing_up(rayleigh: float) -> float:
    """Hot level plate facing up: 0.54 Ra^(1/4), from Ra = 1e7 on 0.15 Ra^(1/3).

    The length in Ra and Nu is area over perimeter. The correlation was made for Ra above 1e4;
    below (small parts) it gives too little convection, so the part comes out too hot: safe.

    Sources
    -------
    [memory: McAdams; Incropera; Lloyd and Moran], [source: ``ht`` 1.2.0 docstring, McAdams 3rd ed.]
    """
    if rayleigh < _TURBULENT_RAYLEIGH:
        return float(0.54 * rayleigh**0.25)
    return 0.15 * math.cbrt(rayleigh)


def nusselt_plate_facing_down(rayleigh: float) -> float:
    """Hot level plate facing down (or a cold one facing up): 0.27 Ra^(1/4), 1e5 < Ra < 1e10.

    Sources
    -------
    [memory: McAdams; Incropera], [source: ``ht`` 1.2.0 docstring, McAdams 3rd ed.]
    """
    return float(0.27 * rayleigh**0.25)


def nusselt_vertical_plate(rayleigh: float, prandtl: float) -> float:
    """Upright plate, all Ra; the length is its height.

    Nu = {0.825 + 0.387 Ra^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27)}²

    Sources
    -------
    [source: ``ht`` docstring, Churchill and Chu 1975, Int. J. Heat Mass Transfer 18:1323]
    """
    factor = (1.0 + (0.492 / prandtl) ** (9 / 16)) ** (8 / 27)
    return float((0.825 + 0.387 * rayleigh ** (1 / 6) / factor) ** 2)


def nusselt_horizontal_cylinder(rayleigh: float, prandtl: float) -> float:
    """Level bar in still air, 1e-5 < Ra < 1e12; the length is its diameter.

    Nu = {0.60 + 0.387 Ra^(1/6) / [1 + (0.559/Pr)^(9/16)]^(8/27)}²

    Sources
    -------
    [source: ``ht`` docstring, Churchill and Chu 1975, Int. J. Heat Mass Transfer 18:1049]
    """
    factor = (1.0 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)
    return float((0.60 + 0.387 * rayleigh ** (1 / 6) / factor) ** 2)


def nusselt_flat_plate_in_wind(reynolds: float, prandtl: float) -> float:
    """Flat plate along the wind: mean over the plate; the length is along the wind.

    0.664 Re^(1/2) Pr^(1/3) up to Re = 5e5, then (0.037 Re^0.8 - 871) Pr^(1/3).

    Sources
    -------
    [source: ``ht`` docstring, Baehr and Stephan] (laminar), [memory: Incropera] (mixed)
    """
    if reynolds <= _TURBULENT_REYNOLDS:
        return 0.664 * math.sqrt(reynolds) * math.cbrt(prandtl)
    return float((0.037 * reynolds**0.8 - 871.0) * math.cbrt(prandtl))


def nusselt_cylinder_in_wind(reynolds: float, prandtl: float) -> float:
    """Bar across the wind, Re Pr > 0.2; the length is its diameter.

    Nu = 0.3 + 0.62 Re^½ Pr^⅓ / [1 + (0.4/Pr)^⅔]^¼ [1 + (Re/282000)^⅝]^⅘, a lower bound: outdoors
    more heat is lost.

    Sources
    -------
    [source: ``ht`` docstring, Churchill and Bernstein 1977]
    """
    start = 0.62 * math.sqrt(reynolds) * math.cbrt(prandtl)
    damping = (1.0 + (0.4 / prandtl) ** (2 / 3)) ** 0.25
    return float(0.3 + start / damping * (1.0 + (reynolds / 282_000.0) ** 0.625) ** 0.8)


def rayleigh_number(
    air: AirProperties, length_m: float, difference_k: float, gravity_m_s2: float = GRAVITY_M_S2
) -> float:
    """Ra = g beta |dT| L³ / (nu alpha) at film properties.

    Parameters
    ----------
    air : AirProperties
        Air at the film temperature.
    length_m : float
        The length that the correlation asks for. [m]
    difference_k : float
        Surface less air; the sign does not matter. [K]
    gravity_m_s2 : float
        Gravity. [m/s²]

    Returns
    -------
    float
        Rayleigh number.

    Sources
    -------
    [memory: any text on heat transfer]
    """
    drive = gravity_m_s2 * air.expansion_per_k * abs(difference_k) * length_m**3
    return drive / (air.kinematic_viscosity_m2_s * air.diffusivity_m2_s)


def natural_coefficient(
    air: AirProperties, side_mm: float, tilt_deg: float, difference_k: float, facing_down: bool
) -> float:
    """Coefficient of a square face in still air.

    Parameters
    ----------
    air : AirProperties
        Air at the film temperature.
    side_mm : float
        Side of the face. [mm]
    tilt_deg : float
        0 level, 90 upright. [°]
    difference_k : float
        Surface less air. [K]
    facing_down : bool
        The face is the underside.

    Returns
    -------
    float
        Coefficient. [W/(m² K)]

    Sources
    -------
    Nusselt numbers as above; the length of a level square is area over perimeter, a quarter of its
    side [memory: Lloyd and Moran]. Between level and upright: derived, a mix weighted by cos² and
    sin² of the tilt.
    """
    side_m = side_mm / 1000.0
    upright_share = math.sin(math.radians(tilt_deg)) ** 2
    level = upright = 0.0
    if upright_share < 1.0:
        length = side_m / 4.0
        rayleigh = rayleigh_number(air, length, difference_k)
        free = (difference_k >= 0.0) != facing_down
        nusselt = nusselt_plate_facing_up if free else nusselt_plate_facing_down
        level = nusselt(rayleigh) * air.conductivity_w_mk / length
    if upright_share > 0.0:
        rayleigh = rayleigh_number(air, side_m, difference_k)
        upright = nusselt_vertical_plate(rayleigh, air.prandtl) * air.conductivity_w_mk / side_m
    return (1.0 - upright_share) * level + upright_share * upright


def forced_coefficient(air: AirProperties, side_mm: float, wind_m_s: float) -> float:
    """Coefficient of a flat face along which the wind blows. [W/(m² K)]"""
    if wind_m_s == 0.0:
        return 0.0
    side_m = side_mm / 1000.0
    reynolds = wind_m_s * side_m / air.kinematic_viscosity_m2_s
    nusselt = nusselt_flat_plate_in_wind(reynolds, air.prandtl)
    return nusselt * air.conductivity_w_mk / side_m


def mixed_coefficient(natural_w_m2k: float, forced_w_m2k: float) -> float:
    """Buoyancy and wind together: cube root of the sum of cubes. [W/(m² K)]

    Sources
    -------
    [memory: Churchill 1977; Incropera], exponent 3 for assisting and transverse flow
    """
    return math.cbrt(natural_w_m2k**3 + forced_w_m2k**3)


def face_coefficient(
    surface_degc: float,
    air_degc: float,
    side_mm: float,
    wind_m_s: float,
    tilt_deg: float = 0.0,
    facing_down: bool = False,
    pressure_pa: float = STANDARD_PRESSURE_PA,
) -> float:
    """Coefficient of a square flat face in still air and wind together.

    Parameters
    ----------
    surface_degc, air_degc : float
        Face and air. [°C]
    side_mm : float
        Side of the face. [mm]
    wind_m_s : float
        Air speed at the face. [m/s]
    tilt_deg : float
        0 level, 90 upright. [°]
    facing_down : bool
        The face is the underside.
    pressure_pa : float
        Air pressure. [Pa]

    Returns
    -------
    float
        Coefficient between face and air. [W/(m² K)]

    Sources
    -------
    As in the functions above.
    """
    air = air_properties(0.5 * (surface_degc + air_degc), pressure_pa)
    difference_k = surface_degc - air_degc
    return mixed_coefficient(
        natural_coefficient(air, side_mm, tilt_deg, difference_k, facing_down),
        forced_coefficient(air, side_mm, wind_m_s),
    )
