"""The map of a part: margin over part temperature, a line per filament, the hot day marked."""

from __future__ import annotations

import io
import warnings
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from printplan.planning.result import Candidate, PartPlan

__all__ = ["map_picture", "map_text"]

#: Okabe and Ito's palette for colour-blind readers [memory: Okabe and Ito 2008], dark ones first.
_COLOURS = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#56B4E9", "#E69F00", "#000000")
_DASHES = ("-", "--", "-.", ":", (0, (6, 1, 1, 1, 1, 1)), (0, (3, 1)), (0, (1, 1)))
#: Margins above this are drawn at the rim: the reader looks for where lines cross 1.
_MOST = 4.0


def map_text(part: PartPlan) -> str:
    """Say in words what the map of a part shows."""
    said = [
        f"{c.verdict.grade} strong enough up to {c.over_temperature.enough_up_to_degc:.0f} °C"
        if c.over_temperature.enough_up_to_degc is not None
        else f"{c.verdict.grade} nowhere strong enough"
        for c in part.candidates
        if c.over_temperature is not None
    ]
    return (
        f"Margin of {part.name} over part temperature; hot day {part.temperature.design_degc:.0f} "
        f"to {part.temperature.upper_degc:.0f} °C. " + "; ".join(said) + "."
    )


def map_picture(part: PartPlan, kind: str = "png") -> bytes:
    """Draw the map of a part.

    Parameters
    ----------
    part : PartPlan
        With candidates that hold a map.
    kind : {"png", "svg"}
        Format of the picture.

    Returns
    -------
    bytes
        The picture's file.

    Raises
    ------
    InputError
        If no strength check was made, so that there is no map.
    """
    from printplan.errors import InputError

    drawn = [c for c in part.candidates if c.over_temperature is not None]
    if not drawn:
        raise InputError(f"part {part.name!r}: no load is given, so there is no margin to draw")
    from matplotlib import rc_context
    from matplotlib.figure import Figure

    # A fixed salt and no date: the same plan gives the same bytes.
    with (
        rc_context({"svg.hashsalt": "printplan", "svg.fonttype": "none", "font.size": 9}),
        warnings.catch_warnings(),
    ):
        # Letters that the font lacks are drawn as boxes; the reader's font has them.
        warnings.filterwarnings("ignore", message="Glyph .* missing from")
        figure = Figure(figsize=(7.0, 3.4), layout="constrained")
        _plot(figure, part, drawn)
        buffer = io.BytesIO()
        metadata = {"Date": None} if kind == "svg" else {"Software": None}
        figure.savefig(buffer, format=kind, dpi=150, metadata=metadata)
    return buffer.getvalue()


def _plot(figure: Figure, part: PartPlan, drawn: list[Candidate]) -> None:
    axes = figure.subplots()
    hot = part.temperature
    greatest = max(m for c in drawn if c.over_temperature for m in c.over_temperature.margin)
    top = min(_MOST, max(2.0, 1.15 * greatest))
    axes.axvspan(hot.design_degc, max(hot.upper_degc, hot.design_degc + 0.5), color="#F0E442",
                 alpha=0.45, lw=0)  # fmt: skip
    axes.annotate(
        f"hot day\n{hot.design_degc:.0f} to {hot.upper_degc:.0f} °C",
        (hot.design_degc, top), xytext=(-4, -2), textcoords="offset points",
        ha="right", va="top", fontsize=8,
    )  # fmt: skip
    axes.axhline(1.0, color="black", lw=1.2)
    axes.annotate("just enough", (24, 1.0), xytext=(2, 2), textcoords="offset points", fontsize=8)
    for i, candidate in enumerate(sorted(drawn, key=lambda c: c.verdict.grade)):
        over = candidate.over_temperature
        assert over is not None
        firm = over.softens_at_degc if over.softens_at_degc is not None else over.degc[-1]
        colour, dash = _COLOURS[i % len(_COLOURS)], _DASHES[i % len(_DASHES)]
        grid = [t for t in over.degc if t <= firm]
        if grid and grid[-1] < firm <= over.degc[-1]:
            grid.append(firm)
        axes.plot(
            grid, [min(over.at(t), top) for t in grid], color=colour, ls=dash, lw=2,
            label=f"{candidate.verdict.grade} ({candidate.recipe.name})",
        )  # fmt: skip
        if grid and firm <= over.degc[-1]:
            axes.plot([grid[-1]], [min(over.at(grid[-1]), top)], "o", color=colour, ms=5)
    axes.set(
        xlim=(24, 120), ylim=(0, top), xlabel="part temperature, °C",
        ylabel="safety over asked safety",
    )  # fmt: skip
    # A name may hold anything: no mathematics is read out of it.
    axes.set_title(f"{part.name}: margin over temperature", parse_math=False)
    axes.legend(loc="upper right", fontsize=8, title="dot: softens", title_fontsize=8)
    axes.grid(alpha=0.3)
