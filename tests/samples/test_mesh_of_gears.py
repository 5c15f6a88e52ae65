"""The side gear and the planet pinion, as filed, run together as conjugate gears should.

Axes at right angles, common apex. The pinion turns 20/14 times as fast as the gear, the other
way round (seen from each gear's own back). All checks but the last control use the committed files only.
"""

import generate
import numpy as np
import pytest

PAIR = generate.PAIR
RATIO = PAIR.teeth_gear / PAIR.teeth_pinion
GEAR_PITCH_DEG = 360 / PAIR.teeth_gear
PINION_PITCH_DEG = 360 / PAIR.teeth_pinion
PHASES_DEG = np.arange(9) / 8 * GEAR_PITCH_DEG  # one tooth pitch in eight steps, both ends

# One tooth has about 1600 mm3. Flats between points of the flanks lie inside the true flank,
# so two true flanks in touch leave gaps, never an overlap; what is left is rounding.
TOLERANCE_MM3 = 0.01

# free play of the pinion's angle: backlash over the pitch radius of the large end
PLAY_DEG = np.degrees(PAIR.backlash_mm / (PAIR.module_mm * PAIR.teeth_pinion / 2))


def placed(pinion, turn_deg):
    """The pinion turned about its own axis, which then lies along +x."""
    return pinion.rotate((0, 0, turn_deg)).rotate((0, 90, 0))


def overlap_mm3(gear, pinion, gear_deg, pinion_deg):
    return (gear.rotate((0, 0, gear_deg)) ^ placed(pinion, pinion_deg)).volume()


def turn_until_touch_deg(gear, pinion, gear_deg, sense):
    """How far the pinion turns from mid-play until the flanks overlap by more than 1e-4 mm3."""
    low, high = 0.0, 2 * PLAY_DEG
    assert overlap_mm3(gear, pinion, gear_deg, -RATIO * gear_deg + sense * high) > 1.0
    for _ in range(12):
        middle = (low + high) / 2
        if overlap_mm3(gear, pinion, gear_deg, -RATIO * gear_deg + sense * middle) > 1e-4:
            high = middle
        else:
            low = middle
    return low


@pytest.fixture(scope="module")
def near_gear(gear):
    """The gear's teeth about the mesh: enough for the search, and quicker."""
    return gear.trim_by_plane((1.0, 0.0, 0.0), 8.0)


@pytest.fixture(scope="module")
def touches(near_gear, pinion):
    """(phases, 2) angle of the pinion from mid-play to either flank. [deg]"""
    return np.array(
        [
            [turn_until_touch_deg(near_gear, pinion, phase, sense) for sense in (1, -1)]
            for phase in PHASES_DEG
        ]
    )


@pytest.mark.parametrize("phase", PHASES_DEG)
def test_no_overlap_when_turned_in_ratio(gear, pinion, phase):
    assert overlap_mm3(gear, pinion, phase, -RATIO * phase) <= TOLERANCE_MM3


def test_control_a_quarter_pitch_out_of_phase_overlaps(gear, pinion):
    assert overlap_mm3(gear, pinion, 0.0, PINION_PITCH_DEG / 4) > 100.0


def test_control_the_wrong_ratio_overlaps(gear, pinion):
    phase = GEAR_PITCH_DEG / 4
    assert overlap_mm3(gear, pinion, phase, -phase / RATIO) > 100.0
    assert overlap_mm3(gear, pinion, phase, RATIO * phase) > 100.0


def test_free_play_is_the_stated_backlash(touches):
    # 1 %: flats of the meshed flanks lie up to about 0.003 mm inside the true ones
    assert touches.sum(axis=1) == pytest.approx(PLAY_DEG, rel=0.01)


def test_play_is_shared_evenly(touches):
    assert touches[:, 0] == pytest.approx(touches[:, 1], abs=0.005)


def test_touch_comes_at_the_same_angle_in_every_phase(touches):
    """Constant ratio under load, the mark of conjugate flanks: within 0.003 mm at the flank."""
    flank_mm = np.radians(np.ptp(touches, axis=0)) * PAIR.module_mm * PAIR.teeth_pinion / 2
    assert (flank_mm < 0.003).all()


def test_flanks_are_close_at_the_touch_in_every_phase(near_gear, pinion, touches):
    """At the angle found, the flanks are within 1e-3 mm; at mid-play they are far apart."""
    for phase, (ahead, behind) in zip(PHASES_DEG, touches, strict=True):
        turned = near_gear.rotate((0, 0, phase))
        for play in (ahead, -behind):
            gap = turned.min_gap(placed(pinion, -RATIO * phase + play), 1.0)
            assert gap < 1e-3
        assert turned.min_gap(placed(pinion, -RATIO * phase), 1.0) > 0.15


def test_control_a_wrong_pressure_angle_is_not_conjugate(near_gear):
    """The search above does find non-conjugate flanks: a pinion of 24 degrees against 20."""
    other = generate.PAIR.__class__(**{**vars(PAIR), "pressure_angle_deg": 24.0}).pinion
    cone = other.cone(80.0)
    inside = PAIR.cone_distance_mm - PAIR.face_width_mm
    # a stub of the pinion between two planes square to its axis, a tooth towards -x
    stub = cone.trim_by_plane((0, 0, 1), inside * np.cos(other.pitch_cone_rad) + 4.0)
    stub = stub.trim_by_plane((0, 0, -1), -PAIR.cone_distance_mm * np.cos(other.pitch_cone_rad))
    stub = stub.rotate((0, 0, 180))
    found = [turn_until_touch_deg(near_gear, stub, phase, 1) for phase in PHASES_DEG]
    flank_mm = np.radians(np.ptp(found)) * PAIR.module_mm * PAIR.teeth_pinion / 2
    assert flank_mm > 0.03
