"""Strength and stiffness of a grade for one load: direction, temperature, duration, moisture.

The rule: static strength at 23 °C × ratio of the kind of stress × moisture × retention at the
temperature × one of (sustained fraction, fatigue fraction). Nothing is counted twice: a load is
either sustained or repeated, and the fractions apply to the strength at the same temperature and
in the same moisture state.

The lower bound takes the lower bound of the static strength (about the 5 % fractile of a coupon
from any spool on any machine) and the cautious end of every factor. Only the sustained fraction
stays at its typical value: it is a working-stress rule with its margin already inside.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from printplan.errors import OutOfRangeError
from printplan.filament.demand import Direction, Duration
from printplan.filament.factors import (
    Factor,
    factor_of,
    fatigue_factor,
    moisture_factor,
    retention_factor,
    sustained_factor,
)
from printplan.filament.value import Axis, Bound

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
        Static tensile strength at 23 °C, dry, in the layer or across. [MPa]
    base_source : str
        Its origin.
    factors : dict of str to Factor
        In the order in which they were applied.
    direction, duration, cycles, temperature_degc, bound, state
        What was asked.
    notes : tuple of str
        What the reader must know.
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
    notes: tuple[str, ...] = ()


def strength_of(
    filament: Filament,
    direction: Direction,
    temperature_degc: float,
    *,
    duration: Duration = "single",
    cycles: float = 1.0,
    bound: Bound = "lower",
    state: str | None = None,
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

    Returns
    -------
    Strength
        With base, factors, their origins and notes.

    Raises
    ------
    OutOfRangeError
        If the temperature is not finite or `cycles` is below 1.
    InputError
        If the grade lacks a value that the question needs.
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
    resolved = filament.moisture_state(state)
    notes: list[str] = []
    if state is not None and resolved is None:
        notes.append(f"{filament.name}: the table knows no moisture states of this grade")
    axis: Axis = "z" if direction in ("interlayer tension", "interlayer shear") else "xy"
    base_mpa, base = _base(filament, axis, bound)
    factors = _kind_of_stress(filament, direction, bound)
    if resolved == "conditioned":
        factors["moisture"] = moisture_factor(filament, "conditioned_strength_factor", bound)
    factors["retention"] = retention_factor(
        filament, "strength", axis, temperature_degc, bound, resolved, notes
    )
    if duration == "sustained":
        factors["sustained"] = sustained_factor(filament, axis, temperature_degc, bound, notes)
    elif duration == "repeated":
        factors["fatigue"] = fatigue_factor(filament, cycles, bound, notes)
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
        notes=tuple(notes),
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
