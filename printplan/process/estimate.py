"""From a standing solid, a recipe, a printer and a filament to what the build takes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from printplan.process.bead import filament_length_m, filament_mass_g
from printplan.process.cost import Prices, cost_by_item, success_probability
from printplan.process.energy import energy_by_kind
from printplan.process.filament_data import FilamentData
from printplan.process.layers import LayerStack, cut_layers
from printplan.process.printer import Printer
from printplan.process.recipe import Recipe
from printplan.process.regions import Regions, regions
from printplan.process.supports import SUPPORT_FRACTION, Support, brim_length, support
from printplan.process.times import LayerTimes, flow_limit, heat_up_time, layer_times

if TYPE_CHECKING:
    from printplan.part.solid import Solid

__all__ = ["Consumption", "estimate", "estimate_layers"]

#: Filament diameter and flow setting, 3-5 % [common practice]; the wide end is taken.
MASS_SPREAD = 0.05
#: Worst case aimed at without calibration: an aim, not yet measured.
TIME_SPREAD = 0.20
#: Time spread, and power constants measured on one machine.
ENERGY_SPREAD = 0.30
#: Share of the supported volume that support takes [common practice].
SUPPORT_LOW, SUPPORT_HIGH = 0.10, 0.20

RANGE_REASONS = (
    "filament: ±5 % from filament diameter and flow setting; support at 10 to 20 % of the "
    "supported volume; narrow gaps between walls left open at the low end",
    "time: ±20 %, not calibrated on this printer (paths are not laid yet; published path-based "
    "estimates reach 8.5 % after calibration)",
    "energy: ±30 %, time and power readings of few machines",
)


@dataclass(frozen=True, kw_only=True)
class Consumption:
    """What one build of one part takes.

    Attributes
    ----------
    part, recipe, printer, filament : str
        Names of what was estimated.
    layers : int
        Number of layers.
    filament_mm3_by_kind : dict of str to float
        Volume of walls, skins, infill, support, brim and purge. [mm³]
    filament_g, filament_m : float
        Mass [g] and length [m] of all filament.
    build_time_s : float
        From the start of heating to the end of the last move, cooling down not included. [s]
    time_s_by_kind : dict of str to float
        Walls, skins, infill, support, brim, travel, layer change, cooling, heat-up, start. [s]
    energy_wh : float
        Mains energy. [Wh]
    energy_wh_by_kind : dict of str to float
        Heat-up, bed hold, nozzle hold, motion (with electronics), melting. [Wh]
    cost : float
        Sum of the items. [currency]
    cost_by_item : dict of str to float
        Filament with waste, machine, energy, labour, failure risk. [currency]
    currency : str
        ISO 4217 code.
    success_probability : float
        Probability that the build comes out at the first try.
    filament_g_range, build_time_s_range, energy_wh_range, cost_range : (float, float)
        Low and high end.
    range_reasons : tuple of str
        Why the ranges are as wide as they are.
    warnings : tuple of str
        What the reader must know.
    """

    part: str
    recipe: str
    printer: str
    filament: str
    layers: int
    filament_mm3_by_kind: dict[str, float]
    filament_g: float
    filament_m: float
    build_time_s: float
    time_s_by_kind: dict[str, float]
    energy_wh: float
    energy_wh_by_kind: dict[str, float]
    cost: float
    cost_by_item: dict[str, float]
    currency: str
    success_probability: float
    filament_g_range: tuple[float, float]
    build_time_s_range: tuple[float, float]
    energy_wh_range: tuple[float, float]
    cost_range: tuple[float, float]
    range_reasons: tuple[str, ...] = RANGE_REASONS
    warnings: tuple[str, ...] = ()

    @property
    def filament_g_by_kind(self) -> dict[str, float]:
        """Mass of each kind. [g]"""
        whole = sum(self.filament_mm3_by_kind.values())
        return {k: self.filament_g * v / whole for k, v in self.filament_mm3_by_kind.items()}

    @property
    def start_s(self) -> float:
        """Time spent once per plate, however many parts stand on it. [s]"""
        return self.time_s_by_kind["heat-up"] + self.time_s_by_kind["start"]

    @property
    def mean_flow_mm3_s(self) -> float:
        """Volume over time, from the first to the last layer. [mm³/s]"""
        deposited = sum(self.filament_mm3_by_kind.values()) - self.filament_mm3_by_kind["purge"]
        return deposited / (self.build_time_s - self.start_s)

    def to_dict(self) -> dict[str, Any]:
        """Return plain values for JSON.

        Returns
        -------
        dict
            Names as above, the part under "name".
        """
        return {
            "name": self.part,
            "recipe": self.recipe,
            "printer": self.printer,
            "filament": self.filament,
            "layers": self.layers,
            "filament_g": self.filament_g,
            "filament_m": self.filament_m,
            "build_time_s": self.build_time_s,
            "energy_wh": self.energy_wh,
            "cost": self.cost,
            "currency": self.currency,
            "success_probability": self.success_probability,
            "filament_g_by_kind": self.filament_g_by_kind,
            "time_s_by_kind": dict(self.time_s_by_kind),
            "energy_wh_by_kind": dict(self.energy_wh_by_kind),
            "cost_by_item": dict(self.cost_by_item),
            "filament_g_range": list(self.filament_g_range),
            "build_time_s_range": list(self.build_time_s_range),
            "energy_wh_range": list(self.energy_wh_range),
            "cost_range": list(self.cost_range),
            "range_reasons": list(self.range_reasons),
            "warnings": list(self.warnings),
        }


def estimate(
    solid_standing: Solid,
    recipe: Recipe,
    printer: Printer,
    filament: FilamentData,
    prices: Prices | None = None,
) -> Consumption:
    """Estimate filament, time, energy and cost of printing one part by itself.

    Parameters
    ----------
    solid_standing : Solid
        The part, build direction +z.
    recipe : Recipe
        Layers, walls, skins, infill, supports.
    printer : Printer
        The printer.
    filament : FilamentData
        The filament.
    prices : Prices, optional
        Electricity, waste, labour.

    Returns
    -------
    Consumption
        What the build takes.

    Raises
    ------
    OutOfRangeError
        If the part is thinner than half a layer, or a heater can't reach its temperature.
    InputError
        If the solid can't be cut into layers.
    """
    return estimate_layers(cut_layers(solid_standing, recipe), recipe, printer, filament, prices)


def estimate_layers(
    stack: LayerStack,
    recipe: Recipe,
    printer: Printer,
    filament: FilamentData,
    prices: Prices | None = None,
) -> Consumption:
    """Estimate on layers that are cut already; quick for further recipes on the same layers.

    Parameters
    ----------
    stack : LayerStack
        Layers cut for the recipe's heights and width.
    recipe, printer, filament, prices
        As for :func:`estimate`.

    Returns
    -------
    Consumption
        What the build takes.

    Raises
    ------
    InputError
        If the stack was cut for other heights or another width.
    OutOfRangeError
        If a heater can't reach its temperature.
    """
    prices = prices or Prices()
    filled = regions(stack, recipe)
    columns = support(stack, recipe)
    volume = _volumes(filled, columns, printer, filament)
    mass = filament_mass_g(sum(volume.values()), filament.density_g_cm3)
    times = layer_times(filled, columns, printer, filament)
    seconds = {kind: float(each.sum()) for kind, each in times.by_kind.items()}
    seconds |= {"heat-up": heat_up_time(printer, filament), "start": printer.start_s}
    total = sum(seconds.values())
    heat_up = seconds["heat-up"]
    energy = energy_by_kind(printer, filament, heat_up, total - heat_up, mass)
    energy_wh = sum(energy.values())
    mass_range = _mass_range(filled, volume, mass, filament)
    time_range = (total * (1 - TIME_SPREAD), total * (1 + TIME_SPREAD))
    energy_range = (energy_wh * (1 - ENERGY_SPREAD), energy_wh * (1 + ENERGY_SPREAD))

    def cost(mass_g: float, time_s: float, energy_wh: float) -> dict[str, float]:
        return cost_by_item(
            mass_g=mass_g,
            hours=time_s / 3600,
            energy_wh=energy_wh,
            price_per_kg=filament.price_per_kg,
            printer=printer,
            prices=prices,
        )

    items = cost(mass, total, energy_wh)
    ends = [
        sum(cost(m, t, e).values())
        for m, t, e in zip(mass_range, time_range, energy_range, strict=True)
    ]
    return Consumption(
        part=stack.name,
        recipe=recipe.name,
        printer=printer.name,
        filament=filament.name,
        layers=len(stack),
        filament_mm3_by_kind=volume,
        filament_g=mass,
        filament_m=filament_length_m(sum(volume.values()), filament.diameter_mm),
        build_time_s=total,
        time_s_by_kind=seconds,
        energy_wh=energy_wh,
        energy_wh_by_kind=energy,
        cost=sum(items.values()),
        cost_by_item=items,
        currency=prices.currency,
        success_probability=success_probability(
            total / 3600, printer.failure_rate_per_h, printer.start_failure
        ),
        filament_g_range=mass_range,
        build_time_s_range=time_range,
        energy_wh_range=energy_range,
        cost_range=(ends[0], ends[1]),
        warnings=(
            *stack.warnings,
            *recipe.checks(),
            *_machine_warnings(stack, recipe, printer, filament, prices),
            *_region_warnings(filled, columns),
            *_time_warnings(times, printer, filament),
        ),
    )


def _volumes(
    filled: Regions, columns: Support, printer: Printer, filament: FilamentData
) -> dict[str, float]:
    stack, recipe = filled.stack, filled.recipe
    first = stack.outlines[stack.outline[0]]
    brim_mm = brim_length(first, recipe.brim_lines, recipe.line_width_mm)
    return filled.volume_mm3 | {
        "support": float(columns.deposited_mm2() @ stack.thickness_mm),
        "brim": brim_mm * recipe.first_spacing_mm * recipe.first_layer_height_mm,
        "purge": printer.purge_g / filament.density_g_cm3 * 1000,
    }


def _mass_range(
    filled: Regions, volume: dict[str, float], mass: float, filament: FilamentData
) -> tuple[float, float]:
    """Spread of diameter and flow; support at both ends of its fraction; gaps open or filled."""

    def grams(mm3: float) -> float:
        return filament_mass_g(mm3, filament.density_g_cm3)

    gaps = grams(float(np.maximum(filled.gap_mm2, 0.0) @ filled.stack.thickness_mm))
    scaffold = grams(volume["support"])
    low = mass - gaps - scaffold * (1 - SUPPORT_LOW / SUPPORT_FRACTION)
    high = mass + scaffold * (SUPPORT_HIGH / SUPPORT_FRACTION - 1)
    return low * (1 - MASS_SPREAD), high * (1 + MASS_SPREAD)


def _machine_warnings(
    stack: LayerStack,
    recipe: Recipe,
    printer: Printer,
    filament: FilamentData,
    prices: Prices,
) -> list[str]:
    found = []
    brim = 2 * recipe.brim_lines * recipe.line_width_mm
    size = np.sort(stack.extent_mm[:2] + brim)
    space = np.sort(np.array(printer.build_volume_mm[:2]))
    height = stack.extent_mm[2]
    if (size > space).any() or height > printer.build_volume_mm[2]:
        found.append(
            f"needs {size[1]:.0f} x {size[0]:.0f} x {height:.0f} mm, more than the build volume "
            + " x ".join(f"{x:.0f}" for x in printer.build_volume_mm)
            + " mm of this printer"
        )
    if filament.nozzle_degc > printer.max_nozzle_degc:
        found.append(
            f"{filament.name} wants a nozzle at {filament.nozzle_degc:.0f} °C; this printer "
            f"reaches {printer.max_nozzle_degc:.0f} °C"
        )
    if filament.bed_degc > printer.max_bed_degc:
        found.append(
            f"{filament.name} wants a bed at {filament.bed_degc:.0f} °C; this printer reaches "
            f"{printer.max_bed_degc:.0f} °C"
        )
    if filament.needs_hardened_nozzle and not printer.hardened_nozzle:
        found.append(f"{filament.name} wears out a brass nozzle; a hardened one is needed")
    if filament.needs_enclosure and not printer.enclosed:
        found.append(f"{filament.name} warps in the open; an enclosed printer is needed")
    if abs(recipe.nozzle_bore_mm - printer.nozzle_bore_mm) > 1e-6:
        found.append(
            f"recipe is for a {recipe.nozzle_bore_mm:g} mm bore, the printer has "
            f"{printer.nozzle_bore_mm:g} mm"
        )
    if prices.currency != "EUR":
        found.append(
            f"price and upkeep of the printer class are in EUR, taken one to one as "
            f"{prices.currency}"
        )
    return found


def _region_warnings(filled: Regions, columns: Support) -> list[str]:
    found = []
    thin = filled.thin_mm2 > 1.0
    if thin.any():
        found.append(
            f"thin places: in {int(thin.sum())} of {len(thin)} layers there is no room for "
            f"{filled.recipe.wall_count} walls on both sides (under "
            f"{filled.recipe.full_wall_mm:.1f} mm; up to {filled.thin_mm2.max():.0f} mm² of a "
            "layer); walls fill them"
        )
    lost = filled.lost_mm2 > 0.2
    if lost.any():
        found.append(
            f"{_layers(int(lost.sum()))} in part narrower than one bead "
            f"({filled.recipe.line_width_mm:g} mm), up to {filled.lost_mm2.max():.1f} mm²; that "
            "may not print at all"
        )
    first = filled.section_mm2[0]
    if first < 0.05 * filled.section_mm2.max():
        found.append(f"stands on only {first:.0f} mm²; needs a brim or another way up")
    if filled.recipe.supports == "none":
        return found
    share = float(columns.deposited_mm2() @ filled.stack.thickness_mm)
    own = sum(filled.volume_mm3.values())
    if share > 0.1 * own:
        found.append(
            f"support takes {share / own * 100:.0f} % of what the part takes; another way up may "
            "save it"
        )
    return found


def _layers(count: int) -> str:
    return "1 layer is" if count == 1 else f"{count} layers are"


def _time_warnings(times: LayerTimes, printer: Printer, filament: FilamentData) -> list[str]:
    found = []
    if times.flow_limited:
        found.append(
            f"flow limit {flow_limit(printer, filament):.1f} mm³/s holds "
            + ", ".join(f"{k} at {times.speed_mm_s[k]:.0f} mm/s" for k in times.flow_limited)
        )
    waiting = times.by_kind["cooling"] > 0
    if waiting.any():
        found.append(
            f"{_layers(int(waiting.sum()))} done before the least layer time of "
            f"{filament.least_layer_time_s:g} s; printing several parts at once uses the wait"
        )
    return found
