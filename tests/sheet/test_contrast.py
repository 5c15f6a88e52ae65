"""Text against its ground in both colour schemes.

Sources
-------
[memory: WCAG 2.1, relative luminance and contrast ratio; success criterion 1.4.3: 4.5 to 1]
"""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

STYLE = files("printplan.sheet").joinpath("style.css").read_text(encoding="utf-8")


def variables(block: str) -> dict[str, str]:
    return dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{6})", block))


LIGHT = variables(STYLE[: STYLE.index("@media")])
DARK = LIGHT | variables(re.search(r"@media screen and [^{]*\{(.*?)\n\}", STYLE, re.S)[1])
PRINT = LIGHT | variables(STYLE[STYLE.index("@media print") :])

TEXTS = [
    (text, ground)
    for text in ("ink", "faint", "link", "fit-ink", "marginal-ink", "unfit-ink", "open-ink")
    for ground in ("card", "field", "paper")
] + [("on-mark", mark) for mark in ("fit", "marginal", "unfit", "open")]
#: Drawn things need 3 to 1. [memory: WCAG 2.1, 1.4.11]
DRAWN = [("bar", "card"), ("ink", "field"), ("ink", "card")]


def luminance(colour: str) -> float:
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a: str, b: str) -> float:
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_formula_gives_the_known_extremes():
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)  # [common practice]


@pytest.mark.parametrize("scheme", [LIGHT, DARK, PRINT], ids=["light", "dark", "print"])
@pytest.mark.parametrize(("text", "ground"), TEXTS)
def test_text_is_readable(scheme, text, ground):
    assert contrast(scheme[text], scheme[ground]) >= 4.5


@pytest.mark.parametrize("scheme", [LIGHT, DARK, PRINT], ids=["light", "dark", "print"])
@pytest.mark.parametrize(("line", "ground"), DRAWN)
def test_drawings_are_visible(scheme, line, ground):
    assert contrast(scheme[line], scheme[ground]) >= 3.0


def test_schemes_differ_and_print_is_light():
    assert luminance(DARK["card"]) < 0.05 < luminance(LIGHT["card"])
    assert PRINT["card"] == "#ffffff"


def test_every_colour_used_is_defined():
    used = set(re.findall(r"var\(--([\w-]+)\)", STYLE))
    assert used == set(LIGHT)
