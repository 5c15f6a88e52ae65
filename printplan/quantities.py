"""Text with a unit becomes a plain float in the unit that the program uses inside.

In: text such as ``"14 in"``, ``"48 N*m"``, ``"95 degF"``, ``"12 %"``, ``"20 EUR/kg"``.
Out: a float in mm, N, MPa, g, s, °C and what follows from them. The unit registry (pint) is built
on first use, because building it takes a quarter of a second.
"""

from __future__ import annotations

import math
import re
from functools import cache
from typing import TYPE_CHECKING

from printplan.errors import InputError, one_line

if TYPE_CHECKING:
    from pint import UnitRegistry

__all__ = ["DIMENSIONS", "parse_money", "parse_quantity", "show_duration", "show_quantity"]

#: Unit used inside → (what it measures, an example for messages).
DIMENSIONS: dict[str, tuple[str, str]] = {
    "mm": ("length", "120 mm"),
    "mm**2": ("area", "30 mm^2"),
    "mm/s": ("speed", "12 km/h"),
    "g": ("mass", "35 kg"),
    "N": ("force", "300 N"),
    "N*mm": ("torque", "48 N*m"),
    "N*mm/A": ("torque constant", "0.09 N*m/A"),
    "N/mm": ("stiffness", "60 N/mm"),
    "MPa": ("stress", "20 MPa"),
    "s": ("time", "8 h"),
    "degC": ("temperature", "38 degC"),
    "W": ("power", "500 W"),
    "W/m**2": ("irradiance", "950 W/m^2"),
    "m/s": ("speed", "1 m/s"),
    "V": ("voltage", "36 V"),
    "A": ("current", "25 A"),
    "ohm": ("resistance", "0.15 ohm"),
    "deg": ("angle", "20 deg"),
    "mm/s**2": ("acceleration", "1000 mm/s^2"),
    "mm**3/s": ("flow", "11 mm^3/s"),
    "": ("plain number or percentage", "0.4 or 40 %"),
}

_NUMBER = re.compile(r"\s*([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*)\Z", re.DOTALL)
_MONEY = re.compile(r"\s*(\d+(?:\.\d*)?|\.\d+)\s*([A-Z]{3})\s*(?:/\s*([A-Za-z]+))?\s*\Z")
_ALLOWED_UNIT = re.compile(r"[A-Za-z°µ%*/^()\d\s.\-]*\Z")


@cache
def _registry() -> UnitRegistry[float]:
    from pint import UnitRegistry

    return UnitRegistry()


def _split(text: str, name: str, unit: str) -> tuple[float, str]:
    what, example = DIMENSIONS.get(unit, (f"value in {unit}", f"1 {unit}"))
    match = _NUMBER.match(text)
    if match is None or len(text) > 100 or not _ALLOWED_UNIT.match(match[2]):
        raise InputError(
            one_line(f"{name} = {text!r}: expected a {what} with its unit, such as {example!r}")
        )
    number = float(match[1])
    if not math.isfinite(number):
        raise InputError(one_line(f"{name} = {text!r}: expected a finite {what}"))
    return number, match[2].strip()


def parse_quantity(text: str, unit: str, name: str = "value") -> float:
    """Read a number with a unit and convert it.

    Parameters
    ----------
    text : str
        What the user wrote, such as ``"14 in"``.
    unit : str
        The unit wanted, in pint's notation; ``""`` for a plain number or a percentage.
    name : str
        What the value is called in messages.

    Returns
    -------
    float
        The value in `unit`; temperatures are absolute readings in degC, not differences.

    Raises
    ------
    InputError
        If there is no number, no unit where one is needed, or a unit of another dimension.

    Examples
    --------
    >>> parse_quantity("14 in", "mm")
    355.6
    >>> parse_quantity("95 degF", "degC")
    35.0
    >>> parse_quantity("40 %", "")
    0.4
    """
    number, written = _split(text, name, unit)
    what, example = DIMENSIONS.get(unit, (f"value in {unit}", f"1 {unit}"))
    if unit == "":
        if written not in ("", "%"):
            raise InputError(
                one_line(f"{name} = {text!r}: expected a {what}, such as {example}, without unit")
            )
        return number / 100 if written == "%" else number
    if written == "":
        raise InputError(
            one_line(f"{name} = {text!r}: expected a {what} with its unit, such as {example!r}")
        )
    import pint

    registry = _registry()
    spelled = written.replace("°C", "degC").replace("°F", "degF").replace("%", "percent")
    try:
        value = registry.Quantity(number, spelled).to(unit).magnitude
    except pint.DimensionalityError as error:
        raise InputError(
            one_line(
                f"{name} = {text!r}: expected a {what} such as {example!r}; "
                f"{written!r} measures something else"
            )
        ) from error
    except Exception as error:  # pint raises many kinds for unknown or malformed units
        raise InputError(
            one_line(
                f"{name} = {text!r}: expected a {what} such as {example!r}; "
                f"the unit {written!r} is not known"
            )
        ) from error
    value = float(value)
    if not math.isfinite(value):
        raise InputError(one_line(f"{name} = {text!r}: expected a finite {what}"))
    # Binary conversion factors leave dust such as 355.59999999999997.
    return float(f"{value:.12g}")


def parse_money(text: str, per: str | None = None, name: str = "price") -> tuple[float, str]:
    """Read an amount of money, such as ``"20 EUR/kg"``.

    Parameters
    ----------
    text : str
        Amount, three-letter ISO 4217 code and, where `per` is given, the unit it pays for.
    per : str or None
        ``"kg"``, ``"h"`` or ``"kWh"`` where the price is per unit.
    name : str
        What the value is called in messages.

    Returns
    -------
    (float, str)
        Amount and currency code.

    Raises
    ------
    InputError
        If the text has another form or pays for something else.
    """
    example = f"20 EUR/{per}" if per else "300 EUR"
    match = _MONEY.match(text) if len(text) <= 40 else None
    if match is None or (match[3] or None) != per:
        raise InputError(one_line(f"{name} = {text!r}: expected an amount such as {example!r}"))
    return float(match[1]), match[2]


def show_quantity(value: float, unit: str, digits: int = 3) -> str:
    """Write a value with a sensible number of digits and its unit, for people."""
    return f"{value:.{digits}g} {unit}".rstrip()


def show_duration(seconds: float) -> str:
    """Write a duration as people say it: ``"50 min"``, ``"7 h 20 min"``."""
    minutes = round(seconds / 60)
    if minutes < 60:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60:02d} min"
