"""Highest temperature at which a part of a grade keeps its shape under its load."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from printplan.errors import OutOfRangeError
from printplan.filament.value import Value

if TYPE_CHECKING:
    from printplan.filament.grade import Filament

__all__ = ["SofteningLimit", "StressKind", "limit_of"]

#: "sustained": stands for hours; "shape only": own weight; "short": seconds to minutes.
StressKind = Literal["sustained", "shape only", "short"]

#: Outer-fibre stresses of the two deflection tests, ISO 75 [memory]. [MPa]
_LOW_STRESS_MPA, _HIGH_STRESS_MPA = 0.45, 1.80


@dataclass(frozen=True, kw_only=True)
class SofteningLimit:
    """A temperature limit, or the reason why there is none.

    Attributes
    ----------
    limit_degc : float or None
        None: not judged, a value is missing. [°C]
    governing : str
        The rule that gave the limit, with its numbers.
    source : str
        Origin of the rule and of the values in it.
    notes : tuple of str
        What the reader must know.
    doubts : tuple of str
        Those of the notes that say how the value behind the limit may be wrong.
    """

    limit_degc: float | None
    governing: str
    source: str
    notes: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()


def limit_of(
    filament: Filament,
    stress_kind: StressKind,
    stress_mpa: float | None = None,
    state: str | None = None,
) -> SofteningLimit:
    """Highest temperature of a part under a kind of load.

    Amorphous: glass transition − 20 K under a standing load, − 10 K under a short one; for the
    shape alone the lower of glass transition − 10 K and deflection temperature at 0.45 MPa − 5 K.
    Semi-crystalline: the deflection temperature at the stress that acts − 10 K (from 1.80 MPa up
    the value at 1.80 MPa, below interpolated linearly to the value at 0.45 MPa), and no more than
    the maximum service temperature. Elastomer: the maximum service temperature. In every case
    5 K less than the typical value gives, the scatter of products under one grade name.

    Parameters
    ----------
    filament : Filament
        The grade.
    stress_kind : StressKind
        Kind of load.
    stress_mpa : float, optional
        Stress that acts; only semi-crystalline grades need it. Unknown counts as 1.80 MPa, except
        for "shape only". [MPa]
    state : str, optional
        "dry" or "conditioned".

    Returns
    -------
    SofteningLimit
        `limit_degc` None where a value is missing: then nothing may be passed.

    Raises
    ------
    OutOfRangeError
        If the stress is negative or not finite.
    UnknownNameError
        If the moisture state is unknown.

    Sources
    -------
    [common practice]  the margins 20, 10, 5, 10 and 5 K
    [source: Bennin, Ricci, Ediger 2019, abstract]  PLA glass 15 to 25 K below its glass transition
    relaxes up to 30 times faster under deformation
    """
    if stress_mpa is not None and not 0.0 <= stress_mpa < float("inf"):
        raise OutOfRangeError("stress_mpa", stress_mpa, "a finite stress, not negative")
    resolved = filament.moisture_state(state)
    if filament.polymer_class == "amorphous":
        return _amorphous(filament, stress_kind)
    if filament.polymer_class == "semi-crystalline":
        return _semi_crystalline(filament, stress_kind, stress_mpa, resolved)
    service = filament.find("max_service_temperature")
    if service is None:
        return _not_judged(filament, "max_service_temperature")
    scatter_k = filament.rule("generic_grade_scatter").typical
    return SofteningLimit(
        limit_degc=service.typical - scatter_k,
        governing=f"maximum service temperature {service.typical:g} °C − {scatter_k:g} K scatter",
        source=service.origin,
        notes=("an elastomer: deformation, not softening, limits it",),
    )


def _amorphous(filament: Filament, stress_kind: StressKind) -> SofteningLimit:
    glass = filament.find("glass_transition")
    if glass is None:
        return _not_judged(filament, "glass_transition")
    scatter_k = filament.rule("generic_grade_scatter").typical
    margin = filament.rule(
        "glass_transition_margin_sustained"
        if stress_kind == "sustained"
        else "glass_transition_margin_shape"
    )
    candidates = [
        (
            glass.typical - margin.typical - scatter_k,
            f"glass transition {glass.typical:g} °C − {margin.typical:g} K "
            f"− {scatter_k:g} K scatter",
            glass,
        )
    ]
    if stress_kind == "shape only":
        deflection = filament.find("hdt_0p45")
        if deflection is None:
            return _not_judged(filament, "hdt_0p45")
        off_k = filament.rule("deflection_margin_shape").typical
        candidates.append(
            (
                deflection.typical - off_k - scatter_k,
                f"deflection temperature at 0.45 MPa {deflection.typical:g} °C − {off_k:g} K "
                f"− {scatter_k:g} K scatter",
                deflection,
            )
        )
    limit_degc, governing, value = min(candidates, key=lambda c: c[0])
    return SofteningLimit(
        limit_degc=limit_degc,
        governing=governing,
        source=f"rule {margin.origin}; value {value.origin}",
        notes=_doubts(value),
        doubts=_doubts(value),
    )


def _semi_crystalline(
    filament: Filament, stress_kind: StressKind, stress_mpa: float | None, state: str | None
) -> SofteningLimit:
    high, low = filament.find("hdt_1p8"), filament.find("hdt_0p45")
    if high is None or low is None:
        return _not_judged(filament, "hdt_1p8" if high is None else "hdt_0p45")
    if stress_mpa is None:
        stress_mpa = 0.0 if stress_kind == "shape only" else _HIGH_STRESS_MPA
    deflection_degc = float(
        np.interp(stress_mpa, (_LOW_STRESS_MPA, _HIGH_STRESS_MPA), (low.typical, high.typical))
    )
    margin = filament.rule("deflection_margin_semi_crystalline")
    scatter_k = filament.rule("generic_grade_scatter").typical
    limit_degc = deflection_degc - margin.typical - scatter_k
    governing = (
        f"deflection temperature {deflection_degc:.0f} °C at {stress_mpa:.3g} MPa "
        f"− {margin.typical:g} K − {scatter_k:g} K scatter"
    )
    used = high if stress_mpa >= _HIGH_STRESS_MPA else low
    source = f"rule {margin.origin}; value {used.origin}"
    service = filament.find("max_service_temperature")
    if service is not None and service.typical < limit_degc:
        limit_degc = service.typical
        governing = f"maximum service temperature {service.typical:g} °C (long-term oxidation)"
        source = service.origin
    notes = [
        "semi-crystalline: a deflection temperature alone passes nothing, "
        "the strength at temperature must hold too",
        *_doubts(used),
    ]
    if state == "conditioned":
        moist = filament.find("glass_transition", state="conditioned")
        fallen = (
            f"to about {moist.typical:g} °C" if moist is not None and moist.state else "far below"
        )
        notes.append(
            f"conditioned: the glass transition has fallen {fallen}, "
            "so the part is soft long before the deflection temperature of the dry grade"
        )
    if filament.polymer == "PLA":
        notes.append("holds only for a part that was really annealed; else judge it as plain PLA")
    return SofteningLimit(
        limit_degc=limit_degc,
        governing=governing,
        source=source,
        notes=tuple(notes),
        doubts=_doubts(used),
    )


def _doubts(value: Value) -> tuple[str, ...]:
    """Say so when the range of a value reaches far below the typical one that was used."""
    if value.low is None or value.typical - value.low <= 10.0:
        return ()
    return (
        f"{value.quantity} of products under this name runs down to {value.low:g} {value.unit}: "
        "check the spool's data sheet",
    )


def _not_judged(filament: Filament, missing: str) -> SofteningLimit:
    return SofteningLimit(
        limit_degc=None,
        governing=f"not judged: {filament.name} has no {missing} in the table",
        source="",
        notes=("a missing temperature passes nothing",),
    )
