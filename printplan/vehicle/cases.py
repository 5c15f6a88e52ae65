"""All load cases of a vehicle, in the order in which a rider would meet them."""

from __future__ import annotations

from printplan.vehicle.brake_cases import brake_cases
from printplan.vehicle.drive_cases import drive_cases
from printplan.vehicle.inputs import DriveVehicle
from printplan.vehicle.load_case import LoadCase, VehicleLoads, merged
from printplan.vehicle.stuck_cases import stuck_cases
from printplan.vehicle.wheel_cases import wheel_cases

__all__ = ["load_cases", "vehicle_loads"]


def vehicle_loads(data: DriveVehicle) -> VehicleLoads:
    """Work out what driving, braking, parking, corners and kerbs put on the parts.

    Parameters
    ----------
    data : DriveVehicle
        The loaded vehicle.

    Returns
    -------
    VehicleLoads
        Every load case with its assumption, source and trail, and the warnings.

    Notes
    -----
    Not covered: pedals, the jolt of a spinning rotor or wheel that is stopped suddenly, braking by
    the motor's own short circuit, vibration, corners on a slope or while braking.
    """
    loads = merged(drive_cases(data), stuck_cases(data), brake_cases(data), wheel_cases(data))
    return VehicleLoads(
        cases=loads.cases, warnings=loads.warnings + _belt_warnings(data, loads.cases)
    )


def load_cases(data: DriveVehicle) -> tuple[LoadCase, ...]:
    """Return the load cases of `vehicle_loads` without the warnings."""
    return vehicle_loads(data).cases


def _belt_warnings(vehicle: DriveVehicle, cases: tuple[LoadCase, ...]) -> tuple[str, ...]:
    """Belt teeth: too few in mesh, or a slack strand in some case."""
    warnings: list[str] = []
    meshing = getattr(vehicle.belt, "meshing_teeth", None)
    if meshing is not None and meshing < 6:
        warnings.append(
            f"only {meshing} belt teeth sit in the motor's pulley (6 or more give full capacity): "
            "use a larger pulley or more wrap"
        )
    slack = [
        case.name
        for case in cases
        if vehicle.drive_line.loop_forces(
            case.motor_output_torque_nmm * vehicle.drive_line.ratio
        ).goes_slack
    ]
    if slack:
        warnings.append(f"the belt's slack side loses its tension and may skip: {', '.join(slack)}")
    return tuple(warnings)
