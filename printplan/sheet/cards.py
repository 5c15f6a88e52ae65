"""One card per part: picture, how to print it, what it must bear, the verdicts."""

from __future__ import annotations

from base64 import b64encode
from typing import TYPE_CHECKING

from printplan.sheet.figures import part_figures
from printplan.sheet.markup import bullets, scrolling, table
from printplan.sheet.temperature_chart import map_picture, map_text
from printplan.sheet.wording import (
    MARKS,
    VERDICT_CLASS,
    attribute,
    chip,
    grade_name,
    money,
    money_range,
    number,
    plural,
    range_text,
    recipe_text,
    safety_text,
    said,
    size_text,
    time_range,
    time_text,
    with_unit,
)

if TYPE_CHECKING:
    from printplan.judging import Check, Suitability
    from printplan.planning.result import Candidate, PartPlan

__all__ = ["part_card"]

#: Checks shown open on the card; the rest folds away.
TIGHTEST = 5
#: Reasons shown open for each filament.
MOST_REASONS = 3
_NOT_CHECKED = "not checked: "


def part_card(part: PartPlan, index: int, currency: str) -> str:
    """Write the card of one part.

    Parameters
    ----------
    part : PartPlan
        The part.
    index : int
        Its number on the sheet.
    currency : str
        Code of the job's currency.

    Returns
    -------
    str
        An article element.
    """
    suitability = part.best.verdict.suitability
    role = "" if part.role == "other" else f"{said(part.role)} · "
    return (
        f'<article class="card" id="part-{index}" aria-labelledby="part-{index}-name">'
        f'<header><span class="tag" aria-hidden="true">{index}</span>'
        f'<h3 id="part-{index}-name">{said(part.name)}</h3>'
        f'<p class="stamp {VERDICT_CLASS[suitability]}">{_stamp(part)}</p>'
        f'<p class="sub">{role}{plural(part.quantity, "piece")} · {said(part.mesh)} · '
        f"{size_text(part.standing.box_mm[1] - part.standing.box_mm[0])} as it stands</p></header>"
        f"{part_figures(part)}"
        f"{_fields(part, currency)}{_tick_line(part)}{_checks(part)}{_verdicts(part, currency)}"
        f"{_remarks(part)}</article>"
    )


def _stamp(part: PartPlan) -> str:
    mark = f'<span aria-hidden="true">{MARKS[part.best.verdict.suitability]}</span> '
    if part.pick is None:
        return mark + ("not judged" if part.best.verdict.suitability == "not judged" else "no fit")
    return f"{mark}{said(grade_name(part.pick))}, {part.best.verdict.suitability}"


# --- how to print it ------------------------------------------------------------------------------


def _fields(part: PartPlan, currency: str) -> str:
    best, use = part.best, part.best.consumption
    heat, exposure = part.temperature, part.temperature.exposure
    many = part.quantity > 1

    def of_all(text: str) -> str:
        return f"; all {part.quantity}: {text}" if many else ""

    neighbour = exposure.neighbour_degc
    where = f"{said(part.colour)}, {said(part.shelter)}"
    if neighbour is not None:
        where += f", bolted to something of {neighbour:.0f}&nbsp;°C"
    fields = [
        (
            "print in" if part.pick else "no fit filament; shown as in",
            f"<b>{said(grade_name(best.verdict.grade))}</b>",
            said(best.printer or "no printer here can print it"),
        ),
        ("recipe", f"<b>{said(best.recipe.name)}</b>", said(recipe_text(best.recipe))),
        ("way up", f"{said(part.up)} of the file", f"{plural(use.layers, 'layer')}"),
        (
            "filament, each",
            with_unit(use.filament_g, "g"),
            f"{range_text(*use.filament_g_range, 'g')}, {with_unit(use.filament_m, 'm')}"
            + of_all(with_unit(part.filament_g, "g")),
        ),
        (
            "printing time, each",
            time_text(use.build_time_s),
            time_range(*use.build_time_s_range) + of_all(time_text(part.build_time_s)),
        ),
        (
            "cost, each",
            money(use.cost, currency),
            money_range(*use.cost_range, currency) + of_all(money(part.cost, currency)),
        ),
        (
            "part on the hot day",
            f"{heat.design_degc:.0f}&nbsp;°C",
            f"up to {heat.upper_degc:.0f}&nbsp;°C in still air and dirty; air "
            f"{heat.air_degc:.0f}&nbsp;°C; set by the {said(heat.governed_by)}; {where}",
        ),
        (
            "holds its shape up to",
            with_unit(best.verdict.limit.limit_degc, "°C", 2),
            said(grade_name(best.verdict.grade)) + ", under this part’s loads",
        ),
        (
            "safety asked",
            number(part.required.factor),
            f"{number(part.required.bearing)} where a harder body presses; a break "
            f"{said(part.required.danger)}; {said(part.required.reason)}",
        ),
    ]
    cells = "".join(
        f"<div><dt>{label}</dt><dd>{value}<small>{beside}</small></dd></div>"
        for label, value, beside in fields
    )
    return f'<dl class="fields">{cells}</dl>'


def _tick_line(part: PartPlan) -> str:
    """Boxes to be ticked with a pencil in the workshop."""
    mass = with_unit(part.best.consumption.filament_g, "g")
    boxes = "".join(
        f'<li><span class="box" aria-hidden="true"></span>{text}'
        '<span class="line" aria-hidden="true"></span></li>'
        for text in ("printed on", f"weighed, g (reckoned {mass})", "looked over by", "proved on")
    )
    return f'<ul class="ticks" aria-label="To be ticked off by hand">{boxes}</ul>'


# --- what it must bear ----------------------------------------------------------------------------


def _checks(part: PartPlan) -> str:
    verdict = part.best.verdict
    title = f"<h4>Strength in {said(grade_name(verdict.grade))}, the tightest first</h4>"
    if not verdict.checks:
        return title + '<p class="none">No strength check was made.</p>'
    shown = _check_table(
        verdict.checks[:TIGHTEST],
        "Lower bound of strength; at the part’s temperature on the hot day, and in brackets at "
        "its upper bound",
    )
    rest = ""
    if len(verdict.checks) > TIGHTEST:
        more = plural(len(verdict.checks) - TIGHTEST, "check")
        rest = (
            f"<details><summary>{more} with more to spare</summary>"
            f"{_check_table(verdict.checks[TIGHTEST:], 'The other checks')}</details>"
        )
    origin = "".join(
        f"<dt>{said(c.demand.name)} <small>{said(c.demand.case)}</small></dt><dd>{_origin(c)}</dd>"
        for c in verdict.checks
    )
    return (
        f"{title}{shown}{rest}<details><summary>Formulas, values and where they come from"
        f"</summary><dl>{origin}</dl></details>"
    )


def _check_table(checks: tuple[Check, ...], caption: str) -> str:
    heads = (
        "what and when",
        "how it lies to the layers",
        "#stress, MPa",
        "#strength, MPa",
        "#safety",
        "#typical safety",
        "#asked",
        "holds",
    )
    rows = (_check_row(c) for c in checks)
    return scrolling(table(caption, heads, rows, "checks"), "Strength checks")


def _check_row(check: Check) -> str:
    demand = check.demand
    held: Suitability = (
        "suitable" if check.holds_hottest else ("marginal" if check.holds else "unsuitable")
    )
    words = {"suitable": "yes", "marginal": "not hottest", "unsuitable": "no"}
    lasting = {"single": "rarely", "sustained": "for hours"}.get(demand.duration)
    if lasting is None:
        lasting = f"{demand.cycles:,.0f} times".replace(",", "\u202f")
    return (
        f'<tr><th scope="row">{said(demand.name)}<small>{said(demand.case)}</small></th>'
        f"<td>{said(demand.direction)}<small>{lasting}</small></td>"
        f'<td class="num">{number(demand.stress_mpa)}</td>'
        f'<td class="num">{number(check.strength.strength_mpa)}'
        f"<small>({number(check.strength_hottest.strength_mpa)})</small></td>"
        f'<td class="num"><b>{safety_text(check.safety)}</b>'
        f"<small>({safety_text(check.safety_hottest)})</small></td>"
        f'<td class="num">{safety_text(check.safety_typical)}</td>'
        f'<td class="num">{number(check.required)}</td>'
        f"<td>{chip(held, words[held])}</td></tr>"
    )


def _origin(check: Check) -> str:
    demand = check.demand
    values = [f"{key} = {number(v)}" for key, v in demand.terms.items()]
    values += [f"factor {key} = {number(v)}" for key, v in demand.factors.items()]
    parts = [
        f"<code>{said(demand.formula)}</code>" if demand.formula else "",
        said(", ".join(values)) if values else "",
        f"<small>{said(demand.source)}</small>" if demand.source else "",
        bullets(demand.notes),
    ]
    return "".join(f"<div>{p}</div>" for p in parts if p)


# --- verdicts and remarks -------------------------------------------------------------------------


def _verdicts(part: PartPlan, currency: str) -> str:
    items = "".join(_verdict(part, c, currency) for c in part.candidates)
    return f'<h4>Filament by filament</h4>{_map(part)}<ol class="grades">{items}</ol>'


def _map(part: PartPlan) -> str:
    """Margin over part temperature, where any check was made."""
    if all(c.over_temperature is None for c in part.candidates):
        return ""
    data = b64encode(map_picture(part, "svg")).decode("ascii")
    return (
        f'<figure class="map"><div class="photo"><img width="700" height="340" '
        f'src="data:image/svg+xml;base64,{data}" alt="{attribute(map_text(part))}"></div>'
        "<figcaption>How the margin falls as the part gets hotter: above the black line the part "
        "is strong enough, a dot marks where the filament softens.</figcaption></figure>"
    )


def _verdict(part: PartPlan, candidate: Candidate, currency: str) -> str:
    verdict, use = candidate.verdict, candidate.consumption
    pick = " <b>pick</b>" if verdict.grade == part.pick else ""
    deciding = [r.text for r in verdict.reasons if r.effect == verdict.suitability]
    others = [r.text for r in verdict.reasons if r.effect != verdict.suitability]
    printer = said(candidate.printer) if candidate.printer else "no printer here"
    more = [*deciding[MOST_REASONS:], *others, *(f"recipe {text}" for text in candidate.tried)]
    more += [f"rests on: {text}" for text in verdict.weak_points]
    further = ""
    if more:
        count = plural(len(more), "further finding")
        further = f"<details><summary>{count}</summary>{bullets(more)}</details>"
    return (
        f'<li class="{VERDICT_CLASS[verdict.suitability]}"><p>{chip(verdict.suitability)} '
        f"<b>{said(grade_name(verdict.grade))}</b>{pick} <small>{said(candidate.recipe.name)}, "
        f"{with_unit(use.filament_g, 'g')}, {time_text(use.build_time_s)}, "
        f"{money(use.cost, currency)} each, {printer}</small></p>"
        f"{bullets(deciding[:MOST_REASONS])}{further}</li>"
    )


def _remarks(part: PartPlan) -> str:
    """Warnings, and what nobody checked."""
    unchecked = [w.removeprefix(_NOT_CHECKED) for w in part.warnings if w.startswith(_NOT_CHECKED)]
    warnings = [w for w in part.warnings if not w.startswith(_NOT_CHECKED)]
    text = ""
    if warnings:
        text += f"<h4>Mind</h4>{bullets(warnings, 'warnings')}"
    if unchecked:
        text += f"<h4>Not checked</h4>{bullets(unchecked, 'unchecked')}"
    return text
