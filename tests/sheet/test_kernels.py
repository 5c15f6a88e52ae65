"""The compiled loops against slow, obvious twins."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from printplan.sheet.render_kernels import draw_lines, draw_triangles


def triangles_twin(points, faces, shade, both_sides, height, width):
    """Every pixel of every triangle by barycentric coordinates, whole picture at once."""
    depth = np.full((height, width), np.inf, np.float32)
    face_at = np.full((height, width), -1, np.int32)
    shade_at = np.zeros((height, width), np.float32)
    x, y = np.meshgrid(np.arange(width) + 0.5, np.arange(height) + 0.5)
    for t, corner in enumerate(faces):
        (ax, ay, az), (bx, by, bz), (cx, cy, cz) = points[corner]
        area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
        if area == 0 or (area > 0 and not both_sides):
            continue
        wa = ((bx - x) * (cy - y) - (by - y) * (cx - x)) / area
        wb = ((cx - x) * (ay - y) - (cy - y) * (ax - x)) / area
        wc = 1 - wa - wb
        z = (wa * az + wb * bz + wc * cz).astype(np.float32)
        hit = (wa >= 0) & (wb >= 0) & (wc >= 0) & (z < depth)
        depth[hit] = z[hit]
        face_at[hit] = t
        shade_at[hit] = (wa * shade[t, 0] + wb * shade[t, 1] + wc * shade[t, 2])[hit]
    return depth, face_at, shade_at


def lines_twin(ends, strength, slack, depth):
    line_at = np.zeros_like(depth)
    height, width = depth.shape
    for start, end in ends:
        steps = max(1, math.ceil(max(abs(end - start)[:2])))
        for s in range(steps + 1):
            x, y, z = start + s / steps * (end - start)
            for i in (math.floor(y - 0.5), math.floor(y - 0.5) + 1):
                for j in (math.floor(x - 0.5), math.floor(x - 0.5) + 1):
                    if 0 <= i < height and 0 <= j < width and z - slack <= depth[i, j]:
                        line_at[i, j] = max(line_at[i, j], np.float32(strength))
    return line_at


def raster(points, faces, shade, both_sides=False, height=60, width=80):
    depth = np.full((height, width), np.inf, np.float32)
    face_at = np.full((height, width), -1, np.int32)
    shade_at = np.zeros((height, width), np.float32)
    draw_triangles(points, faces, shade, both_sides, depth, face_at, shade_at)
    return depth, face_at, shade_at


@pytest.mark.parametrize("both_sides", [False, True])
@pytest.mark.parametrize("seed", range(4))
def test_random_triangles_agree_with_twin(seed, both_sides):
    """Corners outside the picture, slivers and crossings included."""
    rng = np.random.default_rng(seed)
    points = rng.uniform([-20, -20, 0], [100, 80, 50], (60, 3))
    faces = rng.integers(0, 60, (80, 3)).astype(np.int32)
    faces[0] = [3, 3, 5]  # no area
    shade = rng.uniform(0, 1, (80, 3))
    ours = raster(points, faces, shade, both_sides)
    twin = triangles_twin(points, faces, shade, both_sides, 60, 80)
    # a pixel centre on an edge to the last bits may fall either way
    assert (ours[1] != twin[1]).mean() < 0.001
    same = (ours[1] == twin[1]) & (twin[1] >= 0)
    assert same.sum() > 1000
    np.testing.assert_allclose(ours[0][same], twin[0][same], atol=1e-3)
    np.testing.assert_allclose(ours[2][same], twin[2][same], atol=1e-4)


def test_ball_without_holes():
    """A closed ball covers its disc: shared edges let nothing through."""
    ball = trimesh.creation.icosphere(subdivisions=3, radius=25.0)
    points = np.array(ball.vertices) * [1, -1, -1] + [40, 30, 0]
    depth, face_at, _ = raster(points, np.asarray(ball.faces, np.int32), np.zeros((1280, 3)))
    x, y = np.meshgrid(np.arange(80) + 0.5 - 40, np.arange(60) + 0.5 - 30)
    inside = np.hypot(x, y) < 24.5
    assert (face_at[inside] >= 0).all()
    assert (face_at[np.hypot(x, y) > 25.1] == -1).all()
    # depth of a ball: chords of 1,280 triangles lie up to 0.1 mm inside it
    centre = np.hypot(x, y) < 10
    np.testing.assert_allclose(depth[centre], -np.sqrt(625 - (x**2 + y**2)[centre]), atol=0.12)


def test_sliver_covers_its_area():
    points = np.array([[1.2, 2.1, 0], [77.3, 55.8, 0], [77.9, 56.9, 0]])
    faces = np.array([[0, 1, 2]], np.int32)
    _, face_at, _ = raster(points, faces, np.zeros((1, 3)), both_sides=True)
    twin = triangles_twin(points, faces, np.zeros((1, 3)), True, 60, 80)
    assert (face_at == twin[1]).all()


def test_seen_from_inside_is_left_out():
    points = np.array([[10.0, 10, 0], [10, 50, 0], [60, 50, 0]])
    out = np.array([[0, 1, 2]], np.int32)  # y down: anticlockwise to the eye
    assert (raster(points, out, np.zeros((1, 3)))[1] >= 0).any()
    assert (raster(points, out[:, ::-1].copy(), np.zeros((1, 3)))[1] == -1).all()


@pytest.mark.parametrize("seed", range(4))
def test_lines_agree_with_twin(seed):
    rng = np.random.default_rng(seed)
    ends = rng.uniform([-20, -20, 0], [100, 80, 50], (12, 2, 3))
    depth = rng.uniform(0, 50, (60, 80)).astype(np.float32)
    line_at = np.zeros_like(depth)
    draw_lines(ends, 0.75, 2.0, depth, line_at)
    assert (line_at == lines_twin(ends, 0.75, 2.0, depth)).all()
    assert 0 < (line_at > 0).sum() < line_at.size


def test_hidden_line_is_not_drawn():
    ends = np.array([[[5.0, 30, 10], [75, 30, 10]]])
    depth = np.full((60, 80), 4.0, np.float32)
    depth[:, 40:] = 20.0
    line_at = np.zeros_like(depth)
    draw_lines(ends, 1.0, 3.0, depth, line_at)
    assert line_at[:, :40].max() == 0.0
    assert line_at[29:31, 41:74].min() == 1.0
