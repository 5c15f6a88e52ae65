"""Plan a job: every part judged and priced in every filament, with the recipe that suits."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from printplan.climate import day_curve, part_temperature, shelter
from printplan.errors import InputError, JobFileError
from printplan.filament import load_table
from printplan.judging import Verdict, check_demand, judge, required_safety
from printplan.judging.clamping import clamp_findings
from printplan.judging.demands import Context, PartDemands, part_demands
from printplan.judging.faults import fault_findings
from printplan.judging.temperature_map import temperature_map
from printplan.judging.thin_walls import wall_reasons
from printplan.part.measuring import measure
from printplan.part.orientation import rotation_to_up, stand
from printplan.planning import inputs
from printplan.planning.assembling import assemble
from printplan.planning.ground import Ground
from printplan.planning.plates import Piece, fits
from printplan.planning.result import Candidate, JobPlan, PartPlan
from printplan.process import cut_layers, estimate_layers, filament_data
from printplan.vehicle import vehicle_loads

if TYPE_CHECKING:
    from printplan.climate import DayCurve, PartTemperature
    from printplan.filament import Filament
    from printplan.job.part_tables import Part
    from printplan.job.schema import Job
    from printplan.judging.required import RequiredSafety
    from printplan.part import MeasuredPart, Solid
    from printplan.process import LayerStack, Printer, Recipe
    from printplan.process.filament_data import FilamentData

__all__ = ["Report", "judge_job", "plan_job"]

#: Called with the share of the work that is done and what is being done.
Report = Callable[[float, str], None]

_RANK = {"suitable": 0, "marginal": 1, "not judged": 2, "unsuitable": 3}


@dataclass(kw_only=True)
class _PartWork:
    """One part while it is judged; what costs time is computed once."""

    ground: Ground
    index: int
    measured: MeasuredPart
    standing: Solid
    rotation: NDArray[np.float64]
    offset_mm: NDArray[np.float64]
    temperature: PartTemperature
    required: RequiredSafety
    recipes: tuple[Recipe, ...]
    stacks: dict[tuple[float, ...], LayerStack] = field(default_factory=dict)
    demands: dict[Recipe, PartDemands] = field(default_factory=dict)

    @property
    def part(self) -> Part:
        return self.ground.job.parts[self.index]

    @cached_property
    def day(self) -> DayCurve:
        return day_curve(self.temperature.surroundings, self.temperature.exposure)

    @property
    def key(self) -> str:
        return f"parts[{self.index}] (part {self.part.name!r})"

    def demands_of(self, recipe: Recipe) -> PartDemands:
        if recipe not in self.demands:
            context = Context(
                part=self.part,
                standing=self.standing,
                rotation=self.rotation,
                offset_mm=self.offset_mm,
                loads=self.ground.loads,
                vehicle=self.ground.vehicle,
                recipe=recipe,
            )
            with inputs.blame(self.ground.job, self.key, None):
                self.demands[recipe] = part_demands(context)
        return self.demands[recipe]

    def stack_of(self, recipe: Recipe) -> LayerStack:
        key = (recipe.first_layer_height_mm, recipe.layer_height_mm, recipe.line_width_mm)
        if key not in self.stacks:
            self.stacks[key] = cut_layers(self.standing, recipe)
        return self.stacks[key]


def plan_job(job: Job, report: Report | None = None) -> JobPlan:
    """Plan all parts of a job.

    Parameters
    ----------
    job : Job
        As `read_job` gives it.
    report : callable or None
        Gets progress as (share done, text).

    Returns
    -------
    JobPlan

    Raises
    ------
    JobFileError
        If a grade, class, place, colour or number of the job has no meaning.
    MeshFileError
        If a mesh can't be read.
    """
    ground, parts = _judge_parts(job, report)
    if report:
        report(0.98, "plates and spools")
    return assemble(ground, parts)


def judge_job(job: Job, report: Report | None = None) -> tuple[PartPlan, ...]:
    """Judge and price all parts of a job, without plates and spools; see `plan_job`."""
    return _judge_parts(job, report)[1]


def _judge_parts(job: Job, report: Report | None) -> tuple[Ground, tuple[PartPlan, ...]]:
    say = report or (lambda share, text: None)
    say(0.0, "reading tables, working out loads")
    table = load_table(extra=tuple(job.file.parent / name for name in job.own_filaments))
    inputs.check_grades(job, table)
    vehicle = inputs.vehicle_of(job)
    ground = Ground(
        job=job,
        table=table,
        surroundings=inputs.surroundings_for(job),
        vehicle=vehicle,
        loads=None if vehicle is None else vehicle_loads(vehicle),
        printers=inputs.printers_of(job),
        prices=inputs.prices_of(job),
    )
    exposures = [inputs.exposure_of(job, i) for i in range(len(job.parts))]
    recipes = [inputs.recipes_of(job, i) for i in range(len(job.parts))]
    parts = []
    for i, part in enumerate(job.parts):
        share = 0.02 + 0.95 * i / len(job.parts)
        step = 0.95 / len(job.parts)
        say(share, f"{part.name}: measuring")
        work = _begin(ground, i, part_temperature(ground.surroundings, exposures[i]), recipes[i])
        say(share + 0.4 * step, f"{part.name}: judging and estimating")
        parts.append(_plan_part(work))
    return ground, tuple(parts)


def _begin(
    ground: Ground, index: int, temperature: PartTemperature, recipes: tuple[Recipe, ...]
) -> _PartWork:
    part = ground.job.parts[index]
    with inputs.blame(ground.job, f"parts[{index}].unit (part {part.name!r})", part.unit):
        found = measure(
            ground.job.mesh_path(part), unit=part.unit, line_width_mm=recipes[0].line_width_mm
        )
    if len(found) != 1:
        raise JobFileError(
            ground.job.file,
            f"parts[{index}].mesh (part {part.name!r})",
            part.mesh,
            "a file that holds one part",
            f"it holds {len(found)}",
        )
    measured = found[0]
    if not measured.closed:
        raise JobFileError(
            ground.job.file,
            f"parts[{index}].mesh (part {part.name!r})",
            part.mesh,
            "a closed mesh, to be cut into layers",
            "; ".join(measured.warnings) or "it has open edges",
        )
    with inputs.blame(ground.job, f"parts[{index}].up (part {part.name!r})", part.up):
        rotation = rotation_to_up(part.up)
        standing = stand(measured.solid, part.up)
    offset_mm = standing.vertices_mm[0] - rotation @ measured.solid.vertices_mm[0]
    return _PartWork(
        ground=ground,
        index=index,
        measured=measured,
        standing=standing,
        rotation=rotation,
        offset_mm=offset_mm,
        temperature=temperature,
        required=required_safety(part, ground.loads),
        recipes=recipes,
    )


def _plan_part(work: _PartWork) -> PartPlan:
    part = work.part
    grades = part.filaments or work.ground.job.filaments
    candidates, left_out = [], []
    for filament in map(work.ground.table.get, grades):
        try:
            data = _process_data(work, filament)
        except InputError as error:
            left_out.append(f"not judged in {filament.name}: {error}")
            continue
        candidates.append(_try_filament(work, filament, data))
    if not candidates:
        raise JobFileError(
            work.ground.job.file, f"filaments for {work.key}", ", ".join(grades),
            "at least one grade with all that printing needs", left_out[0],
        )  # fmt: skip
    candidates.sort(key=lambda c: (*_unfitness(c.verdict), c.consumption.cost))
    best = candidates[0]
    demands = work.demands_of(best.recipe)
    warnings = [*left_out, *work.measured.warnings, *work.temperature.warnings, *demands.warnings]
    warnings += best.consumption.warnings
    if best.verdict.suitability in ("unsuitable", "not judged"):
        warnings.append(
            f"no filament is fit; mass, hours and cost are given as in {best.verdict.grade}"
        )
    warnings += [f"not checked: {text}" for text in demands.unchecked]
    return PartPlan(
        name=part.name,
        role=part.role,
        quantity=part.quantity,
        mesh=part.mesh,
        up=str(part.up),
        colour=part.exposure.colour,
        shelter=part.exposure.shelter,
        measured=work.measured,
        standing=work.standing,
        temperature=work.temperature,
        required=work.required,
        candidates=tuple(candidates),
        warnings=tuple(dict.fromkeys(warnings)),
    )


def _process_data(work: _PartWork, filament: Filament) -> FilamentData:
    """Take what printing needs, at the job's own price; an own grade may lack some of it."""
    own = None
    for name, price in work.ground.job.prices.filament.items():
        if work.ground.table.get(name).grade == filament.grade:
            own = price[0]
    return filament_data(filament, own)


def _try_filament(work: _PartWork, filament: Filament, data: FilamentData) -> Candidate:
    """Judge the part in one filament: the first recipe that suits, else the one least unfit."""
    printers, unmet = _printers_for(work, filament)
    tried: list[tuple[Recipe, Verdict]] = []
    for recipe in work.recipes:
        verdict = _judge_recipe(work, filament, recipe, unmet)
        tried.append((recipe, verdict))
        if verdict.suitability == "suitable":
            break
    recipe, verdict = min(tried, key=lambda rv: _unfitness(rv[1]))
    stack = work.stack_of(recipe)
    printer, consumption = min(
        ((p, estimate_layers(stack, recipe, p, data, work.ground.prices)) for p in printers),
        key=lambda pc: pc[1].cost,
    )
    return Candidate(
        verdict=verdict,
        recipe=recipe,
        printer=None if unmet else printer.name,
        consumption=consumption,
        ease=_ease(filament),
        over_temperature=temperature_map(
            filament,
            verdict.checks,
            verdict.limit.limit_degc,
            state=_state(work.ground.job, filament),
        ),
        tried=tuple(
            f"{r.name}: {v.deciding[0] if v.deciding else v.suitability}"
            for r, v in tried
            if r is not recipe
        ),
    )


def _unfitness(verdict: Verdict) -> tuple[int, int, float]:
    """Order verdicts: what suits first; of the rest, what lacks only strength, the least first."""
    if verdict.suitability != "unsuitable":
        return _RANK[verdict.suitability], 0, 0.0
    beyond_walls = sum(
        r.effect == "unsuitable" and r.topic in ("heat", "printer") for r in verdict.reasons
    )
    return _RANK["unsuitable"], beyond_walls, -(verdict.margin or 0.0)


def _state(job: Job, filament: Filament) -> str | None:
    if not filament.states:
        return None
    # "pa6 dry" names its state; plain "pa6" is judged as the job says.
    return filament.judged_state if filament.sold_as else job.nylon_state


def _ease(filament: Filament) -> int:
    """Count what a grade asks beside the usual.

    Enclosure, drying and help to hold on the bed: 1 if it helps, 2 if needed; a hardened nozzle: 1.
    """
    steps = {"no": 0, "helps": 1, "needed": 2}
    needs = filament.needs
    words = (needs.enclosure, needs.drying, needs.bed_adhesion or "no")
    return sum(steps[word] for word in words) + int(needs.hardened_nozzle)


def _judge_recipe(
    work: _PartWork, filament: Filament, recipe: Recipe, unmet: Sequence[str]
) -> Verdict:
    demands = work.demands_of(recipe)
    missing = demands.missing
    checks = []
    state = _state(work.ground.job, filament)
    try:
        checks = [
            check_demand(
                demand,
                filament,
                design_degc=work.temperature.design_degc,
                upper_degc=work.temperature.upper_degc,
                required=work.required.asked_of(demand),
                state=state,
            )
            for demand in demands.demands
        ]
    except InputError as error:
        missing = f"strength not judged: {error}"
    counted, faults = fault_findings(checks, work.required.danger)
    return judge(
        filament,
        work.temperature,
        counted,
        findings=(
            *wall_reasons(work.measured, loaded=bool(demands.demands)),
            *faults,
            *clamp_findings(work.part, filament, work.temperature, state),
        ),
        unmet_needs=unmet,
        outdoors=shelter(work.part.exposure.shelter).name in ("sun", "shade"),
        colour=work.part.exposure.colour,
        loads_missing=missing,
        state=state,
        hours_above=work.day.hours_above,
    )


def _printers_for(
    work: _PartWork, filament: Filament
) -> tuple[tuple[Printer, ...], tuple[str, ...]]:
    """Return the printers that can print the part in this filament, or the nearest miss."""
    size = work.standing.box_mm[1] - work.standing.box_mm[0]
    piece = Piece(
        part=work.part.name,
        width_mm=float(size[0]),
        depth_mm=float(size[1]),
        height_mm=float(size[2]),
        filament_g=0.0,
        build_time_s=0.0,
        start_s=0.0,
    )
    able: list[Printer] = []
    misses: list[tuple[Printer, tuple[str, ...]]] = []
    for printer in work.ground.printers:
        unmet = filament.needs_unmet(
            max_nozzle_degc=printer.max_nozzle_degc,
            max_bed_degc=printer.max_bed_degc,
            enclosed=printer.enclosed,
            hardened_nozzle=printer.hardened_nozzle,
            can_dry=printer.can_dry,
        )
        if not fits(piece, printer.build_volume_mm):
            unmet = (
                *unmet,
                f"{size[0]:.0f} x {size[1]:.0f} x {size[2]:.0f} mm is too big for {printer.name}",
            )
        if unmet:
            misses.append((printer, unmet))
        else:
            able.append(printer)
    if able:
        return tuple(able), ()
    nearest, unmet = min(misses, key=lambda m: len(m[1]))
    return (nearest,), unmet
