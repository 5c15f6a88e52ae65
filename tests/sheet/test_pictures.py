"""Pictures: scale, direction, colour where thin, numbers where they belong."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
import trimesh
from PIL import Image

from printplan.part.thickness import ThinRegion, wall_thickness
from printplan.sheet.colours import thin_colours
from printplan.sheet.pictures import HEIGHT, WIDTH, draw_part
from printplan.sheet.shapes import motion_between, projection_of, shape_of


def pixels(view) -> np.ndarray:
    return np.asarray(Image.open(BytesIO(view.png)).convert("RGBA"), np.int64)


def yellowish(image: np.ndarray) -> np.ndarray:
    """Pixels more yellow than blue; grey-blue walls never are."""
    return (image[..., 3] > 200) & (image[..., 0] > image[..., 2] + 15)


def test_front_is_minus_y_and_up_is_up(make):
    cube = make.box(10, 10, 10)
    front = projection_of(cube, 0.0, 0.0, (100, 100))
    np.testing.assert_allclose(front.axes, [[1, 0, 0], [0, 0, 1], [0, -1, 0]], atol=1e-12)
    right = projection_of(cube, 90.0, 0.0, (100, 100))
    np.testing.assert_allclose(right.axes, [[0, 1, 0], [0, 0, 1], [1, 0, 0]], atol=1e-12)
    above = projection_of(cube, 0.0, 90.0, (100, 100))
    np.testing.assert_allclose(above.axes, [[1, 0, 0], [0, 1, 0], [0, 0, 1]], atol=1e-12)


@pytest.mark.parametrize("azimuth", [0.0, 30.0, 215.0])
def test_axes_are_a_rotation_and_pixels_lead_back(make, azimuth):
    solid = make.ring()
    projection = projection_of(solid, azimuth, 25.0, (WIDTH, HEIGHT))
    np.testing.assert_allclose(projection.axes @ projection.axes.T, np.eye(3), atol=1e-12)
    assert np.linalg.det(projection.axes) == pytest.approx(1.0)
    seen = projection.pixels(solid.vertices_mm)
    np.testing.assert_allclose(projection.points(seen), solid.vertices_mm, atol=1e-9)
    assert seen[:, 0].min() >= 0
    assert seen[:, 0].max() <= WIDTH
    assert seen[:, 1].min() >= 0
    assert seen[:, 1].max() <= HEIGHT


def test_scale_is_true(make):
    """A cube of 10 mm, drawn: width of its shadow over the scale that is stated."""
    solid = make.box(10, 10, 10)
    view = draw_part(solid, solid, wall_thickness(solid)).views[0]
    columns = np.flatnonzero((pixels(view)[..., 3] > 127).any(axis=0))
    azimuth = np.radians(30.0)  # nothing is thin: the first direction
    expected = 10.0 * (np.cos(azimuth) + np.sin(azimuth))
    drawn = (columns[-1] - columns[0] + 1) / view.pixels_per_mm
    assert drawn == pytest.approx(expected, abs=2.0 / view.pixels_per_mm)


def test_thick_part_has_no_colour_and_no_numbers(make):
    solid = make.ring()
    drawn = draw_part(solid, solid, wall_thickness(solid))
    assert not drawn.coloured
    for view in drawn.views:
        image = pixels(view)
        assert image.shape == (HEIGHT, WIDTH, 4)
        assert not view.marks
        assert not yellowish(image).any()
        assert image[0, 0, 3] == 0
        assert (image[..., 3] == 255).mean() > 0.2
    assert drawn.views[0].seen_from == "front right, above"
    assert drawn.views[1].seen_from == "back left, below"


def test_thin_wall_is_coloured_faced_and_numbered(make):
    solid = make.box(40.0, 0.8, 30.0)
    thickness = wall_thickness(solid)
    drawn = draw_part(solid, solid, thickness)
    assert drawn.coloured
    for view in drawn.views:
        assert yellowish(pixels(view)).mean() > 0.1
        assert [m.number for m in view.marks] == [1]
        mark = view.marks[0]
        image = pixels(view)
        assert image[int(mark.y * HEIGHT), int(mark.x * WIDTH), 3] == 255
    # a sheet in the plane y = const shows its face from the front, not its edge
    assert drawn.views[0].seen_from.startswith(("front", "back"))


def test_one_large_triangle_is_coloured_only_where_it_is_thin(make):
    solid = make.box(60.0, 60.0, 10.0)
    thickness = wall_thickness(solid)
    left = thickness.positions_mm[:, 0] < 30.0
    half = replace(thickness, sample_mm=np.where(left, 0.5, 10.0))
    image = pixels(draw_part(solid, solid, half).views[0])
    share = yellowish(image).sum() / (image[..., 3] > 200).sum()
    assert 0.3 < share < 0.7


def test_turned_part_keeps_its_colours(make):
    solid = make.box(40.0, 0.8, 30.0)
    quarter = np.array([[1.0, 0, 0], [0, 0, -1], [0, 1, 0]])
    standing = solid.turned(quarter)
    motion = motion_between(solid, standing)
    np.testing.assert_allclose(
        solid.vertices_mm @ motion[:3] + motion[3], standing.vertices_mm, atol=1e-9
    )
    shape = shape_of(standing, wall_thickness(solid), motion)
    low, high = standing.box_mm
    assert (shape.samples_mm >= low - 1e-6).all()
    assert (shape.samples_mm <= high + 1e-6).all()
    assert draw_part(standing, solid, wall_thickness(solid)).coloured


def test_round_surface_is_smooth_and_rim_is_sharp(make):
    """Normals on a cylinder's side point away from its axis; its two rims are edges."""
    solid = make.solid_of(trimesh.creation.cylinder(radius=10.0, height=6.0, sections=48))
    shape = shape_of(solid, wall_thickness(solid), motion_between(solid, solid))
    side = np.abs(shape.face_normal[:, 2]) < 0.5
    corner = solid.vertices_mm[solid.faces][side]
    away = corner[..., :2] / np.linalg.norm(corner[..., :2], axis=-1, keepdims=True)
    along = (shape.corner_normal[side][..., :2] * away).sum(axis=-1)
    # area-weighted means over two or three triangles turn by less than half a facet of 7.5°
    assert along.min() > np.cos(np.radians(7.5 / 2))
    assert shape.sharp.sum() == 2 * 48


def test_colours_run_from_yellow_to_blue():
    thinnest, limit = thin_colours(np.array([0.0, 1.0]))
    assert thinnest[0] > 0.9
    assert thinnest[2] < 0.4
    assert limit[2] > limit[0]


def test_a_thin_spot_colours_its_own_ground_only(make):
    """One thin sample among thick ones, 3 mm apart: what changes is its own cell."""
    solid = make.box(60.0, 60.0, 10.0)
    thick = replace(wall_thickness(solid, samples=1000), regions=())
    thick = replace(thick, sample_mm=np.full_like(thick.sample_mm, 10.0))
    x, y, z = thick.positions_mm.T
    middle = np.argmin(np.hypot(x - 30, y - 30) + 100 * (z < 9.9))
    values = thick.sample_mm.copy()
    values[middle] = 0.2
    view = draw_part(solid, solid, replace(thick, sample_mm=values)).views[0]
    area_mm2 = yellowish(pixels(view)).sum() / view.pixels_per_mm**2
    cell_mm2 = thick.sample_area_mm2[middle] * np.sin(np.radians(30.0))  # seen from 30° above
    assert 0.3 * cell_mm2 < area_mm2 < 2.0 * cell_mm2
    plain = pixels(draw_part(solid, solid, thick).views[0])
    blue = (pixels(view)[..., 2] > 1.4 * pixels(view)[..., 0]) & (
        plain[..., 2] < 1.3 * plain[..., 0]
    )
    assert blue.sum() / view.pixels_per_mm**2 < 0.5 * cell_mm2


def test_hidden_thin_place_gets_no_number(make):
    """Thin on one side face only: the view from the other side has nothing to point at."""
    solid = make.box(60.0, 60.0, 40.0)
    measured = wall_thickness(solid)
    at_back = measured.positions_mm[:, 1] > 60.0 - 1e-6
    region = ThinRegion(
        place_mm=(30.0, 60.0, 20.0),
        box_mm=((0.0, 60.0, 0.0), (60.0, 60.0, 40.0)),
        area_mm2=2400.0,
        thickness_mm=0.5,
        typical_mm=0.5,
        bead_widths=1.1,
        judged="one bead only",
        places_mm=((30.0, 60.0, 20.0),),
    )
    thin = replace(measured, sample_mm=np.where(at_back, 0.5, 10.0), regions=(region,))
    seen, hidden = draw_part(solid, solid, thin).views
    assert seen.seen_from.startswith("back")
    assert [m.number for m in seen.marks] == [1]
    assert hidden.marks == ()
    assert not yellowish(pixels(hidden)).any()
