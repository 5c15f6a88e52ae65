"""Time under load: how far the modulus creeps away, and what share of the strength may stand.

Both laws are straight lines over the logarithm of time, from one minute (the length of a tensile
test) through the values of the table. The published creep moduli of polycarbonate lie on such a
line; for printed parts no complete curve could be read, so the lines are weak and say so.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from printplan.errors import InputError, OutOfRangeError
from printplan.filament.value import Axis, Bound, Value

if TYPE_CHECKING:
    from printplan.filament.grade import Filament

__all__ = [
    "CreepModulus",
    "creep_modulus_of",
    "longest_temperature_degc",
    "standing_fraction",
]

#: The short-term test behind a strength or a modulus takes about a minute. [h]
SHORT_H = 1.0 / 60.0
#: Where the table gives its long-term values. [h]
LONG_H = 1000.0
#: Eleven years; no creep test of such plastics reaches farther [memory: ISO 899-1 practice]. [h]
LONGEST_H = 1e5


@dataclass(frozen=True, kw_only=True)
class CreepModulus:
    """Stiffness after a time under load.

    Attributes
    ----------
    modulus_mpa, short_term_mpa : float
        Creep modulus after `hours`, and the short-term modulus at the same temperature. [MPa]
    fraction : float
        The one over the other. [-]
    hours, temperature_degc : float
        What was asked. [h], [°C]
    label, source : str
        Origin of the creep values.
    notes : tuple of str
        What the reader must know.
    """

    modulus_mpa: float
    short_term_mpa: float
    fraction: float
    hours: float
    temperature_degc: float
    label: str
    source: str
    notes: tuple[str, ...] = ()

    @property
    def deflection_growth(self) -> float:
        """Deflection after `hours` over the deflection at once, under a constant load. [-]"""
        return math.inf if self.fraction <= 0.0 else 1.0 / self.fraction


def creep_modulus_of(
    filament: Filament,
    hours: float,
    temperature_degc: float = 23.0,
    axis: Axis = "xy",
    bound: Bound = "typical",
    state: str | None = None,
) -> CreepModulus:
    """Creep modulus: short-term modulus at temperature × fraction left after a time.

    The fraction is 1 at one minute and runs straight over log time through the
    ``creep_modulus_fraction`` values of the grade; beyond the last one its slope goes on to 1e5 h.

    Parameters
    ----------
    filament : Filament
        The grade.
    hours : float
        Time under load; below a minute counts as a minute. [h]
    temperature_degc : float
        Temperature of the part. [°C]
    axis : Axis
        "xy" in the layer, "z" across.
    bound : Bound
        "lower" takes the low ends of modulus, retention and fraction.
    state : str, optional
        Moisture state; None means the one the grade is judged in.

    Returns
    -------
    CreepModulus
        Zero where an amorphous grade bears no sustained load any more.

    Raises
    ------
    OutOfRangeError
        If the time is not positive or beyond 1e5 h, or the temperature is not finite.
    InputError
        If the grade has no creep value: then its deflection over time is not judged.

    Sources
    -------
    [source: PTH Group sheet R22 and Kern sheet R21, ISO 899-1]  moulded PC 2400 MPa short, 2200
    after 1 h, 1900 after 1000 h: on one line over log time from a minute on, within 0.01
    derived  the line; [memory: Findley, Lai & Onaran] a power of time is the usual finer law
    """
    _check_hours(hours)
    rows = sorted(
        (v for v in filament.values if v.quantity == "creep_modulus_fraction"),
        key=lambda v: v.hours or LONG_H,
    )
    if not rows:
        raise InputError(
            f"grade {filament.grade!r} has no creep_modulus_fraction: its deflection over time is "
            "not judged; add the value with its origin to the grade's file"
        )
    short_mpa = filament.modulus_mpa(temperature_degc, axis, bound, state=state)
    fraction = _fraction(rows, hours, bound)
    notes = []
    if hours > (rows[-1].hours or LONG_H):
        notes.append(
            f"{hours:.3g} h: beyond the last creep value ({rows[-1].hours or LONG_H:g} h), "
            "continued along its slope"
        )
    limit_degc = longest_temperature_degc(filament, bound)
    if limit_degc is not None and temperature_degc > limit_degc:
        fraction = 0.0
        notes.append(f"{filament.name}: creeps without end above {limit_degc:.0f} °C")
    elif temperature_degc > 30.0:
        notes.append(
            "the creep fraction was found at room temperature; warm plastic creeps faster, so "
            "expect more"
        )
    return CreepModulus(
        modulus_mpa=short_mpa * fraction,
        short_term_mpa=short_mpa,
        fraction=fraction,
        hours=hours,
        temperature_degc=temperature_degc,
        label=rows[-1].label,
        source=rows[-1].source,
        notes=tuple(notes),
    )


def _fraction(rows: list[Value], hours: float, bound: Bound) -> float:
    points = [(math.log10(SHORT_H), 1.0)]
    points += [(math.log10(v.hours or LONG_H), v.at(bound)) for v in rows]
    log_hours = math.log10(hours)
    (t0, f0), (t1, f1) = points[-2:]
    if log_hours > t1:
        return max(0.0, f1 + (f1 - f0) / (t1 - t0) * (log_hours - t1))
    times, fractions = zip(*points, strict=True)
    return float(np.interp(log_hours, times, fractions))


def standing_fraction(allowable: float, hours: float, loss_per_decade: float) -> float:
    """Share of the short-term strength that may stand for a time.

    Our rule: 1 for a minute, the allowable sustained fraction at 1000 h, straight over log time
    between. Beyond, the allowable falls as the strength itself does: by `loss_per_decade` of the
    one-minute strength per tenfold time.

    Parameters
    ----------
    allowable : float
        Working-stress fraction for 1000 h, with its margin inside. [-]
    hours : float
        Time under load, all spells together. [h]
    loss_per_decade : float
        Fall of the creep-rupture strength. [-]

    Returns
    -------
    float
        Never above 1; exactly `allowable` at 1000 h. [-]

    Raises
    ------
    OutOfRangeError
        If the time is not positive or beyond 1e5 h.

    Sources
    -------
    derived  the line between the two ends
    [memory: general creep-rupture literature]  glassy polymers lose 6 to 10 % per decade at 23 °C;
    the line is steeper than that for every allowable up to 0.5, so on the safe side
    """
    _check_hours(hours)
    decades = math.log10(LONG_H / SHORT_H)
    if hours <= LONG_H:
        gone = math.log10(max(hours, SHORT_H) / SHORT_H) / decades
        return (1.0 - gone) + allowable * gone
    then = 1.0 - loss_per_decade * decades
    return allowable * (then - loss_per_decade * math.log10(hours / LONG_H)) / then


def longest_temperature_degc(filament: Filament, bound: Bound) -> float | None:
    """Highest temperature at which an amorphous grade bears a standing load; else None. [°C]

    The glass transition less 15 K, and less the scatter of products for the lower bound.
    """
    if filament.polymer_class != "amorphous":
        return None
    scatter = filament.rule("generic_grade_scatter").typical if bound == "lower" else 0.0
    away_k = filament.rule("sustained_zero_below_glass_transition").typical
    return filament.value("glass_transition").typical - scatter - away_k


def _check_hours(hours: float) -> None:
    if not 0.0 < hours <= LONGEST_H:
        raise OutOfRangeError(
            "hours", hours, f"a time under load above 0 h and up to {LONGEST_H:.0e} h (11 years)"
        )
