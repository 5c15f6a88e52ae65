"""From planned parts to the plan of the set: plates, spools, totals, warnings, sources."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from printplan.planning.ground import Ground
from printplan.planning.plates import Piece, arrange
from printplan.planning.result import JobPlan, PartPlan, Plate, PlateTotals, Totals
from printplan.planning.spools import assign_spools

if TYPE_CHECKING:
    from printplan.job.schema import Job

__all__ = ["assemble"]


def assemble(ground: Ground, parts: tuple[PartPlan, ...]) -> JobPlan:
    """Put all pieces on plates, feed the plates from spools, sum up.

    Parameters
    ----------
    ground : Ground
        What the parts were planned on.
    parts : tuple of PartPlan
        Judged and priced.

    Returns
    -------
    JobPlan
    """
    job = ground.job
    plates = _plates(ground, [p for p in parts if _worth_printing(p)])
    spools = assign_spools(
        plates,
        [s.model_copy(update={"grade": ground.table.get(s.grade).name}) for s in job.spools],
        new_spool_g=job.prices.spool_mass_g,
    )
    to_buy: dict[str, int] = defaultdict(int)
    for spool in spools:
        if not spool.in_stock:
            to_buy[spool.grade] += 1
    printers = [
        PlateTotals(
            printer=p.name,
            plates=sum(q.printer == p.name for q in plates),
            build_time_s=sum(q.build_time_s for q in plates if q.printer == p.name),
        )
        for p in ground.printers
    ]
    warnings = list(ground.loads.warnings) if ground.loads else []
    left_out = [p.name for p in parts if not _worth_printing(p)]
    if left_out:
        warnings.append("on no plate, and nothing to buy for: " + ", ".join(left_out))
    warnings += [
        f"{f.name} is a grade of your own" + (f", based on {f.based_on}" if f.based_on else "")
        for f in ground.table
        if f.own
    ]
    unfit = [p.name for p in parts if p.pick is None]
    if unfit:
        warnings.append(
            "no filament is fit for: " + ", ".join(unfit) + "; the totals price them as drawn"
        )
    sources = dict.fromkeys(
        s
        for p in parts
        for s in (*p.temperature.sources, *(c.demand.source for c in p.best.verdict.checks))
        if s
    )
    return JobPlan(
        title=job.title,
        currency=job.currency,
        place=f"{job.climate.place}, {job.climate.severity} day, "
        f"{ground.surroundings.air_degc:.0f}\u00a0°C in the shade",
        parts=parts,
        loads=ground.loads,
        plates=plates,
        printers=tuple(printers),
        spools=spools,
        hardware=tuple(job.hardware),
        totals=_totals(job, parts, dict(to_buy)),
        warnings=tuple(dict.fromkeys(warnings)),
        sources=tuple(sources),
    )


def _worth_printing(part: PartPlan) -> bool:
    """Whether the part goes on a plate: not if every filament is unfit or no printer can."""
    return part.best.verdict.suitability != "unsuitable"


def _plates(ground: Ground, parts: Sequence[PartPlan]) -> tuple[Plate, ...]:
    groups: dict[tuple[str, str, float], list[Piece]] = defaultdict(list)
    by_name = {p.name: p for p in ground.printers}
    for p in parts:
        best = p.best
        size = p.standing.box_mm[1] - p.standing.box_mm[0]
        piece = Piece(
            part=p.name,
            width_mm=float(size[0]),
            depth_mm=float(size[1]),
            height_mm=float(size[2]),
            filament_g=best.consumption.filament_g,
            build_time_s=best.consumption.build_time_s,
            start_s=best.consumption.start_s,
        )
        key = (best.consumption.printer, best.verdict.grade, best.recipe.layer_height_mm)
        groups[key] += [piece] * p.quantity
    plates: list[Plate] = []
    for (name, grade, height), pieces in groups.items():
        plates += arrange(
            pieces,
            printer=name,
            grade=grade,
            layer_height_mm=height,
            volume_mm=by_name[name].build_volume_mm,
            first_number=len(plates) + 1,
        )
    return tuple(plates)


def _totals(job: Job, parts: Sequence[PartPlan], to_buy: dict[str, int]) -> Totals:
    def over(name: str, end: int) -> float:
        return float(
            sum(p.quantity * getattr(p.best.consumption, f"{name}_range")[end] for p in parts)
        )

    hardware = sum(h.quantity * h.price[0] for h in job.hardware if h.price is not None)
    return Totals(
        pieces=sum(p.quantity for p in parts),
        filament_g=float(np.sum([p.filament_g for p in parts])),
        filament_m=float(np.sum([p.filament_m for p in parts])),
        build_time_s=float(np.sum([p.build_time_s for p in parts])),
        energy_wh=float(np.sum([p.quantity * p.best.consumption.energy_wh for p in parts])),
        cost=float(np.sum([p.cost for p in parts])),
        cost_low=over("cost", 0),
        cost_high=over("cost", 1),
        time_low_s=over("build_time_s", 0),
        time_high_s=over("build_time_s", 1),
        hardware_cost=float(hardware),
        spools_to_buy=to_buy,
    )
