"""Load cases of driving on the road: launch, failed current limit, climb, cruise."""

from __future__ import annotations

from printplan.vehicle.chassis import traction_limit
from printplan.vehicle.drive_case import pulling_case
from printplan.vehicle.inputs import DriveVehicle
from printplan.vehicle.load_case import VehicleLoads, merged, newton, newton_metre, percent
from printplan.vehicle.road import road_load, wheel_torque_nmm

__all__ = ["drive_cases"]

_MOMENTS = "derived from the moment balance, same as [memory: Gillespie 1992 ch. 1-2]"
_MOTOR = "linear motor [source: Fitzgerald, ex. 7.9, p. 389]"
_ROAD = "road load [memory: Gillespie 1992 ch. 2-4; Wong ch. 3]"


def drive_cases(vehicle: DriveVehicle) -> VehicleLoads:
    """Launch, failed current limit, climb and cruise.

    Parameters
    ----------
    vehicle : DriveVehicle
        The loaded vehicle.

    Returns
    -------
    VehicleLoads
        Cases and warnings.
    """
    return merged(_launch(vehicle), _fault(vehicle), _climb(vehicle), _cruise(vehicle))


def _launch(vehicle: DriveVehicle) -> VehicleLoads:
    limit = traction_limit(vehicle.chassis, grip=vehicle.peak_grip, driven=vehicle.driven)
    stall_nmm = vehicle.drive_line.stall_axle_torque_nmm
    motor_n = stall_nmm / vehicle.wheel_radius_mm
    by_motor = motor_n < limit.force_n
    case = pulling_case(
        vehicle,
        name="launch",
        story="A full-power start on dry, grippy ground.",
        duration="repeated",
        cycles=vehicle.life_events(vehicle.starts_per_km),
        force_n=min(motor_n, limit.force_n),
        limited_by="motor" if by_motor else limit.limited_by,
        assumption=f"peak grip {vehicle.peak_grip:g}; {vehicle.starts_per_km:g} full-power starts "
        "per km; standing motor at its current limit; turning masses and losses of belt and "
        "reduction left out",
        source=f"{_MOMENTS}; {_MOTOR}",
        trail=(
            f"W = m g = {newton(vehicle.chassis.weight_n)}",
            f"traction limit, {vehicle.driven} driven, mu = {vehicle.peak_grip:g}: "
            f"F = {newton(limit.force_n)}, ended by {limit.limited_by}",
            f"motor stall at the axle {newton_metre(stall_nmm)}, F = T/r = {newton(motor_n)}; "
            "the lower counts",
        ),
    )
    warnings: list[str] = []
    if vehicle.peak_grip < 0.7:
        warnings.append(
            f"peak grip {vehicle.peak_grip:g} is below that of dry asphalt (0.7-1.0); grip limits "
            "the loads, so state the highest that the vehicle will ever meet"
        )
    if case.limited_by == "wheelie":
        warnings.append(
            "at full power the front lifts before the tyres slip "
            f"(at {limit.force_n / vehicle.chassis.weight_n:.2f} g)"
        )
    return VehicleLoads(cases=(case,), warnings=tuple(warnings))


def _fault(vehicle: DriveVehicle) -> VehicleLoads:
    limit = traction_limit(vehicle.chassis, grip=vehicle.peak_grip, driven=vehicle.driven)
    stall_nmm = vehicle.drive_line.stall_axle_torque_nmm
    fault_nmm = vehicle.drive_line.fault_axle_torque_nmm
    warnings: list[str] = []
    if fault_nmm is None:
        force_n, by_motor = limit.force_n, False
        step = "unlimited stall torque unknown: taken as enough to reach the traction limit"
        warnings.append(
            "failed current limit: the motor's unlimited stall torque is not known, so the "
            "traction limit is used; state it, or the motor's constants, for a lower figure"
        )
    else:
        force_n = min(fault_nmm / vehicle.wheel_radius_mm, limit.force_n)
        by_motor = force_n < limit.force_n
        step = (
            f"unlimited stall at the axle {newton_metre(fault_nmm)}, "
            f"{fault_nmm / stall_nmm:.3g} times the limited one"
        )
    case = pulling_case(
        vehicle,
        name="failed current limit",
        story="The controller fails and puts the whole battery on the standing motor.",
        duration="single",
        fault=True,
        force_n=force_n,
        limited_by="motor" if by_motor else limit.limited_by,
        assumption=f"only the winding's resistance limits the current; free wheels on ground with "
        f"grip {vehicle.peak_grip:g}; a jammed wheel at the same time is a second fault, left out",
        source=f"T = K_t V/R i eta, {_MOTOR}; {_MOMENTS}",
        trail=(
            step,
            f"traction limit F = {newton(limit.force_n)}, ended by {limit.limited_by}",
        ),
    )
    ratio = wheel_torque_nmm(force_n, vehicle.wheel_diameter_mm) / stall_nmm
    if ratio > 1.0 + 1e-9:
        warnings.append(
            f"a failed current limit loads the drive {ratio:.2g} times as hard as stall; "
            "make a part that is cheap to replace the weakest one"
        )
    if getattr(vehicle.motor, "current_limit_a", 0.0) is None:
        warnings.append("the motor has no current limit: every stall is the fault case")
    return VehicleLoads(cases=(case,), warnings=tuple(warnings))


def _climb(vehicle: DriveVehicle) -> VehicleLoads:
    demand = road_load(
        mass_g=vehicle.mass_g,
        slope_percent=vehicle.slope_percent,
        rolling_resistance=vehicle.rolling_resistance,
        drag_area_m2=vehicle.drag_area_m2,
        speed_mm_s=vehicle.speed_mm_s,
    )
    limit = traction_limit(
        vehicle.chassis,
        grip=vehicle.peak_grip,
        driven=vehicle.driven,
        slope_percent=vehicle.slope_percent,
    )
    motor_n = vehicle.drive_line.stall_axle_torque_nmm / vehicle.wheel_radius_mm
    force_n, limited_by = min(
        (demand.total_n, "demand"), (motor_n, "motor"), (limit.force_n, limit.limited_by)
    )
    case = pulling_case(
        vehicle,
        name="climb",
        story=f"Steady climb of the {vehicle.slope_percent:g} % slope at travelling speed.",
        duration="repeated",
        cycles=max(1.0, vehicle.life_wheel_turns * vehicle.climbing_share),
        torque_cycles=vehicle.life_events(vehicle.starts_per_km * vehicle.climbing_share),
        force_n=force_n,
        slope_percent=vehicle.slope_percent,
        limited_by=limited_by,
        assumption=f"{percent(vehicle.climbing_share)} of the life's way goes up this slope, one "
        "cycle per wheel turn; still air",
        source=f"{_ROAD}; {_MOMENTS}",
        trail=(
            f"slope {newton(demand.slope_n)} + rolling {newton(demand.rolling_n)} + air "
            f"{newton(demand.air_n)} = {newton(demand.total_n)}",
            f"no more than motor stall {newton(motor_n)} and traction {newton(limit.force_n)}",
        ),
    )
    warnings: list[str] = []
    if limited_by == "motor":
        warnings.append(
            f"the motor can't start on the {vehicle.slope_percent:g} % slope: it needs "
            f"{newton(demand.total_n)} at the road and gives {newton(motor_n)} at stall"
        )
    elif limited_by != "demand":
        warnings.append(
            f"the {vehicle.slope_percent:g} % slope can't be climbed: {limited_by} ends it at "
            f"{newton(limit.force_n)} of the {newton(demand.total_n)} needed"
        )
    elif not _motor_keeps_up(vehicle, demand.total_n):
        warnings.append(
            f"the motor can't hold the travelling speed on the {vehicle.slope_percent:g} % slope "
            "(or may not, by its rated torque)"
        )
    return VehicleLoads(cases=(case,), warnings=tuple(warnings))


def _motor_keeps_up(vehicle: DriveVehicle, force_n: float) -> bool:
    """Whether the motor gives a force at the road at the travelling speed."""
    axle_speed_rad_s = vehicle.speed_mm_s / vehicle.wheel_radius_mm
    given_nmm = vehicle.drive_line.running_axle_torque_nmm(axle_speed_rad_s)
    return given_nmm >= wheel_torque_nmm(force_n, vehicle.wheel_diameter_mm)


def _cruise(vehicle: DriveVehicle) -> VehicleLoads:
    demand = road_load(
        mass_g=vehicle.mass_g,
        rolling_resistance=vehicle.rolling_resistance,
        drag_area_m2=vehicle.drag_area_m2,
        speed_mm_s=vehicle.speed_mm_s,
    )
    limit = traction_limit(vehicle.chassis, grip=vehicle.peak_grip, driven=vehicle.driven)
    force_n, limited_by = min((demand.total_n, "demand"), (limit.force_n, limit.limited_by))
    case = pulling_case(
        vehicle,
        name="cruise",
        story="Rolling along on the level at travelling speed, all life long.",
        duration="repeated",
        cycles=max(1.0, vehicle.life_wheel_turns),
        torque_cycles=vehicle.life_events(vehicle.starts_per_km),
        force_n=force_n,
        limited_by=limited_by,
        assumption="one cycle per wheel turn over the whole way: to hub, axle and pulley every "
        "turn brings the full load once; still air",
        source=_ROAD,
        trail=(
            f"rolling {newton(demand.rolling_n)} + air {newton(demand.air_n)} = "
            f"{newton(demand.total_n)}",
            f"{vehicle.life_distance_mm * 1e-6:.4g} km / (pi · {vehicle.wheel_diameter_mm:g} mm) "
            f"= {vehicle.life_wheel_turns:.3g} turns",
        ),
    )
    warnings: tuple[str, ...] = ()
    if not _motor_keeps_up(vehicle, demand.total_n):
        warnings = (
            f"the motor can't hold {vehicle.speed_mm_s * 3.6e-3:.3g} km/h even on the level "
            "(or may not, by its rated torque)",
        )
    return VehicleLoads(cases=(case,), warnings=warnings)
