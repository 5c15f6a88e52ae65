"""Strength and stiffness of a grade for one load: direction, temperature, duration, moisture.

The rule: static strength at 23 °C × ratio of the kind of stress × moisture × retention at the
temperature × one of (sustained fraction, fatigue fraction). Nothing is counted twice: a load is
either sustained or repeated, and the fractions apply to the strength at the same temperature and
in the same moisture state.

The lower bound is about the 5 % fractile of the product: the typical value of everything, times
one joint scatter. Base and factors are uncertain for reasons of their own (product and machine,
curves recalled, fatigue of another product), so the logarithms of low end over typical add up by
root sum of squares, as for independent log-normal factors. Only the sustained fraction carries no
scatter: it is a working-stress rule with its margin already inside. A grade at or above its glass
transition bears nothing.

Pressure of a harder body is held against allowable fractions of the compressive strength, which
hold a margin of their own; whoever judges asks for less safety there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from printplan.errors import InputError, OutOfRangeError
from printplan.filament.creep import LONG_H
from printplan.filament.demand import Direction, Duration
from printplan.filament.factors import (
    Factor,
    bearing_factor,
    factor_of,
    fatigue_factor,
    moisture_factor,
    retention_factor,
    sustained_factor,
)
from printplan.filament.value import Axis, Bound, Value

if TYPE_CHECKING:
    from printplan.filament.grade import Filament

__all__ = ["Strength", "modulus_of", "strength_of"]


@dataclass(frozen=True, kw_only=True)
class Strength:
    """What a place of a part can bear.

    Attributes
    ----------
    strength_mpa : float
        `base_mpa` times all `factors`. [MPa]
    base_mpa : float
        Typical static tensile strength at 23 °C, dry, in the layer or across. [MPa]
    base_source : str
        Its origin.
    factors : dict of str to Factor
        In the order in which they were applied.
    direction, duration, cycles, temperature_degc, bound, state, hours
        What was asked; `hours` only for sustained loads. [h]
    notes : tuple of str
        What the reader must know.
    base : Value or None
        The table's value behind `base_mpa`.
    weaker_elsewhere : tuple of Value
        Strengths in the same direction that other sources put below the lower bound.
    """

    strength_mpa: float
    base_mpa: float
    base_source: str
    factors: dict[str, Factor] = field(default_factory=dict)
    direction: Direction
    duration: Duration
    cycles: float
    temperature_degc: float
    bound: Bound
    state: str | None
    hours: float | None = None
    notes: tuple[str, ...] = ()
    base: Value | None = None
    weaker_elsewhere: tuple[Value, ...] = ()


def strength_of(
    filament: Filament,
    direction: Direction,
    temperature_degc: float,
    *,
    duration: Duration = "single",
    cycles: float = 1.0,
    bound: Bound = "lower",
    state: str | None = None,
    hours: float | None = None,
) -> Strength:
    """Strength of `filament` for one load.

    Parameters
    ----------
    filament : Filament
        The grade.
    direction : Direction
        How the stress lies to the layers.
    temperature_degc : float
        Temperature of the part. [°C]
    duration : Duration
        "single", "repeated" (then `cycles` times) or "sustained".
    cycles : float
        Number of loads in the part's life; only used for "repeated". [-]
    bound : Bound
        "lower" (about the 5 % fractile) or "typical".
    state : str, optional
        "dry" or "conditioned"; None means the state the grade is judged in.
    hours : float, optional
        How long a sustained load stands, all spells together; None means 1000 h. [h]

    Returns
    -------
    Strength
        With base, factors, their origins and notes.

    Raises
    ------
    OutOfRangeError
        If the temperature is not finite, `cycles` is below 1 or `hours` out of range.
    InputError
        If the grade lacks a value that the question needs, or `hours` comes with a load that
        isn't sustained.
    UnknownNameError
        If the moisture state is unknown.

    Sources
    -------
    derived  product of the factors; each factor carries its own origin
    [source: Naval Postgraduate School, Materials 2024, 17(22), 5394, abstract]  one normalised
    fatigue curve per grade with the static strength of each direction is enough
    """
    if not math.isfinite(temperature_degc):
        raise OutOfRangeError("temperature_degc", temperature_degc, "a finite temperature in °C")
    if duration == "repeated" and not (math.isfinite(cycles) and cycles >= 1.0):
        raise OutOfRangeError("cycles", cycles, "a finite number of loads, at least 1")
    if hours is not None and duration != "sustained":
        raise InputError(f'hours = {hours!r} goes with the duration "sustained", not "{duration}"')
    stands_h = LONG_H if hours is None else hours
    resolved = filament.moisture_state(state)
    notes: list[str] = []
    if state is not None and resolved is None:
        notes.append(f"{filament.name}: the table knows no moisture states of this grade")
    if resolved == "dry":
        notes.append(
            f"{filament.name}: dry strength holds only while the part is kept dry; "
            "in room air it takes up water within weeks"
        )
    axis: Axis = "z" if direction in ("interlayer tension", "interlayer shear") else "xy"

    def product(which: Bound, to: list[str]) -> tuple[float, str, dict[str, Factor]]:
        base_mpa, origin = _base(filament, axis, which)
        found = _kind_of_stress(filament, direction, which)
        if resolved == "conditioned":
            found["moisture"] = moisture_factor(filament, "conditioned_strength_factor", which)
        found["retention"] = retention_factor(
            filament, "strength", axis, temperature_degc, which, resolved, to
        )
        if direction == "bearing":
            found["allowable"] = bearing_factor(
                filament, duration, temperature_degc, which, to, stands_h
            )
        elif duration == "sustained":
            found["sustained"] = sustained_factor(
                filament, axis, temperature_degc, which, to, stands_h
            )
        elif duration == "repeated":
            found["fatigue"] = fatigue_factor(filament, cycles, which, to)
        return base_mpa, origin, found

    base_mpa, base, factors = product("typical", notes if bound == "typical" else [])
    if bound == "lower":
        low_mpa, _, low = product("lower", notes)
        factors["joint scatter"] = _joint_scatter(
            [(low_mpa, base_mpa), *((low[k].value, f.value) for k, f in factors.items())]
        )
    strength_mpa = base_mpa * math.prod(f.value for f in factors.values())
    return Strength(
        strength_mpa=strength_mpa,
        base_mpa=base_mpa,
        base_source=base,
        factors=factors,
        direction=direction,
        duration=duration,
        cycles=cycles,
        temperature_degc=temperature_degc,
        bound=bound,
        state=resolved,
        hours=stands_h if duration == "sustained" else None,
        notes=tuple(notes),
        base=filament.value("tensile_strength", axis),
        weaker_elsewhere=_weaker_elsewhere(filament, axis),
    )


def _weaker_elsewhere(filament: Filament, axis: Axis) -> tuple[Value, ...]:
    """Return what other sources say, where it lies below the lower bound of the table."""
    value = filament.value("tensile_strength", axis)
    lower_mpa, _ = _static(filament, axis, "lower")
    return tuple(
        other
        for other in filament.alternatives
        if (other.quantity, other.direction, other.state) == value.key[:3]
        and other.typical < lower_mpa
    )


def _joint_scatter(pairs: list[tuple[float, float]]) -> Factor:
    """Combine (low, typical) pairs: exp(-sqrt(sum of ln(low/typical)^2)); zero if one is."""
    value = 0.0
    if all(low > 0.0 and typical > 0.0 for low, typical in pairs):
        value = math.exp(-math.hypot(*(math.log(low / typical) for low, typical in pairs)))
    return Factor(
        value=value,
        label="derived",
        source="low ends over typical values, joined as independent log-normal factors",
    )


def modulus_of(
    filament: Filament,
    temperature_degc: float,
    axis: Axis = "xy",
    bound: Bound = "typical",
    state: str | None = None,
) -> float:
    """Short-term tensile modulus at temperature. [MPa]

    Modulus at 23 °C × moisture factor × retention. A grade without a modulus across the layers
    gets the in-layer one times the general ratio.

    Raises
    ------
    OutOfRangeError
        If the temperature is not finite.
    InputError
        If the grade has no modulus.
    """
    if not math.isfinite(temperature_degc):
        raise OutOfRangeError("temperature_degc", temperature_degc, "a finite temperature in °C")
    resolved = filament.moisture_state(state)
    modulus_mpa = _modulus_at_23(filament, "xy", bound)
    if axis == "z":
        if filament.find("tensile_modulus", "z") is not None:
            modulus_mpa = min(modulus_mpa, _modulus_at_23(filament, "z", bound))
        else:
            modulus_mpa *= filament.rule("modulus_z_to_xy_ratio").at(bound)
    if resolved == "conditioned":
        modulus_mpa *= moisture_factor(filament, "conditioned_modulus_factor", bound).value
    retained = retention_factor(filament, "modulus", axis, temperature_degc, bound, resolved, [])
    return modulus_mpa * retained.value


def _modulus_at_23(filament: Filament, axis: Axis, bound: Bound) -> float:
    value = filament.value("tensile_modulus", axis)
    if bound == "lower" and value.low is None:
        return value.typical * filament.rule("modulus_low_to_typical_ratio").typical
    return value.at(bound)


def _base(filament: Filament, axis: Axis, bound: Bound) -> tuple[float, str]:
    """Return static tensile strength at 23 °C and origin; across is never above in-layer."""
    strength_mpa, source = _static(filament, axis, bound)
    if axis == "z":
        in_layer_mpa, _ = _static(filament, "xy", bound)
        strength_mpa = min(strength_mpa, in_layer_mpa)
    return strength_mpa, source


def _static(filament: Filament, axis: Axis, bound: Bound) -> tuple[float, str]:
    """One rule for the lower bound of every grade.

    Where the low end is a 5 % fractile derived from coupons, that; else the lower of the low end
    and the typical value times the general ratio of fractile to typical, because the range of one
    spool or one paper says nothing about the next spool on another machine.
    """
    value = filament.value("tensile_strength", axis)
    if bound == "typical":
        return value.typical, value.origin
    if value.low_means == "5 % fractile":
        return value.cautious, value.origin
    ratio = filament.rule("lower_to_typical_strength", axis)
    from_scatter = value.typical * ratio.typical
    if from_scatter < value.cautious:
        return from_scatter, f"{value.origin} × {ratio.typical:g} {ratio.origin}"
    return value.cautious, value.origin


def _kind_of_stress(filament: Filament, direction: Direction, bound: Bound) -> dict[str, Factor]:
    """Ratio of the strength for this kind of stress to the tensile strength of its axis.

    Shear between layers is limited by the tensile strength across them, so its ratio applies to
    that strength, and never gives more than the in-layer shear of the grade.
    """
    match direction:
        case "in-layer shear":
            return {"shear ratio": factor_of(filament.value("shear_to_tensile_ratio"), bound)}
        case "bearing":
            return {
                "bearing ratio": factor_of(filament.value("compressive_to_tensile_ratio"), bound)
            }
        case "interlayer shear":
            ratio = factor_of(filament.rule("interlayer_shear_to_tensile_ratio"), bound)
            in_layer = filament.value("shear_to_tensile_ratio").at(bound)
            cap = in_layer * _base(filament, "xy", bound)[0] / _base(filament, "z", bound)[0]
            return {"interlayer shear ratio": replace(ratio, value=min(ratio.value, cap))}
        case _:
            return {}
