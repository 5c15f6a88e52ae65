"""What is left of a bolt's preload when plastic is clamped: relaxation, heat, time.

A tightened bolt holds the plastic at a fixed displacement. The plastic relaxes, so the force
falls, and a hot day does in an afternoon what a cold year does not.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from printplan.errors import InputError, OutOfRangeError
from printplan.filament.creep import SHORT_H

if TYPE_CHECKING:
    from printplan.filament.grade import Filament

__all__ = ["ClampAdvice", "clamp_advice", "clamp_left", "clamp_left_by_time", "hot_clamp_mpa"]

#: Bolt over plastic stiffness of an M6 through a printed boss, and with a spring washer or a long
#: bolt: the two cases of the reference. [-]
STIFF_BOLT, SPRUNG_BOLT = 5.0, 0.5
#: Expansion of a steel bolt [memory: textbook value]. [1/K]
STEEL_EXPANSION_PER_K = 12e-6
#: At which the bolts were tightened. [°C]
TIGHTENED_DEGC = 23.0


@dataclass(frozen=True, kw_only=True)
class ClampAdvice:
    """What to expect of a bolted joint through plastic, and what to do.

    Attributes
    ----------
    left_fraction : float or None
        Preload left over preload tightened; None: not judged, a value is missing. [-]
    friction_holds : bool or None
        Whether any friction of the joint may be counted; None where it is not judged.
    rule : str
        The rule that decided, with its numbers.
    zero_above_degc : float or None
        Hotter than this no preload is counted. [°C]
    part_degc, hours : float
        What was asked. [°C], [h]
    pressure_mpa : float
        Largest lasting pressure under head or washer at that temperature, lower bound. [MPa]
    hot_extra_mpa : float or None
        Pressure that the hindered expansion adds while hot, at most. [MPa]
    lost_on_cooling_mpa : float or None
        What of it is missing after cooling, because it crept away. [MPa]
    remedies : tuple of str
        What to do, the surest first.
    source : str
        Origins of rule and values.
    notes : tuple of str
        What the reader must know.
    """

    left_fraction: float | None
    friction_holds: bool | None
    rule: str
    zero_above_degc: float | None
    part_degc: float
    hours: float
    pressure_mpa: float
    hot_extra_mpa: float | None
    lost_on_cooling_mpa: float | None
    remedies: tuple[str, ...]
    source: str
    notes: tuple[str, ...] = ()


def clamp_left(stiffness_ratio: float, relaxed_ratio: float) -> float:
    """Preload left after the plastic has relaxed: ``(1/kb + 1/kp) / (1/kb + 1/(kp r))``.

    Parameters
    ----------
    stiffness_ratio : float
        Bolt over plastic stiffness, kb/kp. [-]
    relaxed_ratio : float
        Relaxed over first modulus of the plastic, r = E(t, T)/E0, 0 to 1. [-]

    Returns
    -------
    float
        A stiff bolt keeps about r, a soft one or a spring washer more. [-]

    Raises
    ------
    OutOfRangeError
        If the ratio is not positive, or r outside 0 to 1.

    Sources
    -------
    derived  fixed displacement shared by two springs in series
    """
    if not (math.isfinite(stiffness_ratio) and stiffness_ratio > 0.0):
        raise OutOfRangeError("stiffness_ratio", stiffness_ratio, "a finite ratio above 0")
    if not 0.0 <= relaxed_ratio <= 1.0:
        raise OutOfRangeError("relaxed_ratio", relaxed_ratio, "a fraction from 0 to 1")
    if relaxed_ratio == 0.0:
        return 0.0
    return (1.0 + stiffness_ratio) / (1.0 + stiffness_ratio / relaxed_ratio)


def clamp_left_by_time(hours: float, exponent: float) -> float:
    """Preload left at room temperature: ``(t / t0) ** −n`` with t0 one minute.

    Parameters
    ----------
    hours : float
        Time since tightening; below a minute nothing is lost. [h]
    exponent : float
        n, 0.03 to 0.06 for engineering plastics at 23 °C. [-]

    Raises
    ------
    OutOfRangeError
        If the time is not positive and finite, or the exponent negative.

    Sources
    -------
    [memory: creep exponents of engineering plastics]  the power law; t0 is our choice
    """
    if not (math.isfinite(hours) and hours > 0.0):
        raise OutOfRangeError("hours", hours, "a finite time above 0 h")
    if not (math.isfinite(exponent) and exponent >= 0.0):
        raise OutOfRangeError("exponent", exponent, "a finite exponent, not negative")
    return float((max(hours, SHORT_H) / SHORT_H) ** -exponent)


def hot_clamp_mpa(
    modulus_mpa: float, plastic_per_k: float, bolt_per_k: float, rise_k: float
) -> float:
    """Pressure that hindered expansion adds under a stiff bolt: ``E (αp − αb) ΔT``. [MPa]

    Parameters
    ----------
    modulus_mpa : float
        Modulus of the plastic, at most. [MPa]
    plastic_per_k, bolt_per_k : float
        Linear expansions. [1/K]
    rise_k : float
        Warmer than when tightened. [K]

    Sources
    -------
    derived  strain mismatch, the bolt taken as rigid; it relaxes and is then lost on cooling
    """
    return modulus_mpa * (plastic_per_k - bolt_per_k) * rise_k


def clamp_advice(
    filament: Filament,
    part_degc: float,
    *,
    hours: float | None = None,
    stiffness_ratio: float = STIFF_BOLT,
    bolt_per_k: float = STEEL_EXPANSION_PER_K,
    state: str | None = None,
) -> ClampAdvice:
    """Say what a bolted joint through plastic keeps on the hot day, and what helps.

    Hotter than the glass transition − 40 K (− 5 K scatter of products) nothing is counted. Below,
    the smaller of the relaxation formula, with the creep modulus at temperature over the first
    modulus at room temperature, and the power law of time counts.

    Parameters
    ----------
    filament : Filament
        The grade of the clamped part.
    part_degc : float
        Its temperature on the hot day. [°C]
    hours : float, optional
        Time at that temperature in the part's life; None means the 300 h of the table. [h]
    stiffness_ratio : float
        Bolt over plastic stiffness. [-]
    bolt_per_k : float
        Expansion of the bolt. [1/K]
    state : str, optional
        Moisture state; None means the one the grade is judged in.

    Returns
    -------
    ClampAdvice

    Raises
    ------
    OutOfRangeError
        If a number is out of range.
    InputError
        If the grade lacks a strength, so that not even the pressure can be limited.

    Sources
    -------
    [common practice]  the 40 K rule, sleeve or positive shape, large washer with a quarter of the
    compressive yield, spring element, retightening after the first heat
    derived  relaxation formula; [memory] power law
    """
    hours = filament.rule("hot_hours_in_a_life").typical if hours is None else hours
    left, zero_degc, rule, notes = _left(filament, part_degc, hours, stiffness_ratio, state)
    extra_mpa, lost_mpa = _thermal(filament, part_degc, left, bolt_per_k, state)
    pressure_mpa = _pressure(filament, part_degc, state)
    limit = filament.rule("clamp_zero_below_glass_transition")
    return ClampAdvice(
        left_fraction=left,
        friction_holds=None if left is None else left > 0.0,
        rule=rule,
        zero_above_degc=zero_degc,
        part_degc=part_degc,
        hours=hours,
        pressure_mpa=pressure_mpa,
        hot_extra_mpa=extra_mpa,
        lost_on_cooling_mpa=lost_mpa,
        remedies=_remedies(left, pressure_mpa, stiffness_ratio, part_degc),
        source=f"rule {limit.origin}; relaxation formula derived",
        notes=notes,
    )


def _left(
    filament: Filament, part_degc: float, hours: float, stiffness_ratio: float, state: str | None
) -> tuple[float | None, float | None, str, tuple[str, ...]]:
    """Preload left, the temperature of the zero rule, the rule in words, notes."""
    resolved = filament.moisture_state(state)
    clamp_left(stiffness_ratio, 1.0)  # refuses a senseless ratio before any rule decides
    glass = filament.find("glass_transition", state=resolved)
    if glass is None:
        return None, None, f"not judged: {filament.name} has no glass_transition in the table", ()
    off_k = filament.rule("clamp_zero_below_glass_transition").typical
    scatter_k = filament.rule("generic_grade_scatter").typical
    zero_degc = glass.typical - off_k - scatter_k
    if not math.isfinite(part_degc):
        raise OutOfRangeError("part_degc", part_degc, "a finite temperature in °C")
    if part_degc > zero_degc:
        rule = (
            f"{filament.name} clamped at {part_degc:.0f} °C, hotter than its glass transition "
            f"{glass.typical:g} °C − {off_k:g} K − {scatter_k:g} K scatter: "
            "count no preload after the first hot day"
        )
        soft = zero_degc < TIGHTENED_DEGC
        notes = ("it creeps under a clamp even at room temperature",) if soft else ()
        return 0.0, zero_degc, rule, notes
    exponent = filament.rule("relaxation_exponent")
    by_time = clamp_left_by_time(hours, exponent.high or exponent.typical)
    try:
        crept = filament.creep_modulus(hours, part_degc, "xy", "lower", state=state)
    except InputError as error:
        if isinstance(error, OutOfRangeError):
            raise
        return None, zero_degc, f"not judged: {error}", ()
    first_mpa = filament.modulus_mpa(TIGHTENED_DEGC, "xy", "lower", state=state)
    relaxed = clamp_left(stiffness_ratio, min(1.0, crept.modulus_mpa / first_mpa))
    rule = (
        f"{filament.name} relaxes at {part_degc:.0f} °C within {hours:g} h to "
        f"{min(relaxed, by_time):.0%} of the preload"
    )
    return min(relaxed, by_time), zero_degc, rule, crept.notes


def _thermal(
    filament: Filament,
    part_degc: float,
    left: float | None,
    bolt_per_k: float,
    state: str | None,
) -> tuple[float | None, float | None]:
    """Extra pressure while hot and what of it is missing after cooling."""
    expansion = filament.expansion_per_k("xy")
    if expansion is None:
        return None, None
    modulus_mpa = filament.modulus_mpa(part_degc, "xy", "typical", state=state)
    rise_k = max(0.0, part_degc - TIGHTENED_DEGC)
    extra_mpa = max(0.0, hot_clamp_mpa(modulus_mpa, expansion, bolt_per_k, rise_k))
    return extra_mpa, extra_mpa * (1.0 - (left or 0.0))


def _pressure(filament: Filament, part_degc: float, state: str | None) -> float:
    """Lasting pressure: the sustained fraction of compressive strength, a quarter at most."""
    found = filament.strength("bearing", part_degc, duration="sustained", state=state)
    share = found.factors["allowable"].value
    limit = filament.rule("clamp_pressure_limit").typical
    return found.strength_mpa * (min(share, limit) / share if share > 0.0 else 0.0)


def _remedies(
    left: float | None, pressure_mpa: float, stiffness_ratio: float, part_degc: float
) -> tuple[str, ...]:
    lines = [
        "put a metal sleeve through the plastic, so that bolt, sleeve and metal clamp each other",
        "carry the load by shape: pin, shoulder, key or pocket, not by friction",
    ]
    if pressure_mpa > 0.0:
        lines.append(
            f"large washer: no more than {pressure_mpa:.2g} MPa under it at {part_degc:.0f} °C"
        )
    else:
        lines.append(
            f"no washer is large enough: it bears no lasting pressure at {part_degc:.0f} °C"
        )
    if left is not None and 0.0 < left < 1.0 and stiffness_ratio > SPRUNG_BOLT:
        # r from F/F0 by the same formula turned round, then for the softer bolt
        relaxed = stiffness_ratio / ((1.0 + stiffness_ratio) / left - 1.0)
        sprung = clamp_left(SPRUNG_BOLT, relaxed)
        lines.append(f"spring washers or a long thin bolt: would keep about {sprung:.0%}")
    lines.append("tighten again after the first hot day")
    lines.append("secure the nut by shape (locking insert or pin), not by its friction")
    return tuple(lines)
