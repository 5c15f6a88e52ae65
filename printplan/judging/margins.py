"""A demand against what a filament bears at a temperature."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from printplan.filament.demand import Demand

if TYPE_CHECKING:
    from printplan.filament import Filament, Strength
    from printplan.filament.value import Bound

__all__ = ["Check", "check_demand"]


@dataclass(frozen=True, kw_only=True)
class Check:
    """One demand, the strength against it, and the safety factors.

    Attributes
    ----------
    demand : Demand
        The stress and where it comes from.
    strength, strength_hottest : Strength
        Lower bound of strength at the design and at the upper temperature.
    safety, safety_hottest : float
        Strength over stress at the lower bound, at the design and at the upper temperature.
    safety_typical : float
        The same at typical strength and design temperature.
    required : float
        Safety factor asked for.
    """

    demand: Demand
    strength: Strength
    strength_hottest: Strength
    safety: float
    safety_hottest: float
    safety_typical: float
    required: float

    @property
    def holds(self) -> bool:
        """Whether the required factor is there at the design temperature."""
        return self.safety >= self.required

    @property
    def holds_hottest(self) -> bool:
        """Whether the required factor is there even at the upper temperature."""
        return self.safety_hottest >= self.required

    def to_dict(self) -> dict[str, Any]:
        """Return the check with units in the keys."""
        return {
            "name": self.demand.name,
            "case": self.demand.case,
            "stress_mpa": self.demand.stress_mpa,
            "direction": self.demand.direction,
            "duration": self.demand.duration,
            "cycles": self.demand.cycles,
            "formula": self.demand.formula,
            "terms": self.demand.terms,
            "factors": self.demand.factors,
            "source": self.demand.source,
            "notes": list(self.demand.notes),
            "strength_mpa": self.strength.strength_mpa,
            "strength_hottest_mpa": self.strength_hottest.strength_mpa,
            "safety": self.safety,
            "safety_hottest": self.safety_hottest,
            "safety_typical": self.safety_typical,
            "required": self.required,
        }


def check_demand(
    demand: Demand,
    filament: Filament,
    *,
    design_degc: float,
    upper_degc: float,
    required: float,
    state: str | None = None,
) -> Check:
    """Compare `demand` with the strength of `filament` at both temperatures.

    Parameters
    ----------
    demand : Demand
        Stress with its direction and duration.
    filament : Filament
        The grade.
    design_degc, upper_degc : float
        Part temperature on the hot day, design value and upper bound. [degC]
    required : float
        Safety factor asked for.
    state : str or None
        Moisture state of a nylon; None: as the grade is judged by default.

    Returns
    -------
    Check
        With infinite safety where the stress is zero.
    """

    def strength(degc: float, bound: Bound) -> Strength:
        return filament.strength(
            demand.direction,
            degc,
            duration=demand.duration,
            cycles=demand.cycles,
            bound=bound,
            state=state,
        )

    lower, hottest = strength(design_degc, "lower"), strength(upper_degc, "lower")
    typical = strength(design_degc, "typical")

    def safety(strength: Strength) -> float:
        if demand.stress_mpa <= 0:
            return math.inf
        return strength.strength_mpa / demand.stress_mpa

    return Check(
        demand=demand,
        strength=lower,
        strength_hottest=hottest,
        safety=safety(lower),
        safety_hottest=safety(hottest),
        safety_typical=safety(typical),
        required=required,
    )
