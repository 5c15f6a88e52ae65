"""Standing a part on the plate, and what hangs over."""

import math

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from printplan.errors import InputError, OutOfRangeError, UnknownNameError
from printplan.part.orientation import (
    first_layer_contact_mm2,
    overhang_area,
    rotation_to_up,
    stand,
)
from printplan.part.reading.topology import pair_half_edges
from printplan.part.solid import Solid


def of_mesh(mesh: trimesh.Trimesh) -> Solid:
    vertices = np.array(mesh.vertices, dtype=np.float64)
    faces = np.array(mesh.faces, dtype=np.int32)
    opposite = np.maximum(pair_half_edges(vertices, faces).opposite, -1).astype(np.int32)
    return Solid(name="shape", vertices_mm=vertices, faces=faces, opposite=opposite)


AXES = {f"{s}{a}": v * np.eye(3)[i] for i, a in enumerate("xyz") for s, v in (("+", 1), ("-", -1))}


@pytest.mark.parametrize("up", AXES)
def test_axes_turn_exactly(up):
    turn = rotation_to_up(up)
    np.testing.assert_array_equal(turn @ AXES[up], [0, 0, 1])
    np.testing.assert_array_equal(turn @ turn.T, np.eye(3))
    assert np.linalg.det(turn) == pytest.approx(1.0)
    np.testing.assert_array_equal(rotation_to_up(7.0 * AXES[up]), turn)


@settings(max_examples=200)
@given(st.tuples(*[st.floats(-1e3, 1e3)] * 3).filter(lambda v: max(map(abs, v)) > 1e-3))
def test_any_direction_turns_up_without_mirror(up):
    turn = rotation_to_up(up)
    np.testing.assert_allclose(turn @ np.array(up), [0, 0, np.linalg.norm(up)], atol=1e-9)
    np.testing.assert_allclose(turn @ turn.T, np.eye(3), atol=1e-12)
    assert np.linalg.det(turn) == pytest.approx(1.0)


def test_shortest_turn():
    """The angle of a rotation is arccos((trace - 1) / 2); here the direction leans by 30°."""
    turn = rotation_to_up((math.sin(math.radians(30)), 0, math.cos(math.radians(30))))
    assert math.degrees(math.acos((np.trace(turn) - 1) / 2)) == pytest.approx(30)


@pytest.mark.parametrize("up", ["up", "x+", "", "+w"])
def test_unknown_direction(up):
    with pytest.raises(UnknownNameError, match="direction"):
        rotation_to_up(up)


@pytest.mark.parametrize("up", [(0, 0, 0), (1, 0), (math.nan, 0, 1)])
def test_bad_vector(up):
    with pytest.raises(InputError, match="three finite numbers"):
        rotation_to_up(up)


def test_standing_part_rests_in_the_middle_of_the_plate():
    box = trimesh.creation.box((10, 20, 30))
    box.apply_translation((100, 200, 300))
    standing = stand(of_mesh(box), "+x")
    np.testing.assert_allclose(standing.box_mm, [[-15, -10, 0], [15, 10, 10]])
    assert standing.closed
    assert trimesh.Trimesh(standing.vertices_mm, standing.faces).volume == pytest.approx(6000)


def leaning_prism(overhang_deg: float) -> Solid:
    """A block 10 x 10 x 10 whose face at +x leans out by an angle from the vertical."""
    out = 10 * math.tan(math.radians(overhang_deg))
    corners = [(0, y, z) for y in (0, 10) for z in (0, 10)]
    corners += [(10, 0, 0), (10, 10, 0), (10 + out, 0, 10), (10 + out, 10, 10)]
    return of_mesh(trimesh.convex.convex_hull(np.array(corners, float)))


@pytest.mark.parametrize("angle", [20.0, 44.0, 46.0, 70.0])
def test_leaning_face_counts_beyond_the_limit(angle):
    face = 10 * 10 / math.cos(math.radians(angle))
    solid = leaning_prism(angle)
    assert overhang_area(solid, 45) == pytest.approx(face if angle > 45 else 0.0)
    assert overhang_area(solid, angle + 1) == 0
    assert overhang_area(solid, angle - 1) == pytest.approx(face)
    # exactly at the limit it carries itself
    assert overhang_area(solid, angle) == 0
    assert first_layer_contact_mm2(solid) == pytest.approx(100)


def test_ceiling_counts_and_the_bed_does_not():
    table = trimesh.util.concatenate(
        [
            trimesh.creation.box(bounds=[[0, 0, 0], [4, 4, 8]]),
            trimesh.creation.box(bounds=[[-6, -6, 8], [10, 10, 11]]),
        ]
    )
    solid = of_mesh(table)
    # two bodies that touch: the plate's whole underside faces down
    assert overhang_area(solid) == pytest.approx(256)
    assert first_layer_contact_mm2(solid) == pytest.approx(16)
    assert overhang_area(stand(solid, "-z")) == pytest.approx(16)
    assert first_layer_contact_mm2(stand(solid, "-z")) == pytest.approx(256)


def test_ball_against_the_closed_form():
    """Zone of a ball below -45°: 2 pi R² (1 - sin 45°) (derived)."""
    ball = stand(of_mesh(trimesh.creation.icosphere(6, radius=10)), "+z")
    exact = 2 * math.pi * 100 * (1 - math.sin(math.radians(45)))
    # facets straddle the limit: one row of 0.15 mm on a circle of 2 pi 7.07 mm is 4 %
    assert overhang_area(ball) == pytest.approx(exact, rel=0.02)
    assert first_layer_contact_mm2(ball) < 3.0


def test_limit_out_of_range():
    with pytest.raises(OutOfRangeError, match="limit_deg = 95"):
        overhang_area(leaning_prism(10), 95)
