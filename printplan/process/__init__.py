"""What printing a part takes.

In: a standing :class:`~printplan.part.solid.Solid`, a :class:`Recipe`, a :class:`Printer`, the
filament's :class:`FilamentData` and :class:`Prices`. Out: a :class:`Consumption` (filament, time,
energy, cost, each split by kind and with a range). Between: layers are cut from the solid, walls,
skins, infill and support are measured on their polygons, and times follow in closed form from
lengths, speeds and accelerations. May import part, filament, job, quantities and errors.
"""

from printplan.process.cost import Prices, expected_time_ratio, success_probability
from printplan.process.estimate import Consumption, estimate, estimate_layers
from printplan.process.filament_data import FilamentData, filament_data
from printplan.process.layers import LayerStack, cut_layers, stack_of
from printplan.process.printer import Printer, load_printer_classes, printer
from printplan.process.recipe import RECIPES, Recipe, recipe
from printplan.process.regions import Regions, regions
from printplan.process.supports import Support, support

__all__ = [
    "RECIPES",
    "Consumption",
    "FilamentData",
    "LayerStack",
    "Prices",
    "Printer",
    "Recipe",
    "Regions",
    "Support",
    "cut_layers",
    "estimate",
    "estimate_layers",
    "expected_time_ratio",
    "filament_data",
    "load_printer_classes",
    "printer",
    "recipe",
    "regions",
    "stack_of",
    "success_probability",
    "support",
]
