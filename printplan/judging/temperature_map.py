"""The map: how the safety of a part in a filament falls as the part gets hotter."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from printplan.judging.margins import Check

if TYPE_CHECKING:
    from printplan.filament import Filament

__all__ = ["MAP_DEGC", "TemperatureMap", "temperature_map"]

#: Temperatures of the map: from room temperature to where the hottest parts of a vehicle get.
MAP_DEGC: tuple[float, ...] = tuple(float(t) for t in range(24, 122, 2))


@dataclass(frozen=True, kw_only=True)
class TemperatureMap:
    """Safety over asked safety at part temperatures, at the lower bound of strength.

    Attributes
    ----------
    degc : tuple of float
        Part temperatures. [°C]
    margin : tuple of float
        Least safety over asked safety of all checks at each; 1 is just enough.
    enough_up_to_degc : float or None
        Highest temperature at which every check still holds, None where none does. [°C]
    softens_at_degc : float or None
        The shape's limit under this kind of load; beyond it the margin says nothing. [°C]
    """

    degc: tuple[float, ...]
    margin: tuple[float, ...]
    enough_up_to_degc: float | None
    softens_at_degc: float | None

    def at(self, degc: float) -> float:
        """Margin at a temperature, interpolated; flat outside the map."""
        return float(np.interp(degc, self.degc, self.margin))

    def to_dict(self) -> dict[str, Any]:
        """Return plain values, units in the keys."""
        return {
            "part_degc": list(self.degc),
            "margin": list(self.margin),
            "enough_up_to_degc": self.enough_up_to_degc,
            "softens_at_degc": self.softens_at_degc,
        }


def temperature_map(
    filament: Filament,
    checks: Sequence[Check],
    softens_at_degc: float | None,
    *,
    state: str | None = None,
    degc: Sequence[float] = MAP_DEGC,
) -> TemperatureMap | None:
    """Work out the least margin of all checks over part temperatures.

    Parameters
    ----------
    filament : Filament
        The grade.
    checks : sequence of Check
        The checks of a verdict; their stresses don't depend on temperature.
    softens_at_degc : float or None
        Softening limit under this kind of load. [°C]
    state : str or None
        Moisture state of a nylon.
    degc : sequence of float
        Temperatures, ascending. [°C]

    Returns
    -------
    TemperatureMap or None
        None without a check.
    """
    if not checks:
        return None
    # The same kind of load on the same direction bears the same strength: the harshest demand of
    # each kind stands for all.
    hardest: dict[tuple[str, str, float], float] = {}
    for check in checks:
        demand = check.demand
        key = (demand.direction, demand.duration, demand.cycles)
        hardest[key] = max(hardest.get(key, 0.0), demand.stress_mpa * check.required)
    margin = [
        min(
            filament.strength(
                direction,  # type: ignore[arg-type]
                t,
                duration=duration,  # type: ignore[arg-type]
                cycles=cycles,
                state=state,
            ).strength_mpa
            / asked_mpa
            if asked_mpa > 0
            else math.inf
            for (direction, duration, cycles), asked_mpa in hardest.items()
        )
        for t in degc
    ]
    held = [t for t, m in zip(degc, margin, strict=True) if m >= 1.0]
    return TemperatureMap(
        degc=tuple(float(t) for t in degc),
        margin=tuple(margin),
        enough_up_to_degc=max(held, default=None),
        softens_at_degc=softens_at_degc,
    )
