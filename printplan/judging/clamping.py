"""What becomes of the screws' preload when the part gets warm."""

from __future__ import annotations

from typing import TYPE_CHECKING

from printplan.filament.clamp import clamp_advice
from printplan.judging.verdicts import Reason

if TYPE_CHECKING:
    from printplan.climate import PartTemperature
    from printplan.filament import Filament
    from printplan.job.part_tables import Part

__all__ = ["clamp_findings"]


def clamp_findings(
    part: Part, filament: Filament, temperature: PartTemperature, state: str | None
) -> tuple[Reason, ...]:
    """Tell how much preload is left where screws clamp the part, and what helps.

    The screw circle is judged by bearing alone, so lost friction refuses nothing: it is a finding.

    Sources
    -------
    [common practice] rules of `printplan.filament.clamp`.
    """
    if part.bolt_circle is None:
        return ()
    advice = clamp_advice(filament, temperature.design_degc, state=state)
    if advice.friction_holds or not advice.remedies:
        return ()
    left = "" if advice.left_fraction is None else f" ({100 * advice.left_fraction:.0f} % is left)"
    return (
        Reason(
            topic="strength",
            effect="suitable",
            text=f"screws lose their preload{left}: {advice.rule}; {advice.remedies[0]}",
        ),
    )
