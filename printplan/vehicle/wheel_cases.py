"""Load cases that reach the wheels from the road: cornering, kerb strike, scrape and drop."""

from __future__ import annotations

import math
from typing import get_args

from printplan.vehicle.chassis import Axle, axle_loads
from printplan.vehicle.cornering import (
    cornering_limit,
    cornering_radius_mm,
    lateral_transfer_n,
    outer_wheel_lateral_n,
    outer_wheel_load_n,
    rollover_ratio,
)
from printplan.vehicle.inputs import DriveVehicle
from printplan.vehicle.kerb import drop_force_n, kerb_strike
from printplan.vehicle.load_case import Duration, LoadCase, VehicleLoads, newton
from printplan.vehicle.road import GRAVITY_M_S2

__all__ = ["wheel_cases"]

#: Sideways force on a wheel that slides into a kerb, on its load; upper end of 1.0-1.5.
#: [common practice]
SCRAPE_FACTOR = 1.5

_UPPER_BOUND = "linear spring, no damping, rider rigidly attached: an upper bound"


def wheel_cases(vehicle: DriveVehicle) -> VehicleLoads:
    """Cases of the wheels' own, for each axle; the drive torque is left out in all of them.

    Parameters
    ----------
    vehicle : DriveVehicle
        The loaded vehicle.

    Returns
    -------
    VehicleLoads
        Cases and warnings.
    """
    axles: tuple[Axle, ...] = get_args(Axle)
    cases = [_cornering(vehicle, axle) for axle in axles]
    warnings: list[str] = []
    if vehicle.kerb_height_mm > 0.0:
        for axle in axles:
            cases += [_strike(vehicle, axle), _scrape(vehicle, axle), _drop(vehicle, axle)]
    else:
        warnings.append("kerb height 0: kerb strike, scrape and drop are not judged")
    tip = rollover_ratio(vehicle.chassis)
    if tip < vehicle.lateral_grip:
        radius_m = cornering_radius_mm(vehicle.speed_mm_s, tip) * 1e-3
        warnings.append(
            f"tips over before it skids, at {tip:.2f} g sideways: at travelling speed on any "
            f"curve tighter than {radius_m:.2g} m radius"
        )
    return VehicleLoads(cases=tuple(cases), warnings=tuple(warnings))


def _standing_n(vehicle: DriveVehicle, axle: Axle) -> float:
    return axle_loads(vehicle.chassis).on(axle) / vehicle.chassis.wheels(axle)


def _wheel_case(
    vehicle: DriveVehicle,
    axle: Axle,
    *,
    name: str,
    story: str,
    vertical_n: float,
    lateral_n: float = 0.0,
    longitudinal_n: float = 0.0,
    duration: Duration = "single",
    cycles: float = 1.0,
    limited_by: str,
    assumption: str,
    source: str,
    trail: tuple[str, ...],
) -> LoadCase:
    return LoadCase(
        name=f"{name}, {axle} wheel",
        story=story,
        axle=axle,
        duration=duration,
        cycles=cycles,
        belt_shaft_force_n=vehicle.drive_line.loop_forces(0.0).shaft_n,
        wheel_vertical_n=vertical_n,
        wheel_lateral_n=lateral_n,
        wheel_longitudinal_n=longitudinal_n,
        limited_by=limited_by,
        assumption=assumption,
        source=source,
        trail=trail,
    )


def _cornering(vehicle: DriveVehicle, axle: Axle) -> LoadCase:
    chassis = vehicle.chassis
    limit = cornering_limit(chassis, vehicle.lateral_grip)
    vertical_n = outer_wheel_load_n(chassis, axle, limit.ratio)
    lateral_n = outer_wheel_lateral_n(chassis, axle, limit.ratio, vehicle.lateral_grip)
    radius_mm = cornering_radius_mm(vehicle.speed_mm_s, limit.ratio)
    turns = max(1.0, radius_mm * (math.pi / 2.0) / (math.pi * vehicle.wheel_diameter_mm))
    return _wheel_case(
        vehicle,
        axle,
        name="cornering",
        story=f"A corner at the limit, where the vehicle starts to {limit.limited_by}.",
        vertical_n=vertical_n,
        lateral_n=lateral_n,
        duration="repeated",
        cycles=vehicle.life_events(vehicle.hard_manoeuvres_per_km) * turns,
        limited_by=limit.limited_by,
        assumption=f"sideways grip {vehicle.lateral_grip:g}; level road; rigid frame, this axle "
        "takes the whole transfer until its inner wheel lifts; "
        f"{vehicle.hard_manoeuvres_per_km:g} such quarter turn(s) per km, one cycle per wheel turn",
        source="derived from statics; thresholds as [memory: Gillespie 1992 ch. 9]",
        trail=(
            f"skids at {vehicle.lateral_grip:.3g} g, tips at {rollover_ratio(chassis):.3g} g; "
            f"the lower counts: {limit.ratio:.3g} g, at travelling speed on "
            f"{radius_mm * 1e-3:.3g} m radius",
            f"transfer W (a_y/g) h/t = {newton(lateral_transfer_n(chassis, limit.ratio))}",
            f"outer wheel {newton(vertical_n)} down, {newton(lateral_n)} sideways",
        ),
    )


def _strike(vehicle: DriveVehicle, axle: Axle) -> LoadCase:
    standing_n = _standing_n(vehicle, axle)
    speed_mm_s = vehicle.kerb_speed_mm_s
    speed_mm_s = vehicle.speed_mm_s if speed_mm_s is None else speed_mm_s
    strike = kerb_strike(
        wheel_load_n=standing_n,
        mass_on_wheel_g=standing_n / GRAVITY_M_S2 * 1e3,
        wheel_diameter_mm=vehicle.wheel_diameter_mm,
        kerb_height_mm=vehicle.kerb_height_mm,
        speed_mm_s=speed_mm_s,
        stiffness_n_mm=vehicle.tyre_stiffness_n_mm,
    )
    return _wheel_case(
        vehicle,
        axle,
        name="kerb strike",
        story=f"Rolling into a {vehicle.kerb_height_mm:g} mm kerb at "
        f"{speed_mm_s * 3.6e-3:.3g} km/h without slowing down.",
        vertical_n=strike.vertical_n,
        longitudinal_n=strike.longitudinal_n,
        limited_by="kerb",
        assumption=f"{_UPPER_BOUND}; the tyre doesn't bottom out on its rim",
        source="F = W + v_n sqrt(k m), derived from energy as in "
        "[source: Wentzell, ex. 7.2, p. 139]",
        trail=(
            f"standing load W = {newton(standing_n)}, k = {vehicle.tyre_stiffness_n_mm:g} N/mm, "
            f"speed into the edge v s/r = {strike.edge_speed_mm_s:.0f} mm/s",
            f"F = {newton(strike.force_n)} = {strike.force_n / standing_n:.3g} W, from edge to "
            f"hub: {newton(strike.vertical_n)} up, {newton(strike.longitudinal_n)} back",
        ),
    )


def _scrape(vehicle: DriveVehicle, axle: Axle) -> LoadCase:
    standing_n = _standing_n(vehicle, axle)
    lateral_n = SCRAPE_FACTOR * standing_n
    return _wheel_case(
        vehicle,
        axle,
        name="sideways kerb scrape",
        story="Sliding sideways against a kerb.",
        vertical_n=standing_n,
        lateral_n=lateral_n,
        limited_by="kerb",
        assumption=f"sideways force {SCRAPE_FACTOR:g} times the standing wheel load",
        source="[common practice] 1.0-1.5 times the wheel load, upper end",
        trail=(f"{SCRAPE_FACTOR:g} · {newton(standing_n)} = {newton(lateral_n)}",),
    )


def _drop(vehicle: DriveVehicle, axle: Axle) -> LoadCase:
    standing_n = _standing_n(vehicle, axle)
    force_n = drop_force_n(standing_n, vehicle.tyre_stiffness_n_mm, vehicle.kerb_height_mm)
    return _wheel_case(
        vehicle,
        axle,
        name="drop off a kerb",
        story=f"Riding off a {vehicle.kerb_height_mm:g} mm kerb.",
        vertical_n=force_n,
        limited_by="kerb",
        assumption=_UPPER_BOUND,
        source="W (1 + sqrt(1 + 2 H k/W)), derived from energy as in "
        "[source: Gere, ex. 2.16, p. 133]",
        trail=(
            f"W = {newton(standing_n)}, k = {vehicle.tyre_stiffness_n_mm:g} N/mm, "
            f"H = {vehicle.kerb_height_mm:g} mm: F = {newton(force_n)} = "
            f"{force_n / standing_n:.3g} W",
        ),
    )
