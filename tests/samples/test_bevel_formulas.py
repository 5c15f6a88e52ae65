"""The bevel formulas of the generating script against a book and a rolling circle."""

import generate
import numpy as np
import pytest
from generating.bevel import BevelPair


def pair(**changes):
    return BevelPair(**{**vars(generate.PAIR), **changes})


def test_cone_angles_of_a_textbook_pair():
    """[source: Jindal, ex. 27-3, p. 712]: m = 6, z = 30/45, addendum m, dedendum 1.25 m."""
    book = pair(module_mm=6.0, teeth_pinion=30, teeth_gear=45, profile_shift=0.0, fillet_mm=1.0)
    # printed digits: 33.7, 56.3, 162.25, 35.808, 31.04
    assert np.degrees(book.pinion.pitch_cone_rad) == pytest.approx(33.7, abs=0.05)
    assert np.degrees(book.gear.pitch_cone_rad) == pytest.approx(56.3, abs=0.05)
    assert book.cone_distance_mm == pytest.approx(162.25, abs=0.005)
    assert np.degrees(book.pinion.tip_cone_rad) == pytest.approx(35.808, abs=0.0005)
    assert np.degrees(book.pinion.root_cone_rad) == pytest.approx(31.04, abs=0.005)


def rolled_point(base_cone_rad, turn_rad):
    """Point of a great circle that rolled on the base circle from azimuth 0 to `turn_rad`.

    The great circle touches the base circle at azimuth `turn_rad`; the arc back to the point is
    as long as the arc of the base circle rolled over, ``turn * sin d_b``.
    """
    arc = turn_rad * np.sin(base_cone_rad)
    touch = np.array(
        [
            np.sin(base_cone_rad) * np.cos(turn_rad),
            np.sin(base_cone_rad) * np.sin(turn_rad),
            np.cos(base_cone_rad),
        ]
    )
    east = np.array([-np.sin(turn_rad), np.cos(turn_rad), 0.0])
    return np.cos(arc) * touch - np.sin(arc) * east


@pytest.mark.parametrize("name", ["pinion", "gear"])
@pytest.mark.parametrize("turn_rad", [0.05, 0.2, 0.5, 0.8])
def test_the_flank_is_what_a_rolling_great_circle_draws(name, turn_rad):
    teeth = getattr(generate.PAIR, name)
    x, y, z = rolled_point(teeth.base_cone_rad, turn_rad)
    azimuth = teeth.involute_azimuth(np.array(np.arccos(z)))
    assert azimuth == pytest.approx(np.arctan2(y, x), abs=1e-9)


def test_thickness_of_both_gears_and_backlash_fill_the_pitch():
    p = generate.PAIR
    filled = p.pinion.thickness_mm + p.gear.thickness_mm + p.backlash_mm
    assert filled == pytest.approx(np.pi * p.module_mm, rel=1e-12)
    assert p.backlash_mm == pytest.approx(0.15 * p.module_mm)


def test_tip_and_root_leave_the_stated_clearance():
    p = generate.PAIR
    clearance = np.pi / 2 - p.pinion.tip_cone_rad - p.gear.root_cone_rad
    # a quarter module; the angles add their addenda's arc tangents, hence 2 %
    stated = (p.dedendum - p.addendum) * p.module_mm
    assert clearance * p.cone_distance_mm == pytest.approx(stated, rel=0.02)


def test_limits_of_the_teeth():
    p = generate.PAIR
    # [memory: ISO 23509 / handbooks]: face width up to a third of the cone distance
    assert p.face_width_mm <= p.cone_distance_mm / 3
    # fillet of 0.3 modules or more; a tip not pointed [common practice: 0.3 modules or more]
    assert p.fillet_mm >= 0.3 * p.module_mm
    assert min(p.pinion.tip_thickness_mm, p.gear.tip_thickness_mm) > 0.3 * p.module_mm
    # four pinions at right angles fit only if the teeth of both side gears divide by four
    assert 2 * p.teeth_gear % generate.DIMENSIONS["planet_pinion"].quantity == 0


def test_undercut_is_refused():
    """[memory: standard gear theory]: 12 teeth at 33.7 degrees need a shift of 0.15."""
    with pytest.raises(ValueError, match=r"12 teeth with shift 0\.1 would be undercut"):
        _ = pair(profile_shift=0.1).pinion


def test_a_fillet_too_large_is_refused():
    with pytest.raises(ValueError, match="reaches above the base cone"):
        _ = pair(fillet_mm=3.5).pinion.root_thickness_mm
