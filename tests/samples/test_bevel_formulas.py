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
    assert p.backlash_mm == 0.8


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
    """[memory: standard gear theory]: free of it are z >= 2 cos d / sin^2 alpha teeth.

    14 teeth against 20 need 14.007, which is as good as met; 13 against 20 need 14.3.
    """
    limit = 2 * np.cos(generate.PAIR.pinion.pitch_cone_rad) / np.sin(np.radians(20.0)) ** 2
    assert limit == pytest.approx(14.007, abs=5e-4)
    with pytest.raises(ValueError, match=r"13 teeth with shift 0\.0 would be undercut"):
        _ = pair(teeth_pinion=13).pinion


def test_a_fillet_too_large_is_refused():
    with pytest.raises(ValueError, match="meet in the gap"):
        _ = pair(fillet_mm=4.0).pinion.root_thickness_mm


def unit(theta, phi):
    return np.array([np.sin(theta) * np.cos(phi), np.sin(theta) * np.sin(phi), np.cos(theta)])


@pytest.mark.parametrize(
    ("name", "fillet_mm", "on_the_involute"),
    [("gear", 2.0, True), ("gear", 1.0, False), ("pinion", 2.0, False)],
)
def test_the_fillet_is_round_and_touches_root_and_flank(name, fillet_mm, on_the_involute):
    """The outline's points: a circle on the sphere, and nothing of the flank within it."""
    teeth = getattr(pair(fillet_mm=fillet_mm), name)
    theta, phi = teeth.tooth_outline()
    points = np.array([unit(t, f) for t, f in zip(theta, phi, strict=True)])
    lowest = np.flatnonzero(theta <= teeth.root_cone_rad + 1e-12)
    first = lowest[lowest < len(theta) // 2].max()  # where the root ends and the fillet begins
    rho = fillet_mm / teeth.cone_distance_mm
    centre = unit(teeth.root_cone_rad + rho, phi[first])
    away = np.arccos(np.clip(points @ centre, -1.0, 1.0))
    # ten points from root to flank are on the circle, the next ones are outside it
    assert away[first : first + 10] == pytest.approx(rho, rel=1e-6)
    assert away[: len(theta) // 2].min() > rho * (1 - 1e-6)
    assert (away[first + 10 : first + 15] > rho).all()
    assert (theta[first + 9] > teeth.base_cone_rad) == on_the_involute
    # no corner where the fillet hands over: less than the turn between its own points
    steps = np.diff(points[first : first + 13], axis=0)
    steps /= np.linalg.norm(steps, axis=1)[:, None]
    corners = np.degrees(np.arccos(np.clip((steps[1:] * steps[:-1]).sum(axis=1), -1.0, 1.0)))
    assert corners[8:].max() < 1.05 * corners[:7].max()
