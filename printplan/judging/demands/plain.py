"""Parts without a closed form of their own: forces and moments at named places."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from printplan.filament.demand import Demand, Direction
from printplan.filament.structure import infill_strength_factor
from printplan.job.schema import PartLoad
from printplan.judging.demands.context import Context
from printplan.stress import PointLoad, cut_stresses

__all__ = ["plain_demands"]

_FORCES = {
    "belt shaft force": "belt_shaft_force_n",
    "belt force": "belt_force_n",
    "wheel load": "wheel_vertical_n",
}
_MOMENTS = {
    "motor torque": "motor_output_torque_nmm",
    "wheel torque": "wheel_torque_nmm",
    "housing torque": "housing_torque_nmm",
}
_Vector = NDArray[np.float64]


def plain_demands(context: Context) -> list[Demand]:
    """Return the greatest stress of each direction in cuts between hold and load, per load case.

    Sources
    -------
    [memory: textbook beam theory] unsymmetric bending, axial force, mean shear and torsion on the
    part's real sections; see `printplan.stress.cuts`.
    """
    demands = []
    core = infill_strength_factor(context.recipe.infill_fraction, along=False)
    for load in context.part.loads:
        at = _standing(context, load.at_mm)
        held = _standing(context, load.held_at_mm)
        unit_cuts: dict[tuple[float, ...], object] = {}
        for case_name, duration, cycles, asked, force, moment in _acting(context, load):
            turn = np.asarray(context.rotation)
            key = (*(turn @ force), *(turn @ moment))
            if key not in unit_cuts:
                unit_cuts[key] = cut_stresses(
                    context.standing,
                    [PointLoad(force_n=turn @ force, at_mm=at, moment_nmm=turn @ moment)],
                    held,
                    shell_mm=context.shell_mm,
                    core_factor=core,
                )
            cuts = unit_cuts[key]
            context.warnings.extend(cuts.warnings)  # type: ignore[attr-defined]
            for direction, worst in cuts.worst.items():  # type: ignore[attr-defined]
                if worst.stress_mpa <= 0:
                    continue
                demands.append(
                    _demand(context, load, case_name, duration, cycles, asked, direction, worst)
                )
    return demands


def _demand(
    context: Context,
    load: PartLoad,
    case_name: str,
    duration: str,
    cycles: float,
    asked: float | None,
    direction: Direction,
    worst: object,
) -> Demand:
    raise NotImplementedError


def _acting(
    context: Context, load: PartLoad
) -> Iterator[tuple[str, str, float, float | None, _Vector, _Vector]]:
    raise NotImplementedError


def _standing(context: Context, place_mm: tuple[float, float, float]) -> _Vector:
    return np.asarray(context.rotation) @ np.asarray(place_mm) + np.asarray(context.offset_mm)
