"""What everybody in the trade knows, asked of the program as a whole.

Each fact is *common practice, no source*: nobody needs to publish it, but a plan that contradicts
it is wrong. Relations and orders of size are checked, no figures.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from printplan.climate import Exposure, part_temperature, surroundings_of
from printplan.elements.bevel import bevel_pair, mesh_tangential_force_n
from printplan.filament import load_table
from printplan.filament.demand import Demand
from printplan.judging import Verdict, check_demand, judge
from printplan.vehicle import (
    BrakeData,
    DifferentialData,
    DriveVehicle,
    MotorData,
    VehicleLoads,
    vehicle_loads,
)

VEHICLE = DriveVehicle(
    empty_mass_g=45e3,
    rider_mass_g=60e3,
    load_mass_g=0.0,
    wheelbase_mm=1100.0,
    track_mm=700.0,
    front_wheels=2,
    rear_wheels=2,
    centre_behind_front_mm=600.0,
    centre_height_mm=500.0,
    driven="rear",
    wheel_diameter_mm=300.0,
    peak_grip=0.8,
    lateral_grip=0.8,
    rolling_resistance=0.02,
    slope_percent=8.0,
    speed_mm_s=3000.0,
    tyre_stiffness_n_mm=60.0,
    kerb_height_mm=0.0,
    life_distance_mm=5e8,
    motor=MotorData(
        torque_constant_nmm_a=90.0,
        resistance_ohm=0.15,
        voltage_v=36.0,
        current_limit_a=25.0,
        gear_ratio=15.0,
        efficiency=0.85,
    ),
    differential=DifferentialData(locking_value=0.1, pinions=2),
    brakes=(BrakeData(place="wheels"),),
)


def loads(**changes) -> VehicleLoads:
    return vehicle_loads(replace(VEHICLE, **changes))


def verdict(grade: str, *, colour: str = "white", shelter: str = "sun") -> Verdict:
    """A lightly and shortly loaded part of a grade on the hottest summer day."""
    filament = load_table().get(grade)
    hot = part_temperature(
        surroundings_of("temperate", "extreme"), Exposure(shelter=shelter, colour=colour)
    )
    light = Demand(
        name="arm",
        case="a nudge",
        stress_mpa=0.5,
        direction="in-layer tension",
        duration="single",
    )
    check = check_demand(
        light, filament, design_degc=hot.design_degc, upper_degc=hot.upper_degc, required=2.0
    )
    return judge(filament, hot, [check])


def test_in_the_sun_petg_holds_where_pla_softens():
    """*common practice, no source*: PLA parts sag in the summer sun, PETG ones of a light colour
    don't."""
    petg, pla = verdict("PETG"), verdict("PLA")
    assert petg.suitability == "suitable"
    assert pla.suitability == "unsuitable"
    assert pla.reasons[0].topic == "heat"
    assert "softens" in pla.deciding[0]


def test_indoors_pla_is_fit():
    """*common practice, no source*: the commonest filament is good enough where it stays cool."""
    filament = load_table().get("PLA")
    room = part_temperature(
        surroundings_of("temperate", "summer"), Exposure(shelter="shade", colour="white")
    )
    cool = replace(room, design_degc=23.0, upper_degc=28.0)
    assert judge(filament, cool, (), outdoors=False).suitability == "suitable"


def test_black_is_hotter_than_white_and_asks_for_more():
    """*common practice, no source*: a dark part in the sun gets hotter; ASA bears what PETG
    doesn't."""
    order = ("suitable", "marginal", "not judged", "unsuitable")
    for grade in ("PLA", "PETG", "ASA"):
        light, dark = (
            order.index(verdict(grade, colour=colour).suitability) for colour in ("white", "black")
        )
        assert light <= dark
    assert verdict("PETG", colour="black").suitability == "unsuitable"
    assert verdict("ASA", colour="black").suitability in ("suitable", "marginal")


def test_a_wheel_in_the_air_leaves_the_other_almost_nothing():
    """*common practice, no source*: with an open differential one lifted wheel spins and the
    vehicle stands; a locked one pulls on."""
    open_one = loads(differential=DifferentialData(locking_value=0.0, pinions=2))
    locked = loads(differential=DifferentialData(locking_value=1.0, pinions=2))
    climb = open_one.case("climb").wheel_torque_nmm
    assert climb > 0
    assert open_one.case("one wheel in the air").wheel_torque_nmm < 0.01 * climb
    assert any("one driven wheel in the air" in text for text in open_one.warnings)
    assert locked.case("one wheel in the air").wheel_torque_nmm >= climb
    assert not any("one driven wheel in the air" in text for text in locked.warnings)


@pytest.mark.parametrize("teeth", [18, 24, 36])
def test_a_larger_side_gear_sees_a_smaller_tooth_force(teeth):
    """*common practice, no source*: the same torque on a larger radius is a smaller force."""

    def gear(side_teeth: int) -> tuple[float, float]:
        pair = bevel_pair(
            pinion_teeth=side_teeth // 2,
            gear_teeth=side_teeth,
            outer_module_mm=4.0,
            face_width_mm=10.0,
        )
        radius = pair.gear.mean_pitch_radius_mm
        return radius, mesh_tangential_force_n(10e3, radius, 2)

    (small_radius, large_force), (large_radius, small_force) = gear(16), gear(teeth)
    assert large_radius > small_radius
    assert small_force / large_force == pytest.approx(small_radius / large_radius)


@pytest.mark.parametrize("name", ["climb", "cruise"])
def test_a_smaller_wheel_asks_less_torque_of_the_drive(name):
    """*common practice, no source*: the road asks for a force; its lever is the wheel's radius."""
    large, small = (loads(wheel_diameter_mm=diameter).case(name) for diameter in (400.0, 250.0))
    assert large.limited_by == small.limited_by == "demand"
    for value in ("housing_torque_nmm", "side_gear_torque_nmm", "wheel_torque_nmm"):
        assert getattr(small, value) < getattr(large, value)
        assert getattr(small, value) / getattr(large, value) == pytest.approx(250 / 400)


def test_a_brake_on_the_housing_loads_the_gears_one_at_each_wheel_does_not():
    """*common practice, no source*: brake at the wheels, and spare the differential."""

    def braked(place: str) -> list[float]:
        cases = loads(brakes=(BrakeData(place=place, axle="rear"),)).cases
        return [c.side_gear_torque_nmm for c in cases if c.by_brake and c.axle == "rear"]

    at_wheels, on_housing = braked("wheels"), braked("housing")
    assert at_wheels
    assert max(at_wheels) == 0.0
    assert min(on_housing) > 0.0
    assert max(on_housing) > loads().case("climb").side_gear_torque_nmm


def test_steeper_and_heavier_ask_for_more_torque():
    """*common practice, no source*: hills and loads wear out a drive."""
    plain = loads().case("climb").housing_torque_nmm
    assert loads(slope_percent=9.0).case("climb").housing_torque_nmm > plain
    assert loads(load_mass_g=10e3).case("climb").housing_torque_nmm > plain


def test_prints_are_weaker_across_their_layers_and_under_lasting_and_repeated_load():
    """*common practice, no source*: layers part first, and plastic tires and creeps."""
    for filament in load_table():
        along = filament.strength("in-layer tension", 40.0).strength_mpa
        assert filament.strength("interlayer tension", 40.0).strength_mpa < along
        for duration, cycles in (("sustained", 1.0), ("repeated", 1e6)):
            tired = filament.strength("in-layer tension", 40.0, duration=duration, cycles=cycles)
            assert tired.strength_mpa < along
