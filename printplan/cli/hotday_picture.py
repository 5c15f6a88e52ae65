"""The hot day as a picture: air and part over the day, and what each filament bears.

The printed tables of the command say the same in words; colours are Okabe and Ito's, and nothing
is told by colour alone: dashes differ and every line carries its name.
"""

from __future__ import annotations

import io
import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from printplan.climate import DayCurve

__all__ = ["hotday_picture", "spread"]

#: Colour and dash of the courses. Palette [memory: Okabe and Ito 2008, colours for all readers].
_PART, _UPPER, _AIR = ("#D55E00", "-"), ("#D55E00", (0, (5, 2))), ("#0072B2", (0, (1.5, 1.5)))
#: Colour and dash of a filament's limit by what becomes of it.
_VERDICTS: dict[str, tuple[str, Any]] = {
    "yes": ("#009E73", "-"),
    "marginal": ("#000000", (0, (7, 2, 1.5, 2))),
    "no": ("#CC79A7", (0, (4, 3))),
}
#: (key of the rows, title of the panel).
_PANELS = (
    ("sustained", "Limit under lasting load"),
    ("shape_only", "Limit for shape only, no load"),
)
#: Share of a panel's height that a line of text takes.
_TEXT_SHARE = 0.043


def hotday_picture(
    design: DayCurve, upper: DayCurve, filaments: Sequence[dict[str, Any]], title: str
) -> bytes:
    """Draw the day.

    Parameters
    ----------
    design, upper : DayCurve
        Courses of the design value and of the upper bound.
    filaments : sequence of dict
        Rows of the command's table: grade, and for each kind of limit its value, verdict and
        hours above.
    title : str
        Place, shelter and colour.

    Returns
    -------
    bytes
        A PNG file.
    """
    from matplotlib import rc_context
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    with rc_context({"font.size": 9, "axes.spines.top": False, "axes.spines.right": False}):
        figure = Figure(figsize=(12.5, 5.6), layout="constrained")
        FigureCanvasAgg(figure)
        figure.suptitle(textwrap.fill(title, 120), parse_math=False)
        panels = figure.subplots(1, 2, sharey=True)
        for axes in panels:
            _courses(axes, design, upper)
        for axes, (kind, heading) in zip(panels, _PANELS, strict=True):
            _limits(axes, kind, heading, filaments)
        panels[0].set_ylabel("temperature, °C")
        buffer = io.BytesIO()
        figure.savefig(buffer, format="png", dpi=150, metadata={"Title": title, "Software": None})
    return buffer.getvalue()


def _courses(axes: Axes, design: DayCurve, upper: DayCurve) -> None:
    """Draw air and part, each named at the curve."""
    low = min(float(c.min()) for c in (design.air_degc, design.part_degc, upper.part_degc))
    high = max(design.peak_degc, upper.peak_degc, float(design.air_degc.max()))
    for course, (colour, dash), width in (
        (upper.part_degc, _UPPER, 1.4),
        (design.part_degc, _PART, 2.4),
        (design.air_degc, _AIR, 2.0),
    ):
        axes.plot(design.time_h, course, color=colour, linestyle=dash, linewidth=width, zorder=3)
    axes.set(
        xlim=(0.0, 24.0),
        ylim=(5.0 * (low // 5.0), high + 10.0),
        xticks=range(0, 25, 4),
        xlabel="solar time, h",
    )
    latest = int(design.air_degc.argmax())
    for text, (colour, _), hour, degc, above in (
        ("upper bound: still air", _UPPER, upper.peak_h, upper.peak_degc, True),
        (f"part\n{design.peak_degc:.0f} °C", _PART, design.peak_h, design.peak_degc, False),
        ("air", _AIR, float(design.time_h[latest]), float(design.air_degc[latest]), False),
    ):
        axes.annotate(
            text,
            (hour, degc),
            xytext=(0, 4 if above else -8),
            textcoords="offset points",
            ha="center",
            va="bottom" if above else "top",
            color=colour,
            zorder=2,
            bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.85, "pad": 1.0},
        )


def _limits(axes: Axes, kind: str, heading: str, filaments: Sequence[dict[str, Any]]) -> None:
    """Draw the limits of one kind, named at the right with the hours above."""
    key = f"{kind}_limit_degc"
    known = [row for row in filaments if row[key] is not None]
    known.sort(key=lambda row: (row[key], row["grade"]))
    low, high = axes.get_ylim()
    # Limits far above the day need no line; the lowest ones belong to those that fail.
    drawn = [row for row in known if row[key] <= high]
    low = min(low, *(row[key] - 1.0 for row in drawn), high)
    axes.set_ylim(low, high)
    text_height = _TEXT_SHARE * (high - low)
    for row, place in zip(
        drawn, spread([row[key] for row in drawn], text_height, low, high), strict=True
    ):
        limit = row[key]
        colour, dash = _VERDICTS[row[kind]]
        axes.axhline(limit, color=colour, linestyle=dash, linewidth=1.0, zorder=1)
        axes.plot([24.0, 24.8], [limit, place], color=colour, linewidth=0.8, clip_on=False)
        axes.text(
            25.0,
            place,
            f"{row['grade']} {limit:.0f} °C: {row[kind]}, {row[f'{kind}_hours_above']:.1f} h above",
            va="center",
            fontsize=8,
            parse_math=False,
        )
    beyond = ", ".join(f"{row['grade']} {row[key]:.0f} °C" for row in known if row[key] > high)
    unknown = ", ".join(row["grade"] for row in filaments if row[key] is None)
    more = [f"higher than drawn: {beyond}"] if beyond else []
    more += [f"not known: {unknown}"] if unknown else []
    axes.set_title("\n".join((heading, "; ".join(more))), loc="left", fontsize=9, parse_math=False)


def spread(values: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Move values that rise as little as possible apart, so that labels don't lie on each other.

    Parameters
    ----------
    values : sequence of float
        Where labels would stand, rising, within `low` and `high`.
    gap : float
        Least distance; made smaller where there is no room for it.
    low, high : float
        Room.

    Returns
    -------
    list of float
        Where they stand, in the same order.
    """
    if len(values) > 1:
        gap = min(gap, (high - low) / (len(values) - 1))
    places: list[float] = []
    for value in values:
        places.append(max(value, places[-1] + gap) if places else value)
    ceiling = high
    for i in reversed(range(len(places))):
        places[i] = min(places[i], ceiling)
        ceiling = places[i] - gap
    return places
