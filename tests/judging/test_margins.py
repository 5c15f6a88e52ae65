"""A demand against a strength: the arithmetic of one check, done again by hand."""

from __future__ import annotations

import itertools
import math

import pytest

from printplan.judging import check_demand


def test_static_pull_at_23_degrees_is_the_table_over_the_stress(petg, make):
    """At 23 °C nothing is taken off: typical and lower bound are the two values of the table."""
    value = petg.value("tensile_strength", "xy")
    assert value.low_means == "5 % fractile"
    check = check_demand(make.demand(4.0), petg, design_degc=23.0, upper_degc=23.0, required=2.5)
    assert check.safety_typical == pytest.approx(value.typical / 4.0)
    # The lower edge of the curve over temperature is exact at 23 °C, so only the base scatters.
    assert check.safety == pytest.approx(value.low / 4.0)
    assert check.safety_hottest == check.safety
    assert check.required == 2.5


def test_repeated_pull_when_warm_by_hand(petg, make):
    """1e6 loads at 45 and 50 °C: table × retention × fatigue, low ends joined as root of squares.

    Retention is read off the grade's curve between two of its points, by hand.
    """
    base = petg.value("tensile_strength", "xy")
    fatigue = petg.value("fatigue_fraction_1e6")
    curve = petg.retention("strength", "xy", None)

    def on_curve(degc: float, less: float) -> float:
        points = list(zip(curve.temperatures_degc, curve.fractions, strict=True))
        lowered = [points[0], *((t, max(0.0, f - less)) for t, f in points[1:])]
        for (t0, f0), (t1, f1) in itertools.pairwise(lowered):
            if t0 <= degc <= t1:
                return f0 + (f1 - f0) * (degc - t0) / (t1 - t0)
        raise AssertionError("outside of the curve")

    def lower_bound(degc: float) -> float:
        typical = base.typical * on_curve(degc, 0.0) * fatigue.typical
        ratios = [
            base.low / base.typical,
            on_curve(degc, curve.width) / on_curve(degc, 0.0),
            fatigue.low / fatigue.typical,
        ]
        return typical * math.exp(-math.sqrt(sum(math.log(r) ** 2 for r in ratios)))

    check = check_demand(
        make.demand(1.5, duration="repeated", cycles=1e6),
        petg,
        design_degc=45.0,
        upper_degc=50.0,
        required=2.0,
    )
    assert check.safety == pytest.approx(lower_bound(45.0) / 1.5, rel=1e-9)
    assert check.safety_hottest == pytest.approx(lower_bound(50.0) / 1.5, rel=1e-9)
    assert check.safety_typical == pytest.approx(
        base.typical * on_curve(45.0, 0.0) * fatigue.typical / 1.5, rel=1e-9
    )
    assert check.safety_hottest < check.safety < check.safety_typical


def test_holds_at_exactly_the_factor_asked(petg, make):
    value = petg.value("tensile_strength", "xy")
    stress = value.low / 2.0
    just = check_demand(make.demand(stress), petg, design_degc=23, upper_degc=40, required=1.999)
    over = check_demand(make.demand(stress), petg, design_degc=23, upper_degc=40, required=2.001)
    assert just.holds
    assert not just.holds_hottest
    assert not over.holds


def test_no_stress_gives_unlimited_safety(petg, make):
    check = check_demand(make.demand(0.0), petg, design_degc=23, upper_degc=30, required=2.0)
    assert check.safety == check.safety_hottest == check.safety_typical == math.inf
    assert check.holds
    assert check.holds_hottest


def test_a_nylon_is_judged_in_the_state_that_is_asked(make):
    from printplan.filament import load_table

    nylon = load_table().get("PA12")
    dry, moist = (
        check_demand(
            make.demand(5.0), nylon, design_degc=23, upper_degc=23, required=2, state=state
        )
        for state in ("dry", "conditioned")
    )
    assert moist.safety < dry.safety


def test_to_dict_names_its_units(petg, make):
    check = check_demand(
        make.demand(4.0, terms={"F [N]": 100.0}, factors={"shock": 1.5}, notes=("a note",)),
        petg,
        design_degc=40.0,
        upper_degc=50.0,
        required=2.0,
    )
    told = check.to_dict()
    assert told["stress_mpa"] == 4.0
    assert told["strength_mpa"] / 4.0 == pytest.approx(told["safety"])
    assert told["strength_hottest_mpa"] / 4.0 == pytest.approx(told["safety_hottest"])
    assert told["terms"] == {"F [N]": 100.0}
    assert told["factors"] == {"shock": 1.5}
    assert told["notes"] == ["a note"]
