"""The load cases of a whole vehicle: free bodies, limits, facts of the trade."""

from __future__ import annotations

import math
from dataclasses import FrozenInstanceError, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from printplan.errors import InputError, OutOfRangeError, UnknownNameError
from printplan.vehicle import (
    BeltData,
    BrakeData,
    ChainData,
    DifferentialData,
    DriveVehicle,
    MotorData,
    OutputMotorData,
    load_cases,
    vehicle_loads,
)
from printplan.vehicle.belt import pulley_pitch_diameter_mm

NAN = math.nan


def vehicle(**changes) -> DriveVehicle:
    """Build a three-wheeler with made-up figures."""
    given_values = {
        "empty_mass_g": 45e3,
        "rider_mass_g": 80e3,
        "load_mass_g": 40e3,
        "wheelbase_mm": 1200.0,
        "track_mm": 750.0,
        "front_wheels": 1,
        "rear_wheels": 2,
        "centre_behind_front_mm": 720.0,
        "centre_height_mm": 600.0,
        "driven": "rear",
        "wheel_diameter_mm": 400.0,
        "peak_grip": 1.0,
        "lateral_grip": 0.8,
        "rolling_resistance": 0.03,
        "slope_percent": 8.0,
        "speed_mm_s": 3000.0,
        "tyre_stiffness_n_mm": 80.0,
        "kerb_height_mm": 40.0,
        "life_distance_mm": 1e9,
        "motor": MotorData(
            torque_constant_nmm_a=90.0,
            resistance_ohm=0.15,
            voltage_v=36.0,
            current_limit_a=40.0,
            gear_ratio=5.0,
            efficiency=0.85,
        ),
        "belt": BeltData(pitch_mm=5.0, motor_teeth=24, driven_teeth=72, wrap_deg=150.0),
        "differential": DifferentialData(locking_value=0.1),
        "brakes": (BrakeData(place="wheels"),),
    }
    return DriveVehicle(**{**given_values, **changes})


LAYOUTS = {
    "three wheels, rear": {},
    "three wheels, front drive": {"front_wheels": 2, "rear_wheels": 1, "driven": "front"},
    "four wheels, all driven": {"front_wheels": 2, "driven": "all"},
    "two in front, all driven": {"front_wheels": 2, "rear_wheels": 1, "driven": "all"},
    "two in line": {"rear_wheels": 1, "differential": None},
    "through axle": {"differential": None},
    "locked": {"differential": DifferentialData(locking_value=1.0)},
    "chain": {"belt": ChainData(pitch_mm=12.7, motor_teeth=11, driven_teeth=33)},
    "direct": {"belt": None, "final_reduction": 3.0},
    "output motor": {"motor": OutputMotorData(rated_torque_nmm=8e3, stall_torque_nmm=20e3)},
    "no kerb, no brake": {"kerb_height_mm": 0.0, "brakes": ()},
    "housing brake": {"brakes": (BrakeData(place="housing"),)},
    "motor brake": {"brakes": (BrakeData(place="motor"),)},
    "half axle brake": {"brakes": (BrakeData(place="half axle"),)},
}


@pytest.fixture(params=LAYOUTS, ids=lambda name: name.replace(" ", "-"))
def layout(request) -> DriveVehicle:
    return vehicle(**LAYOUTS[request.param])


def numbers(case) -> dict[str, float]:
    return {k: v for k, v in case.to_dict().items() if k.endswith(("_nmm", "_n"))}


def test_every_case_is_finite_named_once_and_says_where_it_comes_from(layout):
    loads = vehicle_loads(layout)
    names = [case.name for case in loads.cases]
    assert len(set(names)) == len(names)
    for case in loads.cases:
        for value in numbers(case).values():
            assert math.isfinite(value)
            assert value >= 0.0
        assert case.cycles >= 1.0
        assert case.duration == "repeated" or case.cycles == 1.0
        assert case.story.endswith(".")
        assert case.assumption
        assert case.trail
        assert any(
            label in case.source
            for label in ("[source:", "[memory:", "[common practice]", "derived")
        )


def test_torque_agrees_from_motor_to_housing(layout):
    """Drive cases: what the mount carries, through the ratios, is what the axles carry."""
    loads = vehicle_loads(layout)
    for name in ("launch", "motor stall", "failed current limit", "climb", "cruise"):
        case = loads.case(name)
        at_axles = case.motor_output_torque_nmm * layout.drive_line.ratio
        if layout.driven == "all":
            assert case.housing_torque_nmm <= at_axles * (1 + 1e-9)
        else:
            assert case.housing_torque_nmm == pytest.approx(at_axles)


def test_one_wheel_never_gets_more_than_the_housing_passes(layout):
    for case in vehicle_loads(layout).cases:
        if case.housing_torque_nmm > 0.0:
            assert case.wheel_torque_nmm <= case.housing_torque_nmm * (1 + 1e-9)
            share = layout.largest_wheel_share
            assert case.wheel_torque_nmm == pytest.approx(share * case.housing_torque_nmm)
        if layout.differential is None:
            assert case.side_gear_torque_nmm == 0.0


def test_wheel_torque_is_force_times_radius(layout):
    for case in vehicle_loads(layout).cases:
        if case.wheel_torque_nmm > 0.0:
            turned = case.wheel_longitudinal_n * layout.wheel_radius_mm
            assert turned == pytest.approx(case.wheel_torque_nmm)


def test_belt_force_turns_the_motor_pulley():
    data = vehicle()
    for case in vehicle_loads(data).cases:
        moment = case.belt_force_n * pulley_pitch_diameter_mm(5.0, 24) / 2.0
        assert moment == pytest.approx(case.motor_output_torque_nmm, abs=1e-6)


def test_belt_preload_stands_for_hours():
    data = vehicle()
    parked = next(c for c in load_cases(data) if c.duration == "sustained")
    assert parked.belt_force_n == 0.0
    assert parked.belt_shaft_force_n > 0.5 * vehicle_loads(data).case("launch").belt_shaft_force_n


def test_launch_takes_the_weaker_of_motor_and_ground():
    weak = vehicle_loads(vehicle()).case("launch")
    assert weak.limited_by == "motor"
    assert weak.housing_torque_nmm == pytest.approx(40.0 * 90.0 * 5.0 * 0.85 * 3.0)
    icy = vehicle_loads(vehicle(peak_grip=0.05)).case("launch")
    assert icy.limited_by == "traction"
    assert icy.wheel_longitudinal_n <= 0.05 * icy.wheel_vertical_n * 1.1 + 1e-9
    motor = MotorData(
        torque_constant_nmm_a=500.0, resistance_ohm=0.05, voltage_v=48.0, current_limit_a=400.0
    )
    tall = vehicle_loads(vehicle(motor=motor, centre_height_mm=900.0))
    assert tall.case("launch").limited_by == "wheelie"
    assert any("lifts" in warning for warning in tall.warnings)


def test_without_grip_nothing_is_driven_or_braked_on_the_road():
    loads = vehicle_loads(vehicle(peak_grip=1e-12, lateral_grip=1e-12))
    for case in loads.cases:
        if case.name in ("launch", "failed current limit", "climb", "cruise") or (
            case.name.startswith(("braking", "parked", "cornering"))
        ):
            assert case.wheel_torque_nmm == pytest.approx(0.0, abs=1e-3)
            assert case.wheel_lateral_n == pytest.approx(0.0, abs=1e-3)
    assert any("can't hold" in warning for warning in loads.warnings)
    assert any("can't be climbed" in warning for warning in loads.warnings)


def test_jammed_wheels_do_not_care_about_grip():
    dry, icy = vehicle_loads(vehicle()), vehicle_loads(vehicle(peak_grip=0.05))
    stall = dry.case("motor stall").housing_torque_nmm
    assert icy.case("motor stall").housing_torque_nmm == stall
    assert icy.case("launch").housing_torque_nmm < stall


def test_a_failed_current_limit_is_never_milder_than_a_launch(layout):
    loads = vehicle_loads(layout)
    launch, fault = loads.case("launch"), loads.case("failed current limit")
    assert fault.housing_torque_nmm >= launch.housing_torque_nmm * (1 - 1e-9)


def test_with_all_wheels_driven_one_axle_may_take_all_that_it_grips():
    """A slow search over the drive force for the largest torque that one axle can hold."""
    data = vehicle(front_wheels=2, rear_wheels=1, driven="all", peak_grip=0.6)
    chassis, stall_n = data.chassis, 1e5
    motor = OutputMotorData(rated_torque_nmm=1e6, stall_torque_nmm=stall_n * 200.0 / 3.0)
    case = vehicle_loads(replace(data, motor=motor)).case("launch")
    held = [min(f, 0.6 * (chassis.weight_n * 0.4 - f * 0.5)) for f in range(0, 900)]
    assert case.axle == "front"
    assert case.housing_torque_nmm / 200.0 == pytest.approx(max(held), abs=1.0)


def test_unknown_fault_torque_is_taken_from_the_traction_limit_and_said_so():
    motor = OutputMotorData(rated_torque_nmm=8e3, stall_torque_nmm=20e3)
    loads = vehicle_loads(vehicle(motor=motor))
    assert loads.case("failed current limit").limited_by in ("traction", "wheelie")
    assert any("not known" in warning for warning in loads.warnings)
    known = replace(motor, fault_torque_nmm=25e3)
    case = vehicle_loads(vehicle(motor=known)).case("failed current limit")
    assert case.limited_by == "motor"
    assert case.housing_torque_nmm == pytest.approx(75e3)


def test_climb_carries_the_road_load_by_hand():
    data = vehicle(drag_area_m2=0.0)
    weight, angle = 165.0 * 9.81, math.atan(0.08)
    force = weight * (math.sin(angle) + 0.03 * math.cos(angle))
    case = vehicle_loads(data).case("climb")
    assert case.limited_by == "demand"
    assert case.housing_torque_nmm == pytest.approx(force * 200.0)
    assert case.cycles == pytest.approx(0.5 * 1e9 / (math.pi * 400.0))


def test_too_steep_for_the_motor_is_said():
    loads = vehicle_loads(vehicle(slope_percent=30.0))
    assert loads.case("climb").limited_by == "motor"
    assert any("can't start on the 30 % slope" in warning for warning in loads.warnings)


def test_too_fast_for_the_motor_is_said():
    loads = vehicle_loads(vehicle(speed_mm_s=20e3))
    assert any("even on the level" in warning for warning in loads.warnings)


def test_a_smaller_wheel_asks_less_torque_of_the_same_drive():
    """*Common practice, no source.*"""
    large, small = vehicle(drag_area_m2=0.0), vehicle(drag_area_m2=0.0, wheel_diameter_mm=300.0)
    for name in ("climb", "cruise"):
        ratio = (
            vehicle_loads(small).case(name).housing_torque_nmm
            / vehicle_loads(large).case(name).housing_torque_nmm
        )
        assert ratio == pytest.approx(0.75)


def test_open_differential_leaves_the_gripping_wheel_almost_nothing():
    """*Common practice, no source.*"""
    loads = vehicle_loads(vehicle(differential=DifferentialData(locking_value=0.0)))
    assert loads.case("one wheel in the air").wheel_torque_nmm == 0.0
    ice = loads.case("one wheel on ice")
    wheel_n = 165.0 * 9.81 * 0.6 / 2.0
    assert ice.wheel_torque_nmm == pytest.approx(0.1 * wheel_n * 200.0)
    assert any("in the air" in warning for warning in loads.warnings)


def test_a_lock_gives_the_gripping_wheel_all_the_motor_has():
    """*Common practice, no source.*"""
    for differential in (DifferentialData(locking_value=1.0), None):
        loads = vehicle_loads(vehicle(differential=differential))
        air = loads.case("one wheel in the air")
        assert air.limited_by == "motor"
        assert air.wheel_torque_nmm == pytest.approx(loads.case("motor stall").housing_torque_nmm)


def test_more_locking_loads_one_wheel_harder():
    torques = [
        vehicle_loads(vehicle(differential=DifferentialData(locking_value=s)))
        .case("launch")
        .side_gear_torque_nmm
        for s in (0.0, 0.2, 0.5, 1.0)
    ]
    assert torques == pytest.approx([torques[0] * (1.0 + s) for s in (0.0, 0.2, 0.5, 1.0)])


# --- brakes ---------------------------------------------------------------------------------------


def braking(place: str, **changes):
    loads = vehicle_loads(vehicle(brakes=(BrakeData(place=place),), **changes))
    return loads, [c for c in loads.cases if c.name.startswith("braking")]


def test_a_housing_brake_loads_the_gears_and_wheel_brakes_do_not():
    """*Common practice, no source.*"""
    loads, [housing] = braking("housing")
    assert housing.housing_torque_nmm > 0.0
    assert housing.reversed_flank
    assert housing.belt_force_n == 0.0
    assert any("differential's teeth" in warning for warning in loads.warnings)
    _, wheels = braking("wheels")
    assert {case.axle for case in wheels} == {"front", "rear"}
    for case in wheels:
        assert case.housing_torque_nmm == case.side_gear_torque_nmm == 0.0
        assert case.wheel_torque_nmm > 0.0


def test_a_motor_brake_loads_gears_and_belt():
    _, [housing] = braking("housing")
    loads, [motor] = braking("motor")
    assert motor.housing_torque_nmm == pytest.approx(housing.housing_torque_nmm)
    assert motor.motor_output_torque_nmm == pytest.approx(motor.housing_torque_nmm / 3.0)
    assert any("may skip" in warning for warning in loads.warnings)


def test_a_half_axle_brake_brakes_one_wheel():
    """*Common practice, no source.*"""
    loads, [half] = braking("half axle")
    assert half.housing_torque_nmm == half.side_gear_torque_nmm == 0.0
    assert half.wheel_longitudinal_n == pytest.approx(1.0 * half.wheel_vertical_n)
    assert any("one wheel" in warning for warning in loads.warnings)


def test_a_half_axle_brake_through_a_lock_brakes_both():
    for differential, geared in ((DifferentialData(locking_value=1.0), True), (None, False)):
        loads, [case] = braking("half axle", differential=differential)
        _, [both] = braking("housing")
        assert 2.0 * case.wheel_torque_nmm == pytest.approx(both.housing_torque_nmm)
        assert (case.side_gear_torque_nmm > 0.0) == geared
        assert not any("one wheel only" in warning for warning in loads.warnings)


@pytest.mark.parametrize("grip", [0.3, 0.8, 1.2])
def test_braking_balances_the_whole_vehicle(grip):
    """Brakes at all wheels: front and rear loads are those of W and the braking force."""
    data = vehicle(peak_grip=grip)
    front = vehicle_loads(data).case("braking, brakes at the wheels, front axle")
    weight = data.chassis.weight_n
    force = min(grip * weight, weight * 720.0 / 600.0)
    assert front.wheel_vertical_n == pytest.approx((weight * 480.0 + force * 600.0) / 1200.0)
    assert front.wheel_longitudinal_n == pytest.approx(force * front.wheel_vertical_n / weight)


def test_a_rear_brake_is_worst_alone_and_a_front_brake_with_the_rear():
    alone = vehicle_loads(vehicle(brakes=(BrakeData(place="wheels", axle="front"),)))
    both = vehicle_loads(vehicle())
    name = "braking, brakes at the wheels, front axle"
    assert both.case(name).wheel_torque_nmm > alone.case(name).wheel_torque_nmm
    rear_alone = vehicle_loads(vehicle(brakes=(BrakeData(place="wheels", axle="rear"),)))
    name = "braking, brakes at the wheels, rear axle"
    assert both.case(name).wheel_torque_nmm == pytest.approx(rear_alone.case(name).wheel_torque_nmm)


def test_parking_holds_the_weight_on_the_slope():
    for place in ("housing", "motor"):
        loads = vehicle_loads(vehicle(brakes=(BrakeData(place=place),)))
        parked = loads.case(f"parked, brake on the {place}, rear axle")
        slope_n = 165.0 * 9.81 * math.sin(math.atan(0.08))
        assert parked.duration == "sustained"
        assert parked.housing_torque_nmm == pytest.approx(slope_n * 200.0)
    assert parked.belt_force_n > 0.0


def test_a_single_brake_is_warned_about_and_two_are_not():
    one = vehicle_loads(vehicle())
    two = vehicle_loads(vehicle(brakes=(BrakeData(place="wheels"), BrakeData(place="housing"))))
    assert any("only one brake" in warning for warning in one.warnings)
    assert not any("only one brake" in warning for warning in two.warnings)
    none = vehicle_loads(vehicle(brakes=()))
    assert any("no brake" in warning for warning in none.warnings)
    assert none.case("standing loaded").duration == "sustained"


@pytest.mark.parametrize(
    "brakes",
    [
        (BrakeData(place="housing", axle="front"),),
        (BrakeData(place="wheels"), BrakeData(place="wheels", axle="front")),
    ],
)
def test_contradicting_brakes(brakes):
    with pytest.raises(InputError, match="brake"):
        vehicle(brakes=brakes)


# --- wheels ---------------------------------------------------------------------------------------


def test_a_tall_three_wheeler_tips_before_it_skids():
    loads = vehicle_loads(vehicle())
    case = loads.case("cornering, rear wheel")
    assert case.limited_by == "tip"
    # on the point of tipping, the outer rear wheel carries the whole rear axle
    assert case.wheel_vertical_n == pytest.approx(165.0 * 9.81 * 0.6)
    assert any("tips over before it skids" in warning for warning in loads.warnings)
    low = vehicle_loads(vehicle(centre_height_mm=200.0))
    assert low.case("cornering, rear wheel").limited_by == "skid"
    assert not any("tips over" in warning for warning in low.warnings)


def test_kerb_speed_of_its_own():
    fast = vehicle_loads(vehicle()).case("kerb strike, front wheel")
    slow = vehicle_loads(vehicle(kerb_speed_mm_s=1000.0)).case("kerb strike, front wheel")
    assert slow.wheel_longitudinal_n < fast.wheel_longitudinal_n


def test_kerb_cases_by_hand():
    """The whole way from the vehicle's figures: W on a rear wheel 485.6 N, its mass 49.5 kg."""
    loads = vehicle_loads(vehicle())
    standing = 165.0 * 9.81 * 0.6 / 2.0
    edge = math.sqrt(2.0 * 200.0 * 40.0 - 40.0**2)
    into_edge_m_s = 3.0 * edge / 200.0
    force = standing + into_edge_m_s * math.sqrt(80e3 * 165.0 * 0.6 / 2.0)  # SI: N/m, kg
    strike = loads.case("kerb strike, rear wheel")
    assert strike.wheel_vertical_n == pytest.approx(force * 160.0 / 200.0)
    assert strike.wheel_longitudinal_n == pytest.approx(force * edge / 200.0)
    scrape = loads.case("sideways kerb scrape, rear wheel")
    assert scrape.wheel_lateral_n == pytest.approx(1.5 * standing)
    drop = loads.case("drop off a kerb, rear wheel")
    sag = standing / 80.0
    assert drop.wheel_vertical_n == pytest.approx(standing * (1 + math.sqrt(1 + 80.0 / sag)))


def test_a_strong_motor_climbs_the_kerb_instead_of_stalling():
    weak = vehicle_loads(vehicle()).case("stall against a kerb")
    assert weak.limited_by == "motor"
    motor = OutputMotorData(rated_torque_nmm=8e3, stall_torque_nmm=200e3)
    strong = vehicle_loads(vehicle(motor=motor)).case("stall against a kerb")
    assert strong.limited_by == "kerb"
    edge = math.sqrt(2.0 * 200.0 * 40.0 - 40.0**2)
    assert strong.housing_torque_nmm == pytest.approx(1.5 * 165.0 * 9.81 * 0.6 * edge)


def test_one_braked_wheel_may_not_hold_the_slope():
    """Grip 0.2, 8 %: both rear wheels hold the vehicle, one does not."""
    loads = {
        place: vehicle_loads(vehicle(peak_grip=0.2, brakes=(BrakeData(place=place),)))
        for place in ("housing", "half axle")
    }
    assert not any("can't hold" in warning for warning in loads["housing"].warnings)
    assert any("can't hold" in warning for warning in loads["half axle"].warnings)
    parked = loads["half axle"].case("parked, brake on the half axle, rear axle")
    assert parked.limited_by == "traction"


def test_no_kerb_no_kerb_cases_but_a_word():
    loads = vehicle_loads(vehicle(kerb_height_mm=0.0))
    assert not any("kerb" in case.name for case in loads.cases)
    assert any("not judged" in warning for warning in loads.warnings)


@settings(max_examples=40)
@given(st.floats(1.05, 3.0))
def test_a_heavier_load_lowers_no_wheel_load(factor):
    light, heavy = vehicle(), vehicle(load_mass_g=40e3 * factor)
    for before, after in zip(load_cases(light), load_cases(heavy), strict=True):
        assert after.name == before.name
        assert after.wheel_vertical_n > before.wheel_vertical_n


# --- inputs and results ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("empty_mass_g", -1.0),
        ("rider_mass_g", -1.0),
        ("load_mass_g", NAN),
        ("centre_behind_front_mm", 1300.0),
        ("centre_behind_front_mm", 0.0),
        ("centre_height_mm", -10.0),
        ("peak_grip", 0.0),
        ("lateral_grip", -0.2),
        ("wheel_diameter_mm", math.inf),
        ("kerb_height_mm", 200.0),
        ("slope_percent", 90.0),
        ("climbing_share", 1.5),
        ("final_reduction", 0.0),
        ("front_wheels", 3),
    ],
)
def test_impossible_vehicle(name, value):
    with pytest.raises(OutOfRangeError, match=name):
        vehicle_loads(vehicle(**{name: value}))


def test_differential_needs_two_driven_wheels():
    with pytest.raises(OutOfRangeError, match="2 driven wheels"):
        vehicle(front_wheels=2, rear_wheels=1)


def test_unknown_names():
    with pytest.raises(UnknownNameError, match="driven axle"):
        vehicle(driven="middle")
    with pytest.raises(UnknownNameError, match="brake place"):
        BrakeData(place="parachute")
    with pytest.raises(UnknownNameError, match="launch"):
        vehicle_loads(vehicle()).case("lunch")


def test_results_are_frozen_and_make_a_table():
    loads = vehicle_loads(vehicle())
    with pytest.raises(FrozenInstanceError):
        loads.cases[0].cycles = 2.0
    frame = loads.to_frame()
    assert list(frame.index) == [case.name for case in loads.cases]
    assert frame.loc["launch", "housing_torque_nmm"] == loads.case("launch").housing_torque_nmm


def test_the_trail_shows_the_result_it_leads_to():
    case = vehicle_loads(vehicle()).case("launch")
    assert f"{case.housing_torque_nmm / 1e3:.2f} N·m" in " ".join(case.trail)
    assert f"{case.wheel_torque_nmm / 1e3:.2f} N·m" in " ".join(case.trail)
