"""Slicing against a general geometry library, and the compiled loops against plain twins."""

import math

import manifold3d
import numpy as np
import pytest
import shapely
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from printplan.errors import InputError, OutOfRangeError
from printplan.part import slicing
from printplan.part.contours import polygons_of
from printplan.part.reading.topology import pair_half_edges
from printplan.part.slicing import decimate_ring, layer_sums, slice_layers, sum_triangles
from printplan.part.slicing_kernels import crossings_by_plane
from printplan.part.solid import Solid


def solid_of(vertices, faces) -> Solid:
    vertices = np.array(vertices, dtype=np.float64)
    faces = np.array(faces, dtype=np.int32)
    opposite = np.maximum(pair_half_edges(vertices, faces).opposite, -1).astype(np.int32)
    return Solid(name="shape", vertices_mm=vertices, faces=faces, opposite=opposite)


def pierced_body(seed: int) -> tuple[manifold3d.Manifold, Solid]:
    """A turned block with a ball on it, a bore through it and a cavity inside."""
    rng = np.random.default_rng(seed)
    body = manifold3d.Manifold.cube([20, 14, 10], True)
    body += manifold3d.Manifold.sphere(6, 24).translate([8, 3, 4])
    body -= manifold3d.Manifold.cylinder(40, 2.5, 2.5, 20, True).translate([-5, 1, 0])
    body -= manifold3d.Manifold.cube([3, 3, 3], True).translate([2, -3, 0])
    body = body.rotate(rng.uniform(0, 360, 3).tolist()).translate([100.0, -40.0, 7.0])
    mesh = body.to_mesh64()
    return body, solid_of(mesh.vert_properties[:, :3], mesh.tri_verts)


@pytest.fixture(params=["numpy", "compiled"])
def path(request, monkeypatch):
    """Take the path for small parts, then the one for large parts."""
    monkeypatch.setattr(slicing, "SMALL_TRIANGLES", 10**9 if request.param == "numpy" else 0)
    return request.param


def between(solid: Solid, count: int) -> np.ndarray:
    low, high = solid.box_mm[:, 2]
    return low + (high - low) * (np.arange(count) + 0.37) / count


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_areas_and_perimeters_match_a_geometry_library(path, seed):
    body, solid = pierced_body(seed)
    heights = between(solid, 23)
    layers = slice_layers(solid, heights)
    sums = layer_sums(solid, heights)
    slices = [body.slice(z) for z in heights]
    areas = [s.area() for s in slices]
    # the library keeps single-precision-like tolerances when it simplifies: 1e-6 of the size
    np.testing.assert_allclose(layers.area_mm2, areas, rtol=1e-6, atol=1e-4)
    np.testing.assert_allclose(sums.area_mm2, layers.area_mm2, rtol=1e-12, atol=1e-9)
    np.testing.assert_allclose(sums.perimeter_mm, layers.perimeter_mm, rtol=1e-12)
    assert layers.open_contours == 0
    assert layers.warnings == ()
    # holes and islands: as many rings as the library finds
    assert [len(layers.rings(k)) for k in range(23)] == [s.num_contour() for s in slices]


@pytest.mark.parametrize("seed", [4, 5])
def test_both_paths_give_the_same_bits(monkeypatch, seed):
    _, solid = pierced_body(seed)
    heights = np.sort(np.random.default_rng(seed).uniform(*solid.box_mm[:, 2], 40))
    results = []
    for small in (10**9, 0):
        monkeypatch.setattr(slicing, "SMALL_TRIANGLES", small)
        results.append(slice_layers(solid, heights))
    plain, compiled = results
    for name in ("points_mm", "contour_start", "contour_closed", "layer_start"):
        np.testing.assert_array_equal(getattr(plain, name), getattr(compiled, name))
    np.testing.assert_allclose(plain.area_mm2, compiled.area_mm2, rtol=1e-12)
    np.testing.assert_allclose(plain.perimeter_mm, compiled.perimeter_mm, rtol=1e-12)


def test_crossings_against_a_plain_twin():
    _, solid = pierced_body(6)
    # heights that coincide with corners are the hard case
    z = np.sort(np.concatenate([solid.vertices_mm[::7, 2], between(solid, 15)]))
    start, crossing = crossings_by_plane(solid.vertices_mm.copy(), solid.faces, z)
    for k, height in enumerate(z):
        above = solid.vertices_mm[solid.faces, 2] >= height
        expected = np.flatnonzero(above.any(axis=1) & ~above.all(axis=1))
        np.testing.assert_array_equal(crossing[start[k] : start[k + 1]], expected)


def test_sums_match_moments_of_the_polygons(path):
    _, solid = pierced_body(7)
    heights = between(solid, 9)
    sums = layer_sums(solid, heights)
    layers = slice_layers(solid, heights)
    for k in range(9):
        region = layers.polygons(k, tolerance_mm=0.0)
        assert sums.area_mm2[k] == pytest.approx(region.area, rel=1e-9)
        assert sums.centroid_mm[k] == pytest.approx(region.centroid.coords[0], rel=1e-9)
        # second moments by cutting the region into triangles: exact by the mid-side rule
        central = np.zeros(3)
        for part in shapely.get_parts(shapely.constrained_delaunay_triangles(region)):
            corners = np.array(part.exterior.coords[:3]) - sums.centroid_mm[k]
            for x, y in (corners + np.roll(corners, -1, axis=0)) / 2.0:
                central += part.area / 3.0 * np.array([x * x, y * y, x * y])
        np.testing.assert_allclose(sums.central_mm4[k], central, rtol=1e-8, atol=1e-6)


def test_sums_need_no_shared_corners(path):
    _, solid = pierced_body(8)
    heights = between(solid, 11)
    soup = solid.vertices_mm[solid.faces].reshape(-1, 3)
    faces = np.arange(len(soup), dtype=np.int32).reshape(-1, 3)
    loose, tied = sum_triangles(soup, faces, heights), layer_sums(solid, heights)
    np.testing.assert_allclose(loose.area_mm2, tied.area_mm2, rtol=1e-12)
    np.testing.assert_allclose(loose.second_mm4, tied.second_mm4, rtol=1e-10, atol=1e-8)


@settings(max_examples=15, deadline=None)
@given(turn=st.floats(0, 360), move=st.tuples(*[st.floats(-500, 500)] * 2), size=st.floats(0.1, 10))
def test_turning_moving_and_scaling_in_the_plane(turn, move, size):
    _, solid = pierced_body(9)
    heights = between(solid, 5)
    before = layer_sums(solid, heights)
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    turned = solid.turned(np.array([[c, -s, 0], [s, c, 0], [0, 0, 1.0]]))
    moved = turned.vertices_mm * size + np.array([*move, 0.0])
    after = sum_triangles(moved, solid.faces, heights * size)
    np.testing.assert_allclose(after.area_mm2, before.area_mm2 * size**2, rtol=1e-8)
    np.testing.assert_allclose(after.perimeter_mm, before.perimeter_mm * size, rtol=1e-8)
    polar = after.central_mm4[:, 0] + after.central_mm4[:, 1]
    expected = (before.central_mm4[:, 0] + before.central_mm4[:, 1]) * size**4
    np.testing.assert_allclose(polar, expected, rtol=1e-7)


def test_planes_in_faces_and_corners(path):
    box = trimesh.creation.box((4, 6, 8))
    solid = solid_of(box.vertices, box.faces)
    layers = slice_layers(solid, [-5.0, -4.0, 0.0, 4.0, 5.0])
    # a plane in a face gives the section just below it
    np.testing.assert_allclose(layers.area_mm2, [0, 0, 24, 24, 0])
    assert [len(layers.rings(k)) for k in range(5)] == [0, 0, 1, 1, 0]
    assert layers.polygons(2).equals(shapely.box(-2, -3, 2, 3))
    assert layers.polygons(4).is_empty


def test_open_mesh_is_counted_not_closed(path):
    box = trimesh.creation.box((4, 6, 8))
    # without one triangle of the side x = 2 two heights run into the gap
    side = np.flatnonzero(box.face_normals[:, 0] > 0.5)[0]
    solid = solid_of(box.vertices, np.delete(box.faces, side, axis=0))
    layers = slice_layers(solid, [-3.0, 0.0, 3.0])
    assert layers.open_contours == 3
    np.testing.assert_array_equal(layers.open_in_layer, [1, 1, 1])
    np.testing.assert_array_equal(layers.area_mm2, [0, 0, 0])
    assert layers.rings(1) == []
    assert layers.warnings[0].startswith("3 contours do not close")


def test_runs_between_two_gaps_are_whole(path):
    """A run with a gap on either side is one open contour, wherever its triangles stand."""
    tube = trimesh.creation.cylinder(5, 10, sections=16)
    walls = np.flatnonzero(np.abs(tube.face_normals[:, 2]) < 0.5)
    angle = np.arctan2(*tube.triangles_center[walls, 1::-1].T)
    gone = walls[(np.abs(angle - 0.6) < 0.2) | (np.abs(angle + 2.0) < 0.2)]
    shuffled = np.random.default_rng(0).permutation(np.delete(tube.faces, gone, axis=0))
    layers = slice_layers(solid_of(tube.vertices, shuffled), [0.1])
    assert layers.open_contours == 2
    assert layers.rings(0) == []


@pytest.mark.parametrize("heights", [[1.0, 0.0], [0.0, math.nan], [math.inf]])
def test_heights_must_ascend(heights):
    _, solid = pierced_body(1)
    with pytest.raises(OutOfRangeError, match="finite, ascending heights"):
        slice_layers(solid, heights)


def test_no_triangles():
    empty = Solid(
        name="nothing",
        vertices_mm=np.zeros((0, 3)),
        faces=np.zeros((0, 3), np.int32),
        opposite=np.zeros(0, np.int32),
    )
    with pytest.raises(InputError, match="without triangles"):
        slice_layers(empty, [0.0])


def test_polygons_nest_islands_in_holes(path):
    nest = manifold3d.Manifold.cube([30, 30, 4], True) - manifold3d.Manifold.cube([20, 20, 9], True)
    nest += manifold3d.Manifold.cube([10, 10, 4], True) - manifold3d.Manifold.cube([4, 4, 9], True)
    mesh = nest.to_mesh64()
    region = slice_layers(solid_of(mesh.vert_properties[:, :3], mesh.tri_verts), [0.3]).polygons(0)
    assert region.geom_type == "MultiPolygon"
    assert region.is_valid
    assert sorted(len(p.interiors) for p in region.geoms) == [1, 1]
    assert region.area == pytest.approx(900 - 400 + 100 - 16)


def test_overlapping_shells_count_once_in_polygons():
    first, second = trimesh.creation.box((10, 10, 4)), trimesh.creation.box((10, 10, 4))
    second.apply_translation((4, 3, 0))
    both = trimesh.util.concatenate([first, second])
    layers = slice_layers(solid_of(both.vertices, both.faces), [0.5])
    assert layers.area_mm2[0] == pytest.approx(200)
    assert layers.polygons(0).area == pytest.approx(200 - 6 * 7)


def test_winding_decides_where_rings_do_not_nest():
    square = np.array([[0, 0], [4, 0], [4, 4], [0, 4]], float)
    folded = np.array([[1, 1], [2, 1]], float)
    apart = np.array([[10, 0], [10, 1], [11, 1], [11, 0]], float)  # clockwise: a hole in nothing
    assert polygons_of([square, folded, apart]).equals(shapely.Polygon(square))
    assert polygons_of([apart]).is_empty
    assert polygons_of([]).is_empty


def twin_of_decimation(ring: np.ndarray, tolerance: float) -> np.ndarray:
    """The same greedy rule, each chord checked against every skipped point by angles."""
    start = np.lexsort((ring[:, 1], ring[:, 0]))[0]
    around = np.vstack([np.roll(ring, -start, axis=0), ring[start]])
    kept, anchor, i = [0], 0, 1

    def passes(skipped: np.ndarray, end: np.ndarray) -> bool:
        offsets = skipped - around[anchor]
        distance = np.hypot(*offsets.T)
        outside = distance > tolerance
        chord = end - around[anchor]
        if not outside.any():
            return True
        if np.hypot(*chord) < distance[outside].max():
            return False
        turn = np.arctan2(offsets[:, 1], offsets[:, 0]) - math.atan2(chord[1], chord[0])
        turn = np.abs((turn + math.pi) % (2 * math.pi) - math.pi)[outside]
        return bool((turn <= np.arcsin(tolerance / distance[outside])).all())

    while i < len(around):
        if passes(around[anchor + 1 : i], around[i]):
            i += 1
        else:
            anchor = i - 1
            kept.append(anchor)
    return around[kept]


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("tolerance", [0.01, 0.2])
def test_decimation_against_a_plain_twin(seed, tolerance):
    rng = np.random.default_rng(seed)
    angle = np.sort(rng.uniform(0, 2 * math.pi, 150))
    radius = 10 + rng.normal(0, [0.002, 0.1][seed % 2], 150) + 2 * np.sin(3 * angle)
    ring = np.column_stack([radius * np.cos(angle), radius * np.sin(angle)])
    np.testing.assert_array_equal(
        decimate_ring(ring, tolerance), twin_of_decimation(ring, tolerance)
    )


@settings(max_examples=60, deadline=None)
@given(
    points=st.lists(st.tuples(*[st.floats(-5, 5, width=32)] * 2), min_size=3, max_size=40),
    tolerance=st.floats(0.001, 1.0),
)
def test_no_point_lies_farther_from_the_decimated_ring_than_the_tolerance(points, tolerance):
    ring = np.array(points)
    kept = decimate_ring(ring, tolerance)
    assert 3 <= len(kept) <= len(ring)
    assert {tuple(p) for p in kept} <= {tuple(p) for p in ring}
    line = shapely.LineString([*kept, kept[0]])
    # a ring that is kept as three points only is smaller than the tolerance allows to say
    assert shapely.distance(line, shapely.points(ring)).max() <= tolerance * (1 + 1e-9) + 1e-12


def test_decimation_of_a_fine_circle():
    """A chord of half angle a is off by R (1 - cos a): derived."""
    angle = np.linspace(0, 2 * math.pi, 2000, endpoint=False)
    ring = 20 * np.column_stack([np.cos(angle), np.sin(angle)])
    kept = decimate_ring(ring, 0.01)
    fewest = math.pi / math.acos(1 - 0.01 / 20)
    # the cone keeps points within the tolerance on either side: at best twice the sagitta's reach
    assert fewest / 1.5 < len(kept) < 1.3 * fewest
    assert shapely.Polygon(kept).area == pytest.approx(math.pi * 400, rel=1e-3)


def test_decimation_does_not_depend_on_the_start():
    rng = np.random.default_rng(3)
    angle = np.sort(rng.uniform(0, 2 * math.pi, 80))
    ring = np.column_stack([np.cos(angle), np.sin(angle)])
    np.testing.assert_array_equal(
        decimate_ring(ring, 0.01), decimate_ring(np.roll(ring, 31, axis=0), 0.01)
    )


def test_decimation_tolerance_must_make_sense():
    with pytest.raises(OutOfRangeError, match="tolerance_mm"):
        decimate_ring([[0, 0], [1, 0], [0, 1]], -0.1)
