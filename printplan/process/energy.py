"""Energy of a build: warming up, holding temperature, moving, melting."""

from __future__ import annotations

import math

from printplan.errors import OutOfRangeError
from printplan.process.filament_data import FilamentData
from printplan.process.printer import Printer

__all__ = ["energy_by_kind", "hold_power", "melting_power", "warm_up"]


def warm_up(
    power_w: float, capacity_j_k: float, loss_w_k: float, rise_k: float
) -> tuple[float, float]:
    """Time and energy to heat a body that loses heat to the room.

    t = -(C/U) ln(1 - U dT / P), E = P t.

    Parameters
    ----------
    power_w : float
        Heater power P. [W]
    capacity_j_k : float
        Heat capacity C. [J/K]
    loss_w_k : float
        Loss U per kelvin above the room; 0 for none. [W/K]
    rise_k : float
        Rise dT above the room. [K]

    Returns
    -------
    (float, float)
        Time [s] and energy [Wh]; zero if there is nothing to heat.

    Raises
    ------
    OutOfRangeError
        If the heater can't reach the temperature.

    Sources
    -------
    derived: first-order heat balance.
    """
    if rise_k <= 0:
        return 0.0, 0.0
    share = loss_w_k * rise_k / power_w
    if not share < 1:
        raise OutOfRangeError(
            "temperature rise [K]",
            rise_k,
            f"less than {power_w / loss_w_k:.0f}, where the heater only makes up for the losses",
        )
    if share < 1e-9:
        time_s = capacity_j_k * rise_k / power_w
    else:
        time_s = -capacity_j_k / loss_w_k * math.log1p(-share)
    return time_s, power_w * time_s / 3600


def melting_power(
    flow_mm3_s: float, density_g_cm3: float, specific_heat_j_g_k: float, rise_k: float
) -> float:
    """Power that warms the flowing filament: rho Q c dT. [W]

    Parameters
    ----------
    flow_mm3_s : float
        Volumetric flow Q. [mm³/s]
    density_g_cm3 : float
        Density rho. [g/cm³]
    specific_heat_j_g_k : float
        Specific heat c. [J/(g·K)]
    rise_k : float
        Rise dT. [K]

    Returns
    -------
    float
        Power. [W]
    """
    return density_g_cm3 / 1000 * flow_mm3_s * specific_heat_j_g_k * rise_k


def hold_power(printer: Printer, nozzle_degc: float, bed_degc: float) -> dict[str, float]:
    """Power while printing, on the low-voltage side, without melting. [W]

    Parameters
    ----------
    printer : Printer
        Losses and electronics.
    nozzle_degc, bed_degc : float
        Temperatures. [°C]

    Returns
    -------
    dict of str to float
        "bed hold", "nozzle hold" and "motion" (with electronics). [W]

    Sources
    -------
    derived: P = P_0 + U_b (T_bed - T_a) + U_n (T_nozzle - T_a).
    """
    room = printer.ambient_degc
    return {
        "bed hold": printer.bed_loss_w_k * max(bed_degc - room, 0.0),
        "nozzle hold": printer.nozzle_loss_w_k * max(nozzle_degc - room, 0.0),
        "motion": printer.electronics_w,
    }


def energy_by_kind(
    printer: Printer,
    filament: FilamentData,
    heat_up_s: float,
    running_s: float,
    mass_g: float,
) -> dict[str, float]:
    """Energy taken from the mains by one build.

    Parameters
    ----------
    printer : Printer
        The printer.
    filament : FilamentData
        Temperatures and specific heat.
    heat_up_s : float
        Time of warming up, during which the electronics run too. [s]
    running_s : float
        Time at temperature. [s]
    mass_g : float
        Filament melted. [g]

    Returns
    -------
    dict of str to float
        Kind → energy on the mains side. [Wh]

    Raises
    ------
    OutOfRangeError
        If a heater can't reach its temperature.
    """
    room = printer.ambient_degc
    _, bed_wh = warm_up(
        printer.bed_power_w,
        printer.bed_capacity_j_k,
        printer.bed_loss_w_k,
        filament.bed_degc - room,
    )
    _, nozzle_wh = warm_up(
        printer.nozzle_power_w,
        printer.nozzle_capacity_j_k,
        printer.nozzle_loss_w_k,
        filament.nozzle_degc - room,
    )
    low_side = {"heat-up": bed_wh + nozzle_wh + printer.electronics_w * heat_up_s / 3600}
    for kind, power in hold_power(printer, filament.nozzle_degc, filament.bed_degc).items():
        low_side[kind] = power * running_s / 3600
    melt_j = mass_g * filament.specific_heat_j_g_k * max(filament.nozzle_degc - room, 0.0)
    low_side["melting"] = melt_j / 3600
    return {kind: wh / printer.supply_efficiency for kind, wh in low_side.items()}
