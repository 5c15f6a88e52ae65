"""How hot a part gets on the worst summer day.

In: surroundings (a place, or air, dew point, irradiance and wind as plain numbers) and exposure
(shelter, colour, face, neighbour). Out: `PartTemperature` with the design value, the upper bound
and the terms of the heat balance, and `DayCurve` with the course of the day. The room imports
nothing of printplan but `errors`; numpy is the only library that it loads.
"""

from printplan.climate.air import dew_point_degc
from printplan.climate.balance import FaceBalance
from printplan.climate.day import DayCurve, day_curve
from printplan.climate.neighbours import bar_end_share, loaded_case_degc, motor_case_degc
from printplan.climate.places import (
    PLACES,
    SEVERITIES,
    Place,
    Surroundings,
    n_year_maximum_degc,
    surroundings_of,
)
from printplan.climate.shelters import SHELTERS, Shelter, cabin_degc, shelter
from printplan.climate.surfaces import SURFACES, Surface, surface
from printplan.climate.temperature import Exposure, PartTemperature, part_temperature

__all__ = [
    "PLACES",
    "SEVERITIES",
    "SHELTERS",
    "SURFACES",
    "DayCurve",
    "Exposure",
    "FaceBalance",
    "PartTemperature",
    "Place",
    "Shelter",
    "Surface",
    "Surroundings",
    "bar_end_share",
    "cabin_degc",
    "day_curve",
    "dew_point_degc",
    "loaded_case_degc",
    "motor_case_degc",
    "n_year_maximum_degc",
    "part_temperature",
    "shelter",
    "surface",
    "surroundings_of",
]
