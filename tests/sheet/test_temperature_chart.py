"""The map of margin over temperature: says what it shows, survives any name, same bytes twice."""

import math
from types import SimpleNamespace

import pytest

from printplan.errors import InputError
from printplan.judging.temperature_map import TemperatureMap
from printplan.sheet.temperature_chart import map_picture, map_text


def part(name="side gear", maps=True):
    over = TemperatureMap(
        degc=(24.0, 60.0, 120.0),
        margin=(2.0, 1.0, 0.0),
        enough_up_to_degc=60.0,
        softens_at_degc=58.0,
    )
    candidate = SimpleNamespace(
        verdict=SimpleNamespace(grade="PETG"),
        recipe=SimpleNamespace(name="sturdy"),
        over_temperature=over if maps else None,
    )
    temperature = SimpleNamespace(design_degc=50.0, upper_degc=56.0)
    return SimpleNamespace(name=name, candidates=(candidate,), temperature=temperature)


def test_words_say_what_the_lines_say():
    text = map_text(part())
    assert "PETG strong enough up to 60 °C" in text
    assert "hot day 50 to 56 °C" in text


@pytest.mark.parametrize("kind", ["png", "svg"])
def test_same_bytes_every_time(kind):
    first, second = map_picture(part(), kind), map_picture(part(), kind)
    assert first == second
    assert first[:4] == (b"\x89PNG" if kind == "png" else b"<?xm")


@pytest.mark.parametrize(
    "name", ["$x^{", "<script>", "歯車", "a" * 300, "\u202eabc", "tab\tnew\nline"]
)
def test_any_name_is_drawn(name):
    svg = map_picture(part(name), "svg").decode()
    assert "<script>" not in svg


def test_no_checks_no_map():
    with pytest.raises(InputError, match="no load is given"):
        map_picture(part(maps=False))


def test_margin_is_interpolated_and_flat_outside():
    over = part().candidates[0].over_temperature
    assert over.at(42.0) == pytest.approx(1.5)
    assert over.at(0.0) == 2.0
    assert not math.isnan(over.at(500.0))
