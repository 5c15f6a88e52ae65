"""Creep modulus and sustained fraction over time: ends, monotony, refusals."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printplan.errors import InputError, OutOfRangeError
from printplan.filament import load_table, standing_fraction

TABLE = load_table()
WITH_CREEP = [f.grade for f in TABLE if f.find("creep_modulus_fraction")]
HOURS = (1e-3, 1 / 60, 0.5, 1.0, 24.0, 300.0, 1000.0, 1e4, 1e5)


def test_which_grades_have_creep_values() -> None:
    assert sorted({f.grade for f in TABLE} - set(WITH_CREEP)) == ["pla_annealed", "tpu_95a"]


@pytest.mark.parametrize("grade", WITH_CREEP)
@pytest.mark.parametrize("bound", ["lower", "typical"])
def test_the_modulus_falls_with_time_and_never_comes_back(grade: str, bound: str) -> None:
    filament = TABLE.get(grade)
    found = [filament.creep_modulus(h, bound=bound) for h in HOURS]  # type: ignore[arg-type]
    fractions = [c.fraction for c in found]
    assert fractions[0] == fractions[1] == 1.0
    assert all(b < a for a, b in pairwise(fractions[1:]))
    assert fractions[-1] >= 0.0
    at_1000_h = found[HOURS.index(1000.0)]
    rows = [v for v in filament.values if v.quantity == "creep_modulus_fraction"]
    table = next(v for v in rows if v.hours == 1000.0)
    assert at_1000_h.fraction == pytest.approx(table.at(bound))  # type: ignore[arg-type]
    assert at_1000_h.modulus_mpa == pytest.approx(
        filament.modulus_mpa(23.0, bound=bound) * table.at(bound)  # type: ignore[arg-type]
    )
    assert not at_1000_h.notes
    assert any("beyond the last creep value" in n for n in found[-1].notes)


@pytest.mark.parametrize("grade", WITH_CREEP)
def test_the_lower_bound_is_no_stiffer(grade: str) -> None:
    filament = TABLE.get(grade)
    for degc in (23.0, 45.0, 60.0):
        lower, typical = (
            filament.creep_modulus(1000.0, degc, bound=bound)  # type: ignore[arg-type]
            for bound in ("lower", "typical")
        )
        assert lower.modulus_mpa <= typical.modulus_mpa
        assert lower.deflection_growth >= typical.deflection_growth


def test_by_hand_at_temperature() -> None:
    """ASA, 60 °C: 2000 MPa × 0.82 × 0.70 after 1000 h."""
    got = TABLE.get("asa").creep_modulus(1000.0, 60.0)
    assert got.short_term_mpa == pytest.approx(2000 * 0.82)
    assert got.modulus_mpa == pytest.approx(2000 * 0.82 * 0.70)
    assert got.deflection_growth == pytest.approx(1 / 0.70)
    assert any("creeps faster" in note for note in got.notes)


def test_moist_nylon_creeps_from_its_moist_modulus() -> None:
    pa6 = TABLE.get("pa6")
    assert pa6.creep_modulus(1000.0).modulus_mpa == pytest.approx(2450 * 0.45 * 0.55)
    assert pa6.creep_modulus(1000.0, state="dry").modulus_mpa == pytest.approx(2450 * 0.55)


def test_near_its_glass_transition_an_amorphous_grade_has_no_creep_modulus() -> None:
    asa = TABLE.get("asa")
    hot = asa.creep_modulus(1.0, 86.0)
    assert hot.modulus_mpa == 0.0
    assert hot.deflection_growth == math.inf
    assert any("without end" in note for note in hot.notes)
    assert asa.creep_modulus(1.0, 84.0).modulus_mpa > 0.0


def test_a_slope_that_reaches_nothing_stays_at_nothing() -> None:
    from dataclasses import replace

    pla = TABLE.get("pla")
    weak = tuple(
        replace(v, typical=0.1, low=0.1) if v.quantity == "creep_modulus_fraction" else v
        for v in pla.values
    )
    assert replace(pla, values=weak).creep_modulus(1e5).modulus_mpa == 0.0


def test_missing_value_is_not_judged() -> None:
    with pytest.raises(InputError, match="'tpu_95a' has no creep_modulus_fraction: its deflection"):
        TABLE.get("tpu").creep_modulus(10.0)


@pytest.mark.parametrize("hours", [0.0, -1.0, 1.1e5, math.inf, math.nan])
def test_senseless_times(hours: float) -> None:
    pc = TABLE.get("pc")
    with pytest.raises(OutOfRangeError, match="hours"):
        pc.creep_modulus(hours)
    with pytest.raises(OutOfRangeError, match="hours"):
        pc.strength("in-layer tension", 23.0, duration="sustained", hours=hours)


# --- the sustained fraction ---------------------------------------------------------------------


@given(allowable=st.floats(0.02, 0.5), log_hours=st.floats(-3, 5))
def test_standing_fraction_falls_from_one_through_the_allowable(
    allowable: float, log_hours: float
) -> None:
    got = standing_fraction(allowable, 10**log_hours, 0.10)
    later = standing_fraction(allowable, min(1e5, 10 ** (log_hours + 0.5)), 0.10)
    assert 0.0 < later <= got <= 1.0
    if log_hours < 3.0:
        assert got >= allowable
    else:
        assert got <= allowable
    assert standing_fraction(allowable, 1000.0, 0.10) == allowable
    assert standing_fraction(allowable, 1 / 60, 0.10) == 1.0


def test_strength_without_hours_means_1000_h() -> None:
    for filament in TABLE:
        for direction in ("in-layer tension", "interlayer shear", "bearing"):
            plain = filament.strength(direction, 45.0, duration="sustained")  # type: ignore[arg-type]
            told = filament.strength(direction, 45.0, duration="sustained", hours=1000.0)  # type: ignore[arg-type]
            assert plain.strength_mpa == told.strength_mpa
            assert plain.hours == told.hours == 1000.0


def test_a_parked_night_may_load_more_than_a_year_and_less_than_a_moment() -> None:
    petg = TABLE.get("petg")
    moment, night, year = (
        petg.strength("in-layer tension", 23.0, duration="sustained", hours=h).strength_mpa
        for h in (1 / 60, 10.0, 8760.0)
    )
    single = petg.strength("in-layer tension", 23.0).strength_mpa
    assert moment == pytest.approx(single)
    assert single > night > year


def test_pressure_for_a_moment_is_no_more_than_a_single_one() -> None:
    petg = TABLE.get("petg")
    got = petg.strength("bearing", 23.0, duration="sustained", hours=0.02)
    assert got.strength_mpa == pytest.approx(petg.strength("bearing", 23.0).strength_mpa)


@pytest.mark.parametrize("duration", ["single", "repeated"])
def test_hours_belong_to_sustained_loads(duration: str) -> None:
    with pytest.raises(InputError, match='goes with the duration "sustained"'):
        TABLE.get("pla").strength("bearing", 23.0, duration=duration, hours=5.0)  # type: ignore[arg-type]
