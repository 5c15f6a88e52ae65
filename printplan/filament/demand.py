"""What a load asks of a spot of printed plastic: the common currency of elements and stress."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

__all__ = ["Demand", "Direction", "Duration"]

#: How the stress lies to the layers. "bearing" is pressure of a harder body on plastic.
Direction = Literal[
    "in-layer tension", "interlayer tension", "in-layer shear", "interlayer shear", "bearing"
]

#: "single": a rare overload; "repeated": `Demand.cycles` times in the part's life;
#: "sustained": stands for hours (clamped, parked, hung up).
Duration = Literal["single", "repeated", "sustained"]


@dataclass(frozen=True, kw_only=True)
class Demand:
    """One stress that one load case puts on one place of a part.

    Attributes
    ----------
    name : str
        Where and what: "tooth root bending", "socket corner pressure".
    case : str
        The load case that causes it.
    stress_mpa : float
        Stress with all `factors` in it. [MPa]
    direction, duration
        How it lies to the layers and how long it lasts.
    cycles : float
        Number of times in the part's life; 1 for single and sustained loads.
    formula : str
        The formula with its symbols.
    terms : dict of str to float
        The symbols' values; the unit is part of the key ("F_t [N]").
    factors : dict of str to float
        Factors that are inside `stress_mpa`, one by one, so that none is counted twice.
    source : str
        Origin of the formula, with its label.
    asked : float or None
        Safety factor asked of this demand alone, where it differs from the part's: a fault that
        may only just not break the part.
    notes : tuple of str
        What the reader must know: assumptions, validity.
    """

    name: str
    case: str
    stress_mpa: float
    direction: Direction
    duration: Duration
    cycles: float = 1.0
    formula: str = ""
    terms: dict[str, float] = field(default_factory=dict)
    factors: dict[str, float] = field(default_factory=dict)
    source: str = ""
    asked: float | None = None
    notes: tuple[str, ...] = ()
