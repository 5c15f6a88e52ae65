import numpy as np
import pytest
import shapely

from printplan.errors import InputError, OutOfRangeError
from printplan.part.solid import Solid
from printplan.process import Recipe, cut_layers, recipe, stack_of
from printplan.process.layers import in_two, layer_planes, simplified


def solid_of(mesh, name="part"):
    """A trimesh with paired half-edges."""
    corners = np.asarray(mesh.faces, dtype=np.int64)
    start, end = corners.ravel(), corners[:, [1, 2, 0]].ravel()
    edge = {(a, b): i for i, (a, b) in enumerate(zip(start, end, strict=True))}
    opposite = [edge.get((b, a), -1) for a, b in zip(start, end, strict=True)]
    return Solid(
        name=name,
        vertices_mm=np.array(mesh.vertices, dtype=np.float64),
        faces=corners.astype(np.int32),
        opposite=np.array(opposite, dtype=np.int32),
    )


def test_planes_lie_in_the_middle_of_layers():
    r = Recipe(layer_height_mm=0.2, first_layer_height_mm=0.3)
    assert layer_planes(1.1, r) == pytest.approx([0.15, 0.4, 0.6, 0.8, 1.0])
    # A layer whose middle lies above the part is not printed, one whose middle lies in it is.
    assert len(layer_planes(1.15, r)) == 5
    assert len(layer_planes(1.25, r)) == 6
    assert layer_planes(0.2, r) == pytest.approx([0.15])
    assert len(layer_planes(20.0, Recipe())) == 100
    assert len(layer_planes(20.0 + 1e-9, Recipe())) == 100
    with pytest.raises(OutOfRangeError, match="part height"):
        layer_planes(0.1, r)
    with pytest.raises(OutOfRangeError, match="check the unit"):
        layer_planes(9e6, r)


def test_cut_cylinder_is_one_outline():
    """A 64-sided cylinder lifted off the platform; section of a regular polygon in closed form."""
    import trimesh

    mesh = trimesh.creation.cylinder(radius=10, height=8, sections=64)
    mesh.apply_translation([3, 4, 17])
    stack = cut_layers(solid_of(mesh, "pin"), recipe("sturdy"))
    assert len(stack) == 40
    assert len(stack.outlines) == 2  # one outline and the empty one
    area = 64 / 2 * 100 * np.sin(2 * np.pi / 64)
    assert shapely.area(stack.outlines[stack.outline]) == pytest.approx(np.full(40, area))
    assert stack.extent_mm == pytest.approx([20, 20, 8], abs=0.05)
    assert stack.name == "pin"


def test_an_open_mesh_is_refused():
    import trimesh

    mesh = trimesh.creation.box((10, 10, 10))
    mesh.update_faces([i > 3 for i in range(12)])
    with pytest.raises(InputError, match="don't close; expected a closed mesh"):
        cut_layers(solid_of(mesh, "shell"), Recipe())


def test_cut_sphere_has_its_volume():
    """Layers of a sphere against the volume of the mesh: midpoint rule, 0.1 %."""
    import trimesh

    mesh = trimesh.creation.icosphere(subdivisions=4, radius=10)
    stack = cut_layers(solid_of(mesh), recipe("light"))
    volume = shapely.area(stack.outlines[stack.outline]) @ stack.thickness_mm
    assert volume == pytest.approx(mesh.volume, rel=1e-3)
    # The lower half mirrors the upper one; the empty outline comes on top.
    assert len(stack.outlines) == len(stack) / 2 + 1


def test_equal_layers_share_results():
    a, b = shapely.box(0, 0, 10, 10), shapely.box(0, 0, 10 + 1e-5, 10)
    c = shapely.box(0, 0, 11, 10)
    stack = stack_of([a, b, c, a, c], Recipe())
    assert stack.outline.tolist() == [0, 0, 1, 0, 1]
    # The first layer is a region of its own, since its speed and spacing may differ.
    assert len(stack.region_outline) == 3
    assert stack.region_first[stack.region].tolist() == [True, False, False, False, False]


def test_same_points_in_other_rings_are_not_equal():
    hole = [(2, 2), (2, 4), (4, 4), (4, 2)]
    holed = shapely.Polygon(shapely.box(0, 0, 10, 10).exterior.coords, [hole])
    island = shapely.MultiPolygon([shapely.box(0, 0, 10, 10), shapely.box(2, 2, 4, 4)])
    assert len(stack_of([holed, holed, island], Recipe()).outlines) == 3


def test_offsets_against_manifold():
    """Inward offsets of a toothed plate by an independent library, mitred. Decimation by at most
    0.01 mm touches few points: a tenth of that along the outline is allowed."""
    from manifold3d import CrossSection, FillRule, JoinType

    angle = np.linspace(0, 2 * np.pi, 120, endpoint=False)
    radius = 15 + np.clip(2 * np.sin(10 * angle), -1, 1)
    outer = np.c_[radius * np.cos(angle), radius * np.sin(angle)]
    hole = np.c_[4 * np.cos(-angle), 4 * np.sin(-angle)]
    r = Recipe(wall_count=4)
    plate = shapely.Polygon(outer, [hole])
    stack = stack_of([plate] * 3, r)
    section = CrossSection([outer, hole], FillRule.EvenOdd)
    for steps in (0, 1, 2, 3, 3.5):
        moved = section.offset(-(0.225 + steps * r.spacing_mm), JoinType.Miter, 2.0)
        assert stack.moved_in(steps)[1].area == pytest.approx(
            moved.area(), abs=0.001 * plate.length
        )


def test_what_is_emptied_stays_empty():
    stack = stack_of([shapely.box(0, 0, 1, 10), shapely.box(0, 0, 10, 10)], Recipe())
    assert [p.is_empty for p in stack.moved_in(2)] == [True, False]
    assert [p.is_empty for p in stack.moved_in(3)] == [True, False]
    assert [p.is_empty for p in stack.moved_in(1)] == [True, False]
    assert [p.is_empty for p in stack.moved_in(0)] == [False, False]


def test_simplified_keeps_islands():
    circle = shapely.Point(0, 0).buffer(10, quad_segs=200) - shapely.Point(0, 0).buffer(1)
    both = shapely.MultiPolygon([circle, shapely.Point(30, 0).buffer(0.02)])
    few = simplified(np.array([circle, both], dtype=object), 0.01)
    assert shapely.get_num_coordinates(few[0]) < shapely.get_num_coordinates(circle) / 3
    assert few[0].area == pytest.approx(circle.area, rel=1e-3)
    assert shapely.get_num_geometries(few[1]) == 2


def test_broken_outlines_are_mended():
    bow = shapely.Polygon([(0, 0), (10, 10), (10, 0), (0, 10)])
    stack = stack_of([bow], Recipe())
    assert shapely.is_valid(stack.outlines).all()
    assert stack.outlines[0].area == pytest.approx(50)


def test_nothing_to_print():
    for layers in ([], [shapely.Polygon()] * 3):
        with pytest.raises(InputError, match="no layer has an area"):
            stack_of(layers, Recipe())


def test_two_threads_keep_the_order():
    numbers = np.arange(101)
    assert (in_two(lambda x: x * 2, numbers) == numbers * 2).all()


def test_fits():
    stack = stack_of([shapely.box(0, 0, 9, 9)], Recipe())
    assert stack.fits(Recipe(wall_count=9))
    assert not stack.fits(Recipe(layer_height_mm=0.15))
    assert not stack.fits(Recipe(line_width_mm=0.5))
