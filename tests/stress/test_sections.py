"""Moments, bending, shear and torsion of plane sections."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon, box

from printplan.errors import OutOfRangeError
from printplan.stress.bending import normal_stress_mpa
from printplan.stress.section_moments import polygon_moments, printed_section
from printplan.stress.shearing import cross_shear_mpa, principal_axes
from printplan.stress.twisting import twist_of


def regular(corners, radius):
    angles = 2 * np.pi * np.arange(corners) / corners
    return Polygon(np.column_stack([radius * np.cos(angles), radius * np.sin(angles)]))


ANGLE = Polygon([(0, 0), (20, 0), (20, 4), (4, 4), (4, 30), (0, 30)])
TEE = Polygon([(0, 26), (0, 30), (30, 30), (30, 26), (17, 26), (17, 0), (13, 0), (13, 26)])
CHANNEL = Polygon([(0, 0), (20, 0), (20, 3), (3, 3), (3, 27), (20, 27), (20, 30), (0, 30)])
HEXAGON = regular(6, 17 / math.sqrt(3))
ROUND_TUBE = regular(192, 12) - regular(192, 8)
SQUARE_TUBE = box(0, 0, 30, 30) - box(3, 3, 27, 27)


@pytest.mark.parametrize(
    ("outline", "area", "i_uu", "i_vv", "i_uv"),
    [
        (box(0, 0, 20, 40), 800, 106_666.67, 26_666.67, 0),
        (HEXAGON, 250.281, 5023.007, 5023.007, 0),
        (SQUARE_TUBE, 324, 39_852, 39_852, 0),
        (ANGLE, 184, 16_139.246, 5699.246, -5426.087),
        (TEE, 224, 18_554.381, 9138.667, 0),
        (CHANNEL, 192, 25_416, 7305.25, 0),
        (Polygon([(0, 0), (30, 0), (15, 24)]), 360, 11_520, 30**3 * 24 / 48, 0),
    ],
)
def test_moments_of_known_sections(outline, area, i_uu, i_vv, i_uv):
    """Closed forms, as recomputed in the project's reference table of sections."""
    got = polygon_moments(outline)
    assert got.area_mm2 == pytest.approx(area, rel=1e-5)
    assert got.i_uu_mm4 == pytest.approx(i_uu, rel=1e-6)
    assert got.i_vv_mm4 == pytest.approx(i_vv, rel=1e-6)
    assert got.i_uv_mm4 == pytest.approx(i_uv, abs=1e-2)


def test_moments_far_from_the_origin():
    here = polygon_moments(ANGLE)
    there = polygon_moments(shapely.transform(ANGLE, lambda uv: uv + np.array([1e5, -2e5])))
    assert there.i_uu_mm4 == pytest.approx(here.i_uu_mm4, rel=1e-8)
    assert there.i_uv_mm4 == pytest.approx(here.i_uv_mm4, rel=1e-8)
    assert there.centre_mm - here.centre_mm == pytest.approx([1e5, -2e5])


def test_ring_direction_does_not_matter():
    wrong = Polygon(
        ROUND_TUBE.exterior.coords[::-1], [ring.coords[::-1] for ring in ROUND_TUBE.interiors]
    )
    assert polygon_moments(wrong).area_mm2 == pytest.approx(ROUND_TUBE.area)


def test_shell_and_core():
    """Constructed: 20 x 40 with a shell of 2 and a core of 0.1 is 16 x 36 less 0.9 of it."""
    printed = printed_section(box(0, 0, 20, 40), 2.0, 0.1).moments
    assert printed.area_mm2 == pytest.approx(800 - 0.9 * 16 * 36)
    assert printed.i_uu_mm4 == pytest.approx((20 * 40**3 - 0.9 * 16 * 36**3) / 12)
    hollow = printed_section(box(0, 0, 20, 40), 2.0, 0.0).moments
    assert hollow.area_mm2 == pytest.approx(800 - 16 * 36)
    thick = printed_section(box(0, 0, 20, 40), 12.0, 0.1).moments
    assert thick.area_mm2 == pytest.approx(800)


@pytest.mark.parametrize(
    ("shell", "core", "message"),
    [
        (None, 0.2, "give shell_mm"),
        (0.0, 0.2, "above 0"),
        (2.0, 1.2, "0 to 1"),
        (2.0, -0.1, "0 to 1"),
    ],
)
def test_impossible_structures(shell, core, message):
    with pytest.raises(OutOfRangeError, match=message):
        printed_section(box(0, 0, 20, 40), shell, core)


def test_sandwich_skin_stress():
    """Constructed: closed shell 1.2 on 10 x 10, core 142.6/2000, M = 2000 N mm.

    First-order sandwich bending, D = 1 150 276 N mm2 with a closed shell: 17.39 MPa at the skin.
    """
    section = printed_section(box(-5, -5, 5, 5), 1.2, 142.6 / 2000).moments
    assert 2000 * section.i_uu_mm4 == pytest.approx(1_150_276, rel=1e-4)
    top = normal_stress_mpa(
        [[0.0, 5.0]], section, axial_n=0.0, moment_u_nmm=2000.0, moment_v_nmm=0.0
    )
    assert top[0] == pytest.approx(2000 * 2000 * 5 / 1_150_276, rel=1e-4)


@given(
    axial=st.floats(-1e3, 1e3),
    moment_u=st.floats(-1e4, 1e4),
    moment_v=st.floats(-1e4, 1e4),
)
def test_bending_stress_balances_the_load(axial, moment_u, moment_v):
    """Integrated over the angle section, cell by cell, the stress gives the resultants back."""
    section = polygon_moments(ANGLE)
    step = 0.5
    u, v = np.meshgrid(np.arange(step / 2, 20, step), np.arange(step / 2, 30, step))
    inside = (u < 4) | (v < 4)
    cells = np.column_stack([u[inside], v[inside]])
    stress = normal_stress_mpa(
        cells, section, axial_n=axial, moment_u_nmm=moment_u, moment_v_nmm=moment_v
    )
    away = cells - section.centre_mm
    # A linear stress integrates over a cell as its middle, but its own inertia is left out: 2 %.
    size = abs(axial) + abs(moment_u) / 10 + abs(moment_v) / 10 + 1e-9
    assert stress.sum() * step**2 == pytest.approx(axial, abs=1e-6 * size)
    assert (stress * away[:, 1]).sum() * step**2 == pytest.approx(moment_u, abs=0.2 * size)
    assert -(stress * away[:, 0]).sum() * step**2 == pytest.approx(moment_v, abs=0.2 * size)


def test_line_sections_are_refused():
    with pytest.raises(OutOfRangeError):
        polygon_moments(Polygon([(0, 0), (1, 0), (2, 0)]))


@pytest.mark.parametrize(
    ("outline", "factor", "tolerance"),
    [
        (box(0, 0, 20, 40), 1.5, 1e-9),
        (regular(192, 10), 4 / 3, 1e-3),
        # Tube, exact by Jourawski at the middle: 4/3 (R^2 + R r + r^2)/(R^2 + r^2).
        (ROUND_TUBE, 4 / 3 * (144 + 96 + 64) / (144 + 64), 1e-3),
        (SQUARE_TUBE, 324 * (15 * 30 * 7.5 - 12 * 24 * 6) / (39_852 * 6), 1e-9),
        (TEE, 224 * (4 * 21.03571**2 / 2) / (18_554.381 * 4), 1e-5),
    ],
)
def test_cross_shear_of_known_sections(outline, factor, tolerance):
    section = printed_section(outline)
    stress = cross_shear_mpa(section, 0.0, -100.0)
    assert stress == pytest.approx(factor * 100 / section.moments.area_mm2, rel=tolerance)
    assert cross_shear_mpa(section, 0.0, 200.0) == pytest.approx(2 * stress)
    assert cross_shear_mpa(section, 0.0, 0.0) == 0


def test_cross_shear_doesnt_depend_on_the_frame():
    turn = np.array([[math.cos(0.4), math.sin(0.4)], [-math.sin(0.4), math.cos(0.4)]])
    force = np.array([30.0, -70.0])
    turned = shapely.transform(ANGLE, lambda uv: uv @ turn.T + np.array([100.0, -50.0]))
    assert cross_shear_mpa(printed_section(turned), *(turn @ force)) == pytest.approx(
        cross_shear_mpa(printed_section(ANGLE), *force)
    )


def test_softer_core_shifts_shear_to_the_shell():
    solid = cross_shear_mpa(printed_section(box(0, 0, 20, 40)), 0.0, 100.0)
    printed = cross_shear_mpa(printed_section(box(0, 0, 20, 40), 2.0, 0.1), 0.0, 100.0)
    first = 20 * 20 * 10 - 0.9 * 16 * 18 * 9
    inertia = (20 * 40**3 - 0.9 * 16 * 36**3) / 12
    assert printed == pytest.approx(100 * first / (inertia * (20 - 0.9 * 16)))
    assert printed > solid


def test_core_that_ends_below_a_cut():
    """A thick shell: the outermost cuts meet no core."""
    thick = cross_shear_mpa(printed_section(box(0, 0, 20, 40), 9.0, 0.0), 0.0, 100.0)
    first, inertia = 20 * 20 * 10 - 2 * 11 * 5.5, (20 * 40**3 - 2 * 22**3) / 12
    assert thick == pytest.approx(100 * first / (inertia * 18))


def test_principal_moments_of_an_angle():
    """Reference table: I1 = 18 448.577, I2 = 3389.916."""
    moments, directions = principal_axes(polygon_moments(ANGLE))
    assert moments == pytest.approx([3389.916, 18_448.577], rel=1e-6)
    assert directions @ directions.T == pytest.approx(np.eye(2))


@pytest.mark.parametrize(
    ("outline", "constant", "resistance"),
    [
        (regular(192, 10), math.pi * 1e4 / 2, math.pi * 1e3 / 2),
        (ROUND_TUBE, 26_138.051, 26_138.051 / 12),
        (box(0, 0, 10, 10), 0.14058e4, 0.20817e3),
        (box(0, 0, 40, 20), 73_178, 0.24588 * 40 * 20**2),
        (box(0, 0, 20, 2), 0.31233 * 20 * 8, 0.31233 * 20 * 4),
        (HEXAGON, 9609.2, 922.0),
        (regular(3, 20 / math.sqrt(3)), 3464.102, 400.0),
        (ANGLE, 946.0, 946.0 / 4),
        (TEE, 1188.5, 1188.5 / 4),
        (CHANNEL, 570.6, 570.6 / 3),
        # Bredt's mean over the wall.
        (SQUARE_TUBE, 59_049, 2 * 729 * 3),
    ],
)
def test_torsion_is_on_the_safe_side(outline, constant, resistance):
    """J and W_t of the project's reference table: exact, series, or finite elements there."""
    twist = twist_of(printed_section(outline))
    assert 0.83 * constant <= twist.constant_mm4 <= 1.013 * constant
    assert 1.0 <= twist.stress_per_torque_mm3 * resistance <= 1.5


def test_hollow_print_twists_like_a_tube():
    """A round bar with a shell and no core is the round tube."""
    shell = twist_of(printed_section(regular(192, 12), 4.0, 0.0))
    tube = twist_of(printed_section(ROUND_TUBE))
    # The outline is smoothed within a thousandth of its size.
    assert shell.constant_mm4 == pytest.approx(tube.constant_mm4, rel=3e-3)
    half = twist_of(printed_section(regular(192, 12), 4.0, 0.5))
    full = twist_of(printed_section(regular(192, 12)))
    assert half.constant_mm4 == pytest.approx((shell.constant_mm4 + full.constant_mm4) / 2)


def test_two_islands_share_the_torque():
    one = twist_of(printed_section(box(0, 0, 10, 10)))
    pair = shapely.MultiPolygon([box(0, 0, 10, 10), box(20, 0, 30, 10)])
    both = twist_of(printed_section(pair))
    assert both.constant_mm4 == pytest.approx(2 * one.constant_mm4)
    assert both.stress_per_torque_mm3 == pytest.approx(one.stress_per_torque_mm3 / 2)
