"""Bulk properties: symmetry, scaling, additivity, and another library's numbers."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from stl import mesh as numpy_stl

from printplan.errors import InputError
from printplan.part import RawMesh, Solid, bulk_properties, make_solid
from printplan.part.bulk import principal_axes, surface_area_mm2

number = st.floats(-50, 50)
size = st.floats(1, 40)


def solid_of(points, faces):
    raw = RawMesh(
        path=Path("x.obj"),
        name="x",
        format_name="OBJ",
        points=np.array(points, dtype=float),
        faces=np.array(faces, dtype=np.int32),
        unit_mm=1.0,
    )
    solid, health = make_solid(raw)
    assert health.encloses_volume
    return solid


def rotation(axis, angle):
    return trimesh.transformations.rotation_matrix(angle, axis)[:3, :3]


BALL = trimesh.creation.icosphere(subdivisions=2)
WEDGE = trimesh.creation.cone(1.0, 2.0, sections=5)
SHAPES = [BALL, WEDGE, trimesh.creation.torus(3.0, 1.0), trimesh.creation.capsule(3.0, 1.0)]


def bent(shape, a, b, c):
    """A lopsided solid: stretched, then sheared so that no symmetry is left."""
    points = np.array(shape.vertices) * [a, b, c]
    points[:, 0] += 0.3 * points[:, 1] + 0.1 * points[:, 2]
    return points, shape.faces


def parallel(moments, volume, offset):
    """Inertia about a point at `offset` from the centroid (Steiner)."""
    return moments + volume * (offset @ offset * np.eye(3) - np.outer(offset, offset))


@settings(max_examples=60, deadline=None)
@given(
    shape=st.sampled_from(range(len(SHAPES))),
    sides=st.tuples(size, size, size),
    axis=st.tuples(number, number, number).filter(lambda v: np.linalg.norm(v) > 1e-3),
    angle=st.floats(-3.1, 3.1),
    shift=st.tuples(number, number, number),
)
def test_rigid_motion(shape, sides, axis, angle, shift):
    points, faces = bent(SHAPES[shape], *sides)
    turn = rotation(axis, angle)
    before = bulk_properties(solid_of(points, faces))
    after = bulk_properties(solid_of(points @ turn.T + shift, faces))
    scale = np.trace(before.inertia_mm5)
    assert after.volume_mm3 == pytest.approx(before.volume_mm3, rel=1e-9)
    assert after.surface_area_mm2 == pytest.approx(before.surface_area_mm2, rel=1e-9)
    assert after.centroid_mm == pytest.approx(turn @ before.centroid_mm + shift, abs=1e-7)
    np.testing.assert_allclose(
        after.inertia_mm5, turn @ before.inertia_mm5 @ turn.T, rtol=0, atol=1e-9 * scale
    )
    np.testing.assert_allclose(after.principal_mm5, before.principal_mm5, rtol=0, atol=1e-9 * scale)
    # the axes diagonalise, are right-handed and of unit length
    diagonal = after.principal_axes @ after.inertia_mm5 @ after.principal_axes.T
    np.testing.assert_allclose(diagonal, np.diag(after.principal_mm5), rtol=0, atol=2e-5 * scale)
    np.testing.assert_allclose(after.principal_axes @ after.principal_axes.T, np.eye(3), atol=1e-9)
    assert np.linalg.det(after.principal_axes) == pytest.approx(1.0)


@settings(max_examples=40, deadline=None)
@given(shape=st.sampled_from(range(len(SHAPES))), factor=st.floats(0.01, 100))
def test_uniform_scale(shape, factor):
    points, faces = bent(SHAPES[shape], 3, 2, 1)
    one = bulk_properties(solid_of(points, faces))
    other = bulk_properties(solid_of(points * factor, faces))
    assert other.volume_mm3 == pytest.approx(one.volume_mm3 * factor**3, rel=1e-9)
    assert other.surface_area_mm2 == pytest.approx(one.surface_area_mm2 * factor**2, rel=1e-9)
    scale = np.trace(one.inertia_mm5)
    np.testing.assert_allclose(
        other.inertia_mm5 / factor**5, one.inertia_mm5, rtol=0, atol=1e-9 * scale
    )


@settings(max_examples=40, deadline=None)
@given(
    first=st.sampled_from(range(len(SHAPES))),
    second=st.sampled_from(range(len(SHAPES))),
    sides=st.tuples(size, size, size),
    shift=st.tuples(st.floats(300, 400), number, number),
)
def test_bodies_add_up(first, second, sides, shift):
    points, faces = bent(SHAPES[first], *sides)
    others, other_faces = bent(SHAPES[second], *sides[::-1])
    others = others + shift
    one, two = (bulk_properties(solid_of(*s)) for s in ((points, faces), (others, other_faces)))
    joined = solid_of(
        np.concatenate([points, others]), np.concatenate([faces, other_faces + len(points)])
    )
    both = bulk_properties(joined)
    volume = one.volume_mm3 + two.volume_mm3
    centre = (one.volume_mm3 * one.centroid_mm + two.volume_mm3 * two.centroid_mm) / volume
    assert both.volume_mm3 == pytest.approx(volume, rel=1e-9)
    assert both.surface_area_mm2 == pytest.approx(one.surface_area_mm2 + two.surface_area_mm2)
    assert both.centroid_mm == pytest.approx(centre, abs=1e-6)
    inertia = sum(parallel(b.inertia_mm5, b.volume_mm3, b.centroid_mm - centre) for b in (one, two))
    np.testing.assert_allclose(
        both.inertia_mm5, inertia, rtol=0, atol=1e-9 * np.trace(both.inertia_mm5)
    )


@pytest.mark.parametrize("shape", range(len(SHAPES)))
def test_numbers_of_another_library(shape):
    """numpy-stl computes volume, centroid and inertia on its own, in double here."""
    points, faces = bent(SHAPES[shape], 30, 20, 10)
    points += [5.0, -7.0, 3.0]
    found = bulk_properties(solid_of(points, faces))
    # numpy-stl holds single precision: 1e-7 in each coordinate
    triangles = np.zeros(len(faces), dtype=numpy_stl.Mesh.dtype)
    triangles["vectors"] = points[faces]
    volume, centroid, inertia = numpy_stl.Mesh(triangles).get_mass_properties()
    assert found.volume_mm3 == pytest.approx(float(volume), rel=1e-5)
    assert found.centroid_mm == pytest.approx(centroid, abs=1e-4)
    np.testing.assert_allclose(found.inertia_mm5, inertia, atol=1e-5 * np.trace(inertia))
    assert found.surface_area_mm2 == pytest.approx(trimesh.Trimesh(points, faces).area, rel=1e-9)


def test_a_part_far_from_zero_keeps_its_digits():
    points, faces = bent(BALL, 3, 2, 1)
    near = bulk_properties(solid_of(points, faces))
    far = bulk_properties(solid_of(points + 1e6, faces))
    # coordinates of 1e6 carry 1e-10; the sums must not make that worse by 1e6 squared
    assert far.volume_mm3 == pytest.approx(near.volume_mm3, rel=1e-8)
    np.testing.assert_allclose(far.inertia_mm5, near.inertia_mm5, atol=1e-7 * near.volume_mm3)


def test_many_chunks_and_one_agree(monkeypatch):
    from printplan.part import bulk

    solid = solid_of(*bent(trimesh.creation.icosphere(subdivisions=4), 3, 2, 1))
    whole = bulk_properties(solid)
    monkeypatch.setattr(bulk, "CHUNK", 100)
    pieces = bulk_properties(solid)
    assert pieces.volume_mm3 == pytest.approx(whole.volume_mm3, rel=1e-12)
    np.testing.assert_allclose(pieces.inertia_mm5, whole.inertia_mm5, rtol=1e-9, atol=1e-9)
    area = surface_area_mm2(solid.vertices_mm, solid.faces)
    assert area == pytest.approx(whole.surface_area_mm2, rel=1e-12)


@pytest.mark.parametrize("axis", [0, 1, 2])
@pytest.mark.parametrize("rising", [True, False])
def test_equal_moments_take_coordinate_axes(axis, rising):
    """A body of revolution: the two undetermined axes do not depend on rounding noise."""
    moments = np.full(3, 10.0)
    moments[axis] = 12.0 if rising else 8.0
    noise = np.random.default_rng(0).normal(0, 1e-9, (3, 3))
    _, axes = principal_axes(np.diag(moments) + noise + noise.T)
    assert np.abs(axes[2 if rising else 0, axis]) == pytest.approx(1.0)
    assert np.sort(np.abs(axes), axis=None) == pytest.approx([0] * 6 + [1] * 3, abs=1e-6)
    assert np.linalg.det(axes) == pytest.approx(1.0)


def test_equal_moments_of_a_tilted_body():
    turn = rotation([1, 2, 3], 0.8)
    inertia = turn @ np.diag([5.0, 5.0, 9.0]) @ turn.T
    moments, axes = principal_axes(inertia)
    np.testing.assert_allclose(axes @ inertia @ axes.T, np.diag([5, 5, 9]), atol=1e-12)
    assert moments == pytest.approx([5, 5, 9])
    assert np.linalg.det(axes) == pytest.approx(1.0)


def test_open_and_empty_solids_have_no_volume():
    solid = solid_of(*bent(BALL, 1, 1, 1))
    opposite = solid.opposite.copy()
    opposite[0] = -1
    broken = Solid(
        name="b", vertices_mm=solid.vertices_mm, faces=solid.faces.copy(), opposite=opposite
    )
    with pytest.raises(InputError, match="b: its surface is open"):
        bulk_properties(broken)
    inside_out = Solid(
        name="i",
        vertices_mm=-solid.vertices_mm,
        faces=solid.faces.copy(),
        opposite=solid.opposite.copy(),
    )
    with pytest.raises(InputError, match="i: encloses no volume"):
        bulk_properties(inside_out)


def test_plain_values():
    found = bulk_properties(solid_of(*bent(BALL, 1, 1, 1))).to_dict()
    assert found["inertia_mm5"][0][1] == found["inertia_mm5"][1][0]
    assert len(found["box_mm"]) == 2
