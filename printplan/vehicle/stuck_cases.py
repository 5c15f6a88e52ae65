"""Load cases of a stuck vehicle: jammed wheels, a kerb, one wheel in the air or on ice."""

from __future__ import annotations

from printplan.vehicle.chassis import axle_loads
from printplan.vehicle.differential import slipping_wheel_split
from printplan.vehicle.drive_case import drive_case
from printplan.vehicle.inputs import DriveVehicle
from printplan.vehicle.kerb import climb_torque_nmm
from printplan.vehicle.load_case import LoadCase, VehicleLoads, merged, newton, newton_metre
from printplan.vehicle.road import wheel_torque_nmm

__all__ = ["stuck_cases"]

_MOTOR = "linear motor [source: Fitzgerald, ex. 7.9, p. 389]"

#: Vertical load that goes with a stall against a kerb, on the standing load. [common practice]
KERB_STALL_VERTICAL = 1.5


def stuck_cases(vehicle: DriveVehicle) -> VehicleLoads:
    """Motor stall, stall against a kerb, and what one slipping wheel leaves the other.

    Parameters
    ----------
    vehicle : DriveVehicle
        The loaded vehicle.

    Returns
    -------
    VehicleLoads
        Cases and warnings; no kerb case without a kerb, no slipping wheel on a single one.
    """
    groups = [_stall(vehicle)]
    if vehicle.kerb_height_mm > 0.0:
        groups.append(_kerb_stall(vehicle))
    if vehicle.driven_wheels == 2:
        groups += [_wheel_in_the_air(vehicle), _wheel_on_ice(vehicle)]
    return merged(*groups)


def _stall(vehicle: DriveVehicle) -> VehicleLoads:
    stall_nmm = vehicle.drive_line.stall_axle_torque_nmm
    standing_n = axle_loads(vehicle.chassis).on(vehicle.driven_axle)
    case = drive_case(
        vehicle,
        name="motor stall",
        story="The driven wheels are jammed, in a ditch or by a blocked spoke, and the rider "
        "keeps full power on.",
        duration="single",
        total_nmm=stall_nmm,
        axle_nmm=stall_nmm,
        wheel_load_n=standing_n / vehicle.driven_wheels,
        limited_by="motor",
        assumption="a jammed wheel holds more than its grip, so traction is no limit; the current "
        "limit works; the rotor's own momentum is left out",
        source=f"T = K_t I i eta, {_MOTOR}; derived",
        trail=(
            f"stall torque at the motor's output "
            f"{newton_metre(vehicle.motor.stall_torque_nmm)}, times {vehicle.drive_line.ratio:.4g}",
        ),
    )
    return VehicleLoads(cases=(case,), warnings=())


def _kerb_stall(vehicle: DriveVehicle) -> VehicleLoads:
    standing_n = axle_loads(vehicle.chassis).on(vehicle.driven_axle) / vehicle.driven_wheels
    wheel_load_n = KERB_STALL_VERTICAL * standing_n
    climb_nmm = vehicle.driven_wheels * climb_torque_nmm(
        wheel_load_n, vehicle.wheel_diameter_mm, vehicle.kerb_height_mm
    )
    stall_nmm = vehicle.drive_line.stall_axle_torque_nmm
    axle_nmm = min(stall_nmm, climb_nmm)
    case = drive_case(
        vehicle,
        name="stall against a kerb",
        story=f"The driven wheels stand against a {vehicle.kerb_height_mm:g} mm kerb, and the "
        "rider tries to climb it under full power.",
        duration="single",
        total_nmm=axle_nmm,
        axle_nmm=axle_nmm,
        wheel_load_n=wheel_load_n,
        limited_by="motor" if stall_nmm <= climb_nmm else "kerb",
        assumption=f"{KERB_STALL_VERTICAL:g} times the standing wheel load; both wheels at the "
        "kerb; a stronger motor climbs instead of stalling",
        source="T = W s derived from statics; vertical factor [common practice]",
        trail=(
            f"wheel load {KERB_STALL_VERTICAL:g} · {newton(standing_n)} = {newton(wheel_load_n)}",
            f"climbing takes n W s = {newton_metre(climb_nmm)}, stall gives "
            f"{newton_metre(stall_nmm)}; the lower counts",
        ),
    )
    return VehicleLoads(cases=(case,), warnings=())


def _slipping_case(
    vehicle: DriveVehicle,
    *,
    name: str,
    story: str,
    slipping_nmm: float,
    gripping_load_n: float,
    trail: str,
) -> LoadCase:
    """One wheel spins; the other gets what the differential passes."""
    locking = 1.0 if vehicle.locking_value is None else vehicle.locking_value
    grip_nmm = wheel_torque_nmm(vehicle.peak_grip * gripping_load_n, vehicle.wheel_diameter_mm)
    stall_nmm = vehicle.drive_line.stall_axle_torque_nmm
    split = slipping_wheel_split(
        slipping_torque_nmm=slipping_nmm,
        locking_value=locking,
        available_nmm=stall_nmm,
        grip_limit_nmm=grip_nmm,
    )
    stalled = split.housing_nmm >= stall_nmm * (1.0 - 1e-9)
    return drive_case(
        vehicle,
        name=name,
        story=story,
        duration="single",
        total_nmm=split.housing_nmm,
        axle_nmm=split.housing_nmm,
        wheel_nmm=split.high_nmm,
        wheel_load_n=gripping_load_n,
        limited_by="motor" if stalled else "traction",
        assumption=f"locking value {locking:g}, no preload in the differential; wheel values are "
        "those of the gripping wheel; the jolt when the spinning wheel grips again is left out",
        source="T_hi = T_lo (1 + S)/(1 - S), derived from the locking value "
        "[memory: Bosch handbook]",
        trail=(
            trail,
            f"T_hi = min(T_lo (1 + S)/(1 - S), grip {newton_metre(grip_nmm)}, what stall "
            f"{newton_metre(stall_nmm)} leaves) = {newton_metre(split.high_nmm)}",
        ),
    )


def _wheel_in_the_air(vehicle: DriveVehicle) -> VehicleLoads:
    axle_n = axle_loads(vehicle.chassis).on(vehicle.driven_axle)
    case = _slipping_case(
        vehicle,
        name="one wheel in the air",
        story="One driven wheel hangs over a rut; the other carries the axle and is to pull.",
        slipping_nmm=0.0,
        gripping_load_n=axle_n,
        trail="T_lo = 0: the lifted wheel takes only its own friction",
    )
    warnings: tuple[str, ...] = ()
    if vehicle.differential is not None and vehicle.differential.locking_value < 1.0:
        warnings = (
            "with one driven wheel in the air the differential leaves the other almost nothing, "
            "and the vehicle stands",
        )
    return VehicleLoads(cases=(case,), warnings=warnings)


def _wheel_on_ice(vehicle: DriveVehicle) -> VehicleLoads:
    wheel_n = axle_loads(vehicle.chassis).on(vehicle.driven_axle) / 2.0
    slipping_nmm = wheel_torque_nmm(vehicle.ice_grip * wheel_n, vehicle.wheel_diameter_mm)
    case = _slipping_case(
        vehicle,
        name="one wheel on ice",
        story="One driven wheel spins on ice or mud, the other stands on dry ground.",
        slipping_nmm=slipping_nmm,
        gripping_load_n=wheel_n,
        trail=f"T_lo = mu_ice N r = {vehicle.ice_grip:g} · {newton(wheel_n)} · "
        f"{vehicle.wheel_radius_mm:g} mm = {newton_metre(slipping_nmm)}",
    )
    return VehicleLoads(cases=(case,), warnings=())
