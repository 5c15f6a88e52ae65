"""Weathering: verdict by rating and colour, and the notes that must not be lost."""

from __future__ import annotations

from dataclasses import replace

import pytest

from printplan.errors import InputError
from printplan.filament import load_table, outdoor

TABLE = load_table()


@pytest.mark.parametrize(
    ("grade", "colour", "suits"),
    [
        ("asa", "white", "good"),
        ("asa", "unknown", "good"),
        ("pla", "red", "good"),
        ("petg", "white", "paint it"),
        ("petg", "black", "paint it"),
        ("pc", "natural", "paint it"),
        ("pa6", "natural", "paint it"),
        ("abs", "white", "avoid"),
        ("abs", "unknown", "avoid"),
        ("abs", "Black", "paint it"),
        ("pa_cf", "black", "good"),
        ("tpu", "blue", "paint it"),
    ],
)
def test_verdicts(grade: str, colour: str, suits: str) -> None:
    got = outdoor(TABLE.get(grade), True, colour)
    assert got.suits == suits
    assert got.source.startswith("[")
    assert got.text


def test_without_sun_everything_is_good() -> None:
    assert all(outdoor(f, False, "white").suits == "good" for f in TABLE)


def test_black_never_makes_it_worse_and_never_turns_avoid_into_good() -> None:
    order = ["avoid", "paint it", "good"]
    for filament in TABLE:
        black, white = (outdoor(filament, True, c).suits for c in ("black", "white"))
        assert order.index(black) - order.index(white) in (0, 1)
        if white == "avoid":
            assert black == "paint it"


def test_disagreement_and_embrittlement_are_named() -> None:
    notes = " ".join(outdoor(TABLE.get("petg"), True, "white").notes)
    assert "sources disagree" in notes
    assert "322 days" in notes
    assert "UV-C lamp" in notes
    assert "embrittled" in notes
    assert "Amza" in notes
    assert "light opaque paint" in notes
    assert not any("disagree" in n for n in outdoor(TABLE.get("asa"), True, "white").notes)


def test_a_rating_of_black_prints_says_so_for_other_colours() -> None:
    assert any(
        "rating holds for black" in n for n in outdoor(TABLE.get("pa_cf"), True, "red").notes
    )
    assert not outdoor(TABLE.get("pa_cf"), True, "black").notes


def test_without_a_rating_nothing_is_judged() -> None:
    asa = TABLE.get("asa")
    bare = replace(asa, values=tuple(v for v in asa.values if v.quantity != "uv_resistance"))
    got = outdoor(bare, True, "white")
    assert (got.suits, got.rating) == ("not judged", None)


def test_an_empty_colour_is_refused() -> None:
    with pytest.raises(InputError, match="the colour is empty"):
        outdoor(TABLE.get("asa"), True, "  ")
