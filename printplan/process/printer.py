"""The printer: what it can reach, how fast it moves, what it draws, costs and ruins."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from printplan.errors import OutOfRangeError, UnknownNameError

__all__ = ["Printer", "load_printer_classes", "printer"]


@dataclass(frozen=True, kw_only=True)
class Printer:
    """One filament printer.

    Attributes
    ----------
    name : str
        Generic class, or the user's name.
    build_volume_mm : (float, float, float)
        Usable width, depth, height. [mm]
    nozzle_bore_mm : float
        Bore of the nozzle. [mm]
    hardened_nozzle, enclosed, can_dry : bool
        Whether filled filaments don't wear the nozzle out; whether the build space is closed;
        whether filament can be dried before and while printing.
    max_nozzle_degc, max_bed_degc : float
        Highest temperatures. [°C]
    wall_speed_mm_s … travel_speed_mm_s : float
        Commanded speeds. [mm/s]
    acceleration_mm_s2, travel_acceleration_mm_s2 : float
        While printing and travelling. [mm/s²]
    deviation_mm : float
        How far the path may leave a corner. [mm]
    layer_change_s, retraction_s, start_s : float
        Seam and z move of each layer; pulling filament back and returning it; homing, probing and
        purge line of each start. [s]
    purge_g : float
        Filament of the purge line at each start. [g]
    flow_factor : float
        Flow limit against a standard hot end with a brass nozzle, for which filaments are listed.
    bed_power_w, bed_capacity_j_k, bed_loss_w_k : float
        Heater power [W], heat capacity [J/K], loss to the air [W/K] of the bed.
    nozzle_power_w, nozzle_capacity_j_k, nozzle_loss_w_k : float
        The same of the hot end; the loss includes the part's cooling fan.
    electronics_w : float
        Electronics and motors while printing. [W]
    supply_efficiency : float
        Low-voltage power over mains power.
    ambient_degc : float
        Room temperature. [°C]
    price, upkeep_per_1000_h : float
        In the table's currency, EUR.
    life_h : float
        Hours over which the price is spread. [h]
    failure_rate_per_h : float
        Failures per printing hour. [1/h]
    start_failure : float
        Probability that a start fails.
    origins : mapping
        Group of values → label of where they come from.
    """

    name: str
    build_volume_mm: tuple[float, float, float]
    nozzle_bore_mm: float
    hardened_nozzle: bool
    enclosed: bool
    max_nozzle_degc: float
    max_bed_degc: float
    wall_speed_mm_s: float
    skin_speed_mm_s: float
    infill_speed_mm_s: float
    support_speed_mm_s: float
    first_layer_speed_mm_s: float
    travel_speed_mm_s: float
    acceleration_mm_s2: float
    travel_acceleration_mm_s2: float
    deviation_mm: float
    layer_change_s: float
    retraction_s: float
    start_s: float
    purge_g: float
    flow_factor: float
    bed_power_w: float
    bed_capacity_j_k: float
    bed_loss_w_k: float
    nozzle_power_w: float
    nozzle_capacity_j_k: float
    nozzle_loss_w_k: float
    electronics_w: float
    supply_efficiency: float
    ambient_degc: float
    price: float
    life_h: float
    upkeep_per_1000_h: float
    failure_rate_per_h: float
    start_failure: float
    can_dry: bool = False
    origins: Mapping[str, str] = field(default_factory=dict, compare=False, repr=False)

    def __post_init__(self) -> None:
        for each in fields(self):
            value = getattr(self, each.name)
            if isinstance(value, bool) or not isinstance(value, int | float):
                continue
            low = 0.0 if each.name in _MAY_BE_ZERO else 1e-9
            if not (math.isfinite(value) and value >= low):
                raise OutOfRangeError(f"printer {each.name}", value, "a positive, finite value")
        if len(self.build_volume_mm) != 3 or not all(0 < x < 1e5 for x in self.build_volume_mm):
            raise OutOfRangeError(
                "build volume [mm]", min(self.build_volume_mm, default=0.0), "three positive sizes"
            )
        if not self.start_failure < 1:
            raise OutOfRangeError("start failure", self.start_failure, "a probability below 1")
        if not self.supply_efficiency <= 1:
            raise OutOfRangeError("supply efficiency", self.supply_efficiency, "at most 1")

    def but(self, **changes: Any) -> Printer:
        """Return a copy with some fields changed.

        Parameters
        ----------
        **changes : Any
            Field names and their new values.

        Returns
        -------
        Printer
            The changed copy, checked like a new one.
        """
        return replace(self, **changes)


_MAY_BE_ZERO = frozenset(
    {
        "layer_change_s",
        "retraction_s",
        "start_s",
        "purge_g",
        "electronics_w",
        "ambient_degc",
        "price",
        "upkeep_per_1000_h",
        "failure_rate_per_h",
        "start_failure",
    }
)


@cache
def load_printer_classes() -> Mapping[str, Printer]:
    """Read the table of generic printer classes.

    Returns
    -------
    mapping of str to Printer
        Class name → printer, from slow to fast.
    """
    text = files(__package__).joinpath("printer_classes.toml").read_text(encoding="utf-8")
    classes = {}
    for entry in tomllib.loads(text)["class"]:
        values: dict[str, Any] = {"name": entry["name"]}
        origins = {}
        for group, content in entry.items():
            if group == "name":
                continue
            origins[group] = content["label"]
            values |= {key: value for key, value in content.items() if key != "label"}
        values["build_volume_mm"] = tuple(values["build_volume_mm"])
        classes[entry["name"]] = Printer(**values, origins=MappingProxyType(origins))
    return MappingProxyType(classes)


def printer(name: str, /, **overrides: Any) -> Printer:
    """Look up a printer class and change what is different about one printer.

    Parameters
    ----------
    name : str
        Class name.
    **overrides : Any
        Field names of :class:`Printer` and their values; None leaves a field as it is.

    Returns
    -------
    Printer
        The printer.

    Raises
    ------
    UnknownNameError
        If there is no such class or no such field.
    OutOfRangeError
        If a value is impossible.
    """
    classes = load_printer_classes()
    if name not in classes:
        raise UnknownNameError("printer class", name, classes)
    known = [each.name for each in fields(Printer)]
    wanted = {key: value for key, value in overrides.items() if value is not None}
    for key in wanted:
        if key not in known:
            raise UnknownNameError("printer field", key, known)
    if "build_volume_mm" in wanted:
        wanted["build_volume_mm"] = tuple(wanted["build_volume_mm"])
    return classes[name].but(**wanted)
