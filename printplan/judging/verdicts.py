"""The verdict on one part in one filament: three-valued plus 'not judged', with its reasons."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Literal

from printplan.climate import part_temperature, shelter, surface
from printplan.filament.evidence import weak_points
from printplan.filament.outdoor import outdoor
from printplan.judging.margins import Check

if TYPE_CHECKING:
    from printplan.climate import PartTemperature
    from printplan.filament import Filament, SofteningLimit

__all__ = ["Reason", "Suitability", "Verdict", "judge"]

Suitability = Literal["suitable", "marginal", "unsuitable", "not judged"]
Topic = Literal["heat", "strength", "wall", "printer", "weather", "data"]

#: From best to worst; the worst reason decides.
_ORDER: dict[Suitability, int] = {"suitable": 0, "marginal": 1, "not judged": 2, "unsuitable": 3}


@dataclass(frozen=True, kw_only=True)
class Reason:
    """One sentence of a verdict: what it is about, what it does to the verdict, the numbers."""

    topic: Topic
    effect: Suitability
    text: str


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """What is to be said of one part in one filament.

    Attributes
    ----------
    grade : str
        The filament.
    suitability : str
        "suitable", "marginal", "unsuitable" or "not judged": the worst of the reasons.
    reasons : tuple of Reason
        Every finding, the deciding ones first.
    checks : tuple of Check
        Every strength check, the tightest first.
    limit : SofteningLimit
        The temperature up to which the filament holds its shape under this kind of load.
    weak_points : tuple of str
        What the strength behind the tightest check rests on that nobody measured on prints, and
        where products of this name soften sooner than the value that was used.
    """

    grade: str
    suitability: Suitability
    reasons: tuple[Reason, ...]
    checks: tuple[Check, ...]
    limit: SofteningLimit
    weak_points: tuple[str, ...] = ()

    @property
    def tightest(self) -> Check | None:
        """The check with the least safety over what is required, if any was made."""
        return self.checks[0] if self.checks else None

    @property
    def margin(self) -> float | None:
        """Least safety factor over the required one, at the design temperature."""
        return None if self.tightest is None else self.tightest.safety / self.tightest.required

    @property
    def deciding(self) -> tuple[str, ...]:
        """Texts of the reasons that make the verdict what it is."""
        return tuple(r.text for r in self.reasons if r.effect == self.suitability)

    def to_dict(self) -> dict[str, Any]:
        """Return the verdict as plain data, units in the keys."""
        return {
            "suitability": self.suitability,
            "reasons": [r.text for r in self.reasons],
            "findings": [
                {"topic": r.topic, "effect": r.effect, "text": r.text} for r in self.reasons
            ],
            "softening_limit_degc": self.limit.limit_degc,
            "softening_rule": self.limit.governing,
            "least_safety": None if self.tightest is None else self.tightest.safety,
            "required_safety": None if self.tightest is None else self.tightest.required,
            "weak_points": list(self.weak_points),
            "checks": [c.to_dict() for c in self.checks],
        }


def judge(
    filament: Filament,
    temperature: PartTemperature,
    checks: Sequence[Check],
    *,
    findings: Sequence[Reason] = (),
    unmet_needs: Sequence[str] = (),
    outdoors: bool = True,
    colour: str = "unknown",
    loads_missing: str | None = None,
    state: str | None = None,
    hours_above: Callable[[float], float] | None = None,
) -> Verdict:
    """Judge one part in one filament.

    Parameters
    ----------
    filament : Filament
        The grade.
    temperature : PartTemperature
        Design and upper temperature of the part on the hot day.
    checks : sequence of Check
        Strength checks made with this filament.
    findings : sequence of Reason
        What thin walls and faults add.
    unmet_needs : sequence of str
        What the filament needs and no printer here has.
    outdoors : bool
        Whether the part sees sunlight, so that weathering counts.
    colour : str
        Colour of the part; black screens its inside from the light.
    loads_missing : str or None
        Why no strength check could be made, if so.
    state : str or None
        Moisture state of a nylon.
    hours_above : callable or None
        Gives the hours of the hot day during which the part is above a temperature. [°C] → [h]

    Returns
    -------
    Verdict

    Sources
    -------
    [common practice] the rule of heat: suitable when the upper temperature stays below the limit,
    marginal when only the design temperature does; limits as `Filament.softening_limit` says.
    """
    ordered = sorted(checks, key=lambda c: c.safety / c.required)
    stands = any(c.demand.duration == "sustained" for c in ordered)
    greatest = max((c.demand.stress_mpa for c in ordered), default=0.0)
    limit = filament.softening_limit(
        "sustained" if stands else "shape only", stress_mpa=greatest, state=state
    )
    reasons = [
        _heat(filament, temperature, limit, stands=stands, hours_above=hours_above),
        *_strength(filament, ordered, temperature),
        *findings,
        *(
            Reason(topic="printer", effect="unsuitable", text=f"can't be printed here: {need}")
            for need in unmet_needs
        ),
        *_weather(filament, outdoors=outdoors, colour=colour),
    ]
    if loads_missing is not None:
        reasons.append(Reason(topic="data", effect="not judged", text=loads_missing))
    reasons.sort(key=lambda r: -_ORDER[r.effect])
    return Verdict(
        grade=filament.name,
        suitability=reasons[0].effect,
        reasons=tuple(reasons),
        checks=tuple(ordered),
        limit=limit,
        weak_points=(*(weak_points(ordered[0].strength) if ordered else ()), *limit.doubts),
    )


def _heat(
    filament: Filament,
    temperature: PartTemperature,
    limit: SofteningLimit,
    *,
    stands: bool,
    hours_above: Callable[[float], float] | None,
) -> Reason:
    design, upper = temperature.design_degc, temperature.upper_degc
    load = "lasting load" if stands else "short loads"
    if limit.limit_degc is None:
        return Reason(
            topic="heat",
            effect="not judged",
            text=f"{filament.name} has no softening data: {limit.governing}",
        )
    # A tenth where whole degrees would read "reaches 60, holds up to 60".
    whole = f"{limit.limit_degc:.0f}"
    digits = 1 if whole in (f"{design:.0f}", f"{upper:.0f}") else 0
    bears = (
        f"{filament.name} holds up to {limit.limit_degc:.{digits}f} °C under {load} "
        f"({limit.governing})"
    )
    hours = "" if hours_above is None else f", {hours_above(limit.limit_degc):.1f} h above it"
    if design > limit.limit_degc:
        return Reason(
            topic="heat",
            effect="unsuitable",
            text=f"softens: the part reaches {design:.{digits}f} °C on the hot day, "
            f"{bears}{hours}; {_cure(temperature, limit.limit_degc)}",
        )
    if upper > limit.limit_degc:
        return Reason(
            topic="heat",
            effect="marginal",
            text=f"may soften: {design:.{digits}f} °C on the hot day but up to "
            f"{upper:.{digits}f} °C without "
            f"wind, {bears}; {_cure(temperature, limit.limit_degc)}",
        )
    return Reason(
        topic="heat",
        effect="suitable",
        text=f"stays firm: at most {upper:.{digits}f} °C on the hot day, {bears}",
    )


def _cure(temperature: PartTemperature, limit_degc: float) -> str:
    """Say what would bring the part under its limit even in still air; each cure is tried."""
    around, exposure = temperature.surroundings, temperature.exposure
    shade = replace(exposure, shelter="shade")
    tries = []
    if surface(exposure.colour).absorptance > surface("white").absorptance:
        tries.append(("painted white it would stay firm", replace(exposure, colour="white")))
    if shelter(exposure.shelter).name != "shade":
        tries.append(("in open shade it would stay firm", shade))
        tries.append(("white and in open shade it would stay firm", replace(shade, colour="white")))
    for words, changed in tries:
        if part_temperature(around, changed).upper_degc <= limit_degc:
            return words
    heated = ", keep it away from what heats it" if exposure.touching else ""
    return f"neither colour nor shade would cure it: choose a filament that bears more{heated}"


def _strength(
    filament: Filament, checks: Sequence[Check], temperature: PartTemperature
) -> list[Reason]:
    reasons = []
    for check in checks:
        if check.holds_hottest:
            continue
        demand = check.demand
        effect: Suitability = "marginal" if check.holds else "unsuitable"
        safety = check.safety_hottest if check.holds else check.safety
        strength = check.strength_hottest if check.holds else check.strength
        degc = temperature.upper_degc if check.holds else temperature.design_degc
        bears = (
            f"bears {strength.strength_mpa:.3g} MPa at {degc:.0f} °C{_lasting(check)}: "
            f"safety {safety:.2f}, asked {check.required:.2f}"
            if strength.strength_mpa > 0
            else f"bears nothing at {degc:.0f} °C{_lasting(check)}"
        )
        reasons.append(
            Reason(
                topic="strength",
                effect=effect,
                text=f"{demand.name} ({demand.case}): {demand.stress_mpa:.3g} MPa "
                f"{demand.direction}, {filament.name} {bears}",
            )
        )
    if checks and not reasons:
        tight = checks[0]
        reasons.append(
            Reason(
                topic="strength",
                effect="suitable",
                text=f"strong enough: least safety {tight.safety:.2f} at {tight.demand.name} "
                f"({tight.demand.case}), asked {tight.required:.2f}",
            )
        )
    return reasons


def _lasting(check: Check) -> str:
    if check.demand.duration == "repeated":
        return f" {float(f'{check.demand.cycles:.2g}'):,.0f} times".replace(",", "\u202f")
    return " for hours" if check.demand.duration == "sustained" else ""


def _weather(filament: Filament, *, outdoors: bool, colour: str) -> list[Reason]:
    verdict = outdoor(filament, outdoors, colour)
    if not outdoors or verdict.suits == "good":
        return []
    effects: dict[str, Suitability] = {"avoid": "marginal", "not judged": "not judged"}
    effect = effects.get(verdict.suits, "suitable")
    return [Reason(topic="weather", effect=effect, text=verdict.text)]
