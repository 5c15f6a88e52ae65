"""Bearings, shafts, plates, notches, buckling, belts and the safety factor."""

import math
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printplan.elements import bearings, belts, buckling, notches, plates, safety, shafts
from printplan.errors import OutOfRangeError, PrintplanError, UnknownNameError

# Bearings


def test_deep_groove_bearing_reads_the_table():
    kwargs = {"static_rating_n": 1000.0, "geometry_factor": 13.0}
    # f0 F_a/C0 = 1.38: e = 0.30, Y = 1.45.
    thrust = 1.38 * 1000 / 13
    assert bearings.deep_groove_load_n(200.0, thrust, **kwargs) == pytest.approx(
        0.56 * 200 + 1.45 * thrust
    )
    assert bearings.deep_groove_load_n(200.0, 1.0, **kwargs) == 200.0
    with pytest.raises(OutOfRangeError, match="too high"):
        bearings.deep_groove_load_n(200.0, 600.0, **kwargs)


@given(radial=st.floats(1, 2000), axial=st.floats(0, 500))
def test_equivalent_load_is_never_below_the_radial(radial, axial):
    load = bearings.deep_groove_load_n(radial, axial, static_rating_n=1000.0, geometry_factor=13.0)
    assert load >= radial * (1 - 1e-12)
    assert bearings.static_load_n(radial, axial) >= radial


def test_life_falls_with_the_cube():
    life = bearings.rating_life_mrev(9000.0, 1000.0)
    assert bearings.rating_life_mrev(9000.0, 2000.0) == pytest.approx(life / 8)
    with pytest.raises(OutOfRangeError, match="too small"):
        bearings.rating_life_mrev(9000.0, 5000.0)


def test_reliability_lowers_life():
    assert bearings.reliability_life_factor(0.90) == 1
    assert bearings.reliability_life_factor(0.98) == pytest.approx(0.37)
    plain = bearings.required_rating_n(1000.0, 100.0)
    assert plain == pytest.approx(1000 * 100 ** (1 / 3))
    assert bearings.required_rating_n(1000.0, 100.0, 0.98) > plain


def test_mean_load_lies_between():
    assert bearings.cubic_mean_load_n([(100.0, 3.0), (100.0, 5.0)]) == pytest.approx(100)
    mean = bearings.cubic_mean_load_n([(100.0, 9.0), (300.0, 1.0)])
    assert mean == pytest.approx((0.9 * 1e6 + 0.1 * 27e6) ** (1 / 3))
    assert bearings.static_safety_factor(3000.0, 1500.0) == 2
    with pytest.raises(OutOfRangeError):
        bearings.cubic_mean_load_n([])


# Shafts


def test_constructed_overhung_wheel():
    """Constructed: 1000 N, overhang 40, span 60, 15 mm steel."""
    axle = shafts.overhung_wheel(
        1000.0, overhang_mm=40, span_mm=60, diameter_mm=15, modulus_mpa=210e3
    )
    assert axle.near_reaction_n == pytest.approx(1666.7, abs=0.05)
    assert axle.far_reaction_n == pytest.approx(-666.7, abs=0.05)
    assert axle.near_reaction_n + axle.far_reaction_n == pytest.approx(1000)
    assert axle.bending_stress_mpa == pytest.approx(120.7, abs=0.05)
    # The reference's 0.105 mm is this formula's 0.1022 with E = 205 GPa instead.
    assert axle.tip_deflection_mm == pytest.approx(0.1022, abs=5e-5)


def test_cantilever_deflection():
    """Constructed: L 100, 10 x 20, E 2000, nu 0.35, 100 N: 2.500 + 0.0810 mm (kappa 5/6)."""
    inertia = 10 * 20**3 / 12
    bending = shafts.end_loaded_cantilever_deflection_mm(100.0, 100.0, 2000.0, inertia)
    assert bending == pytest.approx(2.5)
    shear_stiffness = 5 / 6 * 2000 / (2 * 1.35) * 200
    both = shafts.end_loaded_cantilever_deflection_mm(
        100.0, 100.0, 2000.0, inertia, shear_stiffness
    )
    assert both == pytest.approx(2.581, abs=5e-4)
    assert shafts.rectangle_bending_stress_mpa(1e4, 10, 20) == pytest.approx(15.0)


def test_combined_stresses():
    assert shafts.von_mises_stress_mpa(30.0, 0.0) == 30
    assert shafts.von_mises_stress_mpa(0.0, 10.0) == pytest.approx(17.3205, abs=1e-4)
    assert shafts.largest_principal_stress_mpa(-20.0, 0.0) == 0
    assert shafts.largest_shear_stress_mpa(30.0, 20.0) == 25
    assert shafts.span_deflection_mm(100.0, 100.0, 2000.0, 5000.0) == pytest.approx(
        1e8 / (48 * 1e7)
    )
    assert shafts.round_bar_bending_stress_mpa(1e4, 20.0) == pytest.approx(
        shafts.round_bar_bending_stress_mpa(1e4, 20.0, 0.0)
    )


# Plates


@pytest.mark.parametrize(
    ("ratio", "pushed_clamped", "pushed_simply", "tilted_clamped", "tilted_simply"),
    [
        (0.10, (1.744, 0.1685), (2.440, 0.4677), (9.360, 1.149), (9.474, 1.402)),
        (0.20, (1.124, 0.1148), (1.746, 0.3503), (4.407, 0.596), (4.621, 0.820)),
        (0.30, (0.786, 0.0731), (1.320, 0.2415), (2.657, 0.321), (2.947, 0.503)),
        (0.40, (0.564, 0.0435), (1.004, 0.1530), (1.729, 0.167), (2.062, 0.301)),
        (0.50, (0.405, 0.0238), (0.753, 0.0877), (1.146, 0.081), (1.489, 0.169)),
        (0.60, (0.285, 0.0115), (0.546, 0.0439), (0.749, 0.035), (1.067, 0.084)),
        (0.70, (0.190, 0.0046), (0.373, 0.0179), (0.467, 0.0125), (0.731, 0.035)),
        (0.80, (0.114, 0.0013), (0.227, 0.0051), (0.262, 0.0032), (0.449, 0.010)),
    ],
)
def test_flanges_against_a_table_computed_apart(
    ratio, pushed_clamped, pushed_simply, tilted_clamped, tilted_simply
):
    """Constructed: the project's reference table, nu 0.3, computed by another hand."""
    for edge, (stress, move), (beta, gamma) in (
        ("clamped", pushed_clamped, tilted_clamped),
        ("simply", pushed_simply, tilted_simply),
    ):
        plate = {
            "radius_mm": 1.0,
            "hub_radius_mm": ratio,
            "thickness_mm": 1.0,
            "edge": edge,
            "modulus_mpa": 1.0,
            "poisson": 0.3,
        }
        pushed = plates.flange_pushed(1.0, **plate)
        tilted = plates.flange_tilted(1.0, **plate)
        assert pushed.stress_mpa == pytest.approx(stress, abs=6e-4)
        assert pushed.deflection_mm == pytest.approx(move, abs=6e-5)
        assert tilted.stress_mpa == pytest.approx(beta, abs=6e-4)
        assert math.radians(tilted.tilt_deg) == pytest.approx(gamma, abs=6e-4)


def test_constructed_wheel_flange():
    """Constructed: 300 N at 150 mm on a = 40, b = 16, t = 8, E 2200: 36.2 MPa, 0.69 deg."""
    plate = {
        "radius_mm": 40.0,
        "hub_radius_mm": 16.0,
        "edge": "simply",
        "modulus_mpa": 2200.0,
        "poisson": 0.3,
    }
    thin = plates.flange_tilted(45e3, thickness_mm=8.0, **plate)
    assert thin.stress_mpa == pytest.approx(36.2, abs=0.1)
    assert thin.tilt_deg == pytest.approx(0.69, abs=0.005)
    assert plates.flange_tilted(45e3, thickness_mm=14.0, **plate).stress_mpa == pytest.approx(
        11.8, abs=0.05
    )


def test_plate_refusals_and_ring():
    plate = {"thickness_mm": 1.0, "modulus_mpa": 1.0, "poisson": 0.3}
    with pytest.raises(OutOfRangeError, match="hub radius / outer radius"):
        plates.flange_pushed(1.0, radius_mm=10, hub_radius_mm=9.8, edge="simply", **plate)
    with pytest.raises(UnknownNameError):
        plates.disc_under_pressure(1.0, radius_mm=10, edge="fixed", **plate)
    simply = plates.disc_under_pressure(1.0, radius_mm=10, edge="simply", **plate)
    clamped = plates.disc_under_pressure(1.0, radius_mm=10, edge="clamped", **plate)
    assert simply.deflection_mm / clamped.deflection_mm == pytest.approx(5.3 / 1.3)
    assert plates.ring_moment_nmm(100.0, 20.0) == pytest.approx(0.318 * 2000, rel=2e-3)


# Notches


@pytest.mark.parametrize("notch", get_args(notches.Notch))
def test_sum_of_coefficients_over_the_whole_range(notch):
    low = 0.25 if notch.endswith("torsion") else 0.1
    high = 4.0 if notch.endswith("torsion") else 20.0
    for step in range(201):
        x = low * (high / low) ** (step / 200)
        total = sum(notches.coefficients(notch, min(max(x, low), high)))
        assert 0.96 <= total <= 1.035
    with pytest.raises(OutOfRangeError):
        notches.coefficients(notch, high * 1.01)
    with pytest.raises(OutOfRangeError):
        notches.coefficients(notch, low * 0.99)


def test_damaged_coefficient_is_noticed(monkeypatch):
    fit = notches._FITS["flat fillet, tension"]
    rows = [list(row) for row in fit[0][2]]
    rows[2][0] += 0.1
    damaged = ((fit[0][0], fit[0][1], tuple(map(tuple, rows))), fit[1])
    monkeypatch.setitem(notches._FITS, "flat fillet, tension", damaged)
    with pytest.raises(PrintplanError, match="damaged"):
        notches.coefficients("flat fillet, tension", 1.0)


@pytest.mark.parametrize("notch", get_args(notches.Notch))
def test_sharper_notches_are_worse(notch):
    sizes = {"large_mm": 24.0, "small_mm": 20.0}
    radii = (4.0, 2.0, 1.2, 0.8, 0.6)
    factors = [notches.stress_concentration(notch, radius_mm=r, **sizes) for r in radii]
    assert factors == sorted(factors)
    assert factors[0] >= 1


def test_notch_refusals_and_sensitivity():
    with pytest.raises(OutOfRangeError, match="above small_mm"):
        notches.stress_concentration("flat fillet, tension", large_mm=5, small_mm=5, radius_mm=1)
    with pytest.raises(UnknownNameError):
        notches.stress_concentration("fillet", large_mm=6, small_mm=5, radius_mm=1)
    with pytest.raises(OutOfRangeError):
        notches.hole_in_strip(10.0, 10.0)
    assert notches.hole_in_strip(1e-9, 10.0) == pytest.approx(3.004)
    assert notches.fatigue_notch_factor(2.4, 1.0) == pytest.approx(2.4)
    assert notches.fatigue_notch_factor(2.4, 0.5) == pytest.approx(1.7)
    assert notches.SMALLEST_ACROSS_LAYERS == 1.5


# Buckling


def test_constructed_walls():
    """Constructed: t 2, b 40, E 2200, nu 0.38: 21.1 and 2.27 MPa; tube R 20, t 2: 133 MPa."""
    wall = {"modulus_mpa": 2200.0, "poisson": 0.38}
    both = buckling.wall_buckling_stress_mpa(2.0, 40.0, held="both", **wall)
    free = buckling.wall_buckling_stress_mpa(2.0, 40.0, held="one free", **wall)
    assert both == pytest.approx(21.1, abs=0.1)
    assert free == pytest.approx(2.27, abs=0.01)
    ideal = buckling.tube_buckling_stress_mpa(2.0, 20.0, 2200.0, knock_down=1.0)
    assert ideal == pytest.approx(133, abs=0.5)
    with pytest.raises(UnknownNameError):
        buckling.wall_buckling_stress_mpa(2.0, 40.0, held="free", **wall)


def test_euler_and_johnson_meet():
    """At the limit slenderness both give half the yield load."""
    area, inertia, modulus, strength = 100.0, 800.0, 2000.0, 40.0
    length = buckling.limit_slenderness(modulus, strength) * math.sqrt(inertia / area)
    for factor in (0.999999, 1.000001):
        load = buckling.strut_load_n(
            length_mm=factor * length,
            area_mm2=area,
            inertia_mm4=inertia,
            modulus_mpa=modulus,
            yield_mpa=strength,
        )
        assert load == pytest.approx(area * strength / 2, rel=1e-4)


# Belts


def test_constructed_belt_pulley():
    """Constructed: 20 teeth of 5 mm, 2.25 N m, wrap 150 deg."""
    diameter = belts.pulley_pitch_diameter_mm(20, 5.0)
    assert diameter == pytest.approx(31.831, abs=5e-4)
    force = belts.effective_force_n(2250.0, diameter)
    assert force == pytest.approx(141.37, abs=0.005)
    meshing = belts.teeth_in_mesh(20, 150.0)
    assert meshing == 8
    assert belts.pulley_tooth_force_n(force, meshing, sharing_teeth=8) == pytest.approx(
        17.67, abs=0.005
    )
    assert belts.pulley_tooth_force_n(force, meshing) == pytest.approx(force / 2)
    assert belts.pulley_tooth_shear_mpa(force / 2, 2.6, 15.0) == pytest.approx(force / 78)
    assert [belts.belt_tooth_capacity_factor(n) for n in (2, 3, 4, 5, 6, 9)] == [
        0.2, 0.4, 0.6, 0.8, 1.0, 1.0,
    ]  # fmt: skip
    assert belts.teeth_in_mesh(20, 180.0) == 10
    with pytest.raises(OutOfRangeError):
        belts.belt_tooth_capacity_factor(1)


# Safety factor


def test_rows_as_read():
    """[source: Pugsley]: home-printed plastic, closed formulas, road loads: n1 2.4 to 3.1."""
    mild = safety.required_safety_factor("fair", "good", "fair", "very serious")
    harsh = safety.required_safety_factor("poor", "fair", "fair", "very serious", "very serious")
    assert (mild.first, mild.second) == (2.40, 1.4)
    assert (harsh.first, harsh.second) == (3.10, 1.6)
    assert mild.factor == pytest.approx(3.36)
    assert harsh.factor == pytest.approx(4.96)
    assert mild.notes == harsh.notes == ()


def test_missing_row_takes_a_worse_one():
    got = safety.required_safety_factor("good", "fair", "good", "serious", "serious")
    assert got.first == 2.30
    assert "fair with fair stands in" in got.notes[0]


def test_worse_judgement_never_lowers_the_factor():
    words = get_args(safety.Quality)
    grid = {
        (a, c, b): safety.required_safety_factor(a, c, b, "not serious").factor
        for a in words
        for c in words
        for b in words
    }
    for (a, c, b), factor in grid.items():
        for worse in (
            (words[min(words.index(a) + 1, 3)], c, b),
            (a, words[min(words.index(c) + 1, 3)], b),
            (a, c, words[min(words.index(b) + 1, 3)]),
        ):
            assert grid[worse] >= factor
    with pytest.raises(UnknownNameError, match="did you mean"):
        safety.required_safety_factor("goood", "fair", "fair", "serious")
