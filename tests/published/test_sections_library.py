"""Plane sections of turned bars against a finite-element section library.

Reference: sectionproperties (its geometry library and its integration over a triangle mesh of the
plane), run here beside our boundary integrals on the cut of a solid; both are exact for polygons,
so they agree to rounding. Values printed in its public validation tests:
[source: sectionproperties validation tests, angle 150 x 90 x 12, root radius 10, toe radius 5:
A = 2747.06, Ixx = 6.28647e6, Iyy = 1.718455e6].
Facets: [source: derived, area of an inscribed polygon (n / 2) R² sin(2 pi / n)].
"""

import manifold3d
import numpy as np
import pytest
import shapely
from scipy.spatial.transform import Rotation
from sectionproperties.analysis import Section as LibrarySection
from sectionproperties.pre import Geometry
from sectionproperties.pre.library import (
    angle_section,
    channel_section,
    circular_hollow_section,
    rectangular_section,
    tee_section,
)

from printplan.part.reading.topology import pair_half_edges
from printplan.part.sections import section_profile, section_through, weakest_sections
from printplan.part.solid import Solid

ANGLE = np.arange(6) * np.pi / 3
HEXAGON = shapely.Polygon(17 / np.sqrt(3) * np.column_stack([np.cos(ANGLE), np.sin(ANGLE)]))

SHAPES = {
    "rectangle 20 x 40": rectangular_section(d=40, b=20),
    "hexagon 17 across flats": Geometry(HEXAGON),
    "angle 20 x 30 x 4": angle_section(d=30, b=20, t=4, r_r=0, r_t=0, n_r=1),
    "tee 30 x 30 x 4": tee_section(d=30, b=30, t_f=4, t_w=4, r=0, n_r=1),
    "channel 30 x 20 x 3": channel_section(d=30, b=20, t_f=3, t_w=3, r=0, n_r=1),
    "tube 24 / 16": circular_hollow_section(d=24, t=4, n=64),
    "rounded angle": angle_section(d=30, b=20, t=4, r_r=3, r_t=2, n_r=8),
}


def bar(polygon: shapely.Polygon, length: float, turn: np.ndarray) -> Solid:
    rings = [np.array(r.coords[:-1]) for r in (polygon.exterior, *polygon.interiors)]
    outline = manifold3d.CrossSection(rings, manifold3d.FillRule.EvenOdd)
    mesh = manifold3d.Manifold.extrude(outline, length).to_mesh64()
    faces = np.array(mesh.tri_verts, np.int32)
    vertices = np.array(mesh.vert_properties[:, :3]) @ turn.T
    opposite = np.maximum(pair_half_edges(vertices, faces).opposite, -1).astype(np.int32)
    return Solid(name="bar", vertices_mm=vertices, faces=faces, opposite=opposite)


def library(geometry: Geometry) -> LibrarySection:
    geometry = Geometry(geometry.geom)
    geometry.create_mesh(mesh_sizes=[5.0])
    section = LibrarySection(geometry)
    section.calculate_geometric_properties()
    return section


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("seed", [0, 1])
def test_cut_of_a_turned_bar(name, seed):
    turn = Rotation.random(random_state=seed).as_matrix() if seed else np.eye(3)
    solid = bar(SHAPES[name].geom, 60.0, turn)
    axis = turn[:, 2]
    ours = section_through(solid, 23.0 * axis, axis)
    theirs = library(SHAPES[name])
    # the mesher of the library rounds its points to 12 digits, the extrusion to 1e-12 of its size
    close = {"rel": 1e-7}
    assert ours.area_mm2 == pytest.approx(theirs.get_area(), **close)
    assert ours.perimeter_mm == pytest.approx(
        SHAPES[name].geom.exterior.length + sum(r.length for r in SHAPES[name].geom.interiors),
        **close,
    )
    place = turn.T @ ours.centroid_mm
    assert place == pytest.approx([*theirs.get_c(), 23.0], rel=1e-7, abs=1e-7)
    i11, i22 = theirs.get_ip()
    assert ours.i_max_mm4 == pytest.approx(i11, **close)
    assert ours.i_min_mm4 == pytest.approx(i22, **close)
    if i11 > i22 * (1 + 1e-6):
        z11a, z11b, z22a, z22b = theirs.get_zp()
        assert ours.z_of_max_mm3 == pytest.approx(min(z11a, z11b), **close)
        assert ours.z_of_min_mm3 == pytest.approx(min(z22a, z22b), **close)
    if not seed:
        # u and v are x and y here
        ixx, iyy, ixy = theirs.get_ic()
        assert ours.i_uu_mm4 == pytest.approx(ixx, **close)
        assert ours.i_vv_mm4 == pytest.approx(iyy, **close)
        assert ours.i_uv_mm4 == pytest.approx(ixy, rel=1e-7, abs=1e-6 * ixx)
    assert ours.islands == 1
    assert ours.polygon.area == pytest.approx(theirs.get_area(), rel=1e-3)


@pytest.mark.parametrize("name", SHAPES)
def test_profile_and_weakest_section_of_a_bar(name):
    """A prism's weakest section across its length is its own."""
    solid = bar(SHAPES[name].geom, 60.0, np.eye(3))
    theirs = library(SHAPES[name])
    profile = section_profile(solid, (0, 0, 2.0), 7)
    np.testing.assert_allclose(profile.area_mm2, theirs.get_area(), rtol=1e-7)
    np.testing.assert_allclose(profile.i_uu_mm4, theirs.get_ic()[0], rtol=1e-7)
    weakest = {w.axis_name: w for w in weakest_sections(solid, np.eye(3))}["z"]
    assert weakest.found_as == "even run"
    assert weakest.area_mm2 == pytest.approx(theirs.get_area(), rel=1e-7)
    assert weakest.i_max_mm4 == pytest.approx(theirs.get_ip()[0], rel=1e-7)
    assert weakest.i_min_mm4 == pytest.approx(theirs.get_ip()[1], rel=1e-7)


def test_printed_values_of_an_angle_with_radii():
    """Printed with 6 digits, for radii of 8 points (the smooth shape has 2746.73 mm²)."""
    shape = angle_section(d=150, b=90, t=12, r_r=10, r_t=5, n_r=8)
    cut = section_through(bar(shape.geom, 100.0, np.eye(3)), (0, 0, 50), (0, 0, 1))
    assert cut.area_mm2 == pytest.approx(2747.06, rel=0, abs=0.005)
    assert cut.i_uu_mm4 == pytest.approx(6.28647e6, rel=0, abs=5)
    assert cut.i_vv_mm4 == pytest.approx(1.718455e6, rel=0, abs=0.5)


def test_tube_of_facets():
    """The library's tube has n facets on each circle: area ratio sin(t) / t, t = 2 pi / n."""
    cut = section_through(bar(SHAPES["tube 24 / 16"].geom, 60, np.eye(3)), (0, 0, 9), (0, 0, 1))
    t = 2 * np.pi / 64
    assert cut.area_mm2 == pytest.approx(np.pi * (144 - 64) * np.sin(t) / t, rel=1e-9)
    # second moment ratio sin(t) (2 + cos(t)) / (3 t): derived for the regular polygon
    exact = np.pi / 4 * (12**4 - 8**4) * np.sin(t) * (2 + np.cos(t)) / (3 * t)
    assert cut.i_max_mm4 == pytest.approx(exact, rel=1e-9)
