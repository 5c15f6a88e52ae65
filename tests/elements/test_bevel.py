"""Bevel geometry, contact and tooth forces on constructed examples and by physics."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printplan.elements.bevel import (
    addenda_long_short_mm,
    bevel_pair,
    mesh_tangential_force_n,
    needed_profile_shift,
    tooth_forces,
    undercut_free_teeth,
)
from printplan.elements.contact import path_of_contact, virtual_contact
from printplan.errors import OutOfRangeError

#: Constructed: differential with a side gear of 16 and planets of 10 teeth, module 2.5, face 7.8.
PAIR = bevel_pair(pinion_teeth=10, gear_teeth=16, outer_module_mm=2.5, face_width_mm=7.8)


def test_constructed_differential_geometry():
    assert PAIR.gear.pitch_angle_deg == pytest.approx(57.995, abs=5e-4)
    assert PAIR.pinion.pitch_angle_deg == pytest.approx(32.005, abs=5e-4)
    assert PAIR.outer_cone_distance_mm == pytest.approx(23.585, abs=5e-4)
    assert PAIR.mean_cone_distance_mm == pytest.approx(19.685, abs=5e-4)
    assert PAIR.mean_module_mm == pytest.approx(2.0866, abs=5e-5)
    assert PAIR.gear.mean_pitch_radius_mm == pytest.approx(16.693, abs=5e-4)
    assert PAIR.pinion.mean_pitch_radius_mm == pytest.approx(10.433, abs=5e-4)
    assert PAIR.gear.virtual_teeth == pytest.approx(30.19, abs=5e-3)
    assert PAIR.pinion.virtual_teeth == pytest.approx(11.79, abs=5e-3)


def test_constructed_differential_forces():
    force = mesh_tangential_force_n(15.3e3 / 2, PAIR.gear.mean_pitch_radius_mm, planets=2)
    assert force == pytest.approx(229.14, abs=0.01)
    side = tooth_forces(force, pitch_angle_deg=PAIR.gear.pitch_angle_deg)
    planet = tooth_forces(force, pitch_angle_deg=PAIR.pinion.pitch_angle_deg)
    assert side.radial_n == pytest.approx(44.20, abs=0.01)
    assert side.axial_n == pytest.approx(70.72, abs=0.01)
    # Action and reaction at 90 deg: what is radial on one is axial on the other.
    assert planet.axial_n == pytest.approx(side.radial_n)
    assert planet.radial_n == pytest.approx(side.axial_n)


def test_wide_face_and_undercut_are_warned_about():
    assert len(PAIR.warnings) == 2
    assert "face width" in PAIR.warnings[0]
    assert "10 teeth are undercut" in PAIR.warnings[1]
    tame = bevel_pair(pinion_teeth=20, gear_teeth=20, outer_module_mm=2.5, face_width_mm=7.0)
    assert tame.warnings == ()


def test_undercut_limit_and_shift_belong_together():
    assert undercut_free_teeth(0.0) == pytest.approx(17.097, abs=5e-4)
    assert undercut_free_teeth(0.0, 14.5) == pytest.approx(31.903, abs=5e-4)
    assert undercut_free_teeth(PAIR.pinion.pitch_angle_deg) == pytest.approx(14.5, abs=0.01)
    shift = needed_profile_shift(PAIR.pinion.virtual_teeth)
    assert shift == pytest.approx(0.3103, abs=5e-4)
    limit = undercut_free_teeth(PAIR.pinion.pitch_angle_deg, profile_shift=shift)
    assert limit == pytest.approx(PAIR.pinion.teeth)
    assert needed_profile_shift(18.0) == 0


def test_interference_is_not_counted_as_contact():
    plain = virtual_contact(PAIR)
    assert plain.interference
    assert "base circle" in plain.warnings[0]
    # Without the cut the formula would have said 1.535.
    assert plain.contact_ratio < 1.45
    shifted = virtual_contact(PAIR, needed_profile_shift(PAIR.pinion.virtual_teeth) + 1e-6)
    assert not shifted.interference


def test_contact_ratio_against_rolling_a_rack():
    """Constructed: a gear on a very large one is a rack, whose path is addendum/sin alpha."""
    path = path_of_contact(
        driver_teeth=30,
        driven_teeth=1e6,
        module_mm=2.0,
        driver_addendum_mm=2.0,
        driven_addendum_mm=2.0,
    )
    assert path.approach_mm == pytest.approx(2.0 / math.sin(math.radians(20)), rel=1e-4)


@given(z1=st.integers(8, 60), z2=st.integers(8, 60), m=st.floats(0.5, 8), sigma=st.floats(40, 100))
def test_cones_roll_on_each_other(z1, z2, m, sigma):
    try:
        pair = bevel_pair(
            pinion_teeth=z1,
            gear_teeth=z2,
            outer_module_mm=m,
            face_width_mm=m,
            shaft_angle_deg=sigma,
        )
    except OutOfRangeError:
        return  # a pitch cone of 90 deg and more, or a face too wide for the cone
    both = pair.pinion.pitch_angle_deg + pair.gear.pitch_angle_deg
    assert both == pytest.approx(sigma)
    for gear in (pair.pinion, pair.gear):
        cone = gear.outer_pitch_radius_mm / math.sin(math.radians(gear.pitch_angle_deg))
        assert cone == pytest.approx(pair.outer_cone_distance_mm)
    swapped = bevel_pair(
        pinion_teeth=z2, gear_teeth=z1, outer_module_mm=m, face_width_mm=m, shaft_angle_deg=sigma
    )
    assert swapped.gear.mean_pitch_radius_mm == pytest.approx(pair.pinion.mean_pitch_radius_mm)


@given(force=st.floats(0.1, 1e5), angle=st.floats(0, 90))
def test_tooth_force_components_add_up(force, angle):
    forces = tooth_forces(force, pitch_angle_deg=angle)
    size = math.hypot(forces.tangential_n, forces.radial_n, forces.axial_n)
    assert size == pytest.approx(forces.normal_n)
    assert tooth_forces(2 * force, pitch_angle_deg=angle).axial_n == pytest.approx(
        2 * forces.axial_n
    )


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"pinion_teeth": 3}, "pinion_teeth = 3: expected a whole number of teeth, 4 or more"),
        ({"face_width_mm": 15.0}, "face_width_mm = 15.0: expected at most half"),
        ({"outer_module_mm": -1.0}, "outer_module_mm = -1.0: expected a finite number above 0"),
        ({"pressure_angle_deg": 45.0}, "pressure_angle_deg = 45.0: expected 10 to 35"),
        ({"shaft_angle_deg": 150.0}, "below 90 deg; choose a smaller ratio"),
    ],
)
def test_impossible_pairs_are_refused(change, message):
    good = {"pinion_teeth": 10, "gear_teeth": 16, "outer_module_mm": 2.5, "face_width_mm": 7.0}
    with pytest.raises(OutOfRangeError, match=message.replace("(", r"\(")):
        bevel_pair(**(good | change))


def test_long_addendum_belongs_to_the_pinion():
    long, short = addenda_long_short_mm(12, 30, 2.0)
    assert long > short > 0
    assert long + short == pytest.approx(4.0)
    assert addenda_long_short_mm(20, 20, 2.0) == pytest.approx((2.0, 2.0))
    with pytest.raises(OutOfRangeError):
        addenda_long_short_mm(30, 12, 2.0)
