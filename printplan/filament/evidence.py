"""How good the evidence behind a strength is: its weak points and its honest width.

The number alone hides that one strength rests on dozens of coupons and the next on a curve
recalled from moulding sheets. Both are told from the labels and citations that every value
carries, so that a user's own measurement takes its weak point away.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from printplan.filament.demand import Direction, Duration
from printplan.filament.factors import Factor
from printplan.filament.strength import Strength, strength_of
from printplan.filament.value import Value

if TYPE_CHECKING:
    from printplan.filament.grade import Filament

__all__ = ["Evidence", "Quality", "evidence_of", "weak_points"]

#: "solid": many spools or handbooks agree; "fair": something recalled; "weak": guessed somewhere.
Quality = Literal["solid", "fair", "weak"]

_ANALOGY = "analogy"
_JOINT = "joint scatter"


@dataclass(frozen=True, kw_only=True)
class Evidence:
    """What the evidence behind one strength is worth.

    Attributes
    ----------
    low_mpa, typical_mpa, high_mpa : float
        Lower bound, typical strength, and as far above it as the ranges of the values reach. [MPa]
    quality : str
        "solid", "fair" or "weak".
    weak_points : tuple of str
        What the number rests on that is recalled, guessed, or contradicted.
    """

    low_mpa: float
    typical_mpa: float
    high_mpa: float
    quality: Quality
    weak_points: tuple[str, ...]

    @property
    def text(self) -> str:
        """The width in one line."""
        return (
            f"{self.typical_mpa:.3g} MPa ({self.low_mpa:.3g} to {self.high_mpa:.3g}), "
            f"evidence {self.quality}"
        )


def evidence_of(
    filament: Filament,
    direction: Direction,
    temperature_degc: float,
    *,
    duration: Duration = "single",
    cycles: float = 1.0,
    state: str | None = None,
    hours: float | None = None,
) -> Evidence:
    """Width and weak points of one strength; parameters and errors as for `strength_of`.

    The upper end joins the high ends as the lower bound joins the low ones: the logarithms of
    high over typical by root sum of squares. The sustained fraction stays at its typical value on
    both sides, because it is a working-stress rule.

    Returns
    -------
    Evidence

    Sources
    -------
    derived  the joint width; the labels are those of the table
    """
    lower, typical = (
        strength_of(
            filament,
            direction,
            temperature_degc,
            duration=duration,
            cycles=cycles,
            bound=bound,
            state=state,
            hours=hours,
        )
        for bound in ("lower", "typical")
    )
    ends: list[Value | Factor] = list(typical.factors.values())
    if typical.base is not None:
        ends.append(typical.base)
    above = math.hypot(*(_log_high(end) for end in ends))
    return Evidence(
        low_mpa=lower.strength_mpa,
        typical_mpa=typical.strength_mpa,
        high_mpa=typical.strength_mpa * math.exp(above),
        quality=_quality(typical),
        weak_points=weak_points(lower),
    )


def weak_points(strength: Strength) -> tuple[str, ...]:
    """Name what a strength rests on that is not measured on prints of the grade.

    Parameters
    ----------
    strength : Strength
        Any strength of `Filament.strength`.

    Returns
    -------
    tuple of str
        One short sentence each; empty where base and factors were all read in sources.
    """
    points = []
    if strength.base is not None:
        points += _weak_base(strength.base)
    for name, factor in strength.factors.items():
        if name != _JOINT and (text := _weak_factor(name, factor)):
            points.append(text)
    for other in strength.weaker_elsewhere:
        points.append(
            f"another source gives less than the lower bound: {other.typical:g} MPa "
            f"({other.condition})"
        )
    return tuple(points)


def _weak_base(base: Value) -> list[str]:
    where = "strength across the layers" if base.direction == "z" else "strength in the layer"
    points = []
    if base.label != "source":
        points.append(f"{where} is {_how(base)}: {base.typical:g} MPa{_range(base.low, base.high)}")
    elif base.low_means == "range" and not base.own:
        points.append(
            f"{where} rests on little: {base.condition}; "
            "its lower bound is taken from the scatter of other grades"
        )
    if base.label == "source" and "moulded" in base.condition:
        points.append(f"{where} was measured on moulded bars, not on prints")
    return points


def _weak_factor(name: str, factor: Factor) -> str | None:
    if factor.label == "source" and _ANALOGY not in factor.citations:
        moulded = "moulded" in factor.condition
        return f"{name} was measured on moulded bars, not on prints" if moulded else None
    if name == "retention":
        if factor.high is None:
            return None  # at room temperature and below nothing was read off the curve
        return f"retention curve is {_how(factor)}: {factor.value:.2f}{_range(factor.low, None)}"
    return f"{name} is {_how(factor)}: {factor.value:.2f}{_range(factor.low, factor.high)}"


def _how(origin: Value | Factor) -> str:
    if _ANALOGY in origin.citations:
        return "estimated by analogy"
    return "a rule of the trade" if origin.label == "common practice" else "recalled, not measured"


def _range(low: float | None, high: float | None) -> str:
    if low is None and high is None:
        return ""
    if high is None:
        return f" (down to {low:.3g})"
    return f" (up to {high:.3g})" if low is None else f" ({low:.3g} to {high:.3g})"


def _log_high(end: Value | Factor) -> float:
    typical = end.typical if isinstance(end, Value) else end.value
    if end.high is None or typical <= 0.0 or end.high <= typical:
        return 0.0
    return math.log(end.high / typical)


def _quality(strength: Strength) -> Quality:
    base = strength.base
    guessed = any(_ANALOGY in f.citations for f in strength.factors.values())
    if guessed or base is None or base.label != "source":
        return "weak"
    return "fair" if weak_points(strength) else "solid"
