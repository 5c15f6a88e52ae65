"""Places: the worst summer day to reckon with, by kind of climate."""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.climate.air import STANDARD_PRESSURE_PA
from printplan.errors import OutOfRangeError, UnknownNameError

__all__ = [
    "PLACES",
    "SEVERITIES",
    "Place",
    "Surroundings",
    "check_between",
    "check_positive",
    "n_year_maximum_degc",
    "surroundings_of",
]

#: "extreme": hottest day in some 20 years, for parts that carry load; "summer": exceeded 35 hours
#: a year, for parts that carry none.
SEVERITIES = ("extreme", "summer")

_PRESETS = (
    "[derived] air, dew point and irradiance of four kinds of climate, from station tables of "
    "ASHRAE 2009 to 2017 (1980 to 2014 data): 20-year maxima lie 4.8 to 5.6 K over the values "
    "exceeded 35 h a year"
)
_WARMING = (
    "the place's air temperature rests on data of 1980 to 2014; the climate since then is 1 to 2 K "
    "warmer [common practice]"
)


def check_between(name: str, value: float, low: float, high: float, unit: str) -> None:
    """Raise OutOfRangeError unless `value` lies within [low, high]; not-a-number never does."""
    if not low <= value <= high:
        raise OutOfRangeError(name, value, f"{low:g} to {high:g} {unit}".rstrip())


def check_positive(name: str, value: float) -> None:
    """Raise OutOfRangeError unless `value` is more than 0 and finite."""
    if not 0.0 < value < math.inf:
        raise OutOfRangeError(name, value, "more than 0")


@dataclass(frozen=True, kw_only=True)
class Surroundings:
    """The day outside, at its hottest.

    Attributes
    ----------
    air_degc : float
        Highest air temperature in the shade. [°C]
    dew_point_degc : float
        Dew point; sets how cold the sky is. [°C]
    irradiance_w_m2 : float
        Sun and sky on level ground at noon. [W/m²]
    wind_m_s : float
        Air speed at the part for the design value; the upper bound is for still air. [m/s]
    cloud_tenths : float
        Cloud cover for the sky's radiation, 0 clear to 10.
    pressure_pa : float
        Air pressure. [Pa]
    daily_range_k : float
        Highest less lowest air temperature of the day. [K]
    latitude_deg, day_of_year : float
        Give the day its length. [°], [1 to 366]
    ground_rise_k : float
        Sunlit ground less air; tilted faces and undersides see it. [K]
    notes, sources : tuple of str
        Assumptions, and where the numbers come from.

    Raises
    ------
    OutOfRangeError
        If a value is outside what a day on earth can have.
    """

    air_degc: float
    dew_point_degc: float
    irradiance_w_m2: float
    wind_m_s: float = 1.0
    cloud_tenths: float = 0.0
    pressure_pa: float = STANDARD_PRESSURE_PA
    daily_range_k: float = 12.0
    latitude_deg: float = 35.0
    day_of_year: float = 202.0
    ground_rise_k: float = 20.0
    notes: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        check_between("air temperature", self.air_degc, -60.0, 70.0, "°C")
        check_between("dew point", self.dew_point_degc, -60.0, 40.0, "°C")
        if self.dew_point_degc > self.air_degc:
            raise OutOfRangeError(
                "dew point",
                self.dew_point_degc,
                f"not above the air temperature of {self.air_degc:g} °C",
            )
        check_between("irradiance", self.irradiance_w_m2, 0.0, 1500.0, "W/m²")
        check_between("wind", self.wind_m_s, 0.0, 60.0, "m/s")
        check_between("cloud cover", self.cloud_tenths, 0.0, 10.0, "tenths")
        check_between("air pressure", self.pressure_pa, 50_000.0, 110_000.0, "Pa")
        check_between("daily range", self.daily_range_k, 0.0, 40.0, "K")
        check_between("latitude", self.latitude_deg, -90.0, 90.0, "degrees")
        check_between("day of the year", self.day_of_year, 1.0, 366.0, "")
        check_between("rise of the ground", self.ground_rise_k, 0.0, 50.0, "K")


@dataclass(frozen=True, kw_only=True)
class Place:
    """What is preset for one kind of climate; units as in `Surroundings`."""

    summer_degc: float
    extreme_degc: float
    dew_point_degc: float
    irradiance_w_m2: float
    daily_range_k: float
    latitude_deg: float
    day_of_year: float


#: The kinds of climate.
PLACES: dict[str, Place] = {
    "temperate": Place(
        summer_degc=30.0,
        extreme_degc=38.0,
        dew_point_degc=15.0,
        irradiance_w_m2=900.0,
        daily_range_k=10.0,
        latitude_deg=50.0,
        day_of_year=202,
    ),
    "warm": Place(
        summer_degc=36.0,
        extreme_degc=42.0,
        dew_point_degc=15.0,
        irradiance_w_m2=950.0,
        daily_range_k=12.0,
        latitude_deg=40.0,
        day_of_year=202,
    ),
    "hot-dry": Place(
        summer_degc=44.0,
        extreme_degc=50.0,
        dew_point_degc=5.0,
        irradiance_w_m2=1000.0,
        daily_range_k=12.0,
        latitude_deg=30.0,
        day_of_year=202,
    ),
    "tropical": Place(
        summer_degc=33.0,
        extreme_degc=37.0,
        dew_point_degc=25.0,
        irradiance_w_m2=1000.0,
        daily_range_k=6.0,
        latitude_deg=5.0,
        day_of_year=80,
    ),
}


def surroundings_of(
    place: str = "temperate",
    severity: str = "extreme",
    *,
    air_degc: float | None = None,
    dew_point_degc: float | None = None,
    irradiance_w_m2: float | None = None,
    wind_m_s: float | None = None,
    latitude_deg: float | None = None,
    day_of_year: float | None = None,
) -> Surroundings:
    """Worst day of a place, with what is known better put in its stead.

    Parameters
    ----------
    place : str
        "temperate", "warm", "hot-dry" or "tropical".
    severity : str
        "extreme" or "summer", see `SEVERITIES`.
    air_degc, dew_point_degc, irradiance_w_m2, wind_m_s, latitude_deg, day_of_year : float or None
        Replace the place's values. South of the equator the day moves by half a year unless given.

    Returns
    -------
    Surroundings
        The day.

    Raises
    ------
    UnknownNameError
        If place or severity is not known.
    OutOfRangeError
        If a value is outside what a day on earth can have.

    Sources
    -------
    [derived] presets of the reference on heat, section 6; stations behind them there.
    """
    name = "-".join(place.lower().replace("_", " ").replace("-", " ").split())
    if name not in PLACES:
        raise UnknownNameError("place", place, PLACES)
    if severity not in SEVERITIES:
        raise UnknownNameError("severity", severity, SEVERITIES)
    preset = PLACES[name]
    notes: list[str] = []
    air = preset.extreme_degc if severity == "extreme" else preset.summer_degc
    if air_degc is None:
        notes.append(_WARMING)
    else:
        air = air_degc
    dew_point = preset.dew_point_degc
    if dew_point > air and dew_point_degc is None:
        notes.append(
            f"the dew point of the place, {dew_point:g} °C, lies above the air temperature; "
            f"it is taken as {air:g} °C"
        )
        dew_point = air
    day = preset.day_of_year
    if latitude_deg is not None and latitude_deg < 0.0:
        day = (day + 182.0) % 365.0
    return Surroundings(
        air_degc=air,
        dew_point_degc=_given(dew_point_degc, dew_point),
        irradiance_w_m2=_given(irradiance_w_m2, preset.irradiance_w_m2),
        wind_m_s=_given(wind_m_s, 1.0),
        daily_range_k=preset.daily_range_k,
        latitude_deg=_given(latitude_deg, preset.latitude_deg),
        day_of_year=_given(day_of_year, day),
        notes=tuple(notes),
        sources=(f"place {name!r}: {_PRESETS}",),
    )


def _given(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else value


def n_year_maximum_degc(mean_degc: float, deviation_k: float, years: float) -> float:
    """Highest temperature expected once in `years`, from the highest of each year.

    T_n = M + F s, F = -(sqrt(6)/pi) (0.5772 + ln ln(n/(n - 1)))

    Parameters
    ----------
    mean_degc, deviation_k : float
        Mean M and standard deviation s of the yearly maxima. [°C], [K]
    years : float
        Return period n, more than 1. [a]

    Returns
    -------
    float
        The maximum. [°C]

    Raises
    ------
    OutOfRangeError
        If the return period is not above one year or the deviation is negative.

    Sources
    -------
    [memory: ASHRAE Handbook of Fundamentals, chapter on climatic design information]
    """
    if not years > 1.0:
        raise OutOfRangeError("return period", years, "more than 1 year")
    if not deviation_k >= 0.0:
        raise OutOfRangeError("standard deviation", deviation_k, "0 K or more")
    factor = -math.sqrt(6.0) / math.pi * (0.5772 + math.log(math.log(years / (years - 1.0))))
    return mean_degc + factor * deviation_k
