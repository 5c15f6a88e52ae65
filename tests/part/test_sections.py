"""Where sections are weakest, and what moving and scaling do to a section."""

import math

import manifold3d
import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from printplan.errors import InputError, OutOfRangeError
from printplan.part.reading.topology import pair_half_edges
from printplan.part.sections import (
    section_frame,
    section_profile,
    section_through,
    weakest_sections,
)
from printplan.part.solid import Solid

WORLD = np.eye(3)


def solid_of(vertices, faces) -> Solid:
    vertices = np.array(vertices, dtype=np.float64)
    faces = np.array(faces, dtype=np.int32)
    opposite = np.maximum(pair_half_edges(vertices, faces).opposite, -1).astype(np.int32)
    return Solid(name="shape", vertices_mm=vertices, faces=faces, opposite=opposite)


def of_mesh(mesh: trimesh.Trimesh) -> Solid:
    return solid_of(mesh.vertices, mesh.faces)


def of_body(body: manifold3d.Manifold) -> Solid:
    mesh = body.to_mesh64()
    return solid_of(mesh.vert_properties[:, :3], mesh.tri_verts)


def turned_profile(radii, heights) -> Solid:
    """A lathe part with 64 facets."""
    return of_mesh(trimesh.creation.revolve(np.column_stack([radii, heights]), sections=64))


def disc_area(radius: float, facets: int = 64) -> float:
    return facets / 2 * radius**2 * math.sin(2 * math.pi / facets)


def across(solid: Solid, name: str):
    return {w.axis_name: w for w in weakest_sections(solid, WORLD)}[name]


def test_box_gives_its_own_sections():
    found = weakest_sections(of_mesh(trimesh.creation.box((20, 30, 50))), WORLD[::-1])
    assert [w.axis_name for w in found] == ["x", "y", "z"] + [f"principal {i}" for i in (1, 2, 3)]
    assert [w.area_mm2 for w in found] == pytest.approx([1500, 1000, 600, 600, 1000, 1500])
    z = found[2]
    assert z.i_max_mm4 == pytest.approx(20 * 30**3 / 12)
    assert z.i_min_mm4 == pytest.approx(30 * 20**3 / 12)
    assert z.z_max_mm3 == pytest.approx(20 * 30**2 / 6)
    assert z.z_min_mm3 == pytest.approx(30 * 20**2 / 6)
    # over the corner: 1 / Z = sqrt((15 / I_max)² + (10 / I_min)²)  (derived)
    assert z.z_any_mm3 == pytest.approx(1 / math.hypot(15 / z.i_max_mm4, 10 / z.i_min_mm4))
    assert z.found_as == "even run"
    assert abs(z.position_mm) < 1.0
    assert z.islands == 1


def test_groove_between_two_discs():
    solid = turned_profile([0, 10, 10, 5, 5, 10, 10, 0], [0, 0, 20, 20, 21, 21, 40, 40])
    groove = across(solid, "z")
    assert groove.found_as == "waist"
    assert groove.area_mm2 == pytest.approx(disc_area(5))
    assert 20 < groove.position_mm < 21


def test_groove_far_narrower_than_the_spacing_of_planes():
    """Its flat walls give it away, though it is 1/4000 of the length."""
    solid = turned_profile([0, 10, 10, 5, 5, 10, 10, 0], [0, 0, 20, 20, 20.01, 20.01, 40, 40])
    assert across(solid, "z").area_mm2 == pytest.approx(disc_area(5))


def test_waist_between_planes_is_refined():
    """A V-groove: area (4 + 6 |z - z0| / w)² goes up quickly, so the place must be met."""
    bottom = 20.037
    solid = turned_profile(
        [0, 10, 10, 4, 10, 10, 0], [0, 0, bottom - 0.5, bottom, bottom + 0.5, 40, 40]
    )
    waist = across(solid, "z")
    assert waist.found_as == "waist"
    assert waist.area_mm2 == pytest.approx(disc_area(4), rel=1e-3)
    assert waist.position_mm == pytest.approx(bottom, abs=0.01)


def test_stepped_shaft_gives_its_slim_end():
    solid = turned_profile([0, 10, 10, 5, 5, 0], [0, 0, 30, 30, 40, 40])
    slim = across(solid, "z")
    assert (slim.found_as, slim.area_mm2) == ("even run", pytest.approx(disc_area(5)))
    assert 30 < slim.position_mm < 40


def test_pointed_and_rounded_ends_are_no_weakness():
    ball = across(of_mesh(trimesh.creation.icosphere(4, radius=15)), "z")
    assert ball.found_as == "no waist"
    # a quarter of a ball's volume lies beyond z with 2 - 3 t + t³ = 1, t = z / R = 0.3473
    assert ball.area_mm2 == pytest.approx(math.pi * 225 * (1 - 0.3473**2), rel=0.02)
    cone = across(of_mesh(trimesh.creation.cone(10, 30, sections=64)), "z")
    assert cone.found_as == "no waist"
    assert cone.area_mm2 == pytest.approx(disc_area(10) * 0.25 ** (2 / 3), rel=0.02)
    # a pencil: the prism counts, the point does not
    pencil = across(turned_profile([0, 5, 5, 0], [0, 0, 60, 80]), "z")
    assert (pencil.found_as, pencil.area_mm2) == ("even run", pytest.approx(disc_area(5)))


def test_tapering_bar_with_a_flat_end():
    taper = across(turned_profile([0, 10, 6, 0], [0, 0, 60, 60]), "z")
    assert taper.found_as == "blunt end"
    assert disc_area(6) < taper.area_mm2 < 1.06 * disc_area(6)


def test_hollow_part_counts_all_islands():
    tube = across(of_mesh(trimesh.creation.annulus(8, 12, 50, sections=64)), "x")
    assert tube.islands == 2
    assert tube.area_mm2 == pytest.approx(2 * 4 * 50, rel=0.01)
    # as if the two walls were joined: parallel axes, about the long axis of the tube
    joined = 2 * (50 * 4**3 / 12 + 50 * 4 * 10**2)
    assert tube.i_max_mm4 == pytest.approx(max(joined, 8 * 50**3 / 12), rel=0.03)


def test_gap_between_two_bodies_is_no_section():
    lower, upper = trimesh.creation.box((10, 10, 10)), trimesh.creation.box((6, 6, 10))
    upper.apply_translation((0, 0, 20))
    both = across(of_mesh(trimesh.util.concatenate([lower, upper])), "z")
    assert both.area_mm2 == pytest.approx(36)


def test_plane_never_lies_in_a_face():
    steps = manifold3d.Manifold()
    for k in range(12):
        steps += manifold3d.Manifold.cube([20 - k, 20 - k, k + 1.0], True).translate(
            [0, 0, (k + 1) / 2]
        )
    solid = of_body(steps)
    flat = np.unique(solid.vertices_mm[:, 2])
    for found in weakest_sections(solid, WORLD):
        if found.axis_name in ("z", "principal 3"):
            assert np.abs(flat - found.position_mm).min() > 1e-6


@settings(max_examples=12, deadline=None)
@given(
    seed=st.integers(0, 10**6),
    move=st.tuples(*[st.floats(-300, 300)] * 3),
    size=st.floats(0.2, 5),
)
def test_sections_move_turn_and_scale_with_the_part(seed, move, size):
    body = manifold3d.Manifold.cube([20, 12, 8], True)
    body -= manifold3d.Manifold.cylinder(40, 3, 3, 24, True).translate([3, 1, 0])
    solid = of_body(body)
    turn = Rotation.random(random_state=seed).as_matrix()
    moved = Solid(
        name="moved",
        vertices_mm=(solid.vertices_mm @ turn.T) * size + np.array(move),
        faces=solid.faces,
        opposite=solid.opposite,
    )
    normal = np.array([0.3, 0.2, 0.9])
    before = section_through(solid, (1, 0, 0.5), normal)
    after = section_through(moved, turn @ (1, 0, 0.5) * size + np.array(move), turn @ normal)
    assert after.area_mm2 == pytest.approx(before.area_mm2 * size**2, rel=1e-8)
    assert after.i_max_mm4 == pytest.approx(before.i_max_mm4 * size**4, rel=1e-7)
    assert after.i_min_mm4 == pytest.approx(before.i_min_mm4 * size**4, rel=1e-7)
    assert after.z_any_mm3 == pytest.approx(before.z_any_mm3 * size**3, rel=1e-7)
    assert after.islands == before.islands
    expected = turn @ before.centroid_mm * size + np.array(move)
    np.testing.assert_allclose(after.centroid_mm, expected, atol=1e-6)
    # an axis has no sign
    assert abs(after.max_axis @ (turn @ before.max_axis)) == pytest.approx(1.0, abs=1e-6)
    here = {w.axis_name: w.area_mm2 for w in weakest_sections(solid, WORLD)}
    there = {w.axis_name: w.area_mm2 for w in weakest_sections(moved, turn.T)}
    for axis in (1, 2, 3):
        assert there[f"principal {axis}"] == pytest.approx(
            here[f"principal {axis}"] * size**2, rel=2e-3
        )


def test_section_against_a_general_mesh_library():
    mesh = trimesh.creation.torus(12, 4, major_sections=40, minor_sections=20)
    solid = of_mesh(mesh)
    for normal in ([0, 0, 1], [1, 0.2, 0], [0.4, 0.5, 0.6]):
        cut = section_through(solid, (0.1, 0.2, 0.3), normal)
        path, _ = mesh.section(plane_origin=(0.1, 0.2, 0.3), plane_normal=normal).to_2D()
        assert cut.area_mm2 == pytest.approx(path.area, rel=1e-6)
        # its perimeter is the sum of the lengths of its closed curves
        assert cut.perimeter_mm == pytest.approx(path.length, rel=1e-6)
        assert cut.islands == len(path.polygons_full)


def test_polygon_lies_in_u_and_v_from_the_origin():
    solid = of_mesh(trimesh.creation.box((4, 6, 8)))
    cut = section_through(solid, (1, 1, 1), (0, 0, 1))
    assert cut.polygon.bounds == pytest.approx((-3, -4, 1, 2))
    u, v, n = section_frame((0, 0, 3))
    np.testing.assert_allclose((u, v, n), np.eye(3), atol=1e-15)


def test_profile_places():
    solid = of_mesh(trimesh.creation.cone(10, 30, sections=64))
    places = [3.0, 15.0, 27.0]
    profile = section_profile(solid, (0, 0, 1), positions_mm=places)
    expected = [disc_area(10 * (1 - z / 30)) for z in places]
    np.testing.assert_allclose(profile.area_mm2, expected, rtol=1e-9)
    np.testing.assert_allclose(profile.centroid_mm[:, 2], places)
    even = section_profile(solid, (0, 0, 1), 3)
    np.testing.assert_allclose(even.position_mm, [5, 15, 25])


def test_messages():
    box = trimesh.creation.box((4, 6, 8))
    solid = of_mesh(box)
    with pytest.raises(InputError, match="not all zero"):
        section_through(solid, (0, 0, 0), (0, 0, 0))
    with pytest.raises(InputError, match="move the plane"):
        section_through(solid, (0, 0, 9), (0, 0, 1))
    with pytest.raises(OutOfRangeError, match="count = 0"):
        section_profile(solid, (0, 0, 1), 0)
    with pytest.raises(InputError, match="three rows"):
        weakest_sections(solid, np.eye(2))
    torn = solid_of(box.vertices, box.faces[1:])
    with pytest.raises(InputError, match="3 edges are open"):
        weakest_sections(torn, WORLD)
    inside_out = solid_of(box.vertices, box.faces[:, ::-1])
    with pytest.raises(InputError, match="inside out"):
        weakest_sections(inside_out, WORLD)
