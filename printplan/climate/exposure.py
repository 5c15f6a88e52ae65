"""Exposure: what the part meets where it sits, put together for the balance."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, get_args

from printplan.climate.balance import Around, Face, steady_temperature
from printplan.climate.contacts import HotBody, Neighbour, Site
from printplan.climate.places import Surroundings, check_between
from printplan.climate.shelters import SOAK_IRRADIANCE_W_M2, Shelter, shelter
from printplan.climate.sky import sky_temperature_degc
from printplan.climate.sun import GROUND_ALBEDO, worst_face_irradiance_w_m2
from printplan.climate.surfaces import AGEING_ABSORPTANCE, surface
from printplan.errors import InputError, UnknownNameError, one_line

__all__ = ["Bound", "Exposure", "Situation", "site_of", "situation_of"]

#: "design": light wind, colour as stated. "upper": still air, dirty and aged, face to the sun.
Bound = Literal["design", "upper"]

#: Added to the rise of the ground in the upper bound: 20 to 30 K over air [derived]. [K]
_HOTTER_GROUND_K = 10.0


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
        Temperature of what the part is bolted to on that day, where it is known. [°C]
    neighbours : tuple of Neighbour
        Motor cases, brakes and axles that the part touches; see `contacts`.
    wall_mm : float
        Thickness that must warm up; used for the course of the day only. [mm]

    Raises
    ------
    UnknownNameError
        If shelter or colour is not known.
    OutOfRangeError
        If a number is outside its range.
    InputError
        If a neighbour is something else.

    Notes
    -----
    Sun and a long descent can meet, and are put in one balance. A vehicle that is shut in (a
    cabin, a box) is not ridden, so its soak and the heat of motor or brake can't meet: the ride is
    a case of its own in the open sun, and the hotter of the two counts.
    """

    shelter: str = "sun"
    colour: str = "black"
    face_mm: float = 200.0
    tilt_deg: float = 0.0
    two_sided: bool = False
    neighbour_degc: float | None = None
    wall_mm: float = 5.0
    neighbours: tuple[Neighbour, ...] = ()

    def __post_init__(self) -> None:
        shelter(self.shelter)
        surface(self.colour)
        check_between("face", self.face_mm, 5.0, 5000.0, "mm")
        check_between("tilt", self.tilt_deg, 0.0, 90.0, "degrees")
        check_between("wall", self.wall_mm, 0.2, 100.0, "mm")
        if self.neighbour_degc is not None:
            check_between("neighbour's temperature", self.neighbour_degc, -60.0, 400.0, "°C")
        if not isinstance(self.neighbours, tuple) or not all(
            isinstance(n, Neighbour) for n in self.neighbours
        ):
            raise InputError(
                one_line(
                    f"neighbours = {self.neighbours!r}: expected a tuple of HotBody, MotorCase, "
                    "BrakeDescent or MetalAxle"
                )
            )

    @property
    def touching(self) -> tuple[Neighbour, ...]:
        """All neighbours, the one of known temperature first."""
        known = self.neighbour_degc
        first = () if known is None else (HotBody(body_degc=known),)
        return (*first, *self.neighbours)

    @property
    def cases(self) -> tuple[Exposure, ...]:
        """Cases that can't meet: as stated, and the ride where the stated shelter is no ride."""
        ride = tuple(n for n in self.neighbours if n.needs_ride)
        if not ride or shelter(self.shelter).on_the_road:
            return (self,)
        parked = replace(self, neighbours=tuple(n for n in self.neighbours if not n.needs_ride))
        return parked, replace(self, shelter="sun")


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

    Raises
    ------
    UnknownNameError
        If the bound is another word.
    """
    if bound not in get_args(Bound):
        raise UnknownNameError("bound", bound, get_args(Bound))
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


def site_of(
    surroundings: Surroundings,
    exposure: Exposure,
    bound: Bound = "design",
    *,
    air_degc: float | None = None,
    irradiance_w_m2: float | None = None,
) -> Site:
    """Put together what is round the part's neighbours; parameters as in `situation_of`.

    Inside a sunlit housing that is still air as warm as the housing's skin.

    Returns
    -------
    Site
        Air, sky, ground and sunlight at the neighbours.
    """
    situation = situation_of(
        surroundings, exposure, bound, air_degc=air_degc, irradiance_w_m2=irradiance_w_m2
    )
    place = shelter(exposure.shelter)
    if not place.own_panel:
        skin = steady_temperature(
            situation.face, situation.around, situation.irradiance_w_m2, situation.absorptance
        ).surface_degc
        inside = Around(
            air_degc=skin,
            sky_degc=skin,
            ground_degc=skin,
            pressure_pa=surroundings.pressure_pa,
        )
        return Site(around=inside, irradiance_w_m2=0.0, open_wind=False)
    sun = surroundings.irradiance_w_m2 if irradiance_w_m2 is None else irradiance_w_m2
    upper = bound == "upper"
    return Site(
        around=situation.around,
        irradiance_w_m2=place.sun_share[upper] * sun,
        open_wind=place.open_wind and not upper,
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
