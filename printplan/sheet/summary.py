"""The head of the sheet: one sentence that says it all, and the totals."""

from __future__ import annotations

from typing import TYPE_CHECKING

from printplan.judging.verdicts import Topic
from printplan.sheet.tables import grades_of
from printplan.sheet.wording import (
    grade_name,
    listed,
    money,
    money_range,
    number,
    plural,
    safety_text,
    said,
    time_range,
    time_text,
    with_unit,
)

if TYPE_CHECKING:
    from printplan.planning.result import JobPlan, PartPlan

__all__ = ["stamp_text", "title_block", "verdict_sentence"]

#: Unfit parts that get a clause of their own; more are put into groups.
MOST_EXPLAINED = 3
_GROUPS: dict[Topic, str] = {
    "wall": "too thin",
    "heat": "too hot",
    "strength": "too weak",
    "printer": "not to be printed here",
    "weather": "not for outdoors",
    "data": "not judged",
}


def verdict_sentence(plan: JobPlan) -> str:
    """Say how many parts have a filament, which have none and why, and what is refused."""
    count, unfit = len(plan.parts), plan.unfit
    marginal = sum(p.best.verdict.suitability == "marginal" for p in plan.parts)
    fit = count - len(unfit)
    has = "has" if fit == 1 else "have"
    text = f"{fit} of {plural(count, 'part')} {has} a fit filament"
    if marginal:
        text += f" ({marginal} only marginally)"
    clauses = [text, *_why_unfit(plan), _refused(plan)]
    return "; ".join(c for c in clauses if c) + "."


def _why_unfit(plan: JobPlan) -> list[str]:
    """Say why nothing fits: part by part with the numbers, or in groups where there are many."""
    if len(plan.unfit) <= MOST_EXPLAINED:
        return [f"{_link(plan, p)} {_reason(p)}" for p in plan.unfit]
    groups: dict[Topic, list[str]] = {}
    for part in plan.unfit:
        groups.setdefault(_topic(part), []).append(_link(plan, part))
    return [f"{_GROUPS[topic]}: {listed(names)}" for topic, names in groups.items()]


def _link(plan: JobPlan, part: PartPlan) -> str:
    number_of = next(i for i, p in enumerate(plan.parts, start=1) if p is part)
    return f'<a href="#part-{number_of}">{said(part.name)}</a>'


def _topic(part: PartPlan) -> Topic:
    """Return what the first deciding reason of the best filament is about."""
    verdict = part.best.verdict
    if verdict.suitability == "not judged":
        return "data"
    return next((r.topic for r in verdict.reasons if r.effect == verdict.suitability), "data")


def _reason(part: PartPlan) -> str:
    """Say why a part has no fit filament; the numbers are those of its best one."""
    topic, tight = _topic(part), part.best.verdict.tightest
    if topic == "wall":
        return f"is too thin at {with_unit(part.measured.thinnest_wall_mm, 'mm')}"
    if topic == "heat":
        return f"gets too hot at {part.temperature.design_degc:.0f}&nbsp;°C"
    if topic == "strength" and tight is not None:
        return (
            f"is too weak, {said(tight.demand.name)} has a safety of "
            f"{safety_text(tight.safety)} where {number(tight.required)} is asked"
        )
    return {
        "strength": "is too weak",
        "printer": "can't be printed here",
        "weather": "does not stand the weather",
        "data": "could not be judged",
    }[topic]


def _refused(plan: JobPlan) -> str:
    """Name the filaments that are refused, with the number of parts."""
    found = []
    for grade in grades_of(plan):
        verdicts = [
            c.verdict.suitability
            for p in plan.parts
            for c in p.candidates
            if c.verdict.grade == grade
        ]
        bad = verdicts.count("unsuitable")
        if bad:
            whole = "every part" if bad == len(plan.parts) else plural(bad, "part")
            found.append(f"{said(grade_name(grade))} for {whole}")
    return f"refused: {listed(found)}" if found else ""


def stamp_text(plan: JobPlan) -> tuple[str, str]:
    """Class and words of the stamp at the head."""
    unfit = len(plan.unfit)
    if unfit:
        return "unfit", f"{plural(unfit, 'part')} without a fit filament"
    if any(p.best.verdict.suitability == "marginal" for p in plan.parts):
        return "marginal", "fit, some only marginally"
    return "fit", "all parts fit"


def title_block(plan: JobPlan) -> str:
    """Boxed totals, as in the title block of a drawing."""
    total = plan.totals
    plates = sum(p.plates for p in plan.printers)
    on_plates_s = sum(p.build_time_s for p in plan.printers)
    buy = [f"{count} × {said(grade_name(g))}" for g, count in total.spools_to_buy.items()]
    fields = [
        ("place and day", said(plan.place), ""),
        ("pieces", str(total.pieces), f"of {plural(len(plan.parts), 'part')}"),
        (
            "filament",
            with_unit(total.filament_g, "g"),
            with_unit(total.filament_m, "m"),
        ),
        (
            "printing time, piece by piece",
            time_text(total.build_time_s),
            time_range(total.time_low_s, total.time_high_s),
        ),
        ("printing time, on plates", time_text(on_plates_s), plural(plates, "plate")),
        ("energy", with_unit(total.energy_wh / 1000.0, "kWh"), ""),
        (
            "cost of printing",
            money(total.cost, plan.currency),
            money_range(total.cost_low, total.cost_high, plan.currency),
        ),
        ("priced hardware", money(total.hardware_cost, plan.currency), ""),
        ("spools to buy", ", ".join(buy) or "none", ""),
    ]
    cells = "".join(
        f"<div><dt>{label}</dt><dd>{value}{f'<small>{beside}</small>' if beside else ''}</dd></div>"
        for label, value, beside in fields
    )
    return f'<dl class="fields head">{cells}</dl>'
