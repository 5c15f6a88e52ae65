"""Numbers and texts as the sheet writes them."""

from __future__ import annotations

import math

import pytest

from printplan.process import RECIPES
from printplan.sheet.wording import (
    attribute,
    chip,
    grade_name,
    listed,
    money,
    number,
    plural,
    recipe_text,
    safety_text,
    said,
    with_unit,
)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"),
        (0.04567, "0.0457"),
        (1.0, "1.00"),
        (52.71, "52.7"),
        (999.6, "1000"),
        (12345.6, "12346"),
        (-3.14159, "−3.14"),
        (math.inf, "∞"),
        (math.nan, "–"),
        (None, "–"),
    ],
)
def test_number(value, text):
    assert number(value) == text


def test_no_unit_without_a_number():
    assert with_unit(None, "mm") == "–"
    assert with_unit(2.5, "mm") == "2.50\u00a0mm"


def test_words():
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b and c"
    assert plural(1, "part") == "1\u00a0part"
    assert plural(2, "part") == "2\u00a0parts"
    assert money(2.305, "EUR") in ("2.31\u00a0EUR", "2.30\u00a0EUR")


def test_escaping():
    assert said("<b>&") == "<bdi>&lt;b&gt;&amp;</bdi>"
    assert attribute('"\u202e<') == "&quot;&lt;"
    assert "\x00" not in said("a\x00b\ud800")
    said("a\ud800\uffff").encode("utf-8")


def test_grade_name():
    assert grade_name("petg") == "PETG"
    assert grade_name("no such grade") == "no such grade"


def test_recipe_in_words():
    assert "5 walls" in recipe_text(RECIPES["sturdy"])
    assert "(gyroid)" in recipe_text(RECIPES["sturdy"])
    assert "gyroid" not in recipe_text(RECIPES["solid"].but(infill_pattern="gyroid"))
    assert "no support" in recipe_text(RECIPES["light"].but(supports="none"))


@pytest.mark.parametrize("kind", ["suitable", "marginal", "unsuitable", "not judged"])
def test_verdict_has_a_word_and_a_mark(kind):
    html = chip(kind)
    assert kind in html
    assert "aria-hidden" in html


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (2.3999, "2.39"),
        (2.4, "2.40"),
        (1.9, "1.90"),
        (0.29999, "0.299"),
        (12.37, "12.3"),
        (1234.5, "1234"),
        (0.0, "0"),
        (math.inf, "∞"),
    ],
)
def test_safety_is_rounded_down(value, text):
    assert safety_text(value) == text
