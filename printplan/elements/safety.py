"""Base safety factor for people after Pugsley, from five judgements.

n = n1 n2: n1 from material, stress analysis and load control; n2 from danger and economic impact.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from printplan.errors import UnknownNameError

__all__ = ["Quality", "RequiredSafetyFactor", "Severity", "required_safety_factor"]

#: Very good, good, fair, poor.
Quality = Literal["very good", "good", "fair", "poor"]
#: Severity of the outcome.
Severity = Literal["not serious", "serious", "very serious"]

_QUALITIES: tuple[str, ...] = get_args(Quality)
_SEVERITIES: tuple[str, ...] = get_args(Severity)

#: n1 by (material and workmanship, stress analysis) for load control very good to poor: the rows
#: that were read [source: Pugsley]; the full table has 16.
_FIRST: dict[tuple[str, str], tuple[float, float, float, float]] = {
    ("very good", "very good"): (1.10, 1.30, 1.50, 1.70),
    ("good", "good"): (1.45, 1.75, 2.05, 2.35),
    ("fair", "good"): (1.70, 2.05, 2.40, 2.75),
    ("fair", "fair"): (1.90, 2.30, 2.70, 3.10),
    ("poor", "fair"): (2.20, 2.65, 3.10, 3.55),
    ("poor", "poor"): (2.45, 2.95, 3.45, 3.95),
}
#: n2 by danger to people, for economic impact not serious to very serious [source: Pugsley].
_SECOND: dict[str, tuple[float, float, float]] = {
    "not serious": (1.0, 1.0, 1.2),
    "serious": (1.2, 1.3, 1.4),
    "very serious": (1.4, 1.5, 1.6),
}


@dataclass(frozen=True, kw_only=True)
class RequiredSafetyFactor:
    """Safety factor to ask for, with its two parts.

    Attributes
    ----------
    factor, first, second : float
        n = n1 n2, n1 and n2.
    notes : tuple of str
        Which row stood in where the asked one wasn't read.
    """

    factor: float
    first: float
    second: float
    notes: tuple[str, ...] = ()


def required_safety_factor(
    material: Quality,
    analysis: Quality,
    load_control: Quality,
    danger: Severity,
    economic: Severity = "not serious",
) -> RequiredSafetyFactor:
    """Safety factor to ask for on the strength, before the plastic's own reductions.

    Home-printed plastic, closed formulas and road loads are fair to poor, good to fair, fair.
    Where the asked pair of material and analysis is not among the rows that were read, the mildest
    row that is no better in either stands in, and the result says so.

    Parameters
    ----------
    material, analysis, load_control : Quality
        Material and workmanship; stress analysis; control over the load.
    danger, economic : Severity
        Outcome of a break for people; for the purse.

    Returns
    -------
    RequiredSafetyFactor

    Raises
    ------
    UnknownNameError
        For a word that is not one of the table's.

    Sources
    -------
    [source: Pugsley]  six rows of n1 and all of n2
    [common practice]  where home-printed plastic stands
    """
    for name, word in (
        ("material quality", material),
        ("analysis quality", analysis),
        ("load control", load_control),
    ):
        if word not in _QUALITIES:
            raise UnknownNameError(name, word, _QUALITIES)
    for name, severity in (("danger", danger), ("economic impact", economic)):
        if severity not in _SEVERITIES:
            raise UnknownNameError(name, severity, _SEVERITIES)
    column = _QUALITIES.index(load_control)
    no_better = [
        pair
        for pair in _FIRST
        if _QUALITIES.index(pair[0]) >= _QUALITIES.index(material)
        and _QUALITIES.index(pair[1]) >= _QUALITIES.index(analysis)
    ]
    row = min(no_better, key=lambda pair: _FIRST[pair][column])
    notes: tuple[str, ...] = ()
    if row != (material, analysis):
        notes = (
            f"material {material} with analysis {analysis}: that row was not read; "
            f"{row[0]} with {row[1]} stands in",
        )
    first = _FIRST[row][column]
    second = _SECOND[danger][_SEVERITIES.index(economic)]
    return RequiredSafetyFactor(factor=first * second, first=first, second=second, notes=notes)
