"""Drawings made of lines and rectangles: plates to scale, and bars."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from printplan.sheet.markup import table
from printplan.sheet.wording import attribute, number, said

if TYPE_CHECKING:
    from printplan.planning.result import Plate, PlateItem

__all__ = ["bar", "bar_table", "merged_kinds", "plate_drawing", "thickness_scale"]

#: Space round the bed for dimensions, and lines of the grid. [mm]
_MARGIN_MM, _GRID_MM = 16.0, 50.0
#: Size of the names on a plate. [mm]
NAME_MM = 8.0
#: Width of a letter over the size of the type, about.
_LETTER = 0.56


def bar(share: float) -> str:
    """Bar of a length between 0 and 1, for a table's cell; says nothing that the cell doesn't."""
    return (
        '<svg class="bar" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true" '
        f'focusable="false"><rect width="{100 * share:.2f}" height="10"/></svg>'
    )


def bar_table(
    caption: str, head: tuple[str, str], values: Mapping[str, float], show: Callable[[float], str]
) -> str:
    """Table with a bar per row, the greatest first; rows of nothing are left out.

    Parameters
    ----------
    caption : str
        What the table shows; plain text of the sheet.
    head : (str, str)
        Column heads.
    values : mapping of str to float
        What the bars measure.
    show : callable
        Writes a value; its text is taken as it is.

    Returns
    -------
    str
        HTML.
    """
    rows = sorted(((k, v) for k, v in values.items() if v > 0), key=lambda kv: -kv[1])
    if not rows:
        return ""
    whole, greatest = sum(v for _, v in rows), rows[0][1]
    body = (
        f'<tr><th scope="row">{said(kind)}</th><td class="num">{show(value)}</td>'
        f'<td class="num">{100 * value / whole:.0f}&nbsp;%</td>'
        f'<td class="barcell">{bar(value / greatest)}</td></tr>'
        for kind, value in rows
    )
    return table(caption, (head[0], f"#{head[1]}", "#share", ""), body, "bars")


def merged_kinds(pieces: Sequence[tuple[int, Mapping[str, float]]]) -> dict[str, float]:
    """Add up what several parts take of each kind, each times its number of pieces."""
    total: dict[str, float] = {}
    for count, kinds in pieces:
        for kind, value in kinds.items():
            total[kind] = total.get(kind, 0.0) + count * value
    return total


def plate_drawing(plate: Plate, numbers: Mapping[str, int]) -> str:
    """Draw a plate from above, to scale, front edge below.

    Parameters
    ----------
    plate : Plate
        The plate.
    numbers : mapping of str to int
        Number of each part on the sheet.

    Returns
    -------
    str
        An SVG element in millimetres.
    """
    width, depth = plate.bed_mm
    m = _MARGIN_MM
    grid = "".join(f'<path class="grid" d="M{x:g} 0V{depth:g}"/>' for x in _steps(width)) + "".join(
        f'<path class="grid" d="M0 {depth - y:g}H{width:g}"/>' for y in _steps(depth)
    )
    items = "".join(_item(item, depth, numbers.get(item.part)) for item in plate.items)
    parts = ", ".join(dict.fromkeys(attribute(i.part) for i in plate.items)) or "nothing"
    return (
        f'<svg class="plate" viewBox="{-2:g} {-4:g} {width + m + 4:g} {depth + m + 6:g}" '
        f'role="img" aria-label="Plate {plate.number} from above, {width:.0f} by {depth:.0f} mm, '
        f'with {parts}">'
        f'<rect class="bed" width="{width:g}" height="{depth:g}" rx="3"/>{grid}{items}'
        f"{_dimension(width, depth)}</svg>"
    )


def _steps(length_mm: float) -> list[float]:
    return [
        _GRID_MM * i for i in range(1, int(length_mm / _GRID_MM) + 1) if _GRID_MM * i < length_mm
    ]


def _dimension(width: float, depth: float) -> str:
    """Dimension lines below and on the right, as on a drawing."""
    y, x = depth + 6.0, width + 6.0
    return (
        f'<path class="dim" d="M0 {depth + 2:g}V{y + 3:g}M{width:g} {depth + 2:g}V{y + 3:g}'
        f"M0 {y:g}H{width:g}M{width + 2:g} 0H{x + 3:g}M{width + 2:g} {depth:g}H{x + 3:g}"
        f'M{x:g} 0V{depth:g}"/>'
        f'<text class="dimtext" x="{width / 2:g}" y="{y + 3:g}">{width:.0f} mm, front</text>'
        f'<text class="dimtext" x="{x:g}" y="{depth / 2:g}" dy="3" '
        f'transform="rotate(-90 {x:g} {depth / 2:g})">{depth:.0f} mm</text>'
    )


def _item(item: PlateItem, bed_depth: float, part_number: int | None) -> str:
    x, y = item.x_mm, bed_depth - item.y_mm - item.depth_mm
    w, d = item.width_mm, item.depth_mm
    middle_x, middle_y = x + w / 2, y + d / 2
    figure = max(4.0, min(15.0, 0.42 * min(w, d)))
    shown = _shortened(item.part, w - 3.0, NAME_MM)
    both = bool(shown) and d > figure + 12.0
    base = middle_y + (0.35 * figure if not both else 0.05 * figure)
    text = (
        f'<text class="itemno" x="{middle_x:.2f}" y="{base:.2f}" font-size="{figure:.1f}">'
        f"{'' if part_number is None else part_number}</text>"
    )
    if both:
        text += (
            f'<text class="itemname" x="{middle_x:.2f}" y="{base + 10.0:.2f}" '
            f'font-size="{NAME_MM}">{attribute(shown)}</text>'
        )
    title = f"<title>{attribute(item.part)}: {number(w)} × {number(d)} mm</title>"
    return (
        f'<g>{title}<rect class="item" x="{x:.2f}" y="{y:.2f}" width="{w:.2f}" '
        f'height="{d:.2f}" rx="1"/>{text}</g>'
    )


def _shortened(text: str, width_mm: float, size_mm: float) -> str:
    """As much of a name as fits; nothing where that is no use."""
    room = int(width_mm / (_LETTER * size_mm))
    if len(text) <= room:
        return text
    return text[: room - 1] + "…" if room >= 6 else ""


def thickness_scale(line_width_mm: float, limit_mm: float) -> str:
    """Colour scale of the pictures: from nothing to the limit, with the beads marked."""
    import numpy as np

    from printplan.sheet.colours import thin_colours

    steps = 36
    colours = np.round(255 * thin_colours((np.arange(steps) + 0.5) / steps)).astype(int)
    bands = "".join(
        f'<rect x="{i * 240 / steps:.2f}" width="{240 / steps + 0.3:.2f}" height="12" '
        f'fill="#{r:02x}{g:02x}{b:02x}"/>'
        for i, (r, g, b) in enumerate(colours)
    )
    ticks = "".join(
        f'<path class="tick" d="M{240 * k * line_width_mm / limit_mm:.2f} 0v16"/>'
        f'<text x="{240 * k * line_width_mm / limit_mm:.2f}" y="27">{number(k * line_width_mm)}'
        "</text>"
        for k in range(round(limit_mm / line_width_mm) + 1)
    )
    return (
        '<svg class="scale" viewBox="-12 -1 268 31" role="img" aria-label="Colour scale: yellow '
        f"is thinnest, dark blue is {number(limit_mm)} mm; a tick at every bead of "
        f'{number(line_width_mm)} mm">{bands}{ticks}</svg>'
    )
