"""One value of the material table with its origin, and one curve over temperature."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

__all__ = ["Axis", "Bound", "Label", "Remark", "Retention", "Source", "Value"]

#: Where a value comes from: read in an opened document, a fact of the trade, or recalled.
Label = Literal["source", "memory", "common practice"]
#: "xy" lies in the layer, "z" runs across the layers.
Axis = Literal["xy", "z"]
#: "lower" is about the 5 % fractile and the cautious end of every factor.
Bound = Literal["lower", "typical"]


@dataclass(frozen=True, kw_only=True)
class Source:
    """A publication or other origin, as listed in ``materials/sources.toml``.

    Attributes
    ----------
    kind : str
        "opened" (the part under `read` was read), "recalled", "trade" or "own".
    """

    id: str
    kind: str
    authors: str
    year: str
    title: str
    where: str
    read: str

    @property
    def text(self) -> str:
        """The citation as one line."""
        year = "" if self.year == "not noted" else f", {self.year}"
        where = f", {self.where}" if self.where else ""
        return f"{self.authors}{year}: {self.title}{where}"


@dataclass(frozen=True, kw_only=True)
class Value:
    """One number of the material table.

    Attributes
    ----------
    quantity : str
        What it is, as in the list of ``materials/README.md``.
    typical, low, high : float
        Best value and range; the range is None where none is known.
    unit, condition : str
        Unit, and how it was measured or when it holds.
    direction, state, temperature_degc, cycles, hours
        Where it depends on these: "xy" or "z", "dry" or "conditioned", [°C], number of loads, [h].
    label : str
        Kind of origin.
    citations : tuple of str
        Keys into ``sources.toml``.
    source, note : str
        The citations as text, and a remark on what was taken from them.
    low_means : str
        "range", or "5 % fractile" where `low` is a lower bound derived from coupons.
    own : bool
        Whether it comes from a file of the user, not from the shipped table.
    """

    quantity: str
    typical: float
    low: float | None = None
    high: float | None = None
    unit: str
    condition: str
    label: Label
    citations: tuple[str, ...]
    source: str
    note: str = ""
    direction: Axis | None = None
    state: str | None = None
    temperature_degc: float | None = None
    cycles: float | None = None
    hours: float | None = None
    low_means: Literal["range", "5 % fractile"] = "range"
    own: bool = False

    @property
    def key(self) -> tuple[object, ...]:
        """What makes the value unique inside a grade."""
        return (
            *(self.quantity, self.direction, self.state),
            *(self.temperature_degc, self.cycles, self.hours),
        )

    @property
    def cautious(self) -> float:
        """The low end, or the typical value where no range is known."""
        return self.typical if self.low is None else self.low

    def at(self, bound: Bound) -> float:
        """Give the low end for "lower", else the typical value."""
        return self.cautious if bound == "lower" else self.typical

    @property
    def origin(self) -> str:
        """Label and citations in one line."""
        return f"[{self.label}: {self.source}]"


@dataclass(frozen=True, kw_only=True)
class Retention:
    """What is left of strength or modulus at a temperature, as a fraction of the 23 °C value.

    Attributes
    ----------
    quantity : str
        "strength" or "modulus".
    temperatures_degc, fractions : tuple of float
        Rising temperatures, the first 23 °C with fraction 1; fractions never rise. [°C], [-]
    width : float
        Half width of the band about the curve.
    direction, state
        None where the curve holds for all.
    own : bool
        Whether it comes from a file of the user.
    """

    quantity: Literal["strength", "modulus"]
    temperatures_degc: tuple[float, ...]
    fractions: tuple[float, ...]
    width: float
    condition: str
    label: Label
    citations: tuple[str, ...]
    source: str
    note: str = ""
    direction: Axis | None = None
    state: str | None = None
    own: bool = False

    @property
    def origin(self) -> str:
        """Label and citations in one line."""
        return f"[{self.label}: {self.source}]"

    def at(self, temperature_degc: float, bound: Bound) -> float:
        """Interpolate the curve linearly, or its lower edge.

        Cold earns no credit (1.0 up to 23 °C); beyond the last point nothing is left (0.0).
        The lower edge is each point less `width`, not below zero; 23 °C itself is exact.
        """
        if temperature_degc > self.temperatures_degc[-1]:
            return 0.0
        fractions = np.array(self.fractions)
        if bound == "lower":
            fractions[1:] = np.maximum(fractions[1:] - self.width, 0.0)
        return float(np.interp(temperature_degc, self.temperatures_degc, fractions))


@dataclass(frozen=True, kw_only=True)
class Remark:
    """A finding about a grade that is no number; `topic` "weather" goes to the outdoor verdict."""

    text: str
    label: Label
    citations: tuple[str, ...]
    source: str
    note: str = ""
    topic: str = ""

    @property
    def origin(self) -> str:
        """Label and citations in one line."""
        return f"[{self.label}: {self.source}]"
