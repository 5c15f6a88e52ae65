"""The map of margin over temperature: falls, agrees with the checks, ends where they end."""

import pytest

from printplan.filament import load_table
from printplan.filament.demand import Demand
from printplan.judging import check_demand
from printplan.judging.temperature_map import MAP_DEGC, temperature_map

TABLE = load_table()


def demand(stress, direction="in-layer tension", duration="single", cycles=1.0):
    return Demand(
        name="trial", case="trial", stress_mpa=stress, direction=direction, duration=duration,
        cycles=cycles,
    )  # fmt: skip


def checks(grade, demands, degc=50.0, required=2.0):
    return [
        check_demand(d, TABLE.get(grade), design_degc=degc, upper_degc=degc, required=required)
        for d in demands
    ]


@pytest.mark.parametrize("grade", [f.grade for f in TABLE])
def test_never_rises(grade):
    over = temperature_map(TABLE.get(grade), checks(grade, [demand(5.0)]), None)
    assert over.degc == MAP_DEGC
    assert all(a >= b - 1e-12 for a, b in zip(over.margin, over.margin[1:], strict=False))


def test_is_the_least_margin_of_all_checks_at_that_temperature():
    demands = [
        demand(4.0),
        demand(9.0),
        demand(1.0, "interlayer tension"),
        demand(2.0, "in-layer shear", "repeated", 1e4),
        demand(6.0, "bearing", "repeated", 1e3),
    ]
    made = checks("petg", demands)
    over = temperature_map(TABLE.get("petg"), made, 60.0)
    assert over.at(50.0) == pytest.approx(min(c.safety / c.required for c in made))


def test_enough_up_to_is_the_last_temperature_that_holds():
    petg = TABLE.get("petg")
    over = temperature_map(petg, checks("petg", [demand(8.0)]), 60.0)
    held = over.enough_up_to_degc
    assert over.at(held) >= 1.0
    assert over.at(held + 2.0) < 1.0
    assert temperature_map(petg, checks("petg", [demand(80.0)]), 60.0).enough_up_to_degc is None


def test_no_checks_no_map():
    assert temperature_map(TABLE.get("pla"), [], 46.0) is None
