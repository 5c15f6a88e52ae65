"""What a plan says: plain results that the faces only have to show."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd

    from printplan.climate import PartTemperature
    from printplan.job.schema import HardwareItem
    from printplan.judging import Verdict
    from printplan.judging.required import RequiredSafety
    from printplan.judging.temperature_map import TemperatureMap
    from printplan.part import MeasuredPart, Solid
    from printplan.process import Consumption, Recipe
    from printplan.vehicle import VehicleLoads

__all__ = [
    "CAUTIONS",
    "Candidate",
    "JobPlan",
    "PartPlan",
    "Plate",
    "PlateItem",
    "PlateTotals",
    "SpoolUse",
    "Totals",
]

#: Shown on every sheet; the wording is ours, the content is the usual care of the trade.
CAUTIONS: tuple[str, ...] = (
    "Nobody certifies a home-printed part. The figures here are estimates from published and "
    "recalled material data; a different spool, printer or setting can be half as strong.",
    "Prove every part that a person depends on before anyone rides: load it slowly to more than "
    "its working load, warm, with nobody near.",
    "Metal must hold wheels, brakes and steering together when the plastic breaks. Never hang a "
    "brake or the steering on printed plastic alone.",
    "Look at printed parts before every ride; stop at the first crack, whitening or loose screw. "
    "Tighten screws again after the first hot day.",
    "Local rules for vehicles on roads and paths come first, and work that needs a licence "
    "(mains, traction batteries, welding of frames) belongs to those who hold one.",
    "Wear a helmet, keep hands and clothes out of belts and gears, and ride slowly until the "
    "vehicle has shown what it does.",
)


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """One filament tried for a part: with its cheapest recipe that holds, or the best there is.

    Attributes
    ----------
    verdict : Verdict
        The judgement with that recipe.
    recipe : Recipe
        Walls, skins, infill.
    printer : str or None
        Name of the cheapest printer that can print it; None where none here can.
    consumption : Consumption
        Filament, time, energy and cost of one piece.
    ease : int
        What printing it asks beside the usual: enclosure, hardened nozzle, drying; 0 is easiest.
    over_temperature : TemperatureMap or None
        How the margin falls with the part's temperature; None where no check was made.
    tried : tuple of str
        The other recipes tried and why they lost.
    """

    verdict: Verdict
    recipe: Recipe
    printer: str | None
    consumption: Consumption
    ease: int = 0
    over_temperature: TemperatureMap | None = None
    tried: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class PartPlan:
    """Everything about one part of the set.

    `candidates` is ranked, the best first. `pick` is the first one's grade, None when even that
    is unsuitable or not judged; masses, hours and cost are then those of the first candidate,
    so that the set still has a price, and `warnings` say so.
    """

    name: str
    role: str
    quantity: int
    mesh: str
    up: str
    colour: str
    shelter: str
    measured: MeasuredPart
    standing: Solid
    temperature: PartTemperature
    required: RequiredSafety
    candidates: tuple[Candidate, ...]
    warnings: tuple[str, ...] = ()

    @property
    def best(self) -> Candidate:
        """The first-ranked candidate, fit or not."""
        return self.candidates[0]

    @property
    def pick(self) -> str | None:
        """Grade of the filament to print in; None where none is fit."""
        fit = self.best.verdict.suitability in ("suitable", "marginal")
        return self.best.verdict.grade if fit else None

    @property
    def filament_g(self) -> float:
        """Filament for all pieces. [g]"""
        return self.quantity * self.best.consumption.filament_g

    @property
    def filament_m(self) -> float:
        """Length of filament for all pieces. [m]"""
        return self.quantity * self.best.consumption.filament_m

    @property
    def build_time_s(self) -> float:
        """Build time of all pieces printed one by one. [s]"""
        return self.quantity * self.best.consumption.build_time_s

    @property
    def cost(self) -> float:
        """Cost of all pieces, in the job's currency."""
        return self.quantity * self.best.consumption.cost

    def to_dict(self) -> dict[str, Any]:
        """Return the part with units in the keys."""
        return {
            "name": self.name,
            "role": self.role,
            "quantity": self.quantity,
            "mesh": self.mesh,
            "temperature": {
                "air_degc": self.temperature.air_degc,
                "design_degc": self.temperature.design_degc,
                "upper_degc": self.temperature.upper_degc,
            },
            "required_safety": self.required.factor,
            "if_it_breaks": self.required.danger,
            "verdicts": {c.verdict.grade: c.verdict.to_dict() for c in self.candidates},
            "pick": self.pick,
            "priced_as": self.best.verdict.grade,
            "recipe": self.best.recipe.to_dict(),
            "printer": self.best.printer,
            "filament_g": self.filament_g,
            "filament_m": self.filament_m,
            "build_time_s": self.build_time_s,
            "cost": self.cost,
            "one_piece": self.best.consumption.to_dict(),
            "alternatives": [
                {
                    "grade": c.verdict.grade,
                    "suitability": c.verdict.suitability,
                    "recipe": c.recipe.name,
                    "filament_g": c.consumption.filament_g,
                    "build_time_s": c.consumption.build_time_s,
                    "cost": c.consumption.cost,
                    "ease": c.ease,
                    "over_temperature": None
                    if c.over_temperature is None
                    else c.over_temperature.to_dict(),
                    "tried": list(c.tried),
                }
                for c in self.candidates
            ],
            "measured": self.measured.to_dict(),
            "warnings": list(self.warnings),
        }


@dataclass(frozen=True, kw_only=True)
class PlateItem:
    """One piece on a plate: the lower left corner and size of its rectangle. [mm]"""

    part: str
    x_mm: float
    y_mm: float
    width_mm: float
    depth_mm: float
    turned: bool


@dataclass(frozen=True, kw_only=True)
class Plate:
    """One filled build platform."""

    number: int
    printer: str
    grade: str
    layer_height_mm: float
    bed_mm: tuple[float, float]
    items: tuple[PlateItem, ...]
    filament_g: float
    build_time_s: float

    @property
    def density(self) -> float:
        """Sum of the rectangles over the plate's area."""
        area = sum(i.width_mm * i.depth_mm for i in self.items)
        return area / (self.bed_mm[0] * self.bed_mm[1])


@dataclass(frozen=True, kw_only=True)
class SpoolUse:
    """One spool and the plates that it feeds."""

    grade: str
    in_stock: bool
    mass_before_g: float
    mass_after_g: float
    plates: tuple[int, ...]


@dataclass(frozen=True, kw_only=True)
class PlateTotals:
    """Numbers of plates that go through each printer."""

    printer: str
    plates: int
    build_time_s: float


@dataclass(frozen=True, kw_only=True)
class Totals:
    """Sums over the set."""

    pieces: int
    filament_g: float
    filament_m: float
    build_time_s: float
    energy_wh: float
    cost: float
    cost_low: float
    cost_high: float
    hardware_cost: float
    time_low_s: float
    time_high_s: float
    spools_to_buy: dict[str, int]


@dataclass(frozen=True, kw_only=True)
class JobPlan:
    """The whole plan, ready to be shown."""

    title: str
    currency: str
    place: str
    parts: tuple[PartPlan, ...]
    loads: VehicleLoads | None
    plates: tuple[Plate, ...]
    printers: tuple[PlateTotals, ...]
    spools: tuple[SpoolUse, ...]
    hardware: tuple[HardwareItem, ...]
    totals: Totals
    warnings: tuple[str, ...]
    sources: tuple[str, ...]
    cautions: tuple[str, ...] = CAUTIONS

    @property
    def unfit(self) -> tuple[PartPlan, ...]:
        """Parts for which no filament is fit."""
        return tuple(p for p in self.parts if p.pick is None)

    def to_dict(self) -> dict[str, Any]:
        """Return the plan with units in the keys, as ``plan.json`` holds it."""
        from dataclasses import asdict

        return {
            "title": self.title,
            "currency": self.currency,
            "place": self.place,
            "parts": [p.to_dict() for p in self.parts],
            "loads": None if self.loads is None else self.loads.to_dict(),
            "plates": [asdict(p) | {"density": p.density} for p in self.plates],
            "printers": [asdict(p) for p in self.printers],
            "spools": [asdict(s) for s in self.spools],
            "hardware": [
                {"designation": h.designation, "quantity": h.quantity, "for": h.for_}
                for h in self.hardware
            ],
            "total": asdict(self.totals),
            "warnings": list(self.warnings),
            "sources": list(self.sources),
            "cautions": list(self.cautions),
        }

    def to_frame(self) -> pd.DataFrame:
        """Return one row per part, as ``plan.csv`` holds it."""
        import pandas as pd

        return pd.DataFrame(list(self._rows()))

    def _rows(self) -> Iterable[dict[str, Any]]:
        for p in self.parts:
            tight = p.best.verdict.tightest
            yield {
                "name": p.name,
                "role": p.role,
                "quantity": p.quantity,
                "pick": p.pick or "",
                "priced_as": p.best.verdict.grade,
                "verdict": p.best.verdict.suitability,
                "recipe": p.best.recipe.name,
                "printer": p.best.printer or "",
                "part_temperature_degc": round(p.temperature.design_degc, 1),
                "least_safety": None if tight is None else round(tight.safety, 3),
                "required_safety": round(p.required.factor, 3),
                "thinnest_wall_mm": round(p.measured.thinnest_wall_mm, 3),
                "filament_g": round(p.filament_g, 2),
                "filament_m": round(p.filament_m, 3),
                "build_time_s": round(p.build_time_s),
                "cost": round(p.cost, 2),
                "reasons": " | ".join(p.best.verdict.deciding),
                **{
                    f"verdict_{c.verdict.grade}": c.verdict.suitability
                    for c in sorted(p.candidates, key=lambda c: c.verdict.grade)
                },
            }
