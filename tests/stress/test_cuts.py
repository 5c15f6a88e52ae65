"""Stress in cuts through meshes: beams with a closed form, printed structure, islands, errors."""

import math

import numpy as np
import pytest
import shapely
import trimesh
from shapely import Polygon, box

from printplan.errors import InputError, OutOfRangeError
from printplan.part.solid import Solid
from printplan.stress.bending import normal_stress_mpa
from printplan.stress.cuts import PointLoad, cut_stresses
from printplan.stress.planes import cut_directions, frame_across, whole_sections
from printplan.stress.section_moments import polygon_moments

LENGTH = 100.0


def solid_of(mesh):
    """Pair the edges of a trimesh the slow way."""
    faces = np.asarray(mesh.faces, dtype=np.int32)
    owner = {
        (int(face[k]), int(face[(k + 1) % 3])): 3 * t + k
        for t, face in enumerate(faces)
        for k in range(3)
    }
    opposite = np.full(3 * len(faces), -1, dtype=np.int32)
    for (a, b), half_edge in owner.items():
        opposite[half_edge] = owner.get((b, a), -1)
    return Solid(
        name="test",
        vertices_mm=np.array(mesh.vertices, dtype=np.float64),
        faces=faces,
        opposite=opposite,
    )


def bar(outline, length=LENGTH):
    """Extrude an outline along z and turn it so that it lies along x: (u, v) become (y, z)."""
    mesh = trimesh.creation.extrude_polygon(outline, length)
    mesh.vertices = mesh.vertices[:, [2, 0, 1]]
    return solid_of(mesh)


def regular(corners, radius):
    angles = 2 * np.pi * np.arange(corners) / corners
    return Polygon(np.column_stack([radius * np.cos(angles), radius * np.sin(angles)]))


ANGLE = Polygon([(0, 0), (20, 0), (20, 4), (4, 4), (4, 30), (0, 30)])
SECTIONS = {
    "rectangle": box(-5, -10, 5, 10),
    "hexagon": regular(6, 17 / math.sqrt(3)),
    "tube": regular(48, 12) - regular(48, 8),
    "angle": ANGLE,
}
#: At the centroid of the end face.
DOWN = (0.0, 0.0, -100.0)


def tip_of(outline):
    y, z = polygon_moments(outline).centre_mm
    return (LENGTH, float(y), float(z))


def root_of(outline):
    return (0.0, *tip_of(outline)[1:])


@pytest.mark.parametrize("name", SECTIONS)
@pytest.mark.parametrize("force", [DOWN, (40.0, 70.0, -100.0), (-500.0, 0.0, 0.0)])
def test_prismatic_cantilever(name, force):
    """Every cut gives the closed form of its own lever arm, for any section and load."""
    outline = SECTIONS[name]
    tip, root = tip_of(outline), root_of(outline)
    got = cut_stresses(bar(outline), [PointLoad(force_n=force, at_mm=tip)], root, stations=7)
    assert got.warnings == ()
    assert len(got.area_mm2) == 7
    moments = polygon_moments(outline)
    corners = shapely.get_coordinates(outline)
    for cut in range(7):
        arm = LENGTH - got.centroid_mm[cut, 0]
        # M = arm x F about the y and z axes.
        stress = normal_stress_mpa(
            corners,
            moments,
            axial_n=force[0],
            moment_u_nmm=-arm * force[2],
            moment_v_nmm=arm * force[1],
        )
        assert got.stress_max_mpa[cut] == pytest.approx(stress.max(), rel=1e-6, abs=1e-9)
        assert got.stress_min_mpa[cut] == pytest.approx(stress.min(), rel=1e-6, abs=1e-9)
        assert got.area_mm2[cut] == pytest.approx(moments.area_mm2)
        assert got.shear_n[cut] == pytest.approx(math.hypot(force[1], force[2]), abs=1e-9)
        assert got.torque_nmm[cut] == pytest.approx(0, abs=1e-6)


def test_rectangle_by_hand():
    """100 N at 99.9 mm on 10 x 20: 6 F l/(b h^2) = 14.985 MPa, 1.5 F/A = 0.75 MPa."""
    got = cut_stresses(
        bar(SECTIONS["rectangle"]), [PointLoad(force_n=DOWN, at_mm=(100, 0, 0))], (0, 0, 0)
    )
    assert got.stress_max_mpa[0] == pytest.approx(6 * 100 * 99.9 / (10 * 400))
    assert got.stress_min_mpa[0] == pytest.approx(-6 * 100 * 99.9 / (10 * 400))
    assert got.shear_mpa[0] == pytest.approx(0.75)
    # The bar was printed lying down: the pull runs along the layers.
    assert got.worst["in-layer tension"].stress_mpa == pytest.approx(14.985)
    assert got.worst["in-layer tension"].place_mm == pytest.approx((0.1, -5, 10), abs=1e-6) or (
        got.worst["in-layer tension"].place_mm == pytest.approx((0.1, 5, 10), abs=1e-6)
    )
    assert got.worst["interlayer tension"].stress_mpa == pytest.approx(0, abs=1e-9)
    assert got.worst["interlayer shear"].stress_mpa == pytest.approx(0.75)


def test_upright_print_pulls_its_layers_apart():
    got = cut_stresses(
        bar(SECTIONS["rectangle"]),
        [PointLoad(force_n=DOWN, at_mm=(100, 0, 0))],
        (0, 0, 0),
        build_direction=(1, 0, 0),
    )
    assert got.worst["interlayer tension"].stress_mpa == pytest.approx(14.985)
    assert got.worst["in-layer tension"].stress_mpa == pytest.approx(0, abs=1e-9)
    assert got.worst["in-layer shear"].stress_mpa == pytest.approx(0, abs=1e-9)


def test_slanted_layers_split_the_pull():
    """Pure pull of 10 MPa at 30 deg to the build direction: Mohr's circle."""
    build = (math.cos(math.radians(30)), 0.0, math.sin(math.radians(30)))
    got = cut_stresses(
        bar(SECTIONS["rectangle"]),
        [PointLoad(force_n=(2000, 0, 0), at_mm=(100, 0, 0))],
        (0, 0, 0),
        build_direction=build,
    )
    worst = got.worst
    assert worst["interlayer tension"].stress_mpa == pytest.approx(10 * 0.75)
    assert worst["in-layer tension"].stress_mpa == pytest.approx(10 * 0.25)
    assert worst["interlayer shear"].stress_mpa == pytest.approx(10 * math.sqrt(3) / 4)


def test_pushing_doesnt_open_layers():
    got = cut_stresses(
        bar(SECTIONS["rectangle"]),
        [PointLoad(force_n=(-2000, 0, 0), at_mm=(100, 0, 0))],
        (0, 0, 0),
        build_direction=(1, 0, 0),
    )
    assert got.worst["interlayer tension"].stress_mpa == 0
    assert got.stress_min_mpa == pytest.approx(np.full(60, -10.0))


def test_torque_on_a_tube():
    """20 N m on 24/16 mm: 16 T D/(pi (D^4 - d^4)), on the safe side by up to 20 %."""
    got = cut_stresses(
        bar(SECTIONS["tube"]),
        [PointLoad(force_n=(0, 0, 0), at_mm=(100, 0, 0), moment_nmm=(20e3, 0, 0))],
        (0, 0, 0),
        stations=5,
    )
    exact = 16 * 20e3 * 24 / (math.pi * (24**4 - 16**4))
    assert got.torque_nmm == pytest.approx(np.full(5, 20e3))
    assert np.all(got.shear_mpa >= exact)
    assert np.all(got.shear_mpa <= 1.2 * exact)
    assert got.stress_max_mpa == pytest.approx(np.zeros(5), abs=1e-9)


def test_double_load_doubles_and_loads_add_up():
    part = bar(ANGLE)
    one = PointLoad(force_n=(10, 20, -30), at_mm=(100, 5, 10), moment_nmm=(500, 0, 0))
    two = PointLoad(force_n=(20, 40, -60), at_mm=(100, 5, 10), moment_nmm=(1000, 0, 0))
    single = cut_stresses(part, [one], (0, 5, 10), stations=5)
    double = cut_stresses(part, [two], (0, 5, 10), stations=5)
    twice = cut_stresses(part, [one, one], (0, 5, 10), stations=5)
    for column in ("stress_max_mpa", "stress_min_mpa", "shear_mpa", "bending_nmm"):
        assert getattr(double, column) == pytest.approx(2 * getattr(single, column))
        assert getattr(twice, column) == pytest.approx(getattr(double, column))


def test_mirrored_load_mirrors_the_stress():
    part = bar(SECTIONS["hexagon"])
    up, down = (
        cut_stresses(part, [PointLoad(force_n=(0, 0, f), at_mm=(100, 0, 0))], (0, 0, 0), stations=5)
        for f in (50.0, -50.0)
    )
    assert up.stress_max_mpa == pytest.approx(-down.stress_min_mpa)
    assert up.shear_mpa == pytest.approx(down.shear_mpa)


def test_turned_part_gives_the_same():
    """A frame-free result: part, loads, hold and build direction turned together."""
    rotation = trimesh.transformations.rotation_matrix(0.7, [1, 2, 3])[:3, :3]
    part = bar(ANGLE)
    load = PointLoad(force_n=(10, 20, -30), at_mm=(100, 5.5, 10.5), moment_nmm=(500, 0, 0))
    turned = PointLoad(
        force_n=tuple(rotation @ load.force_n),
        at_mm=tuple(rotation @ load.at_mm),
        moment_nmm=tuple(rotation @ load.moment_nmm),
    )
    hold = np.array([0.0, 5.5, 10.5])
    here = cut_stresses(part, [load], hold, stations=4)
    there = cut_stresses(
        part.turned(rotation),
        [turned],
        rotation @ hold,
        build_direction=rotation @ [0, 0, 1],
        stations=4,
    )
    for column in ("stress_max_mpa", "shear_mpa", "interlayer_shear_mpa"):
        assert getattr(there, column)[:4] == pytest.approx(getattr(here, column), rel=1e-6)


def test_shell_and_core_raise_the_stress():
    part, load = bar(SECTIONS["rectangle"]), PointLoad(force_n=DOWN, at_mm=(100, 0, 0))
    got = cut_stresses(part, [load], (0, 0, 0), shell_mm=1.2, core_factor=0.1, stations=3)
    inertia = (10 * 20**3 - 0.9 * 7.6 * 17.6**3) / 12
    assert got.stress_max_mpa[0] == pytest.approx(100 * 99.9 * 10 / inertia, rel=1e-6)


def test_bracket_is_cut_square_to_both_arms():
    """An L-shaped bracket held at the foot: the arm's root is found by the cuts across x.

    Upright 10 x 10 from z = 0 to 80, arm 10 x 10 from x = 0 to 60 at the top, 50 N down at the
    arm's end: M = 50 x (58 - 5) in the upright, 6 M/h^3 plus the push.
    """
    profile = Polygon([(0, 0), (10, 0), (10, 70), (60, 70), (60, 80), (0, 80)])
    mesh = trimesh.creation.extrude_polygon(profile, 10.0)
    mesh.vertices = mesh.vertices[:, [0, 2, 1]]
    mesh.invert()
    got = cut_stresses(
        solid_of(mesh), [PointLoad(force_n=(0, 0, -50.0), at_mm=(58, 5, 75))], (5, 5, 0)
    )
    upright = np.abs(got.normal[:, 2]) > 0.999
    below = upright & (got.centroid_mm[:, 2] < 69)
    assert got.stress_max_mpa[below] == pytest.approx(
        np.full(below.sum(), 6 * 50 * 53 / 1000 - 50 / 100), rel=1e-9
    )
    assert got.area_mm2[below] == pytest.approx(np.full(below.sum(), 100.0))
    arm = (np.abs(got.normal[:, 0]) > 0.999) & (got.centroid_mm[:, 0] > 11)
    lever = 58 - got.centroid_mm[arm, 0]
    assert got.stress_max_mpa[arm] == pytest.approx(6 * 50 * lever / 1000, rel=1e-9)


def test_rib_beside_the_way_is_left_out():
    """A dead-end post stands beside the loaded one on a common plate: it must not help."""
    profile = Polygon(
        [(0, 0), (100, 0), (100, 60), (90, 60), (90, 10), (10, 10), (10, 100), (0, 100)]
    )
    mesh = trimesh.creation.extrude_polygon(profile, 10.0)
    mesh.vertices = mesh.vertices[:, [0, 2, 1]]
    mesh.invert()
    got = cut_stresses(
        solid_of(mesh), [PointLoad(force_n=(20.0, 0, 0), at_mm=(5, 5, 99))], (5, 5, 0)
    )
    above = got.centroid_mm[:, 2] > 11
    assert got.area_mm2[above] == pytest.approx(np.full(above.sum(), 100.0))
    assert got.stress_max_mpa[above] == pytest.approx(
        6 * 20 * (99 - got.centroid_mm[above, 2]) / 1000
    )
    assert any("left out" in warning for warning in got.warnings)


def test_two_legs_carry_together():
    """A frame of two legs and a yoke: both count, with a warning."""
    frame = box(0, 0, 50, 100) - box(10, 10, 40, 90)
    mesh = trimesh.creation.extrude_polygon(frame, 10.0)
    mesh.vertices = mesh.vertices[:, [0, 2, 1]]
    mesh.invert()
    got = cut_stresses(
        solid_of(mesh), [PointLoad(force_n=(0, 0, 1000.0), at_mm=(25, 5, 100))], (25, 5, 0)
    )
    middle = (got.centroid_mm[:, 2] > 11) & (got.centroid_mm[:, 2] < 89)
    assert got.stress_max_mpa[middle] == pytest.approx(np.full(middle.sum(), 5.0))
    assert any("one stiff section" in warning for warning in got.warnings)


def test_loads_on_both_sides_of_the_hold():
    """A bar held in the middle: each half carries its own load."""
    part = bar(SECTIONS["rectangle"])
    loads = [
        PointLoad(force_n=DOWN, at_mm=(100, 0, 0)),
        PointLoad(force_n=(0, 0, -50.0), at_mm=(0, 0, 0)),
    ]
    got = cut_stresses(part, loads, (50, 0, 0), stations=5)
    right, left = got.normal[:, 0] > 0, got.normal[:, 0] < 0
    assert right.sum() == left.sum() == 5
    assert got.stress_max_mpa[right].max() == pytest.approx(6 * 100 * 49.95 / 4000)
    assert got.stress_max_mpa[left].max() == pytest.approx(6 * 50 * 49.95 / 4000)


def test_tips_beside_a_load_are_left_out():
    """A ball pulled at its pole: only a sliver is met next to it, and near the hold's pole."""
    ball = solid_of(trimesh.creation.icosphere(subdivisions=3, radius=20.0))
    got = cut_stresses(ball, [PointLoad(force_n=(0, 0, 500.0), at_mm=(0, 0, 20))], (0, 0, -20))
    assert any("only a tip" in warning for warning in got.warnings)
    assert got.stress_max_mpa.max() < 500 / (0.3 * math.pi * 20**2)
    assert got.stress_max_mpa.min() == pytest.approx(500 / (math.pi * 20**2), rel=0.02)


def test_neck_before_a_wide_end_is_kept():
    profile = Polygon(
        [(0, 0), (40, 0), (40, 40), (22, 40), (22, 44), (40, 44), (40, 60), (0, 60), (0, 44)],
    ) - box(-1, 40, 18, 44)
    mesh = trimesh.creation.extrude_polygon(profile, 10.0)
    mesh.vertices = mesh.vertices[:, [0, 2, 1]]
    mesh.invert()
    got = cut_stresses(
        solid_of(mesh), [PointLoad(force_n=(0, 0, 400.0), at_mm=(20, 5, 47))], (20, 5, 0)
    )
    assert got.worst["interlayer tension"].stress_mpa == pytest.approx(400 / 40)
    assert 40 < got.worst["interlayer tension"].place_mm[2] < 44


def test_whole_sections_of_simple_rows():
    station = np.linspace(0.1, 99.9, 5)
    bar_areas = np.full(5, 200.0)
    assert whole_sections(bar_areas, station, 100.0).all()
    wedge = np.array([400.0, 300.0, 200.0, 100.0, 1.0])
    assert whole_sections(wedge, station, 100.0).tolist() == [True, True, True, True, False]
    assert whole_sections(np.array([1.0, 2.0]), np.array([0.1, 0.2]), 0.3).any()


def test_table():
    frame = cut_stresses(
        bar(SECTIONS["rectangle"]), [PointLoad(force_n=DOWN, at_mm=(100, 0, 0))], (0, 0, 0)
    ).to_frame()
    assert len(frame) == 60
    assert {"centroid_x_mm", "normal_z", "place_y_mm", "interlayer_shear_mpa"} <= set(frame)


@pytest.mark.parametrize(
    ("change", "error", "message"),
    [
        ({"loads": []}, InputError, "one or more"),
        ({"held_at_mm": (100, 0, 0)}, InputError, "every load acts at held_at_mm"),
        ({"held_at_mm": (0, math.nan, 0)}, InputError, "three finite numbers"),
        ({"build_direction": (0, 0, 0)}, InputError, "not a zero vector"),
        ({"stations": 1}, OutOfRangeError, "2 or more"),
        ({"core_factor": 0.5}, OutOfRangeError, "give shell_mm"),
        ({"held_at_mm": (500, 0, 0)}, InputError, "meets material"),
    ],
)
def test_refusals(change, error, message):
    good = {
        "solid": bar(SECTIONS["rectangle"]),
        "loads": [PointLoad(force_n=DOWN, at_mm=(100, 0, 0))],
        "held_at_mm": (0, 0, 0),
    }
    with pytest.raises(error, match=message):
        cut_stresses(**(good | change))


def test_open_mesh_is_refused():
    part = bar(SECTIONS["rectangle"])
    open_part = Solid(
        name="open",
        vertices_mm=part.vertices_mm.copy(),
        faces=part.faces[:-1].copy(),
        opposite=np.full(3 * (len(part.faces) - 1), -1, dtype=np.int32),
    )
    with pytest.raises(InputError, match="closed mesh"):
        cut_stresses(open_part, [PointLoad(force_n=DOWN, at_mm=(100, 0, 0))], (0, 0, 0))


def test_directions_and_frames():
    hold = np.zeros(3)
    straight = cut_directions(hold, np.array([[100.0, 0, 0]]))
    assert len(straight) == 1
    corner = cut_directions(hold, np.array([[100.0, 0, 80.0]]))
    assert len(corner) == 3
    assert cut_directions(hold, np.array([[100.0, 10.0, 0]]))[0] == pytest.approx(
        np.array([100, 10, 0]) / math.hypot(100, 10)
    )
    for normal in corner:
        u, v = frame_across(normal)
        assert np.cross(u, v) == pytest.approx(normal)
