"""Strength for one load: bounds, monotony, and that nothing is counted twice."""

from __future__ import annotations

import math
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from printplan.errors import InputError, OutOfRangeError, UnknownNameError
from printplan.filament import Direction, Duration, load_table

TABLE = load_table()
GRADES = [f.grade for f in TABLE]
DIRECTIONS = get_args(Direction)
DURATIONS = get_args(Duration)


@pytest.mark.parametrize("grade", GRADES)
@pytest.mark.parametrize("direction", DIRECTIONS)
@pytest.mark.parametrize("duration", DURATIONS)
def test_never_rises_with_temperature_and_lower_stays_below_typical(
    grade: str, direction: Direction, duration: Duration
) -> None:
    filament = TABLE.get(grade)
    last = {"lower": math.inf, "typical": math.inf}
    for tenth_degc in range(-100, 1500, 25):
        both = {
            bound: filament.strength(
                direction, tenth_degc / 10, duration=duration, cycles=1e5, bound=bound
            ).strength_mpa
            for bound in ("lower", "typical")
        }
        for bound, strength_mpa in both.items():
            assert 0.0 <= strength_mpa <= last[bound] + 1e-12
        assert both["lower"] <= both["typical"]
        last = both


@pytest.mark.parametrize("grade", GRADES)
@pytest.mark.parametrize("duration", DURATIONS)
@pytest.mark.parametrize("bound", ["lower", "typical"])
@pytest.mark.parametrize("degc", [23.0, 45.0, 60.0, 90.0])
def test_across_the_layers_is_never_stronger(
    grade: str, duration: Duration, bound: str, degc: float
) -> None:
    filament = TABLE.get(grade)

    def at(direction: Direction) -> float:
        return filament.strength(
            direction,
            degc,
            duration=duration,
            cycles=1e6,
            bound=bound,  # type: ignore[arg-type]
        ).strength_mpa

    assert at("interlayer tension") <= at("in-layer tension") + 1e-12
    assert at("interlayer shear") <= at("in-layer shear") + 1e-12
    assert at("interlayer shear") <= at("interlayer tension")


@given(
    grade=st.sampled_from(GRADES),
    direction=st.sampled_from(DIRECTIONS),
    duration=st.sampled_from(DURATIONS),
    degc=st.floats(-40, 200),
    log_cycles=st.floats(0, 9),
    bound=st.sampled_from(["lower", "typical"]),
)
@settings(max_examples=150, deadline=None)
def test_strength_is_the_product_of_base_and_factors(
    grade: str,
    direction: Direction,
    duration: Duration,
    degc: float,
    log_cycles: float,
    bound: str,
) -> None:
    got = TABLE.get(grade).strength(
        direction,
        degc,
        duration=duration,
        cycles=10**log_cycles,
        bound=bound,  # type: ignore[arg-type]
    )
    assert got.strength_mpa == pytest.approx(
        got.base_mpa * math.prod(f.value for f in got.factors.values()), rel=1e-12
    )
    assert not {"sustained", "fatigue"} <= set(got.factors)
    pressed = direction == "bearing"
    assert ("sustained" in got.factors) == (duration == "sustained" and not pressed)
    assert ("fatigue" in got.factors) == (duration == "repeated" and not pressed)
    assert ("allowable" in got.factors) == pressed
    assert ("joint scatter" in got.factors) == (bound == "lower")
    assert got.base_source
    for name, factor in got.factors.items():
        known = ("derived",) if name == "joint scatter" else ("source", "memory", "common practice")
        assert factor.label in known
        assert factor.source


def test_worked_case_petg_lower_bound() -> None:
    """PETG, 50 °C, 1e5 loads in the layer, by hand.

    Typical 50.2 × 0.76 × 0.18; low ends 39.2, 0.76 − 0.10 and 0.12; their logarithms over typical
    join by root sum of squares.
    """
    got = TABLE.get("petg").strength("in-layer tension", 50, duration="repeated", cycles=1e5)
    scatter = math.sqrt(
        math.log(39.2 / 50.2) ** 2 + math.log(0.66 / 0.76) ** 2 + math.log(0.12 / 0.18) ** 2
    )
    assert got.strength_mpa == pytest.approx(50.2 * 0.76 * 0.18 * math.exp(-scatter), rel=1e-9)


@pytest.mark.parametrize("grade", GRADES)
@pytest.mark.parametrize("duration", ["single", "repeated"])
def test_joint_scatter_is_no_milder_than_the_worst_value_and_no_harsher_than_all_together(
    grade: str, duration: Duration
) -> None:
    filament = TABLE.get(grade)
    low = filament.strength("in-layer tension", 45.0, duration=duration, cycles=1e5)
    typical = filament.strength(
        "in-layer tension", 45.0, duration=duration, cycles=1e5, bound="typical"
    )
    static = filament.strength("in-layer tension", 23.0).factors["joint scatter"].value
    assert low.factors["joint scatter"].value <= static
    assert 0.0 < low.strength_mpa < typical.strength_mpa


def test_pressure_is_held_against_allowable_fractions_of_the_compressive_strength() -> None:
    petg = TABLE.get("petg")
    ratio = petg.value("compressive_to_tensile_ratio").typical
    for duration, allowed in (("single", 0.6), ("repeated", 0.35), ("sustained", 0.25)):
        got = petg.strength("bearing", 23.0, duration=duration, bound="typical", cycles=1e6)  # type: ignore[arg-type]
        assert got.strength_mpa == pytest.approx(50.2 * ratio * allowed)


def test_cold_earns_no_credit_and_says_so() -> None:
    pla = TABLE.get("pla")
    cold, room = (pla.strength("in-layer tension", t) for t in (-20.0, 23.0))
    assert cold.strength_mpa == room.strength_mpa
    assert any("colder" in note for note in cold.notes)
    assert not room.notes


def test_just_above_room_temperature_the_lower_edge_starts_at_one() -> None:
    asa = TABLE.get("asa")
    at_23, at_30 = (
        asa.strength("in-layer tension", t).factors["joint scatter"].value for t in (23.0, 30.0)
    )
    # (23, 1.00) to (40, 0.87), lower edge to 0.87 − 0.10, linear
    edge = math.log((1.0 - 0.23 * 7.0 / 17.0) / (1.0 - 0.13 * 7.0 / 17.0))
    assert math.log(at_30) == pytest.approx(-math.hypot(math.log(at_23), edge))


@pytest.mark.parametrize(
    ("grade", "glass_degc"),
    [("pla", 61), ("petg", 78), ("petg_cf", 78), ("abs", 105), ("asa", 100), ("pc", 147)],
)
def test_amorphous_grade_bears_nothing_at_its_glass_transition(
    grade: str, glass_degc: float
) -> None:
    filament = TABLE.get(grade)
    for bound, scatter_k in (("lower", 5.0), ("typical", 0.0)):
        hot = filament.strength("bearing", glass_degc - scatter_k, bound=bound)  # type: ignore[arg-type]
        assert hot.strength_mpa == 0.0
        assert any("bears nothing" in note or "curve ends" in note for note in hot.notes)


def test_near_the_glass_transition_a_note_warns() -> None:
    petg = TABLE.get("petg")
    assert any("unreliable" in n for n in petg.strength("bearing", 70.0, bound="typical").notes)
    assert not petg.strength("bearing", 60.0, bound="typical").notes


def test_beyond_the_curve_nothing_is_counted() -> None:
    hot = TABLE.get("pa6").strength("in-layer tension", 100.5, bound="typical")
    assert hot.strength_mpa == 0.0
    assert any("ends at 100 °C" in note for note in hot.notes)


# --- moisture -----------------------------------------------------------------------------------


@pytest.mark.parametrize("grade", ["pa6", "pa12", "pa_cf"])
def test_nylons_are_judged_conditioned_unless_told_otherwise(grade: str) -> None:
    nylon = TABLE.get(grade)
    told = nylon.strength("in-layer tension", 23.0, state="conditioned")
    plain = nylon.strength("in-layer tension", 23.0)
    dry = nylon.strength("in-layer tension", 23.0, state="dry")
    assert plain.state == "conditioned"
    assert plain.strength_mpa == told.strength_mpa < dry.strength_mpa
    assert "moisture" in plain.factors
    assert "moisture" not in dry.factors
    assert nylon.modulus_mpa(23.0) < nylon.modulus_mpa(23.0, state="dry")


def test_moist_nylon_stays_weaker_when_hot() -> None:
    for grade in ("pa6", "pa12", "pa_cf"):
        nylon = TABLE.get(grade)
        for degc in (23.0, 40.0, 60.0, 80.0, 100.0):
            for direction in DIRECTIONS:
                moist, dry = (
                    nylon.strength(direction, degc, bound="typical", state=state).strength_mpa
                    for state in ("conditioned", "dry")
                )
                assert moist < dry


def test_state_of_a_grade_without_states_is_noted() -> None:
    got = TABLE.get("petg").strength("bearing", 23.0, state="conditioned")
    assert any("no moisture states" in note for note in got.notes)
    assert got.strength_mpa == TABLE.get("petg").strength("bearing", 23.0).strength_mpa


@pytest.mark.parametrize("grade", ["pa6", "petg"])
def test_unknown_state(grade: str) -> None:
    with pytest.raises(UnknownNameError, match="moisture state 'damp'"):
        TABLE.get(grade).strength("bearing", 23.0, state="damp")


# --- sustained ----------------------------------------------------------------------------------


def test_sustained_fraction_falls_between_its_two_rows() -> None:
    petg = TABLE.get("petg")

    def fraction(degc: float, direction: Direction = "in-layer tension") -> float:
        got = petg.strength(direction, degc, duration="sustained", bound="typical")
        return got.factors["sustained"].value

    assert fraction(23.0) == pytest.approx(0.25)
    assert fraction(50.0) == pytest.approx(0.15)
    assert fraction(36.5) == pytest.approx(0.20)
    assert fraction(59.0) == pytest.approx(0.15 - 0.10 / 27 * 9)
    assert fraction(23.0, "interlayer tension") == pytest.approx(0.15)
    assert fraction(36.5, "interlayer tension") == pytest.approx(0.12)


def test_no_sustained_load_within_15_k_of_the_glass_transition() -> None:
    asa = TABLE.get("asa")
    for bound, limit_degc in (("lower", 80.0), ("typical", 85.0)):
        below, above = (
            asa.strength("bearing", t, duration="sustained", bound=bound)  # type: ignore[arg-type]
            for t in (limit_degc, limit_degc + 0.1)
        )
        assert below.strength_mpa > 0.0
        assert above.strength_mpa == 0.0
        assert any("no sustained load" in note for note in above.notes)


@pytest.mark.parametrize("grade", GRADES)
def test_across_the_layers_no_more_than_0_15_stands(grade: str) -> None:
    got = TABLE.get(grade).strength(
        "interlayer tension", 23.0, duration="sustained", bound="typical"
    )
    assert got.factors["sustained"].value <= 0.15


def test_nylon_working_stress_is_yield_over_three_to_eight() -> None:
    for grade in ("pa6", "pa12"):
        got = TABLE.get(grade).strength("in-layer tension", 60.0, duration="sustained")
        assert 1 / 8 <= got.factors["sustained"].value <= 1 / 3


# --- repeated -----------------------------------------------------------------------------------


@pytest.mark.parametrize("grade", GRADES)
@pytest.mark.parametrize("bound", ["lower", "typical"])
def test_fatigue_starts_at_one_and_never_rises(grade: str, bound: str) -> None:
    filament = TABLE.get(grade)
    last = 1.0
    for quarter in range(33):
        got = filament.strength(
            "in-layer tension",
            23.0,
            duration="repeated",
            cycles=10 ** (quarter / 4),
            bound=bound,  # type: ignore[arg-type]
        )
        fraction = got.factors["fatigue"].value
        assert 0.0 < fraction <= last + 1e-12
        if quarter == 0:
            assert fraction == pytest.approx(1.0)
        if quarter == 24:
            assert fraction == pytest.approx(filament.value("fatigue_fraction_1e6").typical)
        last = fraction


def test_beyond_1e7_loads_the_slope_goes_on_and_a_note_says_so() -> None:
    petg = TABLE.get("petg")
    fraction = {}
    for n in (1e5, 1e6, 1e7, 1e8):
        got = petg.strength("in-layer shear", 23.0, duration="repeated", cycles=n)
        fraction[n] = got.factors["fatigue"].value
        assert any("beyond" in note for note in got.notes) == (n > 1e7)
    assert fraction[1e7] / fraction[1e6] == pytest.approx(fraction[1e6] / fraction[1e5])
    assert fraction[1e8] / fraction[1e7] == pytest.approx(fraction[1e6] / fraction[1e5])


@pytest.mark.parametrize("cycles", [0.0, 0.9, -1.0, math.inf, math.nan])
def test_senseless_cycles(cycles: float) -> None:
    with pytest.raises(OutOfRangeError, match="cycles"):
        TABLE.get("pla").strength("bearing", 23.0, duration="repeated", cycles=cycles)


@pytest.mark.parametrize("degc", [math.inf, -math.inf, math.nan])
def test_senseless_temperature(degc: float) -> None:
    with pytest.raises(OutOfRangeError, match="temperature_degc"):
        TABLE.get("pla").strength("bearing", degc)
    with pytest.raises(OutOfRangeError, match="temperature_degc"):
        TABLE.get("pla").modulus_mpa(degc)


# --- kinds of stress and lower bounds -----------------------------------------------------------


@pytest.mark.parametrize("grade", GRADES)
def test_shear_uses_its_ratio(grade: str) -> None:
    filament = TABLE.get(grade)
    base = filament.strength("in-layer tension", 23.0, bound="typical").strength_mpa
    got = filament.strength("in-layer shear", 23.0, bound="typical").strength_mpa
    assert got == pytest.approx(base * filament.value("shear_to_tensile_ratio").typical)


@pytest.mark.parametrize("grade", GRADES)
def test_lower_bound_reaches_no_higher_than_the_low_end_of_the_range(grade: str) -> None:
    filament = TABLE.get(grade)
    for axis, direction in (("xy", "in-layer tension"), ("z", "interlayer tension")):
        value = filament.value("tensile_strength", axis)  # type: ignore[arg-type]
        got = filament.strength(direction, 23.0, state="dry").strength_mpa  # type: ignore[arg-type]
        assert got <= value.cautious + 1e-9
        if value.low_means == "range":
            ratio = {"xy": 0.70, "z": 0.47}[axis]
            assert got == pytest.approx(min(value.cautious, ratio * value.typical))
        else:
            assert got == pytest.approx(value.low)


@pytest.mark.parametrize("grade", GRADES)
def test_modulus_falls_with_temperature_and_across_is_not_stiffer(grade: str) -> None:
    filament = TABLE.get(grade)
    for bound in ("lower", "typical"):
        last = math.inf
        for degc in range(20, 130, 5):
            in_layer = filament.modulus_mpa(degc, "xy", bound)  # type: ignore[arg-type]
            across = filament.modulus_mpa(degc, "z", bound)  # type: ignore[arg-type]
            assert across <= in_layer <= last
            last = in_layer
    assert filament.modulus_mpa(23.0, bound="lower") <= filament.modulus_mpa(23.0)


def test_modulus_by_hand() -> None:
    pa6 = TABLE.get("pa6")
    assert pa6.modulus_mpa(60.0, state="dry") == pytest.approx(2450 * 0.45)
    assert pa6.modulus_mpa(60.0) == pytest.approx(2450 * 0.45 * 0.55)
    # No modulus across the layers in the table: the general ratio 0.81 stands in.
    assert TABLE.get("tpu").modulus_mpa(23.0, "z") == pytest.approx(60 * 0.81)


def test_a_grade_without_curve_is_not_judged() -> None:
    from dataclasses import replace

    bare = replace(TABLE.get("petg"), retentions=())
    with pytest.raises(InputError, match="no curve of strength over temperature"):
        bare.strength("bearing", 23.0)
