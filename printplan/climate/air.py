"""Air: properties of dry air, and the dew point of moist air."""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.errors import OutOfRangeError

__all__ = [
    "ABSOLUTE_ZERO_DEGC",
    "GRAVITY_M_S2",
    "STANDARD_PRESSURE_PA",
    "AirProperties",
    "air_properties",
    "dew_point_degc",
    "kelvin",
]

ABSOLUTE_ZERO_DEGC = -273.15
#: Standard acceleration of free fall, exact by definition [memory: ISO 80000-3]. [m/s²]
GRAVITY_M_S2 = 9.80665
#: Standard atmosphere at sea level, exact by definition [memory: ISO 2533]. [Pa]
STANDARD_PRESSURE_PA = 101_325.0

_GAS_CONSTANT_J_KGK = 287.05  # dry air
_HEAT_CAPACITY_J_KGK = 1007.0


def kelvin(degc: float) -> float:
    """Absolute temperature [K] of a Celsius reading."""
    return degc - ABSOLUTE_ZERO_DEGC


@dataclass(frozen=True, kw_only=True)
class AirProperties:
    """What convection needs to know about air at one temperature.

    Attributes
    ----------
    density_kg_m3 : float
        Density. [kg/m³]
    viscosity_pa_s : float
        Dynamic viscosity. [Pa s]
    conductivity_w_mk : float
        Thermal conductivity. [W/(m K)]
    prandtl : float
        Prandtl number.
    expansion_per_k : float
        Thermal expansion coefficient of an ideal gas. [1/K]
    """

    density_kg_m3: float
    viscosity_pa_s: float
    conductivity_w_mk: float
    prandtl: float
    expansion_per_k: float

    @property
    def kinematic_viscosity_m2_s(self) -> float:
        """Dynamic viscosity over density. [m²/s]"""
        return self.viscosity_pa_s / self.density_kg_m3

    @property
    def diffusivity_m2_s(self) -> float:
        """Thermal diffusivity. [m²/s]"""
        return self.kinematic_viscosity_m2_s / self.prandtl


def air_properties(film_degc: float, pressure_pa: float = STANDARD_PRESSURE_PA) -> AirProperties:
    """Properties of dry air, taken as an ideal gas.

    mu = 1.458e-6 T^1.5 / (T + 110.4), k = 2.64638e-3 T^1.5 / (T + 245.4 * 10^(-12/T)),
    rho = p / (R T), Pr = mu cp / k, beta = 1/T, with T the absolute film temperature.

    Parameters
    ----------
    film_degc : float
        Mean of surface and air temperature. [°C]
    pressure_pa : float
        Air pressure. [Pa]

    Returns
    -------
    AirProperties
        Properties at that temperature.

    Sources
    -------
    [memory: Sutherland's fits of viscosity and conductivity, as in the US Standard Atmosphere 1976]

    Notes
    -----
    Moisture is left out: at a dew point of 25 °C it changes a coefficient by about 1 %.
    """
    t = kelvin(film_degc)
    root = t * math.sqrt(t)
    viscosity = 1.458e-6 * root / (t + 110.4)
    conductivity = 2.64638e-3 * root / (t + 245.4 * 10.0 ** (-12.0 / t))
    return AirProperties(
        density_kg_m3=pressure_pa / (_GAS_CONSTANT_J_KGK * t),
        viscosity_pa_s=viscosity,
        conductivity_w_mk=conductivity,
        prandtl=viscosity * _HEAT_CAPACITY_J_KGK / conductivity,
        expansion_per_k=1.0 / t,
    )


def dew_point_degc(air_degc: float, relative_humidity: float) -> float:
    """Dew point from air temperature and relative humidity (Magnus' formula).

    Td = 243.04 g / (17.625 - g), g = ln(RH) + 17.625 T / (243.04 + T)

    Parameters
    ----------
    air_degc : float
        Air temperature T. [°C]
    relative_humidity : float
        Relative humidity RH as a fraction, above 0 and up to 1.

    Returns
    -------
    float
        Dew point. [°C]

    Raises
    ------
    OutOfRangeError
        If the humidity is not a fraction above 0, or the air is outside -45 to 60 °C.

    Sources
    -------
    [memory: Magnus' formula with the coefficients of Alduchov and Eskridge 1996]
    """
    if not 0.0 < relative_humidity <= 1.0:
        raise OutOfRangeError(
            "relative humidity", relative_humidity, "a fraction above 0 and up to 1"
        )
    if not -45.0 <= air_degc <= 60.0:
        raise OutOfRangeError("air temperature", air_degc, "-45 to 60 °C for a dew point")
    g = math.log(relative_humidity) + 17.625 * air_degc / (243.04 + air_degc)
    return 243.04 * g / (17.625 - g)
