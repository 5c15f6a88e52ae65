"""From a part's role and the vehicle's load cases to the stresses that must be borne.

In: the part of the job file, its measured solid, the load cases, the recipe. Out: `Demand`s, and
what could not be judged for want of data.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from printplan.filament.demand import Demand
from printplan.judging.demands.belt_teeth import belt_teeth_demands
from printplan.judging.demands.bolt_circle import bolt_circle_demands
from printplan.judging.demands.context import Context
from printplan.judging.demands.gear import gear_demands
from printplan.judging.demands.pin_seat import pin_seat_demands
from printplan.judging.demands.plain import plain_demands
from printplan.judging.demands.socket import socket_demands

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = ["Context", "PartDemands", "part_demands"]


@dataclass(frozen=True, kw_only=True)
class PartDemands:
    """What a part must bear.

    Attributes
    ----------
    demands : tuple of Demand
        One per place and load case.
    missing : str or None
        Why strength can't be judged, if there is no demand at all.
    unchecked : tuple of str
        What is not covered by any formula here, in the builder's words.
    warnings : tuple of str
        What the formulas had to say.
    """

    demands: tuple[Demand, ...]
    missing: str | None
    unchecked: tuple[str, ...]
    warnings: tuple[str, ...]


#: `climate.gear_friction` holds a rule, but for moulded teeth at metres a second; at the
#: centimetres a second of a differential in a bend its flanks would be off by a factor.
_RUBBING = "heat of teeth that rub in bends: feel the housing after a long ride with many turns"

_UNCHECKED: dict[str, tuple[str, ...]] = {
    "side gear": (
        "wear of flanks and thrust face",
        "tooth contact when the housing bends",
        _RUBBING,
    ),
    "planet pinion": ("wear of flanks, bore and back face", _RUBBING),
    "housing": (
        "bending of the halves between the screws",
        "bearing seats that loosen when warm: give them a lip or a retaining ring",
    ),
    "pulley": ("skipping of the belt when the frame bends", "bending of the web"),
    "hub adapter": ("side force of the wheel: the steel half axle must carry it",),
}


def part_demands(context: Context) -> PartDemands:
    """Collect the demands of every feature and load that the job file gives the part."""
    part = context.part
    makers: list[tuple[object, Callable[[Context], list[Demand]]]] = [
        (part.gear, gear_demands),
        (part.socket, socket_demands),
        (part.pin_seat, pin_seat_demands),
        (part.bolt_circle, bolt_circle_demands),
        (part.belt_teeth, belt_teeth_demands),
        (part.loads, plain_demands),
    ]
    demands = [d for given, make in makers if given for d in make(context)]
    missing = None
    if not demands:
        missing = (
            "strength not judged: the job file gives this part no load; "
            "add [[parts.loads]] or the tables of its role"
        )
    return PartDemands(
        demands=tuple(demands),
        missing=missing,
        unchecked=_UNCHECKED.get(part.role, ()),
        warnings=tuple(dict.fromkeys(context.warnings)),
    )
