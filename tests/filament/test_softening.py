"""Temperature limits: the rules by hand, their order, and missing data."""

from __future__ import annotations

from dataclasses import replace

import pytest

from printplan.errors import OutOfRangeError
from printplan.filament import Filament, load_table

TABLE = load_table()


def limit(grade: str, *args: object) -> float:
    found = TABLE.get(grade).softening_limit(*args).limit_degc  # type: ignore[arg-type]
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("grade", "glass", "deflection"),
    [("pla", 61, 57), ("petg", 78, 70), ("abs", 105, 100), ("asa", 100, 98), ("pc", 147, 138)],
)
def test_amorphous_rules_by_hand(grade: str, glass: float, deflection: float) -> None:
    assert limit(grade, "sustained") == glass - 20 - 5
    assert limit(grade, "short") == glass - 10 - 5
    assert limit(grade, "shape only") == min(glass - 10, deflection - 5) - 5


@pytest.mark.parametrize("grade", [f.grade for f in TABLE])
def test_harder_loads_have_lower_limits(grade: str) -> None:
    filament = TABLE.get(grade)
    sustained, shape = (filament.softening_limit(k) for k in ("sustained", "shape only"))  # type: ignore[arg-type]
    assert sustained.limit_degc is not None
    assert shape.limit_degc is not None
    assert sustained.limit_degc <= shape.limit_degc
    for one in (sustained, shape):
        assert one.governing
        assert one.source


def test_semi_crystalline_limit_falls_with_stress() -> None:
    """PA12: 120 °C at 0.45 MPa, 50 °C at 1.80 MPa, maximum service temperature 80 °C."""
    assert limit("pa12", "sustained", 1.8) == 50 - 10 - 5
    assert limit("pa12", "sustained", 20.0) == 50 - 10 - 5
    assert limit("pa12", "sustained") == 50 - 10 - 5  # unknown stress counts as high
    assert limit("pa12", "sustained", 1.6) == pytest.approx(50 + 70 * 0.2 / 1.35 - 15)
    assert limit("pa12", "shape only") == 80.0  # long-term oxidation comes first
    stresses = [0.0, 0.45, 0.8, 1.2, 1.8, 5.0]
    limits = [limit("pa12", "sustained", s) for s in stresses]
    assert limits == sorted(limits, reverse=True)


def test_deflection_temperature_alone_passes_nothing() -> None:
    for grade in ("pa6", "pa12", "pa_cf", "pla_annealed"):
        notes = TABLE.get(grade).softening_limit("sustained").notes
        assert any("strength at temperature must hold too" in note for note in notes)


def test_conditioned_nylon_says_that_the_glass_transition_fell() -> None:
    pa6 = TABLE.get("pa6")
    assert any("about 5 °C" in n for n in pa6.softening_limit("sustained").notes)
    assert not any("conditioned" in n for n in pa6.softening_limit("sustained", state="dry").notes)


def test_annealed_pla_must_be_annealed() -> None:
    notes = TABLE.get("pla_annealed").softening_limit("sustained").notes
    assert any("really annealed" in note for note in notes)


def test_wide_range_is_told() -> None:
    notes = TABLE.get("pa_cf").softening_limit("sustained", 5.0).notes
    assert any("runs down to 70" in note for note in notes)


def without(grade: str, quantity: str) -> Filament:
    filament = TABLE.get(grade)
    return replace(filament, values=tuple(v for v in filament.values if v.quantity != quantity))


@pytest.mark.parametrize(
    ("grade", "quantity", "kind"),
    [
        ("petg", "glass_transition", "sustained"),
        ("petg", "hdt_0p45", "shape only"),
        ("pa6", "hdt_1p8", "sustained"),
        ("pa6", "hdt_0p45", "sustained"),
        ("tpu", "max_service_temperature", "sustained"),
    ],
)
def test_missing_temperature_is_not_judged(grade: str, quantity: str, kind: str) -> None:
    got = without(grade, quantity).softening_limit(kind)  # type: ignore[arg-type]
    assert got.limit_degc is None
    assert "not judged" in got.governing
    assert quantity in got.governing


@pytest.mark.parametrize("stress_mpa", [-1.0, float("inf"), float("nan")])
def test_senseless_stress(stress_mpa: float) -> None:
    with pytest.raises(OutOfRangeError, match="stress_mpa"):
        TABLE.get("pa6").softening_limit("sustained", stress_mpa)


@pytest.mark.parametrize("name", ["pla_annealed", "pa6", "pa12", "pa_cf", "pa6 dry", "pa12 dry"])
@pytest.mark.parametrize("kind", ["sustained", "short", "shape only"])
def test_a_deflection_temperature_alone_passes_no_semi_crystalline_grade(
    name: str, kind: str
) -> None:
    """The limit says so; at the deflection temperature itself less than half the strength is left.

    0.45 MPa, the temperature that data sheets print largest.
    """
    filament = TABLE.get(name)
    limit = filament.softening_limit(kind)  # type: ignore[arg-type]
    assert limit.limit_degc is not None
    assert "a deflection temperature alone passes nothing" in limit.notes[0]
    deflection_degc = filament.value("hdt_0p45").typical
    assert limit.limit_degc < deflection_degc
    cold, hot = (
        filament.strength("in-layer tension", t, bound="typical").strength_mpa
        for t in (23.0, deflection_degc)
    )
    assert hot < 0.5 * cold
