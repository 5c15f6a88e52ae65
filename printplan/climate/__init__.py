"""How hot a part gets on the worst summer day.

In: surroundings (a place, or air, dew point, irradiance and wind as plain numbers) and exposure
(shelter, colour, face, neighbours). Out: `PartTemperature` with the design value, the upper bound
and the terms of the heat balance, and `DayCurve` with the course of the day. Beside that door
stand formulas for brakes, rubbing teeth and walls that insulate. The room imports nothing of
printplan but `errors`; numpy is the only library that it loads.
"""

from printplan.climate.air import dew_point_degc
from printplan.climate.balance import FaceBalance
from printplan.climate.brakes import (
    BrakeHeating,
    brake_degc,
    bulk_rise_k,
    descent_power_w,
    flash_rise_k,
    stop_energy_j,
)
from printplan.climate.contacts import BrakeDescent, HotBody, MetalAxle, MotorCase, Neighbour
from printplan.climate.day import DayCurve, day_curve
from printplan.climate.exposure import Bound, Exposure
from printplan.climate.gear_friction import ToothTemperature, loss_factor, tooth_temperature
from printplan.climate.neighbours import bar_end_share, loaded_case_degc, motor_case_degc
from printplan.climate.places import (
    PLACES,
    SEVERITIES,
    Place,
    Surroundings,
    n_year_maximum_degc,
    surroundings_of,
)
from printplan.climate.shelters import SHELTERS, Shelter, cabin_degc, cabin_rise_k, shelter
from printplan.climate.surfaces import SURFACES, Surface, surface
from printplan.climate.temperature import (
    NeighbourTemperature,
    PartTemperature,
    part_temperature,
)
from printplan.climate.walls import (
    PrintedWall,
    WallTemperature,
    biot_number,
    inside_relief_k,
    wall_temperature,
)

__all__ = [
    "PLACES",
    "SEVERITIES",
    "SHELTERS",
    "SURFACES",
    "Bound",
    "BrakeDescent",
    "BrakeHeating",
    "DayCurve",
    "Exposure",
    "FaceBalance",
    "HotBody",
    "MetalAxle",
    "MotorCase",
    "Neighbour",
    "NeighbourTemperature",
    "PartTemperature",
    "Place",
    "PrintedWall",
    "Shelter",
    "Surface",
    "Surroundings",
    "ToothTemperature",
    "WallTemperature",
    "bar_end_share",
    "biot_number",
    "brake_degc",
    "bulk_rise_k",
    "cabin_degc",
    "cabin_rise_k",
    "day_curve",
    "descent_power_w",
    "dew_point_degc",
    "flash_rise_k",
    "inside_relief_k",
    "loaded_case_degc",
    "loss_factor",
    "motor_case_degc",
    "n_year_maximum_degc",
    "part_temperature",
    "shelter",
    "stop_energy_j",
    "surface",
    "surroundings_of",
    "tooth_temperature",
    "wall_temperature",
]
