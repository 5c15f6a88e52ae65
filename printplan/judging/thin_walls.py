"""What thin walls do to the verdict: named with place, size and bead widths."""

from __future__ import annotations

from typing import TYPE_CHECKING

from printplan.judging.verdicts import Reason, Suitability

if TYPE_CHECKING:
    from printplan.part import MeasuredPart

__all__ = ["wall_reasons"]

_EFFECT: dict[str, Suitability] = {
    "cannot be printed as drawn": "unsuitable",
    "one bead only": "unsuitable",
    "weak for a loaded wall": "marginal",
}


def wall_reasons(measured: MeasuredPart, *, loaded: bool, most: int = 3) -> tuple[Reason, ...]:
    """Return a reason for each of the thinnest regions of `measured`.

    Parameters
    ----------
    measured : MeasuredPart
        The part with its thin regions.
    loaded : bool
        Whether the part carries load: a wall of one bead is a fault only then.
    most : int
        Name at most this many regions, the thinnest first.

    Returns
    -------
    tuple of Reason

    Sources
    -------
    [common practice] a wall thinner than one bead can't be printed as drawn, one of fewer than two
    beads has a single strand, fewer than four beads is weak where load passes.
    """
    # A lip that tapers to an edge is a shape, not a wall that was drawn too thin.
    walls = [r for r in measured.thickness.regions if r.judged in _EFFECT]
    regions = sorted(walls, key=lambda r: r.thickness_mm)
    reasons = []
    for region in regions[:most]:
        effect = _EFFECT[region.judged]
        if not loaded and region.judged != "cannot be printed as drawn":
            effect = "marginal"
        x, y, z = region.place_mm
        reasons.append(
            Reason(
                topic="wall",
                effect=effect,
                text=f"thin wall, {region.judged}: {region.thickness_mm:.2f} mm "
                f"({region.bead_widths:.1f} beads) over {region.area_mm2:.0f} mm² "
                f"at x {x:.0f}, y {y:.0f}, z {z:.0f} mm of the file",
            )
        )
    if len(regions) > most:
        reasons.append(
            Reason(
                topic="wall",
                effect="marginal",
                text=f"{len(regions) - most} more thin regions, see the picture",
            )
        )
    return tuple(reasons)
