"""Check a whole grade: values that are believable one by one may still not fit together."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from printplan.errors import JobFileError
from printplan.filament.value import Retention, Value

if TYPE_CHECKING:
    from printplan.filament.grade import Filament

__all__ = ["check_consistent", "check_states_named"]

#: An amorphous grade has no deflection temperature above its glass transition; heating rate and
#: products of one name blur that by about this much [common practice]. [K]
_GLASS_BLUR_K = 5.0


def check_consistent(path: Path, filament: Filament) -> None:
    """Refuse a grade whose values contradict each other.

    A nylon without moisture states, a state nobody declared, a deflection temperature that rises
    with stress, one of an amorphous grade above its glass transition, and a part that would be
    stronger across its layers than in them.

    Raises
    ------
    JobFileError
        With the file, the values and what was expected.

    Sources
    -------
    [memory: ISO 75]  the deflection temperature is that of one stiffness per stress, so it falls
    with the stress
    [common practice]  bonds between layers are the weak ones; nylons are judged with their water
    """
    if filament.polymer == "PA" and not filament.states:
        raise JobFileError(
            path,
            "states",
            None,
            'the moisture states of a nylon, as states = ["dry", "conditioned"]',
            "without them dry strength would pass for the strength in room air",
        )
    _states_known(path, filament)
    low, high = filament.find("hdt_0p45"), filament.find("hdt_1p8")
    if low is not None and high is not None and high.typical > low.typical:
        raise JobFileError(
            path,
            "hdt_1p8",
            high.typical,
            f"no more than hdt_0p45 ({low.typical:g} °C): a higher stress deflects sooner",
            "check whether the two are swapped",
        )
    glass = filament.find("glass_transition")
    deflection = low or high
    if (
        filament.polymer_class == "amorphous"
        and glass is not None
        and deflection is not None
        and deflection.typical > glass.typical + _GLASS_BLUR_K
    ):
        raise JobFileError(
            path,
            deflection.quantity,
            deflection.typical,
            f"no more than the glass transition ({glass.typical:g} °C) plus "
            f"{_GLASS_BLUR_K:g} K for an amorphous grade",
            "an annealed, crystallised part is a grade of its own: semi-crystalline",
        )
    in_layer, across = (filament.find("tensile_strength", axis) for axis in ("xy", "z"))
    if in_layer is not None and across is not None and across.typical > in_layer.typical:
        raise JobFileError(
            path,
            "tensile_strength z",
            across.typical,
            f"no more than in the layer ({in_layer.typical:g} MPa)",
            "check whether the two directions are swapped",
        )


def _states_known(path: Path, filament: Filament) -> None:
    entries: tuple[Value | Retention, ...] = (*filament.values, *filament.retentions)
    for entry in entries:
        if entry.state is not None and entry.state not in filament.states:
            raise JobFileError(
                path,
                f"{entry.quantity}.state",
                entry.state,
                f"one of the states of the grade: {', '.join(filament.states) or 'it has none'}",
            )


def check_states_named(
    path: Path,
    mine: Iterable[Value | Retention],
    shipped: Iterable[Value | Retention],
) -> None:
    """Refuse an own value without moisture state where the shipped ones have one.

    It would count for dry and conditioned alike, and the moisture factor would come on top.
    """
    shipped = tuple(shipped)
    for entry in mine:
        states = {
            other.state
            for other in shipped
            if (other.quantity, other.direction) == (entry.quantity, entry.direction)
        }
        if entry.state is None and states and None not in states:
            named = ", ".join(sorted(str(state) for state in states))
            raise JobFileError(
                path,
                f"{entry.quantity}.state",
                None,
                f"the moisture state it was measured in ({named})",
            )
