"""The part's temperature on the worst day: the front door of the room."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Literal

from printplan.climate.balance import Around, Face, FaceBalance, steady_temperature
from printplan.climate.places import Surroundings, check_between
from printplan.climate.shelters import SOAK_IRRADIANCE_W_M2, Shelter, shelter
from printplan.climate.sky import sky_temperature_degc
from printplan.climate.sun import GROUND_ALBEDO, worst_face_irradiance_w_m2
from printplan.climate.surfaces import AGEING_ABSORPTANCE, Surface, surface

__all__ = ["Bound", "Exposure", "PartTemperature", "Situation", "part_temperature", "situation_of"]

#: "design": light wind, colour as stated. "upper": still air, dirty and aged, face to the sun.
Bound = Literal["design", "upper"]

#: Added to the rise of the ground in the upper bound: 20 to 30 K over air [derived]. [K]
_HOTTER_GROUND_K = 10.0

_BALANCE_SOURCE = (
    "balance of a sunlit face [source: EnergyPlus Engineering Reference, 'Outside Surface Heat "
    "Balance']; sky [source: same, Clark and Allen 1978]; convection [memory: McAdams; Churchill; "
    "Incropera]"
)
_BOUNDS_SOURCE = (
    "1 m/s as design value and still air as upper bound [derived]: calibrated on black insulated "
    "panels of ASTM D4803 and photovoltaic modules"
)


@dataclass(frozen=True, kw_only=True)
class Exposure:
    """What the part meets where it sits.

    Attributes
    ----------
    shelter : str
        Name out of `SHELTERS`: "sun", "shade", "closed vehicle", …
    colour : str
        Name out of `SURFACES`; "unknown" counts as black.
    face_mm : float
        Side of the panel or part that the sun heats; a small part on a large panel takes the
        panel's. [mm]
    tilt_deg : float
        Tilt of the face, 0 level, 90 upright. [°]
    two_sided : bool
        A thin plate that also loses heat at its back; otherwise the back is insulated (hotter).
    neighbour_degc : float or None
        Temperature of what the part is bolted to, such as a motor case, on that day. [°C]
    wall_mm : float
        Thickness that must warm up; used for the course of the day only. [mm]

    Raises
    ------
    UnknownNameError
        If shelter or colour is not known.
    OutOfRangeError
        If a number is outside its range.
    """

    shelter: str = "sun"
    colour: str = "black"
    face_mm: float = 200.0
    tilt_deg: float = 0.0
    two_sided: bool = False
    neighbour_degc: float | None = None
    wall_mm: float = 5.0

    def __post_init__(self) -> None:
        shelter(self.shelter)
        surface(self.colour)
        check_between("face", self.face_mm, 5.0, 5000.0, "mm")
        check_between("tilt", self.tilt_deg, 0.0, 90.0, "degrees")
        check_between("wall", self.wall_mm, 0.2, 100.0, "mm")
        if self.neighbour_degc is not None:
            check_between("neighbour's temperature", self.neighbour_degc, -60.0, 400.0, "°C")


@dataclass(frozen=True, kw_only=True)
class Situation:
    """A face and what is round it at one moment, ready for the balance.

    Attributes
    ----------
    face : Face
        The face.
    around : Around
        Air, sky, ground and wind at the face.
    irradiance_w_m2 : float
        Sunlight on the face. [W/m²]
    absorptance : float
        Share taken in.
    """

    face: Face
    around: Around
    irradiance_w_m2: float
    absorptance: float

    @property
    def absorbed_w_m2(self) -> float:
        """Sunlight taken in. [W/m²]"""
        return self.irradiance_w_m2 * self.absorptance


@dataclass(frozen=True, kw_only=True)
class PartTemperature:
    """How hot a part gets.

    Attributes
    ----------
    surroundings, exposure
        What was asked.
    air_degc : float
        Outside air. [°C]
    design_degc : float
        Part in light wind, colour as stated. [°C]
    upper_degc : float
        Part in still air, dirty and aged, its face turned to the sun. [°C]
    design, upper : FaceBalance
        The two balances, before the neighbour is counted in.
    governed_by : str
        "sun" or "neighbour": what sets the design value ("air" where there is no sun).
    notes, warnings, sources : tuple of str
        Assumptions; what needs attention; where numbers come from.
    """

    surroundings: Surroundings
    exposure: Exposure
    air_degc: float
    design_degc: float
    upper_degc: float
    design: FaceBalance
    upper: FaceBalance
    governed_by: Literal["sun", "air", "neighbour"]
    notes: tuple[str, ...]
    warnings: tuple[str, ...]
    sources: tuple[str, ...]

    @property
    def absorptance(self) -> float:
        """Solar absorptance behind the design value."""
        return self.design.absorptance

    @property
    def terms(self) -> dict[str, float]:
        """Terms of the design balance; the last two add up to the first. [W/m²]"""
        return {
            "absorbed": self.design.absorbed_w_m2,
            "convection": self.design.convection_w_m2,
            "radiation": self.design.radiation_w_m2,
        }

    def to_dict(self) -> dict[str, Any]:
        """Everything as plain values, for JSON."""
        from dataclasses import asdict

        return asdict(self) | {"absorptance": self.absorptance, "terms": self.terms}


def situation_of(
    surroundings: Surroundings,
    exposure: Exposure,
    bound: Bound = "design",
    *,
    air_degc: float | None = None,
    irradiance_w_m2: float | None = None,
) -> Situation:
    """Put surroundings, shelter and colour together for the balance.

    Parameters
    ----------
    surroundings : Surroundings
        The day.
    exposure : Exposure
        Shelter, colour and face of the part.
    bound : {"design", "upper"}
        Which of the two values.
    air_degc, irradiance_w_m2 : float or None
        Outside air and sun on level ground at the moment; None means the day's highest.

    Returns
    -------
    Situation
        Face, surroundings and sunlight at the face.
    """
    air = surroundings.air_degc if air_degc is None else air_degc
    sun = surroundings.irradiance_w_m2 if irradiance_w_m2 is None else irradiance_w_m2
    place, skin = shelter(exposure.shelter), surface(exposure.colour)
    upper = bound == "upper"
    local_air = air + place.air_rise_k[upper] * sun / SOAK_IRRADIANCE_W_M2
    return Situation(
        face=Face(
            side_mm=exposure.face_mm,
            tilt_deg=exposure.tilt_deg,
            two_sided=exposure.two_sided and place.own_panel,
            emittance=skin.emittance,
        ),
        around=_around(surroundings, place, local_air, upper, lit=sun > 0.0),
        irradiance_w_m2=_on_face(exposure, place, sun, surroundings.irradiance_w_m2, upper),
        absorptance=min(1.0, skin.absorptance + (AGEING_ABSORPTANCE if upper else 0.0)),
    )


def _around(
    surroundings: Surroundings, place: Shelter, local_air_degc: float, upper: bool, lit: bool
) -> Around:
    """Air, sky and ground; a part under a roof sees surfaces as warm as its air."""
    sky = ground = local_air_degc
    if place.open_sky:
        # The dew point is that of the day's hottest hour; cooler air can't hold more.
        dew_point = min(surroundings.dew_point_degc, local_air_degc)
        sky = sky_temperature_degc(local_air_degc, dew_point, surroundings.cloud_tenths)
        if lit:
            ground += surroundings.ground_rise_k + (_HOTTER_GROUND_K if upper else 0.0)
    return Around(
        air_degc=local_air_degc,
        sky_degc=sky,
        ground_degc=ground,
        wind_m_s=surroundings.wind_m_s if place.open_wind and not upper else 0.0,
        pressure_pa=surroundings.pressure_pa,
    )


def _on_face(
    exposure: Exposure, place: Shelter, sun_w_m2: float, noon_w_m2: float, upper: bool
) -> float:
    """Sunlight on the face; the back of a thin plate gets what the ground throws back."""
    share = place.sun_share[upper]
    if upper and exposure.tilt_deg > 0.0 and place.open_sky and noon_w_m2 > 0.0:
        worst = worst_face_irradiance_w_m2(exposure.tilt_deg, noon_w_m2)
        share *= max(1.0, worst / noon_w_m2)
    if exposure.two_sided and place.own_panel:
        share *= 1.0 + GROUND_ALBEDO
    return share * sun_w_m2


def part_temperature(surroundings: Surroundings, exposure: Exposure) -> PartTemperature:
    """Temperature of a part at the worst moment of the worst day.

    The noon sun and the afternoon's air are taken together, which is 2 to 4 K more than a day's
    course gives: a small error on the safe side.

    Parameters
    ----------
    surroundings : Surroundings
        The day.
    exposure : Exposure
        Where the part sits and what colour it has.

    Returns
    -------
    PartTemperature
        Outside air, design value, upper bound and how they came about.

    Raises
    ------
    OutOfRangeError
        If the part would be hotter than the formulas cover.

    Sources
    -------
    Balance [source: EnergyPlus Engineering Reference]; wind and colour of the bounds [derived].
    """
    design, upper = (
        steady_temperature(s.face, s.around, s.irradiance_w_m2, s.absorptance)
        for s in (
            situation_of(surroundings, exposure, "design"),
            situation_of(surroundings, exposure, "upper"),
        )
    )
    neighbour = -math.inf if exposure.neighbour_degc is None else exposure.neighbour_degc
    place, skin = shelter(exposure.shelter), surface(exposure.colour)
    if neighbour > design.surface_degc:
        governed_by: Literal["sun", "air", "neighbour"] = "neighbour"
    else:
        governed_by = "sun" if surroundings.irradiance_w_m2 > 0.0 else "air"
    return PartTemperature(
        surroundings=surroundings,
        exposure=exposure,
        air_degc=surroundings.air_degc,
        design_degc=max(design.surface_degc, neighbour),
        upper_degc=max(upper.surface_degc, design.surface_degc, neighbour),
        design=design,
        upper=upper,
        governed_by=governed_by,
        notes=_notes(surroundings, exposure, place),
        warnings=_warnings(exposure, place, skin),
        sources=_sources(surroundings, place, skin),
    )


def _notes(surroundings: Surroundings, exposure: Exposure, place: Shelter) -> tuple[str, ...]:
    notes = [*surroundings.notes, f"the part stands {place.description}"]
    if place.open_sky and not exposure.two_sided:
        notes.append("the back of the face is taken as insulated, which is the hotter case")
    if exposure.neighbour_degc is not None:
        notes.append(
            "the face on the neighbour is as hot as the neighbour; its temperature must be that "
            "of the same hot day"
        )
    return tuple(notes)


def _warnings(exposure: Exposure, place: Shelter, skin: Surface) -> tuple[str, ...]:
    warnings = [text for text in (skin.warning, place.warning) if text]
    if exposure.two_sided and not place.own_panel:
        warnings.append("'two_sided' is not counted: a housing's skin has warm air behind it")
    return tuple(warnings)


def _sources(surroundings: Surroundings, place: Shelter, skin: Surface) -> tuple[str, ...]:
    sources = [*surroundings.sources, _BALANCE_SOURCE, _BOUNDS_SOURCE]
    sources.append(f"colour {skin.name!r}: {skin.source}")
    if place.source:
        sources.append(f"shelter {place.name!r}: {place.source}")
    return tuple(sources)
