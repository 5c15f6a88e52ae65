"""Differential: torque and speed balances, limits."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printplan.errors import OutOfRangeError
from printplan.vehicle.differential import (
    DifferentialData,
    bias_ratio,
    friction_locking_value,
    load_sharing_factor,
    locking_value,
    planet_speed_rad_s,
    slipping_wheel_split,
    torque_split,
    wheel_speeds_in_turn_rad_s,
)

torques = st.floats(0.0, 1e6)
lockings = st.floats(0.0, 1.0)


@given(st.floats(1e-3, 1e6), lockings)
def test_wheel_torques_add_up_to_the_housing(torque, locking):
    split = torque_split(torque, locking)
    assert split.high_nmm + split.low_nmm == pytest.approx(torque)
    assert split.high_nmm >= split.low_nmm >= -1e-9 * torque


@given(st.floats(1.0, 1e6), lockings, st.floats(500.0, 1e5))
def test_friction_only_takes_power(torque, locking, radius):
    """The slower wheel gets the higher torque, so what comes out is never more than goes in."""
    inner, outer = wheel_speeds_in_turn_rad_s(10.0, radius, 700.0)
    split = torque_split(torque, locking)
    out = split.high_nmm * inner + split.low_nmm * outer
    assert out <= torque * 10.0 * (1.0 + 1e-12)
    loss = locking * torque * (outer - inner) / 2.0
    assert torque * 10.0 - out == pytest.approx(loss, abs=1e-6 * torque)


def test_speeds_in_a_turn():
    inner, outer = wheel_speeds_in_turn_rad_s(10.0, 2000.0, 700.0)
    assert inner + outer == pytest.approx(20.0)
    # both wheels turn about the same centre: speed over distance from it is the same
    assert inner / (2000.0 - 350.0) == pytest.approx(outer / (2000.0 + 350.0))
    pivoting, _ = wheel_speeds_in_turn_rad_s(10.0, 350.0, 700.0)
    assert pivoting == pytest.approx(0.0)


def test_planets_stand_still_straight_ahead():
    assert planet_speed_rad_s(10.0, 10.0, 16, 10) == 0.0
    # one wheel held: the housing turns at 5, the held side gear at -5 against it
    assert planet_speed_rad_s(10.0, 0.0, 16, 10) == pytest.approx(5.0 * 1.6)


@given(st.floats(0.0, 0.999))
def test_locking_value_and_bias_ratio_are_inverse(locking):
    assert locking_value(bias_ratio(locking)) == pytest.approx(locking, abs=1e-9)


def test_lock_has_an_infinite_bias():
    assert bias_ratio(1.0) == math.inf
    assert locking_value(math.inf) == 1.0
    assert torque_split(1000.0, 1.0).low_nmm == 0.0


def test_open_differential_with_a_wheel_in_the_air_leaves_the_other_nothing():
    """*Common practice, no source.*"""
    for locking in (0.0, 0.15, 0.5):
        split = slipping_wheel_split(
            slipping_torque_nmm=0.0, locking_value=locking, available_nmm=20e3
        )
        assert split.high_nmm == 0.0


def test_only_preload_or_a_lock_helps_a_wheel_in_the_air():
    preloaded = slipping_wheel_split(
        slipping_torque_nmm=0.0, locking_value=0.15, available_nmm=20e3, preload_torque_nmm=3e3
    )
    assert preloaded.high_nmm == pytest.approx(3e3)
    locked = slipping_wheel_split(
        slipping_torque_nmm=0.0, locking_value=1.0, available_nmm=20e3, grip_limit_nmm=50e3
    )
    assert locked.high_nmm == pytest.approx(20e3)


@given(torques, lockings, st.floats(1.0, 1e6), st.floats(1.0, 1e6), torques)
def test_slipping_split_keeps_every_limit(slipping, locking, available, grip, preload):
    split = slipping_wheel_split(
        slipping_torque_nmm=slipping,
        locking_value=locking,
        available_nmm=available,
        grip_limit_nmm=grip,
        preload_torque_nmm=preload,
    )
    slack = 1e-9 * (available + 1.0)
    assert split.housing_nmm <= available + slack
    assert split.high_nmm <= grip + slack
    assert -slack <= split.low_nmm


def test_an_unlimited_lock_is_an_error():
    with pytest.raises(OutOfRangeError, match="available_nmm"):
        slipping_wheel_split(slipping_torque_nmm=0.0, locking_value=1.0)


def test_printed_planets_on_a_rigid_cross_gain_little():
    """K_g within the reference's ranges [memory: AGMA 6123 for the order; common practice]."""
    for planets, low, high in ((2, 1.0, 1.1), (3, 1.1, 1.2), (4, 1.25, 1.5)):
        assert low <= load_sharing_factor(planets) <= high
    with pytest.raises(OutOfRangeError, match="pinions"):
        load_sharing_factor(5)


def test_friction_makes_locking_and_too_much_of_it_seizes():
    given_values = {
        "pressure_angle_deg": 20.0,
        "side_cone_deg": 58.0,
        "planet_cone_deg": 32.0,
        "side_mean_radius_mm": 16.7,
        "planet_mean_radius_mm": 10.4,
        "pin_radius_mm": 3.0,
        "side_face_radius_mm": 12.0,
        "planet_face_radius_mm": 6.0,
    }
    assert friction_locking_value(friction=0.0, **given_values) == 0.0
    greased = friction_locking_value(friction=0.1, **given_values)
    # usual range of a plain bevel differential [memory: handbook ranges]
    assert 0.05 <= greased <= 0.15
    with pytest.raises(OutOfRangeError, match="seize"):
        friction_locking_value(friction=2.0, **given_values)


@pytest.mark.parametrize(
    "changes",
    [{"locking_value": 1.2}, {"locking_value": -0.1}, {"pinions": 0}, {"load_sharing": 0.8}],
)
def test_impossible_differential(changes):
    with pytest.raises(OutOfRangeError):
        DifferentialData(**changes)
