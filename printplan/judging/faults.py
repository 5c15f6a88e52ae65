"""What a fault does: a part may break in it where nobody is thrown, but the builder must know."""

from __future__ import annotations

from collections.abc import Sequence

from printplan.judging.margins import Check
from printplan.judging.required import Danger
from printplan.judging.verdicts import Reason

__all__ = ["fault_findings"]


def fault_findings(
    checks: Sequence[Check], danger: Danger
) -> tuple[tuple[Check, ...], tuple[Reason, ...]]:
    """Set apart the checks of faults that only stop the vehicle.

    Parameters
    ----------
    checks : sequence of Check
        All checks of a part; those of a fault carry a safety factor of their own.
    danger : str
        What a break of the part does.

    Returns
    -------
    (tuple of Check, tuple of Reason)
        The checks that count for the verdict, and what is to be said of the others.

    Sources
    -------
    [memory: machine-element practice] in a fault a safety of 1.2 on ultimate strength, or a weaker
    part that breaks first; that a drive which stops needs no more than the warning is our choice.
    """
    if danger == "may throw the rider":
        return tuple(checks), ()
    counted = tuple(c for c in checks if c.demand.asked is None)
    if not counted:  # nothing but faults loads the part: then they are what it is judged by
        return tuple(checks), ()
    broken = [c for c in checks if c.demand.asked is not None and not c.holds]
    if not broken:
        return counted, ()
    worst = min(broken, key=lambda c: c.safety)
    text = (
        f"in a fault ({worst.demand.case}) it would break: {worst.demand.name}, "
        f"{worst.demand.stress_mpa:.0f} MPa, safety {worst.safety:.2f}; the drive is lost and the "
        "vehicle stops"
    )
    return counted, (Reason(topic="strength", effect="suitable", text=text),)
