"""The page: head, sections in their order, foot."""

from __future__ import annotations

from collections.abc import Callable
from importlib.resources import files
from typing import TYPE_CHECKING

from printplan.sheet.cards import part_card
from printplan.sheet.charts import bar_table, merged_kinds, plate_drawing
from printplan.sheet.markup import bullets, scrolling, table
from printplan.sheet.summary import stamp_text, title_block, verdict_sentence
from printplan.sheet.tables import (
    hardware_table,
    loads_tables,
    plates_table,
    spool_table,
    verdict_table,
)
from printplan.sheet.wording import (
    attribute,
    chip,
    grade_name,
    money,
    plural,
    safety_text,
    said,
    time_text,
    with_unit,
)

if TYPE_CHECKING:
    from printplan.judging import Suitability
    from printplan.planning import JobPlan
    from printplan.planning.result import Plate

__all__ = ["sheet_html"]

#: What a browser may load: nothing but what the page carries in itself.
_POLICY = "default-src 'none'; img-src data:; style-src 'unsafe-inline'"


def sheet_html(plan: JobPlan, report: Callable[[float, str], None] | None = None) -> str:
    """Write the job sheet of a plan.

    Parameters
    ----------
    plan : JobPlan
        The plan.
    report : callable or None
        Gets progress as (share done, text).

    Returns
    -------
    str
        One HTML page with everything in it; no script, no network.
    """
    say = report or (lambda share, text: None)
    cards = []
    for i, part in enumerate(plan.parts, start=1):
        say((i - 1) / len(plan.parts), f"{part.name}: drawing")
        cards.append(part_card(part, i, plan.currency))
    say(1.0, "job sheet written")
    style = files("printplan.sheet").joinpath("style.css").read_text(encoding="utf-8")
    title = attribute(plan.title)
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">'
        '<meta name="color-scheme" content="light dark">'
        f"<title>{title}: job sheet</title><style>\n{style}</style></head>"
        f"<body>{_head(plan)}<main>{_cautions(plan)}"
        f"{_section('parts', 'Parts', _index(plan) + ''.join(cards))}"
        f"{_section('verdicts', 'Verdicts at a glance', verdict_table(plan))}"
        f"{_section('loads', 'Loads', _loads(plan))}"
        f"{_section('plates', 'Plates', _plates(plan))}"
        f"{_section('where', 'Where hours and money go', _where(plan))}"
        f"{_section('buy', 'Spools and hardware', _to_buy(plan))}"
        f"{_section('origin', 'Where the numbers come from', _origin(plan))}"
        f"{_section('care', 'Before anyone rides', _care(plan))}"
        "</main><footer><p>Estimates, not allowances. Nothing on this sheet was measured on a "
        "printed part.</p></footer></body></html>\n"
    )


def _section(name: str, title: str, content: str) -> str:
    return (
        f'<section id="{name}" aria-labelledby="{name}-title"><h2 id="{name}-title">{title}</h2>'
        f"{content}</section>"
    )


def _head(plan: JobPlan) -> str:
    kind, words = stamp_text(plan)
    links = "".join(
        f'<a href="#{name}">{title}</a>'
        for name, title in (
            ("parts", "parts"),
            ("verdicts", "verdicts"),
            ("loads", "loads"),
            ("plates", "plates"),
            ("where", "hours and money"),
            ("buy", "to buy"),
            ("origin", "sources"),
            ("care", "cautions"),
        )
    )
    return (
        '<header class="top"><span class="hole" aria-hidden="true"></span>'
        f'<p class="kind">Job sheet</p><h1>{said(plan.title)}</h1>'
        f'<p class="stamp {kind}">{words}</p>'
        f'<p class="verdict">{verdict_sentence(plan)}</p>{title_block(plan)}'
        f'<nav aria-label="On this sheet">{links}</nav></header>'
    )


def _cautions(plan: JobPlan) -> str:
    """First sentence of each caution, where nobody can miss it, and what the plan warns of."""
    short = [text.split(". ", 1)[0].rstrip(".") + "." for text in plan.cautions]
    warned = f"<h3>About this set</h3>{bullets(plan.warnings, 'warnings')}" if plan.warnings else ""
    return (
        '<section class="cautions" aria-labelledby="cautions-title">'
        '<h2 id="cautions-title">Mind</h2>'
        f'{bullets(short)}<p><a href="#care">All of it, and how to prove a part</a></p>{warned}'
        "</section>"
    )


def _index(plan: JobPlan) -> str:
    items = "".join(
        f'<li><a href="#part-{i}">{said(p.name)}</a> {chip(p.best.verdict.suitability)}</li>'
        for i, p in enumerate(plan.parts, start=1)
    )
    return f'<ol class="index">{items}</ol>'


def _loads(plan: JobPlan) -> str:
    if plan.loads is None:
        return (
            "<p>The job file describes no vehicle: only loads written beside a part were "
            "checked.</p>"
        )
    return loads_tables(plan.loads)


def _plates(plan: JobPlan) -> str:
    if not plan.plates:
        return "<p>No part stands on a plate.</p>"
    numbers = {p.name: i for i, p in enumerate(plan.parts, start=1)}
    figures = "".join(_plate(plate, numbers) for plate in plan.plates)
    return f'{plates_table(plan)}<div class="plates">{figures}</div>'


def _plate(plate: Plate, numbers: dict[str, int]) -> str:
    counts: dict[str, int] = {}
    for item in plate.items:
        counts[item.part] = counts.get(item.part, 0) + 1
    turned = sum(item.turned for item in plate.items)
    listed = ", ".join(f"{n} × {said(name)}" for name, n in counts.items())
    note = f"; {plural(turned, 'piece')} turned a quarter" if turned else ""
    return (
        f'<figure id="plate-{plate.number}"><figcaption><h3>Plate {plate.number}</h3>'
        f"<p>{said(grade_name(plate.grade))}, {said(plate.printer)}, layers "
        f"{plate.layer_height_mm:g}&nbsp;mm, {with_unit(plate.filament_g, 'g')}, "
        f"{time_text(plate.build_time_s)}</p></figcaption>{plate_drawing(plate, numbers)}"
        f"<p>{listed}{note}; {100 * plate.density:.0f}&nbsp;% of the plate filled</p></figure>"
    )


def _where(plan: JobPlan) -> str:
    uses = [(p.quantity, p.best.consumption) for p in plan.parts]

    def total(field: str) -> dict[str, float]:
        return merged_kinds([(n, getattr(use, field)) for n, use in uses])

    def amount(value: float) -> str:
        return money(value, plan.currency)

    tables = (
        bar_table("Hours of the whole set", ("doing", "time"), total("time_s_by_kind"), time_text),
        bar_table("Money", ("item", "cost"), total("cost_by_item"), amount),
        bar_table(
            "Filament",
            ("as", "mass"),
            total("filament_g_by_kind"),
            lambda g: with_unit(g, "g"),
        ),
        bar_table(
            "Energy",
            ("for", "energy"),
            total("energy_wh_by_kind"),
            lambda wh: with_unit(wh, "Wh"),
        ),
        bar_table(
            "Hours by part",
            ("part", "time"),
            {p.name: p.build_time_s for p in plan.parts},
            time_text,
        ),
        bar_table("Money by part", ("part", "cost"), {p.name: p.cost for p in plan.parts}, amount),
    )
    reasons = dict.fromkeys(text for _, use in uses for text in use.range_reasons)
    return (
        "<p>Every piece printed by itself, each part in its pick; on shared plates heating up "
        "counts once per plate.</p>"
        f'<div class="pair">{"".join(tables)}</div><h3>Why the ranges are as wide as they are</h3>'
        f"{bullets(reasons)}"
    )


def _to_buy(plan: JobPlan) -> str:
    buy = ", ".join(
        f"{plural(count, 'spool')} of {said(grade_name(grade))}"
        for grade, count in plan.totals.spools_to_buy.items()
    )
    return (
        f"<p>To buy: {buy or 'no spool'}.</p><h3>Spools</h3>{spool_table(plan)}"
        f"<h3>Hardware</h3>{hardware_table(plan)}"
    )


def _origin(plan: JobPlan) -> str:
    words = (
        ("[source: …]", "published, and opened for this: author, year, table or clause"),
        ("[common practice]", "a rule of the trade for which no source is given"),
        ("[memory: …]", "recalled from a publication that was not opened again"),
        ("derived", "worked out here from the other kinds"),
    )
    labels = "".join(f"<dt>{label}</dt><dd>{meaning}</dd>" for label, meaning in words)
    verdicts: tuple[tuple[Suitability, str], ...] = (
        ("suitable", "every check holds, even at the upper bound of temperature"),
        ("marginal", "holds at the design temperature, or with a reservation that is named"),
        ("unsuitable", "at least one check fails"),
        ("not judged", "something is missing; passes nothing"),
    )
    meanings = "".join(f"<dt>{chip(kind)}</dt><dd>{text}</dd>" for kind, text in verdicts)
    terms = (
        (
            "part on the hot day",
            "light wind, colour as stated; the upper bound is for still air, a dirty and aged "
            "surface and the face turned to the sun",
        ),
        (
            "safety",
            "strength over stress. Strength is the lower bound, about what 95 of 100 test pieces "
            "reach; “typical” is the middle of them. Safety factors are rounded down",
        ),
        ("asked", "the safety demanded of the part, by what a break does to people"),
        ("bead", "one printed strand; walls of fewer than two beads are a single strand"),
    )
    defined = "".join(f"<dt>{word}</dt><dd>{text}</dd>" for word, text in terms)
    sources = bullets(plan.sources) or "<p>The plan names no source.</p>"
    return (
        f'<h3>Labels</h3><dl class="words">{labels}</dl><h3>Verdicts</h3>'
        f'<dl class="words">{meanings}</dl><h3>Words</h3><dl class="words">{defined}</dl>'
        f'<h3>Sources</h3><div class="sources">{sources}</div>'
    )


def _care(plan: JobPlan) -> str:
    return (
        f'<ol class="care">{"".join(f"<li>{said(text)}</li>" for text in plan.cautions)}</ol>'
        f"<h3>Proving a part</h3>{_proof(plan)}"
    )


def _proof(plan: JobPlan) -> str:
    """Say what to load first on each part: the place of its tightest check."""
    rows = (_proof_row(plan, i) for i in range(len(plan.parts)))
    caption = "Where each part is nearest to its limit: load this place first"
    heads = ("part", "place", "in which case", "#safety reckoned", "a break", "proved")
    return (
        "<p>Bolt the part to something firm, as it will sit in the vehicle and as warm as on the "
        "hot day. Load it slowly with dead weight, over soft ground, with nobody near, to more "
        "than its working load; leave the load on for some minutes. Then look for cracks, "
        "whitening and places that stay bent. A part that has cracked is scrap, and so is its "
        "twin from the same plate until the cause is known. Passing proves this piece, this day; "
        "it does not prove the next one.</p>"
        + scrolling(table(caption, heads, rows), "What to prove first")
    )


def _proof_row(plan: JobPlan, index: int) -> str:
    part = plan.parts[index]
    tight = part.best.verdict.tightest
    place = ("no strength check was made", "–", "–")
    if tight is not None:
        place = (said(tight.demand.name), said(tight.demand.case), safety_text(tight.safety))
    return (
        f'<tr><th scope="row">{said(part.name)}</th><td>{place[0]}</td><td>{place[1]}</td>'
        f'<td class="num">{place[2]}</td><td>{said(part.required.danger)}</td>'
        '<td class="tickbox"><span class="box" aria-hidden="true"></span></td></tr>'
    )
