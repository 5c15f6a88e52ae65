"""Struts, plates and unsymmetric bending against worked examples of textbooks.

T. H. Wentzell (Machine Design), A. P. Boresi, R. J. Schmidt (Advanced Mechanics of Materials):
solved examples in an open transcription. D. J. Peery (Aircraft Structures, 1950) and W. D. Pilkey
(Analysis and Design of Elastic Beams, 2002) as quoted in the public documentation of the
general-purpose section library sectionproperties.
"""

import math

import pytest
from shapely import Polygon, box, unary_union

from printplan.elements import buckling, plates
from printplan.stress.bending import normal_stress_mpa
from printplan.stress.section_moments import polygon_moments, printed_section
from printplan.stress.shearing import principal_axes
from printplan.stress.twisting import twist_of

LBF = 4.44822  # N
INCH = 25.4  # mm
PSI = 0.00689476  # MPa


def test_euler_strut():
    """[source: Wentzell, ex. 3.5, p. 53]: dia. 5/8 in, 30 in, pinned, E 30e6 psi: 2464.16 lb."""
    inertia = math.pi / 64 * (5 / 8 * INCH) ** 4
    load = buckling.euler_load_n(30 * INCH, 30e6 * PSI, inertia)
    assert load / LBF == pytest.approx(2464.16, rel=1e-5)


def test_johnson_strut():
    """[source: Wentzell, ex. 3.6, p. 55]: A 2.26 in2, I 0.764 in4, 60 in, K 0.65, 36 ksi, SF 2."""
    area, inertia = 2.26 * INCH**2, 0.764 * INCH**4
    ratio = buckling.slenderness(60 * INCH, area, inertia, 0.65)
    assert ratio == pytest.approx(67.08, abs=0.005)
    limit = buckling.limit_slenderness(30e6 * PSI, 36e3 * PSI)
    assert limit == pytest.approx(128.25, abs=0.006)
    load = buckling.strut_load_n(
        length_mm=60 * INCH,
        area_mm2=area,
        inertia_mm4=inertia,
        modulus_mpa=30e6 * PSI,
        yield_mpa=36e3 * PSI,
        end_factor=0.65,
    )
    assert load / 2 / LBF == pytest.approx(35_116.5, rel=1e-5)


def test_clamped_disc():
    """[source: Boresi, ex. 13.3, p. 499]: dia. 200, t 10, Y 315, nu 0.29, E 200 GPa."""
    disc = plates.disc_under_pressure(
        4.20,
        radius_mm=100.0,
        thickness_mm=10.0,
        edge="clamped",
        modulus_mpa=200e3,
        poisson=0.29,
    )
    assert disc.stress_mpa == pytest.approx(315.0, rel=1e-3)
    assert disc.deflection_mm == pytest.approx(0.36, abs=0.005)


@pytest.mark.parametrize(
    ("ratio", "beta"), [(0.10, 9.475), (0.15, 6.252), (0.20, 4.621), (0.25, 3.625)]
)
def test_tilted_hub(ratio, beta):
    """[memory: Roark, rigid hub tilted, simply supported, nu 0.3: 9.475 / 6.252 / 4.621 / 3.625].

    The closed form gives 9.4737 for the first: 0.0015, not half of the last digit.
    """
    flange = plates.flange_tilted(
        1.0,
        radius_mm=1.0,
        hub_radius_mm=ratio,
        thickness_mm=1.0,
        edge="simply",
        modulus_mpa=1.0,
        poisson=0.3,
    )
    assert flange.stress_mpa == pytest.approx(beta, abs=0.0015)


#: Z section that has Peery's printed second moments: total height 12, web 2, flanges 4 x 2 (in).
PEERY_Z = Polygon([(-5, 4), (-1, 4), (-1, -6), (5, -6), (5, -4), (1, -4), (1, 6), (-5, 6)])


def test_unsymmetric_bending_of_a_z_section():
    """[source: Peery, Aircraft Structures, 1950, Sec. 7.2 Ex. 1, as quoted by sectionproperties].

    M = (-1e5, 1e4) lb in gives 1210, 580 and -2384 psi at three corners; the book's slide rule
    leaves 0.2 %.
    """
    section = polygon_moments(PEERY_Z)
    assert section.i_uu_mm4 == pytest.approx(693.3, abs=0.05)
    assert section.i_vv_mm4 == pytest.approx(173.3, abs=0.05)
    assert section.i_uv_mm4 == pytest.approx(-240.0, abs=0.05)
    assert principal_axes(section)[0][1] == pytest.approx(787.1, abs=0.1)
    stress = normal_stress_mpa(
        [(-5, 4), (-5, 6), (1, 6)], section, axial_n=0.0, moment_u_nmm=-1e5, moment_v_nmm=1e4
    )
    assert stress == pytest.approx([1210, 580, -2384], rel=0.002)


def test_pilkey_angle():
    """[source: Pilkey 2002, Example 1.1 p. 18, as quoted by sectionproperties]: legs 2 and 1, t 0.1.

    A 0.3, Ix 0.1336, Iy 0.0252, Ixy 0.0332, I1 0.1430, I2 0.0158: centreline values, hence the
    thin wall's own small terms of 1 %.
    """
    # Legs measured from the corner of the centrelines; the corner's square counts once.
    half = 0.05
    legs = unary_union([box(-half, -half, half, 2), box(-half, -half, 1, half)])
    section = polygon_moments(legs)
    assert section.i_uu_mm4 == pytest.approx(0.1336, rel=0.01)
    assert section.i_vv_mm4 == pytest.approx(0.0252, rel=0.015)
    assert abs(section.i_uv_mm4) == pytest.approx(0.0332, rel=0.015)
    assert principal_axes(section)[0] == pytest.approx([0.0158, 0.1430], rel=0.015)


def test_pilkey_channel():
    """[source: Pilkey 2002, B.2 p. 437, same]: t 1, centreline height 18, flanges 8 from the web.

    A 34, x 1.875, Ix 1787.83333 (book misprint 1781), Iy 223.30208.
    """
    channel = box(-0.5, -9.5, 8, 9.5) - box(0.5, -8.5, 9, 8.5)
    section = polygon_moments(channel)
    assert section.area_mm2 == pytest.approx(34)
    assert section.centre_mm[0] == pytest.approx(1.875)
    assert section.i_uu_mm4 == pytest.approx(1787.83333, abs=5e-6)
    assert section.i_vv_mm4 == pytest.approx(223.30208, abs=6e-6)
    assert twist_of(printed_section(channel)).constant_mm4 == pytest.approx(11.28862, rel=0.05)


def test_angle_against_a_section_library():
    """General-purpose library sectionproperties, finite elements: stress of N, Mx, My together."""
    from sectionproperties.analysis.section import Section
    from sectionproperties.pre.geometry import Geometry

    outline = Polygon([(0, 0), (20, 0), (20, 4), (4, 4), (4, 30), (0, 30)])
    geometry = Geometry(outline)
    geometry.create_mesh(mesh_sizes=[8.0])
    library = Section(geometry)
    library.calculate_geometric_properties()
    corners = [(0.0, 0.0), (20.0, 0.0), (0.0, 30.0), (4.0, 4.0)]
    theirs = library.get_stress_at_points(corners, n=500.0, mxx=4000.0, myy=-2500.0)
    ours = normal_stress_mpa(
        corners,
        polygon_moments(outline),
        axial_n=500.0,
        moment_u_nmm=4000.0,
        moment_v_nmm=-2500.0,
    )
    assert ours == pytest.approx([point[0] for point in theirs], rel=1e-6)
