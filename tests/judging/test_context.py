"""Which load cases count, and the factors that all makers of demands share."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from printplan.judging.demands.context import FAULT_SAFETY, LIGHT_SHOCK, ROLLING_SHARE


def picked(context, quantity):
    return {case.name: (value, asked) for case, value, asked in context.cases(quantity)}


def test_single_and_lasting_cases_count_once_repeated_ones_all(make):
    context = make.context(
        make.part(),
        make.case("stall", housing_torque_nmm=20.0),
        make.case("kerb", housing_torque_nmm=30.0),
        make.case("broken limit", housing_torque_nmm=90.0, fault=True),
        make.case("worse fault", housing_torque_nmm=95.0, fault=True),
        make.case("climb", housing_torque_nmm=8.0, duration="repeated", cycles=1e5),
        make.case("cruise", housing_torque_nmm=2.0, duration="repeated", cycles=1e6),
        make.case("parked", housing_torque_nmm=5.0, duration="sustained"),
        make.case("parked steep", housing_torque_nmm=6.0, duration="sustained"),
        make.case("idle", housing_torque_nmm=0.0),
    )
    assert picked(context, "housing_torque_nmm") == {
        "kerb": (30.0, None),
        "worse fault": (95.0, FAULT_SAFETY),
        "climb": (8.0, None),
        "cruise": (2.0, None),
        "parked steep": (6.0, None),
    }
    assert picked(context, "belt_force_n") == {}


def test_without_a_vehicle_there_are_no_cases(make):
    context = make.context(make.part())
    context.loads = None
    assert picked(context, "housing_torque_nmm") == {}


def test_wheel_values_are_those_of_the_driven_axle(make):
    """The printed hubs sit on the driven axle; what the front wheels feel is not theirs."""
    cases = (
        make.case("front stop", axle="front", wheel_torque_nmm=90.0, wheel_vertical_n=900.0),
        make.case("launch", axle="rear", wheel_torque_nmm=20.0, wheel_vertical_n=400.0),
    )
    rear = make.context(make.part(), *cases)
    assert set(picked(rear, "wheel_torque_nmm")) == {"launch"}
    assert set(picked(rear, "wheel_vertical_n")) == {"launch"}
    front = make.context(make.part(), *cases, of=make.vehicle(driven="front"))
    assert set(picked(front, "wheel_torque_nmm")) == {"front stop"}


def test_brake_torque_passes_a_hub_by_that_does_not_carry_the_brake(make):
    cases = (
        make.case("stop", by_brake=True, wheel_torque_nmm=90.0, side_gear_torque_nmm=70.0),
        make.case("launch", wheel_torque_nmm=20.0, side_gear_torque_nmm=20.0),
    )
    carries = make.context(make.part(carries_brake=True), *cases)
    passed_by = make.context(make.part(carries_brake=False), *cases)
    assert set(picked(carries, "wheel_torque_nmm")) == {"stop"}
    assert set(picked(passed_by, "wheel_torque_nmm")) == {"launch"}
    # What runs through the gears is not a matter of the hub.
    assert picked(passed_by, "side_gear_torque_nmm") == {"stop": (70.0, None)}


def test_application_factor_on_what_the_road_asks_for(make):
    """Light shock on a uniform drive 1.25 [source: Shigley-15, Table 15-2], no more than stall."""
    assert LIGHT_SHOCK == 1.25
    cruise = make.case("cruise", housing_torque_nmm=10.0, duration="repeated", limited_by="demand")

    def factor(case, *others):
        return make.context(make.part(), case, *others).application_factor(case)

    stall = make.case("stall", housing_torque_nmm=30.0)
    assert factor(cruise, stall) == 1.25
    assert factor(cruise, replace(stall, housing_torque_nmm=11.0)) == pytest.approx(1.1)
    # Neither a fault nor a brake raises what the motor can give.
    fault = make.case("fault", housing_torque_nmm=90.0, fault=True)
    brake = make.case("stop", housing_torque_nmm=90.0, by_brake=True)
    assert factor(cruise, fault, brake) == 1.0
    # A case without torque in the housing has no stall to be held against.
    assert factor(replace(cruise, housing_torque_nmm=0.0), stall) == 1.25


@pytest.mark.parametrize(
    "changes",
    [
        {"limited_by": "motor"},
        {"limited_by": "traction"},
        {"duration": "single"},
        {"duration": "sustained"},
    ],
)
def test_no_application_factor_on_a_computed_peak(make, changes):
    stall = make.case("stall", housing_torque_nmm=300.0)
    values = {"duration": "repeated", "limited_by": "demand", "housing_torque_nmm": 10.0}
    case = make.case("case", **(values | changes))
    assert make.context(make.part(), case, stall).application_factor(case) == 1.0


def test_rolling_cycles_of_teeth(make):
    """With each torque, and in a tenth of the wheel's turns."""
    context = make.context(make.part())
    climb = make.case("climb", duration="repeated", cycles=2e5, torque_cycles=3e3)
    assert context.rolling_cycles(climb) == pytest.approx(3e3 + ROLLING_SHARE * 2e5)
    launch = make.case("launch", duration="repeated", cycles=4e3)
    assert context.rolling_cycles(launch) == 4e3
    assert context.rolling_cycles(make.case("stall")) == 1.0


def test_what_walls_and_infill_leave_of_a_section(make):
    """Two walls of 0.45 mm beads at 0.2 mm layers, by hand: 0.8355 mm; 15 % infill."""
    context = make.context(make.part(), recipe_name="light")
    spacing = 0.45 - 0.2 * (1 - math.pi / 4)
    shell = 0.45 / 2 + 1.5 * spacing
    core = 0.15**1.5
    for thickness in (3.0, 6.0, 20.0):
        share = (thickness - 2 * shell) / thickness
        assert context.area_factor(thickness) == pytest.approx(1 - (1 - core) * share)
        assert context.bending_factor(thickness) == pytest.approx(1 - (1 - core) * share**3)
    assert context.area_factor(1.6) == context.bending_factor(1.6) == 1.0
    # Three skins below are thinner than two walls here, so the walls' thickness stays.
    assert context.skinned_area_factor(6.0) == context.area_factor(6.0)
    solid = make.context(make.part(), recipe_name="solid")
    assert solid.area_factor(20.0) == solid.bending_factor(20.0) == 1.0


def test_skins_count_for_a_plate_in_the_layers(make):
    """Five skins of 0.4 mm are thicker than one wall: half a bead's width plus half a spacing."""
    context = make.context(make.part(), recipe_name="sturdy")
    context.recipe = context.recipe.but(
        wall_count=1, layer_height_mm=0.4, first_layer_height_mm=0.4, line_width_mm=0.6
    )
    core = 0.4 / 2
    wall = 0.6 / 2 + (0.6 - 0.4 * (1 - math.pi / 4)) / 2
    assert context.skinned_area_factor(10.0) == pytest.approx(1 - (1 - core) * (10 - 4) / 10)
    assert context.area_factor(10.0) == pytest.approx(1 - (1 - core) * (10 - 2 * wall) / 10)


def test_a_round_part_stands_a_bar_lies(make):
    assert make.context(make.part()).axis_stands()
    assert not make.context(make.part(), up="+x").axis_stands()
    assert not make.context(make.part(), solid=make.bar).axis_stands()


@pytest.mark.parametrize("up", ["+z", "-z", "+x", "-x", "+y", "-y"])
def test_places_of_the_file_follow_the_part(make, up):
    context = make.context(make.part(), solid=make.bar, up=up)
    for corner, standing in zip(make.bar.vertices_mm, context.standing.vertices_mm, strict=True):
        assert context.standing_place(tuple(corner)) == pytest.approx(standing, abs=1e-9)
