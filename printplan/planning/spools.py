"""Which spools feed which plates, and how many must be bought."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from printplan.job.schema import Spool
from printplan.planning.result import Plate, SpoolUse

__all__ = ["RESERVE", "TAIL_G", "assign_spools"]

#: A plate is not begun on a spool with less than this times its predicted mass, plus the tail
#: that stays in tube and drive. [common practice] 1.03-1.05; 1-5 g.
RESERVE = 1.05
TAIL_G = 5.0


@dataclass(kw_only=True)
class _OpenSpool:
    grade: str
    in_stock: bool
    mass_g: float
    left_g: float
    plates: list[int] = field(default_factory=list)


def assign_spools(
    plates: Sequence[Plate], stock: Sequence[Spool], *, new_spool_g: float
) -> tuple[SpoolUse, ...]:
    """Give every plate one spool that lasts it: first-fit, heaviest plates first.

    Stock is used before anything is bought, the emptiest spool that suffices first. A plate that
    needs more than a new spool holds is fed by several, changed while somebody is there.

    Parameters
    ----------
    plates : sequence of Plate
    stock : sequence of Spool
        Spools at hand.
    new_spool_g : float
        Net mass of a bought spool. [g]

    Returns
    -------
    tuple of SpoolUse
        Only spools that are used.
    """
    spools = [
        _OpenSpool(grade=s.grade, in_stock=True, mass_g=s.mass_left_g, left_g=s.mass_left_g)
        for s in sorted(stock, key=lambda s: s.mass_left_g)
    ]
    for plate in sorted(plates, key=lambda p: (-p.filament_g, p.number)):
        need = plate.filament_g * RESERVE
        while need > 0:
            able = [s for s in spools if s.grade == plate.grade and s.left_g - TAIL_G >= need]
            if able:
                chosen, taken = able[0], need
            else:
                chosen = _OpenSpool(
                    grade=plate.grade, in_stock=False, mass_g=new_spool_g, left_g=new_spool_g
                )
                spools.append(chosen)
                taken = min(need, new_spool_g - TAIL_G)
            chosen.left_g -= taken
            chosen.plates.append(plate.number)
            need = need - taken if need - taken > 1e-9 else 0.0
    return tuple(
        SpoolUse(
            grade=s.grade,
            in_stock=s.in_stock,
            mass_before_g=s.mass_g,
            mass_after_g=s.left_g,
            plates=tuple(s.plates),
        )
        for s in spools
        if s.plates
    )
