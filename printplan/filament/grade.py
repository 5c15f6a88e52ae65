"""One filament grade: its values and the questions that the checks ask of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Literal

from printplan.errors import InputError, UnknownNameError
from printplan.filament import creep as _creep
from printplan.filament import needs as _needs
from printplan.filament import softening as _softening
from printplan.filament import strength as _strength
from printplan.filament.demand import Direction, Duration
from printplan.filament.value import Axis, Bound, Remark, Retention, Source, Value

__all__ = ["Filament", "PolymerClass"]

PolymerClass = Literal["amorphous", "semi-crystalline", "elastomer"]


@dataclass(frozen=True, kw_only=True, eq=False)
class Filament:
    """A generic filament grade with every value's origin.

    Attributes
    ----------
    grade, name, aliases : str
        Key in the table, name for people, other names that find it.
    polymer : str
        Family whose glass transition band holds: "PLA", "PETG", "PA", …
    polymer_class : str
        "amorphous", "semi-crystalline" or "elastomer", in the state it is used in.
    states, judged_state
        Moisture states of a nylon and the one it is judged in unless told otherwise; else empty
        and None.
    values : tuple of Value
        The design values: printed, as used.
    retentions : tuple of Retention
        Strength and modulus over temperature.
    alternatives : tuple of Value
        What other sources say; kept so that disagreement stays visible.
    remarks : tuple of Remark
        Findings without a number.
    rules : tuple of Value
        What holds for every grade (``general.toml``).
    own : bool
        Whether the grade, or an override of it, comes from a file of the user.
    based_on : str or None
        Grade whose values fill what that file leaves out; the grade itself for an override.
    own_sources : tuple of Source
        Sources that the user's file names.
    sold_as : str or None
        For a grade in a chosen moisture state ("pa6 dry"): name of the grade on the spool.
    """

    grade: str
    name: str
    polymer: str
    polymer_class: PolymerClass
    summary: str
    values: tuple[Value, ...]
    retentions: tuple[Retention, ...]
    rules: tuple[Value, ...]
    alternatives: tuple[Value, ...] = ()
    remarks: tuple[Remark, ...] = ()
    aliases: tuple[str, ...] = ()
    states: tuple[str, ...] = ()
    judged_state: str | None = None
    own: bool = False
    based_on: str | None = None
    own_sources: tuple[Source, ...] = ()
    sold_as: str | None = None

    def in_state(self, state: str) -> Filament:
        """Return the same grade judged in a moisture state chosen by name: a grade of its own.

        Raises
        ------
        UnknownNameError
            If the grade has no such state.
        """
        if state not in self.states:
            raise UnknownNameError(f"moisture state of {self.name}", state, self.states)
        dry = " Holds only while the part is kept dry: room air wets it in weeks."
        return replace(
            self,
            grade=f"{self.grade}_{state}",
            name=f"{self.name}, {state}",
            aliases=(),
            judged_state=state,
            summary=self.summary + (dry if state == "dry" else ""),
            sold_as=self.name,
        )

    def find(
        self, name: str, direction: Axis | None = None, state: str | None = None
    ) -> Value | None:
        """Return the design value `name`, or None where the grade has none.

        A value without direction or state answers for all of them.
        """
        for value in self.values:
            if (
                value.quantity == name
                and value.direction in (None, direction)
                and (state is None or value.state in (None, state))
            ):
                return value
        return None

    def value(self, name: str, direction: Axis | None = None, state: str | None = None) -> Value:
        """Return the design value `name`.

        Raises
        ------
        InputError
            If the grade has no such value; nothing is judged on a default.
        """
        found = self.find(name, direction, state)
        if found is None:
            where = f" ({direction})" if direction else ""
            raise InputError(
                f"grade {self.grade!r} has no value for {name}{where}; "
                "add it with its origin to the grade's file"
            )
        return found

    def rule(self, name: str, direction: Axis | None = None) -> Value:
        """Return a value of ``general.toml``.

        Raises
        ------
        UnknownNameError
            If there is no such rule.
        """
        for value in self.rules:
            if value.quantity == name and value.direction in (None, direction):
                return value
        raise UnknownNameError("general value", name, {v.quantity for v in self.rules})

    def retention(self, kind: str, axis: Axis, state: str | None) -> Retention:
        """Return the curve of "strength" or "modulus" over temperature.

        Raises
        ------
        InputError
            If the grade has no such curve.
        """
        for curve in self.retentions:
            if (
                curve.quantity == kind
                and curve.direction in (None, axis)
                and (state is None or curve.state in (None, state))
            ):
                return curve
        raise InputError(
            f"grade {self.grade!r} has no curve of {kind} over temperature"
            + (f" in the state {state!r}" if state else "")
            + "; add a [[retention]] table to the grade's file"
        )

    def moisture_state(self, state: str | None) -> str | None:
        """Resolve the moisture state: the judged one unless told otherwise, None for non-nylons.

        Raises
        ------
        UnknownNameError
            If `state` is not "dry" or "conditioned", or not a state of this grade.
        """
        if state is None:
            return self.judged_state
        known = self.states or ("dry", "conditioned")
        if state not in known:
            raise UnknownNameError("moisture state", state, known)
        return state if self.states else None

    @property
    def density_g_cm3(self) -> float:
        """Density of the solid. [g/cm³]"""
        return self.value("density").typical

    @property
    def price_per_kg(self) -> float:
        """Usual price in 2025. [EUR/kg]"""
        return self.value("price").typical

    @property
    def max_flow_mm3_s(self) -> float:
        """Volumetric flow that a standard hot end melts. [mm³/s]"""
        return self.value("max_volumetric_flow").typical

    @property
    def conductivity_w_mk(self) -> float | None:
        """Thermal conductivity. [W/(m K)]"""
        return self._typical("thermal_conductivity")

    @property
    def specific_heat_j_kgk(self) -> float | None:
        """Specific heat capacity. [J/(kg K)]"""
        return self._typical("specific_heat")

    @property
    def glass_transition_degc(self) -> float | None:
        """Typical glass transition in the judged state. [°C]"""
        found = self.find("glass_transition", state=self.judged_state)
        found = found or self.find("glass_transition")
        return None if found is None else found.typical

    def expansion_per_k(self, axis: Axis = "xy") -> float | None:
        """Linear thermal expansion; the in-layer value where only that is known. [1/K]"""
        found = self.find("cte", axis) or self.find("cte", "xy")
        return None if found is None else found.typical * 1e-6

    @property
    def needs(self) -> _needs.Needs:
        """What the grade asks of printer and handling."""
        return _needs.needs_of(self)

    def needs_unmet(
        self,
        *,
        max_nozzle_degc: float,
        max_bed_degc: float,
        enclosed: bool,
        hardened_nozzle: bool,
        can_dry: bool,
        bed_help: bool = True,
    ) -> tuple[str, ...]:
        """Reasons why a printer can't print this grade well; empty when it can."""
        return self.needs.unmet(
            max_nozzle_degc=max_nozzle_degc,
            max_bed_degc=max_bed_degc,
            enclosed=enclosed,
            hardened_nozzle=hardened_nozzle,
            can_dry=can_dry,
            bed_help=bed_help,
        )

    def strength(
        self,
        direction: Direction,
        temperature_degc: float,
        *,
        duration: Duration = "single",
        cycles: float = 1.0,
        bound: Bound = "lower",
        state: str | None = None,
        hours: float | None = None,
    ) -> _strength.Strength:
        """Strength at temperature for one load; see `strength.strength_of`."""
        return _strength.strength_of(
            self,
            direction,
            temperature_degc,
            duration=duration,
            cycles=cycles,
            bound=bound,
            state=state,
            hours=hours,
        )

    def creep_modulus(
        self,
        hours: float,
        temperature_degc: float = 23.0,
        direction: Axis = "xy",
        bound: Bound = "typical",
        *,
        state: str | None = None,
    ) -> _creep.CreepModulus:
        """Stiffness after a time under load; see `creep.creep_modulus_of`."""
        return _creep.creep_modulus_of(self, hours, temperature_degc, direction, bound, state)

    def modulus_mpa(
        self,
        temperature_degc: float,
        direction: Axis = "xy",
        bound: Bound = "typical",
        *,
        state: str | None = None,
    ) -> float:
        """Short-term modulus at temperature; see `strength.modulus_of`. [MPa]"""
        return _strength.modulus_of(self, temperature_degc, direction, bound, state)

    def softening_limit(
        self,
        stress_kind: _softening.StressKind,
        stress_mpa: float | None = None,
        *,
        state: str | None = None,
    ) -> _softening.SofteningLimit:
        """Highest temperature at which the part keeps its shape; see `softening.limit_of`."""
        return _softening.limit_of(self, stress_kind, stress_mpa, state)

    def _typical(self, name: str) -> float | None:
        found = self.find(name)
        return None if found is None else found.typical

    def to_dict(self) -> dict[str, Any]:
        """Everything the table holds about the grade, without the general rules."""
        return {
            "grade": self.grade,
            "name": self.name,
            "aliases": self.aliases,
            "polymer": self.polymer,
            "polymer_class": self.polymer_class,
            "summary": self.summary,
            "states": self.states,
            "judged_state": self.judged_state,
            "own": self.own,
            "based_on": self.based_on,
            "values": self.values,
            "retentions": self.retentions,
            "alternatives": self.alternatives,
            "remarks": self.remarks,
        }
