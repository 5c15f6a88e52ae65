"""How long each layer takes, by kind of move."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from printplan.process.bead import bead_area
from printplan.process.energy import warm_up
from printplan.process.filament_data import FilamentData
from printplan.process.infill import pattern_time
from printplan.process.look_ahead import ring_times
from printplan.process.motion import rest_to_rest_time
from printplan.process.printer import Printer
from printplan.process.regions import Regions
from printplan.process.supports import Support, brim_length

__all__ = ["LayerTimes", "flow_limit", "heat_up_time", "layer_times"]

Floats = NDArray[np.float64]

#: Flow through a hardened nozzle against brass; 0.75-0.95 [common practice].
HARDENED_FLOW = 0.85
#: Shortest tour through n random points of area A is about this times sqrt(n A)
#: [memory: Beardwood, Halton & Hammersley 1959].
TOUR = 0.7124
#: Mean distance of two random points in a square of side 1 [memory: known constant].
RANDOM_DISTANCE = 0.5214
#: Filament is pulled back before moves longer than this [common practice]. [mm]
RETRACTION_FROM_MM = 1.5


@dataclass(frozen=True, kw_only=True, eq=False)
class LayerTimes:
    """Duration of each kind of move in every layer, bottom to top; n layers.

    Attributes
    ----------
    by_kind : dict of str to (n,) float64
        "walls", "skins", "infill", "support", "brim", "travel", "layer change" and "cooling", the
        waiting that brings short layers to the least layer time. [s]
    speed_mm_s : dict of str to float
        Speed above the first layer after the flow limit: walls, skins, infill, support. [mm/s]
    flow_limited : tuple of str
        Kinds of move that the flow limit slows.
    """

    by_kind: dict[str, Floats]
    speed_mm_s: dict[str, float]
    flow_limited: tuple[str, ...]

    @property
    def total_s(self) -> Floats:
        """(n,) duration of each layer. [s]"""
        return np.asarray(np.sum(list(self.by_kind.values()), axis=0))


def flow_limit(printer: Printer, filament: FilamentData) -> float:
    """Most filament that this printer's hot end melts. [mm³/s]

    Parameters
    ----------
    printer : Printer
        Flow factor and nozzle.
    filament : FilamentData
        Limit on a standard hot end.

    Returns
    -------
    float
        Flow. [mm³/s]

    Sources
    -------
    [common practice] hardened steel passes 0.75-0.95 of brass; filaments that need a hardened
    nozzle are listed with it.
    """
    limit = filament.max_flow_mm3_s * printer.flow_factor
    if printer.hardened_nozzle and not filament.needs_hardened_nozzle:
        limit *= HARDENED_FLOW
    return limit


def heat_up_time(printer: Printer, filament: FilamentData) -> float:
    """Time until bed and nozzle, heated together, are both at temperature. [s]

    Parameters
    ----------
    printer : Printer
        Heaters.
    filament : FilamentData
        Temperatures.

    Returns
    -------
    float
        Duration. [s]

    Raises
    ------
    OutOfRangeError
        If a heater can't reach its temperature.
    """
    room = printer.ambient_degc
    bed, _ = warm_up(
        printer.bed_power_w,
        printer.bed_capacity_j_k,
        printer.bed_loss_w_k,
        filament.bed_degc - room,
    )
    nozzle, _ = warm_up(
        printer.nozzle_power_w,
        printer.nozzle_capacity_j_k,
        printer.nozzle_loss_w_k,
        filament.nozzle_degc - room,
    )
    return max(bed, nozzle)


def layer_times(
    filled: Regions, columns: Support, printer: Printer, filament: FilamentData
) -> LayerTimes:
    """Time of every layer in closed form.

    Walls: trapezoids with look-ahead along the loops, each begun and ended at rest. Skins,
    infill and support: straight lines of the region's mean chord. Travel: a short tour through
    the pieces of the layer.

    Parameters
    ----------
    filled : Regions
        Walls, skins, infill.
    columns : Support
        Support.
    printer : Printer
        Speeds and accelerations.
    filament : FilamentData
        Flow limit and least layer time.

    Returns
    -------
    LayerTimes
        Durations by kind.
    """
    stack, recipe = filled.stack, filled.recipe
    spacing = stack.spacing_mm[stack.region]
    first = stack.region_first[stack.region]
    limit = flow_limit(printer, filament)
    wanted = {
        "walls": printer.wall_speed_mm_s,
        "skins": printer.skin_speed_mm_s,
        "infill": printer.infill_speed_mm_s,
        "support": printer.support_speed_mm_s,
    }
    usual_limit = limit / bead_area(recipe.line_width_mm, recipe.layer_height_mm)
    first_limit = limit / bead_area(recipe.line_width_mm, recipe.first_layer_height_mm)
    usual = {kind: min(v, usual_limit) for kind, v in wanted.items()}
    at_first = {
        kind: min(v, first_limit, printer.first_layer_speed_mm_s) for kind, v in wanted.items()
    }
    speed = {kind: np.where(first, at_first[kind], usual[kind]) for kind in wanted}
    a, deviation = printer.acceleration_mm_s2, printer.deviation_mm
    times = {"walls": _wall_times(filled, usual["walls"], at_first["walls"], a, deviation)}
    times["walls"] += np.maximum(filled.gap_mm2, 0.0) / spacing / speed["walls"]
    for kind, pattern, fraction, area, perimeter in (
        ("skins", "lines", 1.0, filled.skin_mm2, filled.skin_perimeter_mm),
        (
            "infill",
            recipe.infill_pattern,
            recipe.infill_fraction,
            filled.infill_mm2,
            filled.infill_perimeter_mm,
        ),
    ):
        times[kind] = pattern_time(
            pattern,  # type: ignore[arg-type]
            fraction,
            area,
            perimeter,
            spacing,
            speed[kind],
            a,
            deviation,
        )
    times["support"] = _support_times(columns, spacing, speed["support"], a)
    times["brim"] = np.zeros(len(stack))
    outline = stack.outlines[stack.outline[0]]
    brim_mm = brim_length(outline, recipe.brim_lines, recipe.line_width_mm)
    times["brim"][0] = brim_mm / at_first["walls"]
    times["travel"] = _travel_times(filled, columns, printer)
    times["layer change"] = np.full(len(stack), printer.layer_change_s)
    moving = np.sum(list(times.values()), axis=0) - times["layer change"]
    times["cooling"] = np.maximum(filament.least_layer_time_s - moving, 0.0)
    return LayerTimes(
        by_kind=times,
        speed_mm_s=usual,
        flow_limited=tuple(k for k, v in wanted.items() if v > usual_limit * (1 + 1e-9)),
    )


def _wall_times(
    filled: Regions, usual: float, at_first: float, acceleration: float, deviation: float
) -> Floats:
    stack = filled.stack
    speed = np.where(stack.region_first, at_first, usual)

    def of_loop(k: int) -> Floats:
        rings = stack.loop(k)
        each = ring_times(rings, speed[rings.owner], acceleration, deviation)
        return np.bincount(rings.owner, weights=each, minlength=len(speed)).astype(np.float64)

    total = np.zeros(len(speed))
    for k in range(filled.recipe.wall_count):
        key = ("loop time", k, usual, at_first, acceleration, deviation)
        total += stack.kept(key, partial(of_loop, k))
    return total[stack.region]


def _support_times(columns: Support, spacing: Floats, speed: Floats, acceleration: float) -> Floats:
    """Straight lines at the support's fraction, the denser layers as more of the same lines."""
    area = columns.column_mm2
    if not area.any():
        return np.zeros_like(area)
    share = columns.deposited_mm2() / np.where(area > 0, area, 1.0)
    per_area = pattern_time(
        "lines",
        0.15,
        area,
        columns.perimeter_mm,
        spacing,
        speed,
        acceleration,
        0.0,
    )
    return per_area * share / 0.15


def _travel_times(filled: Regions, columns: Support, printer: Printer) -> Floats:
    import shapely

    stack = filled.stack
    bounds = np.nan_to_num(shapely.bounds(stack.outlines))
    box = ((bounds[:, 2] - bounds[:, 0]) * (bounds[:, 3] - bounds[:, 1]))[stack.outline]
    stops = filled.outline_count + filled.skin_count + filled.infill_count + columns.count
    distance = np.where(
        stops > 1,
        np.minimum(TOUR * np.sqrt(box / np.maximum(stops, 1)), RANDOM_DISTANCE * np.sqrt(box)),
        RANDOM_DISTANCE * np.sqrt(box),
    )
    each = rest_to_rest_time(
        distance, printer.travel_speed_mm_s, printer.travel_acceleration_mm_s2
    ) + np.where(distance > RETRACTION_FROM_MM, printer.retraction_s, 0.0)
    spacing = stack.spacing_mm[stack.region]
    hops = np.maximum(filled.loop_count - filled.outline_count, 0)
    hop = rest_to_rest_time(spacing, printer.travel_speed_mm_s, printer.travel_acceleration_mm_s2)
    return np.asarray(stops * each + hops * hop)
