"""Shelters: what stands between the part and the open day.

Every shelter is described by the same five facts, so that one balance serves all: how much warmer
the air inside is, how much of the sun comes through, whether the part sees the open sky, whether
wind reaches it, and how large those are at worst.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.errors import OutOfRangeError, UnknownNameError

__all__ = ["SHELTERS", "SOAK_IRRADIANCE_W_M2", "Shelter", "cabin_degc", "shelter"]

#: Irradiance at which the rises of closed spaces are stated; they scale with it [derived]. [W/m²]
SOAK_IRRADIANCE_W_M2 = 950.0

# Closed vehicle in clear sun: rise of the cabin's air and time constant.
_HOUR_RISE_K, _HOUR_TIME_CONSTANT_MIN = 24.0, 20.0
_WORST_HOUR_RISE_K = 26.0
_DAY_RISE_K = 40.0

_CABIN_HOUR = (
    "[source: McLaren, Null, Quinn 2005, Pediatrics 116:e109, abstract; Null's data table of that "
    "study], fitted; worst hour [source: Grundstein, Dowd, Meentemeyer 2010, abstract]"
)
_CABIN_DAY = "[derived] 40 K in a closed vehicle all day: an inference; an hour gave 9 to 28 K"
_GLASS = (
    "[derived] effective transmission of glass 0.5, worst 0.7, fitted to dashboards of "
    "[source: Vanos et al. 2018, Temperature 5:276; Selover et al., AMS 2016]"
)
_BOX = (
    "[derived] from [source: a storage operator's guide: 15 to 30 K in an uninsulated steel box; "
    "no method given]; low confidence"
)


@dataclass(frozen=True, kw_only=True)
class Shelter:
    """Where a part stands during the day.

    Pairs are (design value, worst case).

    Attributes
    ----------
    name : str
        What it is called.
    description : str
        One line for people.
    air_rise_k : (float, float)
        Air around the part less outside air at an irradiance of 950 W/m². [K]
    sun_share : (float, float)
        Share of the level irradiance that reaches the part.
    open_sky : bool
        The part radiates to the open sky; otherwise to surroundings as warm as the air.
    open_wind : bool
        Wind reaches the part.
    own_panel : bool
        The part is in the sun itself; False where it takes a housing's temperature.
    source : str
        Origin of the numbers, with labels.
    warning : str
        What the reader must know, or empty.
    """

    name: str
    description: str
    air_rise_k: tuple[float, float] = (0.0, 0.0)
    sun_share: tuple[float, float] = (0.0, 0.0)
    open_sky: bool = False
    open_wind: bool = False
    own_panel: bool = True
    source: str = ""
    warning: str = ""


_ALL = (
    Shelter(
        name="sun",
        description="in the open sun",
        sun_share=(1.0, 1.0),
        open_sky=True,
        open_wind=True,
    ),
    Shelter(
        name="sunlit housing",
        description="inside a housing or behind a panel that stands in the open sun; colour and "
        "face are the housing's",
        sun_share=(1.0, 1.0),
        open_sky=True,
        open_wind=True,
        own_panel=False,
        source="[derived] what is inside gets no hotter than the sunlit skin that warms it",
    ),
    Shelter(
        name="shade",
        description="in open shade: diffuse light only",
        sun_share=(0.12, 0.12),
        open_wind=True,
        source="[derived] diffuse share of a clear noon sky, 0.11 in the two-parameter model",
    ),
    Shelter(
        name="closed vehicle",
        description="in a closed vehicle in the sun all day, under glass at worst",
        air_rise_k=(_DAY_RISE_K, _DAY_RISE_K),
        sun_share=(0.0, 0.7),
        source=f"{_CABIN_DAY}; {_GLASS}",
    ),
    Shelter(
        name="closed vehicle one hour",
        description="in a vehicle closed for an hour in the sun, under glass at worst",
        air_rise_k=(
            _HOUR_RISE_K * (1.0 - math.exp(-60.0 / _HOUR_TIME_CONSTANT_MIN)),
            _WORST_HOUR_RISE_K,
        ),
        sun_share=(0.0, 0.7),
        source=f"{_CABIN_HOUR}; {_GLASS}",
    ),
    Shelter(
        name="dashboard",
        description="under glass in a closed vehicle in the sun all day",
        air_rise_k=(_DAY_RISE_K, _DAY_RISE_K),
        sun_share=(0.5, 0.7),
        source=f"{_CABIN_DAY}; {_GLASS}",
    ),
    Shelter(
        name="shaded vehicle",
        description="in a closed vehicle in the shade",
        air_rise_k=(3.0, 3.0),
        source="[derived] from [source: Vanos et al. 2018]: cabin at outside air after an hour",
    ),
    Shelter(
        name="metal box",
        description="in a closed metal box, trailer, container or shed with a dark roof; not "
        "under the roof sheet itself",
        air_rise_k=(25.0, 30.0),
        source=_BOX,
        warning="air in a metal box is poorly known; a part fixed to the roof sheet takes the "
        "sheet's temperature: use shelter 'sunlit housing' with the roof's colour",
    ),
    Shelter(
        name="light metal box",
        description="as 'metal box', with a light roof",
        air_rise_k=(15.0, 20.0),
        source=_BOX,
        warning="air in a metal box is poorly known",
    ),
    Shelter(
        name="vented box",
        description="in a metal box that is vented or moves",
        air_rise_k=(8.0, 9.5),
        source="[source: Purswell et al. 2010, Trans. ASABE 53:1885, abstract]: 5.1 to 9.5 K in a "
        "moving trailer",
    ),
)

#: Every shelter by name.
SHELTERS: dict[str, Shelter] = {entry.name: entry for entry in _ALL}

_ALSO_CALLED = {
    "open sun": "sun",
    "shed": "metal box",
    "inside a sunlit housing": "sunlit housing",
    "housing": "sunlit housing",
}


def shelter(name: str) -> Shelter:
    """Look a shelter up; hyphens and underscores count as blanks.

    Parameters
    ----------
    name : str
        Name of the shelter.

    Returns
    -------
    Shelter
        Its facts.

    Raises
    ------
    UnknownNameError
        If there is no such shelter.
    """
    plain = " ".join(name.lower().replace("-", " ").replace("_", " ").split())
    plain = _ALSO_CALLED.get(plain, plain)
    if plain not in SHELTERS:
        raise UnknownNameError("shelter", name, SHELTERS)
    return SHELTERS[plain]


def cabin_degc(
    air_degc: float,
    minutes: float,
    rise_k: float = _HOUR_RISE_K,
    time_constant_min: float = _HOUR_TIME_CONSTANT_MIN,
    start_degc: float | None = None,
) -> float:
    """Air in a vehicle some time after it was closed in the sun.

    T = Ta + D - (D + Ta - T0) exp(-t / tau)

    Parameters
    ----------
    air_degc : float
        Outside air Ta. [°C]
    minutes : float
        Time t since it was closed. [min]
    rise_k : float
        Rise D that is reached in the end. [K]
    time_constant_min : float
        Time constant tau. [min]
    start_degc : float or None
        Cabin T0 at the start; None means outside air. [°C]

    Returns
    -------
    float
        Cabin air. [°C]

    Raises
    ------
    OutOfRangeError
        If the time is negative or the time constant not positive.

    Sources
    -------
    [derived] a first-order fit of the measured rises; see `SHELTERS`.
    """
    if minutes < 0.0:
        raise OutOfRangeError("time since closing", minutes, "0 minutes or more")
    if not time_constant_min > 0.0:
        raise OutOfRangeError("time constant", time_constant_min, "more than 0 minutes")
    start = air_degc if start_degc is None else start_degc
    end = air_degc + rise_k
    return end - (end - start) * math.exp(-minutes / time_constant_min)
