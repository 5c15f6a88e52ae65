"""Contacts: what the part is bolted to, when that has heat of its own.

Every neighbour is given one balance of its own, with its heat, the sun and the air of the same
moment in it; nothing is found by adding temperatures of cases that were worked out apart. Heat
flows from hot to cold, so bodies that touch are nowhere hotter than the hottest of them would be
by itself: the part takes the hottest of its own balance and of what it touches, which is safe.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from printplan.climate.balance import Around, Face, heat_loss, steady_temperature
from printplan.climate.brakes import STEEL_HEAT_CAPACITY_J_KGK, brake_degc
from printplan.climate.neighbours import bar_end_share, motor_case_degc
from printplan.climate.places import check_between
from printplan.climate.surfaces import AGEING_ABSORPTANCE, surface

__all__ = ["BrakeDescent", "HotBody", "MetalAxle", "MotorCase", "Neighbour", "Site"]

#: The sun lights at most this share of a body without hollows: a thin disc seen squarely. Stouter
#: bodies show a third or less, and get light of sky and ground all round besides [derived].
_LIT_SHARE = 0.5

#: Air for which a motor's case temperatures are stated [memory: IEC 60034-1 reckons from 40 °C].
_RATED_AIR_DEGC = 40.0


@dataclass(frozen=True, kw_only=True)
class Site:
    """What is round a neighbour at one moment.

    Attributes
    ----------
    around : Around
        Air, sky, ground and wind.
    irradiance_w_m2 : float
        Sunlight. [W/m²]
    open_wind : bool
        Whether the wind of travel cools it; False in a housing and for the upper bound.
    """

    around: Around
    irradiance_w_m2: float
    open_wind: bool


@dataclass(frozen=True, kw_only=True)
class HotBody:
    """Something whose temperature on that day is known.

    Attributes
    ----------
    body_degc : float
        Its temperature. [°C]

    Raises
    ------
    OutOfRangeError
        If it is outside -60 to 400 °C.
    """

    body_degc: float

    def __post_init__(self) -> None:
        check_between("neighbour's temperature", self.body_degc, -60.0, 400.0, "°C")

    @property
    def label(self) -> str:
        """What it is, for people."""
        return f"neighbour of {self.body_degc:g} °C"

    @property
    def needs_ride(self) -> bool:
        """Whether it is hot only while the vehicle is ridden."""
        return False

    def at(self, site: Site) -> float:
        """Its temperature. [°C]"""
        return self.body_degc


@dataclass(frozen=True, kw_only=True)
class MotorCase:
    """The case of a working motor, in the sun where the vehicle is.

    Attributes
    ----------
    duty : {"light", "hard", "uncooled"}
        How hard it works.
    side_mm : float
        Side of the case. [mm]
    colour : str
        Colour of the case.

    Raises
    ------
    UnknownNameError
        If duty or colour is not known.
    OutOfRangeError
        If the side is not that of a motor.
    """

    duty: str = "hard"
    side_mm: float = 100.0
    colour: str = "black"

    def __post_init__(self) -> None:
        motor_case_degc(self.duty)
        surface(self.colour)
        check_between("side of the case", self.side_mm, 10.0, 1000.0, "mm")

    @property
    def label(self) -> str:
        """What it is, for people."""
        return f"motor case, duty {self.duty}"

    @property
    def needs_ride(self) -> bool:
        """A motor is warm because it works."""
        return True

    def at(self, site: Site) -> float:
        """Case temperature from its own heat, the sun and the air together. [°C]

        The heat is what holds the stated rise over this air without sun: warmer windings lose more
        power, so the rise doesn't fall in warmer air. The result is never under the stated
        temperature.
        """
        stated = motor_case_degc(self.duty)
        air = site.around.air_degc
        shaded = replace(site.around, sky_degc=air, ground_degc=air)
        risen = air + stated - _RATED_AIR_DEGC
        heat_w_m2 = sum(heat_loss(_metal_face(self.side_mm, self.colour), shaded, risen))
        return max(stated, _metal_degc(site.around, site, self.side_mm, self.colour, heat_w_m2))


@dataclass(frozen=True, kw_only=True)
class BrakeDescent:
    """A brake that holds the vehicle back on a long descent and stops it at the end.

    Attributes
    ----------
    mass_g : float
        Vehicle with rider and load. [g]
    slope_percent : float
        Fall per 100 of level way. [%]
    speed_mm_s : float
        Steady speed. [mm/s]
    duration_s : float
        Time of the descent. [s]
    disc_mass_g, cooled_area_mm2 : float
        Metal that takes the heat up, and its surface in the air. [g], [mm²]
    share : float
        Share of the heat that goes into this brake.
    heat_capacity_j_kgk : float
        Of the metal. [J/(kg K)]
    colour : str
        Of the metal; bare steel counts as grey.

    Raises
    ------
    OutOfRangeError
        If a number is out of range.
    UnknownNameError
        If the colour is not known.
    """

    mass_g: float
    slope_percent: float
    speed_mm_s: float
    duration_s: float
    disc_mass_g: float
    cooled_area_mm2: float
    share: float = 1.0
    heat_capacity_j_kgk: float = STEEL_HEAT_CAPACITY_J_KGK
    colour: str = "grey"

    def __post_init__(self) -> None:
        surface(self.colour)
        self._after(20.0, 0.0)  # checks every number

    @property
    def label(self) -> str:
        """What it is, for people."""
        return f"brake after {self.duration_s:g} s down a slope of {self.slope_percent:g} %"

    @property
    def needs_ride(self) -> bool:
        """A brake is hot because the vehicle rolls; holding it still makes no heat."""
        return True

    def at(self, site: Site) -> float:
        """Brake temperature from sunlit metal and descent together. [°C]"""
        wind_m_s = self.speed_mm_s * 1e-3 if site.open_wind else 0.0
        around = replace(site.around, wind_m_s=wind_m_s)
        side_mm = math.sqrt(0.5 * self.cooled_area_mm2)
        return self._after(_metal_degc(around, site, side_mm, self.colour), wind_m_s)

    def _after(self, idle_degc: float, wind_m_s: float) -> float:
        return brake_degc(
            idle_degc,
            mass_g=self.mass_g,
            slope_percent=self.slope_percent,
            speed_mm_s=self.speed_mm_s,
            duration_s=self.duration_s,
            disc_mass_g=self.disc_mass_g,
            cooled_area_mm2=self.cooled_area_mm2,
            share=self.share,
            heat_capacity_j_kgk=self.heat_capacity_j_kgk,
            wind_m_s=wind_m_s,
        )


@dataclass(frozen=True, kw_only=True)
class MetalAxle:
    """A metal bar that leads the heat of a motor or brake into the bore of the part.

    Attributes
    ----------
    hot_end : HotBody or MotorCase or BrakeDescent
        What heats its other end.
    length_mm, diameter_mm : float
        Bar between hot end and part. [mm]
    conductivity_w_mk : float
        50 for carbon steel, 15 stainless, 200 aluminium [memory]. [W/(m K)]
    coefficient_w_m2k : float
        Convection and radiation at the bar; the least is the hottest. [W/(m² K)]
    colour : str
        Of the metal; bare steel counts as grey.

    Raises
    ------
    OutOfRangeError
        If a number is out of range.
    UnknownNameError
        If the colour is not known.
    """

    hot_end: HotBody | MotorCase | BrakeDescent
    length_mm: float
    diameter_mm: float
    conductivity_w_mk: float = 50.0
    coefficient_w_m2k: float = 10.0
    colour: str = "grey"

    def __post_init__(self) -> None:
        surface(self.colour)
        self.share  # noqa: B018  checks every number

    @property
    def share(self) -> float:
        """Share of the hot end's rise that reaches the part."""
        return bar_end_share(
            self.length_mm, self.diameter_mm, self.conductivity_w_mk, self.coefficient_w_m2k
        )

    @property
    def label(self) -> str:
        """What it is, for people."""
        return f"axle of {self.length_mm:g} mm from {self.hot_end.label}"

    @property
    def needs_ride(self) -> bool:
        """As its hot end."""
        return self.hot_end.needs_ride

    def at(self, site: Site) -> float:
        """Temperature in the bore: the bar's own in the sun, and its share of the rest. [°C]

        The fin equation is linear, so sun and hot end superpose in it.
        """
        own = _metal_degc(site.around, site, self.diameter_mm, self.colour)
        return own + self.share * max(0.0, self.hot_end.at(site) - own)


Neighbour = HotBody | MotorCase | BrakeDescent | MetalAxle


def _metal_face(side_mm: float, colour: str) -> Face:
    return Face(side_mm=side_mm, tilt_deg=90.0, emittance=surface(colour).emittance)


def _metal_degc(
    around: Around, site: Site, side_mm: float, colour: str, heat_w_m2: float = 0.0
) -> float:
    """Balance of a body cooled all round as an upright face, half of it lit; metal is dirty."""
    return steady_temperature(
        _metal_face(side_mm, colour),
        around,
        _LIT_SHARE * site.irradiance_w_m2,
        min(1.0, surface(colour).absorptance + AGEING_ABSORPTANCE),
        heat_w_m2,
    ).surface_degc
