"""Wall thickness of shapes whose thickness is known exactly.

[source: derived, plane geometry]: plate t; tube R - r; ball 2 R; wedge of angle a at distance s
from its edge: ray s tan a, ball touching both faces 2 s tan(a / 2). The wedge's printed values in
the project's reference for a = 30°, s = 10: 5.359 (ball), 5.774 (ray).
Definition of the thickness by the largest ball: [source: Analysis Situs feature page "Thickness
distribution", citing Inui et al. 2015, 2016].
"""

import math

import numpy as np
import pytest
import trimesh
from scipy.spatial.transform import Rotation

from printplan.part.reading.topology import pair_half_edges
from printplan.part.solid import Solid
from printplan.part.thickness import COARSE_SHARE, NOISE_MM, wall_thickness


def solid_of(mesh: trimesh.Trimesh, seed: int = 0) -> Solid:
    """The mesh, turned at random and moved: no exact shape may lean on the axes."""
    turn = Rotation.random(random_state=seed).as_matrix()
    vertices = mesh.vertices @ turn.T + np.array([30.0, -20.0, 10.0])
    faces = np.array(mesh.faces, dtype=np.int32)
    opposite = np.maximum(pair_half_edges(vertices, faces).opposite, -1).astype(np.int32)
    return Solid(name="shape", vertices_mm=vertices, faces=faces, opposite=opposite)


def wedge(angle_deg: float, size: float = 20.0, length: float = 12.0) -> trimesh.Trimesh:
    """Edge along y at the origin, one face in z = 0."""
    top = size * math.tan(math.radians(angle_deg))
    corners = [(x, y, z) for y in (0, length) for x, z in ((0, 0), (size, 0), (size, top))]
    return trimesh.convex.convex_hull(np.array(corners, float))


@pytest.mark.parametrize("t", [0.3, 0.8, 2.0, 5.0])
def test_plate(t):
    plate = trimesh.creation.box((40, 30, t))
    found = wall_thickness(solid_of(plate))
    large = np.abs(plate.face_normals[found.sample_face, 2]) > 0.5
    # single precision of the tree: 1e-5 mm at this size
    np.testing.assert_allclose(found.sample_mm[large], t, atol=5e-5)
    np.testing.assert_allclose(found.ray_mm[large], t, atol=5e-5)
    np.testing.assert_allclose(found.opening_deg[large], 0.0, atol=0.1)
    assert found.thinnest_mm == pytest.approx(t, abs=5e-5)


@pytest.mark.parametrize(("outer", "inner", "facets"), [(12, 8, 64), (11, 10, 32), (20, 19.2, 180)])
def test_tube(outer, inner, facets):
    """Between the polygons: R - r at a corner, (R - r) cos(pi / n) at the middle of a facet."""
    tube = trimesh.creation.annulus(inner, outer, 25, sections=facets)
    found = wall_thickness(solid_of(tube, 1))
    round_ = np.abs(tube.face_normals[found.sample_face, 2]) < 0.5
    facet_error = outer * (1 - math.cos(math.pi / facets))
    thickness = found.sample_mm[round_]
    assert thickness.min() >= outer - inner - facet_error - NOISE_MM
    assert thickness.max() <= outer - inner + facet_error + 1e-4
    flat = (outer - inner) * math.cos(math.pi / facets)
    assert np.median(thickness) == pytest.approx(flat, abs=NOISE_MM)
    assert found.thinnest_mm == pytest.approx(flat, abs=NOISE_MM)


@pytest.mark.parametrize("angle", [10.0, 20.0, 30.0, 45.0])
def test_wedge(angle):
    mesh = wedge(angle)
    found = wall_thickness(solid_of(mesh, 2))
    base = mesh.face_normals[found.sample_face, 2] < -0.99
    turn = Rotation.random(random_state=2).as_matrix()
    s = ((found.positions_mm - np.array([30.0, -20.0, 10.0])) @ turn)[base, 0]
    a = math.radians(angle)
    np.testing.assert_allclose(found.ray_mm[base], s * math.tan(a), atol=1e-4)
    np.testing.assert_allclose(found.opening_deg[base], angle, atol=0.01)
    # a ball may reach into the other face by the noise limit d: its diameter is then too large by
    # 2 d / (1 + cos a) at most (derived)
    ball = 2 * s * math.tan(a / 2)
    too_large = found.sample_mm[base] - ball
    reach = np.maximum(NOISE_MM, COARSE_SHARE * ball)
    assert too_large.min() > -1e-4
    assert (too_large - 2 * reach / (1 + math.cos(a))).max() < 1e-4


def test_wedge_printed_values():
    mesh = wedge(30.0)
    found = wall_thickness(solid_of(mesh, 2))
    base = mesh.face_normals[found.sample_face, 2] < -0.99
    turn = Rotation.random(random_state=2).as_matrix()
    s = ((found.positions_mm - np.array([30.0, -20.0, 10.0])) @ turn)[base, 0]
    near = np.argmin(np.abs(s - 10.0))
    scale = 10.0 / s[near]
    assert found.ray_mm[base][near] * scale == pytest.approx(5.774, abs=5e-4)
    assert found.sample_mm[base][near] * scale == pytest.approx(5.359, abs=NOISE_MM)


@pytest.mark.parametrize("radius", [2.0, 15.0])
def test_ball(radius):
    """A ball of facets, corners on the sphere R, the deepest facet at distance d of the centre.

    Derived: the foot of the centre on a facet is at most e = sqrt(R² - d²) from a sample. So the
    ray passes the centre at e or nearer: it is d + sqrt(d² - e²) or longer. A ball of radius r
    that touches there has its centre at (d - r, e); it stays clear of all planes at distance d
    whose normals are farther than 120° away while r <= d - e tan(30°).
    """
    mesh = trimesh.creation.icosphere(3, radius=radius)
    found = wall_thickness(solid_of(mesh, 3))
    d = np.abs(np.einsum("ij,ij->i", mesh.face_normals, mesh.triangles[:, 0])).min()
    e = math.sqrt(radius**2 - d**2)
    assert found.ray_mm.max() <= 2 * radius + 1e-4
    assert found.ray_mm.min() >= d + math.sqrt(d**2 - e**2) - 1e-4
    assert found.sample_mm.min() >= 2 * (d - e * math.tan(math.radians(30))) - 1e-4
    assert found.sample_mm.max() <= 2 * radius + 1e-4
    assert np.median(found.sample_mm) == pytest.approx(2 * radius, rel=0.03)
    fine = wall_thickness(solid_of(trimesh.creation.icosphere(5, radius=radius), 3))
    assert np.median(fine.sample_mm) == pytest.approx(2 * radius, rel=0.01)
