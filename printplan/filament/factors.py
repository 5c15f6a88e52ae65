"""The factors of a strength, each with its origin: moisture, temperature, duration."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from printplan.errors import OutOfRangeError
from printplan.filament.creep import LONG_H, longest_temperature_degc, standing_fraction
from printplan.filament.demand import Duration
from printplan.filament.value import Axis, Bound, Retention, Value

if TYPE_CHECKING:
    from printplan.filament.grade import Filament

__all__ = [
    "Factor",
    "bearing_factor",
    "factor_of",
    "fatigue_factor",
    "moisture_factor",
    "retention_factor",
    "sustained_factor",
]

#: Longest life of the fatigue data that the table builds on.
_LONGEST_TESTED_CYCLES = 1e7


@dataclass(frozen=True, kw_only=True)
class Factor:
    """One factor of a strength with its origin.

    Attributes
    ----------
    value : float
        What the strength was multiplied with.
    label, source : str
        Origin.
    low, high : float or None
        Range of the value, None where none is known.
    condition : str
        How it was found or when it holds.
    citations : tuple of str
        Keys into ``sources.toml``.
    """

    value: float
    label: str
    source: str
    low: float | None = None
    high: float | None = None
    condition: str = ""
    citations: tuple[str, ...] = ()


def factor_of(value: Value, bound: Bound) -> Factor:
    """Turn a value of the table into a factor."""
    return Factor(
        value=value.at(bound),
        label=value.label,
        source=value.source,
        low=value.low,
        high=value.high,
        condition=value.condition,
        citations=value.citations,
    )


def moisture_factor(filament: Filament, name: str, bound: Bound) -> Factor:
    """Return strength or modulus of the conditioned nylon over the dry one."""
    return factor_of(filament.value(name, state="conditioned"), bound)


def _scatter_k(filament: Filament, bound: Bound) -> float:
    """Spread of glass transitions under one grade name, taken off for the lower bound. [K]"""
    return filament.rule("generic_grade_scatter").typical if bound == "lower" else 0.0


def _glass_transition(filament: Filament, bound: Bound) -> float:
    """Glass transition of an amorphous grade, less the scatter for the lower bound. [°C]"""
    return filament.value("glass_transition").typical - _scatter_k(filament, bound)


def retention_factor(
    filament: Filament,
    kind: str,
    axis: Axis,
    temperature_degc: float,
    bound: Bound,
    state: str | None,
    notes: list[str],
) -> Factor:
    """Return what is left of "strength" or "modulus" at a temperature, adding to `notes`.

    An amorphous grade keeps nothing at or above its glass transition; 10 K below it the curve is
    unreliable and a note says so. Nothing is counted beyond the last point of the curve.
    """
    curve = filament.retention(kind, axis, state)
    value = curve.at(temperature_degc, bound)
    if temperature_degc > curve.temperatures_degc[-1]:
        notes.append(
            f"{filament.name}: the {kind} curve ends at {curve.temperatures_degc[-1]:g} °C; "
            "nothing is counted beyond"
        )
    elif temperature_degc < curve.temperatures_degc[0]:
        notes.append("colder than 23 °C: counted as 23 °C; impact toughness is not judged")
    if filament.polymer_class == "amorphous":
        glass_degc = _glass_transition(filament, bound)
        doubtful_k = filament.rule("retention_unreliable_below_glass_transition").typical
        if temperature_degc >= glass_degc:
            value = 0.0
            notes.append(
                f"{filament.name} at {temperature_degc:.0f} °C is at or above its glass "
                f"transition ({glass_degc:.0f} °C): it bears nothing"
            )
        elif temperature_degc > glass_degc - doubtful_k:
            notes.append(
                f"{filament.name} at {temperature_degc:.0f} °C is within {doubtful_k:g} K of its "
                f"glass transition ({glass_degc:.0f} °C): the curve is unreliable there"
            )
    source = f"{curve.source}; {curve.condition}, half width {curve.width:g}"
    low, high = _curve_band(curve, temperature_degc, value)
    return Factor(
        value=value,
        label=curve.label,
        source=source,
        low=low,
        high=high,
        condition=curve.condition,
        citations=curve.citations,
    )


def _curve_band(
    curve: Retention, temperature_degc: float, value: float
) -> tuple[float | None, float | None]:
    """Low and high edge of the curve at a temperature; none where it was not used."""
    if temperature_degc <= curve.temperatures_degc[0] or value <= 0.0:
        return None, None
    middle = curve.at(temperature_degc, "typical")
    low = curve.at(temperature_degc, "lower")
    return low, min(1.0, 2.0 * middle - low)


def sustained_factor(
    filament: Filament,
    axis: Axis,
    temperature_degc: float,
    bound: Bound,
    notes: list[str],
    hours: float = LONG_H,
) -> Factor:
    """Fraction of the short-term strength at the same temperature that may stand for `hours`."""
    name = "allowable_sustained_fraction"
    rows = [v for v in filament.values if v.quantity == name and v.direction == axis]
    scale = 1.0
    if not rows:
        filament.value(name)
        rows = [v for v in filament.values if v.quantity == name and v.direction is None]
        if axis == "z":
            scale = filament.rule("sustained_across_to_in_layer_ratio").typical
    value = scale * _on_line(rows, temperature_degc)
    if axis == "z":
        value = min(value, filament.rule("sustained_across_layers_limit").typical)
    loss = filament.rule("sustained_loss_per_decade")
    value = standing_fraction(value, hours, loss.typical if loss.high is None else loss.high)
    limit_degc = longest_temperature_degc(filament, bound)
    if limit_degc is not None and temperature_degc > limit_degc:
        value = 0.0
        zero_k = filament.rule("sustained_zero_below_glass_transition").typical
        notes.append(
            f"{filament.name}: no sustained load above {limit_degc:.0f} °C, "
            f"{zero_k:g} K below its glass transition"
        )
    return replace(factor_of(rows[0], "typical"), value=value, low=None, high=None)


def bearing_factor(
    filament: Filament,
    duration: Duration,
    temperature_degc: float,
    bound: Bound,
    notes: list[str],
    hours: float = LONG_H,
) -> Factor:
    """Return the allowable fraction of compressive strength under a harder body's pressure.

    Once, repeated (whatever the number, one-sided), or standing: then no more than the grade's
    sustained fraction. The fractions hold their own margin.
    """
    rule = "bearing_allowable_repeated" if duration == "repeated" else "bearing_allowable_single"
    allowed = factor_of(filament.rule(rule), bound)
    if duration != "sustained":
        return allowed
    standing = sustained_factor(filament, "xy", temperature_degc, bound, notes, hours)
    return standing if standing.value < allowed.value else allowed


def _on_line(rows: list[Value], temperature_degc: float) -> float:
    """Interpolate in temperature; flat below the first row, the last slope goes on above."""
    points = sorted((v.temperature_degc or 23.0, v.typical) for v in rows)
    temperatures, fractions = zip(*points, strict=True)
    if len(points) > 1 and temperature_degc > temperatures[-1]:
        slope = (fractions[-1] - fractions[-2]) / (temperatures[-1] - temperatures[-2])
        return float(max(0.0, fractions[-1] + slope * (temperature_degc - temperatures[-1])))
    return float(np.interp(temperature_degc, temperatures, fractions))


def fatigue_factor(filament: Filament, cycles: float, bound: Bound, notes: list[str]) -> Factor:
    """Fraction of the static strength that may act `cycles` times, lower stress zero.

    Straight lines in log-log between (1, 1), (1e5, f5) and (1e6, f6); the last slope goes on
    beyond 1e6. Beyond 1e7 no curve was tested and a note says so.
    """
    if not (math.isfinite(cycles) and cycles >= 1.0):
        raise OutOfRangeError("cycles", cycles, "a finite number of loads, at least 1")
    last = filament.value("fatigue_fraction_1e6")
    middle = filament.find("fatigue_fraction_1e5")
    rows = [(6.0, last)] if middle is None else [(5.0, middle), (6.0, last)]
    log_cycles = math.log10(cycles)
    if cycles > _LONGEST_TESTED_CYCLES:
        notes.append(
            f"{cycles:.1e} loads: beyond the {_LONGEST_TESTED_CYCLES:.0e} of any fatigue test "
            "behind the table, continued along its last slope"
        )
    return replace(
        factor_of(last, bound),
        value=_on_log_lines([(n, v.at(bound)) for n, v in rows], log_cycles),
        low=_on_log_lines([(n, v.cautious) for n, v in rows], log_cycles),
        high=_on_log_lines([(n, v.high or v.typical) for n, v in rows], log_cycles),
    )


def _on_log_lines(rows: list[tuple[float, float]], log_cycles: float) -> float:
    """Read off straight lines in log-log from (1, 1) through `rows`; the last slope goes on."""
    points = [(0.0, 0.0), *((n, math.log10(fraction)) for n, fraction in rows)]
    (n0, f0), (n1, f1) = points[-2:]
    if log_cycles > n1:
        log_fraction = f1 + (f1 - f0) / (n1 - n0) * (log_cycles - n1)
    else:
        logs_n, logs_f = zip(*points, strict=True)
        log_fraction = float(np.interp(log_cycles, logs_n, logs_f))
    return float(10.0**log_fraction)
