"""Vehicle: from masses, wheels, motor, ratios and brakes to the loads on each part.

In comes a `DriveVehicle`, plain floats in mm, N·mm and g that the job file's reader fills in. Out
comes `VehicleLoads`: a `LoadCase` for each thing that can happen on the road (torque through the
differential, at the wheel and the motor's mount, belt pull, forces at the wheel), how long and how
often it comes, what limits it, on which assumption and from which source, and warnings for the
builder. The formulas themselves (chassis, cornering, kerb, motor, belt, differential, brakes) are
exported too. The room may import `printplan.errors`, `printplan.quantities` and `printplan.job`;
it needs only the first.
"""

from __future__ import annotations

from printplan.vehicle.belt import BeltData, ChainData, LoopForces
from printplan.vehicle.braking import BrakeData, BrakeFlow, BrakePlace, brake_flow
from printplan.vehicle.cases import load_cases, vehicle_loads
from printplan.vehicle.chassis import (
    Axle,
    AxleLoads,
    Axles,
    Chassis,
    axle_loads,
    braking_limit,
    traction_limit,
)
from printplan.vehicle.cornering import hub_moment_nmm, rollover_ratio
from printplan.vehicle.differential import (
    DifferentialData,
    TorqueSplit,
    bias_ratio,
    load_sharing_factor,
    locking_value,
    torque_split,
    wheel_speeds_in_turn_rad_s,
)
from printplan.vehicle.drive import DriveLine
from printplan.vehicle.inputs import DriveVehicle
from printplan.vehicle.load_case import Duration, LoadCase, VehicleLoads
from printplan.vehicle.motor import MotorData, OutputMotorData

__all__ = [
    "Axle",
    "AxleLoads",
    "Axles",
    "BeltData",
    "BrakeData",
    "BrakeFlow",
    "BrakePlace",
    "ChainData",
    "Chassis",
    "DifferentialData",
    "DriveLine",
    "DriveVehicle",
    "Duration",
    "LoadCase",
    "LoopForces",
    "MotorData",
    "OutputMotorData",
    "TorqueSplit",
    "VehicleLoads",
    "axle_loads",
    "bias_ratio",
    "brake_flow",
    "braking_limit",
    "hub_moment_nmm",
    "load_cases",
    "load_sharing_factor",
    "locking_value",
    "rollover_ratio",
    "torque_split",
    "traction_limit",
    "vehicle_loads",
    "wheel_speeds_in_turn_rad_s",
]
