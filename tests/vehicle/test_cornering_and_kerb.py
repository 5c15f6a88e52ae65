"""Cornering and kerbs: three-dimensional equilibrium and simulated impacts as oracles."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from printplan.errors import OutOfRangeError
from printplan.vehicle.chassis import Chassis, axle_loads
from printplan.vehicle.cornering import (
    cornering_limit,
    hub_moment_nmm,
    lateral_transfer_n,
    outer_wheel_lateral_n,
    outer_wheel_load_n,
    rollover_ratio,
    skid_speed_mm_s,
)
from printplan.vehicle.kerb import (
    climb_torque_nmm,
    distance_to_edge_mm,
    drop_force_n,
    kerb_strike,
    push_force_n,
    stop_force_n,
)


def chassis(front: int, rear: int) -> Chassis:
    return Chassis(
        weight_n=1500.0,
        wheelbase_mm=1200.0,
        track_mm=700.0,
        front_wheels=front,
        rear_wheels=rear,
        centre_behind_front_mm=700.0,
        centre_height_mm=600.0,
    )


def three_wheel_contacts(single_at_front: bool, ratio: float) -> np.ndarray:
    """Vertical loads (single, outer, inner) from force and moment balance in space."""
    body = chassis(1, 2) if single_at_front else chassis(2, 1)
    x_single, x_pair = (0.0, 1200.0) if single_at_front else (1200.0, 0.0)
    # rows: vertical force; moment about the sideways axis; moment about the lengthwise axis
    matrix = np.array([[1.0, 1.0, 1.0], [x_single, x_pair, x_pair], [0.0, 350.0, -350.0]])
    right = np.array([body.weight_n, body.weight_n * 700.0, body.weight_n * ratio * 600.0])
    return np.linalg.solve(matrix, right)


@pytest.mark.parametrize("single_at_front", [True, False])
def test_three_wheels_tip_when_the_inner_wheel_carries_nothing(single_at_front):
    body = chassis(1, 2) if single_at_front else chassis(2, 1)
    ratio = rollover_ratio(body)
    single, outer, inner = three_wheel_contacts(single_at_front, ratio)
    assert inner == pytest.approx(0.0, abs=1e-9)
    paired = "rear" if single_at_front else "front"
    assert outer_wheel_load_n(body, paired, ratio) == pytest.approx(outer)
    other = "front" if single_at_front else "rear"
    assert outer_wheel_load_n(body, other, ratio) == pytest.approx(single)


@pytest.mark.parametrize("single_at_front", [True, False])
def test_three_wheel_loads_below_tipping(single_at_front):
    body = chassis(1, 2) if single_at_front else chassis(2, 1)
    ratio = 0.5 * rollover_ratio(body)
    _, outer, inner = three_wheel_contacts(single_at_front, ratio)
    paired = "rear" if single_at_front else "front"
    assert outer_wheel_load_n(body, paired, ratio) == pytest.approx(outer)
    assert (outer - inner) / 2.0 == pytest.approx(lateral_transfer_n(body, ratio))


def test_four_wheels_at_the_threshold_stand_on_the_outer_pair():
    body = chassis(2, 2)
    ratio = rollover_ratio(body)
    assert lateral_transfer_n(body, ratio) == pytest.approx(body.weight_n / 2.0)
    outer = sum(outer_wheel_load_n(body, axle, ratio) for axle in ("front", "rear"))
    assert outer == pytest.approx(body.weight_n)


def test_a_third_wheel_less_tips_earlier():
    """Three wheels tip at about half the sideways acceleration of four, *common practice*."""
    four, three = rollover_ratio(chassis(2, 2)), rollover_ratio(chassis(1, 2))
    assert 0.3 * four < three < 0.7 * four


def test_two_wheels_in_line_skid():
    limit = cornering_limit(chassis(1, 1), 0.8)
    assert (limit.ratio, limit.limited_by) == (0.8, "skid")


@given(st.floats(0.0, 1.0), st.sampled_from(["front", "rear"]), st.sampled_from([1, 2]))
def test_sideways_force_never_beats_grip_nor_the_whole_axle(grip, axle, front):
    body = chassis(front, 2)
    ratio = cornering_limit(body, grip).ratio
    lateral = outer_wheel_lateral_n(body, axle, ratio, grip)
    assert lateral <= grip * outer_wheel_load_n(body, axle, ratio) + 1e-9
    assert lateral <= axle_loads(body).on(axle) * ratio + 1e-9


def test_without_grip_any_speed_skids():
    assert skid_speed_mm_s(0.0, 5000.0) == 0.0
    assert cornering_limit(chassis(1, 2), 0.0).limited_by == "skid"


def test_hub_moment_counts_either_sign():
    given_values = {"vertical_n": 500.0, "wheel_diameter_mm": 300.0, "offset_mm": 20.0}
    assert hub_moment_nmm(lateral_n=300.0, **given_values) == pytest.approx(45000.0 + 10000.0)
    assert hub_moment_nmm(lateral_n=-300.0, **given_values) == pytest.approx(55000.0)


@given(st.floats(1.0, 140.0))
def test_push_and_climb_are_one_moment_about_the_edge(height):
    diameter, load = 300.0, 400.0
    edge = distance_to_edge_mm(diameter, height)
    assert edge**2 + (diameter / 2.0 - height) ** 2 == pytest.approx((diameter / 2.0) ** 2)
    torque = climb_torque_nmm(load, diameter, height)
    pushing = push_force_n(load, diameter, height) * (diameter / 2.0 - height)
    assert torque == pytest.approx(pushing)


def test_a_step_as_high_as_the_hub_is_a_wall():
    with pytest.raises(OutOfRangeError, match="wall"):
        distance_to_edge_mm(300.0, 150.0)


def test_drop_agrees_with_a_simulated_fall():
    """Integrate m x'' = m g - k x from the moment of touching, x downwards."""
    load, stiffness, height, gravity = 400.0, 60.0, 50.0, 9810.0
    mass_t = load / gravity  # N / (mm/s²) = tonne
    speed = math.sqrt(2.0 * gravity * height)
    times = np.linspace(0.0, 0.1, 20001)
    solution = solve_ivp(
        lambda _, s: [s[1], gravity - stiffness * s[0] / mass_t],
        (0.0, 0.1),
        [0.0, speed],
        t_eval=times,
        rtol=1e-9,
        atol=1e-9,
    )
    assert drop_force_n(load, stiffness, height) == pytest.approx(
        stiffness * solution.y[0].max(), rel=1e-5
    )


def test_a_load_put_on_suddenly_counts_twice():
    assert drop_force_n(400.0, 60.0, 0.0) == pytest.approx(800.0)


@given(st.floats(1.0, 8000.0), st.floats(10.0, 500.0), st.floats(1e3, 1e5))
def test_stopping_turns_all_energy_into_the_spring(speed, stiffness, mass):
    force = stop_force_n(speed, stiffness, mass)
    spring = force**2 / (2.0 * stiffness)  # N·mm
    motion = 0.5 * mass * 1e-6 * speed**2
    assert spring == pytest.approx(motion)


def strike(**changes: float):
    given_values = {
        "wheel_load_n": 400.0,
        "mass_on_wheel_g": 40.8e3,
        "wheel_diameter_mm": 300.0,
        "kerb_height_mm": 50.0,
        "speed_mm_s": 2000.0,
        "stiffness_n_mm": 60.0,
    }
    return kerb_strike(**{**given_values, **changes})


def test_strike_parts_make_up_the_force():
    hit = strike()
    assert math.hypot(hit.vertical_n, hit.longitudinal_n) == pytest.approx(hit.force_n)


def test_a_standing_wheel_at_a_kerb_keeps_its_load():
    hit = strike(speed_mm_s=0.0)
    assert hit.force_n == pytest.approx(400.0)
    assert hit.vertical_n == pytest.approx(400.0)


def test_small_hard_wheels_are_hit_harder():
    """Smaller and harder wheels suffer more at the same kerb, *common practice, no source*."""
    assert strike(wheel_diameter_mm=200.0).force_n > strike().force_n
    assert strike(stiffness_n_mm=300.0).force_n > strike().force_n
