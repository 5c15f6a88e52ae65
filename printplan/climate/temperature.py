"""The part's temperature on the worst day: the front door of the room."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from printplan.climate.balance import FaceBalance, steady_temperature
from printplan.climate.exposure import Bound, Exposure, site_of, situation_of
from printplan.climate.places import Surroundings
from printplan.climate.shelters import Shelter, shelter
from printplan.climate.surfaces import Surface, surface

__all__ = ["NeighbourTemperature", "PartTemperature", "part_temperature"]

_BALANCE_SOURCE = (
    "balance of a sunlit face [source: EnergyPlus Engineering Reference, 'Outside Surface Heat "
    "Balance']; sky [source: same, Clark and Allen 1978]; convection [memory: McAdams; Churchill; "
    "Incropera]"
)
_BOUNDS_SOURCE = (
    "1 m/s as design value and still air as upper bound [derived]: calibrated on black insulated "
    "panels of ASTM D4803 and photovoltaic modules"
)
_NEIGHBOUR_SOURCE = (
    "neighbours: a balance of their own heat, sun and air each [derived]; motor cases [common "
    "practice] from winding rises [memory: IEC 60034-1]; brakes and axles [memory: any text on "
    "heat transfer]"
)

#: Above any filament's limit here, and where brake linings begin to fade [common practice]. [°C]
_TOO_HOT_DEGC = 250.0


@dataclass(frozen=True, kw_only=True)
class NeighbourTemperature:
    """How hot a neighbour gets.

    Attributes
    ----------
    label : str
        What it is.
    design_degc, upper_degc : float
        In light wind or that of travel, and in still air. [°C]
    """

    label: str
    design_degc: float
    upper_degc: float


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
        The two balances, before the neighbour is counted in, each of its hotter case.
    governed_by : str
        "sun" or "neighbour": what sets the design value ("air" where there is no sun).
    notes, warnings, sources : tuple of str
        Assumptions; what needs attention; where numbers come from.
    neighbours : tuple of NeighbourTemperature
        What the part touches.
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
    neighbours: tuple[NeighbourTemperature, ...] = ()

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
        max(
            (_balance(surroundings, case, bound) for case in exposure.cases),
            key=lambda balance: balance.surface_degc,
        )
        for bound in ("design", "upper")
    )
    neighbours = tuple(row for case in exposure.cases for row in _neighbours(surroundings, case))
    place, skin = shelter(exposure.shelter), surface(exposure.colour)
    if any(n.design_degc > design.surface_degc for n in neighbours):
        governed_by: Literal["sun", "air", "neighbour"] = "neighbour"
    else:
        governed_by = "sun" if surroundings.irradiance_w_m2 > 0.0 else "air"
    design_degc = max([design.surface_degc, *(n.design_degc for n in neighbours)])
    return PartTemperature(
        surroundings=surroundings,
        exposure=exposure,
        air_degc=surroundings.air_degc,
        design_degc=design_degc,
        upper_degc=max([design_degc, upper.surface_degc, *(n.upper_degc for n in neighbours)]),
        design=design,
        upper=upper,
        governed_by=governed_by,
        notes=_notes(surroundings, exposure, place),
        warnings=_warnings(exposure, place, skin, neighbours),
        sources=_sources(surroundings, exposure, place, skin),
        neighbours=neighbours,
    )


def _balance(surroundings: Surroundings, case: Exposure, bound: Bound) -> FaceBalance:
    s = situation_of(surroundings, case, bound)
    return steady_temperature(s.face, s.around, s.irradiance_w_m2, s.absorptance)


def _neighbours(surroundings: Surroundings, case: Exposure) -> tuple[NeighbourTemperature, ...]:
    if not case.touching:
        return ()
    design, upper = (site_of(surroundings, case, bound) for bound in ("design", "upper"))
    rows = []
    for neighbour in case.touching:
        in_wind, in_still_air = neighbour.at(design), neighbour.at(upper)
        rows.append(
            NeighbourTemperature(
                label=neighbour.label,
                design_degc=in_wind,
                upper_degc=max(in_wind, in_still_air),
            )
        )
    return tuple(rows)


def _notes(surroundings: Surroundings, exposure: Exposure, place: Shelter) -> tuple[str, ...]:
    notes = [*surroundings.notes, f"the part stands {place.description}"]
    if place.open_sky and not exposure.two_sided:
        notes.append("the back of the face is taken as insulated, which is the hotter case")
    if exposure.neighbour_degc is not None:
        notes.append(
            "the face on the neighbour is as hot as the neighbour; its temperature must be that "
            "of the same hot day"
        )
    if exposure.neighbours:
        notes.append(
            "motor, brake and axle are reckoned with the sun on them; the part is as hot as the "
            "hottest that it touches"
        )
    if len(exposure.cases) > 1:
        notes.append(
            f"{place.description} the vehicle is not ridden, so that soak and the ride's heat "
            "don't meet: the ride is taken in the open sun, and the hotter of the two counts"
        )
    return tuple(notes)


def _warnings(
    exposure: Exposure,
    place: Shelter,
    skin: Surface,
    neighbours: tuple[NeighbourTemperature, ...],
) -> tuple[str, ...]:
    warnings = [text for text in (skin.warning, place.warning) if text]
    if exposure.two_sided and not place.own_panel:
        warnings.append("'two_sided' is not counted: a housing's skin has warm air behind it")
    if any(n.upper_degc > _TOO_HOT_DEGC for n in neighbours):
        warnings.append(
            f"a neighbour gets hotter than {_TOO_HOT_DEGC:.0f} °C, where brakes fade and no "
            "printed part may touch it; radiation, not counted for brakes, takes some of that off"
        )
    if not place.own_panel and any(n.needs_ride for n in exposure.neighbours):
        warnings.append(
            "a motor or brake in a closed housing warms the housing too, which is not counted: "
            "measure it and give the neighbour's temperature"
        )
    return tuple(warnings)


def _sources(
    surroundings: Surroundings, exposure: Exposure, place: Shelter, skin: Surface
) -> tuple[str, ...]:
    sources = [*surroundings.sources, _BALANCE_SOURCE, _BOUNDS_SOURCE]
    sources.append(f"colour {skin.name!r}: {skin.source}")
    if place.source:
        sources.append(f"shelter {place.name!r}: {place.source}")
    if exposure.neighbours:
        sources.append(_NEIGHBOUR_SOURCE)
    return tuple(sources)
