"""Texts and numbers as the sheet writes them; everything from the plan is escaped here."""

from __future__ import annotations

import html
import math
from collections.abc import Iterable
from functools import cache
from typing import TYPE_CHECKING

from printplan.errors import UnknownNameError
from printplan.quantities import show_duration

if TYPE_CHECKING:
    from printplan.judging import Suitability
    from printplan.process import Recipe

__all__ = [
    "MARKS",
    "VERDICT_CLASS",
    "attribute",
    "chip",
    "grade_name",
    "listed",
    "money",
    "money_range",
    "number",
    "plural",
    "range_text",
    "recipe_text",
    "safety_text",
    "said",
    "size_text",
    "time_range",
    "time_text",
    "with_unit",
]

#: No-break space between number and unit.
NBSP = "\u00a0"
#: Characters that turn the direction of the text round them.
_TURNING = dict.fromkeys([0x61C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A)])

#: A mark beside each word, so that colour is never the only sign.
MARKS: dict[Suitability, str] = {
    "suitable": "✓",
    "marginal": "!",
    "unsuitable": "✕",
    "not judged": "?",
}
VERDICT_CLASS: dict[Suitability, str] = {
    "suitable": "fit",
    "marginal": "marginal",
    "unsuitable": "unfit",
    "not judged": "open",
}


def _clean(text: object) -> str:
    """Replace what HTML can't hold: control characters, lone surrogates, non-characters."""
    return (
        "".join(
            " " if (c < " " or "\x7f" <= c <= "\x9f" or "\ud800" <= c <= "\udfff") else c
            for c in str(text)
        )
        .replace("\ufffe", " ")
        .replace("\uffff", " ")
    )


def said(text: object) -> str:
    """Text of the plan inside the page: escaped, its writing direction kept to itself."""
    return f"<bdi>{html.escape(_clean(text))}</bdi>"


def attribute(text: object) -> str:
    """Text of the plan where no element can stand: attributes, titles, drawings.

    Marks of writing direction are left out, since nothing there would end them.
    """
    return html.escape(_clean(text).translate(_TURNING))


@cache
def grade_name(grade: str) -> str:
    """Name for people of a grade in the table, else the grade itself; not escaped."""
    from printplan.filament import load_table

    try:
        return load_table().get(grade).name
    except UnknownNameError:
        return grade


def number(value: float | None, digits: int = 3) -> str:
    """Write a number with so many digits that count; whole numbers beyond stay whole.

    >>> number(0.12345), number(12345.6), number(2.0), number(float("inf"))
    ('0.123', '12346', '2.00', '∞')
    """
    if value is None or math.isnan(value):
        return "–"
    if math.isinf(value):
        return "∞" if value > 0 else "−∞"
    if value == 0:
        return "0"
    before = math.floor(math.log10(abs(value))) + 1
    return f"{value:.{max(0, digits - before)}f}".replace("-", "−")


def safety_text(value: float, digits: int = 3) -> str:
    """Write a safety factor, rounded down: what falls short must not look reached.

    >>> safety_text(2.3999), number(2.3999)
    ('2.39', '2.40')
    """
    if not math.isfinite(value) or value <= 0:
        return number(value, digits)
    places = max(0, digits - math.floor(math.log10(value)) - 1)
    # the tiny rise keeps 2.4, stored as 2.3999999999999999, from becoming 2.39
    return f"{math.floor(value * (1.0 + 1e-12) * 10.0**places) / 10.0**places:.{places}f}"


def with_unit(value: float | None, unit: str, digits: int = 3) -> str:
    """Write a number and its unit, kept on one line; "–" where there is no number."""
    text = number(value, digits)
    return text if text == "–" else f"{text}{NBSP}{unit}"


def time_text(seconds: float) -> str:
    """Write a duration, kept on one line."""
    return show_duration(seconds).replace(" ", NBSP)


def time_range(low_s: float, high_s: float) -> str:
    """Write a range of durations."""
    return f"{time_text(low_s)} to {time_text(high_s)}"


def range_text(low: float, high: float, unit: str) -> str:
    """Write a range with one unit."""
    return f"{number(low)} to {number(high)}{NBSP}{unit}"


def money(amount: float, currency: str) -> str:
    """Write an amount with its currency code, escaped."""
    return f"{amount:.2f}{NBSP}{attribute(currency)}"


def money_range(low: float, high: float, currency: str) -> str:
    """Write a range of amounts, escaped."""
    return f"{low:.2f} to {money(high, currency)}"


def size_text(lengths_mm: Iterable[float]) -> str:
    """Write the sides of a box."""
    return " × ".join(f"{x:.0f}" for x in lengths_mm) + f"{NBSP}mm"


def plural(count: int, one: str, many: str | None = None) -> str:
    """Write a count with its noun."""
    return f"{count}{NBSP}{one if count == 1 else (many or one + 's')}"


def listed(items: Iterable[str]) -> str:
    """Join words as a sentence does: "a, b and c"."""
    words = list(items)
    if len(words) < 2:
        return "".join(words)
    return ", ".join(words[:-1]) + " and " + words[-1]


def chip(suitability: Suitability, word: str | None = None) -> str:
    """Small mark with its word, as used in lists and tables."""
    kind = VERDICT_CLASS[suitability]
    return (
        f'<span class="chip {kind}"><span class="mark" aria-hidden="true">{MARKS[suitability]}'
        f"</span>{html.escape(word or suitability)}</span>"
    )


def recipe_text(recipe: Recipe) -> str:
    """One line for somebody who sets the printer up; not escaped."""
    text = (
        f"{recipe.wall_count} walls, {recipe.top_skins} skins above, {recipe.bottom_skins} below, "
        f"{recipe.infill_fraction * 100:.0f} % infill"
    )
    if 0.0 < recipe.infill_fraction < 1.0:
        text += f" ({recipe.infill_pattern})"
    text += (
        f", layers {recipe.layer_height_mm:g} mm (first {recipe.first_layer_height_mm:g} mm), "
        f"bead {recipe.line_width_mm:g} mm from a {recipe.nozzle_bore_mm:g} mm nozzle, "
    )
    text += "no support" if recipe.supports == "none" else "support where needed"
    if recipe.supports != "none":
        text += f" (leaning more than {recipe.overhang_limit_deg:g}° from upright)"
    if recipe.brim_lines:
        text += f", brim of {recipe.brim_lines} lines"
    return text
