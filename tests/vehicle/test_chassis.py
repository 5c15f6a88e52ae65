"""Axle loads and lengthwise limits: free bodies, mirror images, borders."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from printplan.errors import OutOfRangeError, UnknownNameError
from printplan.vehicle.chassis import (
    Chassis,
    axle_loads,
    braking_limit,
    tipping_force_n,
    traction_limit,
)
from printplan.vehicle.road import slope_angle_rad

chassis_strategy = st.builds(
    lambda weight, length, share, height, track: Chassis(
        weight_n=weight,
        wheelbase_mm=length,
        track_mm=track,
        front_wheels=1,
        rear_wheels=2,
        centre_behind_front_mm=share * length,
        centre_height_mm=height,
    ),
    st.floats(200.0, 4000.0),
    st.floats(500.0, 2500.0),
    st.floats(0.1, 0.9),
    st.floats(100.0, 1200.0),
    st.floats(300.0, 1200.0),
)
grips = st.floats(0.01, 1.5)


def some_chassis() -> Chassis:
    return Chassis(
        weight_n=1500.0,
        wheelbase_mm=1200.0,
        track_mm=700.0,
        front_wheels=1,
        rear_wheels=2,
        centre_behind_front_mm=700.0,
        centre_height_mm=600.0,
    )


@given(chassis_strategy, st.floats(-0.2, 0.2), st.floats(-20.0, 20.0))
def test_forces_and_moments_balance_about_the_centre_of_mass(chassis, ratio, slope):
    angle = slope_angle_rad(slope)
    force_n = chassis.weight_n * (ratio + math.sin(angle))
    assume(
        -tipping_force_n(chassis, over="front", slope_percent=slope)
        < force_n
        < tipping_force_n(chassis, over="rear", slope_percent=slope)
    )
    loads = axle_loads(chassis, drive_force_n=force_n, slope_percent=slope)
    pressing_n = chassis.weight_n * math.cos(angle)
    assert loads.front_n + loads.rear_n == pytest.approx(pressing_n)
    # about the centre of mass, gravity and inertia have no arm: only the road's forces turn
    moment = (
        loads.front_n * chassis.centre_behind_front_mm
        - loads.rear_n * chassis.centre_before_rear_mm
        + force_n * chassis.centre_height_mm
    )
    assert moment == pytest.approx(0.0, abs=1e-6 * pressing_n * chassis.wheelbase_mm)


def test_agrees_with_the_textbook_form_of_slope_and_acceleration():
    """N_r = [m g (a cos th + h sin th) + m a_x h]/L [memory: Gillespie 1992 ch. 1]."""
    chassis, angle, ratio = some_chassis(), slope_angle_rad(12.0), 0.1
    force_n = chassis.weight_n * (ratio + math.sin(angle))
    book = chassis.weight_n * (700.0 * math.cos(angle) + 600.0 * math.sin(angle))
    book += chassis.weight_n * ratio * 600.0
    got = axle_loads(chassis, drive_force_n=force_n, slope_percent=12.0).rear_n
    assert got == pytest.approx(book / 1200.0)


@given(chassis_strategy, grips, st.sampled_from(["front", "rear", "all"]), st.floats(0.0, 15.0))
def test_at_the_limit_the_working_tyres_just_slip_or_an_axle_just_lifts(
    chassis, grip, driven, slope
):
    limit = traction_limit(chassis, grip=grip, driven=driven, slope_percent=slope)
    working = {"front": ["front"], "rear": ["rear"], "all": ["front", "rear"]}[driven]
    load = sum(limit.loads.on(axle) for axle in working)
    if limit.limited_by == "traction":
        assert limit.force_n == pytest.approx(grip * load)
    else:
        assert limit.loads.front_n == pytest.approx(0.0, abs=1e-6 * chassis.weight_n)
        assert limit.force_n <= grip * load * (1.0 + 1e-9)
    assert limit.front_force_n + limit.rear_force_n == pytest.approx(limit.force_n)


def test_limits_agree_with_a_slow_search():
    """Raise the force step by step until a tyre slips or an axle lifts."""
    chassis = some_chassis()
    for grip in (0.3, 0.7, 1.1):
        for working in ("front", "rear", "all"):
            for sign, function, key in (
                (1, traction_limit, "driven"),
                (-1, braking_limit, "braked"),
            ):
                reached = 0.0
                for force_n in np.arange(0.0, 2000.0, 1.0):
                    try:
                        loads = axle_loads(chassis, drive_force_n=sign * float(force_n))
                    except OutOfRangeError:
                        break
                    held = {"front": loads.front_n, "rear": loads.rear_n, "all": 1500.0}[working]
                    if force_n > grip * held:
                        break
                    reached = float(force_n)
                got = function(chassis, grip=grip, **{key: working}).force_n
                assert reached <= got <= reached + 1.0


@given(chassis_strategy, grips)
def test_braking_is_driving_backwards(chassis, grip):
    turned = replace(chassis, centre_behind_front_mm=chassis.centre_before_rear_mm)
    front = braking_limit(chassis, grip=grip, braked="front").force_n
    assert front == pytest.approx(traction_limit(turned, grip=grip, driven="rear").force_n)
    rear = braking_limit(chassis, grip=grip, braked="rear").force_n
    assert rear == pytest.approx(traction_limit(turned, grip=grip, driven="front").force_n)


@given(chassis_strategy, grips)
def test_all_wheels_hold_at_least_as_much_as_one_axle(chassis, grip):
    both = braking_limit(chassis, grip=grip, braked="all").force_n
    for axle in ("front", "rear"):
        assert braking_limit(chassis, grip=grip, braked=axle).force_n <= both * (1 + 1e-9)


def test_no_grip_no_force():
    limit = traction_limit(some_chassis(), grip=0.0, driven="rear")
    assert limit.force_n == 0.0
    assert limit.limited_by == "traction"
    assert limit.loads == axle_loads(some_chassis())


def test_double_weight_doubles_every_force():
    light, heavy = some_chassis(), replace(some_chassis(), weight_n=3000.0)
    for function, key in ((traction_limit, "driven"), (braking_limit, "braked")):
        one = function(light, grip=0.6, **{key: "rear"}).force_n
        two = function(heavy, grip=0.6, **{key: "rear"}).force_n
        assert two == pytest.approx(2.0 * one)


def test_a_force_beyond_tipping_is_an_error_that_states_the_limits():
    with pytest.raises(OutOfRangeError, match=r"from -1750 to 1250 N"):
        axle_loads(some_chassis(), drive_force_n=1300.0)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("weight_n", -1.0),
        ("wheelbase_mm", 0.0),
        ("centre_height_mm", math.nan),
        ("centre_behind_front_mm", 1200.0),
        ("centre_behind_front_mm", -5.0),
        ("rear_wheels", 3),
    ],
)
def test_impossible_chassis(name, value):
    with pytest.raises(OutOfRangeError, match=name):
        replace(some_chassis(), **{name: value})


def test_unknown_axle():
    with pytest.raises(UnknownNameError, match="axle"):
        traction_limit(some_chassis(), grip=0.5, driven="middle")
