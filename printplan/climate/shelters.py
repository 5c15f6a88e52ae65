"""Shelters: what stands between the part and the open day.

Every shelter is described by the same five facts, so that one balance serves all: how much warmer
the air inside is, how much of the sun comes through, whether the part sees the open sky, whether
wind reaches it, and how large those are at worst.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.climate.places import check_between, check_positive
from printplan.errors import UnknownNameError

__all__ = ["SHELTERS", "SOAK_IRRADIANCE_W_M2", "Shelter", "cabin_degc", "cabin_rise_k", "shelter"]

#: Irradiance at which the rises of closed spaces are stated; they scale with it [derived]. [W/m²]
SOAK_IRRADIANCE_W_M2 = 950.0

# Closed vehicle in clear sun: rise of the cabin's air and time constant.
_HOUR_RISE_K, _HOUR_TIME_CONSTANT_MIN = 24.0, 20.0
_WORST_HOUR_RISE_K = 26.0
_DAY_RISE_K = 40.0
# What a white shell, windows 25 mm open and a tenth of cloud take off the rise.
_WHITE_SHELL_K, _WINDOWS_AJAR_K, _CLOUD_TENTH_K = 5.0, 3.0, 1.0

_CABIN_HOUR = (
    "[source: McLaren, Null, Quinn 2005, Pediatrics 116:e109, abstract; Null's data table of that "
    "study], fitted; worst hour [source: Grundstein, Dowd, Meentemeyer 2010, abstract]"
)
_CABIN_DAY = "[derived] 40 K in a closed vehicle all day: an inference; an hour gave 9 to 28 K"
_GLASS = (
    "[derived] effective transmission of glass 0.5, worst 0.7, fitted to dashboards of "
    "[source: Vanos et al. 2018, Temperature 5:276; Selover et al., AMS 2016]"
)
_CABIN_LESS = (
    "less for a white shell 5 K [source: Dadour et al. 2011, Forensic Sci. Int. 207:205, abstract; "
    "Levinson et al. 2011, abstract], for windows 25 mm open 3 K [source: Dadour], under full "
    "cloud about 10 K [source: Grundstein et al. 2009, Int. J. Biometeorol., abstract]"
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
    on_the_road : bool
        The vehicle can be ridden there; False where it is shut in and stands.
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
    on_the_road: bool = False
    source: str = ""
    warning: str = ""


def cabin_rise_k(
    *, white_shell: bool = False, windows_ajar: bool = False, cloud_tenths: float = 0.0
) -> float:
    """Rise of the air in a closed vehicle after a whole day in the sun of 950 W/m².

    Parameters
    ----------
    white_shell : bool
        White or silver instead of black: 5 K less.
    windows_ajar : bool
        Windows 25 mm open: 3 K less.
    cloud_tenths : float
        0 clear to 10 overcast: 1 K less each. Not with an irradiance that has the clouds in it.

    Returns
    -------
    float
        Rise over outside air. [K]

    Raises
    ------
    OutOfRangeError
        If the cloud cover is not within 0 to 10.

    Sources
    -------
    40 K [derived], an inference; what is taken off [source: Dadour et al. 2011, abstract; Levinson
    et al. 2011, abstract; Grundstein et al. 2009, abstract], a straight line in the clouds
    [derived]. That the first two add up is an assumption [derived].
    """
    check_between("cloud cover", cloud_tenths, 0.0, 10.0, "tenths")
    less = _CLOUD_TENTH_K * cloud_tenths
    less += _WHITE_SHELL_K * white_shell + _WINDOWS_AJAR_K * windows_ajar
    return _DAY_RISE_K - less


_ALL = (
    Shelter(
        name="sun",
        description="in the open sun",
        sun_share=(1.0, 1.0),
        open_sky=True,
        open_wind=True,
        on_the_road=True,
    ),
    Shelter(
        name="sunlit housing",
        description="inside a housing or behind a panel that stands in the open sun; colour and "
        "face are the housing's",
        sun_share=(1.0, 1.0),
        open_sky=True,
        open_wind=True,
        own_panel=False,
        on_the_road=True,
        source="[derived] what is inside gets no hotter than the sunlit skin that warms it",
    ),
    Shelter(
        name="shade",
        description="in open shade: diffuse light only",
        sun_share=(0.12, 0.12),
        open_wind=True,
        on_the_road=True,
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
    *(
        Shelter(
            name=name,
            description=f"in a closed vehicle {how} in the sun all day, under glass at worst",
            air_rise_k=(rise, rise),
            sun_share=(0.0, 0.7),
            source=f"{_CABIN_DAY}; {_CABIN_LESS}; {_GLASS}",
        )
        for name, how, rise in (
            ("white vehicle", "with a white shell", cabin_rise_k(white_shell=True)),
            ("windows ajar", "with windows 25 mm open", cabin_rise_k(windows_ajar=True)),
        )
    ),
    Shelter(
        name="overcast vehicle",
        description="in a closed vehicle all day under an overcast sky; the irradiance stays that "
        "of the clear sky",
        air_rise_k=(cabin_rise_k(cloud_tenths=10.0),) * 2,
        sun_share=(0.0, 0.35),
        source=f"{_CABIN_DAY}; {_CABIN_LESS}; {_GLASS}, of half the sun [derived]",
        warning="how far clouds cool a cabin is poorly known, and a worst day has none",
    ),
    Shelter(
        name="boot",
        description="in the closed luggage space of a vehicle in the sun all day, no glass over "
        "it; as hot as the cabin at worst",
        air_rise_k=(25.0, _DAY_RISE_K),
        source=f"{_BOX}; at worst {_CABIN_DAY}",
        warning="no measurement of a luggage space was found: it is taken between a closed metal "
        "box and the cabin; a part on the sheet metal takes the sheet's temperature",
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
        description="in a closed vehicle in the shade, under glass at worst",
        air_rise_k=(3.0, 3.0),
        sun_share=(0.0, 0.15),
        source="[derived] from [source: Vanos et al. 2018]: cabin at outside air after an hour, "
        "dashboards 48 and 51 °C in air of 38, to which the diffuse light through glass is fitted",
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
    "trailer": "metal box",
    "container": "metal box",
    "moving trailer": "vented box",
    "cabin": "closed vehicle",
    "luggage space": "boot",
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
        If a temperature can't be, the time is negative or the time constant not positive.

    Sources
    -------
    [derived] a first-order fit of the measured rises; see `SHELTERS`.
    """
    check_between("air temperature", air_degc, -60.0, 70.0, "°C")
    check_between("time since closing", minutes, 0.0, 1e6, "minutes")
    check_between("rise", rise_k, 0.0, 100.0, "K")
    check_positive("time constant", time_constant_min)
    if start_degc is not None:
        check_between("temperature at the start", start_degc, -60.0, 120.0, "°C")
    start = air_degc if start_degc is None else start_degc
    end = air_degc + rise_k
    return end - (end - start) * math.exp(-minutes / time_constant_min)
