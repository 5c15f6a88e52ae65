"""Road load, motor, belt and the line of drive: balances of force and power."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printplan.errors import OutOfRangeError
from printplan.vehicle.belt import (
    BeltData,
    ChainData,
    belt_forces,
    belt_shaft_force_n,
    pulley_pitch_diameter_mm,
    sprocket_pitch_diameter_mm,
    teeth_in_mesh,
    teeth_in_mesh_factor,
)
from printplan.vehicle.drive import DriveLine
from printplan.vehicle.motor import MotorData, OutputMotorData
from printplan.vehicle.road import road_load, rotating_mass_factor, weight_n, wheel_torque_nmm


def motor(**changes) -> MotorData:
    given_values = {
        "torque_constant_nmm_a": 90.0,
        "resistance_ohm": 0.15,
        "voltage_v": 36.0,
        "current_limit_a": 25.0,
    }
    return MotorData(**{**given_values, **changes})


def belt(**changes) -> BeltData:
    given_values = {"pitch_mm": 5.0, "motor_teeth": 20, "driven_teeth": 60, "wrap_deg": 150.0}
    return BeltData(**{**given_values, **changes})


def test_climbing_work_is_weight_times_height():
    load = road_load(mass_g=100e3, slope_percent=10.0)
    way = math.hypot(100.0, 10.0)
    assert load.total_n * way == pytest.approx(weight_n(100e3) * 10.0)


def test_a_vertical_wall_would_take_the_whole_weight():
    load = road_load(mass_g=100e3, slope_percent=1e9, rolling_resistance=0.3)
    assert load.slope_n == pytest.approx(weight_n(100e3))
    assert load.rolling_n == pytest.approx(0.0, abs=1e-3)


def test_acceleration_of_one_tonne_by_one_mm_s2_takes_one_newton():
    assert road_load(mass_g=1e6, acceleration_mm_s2=1.0).total_n == pytest.approx(1.0)


def test_air_at_ten_metres_a_second():
    load = road_load(mass_g=1.0, drag_area_m2=0.5, speed_mm_s=10e3)
    assert load.air_n == pytest.approx(0.5 * 1.2 * 0.5 * 100.0)


def test_turning_parts_seem_heavier_by_their_energy():
    factor = rotating_mass_factor(
        mass_g=100e3,
        wheel_diameter_mm=300.0,
        wheels_inertia_g_mm2=3e7,
        motor_inertia_g_mm2=2e5,
        ratio=8.0,
    )
    speed = 3000.0
    wheel_speed = speed / 150.0
    energy = 100e3 * speed**2 + 3e7 * wheel_speed**2 + 2e5 * (8.0 * wheel_speed) ** 2
    assert factor == pytest.approx(energy / (100e3 * speed**2))


def test_a_smaller_wheel_asks_less_torque():
    """*Common practice, no source*: the same pull takes less torque on a smaller wheel."""
    pull = road_load(mass_g=130e3, slope_percent=10.0, rolling_resistance=0.02).total_n
    assert wheel_torque_nmm(pull, 200.0) == pytest.approx(wheel_torque_nmm(pull, 400.0) / 2.0)


@given(st.floats(0.0, 390.0))
def test_motor_power_balance_without_limit(speed):
    """Electric power in = heat in the winding + power at the shaft."""
    free = motor(current_limit_a=None)
    torque = free.running_torque_nmm(speed)
    current = torque / free.torque_constant_nmm_a
    electric = free.voltage_v * current
    heat = current**2 * free.resistance_ohm
    assert electric == pytest.approx(heat + torque * 1e-3 * speed, abs=1e-6)


def test_motor_torque_falls_from_stall_to_nothing():
    limited = motor()
    no_load = 36.0 / 0.09
    speeds = [no_load * k / 50.0 for k in range(60)]
    torques = [limited.running_torque_nmm(speed) for speed in speeds]
    assert torques[0] == limited.stall_torque_nmm == pytest.approx(2250.0)
    assert all(later <= earlier for earlier, later in pairwise(torques))
    assert limited.running_torque_nmm(no_load) == pytest.approx(0.0, abs=1e-6)
    assert torques[-1] == 0.0


def test_current_limit_above_the_short_circuit_changes_nothing():
    assert motor(current_limit_a=1e6).stall_torque_nmm == motor().fault_torque_nmm


def test_friction_lowers_the_torque():
    assert motor(no_load_current_a=1.0).stall_torque_nmm == pytest.approx(24.0 * 90.0)


@pytest.mark.parametrize(
    "changes",
    [{"resistance_ohm": 0.0}, {"efficiency": 1.2}, {"current_limit_a": -3.0}, {"voltage_v": -1.0}],
)
def test_impossible_motor(changes):
    with pytest.raises(OutOfRangeError, match="motor"):
        motor(**changes)


@given(st.floats(0.0, 2000.0), st.floats(0.0, 3000.0), st.floats(60.0, 300.0))
def test_strands_differ_by_the_effective_force(effective, initial, wrap):
    forces = belt_forces(effective_n=effective, initial_n=initial, wrap_deg=wrap)
    assert forces.tight_n - forces.slack_n == pytest.approx(effective, abs=1e-9)
    assert forces.slack_n >= 0.0
    if not forces.goes_slack:
        assert (forces.tight_n + forces.slack_n) / 2.0 == pytest.approx(initial, abs=1e-6)


@given(st.floats(1.0, 500.0), st.floats(1.0, 500.0), st.floats(1.0, 300.0))
def test_shaft_force_is_the_vector_sum_of_the_strands(tight, slack, wrap):
    """The strands leave the pulley at the ends of the arc of wrap, along its tangents."""
    half = math.radians(wrap) / 2.0
    along = (tight + slack) * math.sin(half)
    across = (tight - slack) * math.cos(half)
    assert belt_shaft_force_n(tight, slack, wrap) == pytest.approx(math.hypot(along, across))


def test_belt_tightened_for_stall_keeps_its_slack_strand_there_and_loses_it_beyond():
    data = belt(preload_share=0.2)
    at_stall = data.forces(2250.0, 2250.0)
    assert at_stall.slack_n == pytest.approx(0.2 * at_stall.effective_n)
    assert not at_stall.goes_slack
    beyond = data.forces(4.0 * 2250.0, 2250.0)
    assert beyond.goes_slack
    assert beyond.slack_n == 0.0
    assert beyond.tight_n == pytest.approx(beyond.effective_n)
    at_rest = data.forces(0.0, 2250.0)
    assert at_rest.tight_n == at_rest.slack_n == pytest.approx(data.initial_tension_n(2250.0))


def test_belt_without_preload_share_is_just_taut_at_stall():
    assert not belt(preload_share=0.0).forces(2250.0, 2250.0).goes_slack


def test_teeth_in_mesh_and_their_capacity():
    assert teeth_in_mesh(12, 180.0) == 6
    assert teeth_in_mesh(11, 180.0) == 5
    # [memory: RMA IP-24 / ISO 5295 practice]
    factors = [teeth_in_mesh_factor(z) for z in (8, 6, 5, 4, 3, 2)]
    assert factors == pytest.approx([1.0, 1.0, 0.8, 0.6, 0.4, 0.2])


def test_sprocket_is_a_polygon_a_bit_larger_than_its_circle():
    for teeth in (8, 20, 100):
        polygon = sprocket_pitch_diameter_mm(12.7, teeth)
        assert polygon > pulley_pitch_diameter_mm(12.7, teeth)
    assert sprocket_pitch_diameter_mm(10.0, 6) == pytest.approx(20.0)  # hexagon: side = radius


def test_line_of_drive_passes_power_on_unchanged():
    line = DriveLine(motor=motor(), belt=belt(), final_reduction=2.0)
    assert line.ratio == pytest.approx(6.0)
    axle_nmm, axle_speed = line.stall_axle_torque_nmm, 1.0
    motor_power = line.motor_output_torque_nmm(axle_nmm) * axle_speed * line.ratio
    assert motor_power == pytest.approx(axle_nmm * axle_speed)


def test_belt_force_makes_the_torque_at_both_pulleys():
    line = DriveLine(motor=motor(), belt=belt())
    forces = line.loop_forces(6750.0)
    assert forces.effective_n * pulley_pitch_diameter_mm(5.0, 60) / 2.0 == pytest.approx(6750.0)
    motor_nmm = forces.effective_n * pulley_pitch_diameter_mm(5.0, 20) / 2.0
    assert motor_nmm == pytest.approx(line.motor_output_torque_nmm(6750.0))


def test_chain_pulls_only_under_load_and_direct_drive_never():
    chain = ChainData(pitch_mm=12.7, motor_teeth=11, driven_teeth=33)
    line = DriveLine(motor=motor(), belt=chain)
    assert line.loop_forces(0.0).shaft_n == 0.0
    loaded = line.loop_forces(6750.0)
    assert loaded.shaft_n == pytest.approx(1.2 * loaded.effective_n)
    assert DriveLine(motor=motor()).loop_forces(6750.0).shaft_n == 0.0


def test_motor_known_only_by_its_output():
    line = DriveLine(
        motor=OutputMotorData(rated_torque_nmm=5e3, stall_torque_nmm=12e3), belt=belt()
    )
    assert line.stall_axle_torque_nmm == pytest.approx(36e3)
    assert line.fault_axle_torque_nmm is None
    assert line.running_axle_torque_nmm(20.0) == pytest.approx(15e3)
