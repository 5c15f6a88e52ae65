"""Field types of the job file: text with a unit outside, a plain float inside."""

from __future__ import annotations

import math
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

from printplan.errors import InputError
from printplan.quantities import DIMENSIONS, parse_money, parse_quantity

__all__ = [
    "Amperes",
    "Angle",
    "Area",
    "Count",
    "Duration",
    "Fraction",
    "Irradiance",
    "JobModel",
    "Length",
    "Mass",
    "Money",
    "MoneyPerHour",
    "MoneyPerKilogramme",
    "MoneyPerKilowattHour",
    "Ohms",
    "Position",
    "Power",
    "Ratio",
    "SignedForce",
    "SignedLength",
    "SignedTorque",
    "Slope",
    "Speed",
    "Stiffness",
    "Temperature",
    "TorqueConstant",
    "Volts",
    "Whole",
    "Wind",
]


class JobModel(BaseModel):
    """Base of every table of the job file: unknown keys are errors, values don't change."""

    model_config = ConfigDict(extra="forbid", frozen=True, validate_default=False)


def _reader(
    unit: str,
    above: float | None = None,
    least: float | None = None,
    below: float | None = None,
    most: float | None = None,
) -> BeforeValidator:
    """Read text with a unit and hold the value to a range; messages speak in the unit inside."""
    what, example = DIMENSIONS[unit]
    shown = {"": "", "degC": " degC"}.get(unit, f" {unit.replace('**', '^')}")

    def read(value: Any) -> float:
        if unit == "" and isinstance(value, (int, float)) and not isinstance(value, bool):
            number = float(value)
        elif isinstance(value, str):
            try:
                number = parse_quantity(value, unit)
            except InputError as error:
                raise ValueError(str(error).split(": ", 1)[1]) from error
        else:
            raise ValueError(f"expected a {what} as text with its unit, such as {example!r}")
        for limit, beyond, word in (
            (above, above is not None and number <= above, "above"),
            (least, least is not None and number < least, "of at least"),
            (below, below is not None and number >= below, "below"),
            (most, most is not None and number > most, "of at most"),
        ):
            if beyond:
                raise ValueError(f"expected a {what} {word} {limit:g}{shown}")
        if not math.isfinite(number):
            raise ValueError(f"expected a finite {what}")
        return number

    return BeforeValidator(read)


def _schema(unit: str) -> WithJsonSchema:
    what, example = DIMENSIONS[unit]
    if unit == "":
        return WithJsonSchema(
            {"type": ["number", "string"], "description": f"a {what}", "examples": [0.4, "40 %"]}
        )
    return WithJsonSchema(
        {"type": "string", "description": f"a {what} with its unit", "examples": [example]}
    )


def _money_reader(per: str | None) -> BeforeValidator:
    def read(value: Any) -> tuple[float, str]:
        if not isinstance(value, str):
            raise ValueError(f"expected money as text, such as '20 EUR{'/' + per if per else ''}'")
        try:
            return parse_money(value, per)
        except InputError as error:
            raise ValueError(str(error).split(": ", 1)[1]) from error

    return BeforeValidator(read)


def _money_schema(per: str | None) -> WithJsonSchema:
    example = f"20 EUR/{per}" if per else "300 EUR"
    return WithJsonSchema({"type": "string", "description": "money", "examples": [example]})


Length = Annotated[float, _reader("mm", above=0, most=1e10), _schema("mm")]
SignedLength = Annotated[float, _reader("mm", least=-1e6, most=1e6), _schema("mm")]
Area = Annotated[float, _reader("mm**2", above=0, most=1e9), _schema("mm**2")]
Duration = Annotated[float, _reader("s", above=0, most=1e7), _schema("s")]
Speed = Annotated[float, _reader("mm/s", above=0, most=1e5), _schema("mm/s")]
Mass = Annotated[float, _reader("g", least=0, most=1e7), _schema("g")]
SignedForce = Annotated[float, _reader("N", least=-1e6, most=1e6), _schema("N")]
SignedTorque = Annotated[float, _reader("N*mm", least=-1e9, most=1e9), _schema("N*mm")]
TorqueConstant = Annotated[float, _reader("N*mm/A", above=0), _schema("N*mm/A")]
Stiffness = Annotated[float, _reader("N/mm", above=0), _schema("N/mm")]
Temperature = Annotated[float, _reader("degC", above=-273.15, below=500), _schema("degC")]
Power = Annotated[float, _reader("W", above=0), _schema("W")]
Irradiance = Annotated[float, _reader("W/m**2", least=0, most=1500), _schema("W/m**2")]
Wind = Annotated[float, _reader("m/s", least=0, most=60), _schema("m/s")]
Volts = Annotated[float, _reader("V", above=0, most=1000), _schema("V")]
Amperes = Annotated[float, _reader("A", above=0, most=2000), _schema("A")]
Ohms = Annotated[float, _reader("ohm", above=0), _schema("ohm")]
Angle = Annotated[float, _reader("deg", least=0, most=360), _schema("deg")]
Fraction = Annotated[float, _reader("", least=0, most=1), _schema("")]
Slope = Annotated[float, _reader("", least=0, below=1), _schema("")]
Ratio = Annotated[float, _reader("", above=0, most=1e4), _schema("")]
Count = Annotated[float, _reader("", least=1, most=1e9), _schema("")]
Money = Annotated[tuple[float, str], _money_reader(None), _money_schema(None)]
MoneyPerKilogramme = Annotated[tuple[float, str], _money_reader("kg"), _money_schema("kg")]
MoneyPerHour = Annotated[tuple[float, str], _money_reader("h"), _money_schema("h")]
MoneyPerKilowattHour = Annotated[tuple[float, str], _money_reader("kWh"), _money_schema("kWh")]
#: A whole number; TOML's true and 2.0 are none.
Whole = Annotated[int, Field(strict=True)]
Position = tuple[SignedLength, SignedLength, SignedLength]
