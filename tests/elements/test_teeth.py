"""Tooth strength: the form factor against generated teeth, factors, constructed examples."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from printplan.elements.plastic_teeth import (
    contact_ratio_factor,
    flank_pressure_mpa,
    loss_factor,
    tip_deflection_mm,
    vdi_root_stress_mpa,
)
from printplan.elements.teeth import (
    LEWIS_14_5_DEG,
    LEWIS_20_DEG,
    barth_velocity_factor,
    deflection_limit_mm,
    lewis_bevel_capacity_n,
    lewis_form_factor,
    lewis_root_stress_mpa,
    nonmetallic_velocity_factor,
)
from printplan.elements.tied_teeth import tied_tooth_corner_factor, tied_tooth_root_factor
from printplan.errors import OutOfRangeError, UnknownNameError


def generated_form_factor(teeth, shift=0.0, *, dedendum=1.157, root_radius=0.3):
    """Lewis' Y of a 20 deg tooth cut point by point by a rack, load at the tip (module 1).

    The rack's rounded tip leaves the root curve; the line of the tip load crosses the tooth's axis
    at a height from which the smallest t^2/(6 h) over the root is Lewis' parabola.
    """
    alpha = math.radians(20)
    pitch = teeth / 2
    base, tip = pitch * math.cos(alpha), pitch + 1 + shift
    centre_y = shift - (dedendum - root_radius)
    centre_x = (
        math.pi / 4 - (dedendum - root_radius) * math.tan(alpha) - root_radius / math.cos(alpha)
    )
    normal = np.linspace(alpha, math.pi / 2, 3000)
    x = centre_x + root_radius * np.cos(normal)
    y = centre_y - root_radius * np.sin(normal)
    # The common normal passes through the pitch point when the rack has moved by this much.
    travel = x + y / np.tan(normal)
    radius = np.hypot(x - travel, y + pitch)
    from_axis = math.pi / teeth - (np.arctan2(x - travel, y + pitch) + travel / pitch)
    half_width, height = radius * np.sin(from_axis), radius * np.cos(from_axis)
    tip_pressure_angle = math.acos(base / tip)
    half_at_base = (math.pi / 4 + shift * math.tan(alpha)) / pitch + math.tan(alpha) - alpha
    apex = base / math.cos(math.tan(tip_pressure_angle) - half_at_base)
    below = (height < apex) & (half_width > 0)
    return float(np.min((2 * half_width[below]) ** 2 / (6 * (apex - height[below]))))


@pytest.mark.parametrize("entry", [row for row in LEWIS_20_DEG if 12 <= row[0] <= 400])
def test_table_against_generated_teeth(entry):
    """Dedendum 1.157 and root radius 0.3 reproduce the book's table within 4 %."""
    teeth, factor = entry
    assert generated_form_factor(teeth) == pytest.approx(factor, rel=0.04)


@pytest.mark.parametrize("table", [LEWIS_20_DEG, LEWIS_14_5_DEG])
def test_tables_rise_evenly(table):
    teeth, factors = zip(*table, strict=True)
    assert list(teeth) == sorted(set(teeth))
    assert list(factors) == sorted(set(factors))
    # Against 1/z no step is off the line between its neighbours by more than 0.01.
    inverse = [1 / z for z in teeth]
    for i in range(1, len(table) - 1):
        line = np.interp(
            -inverse[i], [-inverse[i - 1], -inverse[i + 1]], [factors[i - 1], factors[i + 1]]
        )
        assert factors[i] == pytest.approx(line, abs=0.01)


def test_reading_between_the_entries():
    assert lewis_form_factor(20) == 0.322
    assert lewis_form_factor(math.inf) == 0.485
    assert lewis_form_factor(800) == pytest.approx((0.480 + 0.485) / 2)
    assert lewis_form_factor(24, pressure_angle_deg=14.5) == 0.298
    assert 0.226 < lewis_form_factor(11.79) < 0.245


@pytest.mark.parametrize("teeth", [17, 18, 22, 25, 30, 40, 60, 150])
@pytest.mark.parametrize("shift", [-0.05, -0.1, -0.2, -0.3, -0.5])
@pytest.mark.parametrize("tool", [(1.157, 0.3), (1.25, 0.38), (1.25, 0.25)])
def test_rule_for_negative_shift_is_safe(teeth, shift, tool):
    """The loss of strength by the rule is at least that of generated teeth."""
    cut = {"dedendum": tool[0], "root_radius": tool[1]}
    true_loss = generated_form_factor(teeth, shift, **cut) / generated_form_factor(teeth, **cut)
    ours = lewis_form_factor(teeth, profile_shift=shift) / lewis_form_factor(teeth)
    assert 0.85 * true_loss <= ours <= true_loss


@pytest.mark.parametrize("teeth", [6, 7, 8, 9])
def test_rule_for_few_shifted_teeth_is_safe(teeth):
    shift = 1 - teeth * math.sin(math.radians(20)) ** 2 / 2
    factor = lewis_form_factor(teeth, profile_shift=shift)
    for dedendum, radius in ((1.157, 0.3), (1.25, 0.25), (1.25, 0.38)):
        cut = generated_form_factor(teeth, shift, dedendum=dedendum, root_radius=radius)
        assert factor <= cut
    with pytest.raises(OutOfRangeError, match="or more with"):
        lewis_form_factor(teeth, profile_shift=shift - 0.05)


def test_positive_shift_gets_no_credit():
    assert lewis_form_factor(15, profile_shift=0.4) == lewis_form_factor(15)
    assert generated_form_factor(15, 0.4) > generated_form_factor(15)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({"teeth": 5, "profile_shift": 0.8}, "10 or more"),
        ({"teeth": 9.9}, "profile_shift = 0.0: expected 0.421 or more"),
        ({"teeth": 16, "profile_shift": -0.3}, "0 or more unless at 20 deg with 17 teeth"),
        ({"teeth": 11, "pressure_angle_deg": 14.5}, "12 or more"),
        ({"teeth": 20, "pressure_angle_deg": 25.0}, "20 or 14.5"),
        ({"teeth": math.nan}, "10 or more"),
    ],
)
def test_unknown_teeth_are_refused(arguments, message):
    with pytest.raises(OutOfRangeError, match=message):
        lewis_form_factor(**arguments)


def test_constructed_planet_at_stall():
    """Constructed: F_t 229.14 N, b 7.8, m_m 2.0866, Y 0.242; and the large-end form."""
    mean = lewis_root_stress_mpa(229.14, face_width_mm=7.8, module_mm=2.0866, form_factor=0.242)
    assert mean == pytest.approx(58.2, abs=0.05)
    outer_force = 229.14 * 19.685 / 23.585
    capacity = lewis_bevel_capacity_n(
        60.6,
        face_width_mm=7.8,
        outer_module_mm=2.5,
        form_factor=0.242,
        outer_cone_distance_mm=23.585,
    )
    assert capacity == pytest.approx(outer_force, rel=0.001)


@given(force=st.floats(1, 1e4), factor=st.floats(1, 3))
def test_stress_grows_with_load_and_factors(force, factor):
    sizes = {"face_width_mm": 8.0, "module_mm": 2.0, "form_factor": 0.3}
    single = lewis_root_stress_mpa(force, **sizes)
    assert lewis_root_stress_mpa(2 * force, **sizes) == pytest.approx(2 * single)
    notched = lewis_root_stress_mpa(force, **sizes, stress_concentration=factor)
    assert notched == pytest.approx(factor * single)
    with pytest.raises(OutOfRangeError):
        lewis_root_stress_mpa(force, **sizes, velocity_factor=0.9)


def test_velocity_factors():
    assert barth_velocity_factor(0.0) == 1
    at_speed = [barth_velocity_factor(3.0, f) for f in ("rough", "cut", "hobbed", "ground")]
    assert at_speed == sorted(at_speed, reverse=True)
    # Constructed from the metric roundings of the same rules.
    assert at_speed[0] == pytest.approx((3.05 + 3.0) / 3.05, rel=1e-3)
    assert at_speed[1] == pytest.approx((6.1 + 3.0) / 6.1, rel=1e-3)
    assert at_speed[2] == pytest.approx((3.56 + math.sqrt(3.0)) / 3.56, rel=1e-3)
    assert at_speed[3] == pytest.approx(math.sqrt((5.56 + math.sqrt(3.0)) / 5.56), rel=1e-3)
    assert nonmetallic_velocity_factor(0.0) == pytest.approx(1.0)
    assert nonmetallic_velocity_factor(2.0) == pytest.approx(1 / (0.76 / 3.02 + 0.25), rel=3e-3)
    with pytest.raises(UnknownNameError, match="tooth finish"):
        barth_velocity_factor(1.0, "polished")


def test_constructed_plastic_teeth():
    """Constructed: 200 N, b 10, both moduli 2400; z 17/51 with tip ratios 0.7574 and 0.8791."""
    deflection = tip_deflection_mm(
        200.0, face_width_mm=10.0, modulus_mpa=2400.0, partner_modulus_mpa=2400.0
    )
    assert deflection == pytest.approx(0.125, abs=5e-4)
    steel = tip_deflection_mm(
        200.0, face_width_mm=10.0, modulus_mpa=2400.0, partner_modulus_mpa=None
    )
    assert steel == pytest.approx(deflection / 2)
    assert deflection_limit_mm(2.0) == pytest.approx(0.14)
    assert loss_factor(17, 51, 0.7574, 0.8791) == pytest.approx(0.1749, abs=5e-5)
    assert contact_ratio_factor(1.5) == pytest.approx(0.75)
    stress = vdi_root_stress_mpa(
        100.0, face_width_mm=10.0, module_mm=2.0, form_factor=2.5, notch_factor=1.7
    )
    assert stress == pytest.approx(100 / 20 * 2.5 * 1.7)
    with pytest.raises(OutOfRangeError, match="not Lewis' Y"):
        vdi_root_stress_mpa(
            100.0, face_width_mm=10.0, module_mm=2.0, form_factor=0.3, notch_factor=1.7
        )


def test_flank_pressure_is_hertz_at_the_pitch_point():
    """Constructed: two cylinders with the flanks' radii at the pitch point, contact ratio 1."""
    force, width, d1, ratio, modulus, poisson = 200.0, 10.0, 40.0, 2.0, 2400.0, 0.38
    sine, cosine = math.sin(math.radians(20)), math.cos(math.radians(20))
    radii = d1 / 2 * sine, d1 * ratio / 2 * sine
    equivalent = 1 / (1 / radii[0] + 1 / radii[1])
    # p0 = sqrt(w E*/(pi R)), E* = E/(2 (1 - nu^2)) for equal bodies.
    hertz = math.sqrt(
        force / cosine / width * modulus / (2 * (1 - poisson**2)) / (math.pi * equivalent)
    )
    got = flank_pressure_mpa(
        force,
        face_width_mm=width,
        pinion_pitch_diameter_mm=d1,
        teeth_ratio=ratio,
        contact_ratio=1.0,
        moduli_mpa=(modulus, modulus),
        poisson_ratios=(poisson, poisson),
    )
    assert got == pytest.approx(hertz)


def test_tied_teeth_earn_no_credit_at_their_corner():
    for ends in (1, 2):
        for slenderness in (2.0, 2.5, 4.0, 7.0, 8.0):
            corner = tied_tooth_corner_factor(slenderness, 1.0, ends)
            assert max(corner, tied_tooth_root_factor(slenderness, 1.0, ends)) >= 1
    assert tied_tooth_root_factor(5.0, 1.0, 2) == pytest.approx((0.87 + 0.99) / 2)
    with pytest.raises(OutOfRangeError):
        tied_tooth_corner_factor(9.0, 1.0, 1)
