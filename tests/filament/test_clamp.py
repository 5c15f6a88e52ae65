"""Bolts through plastic: formula, the rule of the hot day, pressure, remedies."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printplan.errors import OutOfRangeError
from printplan.filament import (
    clamp_advice,
    clamp_left,
    clamp_left_by_time,
    hot_clamp_mpa,
    load_table,
)

TABLE = load_table()
GRADES = [f.grade for f in TABLE]


@given(ratio=st.floats(0.01, 100), relaxed=st.floats(0.001, 1.0))
def test_two_springs_held_at_a_fixed_distance(ratio: float, relaxed: float) -> None:
    """The other way: solve for the common force before and after with plain compliances."""
    bolt, plastic, apart = 1000.0 * ratio, 1000.0, 0.1
    before = apart / (1 / bolt + 1 / plastic)
    after = apart / (1 / bolt + 1 / (plastic * relaxed))
    got = clamp_left(ratio, relaxed)
    assert got == pytest.approx(after / before, rel=1e-9)
    assert relaxed <= got + 1e-12
    assert got <= 1.0 + 1e-12


def test_ends() -> None:
    assert clamp_left(5.0, 1.0) == 1.0
    assert clamp_left(5.0, 0.0) == 0.0
    assert clamp_left_by_time(1 / 60, 0.06) == clamp_left_by_time(1e-4, 0.06) == 1.0
    assert clamp_left_by_time(60.0**-1 * 10, 0.05) == pytest.approx(10**-0.05)
    assert hot_clamp_mpa(2000.0, 72e-6, 12e-6, 0.0) == 0.0


@pytest.mark.parametrize("grade", GRADES)
def test_advice_gets_no_better_when_hotter_or_longer(grade: str) -> None:
    filament = TABLE.get(grade)
    last_left, last_pressure = 1.0, math.inf
    for degc in range(20, 140, 5):
        advice = clamp_advice(filament, float(degc))
        assert advice.left_fraction is not None
        assert advice.left_fraction <= last_left
        assert advice.pressure_mpa <= last_pressure
        last_left, last_pressure = advice.left_fraction, advice.pressure_mpa
        longer = clamp_advice(filament, float(degc), hours=2000.0)
        assert longer.left_fraction is not None
        assert longer.left_fraction <= advice.left_fraction


@pytest.mark.parametrize(("grade", "zero_degc"), [("petg", 33.0), ("asa", 55.0), ("pc", 102.0)])
def test_zero_preload_within_40_k_of_the_glass_transition(grade: str, zero_degc: float) -> None:
    """[common practice] 40 K, and the 5 K of generic grades."""
    filament = TABLE.get(grade)
    below, above = (clamp_advice(filament, zero_degc + step) for step in (0.0, 0.1))
    assert below.zero_above_degc == above.zero_above_degc == zero_degc
    assert below.left_fraction is not None
    assert 0.0 < below.left_fraction < 1.0
    assert below.friction_holds is True
    assert above.left_fraction == 0.0
    assert above.friction_holds is False
    assert "count no preload after the first hot day" in above.rule


@pytest.mark.parametrize("grade", ["pa6", "pa12", "pa_cf", "pla", "pla_annealed", "tpu_95a"])
def test_soft_or_moist_grades_hold_no_friction_even_at_room_temperature(grade: str) -> None:
    advice = clamp_advice(TABLE.get(grade), 23.0)
    assert advice.left_fraction == 0.0
    assert "even at room temperature" in advice.notes[0]


def test_left_fraction_by_hand() -> None:
    """ASA, 45 °C, 300 h: modulus 0.905 − 0.10, creep line to the low end 0.60, stiff bolt."""
    decades = math.log10(300 * 60) / math.log10(60000)
    relaxed = (0.905 - 0.10) * (1 - 0.40 * decades)
    by_formula = 6.0 / (1 + 5 / relaxed)
    by_time = (300 * 60) ** -0.06
    advice = clamp_advice(TABLE.get("asa"), 45.0)
    assert advice.left_fraction == pytest.approx(min(by_formula, by_time), rel=1e-6)
    assert advice.hours == 300.0


def test_hot_pressure_by_hand_and_what_cooling_takes() -> None:
    advice = clamp_advice(TABLE.get("petg"), 60.0)
    assert advice.hot_extra_mpa == pytest.approx(2000 * 0.80 * (68e-6 - 12e-6) * 37)
    assert advice.lost_on_cooling_mpa == advice.hot_extra_mpa
    cool = clamp_advice(TABLE.get("petg"), 20.0)
    assert cool.hot_extra_mpa == 0.0


@pytest.mark.parametrize("grade", GRADES)
def test_pressure_is_at_most_a_quarter_of_the_compressive_strength(grade: str) -> None:
    filament = TABLE.get(grade)
    single = filament.strength("bearing", 40.0, bound="typical")
    compressive_mpa = single.strength_mpa / single.factors["allowable"].value
    assert 0.0 <= clamp_advice(filament, 40.0).pressure_mpa <= 0.25 * compressive_mpa


def test_remedies_name_sleeve_shape_washer_spring_and_nut() -> None:
    advice = clamp_advice(TABLE.get("asa"), 50.0)
    text = " ".join(advice.remedies)
    for word in ("sleeve", "pin", "washer", "spring", "tighten again", "nut"):
        assert word in text
    hopeless = clamp_advice(TABLE.get("pla"), 60.0)
    assert any("no washer is large enough" in line for line in hopeless.remedies)
    assert not any("spring" in line for line in hopeless.remedies)


def test_missing_values_are_not_judged() -> None:
    pc = TABLE.get("pc")
    bare = replace(pc, values=tuple(v for v in pc.values if v.quantity != "creep_modulus_fraction"))
    advice = clamp_advice(bare, 40.0)
    assert advice.left_fraction is None
    assert advice.friction_holds is None
    assert advice.rule.startswith("not judged")
    tpu = TABLE.get("tpu")
    glassless = replace(
        tpu, values=tuple(v for v in tpu.values if v.quantity != "glass_transition")
    )
    assert clamp_advice(glassless, 40.0).rule.startswith("not judged")


@pytest.mark.parametrize("value", [0.0, -1.0, math.inf, math.nan])
def test_senseless_numbers(value: float) -> None:
    with pytest.raises(OutOfRangeError, match="stiffness_ratio"):
        clamp_left(value, 0.5)
    with pytest.raises(OutOfRangeError, match="stiffness_ratio"):
        clamp_advice(TABLE.get("asa"), 40.0, stiffness_ratio=value)
    with pytest.raises(OutOfRangeError, match="hours"):
        clamp_left_by_time(value, 0.05)


def test_more_senseless_numbers() -> None:
    for relaxed in (-0.1, 1.1, math.nan):
        with pytest.raises(OutOfRangeError, match="relaxed_ratio"):
            clamp_left(5.0, relaxed)
    for exponent in (-0.01, math.inf, math.nan):
        with pytest.raises(OutOfRangeError, match="exponent"):
            clamp_left_by_time(1.0, exponent)
    for degc in (math.inf, math.nan):
        with pytest.raises(OutOfRangeError, match="degc"):
            clamp_advice(TABLE.get("asa"), degc)
    with pytest.raises(OutOfRangeError, match="hours"):
        clamp_advice(TABLE.get("asa"), 40.0, hours=-5.0)
