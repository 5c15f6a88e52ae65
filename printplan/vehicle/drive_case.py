"""Build a load case from a drive torque: back to belt and motor, on to housing and wheel."""

from __future__ import annotations

from printplan.vehicle.chassis import axle_loads, traction_limit
from printplan.vehicle.inputs import DriveVehicle
from printplan.vehicle.load_case import Duration, LoadCase, newton, newton_metre
from printplan.vehicle.road import wheel_torque_nmm

__all__ = ["drive_case", "pulling_case"]


def drive_case(
    vehicle: DriveVehicle,
    *,
    name: str,
    story: str,
    duration: Duration,
    cycles: float = 1.0,
    total_nmm: float,
    axle_nmm: float,
    wheel_nmm: float | None = None,
    wheel_load_n: float,
    limited_by: str,
    assumption: str,
    source: str,
    trail: tuple[str, ...],
    fault: bool = False,
    torque_cycles: float | None = None,
) -> LoadCase:
    """Follow a torque both ways: `total_nmm` back to the motor, `axle_nmm` on to one wheel."""
    line, share = vehicle.drive_line, vehicle.largest_wheel_share
    loop = line.loop_forces(total_nmm)
    motor_nmm = line.motor_output_torque_nmm(total_nmm)
    if wheel_nmm is None:
        wheel_nmm = share * axle_nmm
        wheel_step = f"wheel torque at most {share:.3g} of it = {newton_metre(wheel_nmm)}"
    else:
        wheel_step = f"gripping wheel's torque = {newton_metre(wheel_nmm)}"
    back = (
        f"housing torque T = {newton_metre(axle_nmm)}; {wheel_step}",
        f"motor output T/{line.ratio:.4g} = {newton_metre(motor_nmm)}; belt or chain force "
        f"{newton(loop.effective_n)}, shaft pull {newton(loop.shaft_n)}",
    )
    return LoadCase(
        name=name,
        story=story,
        axle=vehicle.driven_axle,
        duration=duration,
        cycles=cycles,
        fault=fault,
        torque_cycles=torque_cycles,
        housing_torque_nmm=axle_nmm,
        side_gear_torque_nmm=0.0 if vehicle.differential is None else wheel_nmm,
        wheel_torque_nmm=wheel_nmm,
        belt_force_n=loop.effective_n,
        belt_shaft_force_n=loop.shaft_n,
        motor_output_torque_nmm=motor_nmm,
        wheel_vertical_n=wheel_load_n,
        wheel_longitudinal_n=wheel_nmm / vehicle.wheel_radius_mm,
        limited_by=limited_by,
        assumption=assumption,
        source=source,
        trail=trail + back,
    )


def _worst_axle_force_n(vehicle: DriveVehicle, force_n: float, slope_percent: float) -> float:
    """Largest share of a drive force that the driven axle may get.

    With all wheels driven through one rigid line, an axle may get everything up to its own grip.
    The rear one grips best at the full force; the front one, which the force unloads, at the
    force with which it slips by itself.
    """
    if vehicle.driven != "all":
        return force_n
    if vehicle.driven_axle == "rear":
        loads = axle_loads(vehicle.chassis, drive_force_n=force_n, slope_percent=slope_percent)
        return min(force_n, vehicle.peak_grip * loads.rear_n)
    alone = traction_limit(
        vehicle.chassis, grip=vehicle.peak_grip, driven="front", slope_percent=slope_percent
    )
    return min(force_n, alone.force_n)


def pulling_case(
    vehicle: DriveVehicle,
    *,
    name: str,
    story: str,
    duration: Duration,
    cycles: float = 1.0,
    force_n: float,
    slope_percent: float = 0.0,
    limited_by: str,
    assumption: str,
    source: str,
    trail: tuple[str, ...],
    fault: bool = False,
    torque_cycles: float | None = None,
) -> LoadCase:
    """Build the case of a drive force on the road, with the load that it shifts to the rear."""
    loads = axle_loads(vehicle.chassis, drive_force_n=force_n, slope_percent=slope_percent)
    axle_n = _worst_axle_force_n(vehicle, force_n, slope_percent)
    total_nmm = wheel_torque_nmm(force_n, vehicle.wheel_diameter_mm)
    return drive_case(
        vehicle,
        name=name,
        story=story,
        duration=duration,
        cycles=cycles,
        fault=fault,
        torque_cycles=torque_cycles,
        total_nmm=total_nmm,
        axle_nmm=wheel_torque_nmm(axle_n, vehicle.wheel_diameter_mm),
        wheel_load_n=loads.on(vehicle.driven_axle) / vehicle.driven_wheels,
        limited_by=limited_by,
        assumption=assumption,
        source=source,
        trail=(
            *trail,
            f"F = {newton(force_n)} puts {newton(loads.front_n)} on the front and "
            f"{newton(loads.rear_n)} on the rear axle; T = F r = {newton_metre(total_nmm)}",
        ),
    )
