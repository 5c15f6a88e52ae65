"""What a grade asks of the printer and of its handling."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from printplan.filament.grade import Filament

__all__ = ["Need", "Needs", "needs_of"]

Need = Literal["no", "helps", "needed"]
_NEEDS: tuple[Need, ...] = ("no", "helps", "needed")


@dataclass(frozen=True, kw_only=True)
class Needs:
    """Print temperatures and equipment of a grade, all [common practice], 2025.

    Attributes
    ----------
    nozzle_degc, bed_degc : float
        Usual temperature. [°C]
    nozzle_range_degc, bed_range_degc : (float, float)
        What is met in practice. [°C]
    enclosure, drying : str
        "no", "helps" or "needed".
    hardened_nozzle : bool
        Fibres wear brass out.
    drying_degc, drying_h : float
        How it is dried. [°C], [h]
    bed_adhesion : str or None
        Help to stay on the bed: "no", "helps" or "needed"; None where the grade does not say.
    bed_advice : str
        What helps, in words.
    """

    nozzle_degc: float
    nozzle_range_degc: tuple[float, float]
    bed_degc: float
    bed_range_degc: tuple[float, float]
    enclosure: Need
    hardened_nozzle: bool
    drying: Need
    drying_degc: float
    drying_h: float
    bed_adhesion: Need | None = None
    bed_advice: str = ""

    def unmet(
        self,
        *,
        max_nozzle_degc: float,
        max_bed_degc: float,
        enclosed: bool,
        hardened_nozzle: bool,
        can_dry: bool,
        bed_help: bool = True,
    ) -> tuple[str, ...]:
        """Give one reason for each need that a printer doesn't meet.

        `bed_help` says whether adhesive, a rough plate or a brim may be used; they cost next to
        nothing, so they count as there unless told otherwise.

        The nozzle must reach the usual temperature, because layers bond worse below it and the
        strengths of the table no longer hold; for the bed the low end of the range is enough,
        because it only holds the part down.
        """
        reasons = []
        if max_nozzle_degc < self.nozzle_degc:
            reasons.append(
                f"nozzle reaches {max_nozzle_degc:g} °C, the grade wants {self.nozzle_degc:g} °C"
            )
        if max_bed_degc < self.bed_range_degc[0]:
            reasons.append(
                f"bed reaches {max_bed_degc:g} °C, "
                f"the grade wants at least {self.bed_range_degc[0]:g} °C"
            )
        if self.enclosure == "needed" and not enclosed:
            reasons.append("needs an enclosure: it warps and its layers part in open air")
        if self.hardened_nozzle and not hardened_nozzle:
            reasons.append("needs a hardened nozzle: its fibres wear brass out")
        if self.drying == "needed" and not can_dry:
            reasons.append(
                f"must be dried before printing ({self.drying_h:g} h at {self.drying_degc:g} °C)"
            )
        if self.bed_adhesion == "needed" and not bed_help:
            reasons.append(f"needs help to stay on the bed: {self.bed_advice}")
        return tuple(reasons)

    def advice(self) -> tuple[str, ...]:
        """Say what to prepare before printing, also where it is no hindrance."""
        lines = []
        if self.drying != "no":
            must = "dry" if self.drying == "needed" else "better dry"
            lines.append(f"{must} it first: {self.drying_h:g} h at {self.drying_degc:g} °C")
        if self.enclosure == "helps":
            lines.append("an enclosure helps against warping")
        if self.bed_advice:
            lines.append(f"bed: {self.bed_advice}")
        return tuple(lines)


def needs_of(filament: Filament) -> Needs:
    """Collect the needs from the values of `filament`."""

    def spread(name: str) -> tuple[float, float]:
        value = filament.value(name)
        return value.cautious, value.typical if value.high is None else value.high

    def typical(name: str) -> float:
        return filament.value(name).typical

    bed = filament.find("bed_adhesion")
    return Needs(
        nozzle_degc=typical("nozzle_temperature"),
        nozzle_range_degc=spread("nozzle_temperature"),
        bed_degc=typical("bed_temperature"),
        bed_range_degc=spread("bed_temperature"),
        enclosure=_NEEDS[round(typical("enclosure"))],
        hardened_nozzle=typical("hardened_nozzle") > 0.5,
        drying=_NEEDS[round(typical("drying_needed"))],
        drying_degc=typical("drying_temperature"),
        drying_h=typical("drying_time"),
        bed_adhesion=None if bed is None else _NEEDS[round(bed.typical)],
        bed_advice="" if bed is None else bed.condition,
    )
