"""Tables of the whole set: verdicts, load cases, spools, hardware, sources."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from printplan.sheet.markup import bullets, scrolling, table
from printplan.sheet.wording import (
    MARKS,
    VERDICT_CLASS,
    grade_name,
    number,
    plural,
    safety_text,
    said,
    time_text,
    with_unit,
)

if TYPE_CHECKING:
    from printplan.planning.result import Candidate, JobPlan
    from printplan.vehicle import LoadCase, VehicleLoads

__all__ = [
    "grades_of",
    "hardware_table",
    "loads_tables",
    "plates_table",
    "spool_table",
    "verdict_table",
]

#: Fields of a load case with their heads; torques are written in N·m, forces in N.
_TORQUES = (
    ("housing_torque_nmm", "differential housing"),
    ("side_gear_torque_nmm", "one side gear"),
    ("wheel_torque_nmm", "one wheel's hub"),
    ("motor_output_torque_nmm", "motor's output"),
)
_FORCES = (
    ("belt_force_n", "belt"),
    ("belt_shaft_force_n", "belt on its shaft"),
    ("wheel_vertical_n", "wheel, upright"),
    ("wheel_lateral_n", "wheel, sideways"),
    ("wheel_longitudinal_n", "wheel, along"),
)


def grades_of(plan: JobPlan) -> list[str]:
    """All grades tried, those fit for most parts first."""
    fit: dict[str, int] = {}
    for part in plan.parts:
        for candidate in part.candidates:
            good = candidate.verdict.suitability in ("suitable", "marginal")
            fit[candidate.verdict.grade] = fit.get(candidate.verdict.grade, 0) + good
    return sorted(fit, key=lambda grade: (-fit[grade], grade))


def verdict_table(plan: JobPlan) -> str:
    """Parts by filaments: the verdict and its margin in each cell, the pick framed."""
    grades = grades_of(plan)
    rows = []
    for i, part in enumerate(plan.parts, start=1):
        by_grade = {c.verdict.grade: c for c in part.candidates}
        cells = "".join(_verdict_cell(by_grade.get(g), g == part.pick) for g in grades)
        rows.append(
            f'<tr><th scope="row"><a href="#part-{i}">{i}&nbsp;{said(part.name)}</a></th>'
            f"{cells}</tr>"
        )
    caption = (
        "Every part in every filament. The small figure is the least safety over what is asked: "
        "1.00 is just enough. The framed cell is the pick."
    )
    heads = ("part", *(said(grade_name(g)) for g in grades))
    return scrolling(
        table(caption, heads, rows, "verdicts"), "Verdict of every part in every filament"
    )


def _verdict_cell(candidate: Candidate | None, picked: bool) -> str:
    if candidate is None:
        return '<td class="none">not tried</td>'
    verdict = candidate.verdict
    kind = VERDICT_CLASS[verdict.suitability]
    margin = "" if verdict.margin is None else f"<small>{safety_text(verdict.margin)}</small>"
    pick = "<b>pick</b>" if picked else ""
    return (
        f'<td class="cell {kind}{" picked" if picked else ""}">'
        f'<span class="mark" aria-hidden="true">{MARKS[verdict.suitability]}</span>'
        f"<span>{verdict.suitability}</span>{margin}{pick}</td>"
    )


def loads_tables(loads: VehicleLoads) -> str:
    """Load cases with torques and forces, how each was worked out, and warnings."""
    torques = [f for f in _TORQUES if any(getattr(c, f[0]) for c in loads.cases)]
    forces = [f for f in _FORCES if any(getattr(c, f[0]) for c in loads.cases)]
    greatest = {f: max(getattr(c, f) for c in loads.cases) for f, _ in (*torques, *forces)}
    groups = "".join(
        f'<th scope="colgroup" colspan="{len(fields)}">{title}</th>'
        for fields, title in ((torques, "torque, N·m"), (forces, "force, N"))
        if fields
    )
    heads = "".join(f'<th scope="col" class="num">{title}</th>' for _, title in (*torques, *forces))
    rows = (
        f'<tr><th scope="row">{said(case.name)}<small>{said(case.story)}</small></th>'
        f"<td>{_how_often(case)}</td>"
        + "".join(_load_cell(case, f, 1e-3, greatest[f]) for f, _ in torques)
        + "".join(_load_cell(case, f, 1.0, greatest[f]) for f, _ in forces)
        + f"<td>{said(case.limited_by)}</td></tr>"
        for case in loads.cases
    )
    two_rows = (
        '<tr><th scope="col" rowspan="2">case</th><th scope="col" rowspan="2">how often</th>'
        f"{groups}"
        f'<th scope="col" rowspan="2">ended by</th></tr><tr>{heads}</tr>'
    )
    caption = (
        "What the road, the motor and the brake put on the parts; the greatest of each column is "
        "in bold type."
    )
    steps = "".join(
        f"<dt>{said(case.name)}</dt><dd>{said(case.assumption)}"
        f"{bullets(case.trail, 'trail')}<small>{said(case.source)}</small></dd>"
        for case in loads.cases
    )
    return (
        scrolling(table(caption, two_rows, rows, "loads"), "Load cases")
        + bullets(loads.warnings, "warnings")
        + f"<details><summary>How each case was worked out</summary><dl>{steps}</dl></details>"
    )


def _how_often(case: LoadCase) -> str:
    often = {"single": "rarely", "sustained": "for hours"}.get(case.duration)
    if often is None:
        often = f"{case.cycles:,.0f} times".replace(",", "\u202f")
    return f"{often}<small>{said(case.axle)} axle{', a fault' if case.fault else ''}</small>"


def _load_cell(case: LoadCase, field: str, factor: float, greatest: float) -> str:
    value: float = getattr(case, field)
    if value == 0.0:
        return '<td class="num">–</td>'
    text = number(value * factor)
    return f'<td class="num">{f"<b>{text}</b>" if value == greatest else text}</td>'


def plates_table(plan: JobPlan) -> str:
    """Plates and hours of each printer."""
    if not plan.printers:
        return ""
    rows = (
        f'<tr><th scope="row">{said(p.printer)}</th><td class="num">{p.plates}</td>'
        f'<td class="num">{time_text(p.build_time_s)}</td></tr>'
        for p in plan.printers
    )
    return table("What each printer has to do", ("printer", "#plates", "#time"), rows)


def spool_table(plan: JobPlan) -> str:
    """Spools, what is on them before and after, and the plates they feed."""
    if not plan.spools:
        return "<p>No spool is used.</p>"
    rows = (
        f'<tr><th scope="row">{said(grade_name(s.grade))}</th>'
        f"<td>{'in stock' if s.in_stock else '<b>to buy</b>'}</td>"
        f'<td class="num">{with_unit(s.mass_before_g, "g")}</td>'
        f'<td class="num">{with_unit(s.mass_after_g, "g")}</td>'
        f"<td>{_plate_numbers(s.plates)}</td></tr>"
        for s in plan.spools
    )
    heads = ("filament", "spool", "#before", "#after", "plates")
    return scrolling(table("Which spool feeds which plates", heads, rows), "Spools")


def _plate_numbers(numbers: Sequence[int]) -> str:
    return ", ".join(f'<a href="#plate-{n}">{n}</a>' for n in numbers)


def hardware_table(plan: JobPlan) -> str:
    """List what is bought beside the filament."""
    if not plan.hardware:
        return "<p>The job file lists no hardware.</p>"
    rows = (
        f'<tr><td class="num">{h.quantity}</td><th scope="row">{said(h.designation)}</th>'
        f"<td>{said(h.for_ or '')}</td>"
        f'<td class="num">{"–" if h.price is None else f"{h.price[0]:.2f} {said(h.price[1])}"}</td>'
        '<td class="tickbox"><span class="box" aria-hidden="true"></span></td></tr>'
        for h in plan.hardware
    )
    caption = f"Hardware, as the job file lists it ({plural(len(plan.hardware), 'item')})"
    heads = ("#pieces", "designation", "for", "#price each", "at hand")
    return scrolling(table(caption, heads, rows), "Hardware")
