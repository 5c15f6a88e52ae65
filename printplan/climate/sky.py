"""Sky: the long-wave radiation that comes down from it, as a temperature."""

from __future__ import annotations

import math

from printplan.climate.air import ABSOLUTE_ZERO_DEGC, kelvin
from printplan.errors import OutOfRangeError

__all__ = [
    "STEFAN_BOLTZMANN_W_M2K4",
    "sky_emittance",
    "sky_temperature_degc",
    "swinbank_sky_degc",
]

#: Stefan-Boltzmann constant [memory: CODATA 2018]. [W/(m² K⁴)]
STEFAN_BOLTZMANN_W_M2K4 = 5.670374e-8


def sky_emittance(dew_point_degc: float, cloud_tenths: float = 0.0) -> float:
    """Emittance of the sky, as if it radiated at air temperature (Clark and Allen).

    e_sky = (0.787 + 0.764 ln(Td/273)) (1 + 0.0224 N - 0.0035 N² + 0.00028 N³)

    Parameters
    ----------
    dew_point_degc : float
        Dew point of the air at the ground. [°C]
    cloud_tenths : float
        Cloud cover N, 0 clear to 10 overcast.

    Returns
    -------
    float
        Emittance, not above 1.

    Raises
    ------
    OutOfRangeError
        If the cloud cover is not within 0 to 10, or the dew point outside -60 to 40 °C.

    Sources
    -------
    [source: EnergyPlus Engineering Reference, after Clark and Allen 1978]

    Notes
    -----
    The printed 273 is read as 273.15 with Td = t + 273.15, which gives the printed example.
    Warm, moist air under full cloud would come out just above 1; it is held at 1 (a black sky).
    """
    if not 0.0 <= cloud_tenths <= 10.0:
        raise OutOfRangeError("cloud cover", cloud_tenths, "0 (clear) to 10 (overcast) tenths")
    if not -60.0 <= dew_point_degc <= 40.0:
        raise OutOfRangeError("dew point", dew_point_degc, "-60 to 40 °C")
    n = cloud_tenths
    clear = 0.787 + 0.764 * math.log(kelvin(dew_point_degc) / kelvin(0.0))
    return min(1.0, clear * (1.0 + 0.0224 * n - 0.0035 * n**2 + 0.00028 * n**3))


def sky_temperature_degc(
    air_degc: float, dew_point_degc: float, cloud_tenths: float = 0.0
) -> float:
    """Temperature of a black sky that radiates as much: e_sky^(1/4) times air temperature. [°C]"""
    emittance = sky_emittance(dew_point_degc, cloud_tenths)
    return float(kelvin(air_degc) * emittance**0.25 + ABSOLUTE_ZERO_DEGC)


def swinbank_sky_degc(air_degc: float) -> float:
    """Clear-sky temperature from air temperature alone: 0.0552 Ta^1.5 in kelvin. [°C]

    A second opinion that shows how far sky models lie apart.

    Sources
    -------
    [memory: Swinbank 1963]
    """
    return float(0.0552 * kelvin(air_degc) ** 1.5 + ABSOLUTE_ZERO_DEGC)
