"""The pictures of a part on the page: frame, numbers, scale, words, list of thin places."""

from __future__ import annotations

from base64 import b64encode
from typing import TYPE_CHECKING

from printplan.sheet.charts import thickness_scale
from printplan.sheet.markup import scrolling, table
from printplan.sheet.pictures import HEIGHT, MOST_MARKS, WIDTH, View, draw_part
from printplan.sheet.wording import attribute, number, said, size_text

if TYPE_CHECKING:
    from printplan.part.thickness import Thickness, ThinRegion
    from printplan.planning.result import PartPlan

__all__ = ["part_figures", "picture_text"]


def part_figures(part: PartPlan) -> str:
    """Draw both views of a part, with the colour scale and the list of its thin places."""
    pictures = draw_part(part.standing, part.measured.solid, part.measured.thickness)
    figures = "".join(_figure(part, view) for view in pictures.views)
    thickness = part.measured.thickness
    return f'<div class="pictures">{figures}</div>{_thin_places(thickness, pictures.coloured)}'


def _figure(part: PartPlan, view: View) -> str:
    marks = "".join(
        f'<circle cx="{WIDTH * m.x:.1f}" cy="{HEIGHT * m.y:.1f}" r="9.5"/>'
        f'<text x="{WIDTH * m.x:.1f}" y="{HEIGHT * m.y + 4.3:.1f}">{m.number}</text>'
        for m in view.marks
    )
    length_mm = _scale_length(view.pixels_per_mm)
    length = length_mm * view.pixels_per_mm
    scale = (
        f'<path d="M8 {HEIGHT - 12}v6h{length:.1f}v-6"/>'
        f'<text class="mm" x="{14 + length:.1f}" y="{HEIGHT - 5}">{length_mm:g} mm</text>'
    )
    data = b64encode(view.png).decode("ascii")
    return (
        f'<figure><div class="photo"><img width="{WIDTH}" height="{HEIGHT}" '
        f'src="data:image/png;base64,{data}" alt="{picture_text(part, view)}">'
        f'<svg viewBox="0 0 {WIDTH} {HEIGHT}" aria-hidden="true" focusable="false">{scale}{marks}'
        f"</svg></div><figcaption>from the {view.seen_from}</figcaption></figure>"
    )


def _scale_length(pixels_per_mm: float) -> float:
    """Longest round length that takes less than a fifth of the picture. [mm]"""
    lengths = (500.0, 200.0, 100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0)
    fitting = [x for x in lengths if x * pixels_per_mm <= WIDTH / 5]
    return fitting[0] if fitting else lengths[-1]


def picture_text(part: PartPlan, view: View) -> str:
    """Say in words what a picture shows, ready for an attribute."""
    thickness = part.measured.thickness
    text = (
        f"{attribute(part.name)} as it stands on the plate, "
        f"{size_text(part.standing.box_mm[1] - part.standing.box_mm[0])}, "
        f"seen from the {view.seen_from}. "
    )
    if not thickness.regions:
        return text + f"No wall is thinner than {number(thickness.limit_mm)} mm."
    seen = {m.number for m in view.marks}
    places = "; ".join(
        f"{i}: {number(r.thickness_mm)} mm, {attribute(r.judged)}"
        f"{', marked in this picture' if i in seen else ''}"
        for i, r in enumerate(thickness.regions[:MOST_MARKS], start=1)
    )
    more = len(thickness.regions) - MOST_MARKS
    return f"{text}Thin places: {places}{f'; {more} more' if more > 0 else ''}."


def _thin_places(thickness: Thickness, coloured: bool) -> str:
    beads = thickness.limit_mm / thickness.line_width_mm
    limit = f"{number(thickness.limit_mm)}&nbsp;mm ({beads:.3g} beads)"
    scale = ""
    if coloured:
        scale = (
            f'<div class="legend">{thickness_scale(thickness.line_width_mm, thickness.limit_mm)}'
            f"<span>wall thickness, mm; grey: {limit} and more</span></div>"
        )
    if not thickness.regions:
        spots = f"{number(thickness.least_area_mm2, 2)}&nbsp;mm²"
        return (
            f'{scale}<p class="thin">No place is thinner than {limit}; spots of less than {spots} '
            "are not counted.</p>"
        )
    caption = f"Thin places, under {limit}; where they are is given in the mesh file’s own axes"
    heads = ("no.", "#thinnest, mm", "#beads", "#area, mm²", "at x, y, z, mm", "means")
    rows = (_thin_row(i, r) for i, r in enumerate(thickness.regions, start=1))
    return scale + scrolling(table(caption, heads, rows, "thin"), "Thin places")


def _thin_row(index: int, region: ThinRegion) -> str:
    x, y, z = (f"{v:.0f}".replace("-", "−") for v in region.place_mm)
    alike = f" and {region.count - 1} alike" if region.count > 1 else ""
    return (
        f'<tr><th scope="row">{index}</th><td class="num">{number(region.thickness_mm)}</td>'
        f'<td class="num">{region.bead_widths:.1f}</td>'
        f'<td class="num">{region.area_mm2:.0f}</td><td>{x}, {y}, {z}{alike}</td>'
        f"<td>{said(region.judged)}</td></tr>"
    )
