"""Text with units: what is read, what is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printplan.errors import InputError
from printplan.quantities import DIMENSIONS, parse_money, parse_quantity, show_duration


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        # Exact by definition: 1 in = 25.4 mm, 1 lb = 453.59237 g (international yard and pound).
        ("14 in", "mm", 355.6),
        ("1 lb", "g", 453.59237),
        ("48 N*m", "N*mm", 48_000.0),
        ("95 degF", "degC", 35.0),
        ("-40 degF", "degC", -40.0),
        ("300 K", "degC", 26.85),
        ("60 °C", "degC", 60.0),
        ("10 km/h", "mm/s", 2777.77777778),
        ("40 %", "", 0.4),
        ("0.4", "", 0.4),
        ("1 kW/m^2", "W/m**2", 1000.0),
        ("1000 km", "mm", 1e9),
    ],
)
def test_converts(text, unit, expected):
    assert parse_quantity(text, unit) == pytest.approx(expected, rel=1e-11)


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("12", "mm"),
        ("12 kg", "mm"),
        ("12 foo", "mm"),
        ("mm", "mm"),
        ("1e999 mm", "mm"),
        ("nan mm", "mm"),
        ("12 mm; import os", "mm"),
        ("3 mm", ""),
        ("1 " + "m" * 200, "mm"),
        ("", "mm"),
    ],
)
def test_refuses_in_one_line_that_names_key_and_value(text, unit):
    with pytest.raises(InputError) as caught:
        parse_quantity(text, unit, "wheel_diameter")
    message = str(caught.value)
    assert message.startswith("wheel_diameter = ")
    assert "expected" in message
    assert "\n" not in message


@given(
    st.floats(1e-6, 1e6), st.sampled_from([("mm", "m", 1e3), ("g", "kg", 1e3), ("s", "h", 3600)])
)
def test_scale_between_units(number, units):
    small, large, factor = units
    value = parse_quantity(f"{number!r} {large}", small)
    assert value == pytest.approx(number * factor, rel=1e-10)


@given(st.text(max_size=30), st.sampled_from(sorted(DIMENSIONS)))
def test_any_text_is_read_or_refused(text, unit):
    try:
        assert isinstance(parse_quantity(text, unit), float)
    except InputError as error:
        assert "\n" not in str(error)


def test_money():
    assert parse_money("20 EUR/kg", "kg") == (20.0, "EUR")
    assert parse_money("300 EUR") == (300.0, "EUR")
    for bad in ("20", "20 EUR", "20 EUR/h", "EUR 20/kg", "-5 EUR/kg"):
        with pytest.raises(InputError, match="expected an amount"):
            parse_money(bad, "kg")


def test_durations_for_people():
    assert show_duration(3000) == "50 min"
    assert show_duration(26_400) == "7 h 20 min"
