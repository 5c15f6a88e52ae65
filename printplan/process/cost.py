"""What a build costs, and what the risk of failure adds."""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.errors import OutOfRangeError
from printplan.process.printer import Printer

__all__ = ["Prices", "cost_by_item", "expected_time_ratio", "machine_rate", "success_probability"]


@dataclass(frozen=True, kw_only=True)
class Prices:
    """What things cost where the user lives.

    Attributes
    ----------
    currency : str
        Three letters of ISO 4217.
    electricity_per_kwh : float
        Price of electricity. [currency/kWh]
    waste_fraction : float
        Filament thrown away beside the build (tails, tests), as a share of what it takes.
    labour_per_h, labour_h : float
        Price [currency/h] and amount [h] of work on each build; a hobby user's work is free.
    """

    currency: str = "EUR"
    electricity_per_kwh: float = 0.30
    waste_fraction: float = 0.03
    labour_per_h: float = 0.0
    labour_h: float = 0.0

    def __post_init__(self) -> None:
        for name in ("electricity_per_kwh", "waste_fraction", "labour_per_h", "labour_h"):
            value = getattr(self, name)
            if not (math.isfinite(value) and value >= 0):
                raise OutOfRangeError(name, value, "zero or more")


def success_probability(hours: float, failure_rate_per_h: float, start_failure: float) -> float:
    """Probability that a build comes out: (1 - p0) exp(-lambda t).

    Parameters
    ----------
    hours : float
        Printing time t. [h]
    failure_rate_per_h : float
        Rate lambda. [1/h]
    start_failure : float
        Probability p0 that the start fails.

    Returns
    -------
    float
        Probability, 0 to 1.

    Sources
    -------
    derived: constant rate, no early detection; early life and tall slender parts are worse.
    """
    return (1 - start_failure) * math.exp(-failure_rate_per_h * hours)


def expected_time_ratio(hours: float, failure_rate_per_h: float) -> float:
    """Machine time for one success over the time of one build: (exp(lambda t) - 1) / (lambda t).

    Parameters
    ----------
    hours : float
        Printing time t. [h]
    failure_rate_per_h : float
        Rate lambda; a failed build is begun again. [1/h]

    Returns
    -------
    float
        Ratio, at least 1; infinite where no build of that length ever comes out.
    """
    x = failure_rate_per_h * hours
    if x > 700:
        return math.inf
    return math.expm1(x) / x if x > 1e-12 else 1.0


def machine_rate(printer: Printer) -> float:
    """Wear and upkeep of the machine. [currency/h]

    Parameters
    ----------
    printer : Printer
        Price, life, upkeep.

    Returns
    -------
    float
        price / life + upkeep per hour.
    """
    return printer.price / printer.life_h + printer.upkeep_per_1000_h / 1000


def cost_by_item(
    *,
    mass_g: float,
    hours: float,
    energy_wh: float,
    price_per_kg: float,
    printer: Printer,
    prices: Prices,
) -> dict[str, float]:
    """Cost of one successful build.

    Parameters
    ----------
    mass_g, hours, energy_wh : float
        Filament [g], time [h] and mains energy [Wh] of one build.
    price_per_kg : float
        Price of the filament. [currency/kg]
    printer : Printer
        Wear, upkeep and failure rates.
    prices : Prices
        Electricity, waste, labour.

    Returns
    -------
    dict of str to float
        "filament" (with waste), "machine", "energy", "labour" and "failure risk", the expected
        cost of failed builds. [currency]

    Sources
    -------
    derived: failing at a constant rate, material, machine and energy are spent in proportion to
    (exp(lambda t) - 1)/(lambda t)/(1 - p0), labour in proportion to exp(lambda t)/(1 - p0).
    """
    rate, start = printer.failure_rate_per_h, printer.start_failure
    items = {
        "filament": mass_g / 1000 * price_per_kg * (1 + prices.waste_fraction),
        "machine": hours * machine_rate(printer),
        "energy": energy_wh / 1000 * prices.electricity_per_kwh,
        "labour": prices.labour_h * prices.labour_per_h,
    }
    per_hour = items["filament"] + items["machine"] + items["energy"]
    risk = per_hour * (expected_time_ratio(hours, rate) / (1 - start) - 1)
    success = success_probability(hours, rate, start)
    attempts = 1 / success if success > 0 else math.inf
    # An unlikely number of attempts must not turn free labour into "not a number".
    risk += items["labour"] * (attempts - 1) if items["labour"] else 0.0
    return items | {"failure risk": risk}
