"""Balance: the temperature at which a sunlit face loses as much heat as it takes in."""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.climate.air import STANDARD_PRESSURE_PA, kelvin
from printplan.climate.convection import face_coefficient
from printplan.climate.sky import STEFAN_BOLTZMANN_W_M2K4
from printplan.errors import OutOfRangeError

__all__ = ["Around", "Face", "FaceBalance", "heat_loss", "steady_temperature"]

#: A face hotter than this above the air is outside anything that the formulas were made for. [K]
_HIGHEST_RISE_K = 150.0


@dataclass(frozen=True, kw_only=True)
class Face:
    """A flat square face.

    Attributes
    ----------
    side_mm : float
        Side of the face; for a small part on a large panel, the panel's: the part sits in the
        panel's layer of warm air. [mm]
    tilt_deg : float
        0 level, 90 upright. [°]
    two_sided : bool
        A thin plate that also loses heat at its back; otherwise the back is insulated.
    emittance : float
        Long-wave emittance.
    """

    side_mm: float = 200.0
    tilt_deg: float = 0.0
    two_sided: bool = False
    emittance: float = 0.90


@dataclass(frozen=True, kw_only=True)
class Around:
    """What the face exchanges heat with.

    Attributes
    ----------
    air_degc : float
        Air at the face. [°C]
    sky_degc, ground_degc : float
        Temperatures at which the half spaces above and below radiate; under a roof or in a
        closed vehicle those of the roof or the walls. [°C]
    wind_m_s : float
        Air speed at the face. [m/s]
    pressure_pa : float
        Air pressure. [Pa]
    """

    air_degc: float
    sky_degc: float
    ground_degc: float
    wind_m_s: float = 0.0
    pressure_pa: float = STANDARD_PRESSURE_PA


@dataclass(frozen=True, kw_only=True)
class FaceBalance:
    """A face in balance; the terms count per area of one side and add up to what is absorbed.

    Attributes
    ----------
    surface_degc : float
        Temperature of the face. [°C]
    absorbed_w_m2 : float
        Sunlight taken in. [W/m²]
    convection_w_m2 : float
        Heat given to the air. [W/m²]
    radiation_w_m2 : float
        Net long-wave heat given to sky and ground. [W/m²]
    air_degc : float
        Air at the face: the cabin's in a vehicle. [°C]
    irradiance_w_m2 : float
        Sunlight that falls on the face. [W/m²]
    absorptance : float
        Share of it that was taken in.
    wind_m_s : float
        Air speed at the face. [m/s]
    gain_w_m2 : float
        Heat that reaches the face from within, besides sunlight. [W/m²]
    """

    surface_degc: float
    absorbed_w_m2: float
    convection_w_m2: float
    radiation_w_m2: float
    air_degc: float
    irradiance_w_m2: float
    absorptance: float
    wind_m_s: float
    gain_w_m2: float = 0.0

    @property
    def rise_k(self) -> float:
        """Face less air at the face. [K]"""
        return self.surface_degc - self.air_degc


def heat_loss(face: Face, around: Around, surface_degc: float) -> tuple[float, float]:
    """Heat that a face of a given temperature loses.

    convection h (T - Ta), radiation e sigma [F_sky (T⁴ - Tsky⁴) + F_gnd (T⁴ - Tgnd⁴)] with
    F_sky = (1 + cos tilt)/2, F_gnd = (1 - cos tilt)/2; the back of a plate sees what is left.

    Parameters
    ----------
    face : Face
        The face.
    around : Around
        Air, sky and ground.
    surface_degc : float
        Temperature T of the face. [°C]

    Returns
    -------
    (float, float)
        Convection and net radiation. [W/m²]

    Sources
    -------
    [source: EnergyPlus Engineering Reference, "Outside Surface Heat Balance"; view factors there
    after Walton 1983]
    """
    cosine = math.cos(math.radians(face.tilt_deg))
    sky, ground = 0.5 * (1.0 + cosine), 0.5 * (1.0 - cosine)
    sides = [(False, sky, ground)]
    if face.two_sided:
        sides.append((True, ground, sky))
    surface_4 = kelvin(surface_degc) ** 4
    to_sky = surface_4 - kelvin(around.sky_degc) ** 4
    to_ground = surface_4 - kelvin(around.ground_degc) ** 4
    convection = radiation = 0.0
    for facing_down, sky_share, ground_share in sides:
        coefficient = face_coefficient(
            surface_degc,
            around.air_degc,
            face.side_mm,
            around.wind_m_s,
            tilt_deg=face.tilt_deg,
            facing_down=facing_down,
            pressure_pa=around.pressure_pa,
        )
        convection += coefficient * (surface_degc - around.air_degc)
        exchange = sky_share * to_sky + ground_share * to_ground
        radiation += face.emittance * STEFAN_BOLTZMANN_W_M2K4 * exchange
    return convection, radiation


def steady_temperature(
    face: Face,
    around: Around,
    irradiance_w_m2: float,
    absorptance: float,
    gain_w_m2: float = 0.0,
) -> FaceBalance:
    """Temperature at which the face loses what it takes in, found by bisection.

    Parameters
    ----------
    face : Face
        The face.
    around : Around
        Air, sky and ground.
    irradiance_w_m2 : float
        Sunlight on the face, its back included. [W/m²]
    absorptance : float
        Share taken in, 0 to 1.
    gain_w_m2 : float
        Heat from within, such as a motor's loss per area of its case. [W/m²]

    Returns
    -------
    FaceBalance
        Temperature and terms.

    Raises
    ------
    OutOfRangeError
        If the face would be hotter than the air by more than the formulas cover.

    Sources
    -------
    [source: EnergyPlus Engineering Reference, "Outside Surface Heat Balance"]: absorbed sunlight,
    net long-wave exchange, convection and conduction from behind add up to nothing.

    Notes
    -----
    The loss rises with temperature throughout, so there is one answer. Where natural convection
    turns turbulent it rises by a jump; a balance that falls into the jump ends at its edge.
    """
    absorbed = absorptance * irradiance_w_m2
    taken_in = absorbed + gain_w_m2
    low = min(around.air_degc, around.sky_degc, around.ground_degc)
    high = around.air_degc + _HIGHEST_RISE_K
    if sum(heat_loss(face, around, high)) < taken_in:
        raise OutOfRangeError(
            "temperature of the face", high, f"less than {_HIGHEST_RISE_K:.0f} K above the air"
        )
    while high - low > 1e-7:
        middle = 0.5 * (low + high)
        if sum(heat_loss(face, around, middle)) < taken_in:
            low = middle
        else:
            high = middle
    convection, radiation = heat_loss(face, around, high)
    return FaceBalance(
        surface_degc=high,
        absorbed_w_m2=absorbed,
        convection_w_m2=convection,
        radiation_w_m2=radiation,
        air_degc=around.air_degc,
        irradiance_w_m2=irradiance_w_m2,
        absorptance=absorptance,
        wind_m_s=around.wind_m_s,
        gain_w_m2=gain_w_m2,
    )
