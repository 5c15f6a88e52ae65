"""Differentials: torque split, ice and friction.

* Locking value against bias ratio: the definition is [memory: German usage "Sperrwert", Bosch
  handbook]; the table was recomputed from it for the reference collection.

Cases marked *constructed* have no published answer: worked out by hand from statics for the
reference collection, printed to the digits that set the tolerance. Errata applied: none known.
"""

from __future__ import annotations

import math

import pytest

from printplan.vehicle.differential import (
    DifferentialData,
    bias_ratio,
    friction_locking_value,
    locking_value,
    slipping_wheel_split,
    torque_split,
)
from printplan.vehicle.road import road_load, weight_n

POUND_FORCE, INCH = 4.44822, 25.4


TABLE = [
    # S, TBR, T_hi/T
    (0.0, 1.000, 0.50),
    (0.10, 1.222, 0.55),
    (0.15, 1.353, 0.575),
    (0.20, 1.500, 0.60),
    (0.30, 1.857, 0.65),
    (0.40, 2.333, 0.70),
    (0.50, 3.000, 0.75),
    (0.60, 4.000, 0.80),
    (0.75, 7.000, 0.875),
]


@pytest.mark.parametrize(("locking", "bias", "share"), TABLE)
def test_bias_ratio_table(locking, bias, share):
    """[memory: Bosch handbook] definition; half the last digit."""
    assert bias_ratio(locking) == pytest.approx(bias, abs=5e-4)
    assert locking_value(bias_ratio(locking)) == pytest.approx(locking)
    assert torque_split(1000.0, locking).high_nmm == pytest.approx(1000.0 * share)


ICE = [
    # S, T_hi [N·m], thrust [N], climbable grade [%]
    (0.0, 5.217, 69.56, 4.25),
    (0.15, 7.058, 81.84, 5.22),
    (0.30, 9.689, 99.37, 6.59),
    (0.40, 12.173, 115.94, 7.89),
    (0.50, 15.651, 139.12, 9.71),
]


@pytest.mark.parametrize(("locking", "high_nm", "thrust_n", "grade"), ICE)
def test_one_wheel_on_ice_constructed(locking, high_nm, thrust_n, grade):
    split = slipping_wheel_split(slipping_torque_nmm=0.1 * 347.81 * 150.0, locking_value=locking)
    assert split.low_nmm == pytest.approx(5217.0, abs=0.5)
    assert split.high_nmm == pytest.approx(high_nm * 1e3, rel=2e-4)
    thrust = split.housing_nmm / 150.0
    assert thrust == pytest.approx(thrust_n, abs=0.02)
    # The reference takes sin th = tan th and cos th = 1 for the grade: 9.71 % there is 9.76 %.
    small_angle = 100.0 * (thrust / weight_n(130e3) - 0.012)
    assert small_angle == pytest.approx(grade, abs=0.01)
    demand = road_load(mass_g=130e3, slope_percent=grade, rolling_resistance=0.012)
    assert demand.total_n == pytest.approx(thrust, rel=0.006)


# The pair of the reference: 16 and 10 teeth, module 2.5 at the outer end, face 7.8, 20°
SIDE_CONE = math.degrees(math.atan(16.0 / 10.0))
SIDE_RADIUS, PLANET_RADIUS = 16.693, 10.433


def open_differential() -> DifferentialData:
    return DifferentialData(locking_value=0.0, pinions=2, load_sharing=1.0)


def test_friction_locking_value_constructed():
    value = friction_locking_value(
        friction=0.25,
        pressure_angle_deg=20.0,
        side_cone_deg=SIDE_CONE,
        planet_cone_deg=90.0 - SIDE_CONE,
        side_mean_radius_mm=SIDE_RADIUS,
        planet_mean_radius_mm=PLANET_RADIUS,
        pin_radius_mm=3.0,
        side_face_radius_mm=12.0,
        planet_face_radius_mm=6.0,
    )
    # 0.0996 + 0.0555, each half a digit off at most
    assert value == pytest.approx(0.1551, abs=1e-4)
    assert bias_ratio(value) == pytest.approx(1.367, abs=5e-4)
