"""The few values of a filament that an estimate needs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from printplan.errors import OutOfRangeError

if TYPE_CHECKING:
    from printplan.filament import Filament

__all__ = ["FilamentData", "filament_data", "least_layer_time"]


@dataclass(frozen=True, kw_only=True)
class FilamentData:
    """What the printing process needs to know of a filament.

    Attributes
    ----------
    name : str
        The grade, as people call it.
    density_g_cm3 : float
        Density of the solid polymer. [g/cm³]
    diameter_mm : float
        Diameter of the thread. [mm]
    max_flow_mm3_s : float
        Flow limit on a standard hot end. [mm³/s]
    nozzle_degc, bed_degc : float
        Printing temperatures. [°C]
    price_per_kg : float
        Price. [currency/kg]
    least_layer_time_s : float
        Shortest time for a layer, so that it cools enough to carry the next. [s]
    specific_heat_j_g_k : float
        Specific heat. [J/(g·K)]
    needs_hardened_nozzle, needs_enclosure : bool
        Whether fillers wear a brass nozzle out; whether it warps in the open.
    """

    name: str
    density_g_cm3: float
    max_flow_mm3_s: float
    nozzle_degc: float
    bed_degc: float
    price_per_kg: float
    diameter_mm: float = 1.75
    least_layer_time_s: float = 10.0
    specific_heat_j_g_k: float = 1.9
    needs_hardened_nozzle: bool = False
    needs_enclosure: bool = False

    def __post_init__(self) -> None:
        for name, value, low in (
            ("filament density [g/cm³]", self.density_g_cm3, 0.1),
            ("filament diameter [mm]", self.diameter_mm, 0.5),
            ("filament flow limit [mm³/s]", self.max_flow_mm3_s, 0.05),
            ("filament price per kg", self.price_per_kg, 0.0),
            ("least layer time [s]", self.least_layer_time_s, 0.0),
        ):
            if not (math.isfinite(value) and value >= low):
                raise OutOfRangeError(name, value, f"at least {low:g}")


def least_layer_time(grade: str) -> float:
    """Shortest time for a layer. [s]

    Parameters
    ----------
    grade : str
        Name of the grade.

    Returns
    -------
    float
        Middle of the trade's range for the grade's family.

    Sources
    -------
    [common practice] PLA 8-12, PETG 8-15, ABS and ASA 5-10 s; 5-15 s for what isn't listed.
    """
    family = grade.upper().replace("_", "-").split("-")[0]
    return {"PLA": 10.0, "PETG": 11.0, "ABS": 8.0, "ASA": 8.0}.get(family, 10.0)


def filament_data(filament: Filament, price_per_kg: float | None = None) -> FilamentData:
    """Take from the filament table what an estimate needs.

    Parameters
    ----------
    filament : Filament
        A grade of the table.
    price_per_kg : float, optional
        The user's own price, in place of the table's. [currency/kg]

    Returns
    -------
    FilamentData
        Typical values; 1.75 mm thread.

    Raises
    ------
    InputError
        If the grade lacks a value that is needed.
    """
    needs = filament.needs
    heat_j_kgk = filament.specific_heat_j_kgk
    return FilamentData(
        name=filament.name,
        density_g_cm3=filament.density_g_cm3,
        max_flow_mm3_s=filament.max_flow_mm3_s,
        nozzle_degc=needs.nozzle_degc,
        bed_degc=needs.bed_degc,
        price_per_kg=filament.price_per_kg if price_per_kg is None else price_per_kg,
        least_layer_time_s=least_layer_time(filament.polymer),
        specific_heat_j_g_k=1.9 if heat_j_kgk is None else heat_j_kgk / 1000,
        needs_hardened_nozzle=needs.hardened_nozzle,
        needs_enclosure=needs.enclosure == "needed",
    )
