"""Parts without a closed form of their own: forces and moments at named places."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from printplan.errors import InputError
from printplan.filament.demand import Demand, Duration
from printplan.filament.structure import infill_strength_factor
from printplan.job.part_tables import PartLoad
from printplan.judging.demands.context import Context
from printplan.stress import PointLoad, WorstCut, plan_cuts

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
#: How far outside the part's box a load or hold may lie. [mm]
BOX_SLACK_MM = 2.0

_Vector = NDArray[np.float64]
_ZERO: _Vector = np.zeros(3)


@dataclass(frozen=True, kw_only=True)
class _Acting:
    """One load in one case, in the file's frame."""

    case: str
    duration: Duration
    cycles: float
    asked: float | None
    force_n: _Vector
    moment_nmm: _Vector
    factors: dict[str, float]


def plain_demands(context: Context) -> list[Demand]:
    """Return the greatest stress of each direction in cuts between hold and load, per load case.

    Sources
    -------
    [memory: textbook beam theory] unsymmetric bending, axial force, mean shear and torsion on the
    part's real sections; see `printplan.stress.cuts`.
    """
    demands = []
    for load in context.part.loads:
        held = context.standing_place(load.held_at_mm)
        at = context.standing_place(load.at_mm)
        _must_lie_in_box(context, load, at, "at", load.at_mm)
        _must_lie_in_box(context, load, held, "held_at", load.held_at_mm)
        plan = plan_cuts(
            context.standing,
            at,
            held,
            shell_mm=context.shell_mm,
            core_factor=infill_strength_factor(context.recipe.infill_fraction, along=False),
        )
        for acting in _acting(context, load):
            point = PointLoad(
                force_n=_triple(context.rotation @ acting.force_n),
                at_mm=_triple(at),
                moment_nmm=_triple(context.rotation @ acting.moment_nmm),
            )
            cuts = plan.stresses([point])
            context.warnings.extend(f"{load.name}: {text}" for text in cuts.warnings)
            for direction, worst in cuts.worst.items():
                if worst.stress_mpa > 0:
                    demands.append(
                        Demand(
                            name=f"section between hold and load, {direction}",
                            case=acting.case,
                            stress_mpa=worst.stress_mpa,
                            direction=direction,
                            duration=acting.duration,
                            cycles=acting.cycles,
                            formula="sigma = N/A + unsymmetric bending, tau = V/A_s + torsion, "
                            "on the real section",
                            terms=_terms(context, acting, worst),
                            factors=acting.factors,
                            source="[memory: textbook beam theory] on sections cut from the mesh",
                            asked=acting.asked,
                            notes=("local stress at corners and holes is not in it",),
                        )
                    )
    return demands


def _must_lie_in_box(
    context: Context,
    load: PartLoad,
    place: _Vector,
    key: str,
    written: tuple[float, float, float],
) -> None:
    low, high = context.standing.box_mm
    if (place < low - BOX_SLACK_MM).any() or (place > high + BOX_SLACK_MM).any():
        x, y, z = written
        raise InputError(
            f"load {load.name!r}: {key} = {x:g}, {y:g}, {z:g} mm lies outside the part; name a "
            "place on it, and 'line_through' for a force that passes it by"
        )


def _acting(context: Context, load: PartLoad) -> Iterator[_Acting]:
    """Yield the load as it acts: as typed, or in every case of the vehicle that makes it."""
    shock = load.shock_factor
    factors = {"shock": shock} if shock != 1.0 else {}
    if load.force_of is None and load.moment_of is None:
        yield _Acting(
            case=load.name,
            duration=load.duration,
            cycles=load.cycles,
            asked=None,
            force_n=shock * _vector(load.force_n),
            moment_nmm=shock * (_vector(load.moment_nmm) + _arm(load, _vector(load.force_n))),
            factors=factors,
        )
        return
    scale = load.share * shock
    if load.share != 1.0:
        factors = factors | {"share of this part": load.share}
    leading = _FORCES[load.force_of] if load.force_of else _MOMENTS[load.moment_of or ""]
    for case, value, asked in context.cases(leading):
        application = context.application_factor(case)
        force, moment = _vector(load.force_n), _vector(load.moment_nmm)
        if load.force_of is not None:
            force = value * _unit(load.direction)
        if load.moment_of is not None:
            size = float(getattr(case, _MOMENTS[load.moment_of]))
            moment = size * _unit(load.axis)
        yield _Acting(
            case=f"{load.name}: {case.name}",
            duration=case.duration,
            cycles=case.torque_comes,
            asked=asked,
            force_n=scale * application * force,
            moment_nmm=scale * application * (moment + _arm(load, force)),
            factors=factors | {"application K_A": application},
        )


def _arm(load: PartLoad, force_n: _Vector) -> _Vector:
    """Moment of a force whose line of action passes the part at some distance. [N·mm]"""
    if load.line_through_mm is None:
        return _ZERO
    return np.cross(_vector(load.line_through_mm) - _vector(load.at_mm), force_n)


def _terms(context: Context, acting: _Acting, worst: WorstCut) -> dict[str, float]:
    place = context.rotation.T @ (np.asarray(worst.place_mm) - context.offset_mm)
    return {
        "force [N]": float(np.linalg.norm(acting.force_n)),
        "moment [N·mm]": float(np.linalg.norm(acting.moment_nmm)),
        "x in the file [mm]": float(place[0]),
        "y in the file [mm]": float(place[1]),
        "z in the file [mm]": float(place[2]),
    }


def _vector(values: tuple[float, float, float] | None) -> _Vector:
    return _ZERO if values is None else np.asarray(values, dtype=np.float64)


def _unit(direction: tuple[float, float, float] | None) -> _Vector:
    vector = _vector(direction)
    return vector / np.linalg.norm(vector)


def _triple(vector: _Vector) -> tuple[float, float, float]:
    return (float(vector[0]), float(vector[1]), float(vector[2]))
