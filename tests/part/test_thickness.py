"""Thin places are found, located, sized and judged; the search against a plain twin."""

import math
import tracemalloc

import manifold3d
import numpy as np
import pytest
import trimesh
from scipy.spatial.transform import Rotation

from printplan.errors import InputError, OutOfRangeError
from printplan.part.reading.topology import pair_half_edges
from printplan.part.solid import Solid
from printplan.part.thickness import COARSE_SHARE, NOISE_MM, OPPOSING_COSINE, wall_thickness
from printplan.part.thickness_kernels import fit_slabs, measure_thickness
from printplan.part.tree import LEAF, build_tree, morton_codes, surface_samples


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


def cube(x, y, z, at=(0, 0, 0)) -> manifold3d.Manifold:
    return manifold3d.Manifold.cube([x, y, z]).translate(list(at))


def spur_gear(module: float, teeth: int, width: float) -> Solid:
    """Involute flanks of 20°, straight below the base circle."""
    pitch = module * teeth / 2
    base, tip, root = pitch * math.cos(math.radians(20)), pitch + module, pitch - 1.25 * module
    half = math.pi / 2 / teeth + math.tan(math.radians(20)) - math.radians(20)
    roll = np.linspace(0, math.sqrt((tip / base) ** 2 - 1), 10)
    radius = np.concatenate([[min(root, base)], base * np.hypot(1, roll)])
    angle = np.concatenate([[half], half - (roll - np.arctan(roll))])
    flank = np.column_stack([radius, -angle])
    tooth = np.concatenate([flank, flank[::-1] * [1, -1]])
    turns = 2 * math.pi * np.arange(teeth) / teeth
    polar = np.concatenate([tooth + np.array([0, turn]) for turn in turns])
    outline = polar[:, :1] * np.column_stack([np.cos(polar[:, 1]), np.sin(polar[:, 1])])
    disc = manifold3d.CrossSection([outline]) - manifold3d.CrossSection.circle(4.0, 48)
    return of_body(manifold3d.Manifold.extrude(disc, width))


def test_thin_flange_is_found_located_and_sized():
    solid = of_body(cube(40, 30, 6) + cube(15, 30, 0.8, at=(40, 0, 2)))
    found = wall_thickness(solid)
    (flange,) = found.regions
    assert flange.judged == "one bead only"
    assert flange.thickness_mm == pytest.approx(0.8, abs=1e-4)
    assert flange.typical_mm == pytest.approx(0.8, abs=1e-4)
    assert flange.bead_widths == pytest.approx(0.8 / 0.45, abs=1e-3)
    assert flange.place_mm == pytest.approx((47.5, 15, 2.4), abs=0.2)
    np.testing.assert_allclose(flange.box_mm, [[40, 0, 2], [55, 30, 2.8]], atol=0.4)
    # samples stand for 0.2 mm² each; the rim's own samples see the long way
    assert flange.area_mm2 == pytest.approx(15 * 30, rel=0.02)
    assert found.thinnest_mm == flange.thickness_mm
    assert found.tips == ()
    assert found.warnings == ()
    # pictures: the flange's two faces are thin, the block's are not
    at = solid.vertices_mm[solid.faces].mean(axis=1)
    of_flange = (at[:, 0] > 40.1) & (at[:, 0] < 54.9)
    normal_z = np.abs(trimesh.Trimesh(solid.vertices_mm, solid.faces).face_normals[:, 2])
    np.testing.assert_allclose(found.faces_mm[of_flange & (normal_z > 0.9)], 0.8, atol=1e-4)
    assert found.faces_mm[at[:, 2] > 5.9] == pytest.approx(6.0, abs=1e-3)


@pytest.mark.parametrize(
    ("t", "judged"),
    [
        (0.4, "cannot be printed as drawn"),
        (0.45, "one bead only"),
        (0.88, "one bead only"),
        (0.9, "weak for a loaded wall"),
        (1.78, "weak for a loaded wall"),
        (1.8, None),
    ],
)
def test_judgement_at_the_limits(t, judged):
    found = wall_thickness(of_mesh(trimesh.creation.box((30, 20, t))))
    assert [r.judged for r in found.regions] == ([judged] if judged else [])
    assert found.thinnest_mm == pytest.approx(t, abs=1e-4)


def test_other_beads_and_limits():
    plate = of_mesh(trimesh.creation.box((30, 20, 1.2)))
    assert wall_thickness(plate, line_width_mm=0.3, limit_bead_widths=3.9).regions == ()
    (region,) = wall_thickness(plate, line_width_mm=0.8).regions
    assert (region.judged, region.bead_widths) == ("one bead only", pytest.approx(1.5, abs=1e-3))


def test_wall_between_bore_and_side():
    """A bore 0.7 mm from the side: thinnest along a line, and it is found there."""
    bore = manifold3d.Manifold.cylinder(10, 2.5, 2.5, 96).translate([3.2, 15, -1])
    found = wall_thickness(of_body(cube(40, 30, 8) - bore))
    wall = found.regions[0]
    assert wall.judged == "one bead only"
    assert wall.thickness_mm == pytest.approx(0.7, abs=NOISE_MM)
    assert wall.place_mm == pytest.approx((0.35, 15, 4), abs=0.3)
    assert found.thinnest_mm == wall.thickness_mm


def test_equal_ribs_make_one_entry():
    body = cube(60, 20, 5)
    for k in range(6):
        body += cube(1.0, 20, 8, at=(4 + 10 * k, 0, 5))
    (ribs,) = wall_thickness(of_body(body)).regions
    assert ribs.count == 6
    assert len(ribs.places_mm) == 6
    assert sorted(round(p[0] - 4.5) for p in ribs.places_mm) == [0, 10, 20, 30, 40, 50]
    assert ribs.area_mm2 == pytest.approx(6 * 20 * 8, rel=0.05)


def test_teeth_of_a_sane_gear_are_no_thin_walls():
    found = wall_thickness(spur_gear(2.0, 20, 10))
    assert found.regions == ()
    assert found.thinnest_mm > 1.8
    assert len(found.tips) <= 3
    fine = wall_thickness(spur_gear(1.5, 30, 10))
    assert fine.regions == ()
    # tips of about 1.2 mm are told in a line or two, not once a tooth
    assert len(fine.tips) <= 3
    assert sum(t.count for t in fine.tips) == 30
    assert 1.0 < fine.tips[0].thickness_mm < 1.8


def test_convex_edges_are_not_thin():
    for mesh in (trimesh.creation.box((20, 20, 20)), trimesh.creation.cylinder(8, 20, sections=48)):
        found = wall_thickness(of_mesh(mesh))
        assert found.regions == found.tips == ()
        assert found.thinnest_mm > 15.8


def test_spots_smaller_than_a_square_millimetre_are_left_out_and_told():
    found = wall_thickness(of_body(cube(20, 20, 10) + cube(0.6, 0.6, 0.5, at=(10, 10, 10))))
    assert found.regions == ()
    assert found.thinnest_mm == pytest.approx(10, abs=1e-3)
    assert any("smaller than 1 mm² are left out" in text for text in found.warnings)


def test_turning_and_moving_change_nothing():
    solid = of_body(
        cube(20, 12, 6) + cube(8, 12, 1.1, at=(20, 0, 2)) - cube(2, 2, 9, at=(5, 5, -1))
    )
    turn = Rotation.random(random_state=5).as_matrix()
    moved = Solid(
        name="moved",
        vertices_mm=solid.vertices_mm @ turn.T + np.array([50.0, 60.0, -70.0]),
        faces=solid.faces,
        opposite=solid.opposite,
    )
    before, after = wall_thickness(solid), wall_thickness(moved)
    np.testing.assert_allclose(
        after.positions_mm, before.positions_mm @ turn.T + [50, 60, -70], atol=1e-9
    )
    # a ray near an edge may pass on either side of it after rounding, hence 99.9 %
    same = np.abs(after.sample_mm - before.sample_mm) < 1e-3
    assert same.mean() > 0.999
    assert len(after.regions) == len(before.regions) == 1
    assert after.thinnest_mm == pytest.approx(before.thinnest_mm, abs=1e-4)
    assert after.regions[0].area_mm2 == pytest.approx(before.regions[0].area_mm2, rel=1e-3)


@pytest.mark.parametrize("size", [0.5, 3.0])
def test_scaling(size):
    body = cube(20, 12, 6) + cube(8, 12, 1.1, at=(20, 0, 2))
    before = wall_thickness(of_body(body), line_width_mm=0.4)
    after = wall_thickness(of_body(body.scale([size] * 3)), line_width_mm=0.4 * size)
    assert after.thinnest_mm == pytest.approx(before.thinnest_mm * size, rel=1e-3)
    assert after.regions[0].bead_widths == pytest.approx(before.regions[0].bead_widths, rel=1e-3)
    # a ray along an edge may pass on either side of it after rounding, hence 99.9 %
    same = np.isclose(after.sample_mm, before.sample_mm * size, rtol=5e-3, atol=NOISE_MM)
    assert same.mean() > 0.999


def test_open_mesh_says_so():
    box = trimesh.creation.box((20, 20, 2))
    top = np.flatnonzero(box.face_normals[:, 2] > 0.5)
    found = wall_thickness(solid_of(box.vertices, np.delete(box.faces, top, axis=0)))
    assert found.warnings[0].startswith("mesh has open edges")
    assert "met no opposite surface" in found.warnings[1]
    assert 0 < found.unmeasured == np.isnan(found.sample_mm).sum()


def test_faces_take_over_the_thickness_of_smooth_neighbours():
    """A finely meshed ball has more triangles than samples; all are known all the same."""
    found = wall_thickness(of_mesh(trimesh.creation.icosphere(4, radius=5)), samples=1500)
    assert len(np.unique(found.sample_face)) < 1501 < len(found.faces_mm) == 5120
    assert not np.isnan(found.faces_mm).any()
    np.testing.assert_allclose(found.faces_mm, 10.0, rtol=0.05)


def test_messages():
    plate = of_mesh(trimesh.creation.box((30, 20, 1)))
    with pytest.raises(OutOfRangeError, match="line_width_mm = 0"):
        wall_thickness(plate, line_width_mm=0.0)
    with pytest.raises(OutOfRangeError, match="samples = 10"):
        wall_thickness(plate, samples=10)
    nothing = Solid(
        name="nothing",
        vertices_mm=np.zeros((0, 3)),
        faces=np.zeros((0, 3), np.int32),
        opposite=np.zeros(0, np.int32),
    )
    with pytest.raises(InputError, match="without triangles"):
        wall_thickness(nothing)


def random_body(seed: int) -> Solid:
    rng = np.random.default_rng(seed)
    body = manifold3d.Manifold.sphere(6, 12)
    for _ in range(4):
        block = manifold3d.Manifold.cube(rng.uniform(1, 9, 3).tolist(), True)
        block = block.rotate(rng.uniform(0, 360, 3).tolist())
        block = block.translate(rng.uniform(-4, 4, 3).tolist())
        body = body + block if rng.uniform() < 0.6 else body - block
    return of_body(body)


@pytest.mark.parametrize("seed", [1, 2])
def test_tree_holds_every_triangle_in_its_boxes_and_slabs(seed):
    solid = random_body(seed)
    tree = build_tree(solid)
    assert set(tree.face.tolist()) == set(range(len(solid.faces)))
    expected = (solid.vertices_mm - tree.origin_mm)[solid.faces[tree.face]].reshape(-1, 9)
    np.testing.assert_allclose(tree.corners, expected, atol=1e-5)
    slabs = np.empty_like(tree.boxes)
    fit_slabs(tree.corners, OPPOSING_COSINE, slabs)
    nodes, leaves = len(tree.boxes), len(tree.corners) // LEAF
    rng = np.random.default_rng(seed)
    probes = rng.normal(size=(200, 3))
    probes /= np.linalg.norm(probes, axis=1)[:, None]
    normals = np.cross(expected[:, 3:6] - expected[:, :3], expected[:, 6:] - expected[:, :3])
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    for node in range(nodes):
        first = last = node
        while first < leaves - 1:
            first, last = 2 * first + 1, 2 * last + 2
        rows = slice(LEAF * (first - leaves + 1), LEAF * (last - leaves + 2))
        points = tree.corners[rows].reshape(-1, 3)
        np.testing.assert_array_equal(tree.boxes[node, :3], points.min(axis=0))
        np.testing.assert_array_equal(tree.boxes[node, 3:], points.max(axis=0))
        along = points @ slabs[node, :3]
        assert (along >= slabs[node, 3]).all()
        assert (along <= slabs[node, 4]).all()
        # whatever a probe's cosine rules out must hold no opposing triangle
        ruled_out = probes[probes @ slabs[node, :3] > slabs[node, 5]]
        assert (ruled_out @ normals[rows].T >= OPPOSING_COSINE).all()


def plain_thickness(triangles: np.ndarray, p: np.ndarray, n: np.ndarray) -> tuple[float, float]:
    """Ray and ball by looking at every triangle; nearest points by a general mesh library."""
    a, u, v = triangles[:, 0], triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
    normal = np.cross(u, v)
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        t = np.einsum("ij,ij->i", a - p, normal) / (normal @ -n)
    hits = []
    for i in np.flatnonzero((normal @ -n > 1e-9) & (t > 1e-4)):
        weights = trimesh.triangles.points_to_barycentric(triangles[[i]], [p - t[i] * n])
        if (weights > -1e-9).all():
            hits.append(t[i])
    ray = min(hits)
    facing = triangles[normal @ n < OPPOSING_COSINE]
    r = ray / 2
    while len(facing):
        centre = p - r * n
        spots = trimesh.triangles.closest_point(facing, np.tile(centre, (len(facing), 1)))
        gaps = np.linalg.norm(spots - centre, axis=1)
        if gaps.min() >= r - max(min(NOISE_MM, 0.1 * r), COARSE_SHARE * r):
            break
        w = p - spots[np.argmin(gaps)]
        if w @ n <= 1e-4 or (w @ w) / (2 * (w @ n)) >= r:
            break
        r = (w @ w) / (2 * (w @ n))
    return ray, 2 * r


@pytest.mark.parametrize("seed", [3, 4, 5])
def test_search_against_a_plain_twin(seed):
    solid = random_body(seed)
    tree = build_tree(solid)
    face, position, normal, _ = surface_samples(solid, 0.5, 1100)
    keep = np.random.default_rng(seed).permutation(len(face))[:150]
    p, n = position[keep] - tree.origin_mm, normal[keep]
    slabs = np.empty_like(tree.boxes)
    fit_slabs(tree.corners, OPPOSING_COSINE, slabs)
    ray, ball, cosine, contact = np.empty(150), np.empty(150), np.empty(150), np.empty((150, 3))
    measure_thickness(
        tree.boxes, slabs, tree.corners, p, n, (0, 150),
        (NOISE_MM, COARSE_SHARE), OPPOSING_COSINE, ray, ball, cosine, contact,
    )  # fmt: skip
    triangles = tree.corners.astype(np.float64).reshape(-1, 3, 3)
    expected = np.array([plain_thickness(triangles, p[i], n[i]) for i in range(150)])
    np.testing.assert_allclose(ray, expected[:, 0], atol=1e-6)
    np.testing.assert_allclose(ball, expected[:, 1], atol=1e-6)
    # the contact lies on the ball
    centre = p - 0.5 * ball[:, None] * n
    np.testing.assert_allclose(
        np.linalg.norm(contact - centre, axis=1), ball / 2, rtol=1e-6, atol=1e-6
    )


def test_samples_are_even_and_on_the_surface():
    mesh = trimesh.creation.box((30, 20, 10))
    solid = of_mesh(mesh)
    face, position, normal, area = surface_samples(solid, 1.0, 50_000)
    assert len(face) == 2200
    assert area.sum() == pytest.approx(mesh.area)
    np.testing.assert_allclose(normal, mesh.face_normals[face])
    depth = np.einsum("ij,ij->i", position - mesh.triangles[face, 0], normal)
    np.testing.assert_allclose(depth, 0, atol=1e-12)
    counts = np.bincount(face, minlength=12)
    np.testing.assert_allclose(counts, mesh.area_faces, atol=1.0)
    # even: no square of 2 mm on the top without a sample
    top = position[normal[:, 2] > 0.5]
    cells = np.unique(np.floor((top[:, :2] + [15, 10]) / 2.0).astype(int), axis=0)
    assert len(cells) == 150


def test_each_flat_patch_gets_a_sample():
    solid = of_body(cube(50, 50, 10) + cube(0.3, 0.3, 0.2, at=(20, 20, 10)))
    _, position, _, area = surface_samples(solid, 2.0, 50_000)
    on_spot = np.isclose(position[:, 2], 10.2)
    assert on_spot.sum() == 1
    assert area[on_spot] == pytest.approx(0.09)


def test_morton_order_by_hand():
    """Two bits per axis, interleaved z y x: derived by hand for the corners of a cube."""
    corners = np.array([[x, y, z] for z in (0, 1) for y in (0, 1) for x in (0, 1)], float)
    np.testing.assert_array_equal(np.argsort(morton_codes(corners)), range(8))
    full = (2**21 - 1) / 1.0
    inside = np.vstack([corners, [[1 / full, 0, 0], [2 / full, 0, 0]]])
    codes = morton_codes(inside)
    assert codes[7] == 2**63 - 1
    assert (codes[8], codes[9]) == (1, 8)


def test_tangle_of_triangles_does_not_fill_the_memory():
    # Random triangles through and through: tens of thousands of samples within reach of each other.
    corners = np.random.default_rng(0).uniform(0, 100, (1000, 3, 3))
    tangle = solid_of(corners.reshape(-1, 3), np.arange(3000).reshape(-1, 3))
    tracemalloc.start()
    try:
        found = wall_thickness(tangle, samples=20_000)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert len(found.sample_mm) > 10_000
    assert peak < 300e6  # [bytes]; unbounded pairs take three times that
