"""Joining, pairing, mending: what is found is named, and nothing is silently wrong."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh

from printplan.errors import MeshFileError
from printplan.part import RawMesh, bulk_properties, make_solid, split_bodies
from printplan.part.reading import topology

CORNERS = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)], dtype=float)
SIDES = np.array(
    [
        (0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1),
        (2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4), (1, 5, 7), (1, 7, 3),
    ],
    dtype=np.int32,
)  # fmt: skip


def box(size=(1, 1, 1), at=(0, 0, 0), inside_out=False):
    faces = SIDES[:, ::-1] if inside_out else SIDES
    return (CORNERS * size + at)[faces]


def soup(*pieces):
    """Triangles of several pieces, (m, 3, 3) each, as an STL file would give them."""
    return RawMesh(
        path=Path("soup.stl"),
        name="soup",
        format_name="STL",
        points=np.concatenate(pieces).reshape(-1, 3),
        faces=None,
        unit_mm=1.0,
    )


def made(*pieces):
    solid, health = make_solid(soup(*pieces))
    check_pairing(solid)
    return solid, health


def check_pairing(solid):
    """Partners run the opposite way along the same edge, and each is the other's partner."""
    tail = solid.faces.ravel()
    head = solid.faces[:, [1, 2, 0]].ravel()
    paired = np.flatnonzero(solid.opposite >= 0)
    partner = solid.opposite[paired]
    assert (solid.opposite[partner] == paired).all()
    assert (tail[partner] == head[paired]).all()
    assert (head[partner] == tail[paired]).all()
    assert solid.opposite.dtype == np.int32
    assert len(np.unique(solid.vertices_mm, axis=0)) == len(solid.vertices_mm)
    assert len(np.unique(solid.faces)) == len(solid.vertices_mm)


@pytest.fixture(params=["numpy", "compiled"])
def way(request, monkeypatch):
    """Run a test with the numpy path and with the compiled loops."""
    monkeypatch.setattr(topology, "COMPILED_FROM", 10**9 if request.param == "numpy" else 0)
    return request.param


def test_a_box_in_order(way):
    solid, health = made(box())
    assert len(solid.vertices_mm) == 8
    assert health.closed
    assert health.manifold
    assert health.encloses_volume
    assert health.winding_consistent
    assert health.outward
    assert (health.bodies, health.cavities, health.open_edges) == (1, 0, 0)
    assert health.mended == health.warnings == ()


def test_minus_zero_is_zero(way):
    triangles = box(at=(-0.0, 0, 0))
    triangles[:4][triangles[:4] == 0.0] = -0.0
    _, health = made(triangles)
    assert health.closed
    assert health.joined_vertices == 0


def test_single_precision_points_are_joined_in_single_precision(way):
    raw = soup(box(size=(0.1, 0.3, 0.7)))
    single = RawMesh(
        path=raw.path,
        name="a",
        format_name="STL",
        points=raw.points.astype(np.float32),
        faces=None,
        unit_mm=25.4,
    )
    solid, health = make_solid(single)
    assert health.closed
    assert bulk_properties(solid).volume_mm3 == pytest.approx(0.021 * 25.4**3, rel=1e-6)


def test_inside_out(way):
    solid, health = made(box(inside_out=True))
    assert not health.outward
    assert health.winding_consistent
    assert "inside out" in health.mended[0]
    assert bulk_properties(solid).volume_mm3 == pytest.approx(1.0)


def test_one_of_two_bodies_inside_out(way):
    solid, health = made(box(), box(at=(5, 0, 0), inside_out=True))
    assert (health.bodies, health.cavities) == (2, 0)
    assert not health.outward
    assert bulk_properties(solid).volume_mm3 == pytest.approx(2.0)


@pytest.mark.parametrize("count", [1, 2, 5])
def test_turned_triangles(way, count):
    triangles = box()
    triangles[:count] = triangles[:count, ::-1]
    solid, health = made(triangles)
    assert not health.winding_consistent
    assert health.outward
    assert health.mended == (f"{count} triangles turned to agree with their neighbours",)
    assert bulk_properties(solid).volume_mm3 == pytest.approx(1.0)


def test_most_triangles_turned(way):
    triangles = box()
    triangles[:9] = triangles[:9, ::-1]
    solid, health = made(triangles)
    assert not health.winding_consistent
    assert not health.outward
    assert bulk_properties(solid).volume_mm3 == pytest.approx(1.0)


def test_a_hole_is_not_mended_and_there_is_no_volume(way):
    solid, health = made(box()[1:])
    assert not health.closed
    assert not health.encloses_volume
    assert health.open_edges == 3
    assert "not closed: 3 open edges" in health.warnings[0]
    assert not solid.closed
    with pytest.raises(ValueError, match="surface is open"):
        bulk_properties(solid)


def test_degenerate_and_doubled_triangles_are_dropped(way):
    flat = np.array([[[0, 0, 0], [0, 0, 0], [1, 1, 1]]], dtype=float)
    solid, health = made(box(), flat, box()[:2], box()[3:4, [1, 2, 0]])
    assert health.degenerate_faces == 1
    assert health.duplicate_faces == 3
    assert len(health.mended) == 2
    assert health.closed
    assert len(solid.faces) == 12
    assert bulk_properties(solid).volume_mm3 == pytest.approx(1.0)


def test_a_triangle_doubled_the_other_way_round(way):
    solid, health = made(box(), box()[2:3, ::-1])
    assert health.duplicate_faces == 1
    assert bulk_properties(solid).volume_mm3 == pytest.approx(1.0)


def test_a_sliver_with_three_corners_stays_since_it_closes(way):
    """A corner in the middle of an edge, on one side only, needs a triangle without area."""
    triangles = box()
    a, b, c = triangles[0]
    middle = (a + b) / 2
    split = np.array([[a, middle, c], [middle, b, c], [a, b, middle]])
    solid, health = made(triangles[1:], split)
    assert health.closed
    assert len(solid.faces) == 14
    assert bulk_properties(solid).volume_mm3 == pytest.approx(1.0)


def test_doubled_sheet_encloses_nothing(way):
    sheet = box()[:2]
    _, health = made(sheet, sheet[:, ::-1])
    assert not health.encloses_volume
    assert health.warnings


def test_everything_drawn_from_both_sides(way):
    solid, health = made(box(), box(inside_out=True))
    assert health.duplicate_faces == 12
    assert health.encloses_volume
    assert bulk_properties(solid).volume_mm3 == pytest.approx(1.0)


def test_moebius_band(way):
    count = 24
    turn = 2 * np.pi * np.arange(count + 1) / count
    inner, outer = (
        np.stack(
            [
                (10 + side * np.cos(turn / 2)) * np.cos(turn),
                (10 + side * np.cos(turn / 2)) * np.sin(turn),
                side * np.sin(turn / 2),
            ],
            axis=1,
        )
        for side in (-2, 2)
    )
    inner[-1], outer[-1] = outer[0], inner[0]
    first = np.stack([inner[:-1], outer[:-1], outer[1:]], axis=1)
    second = np.stack([inner[:-1], outer[1:], inner[1:]], axis=1)
    _, health = made(first, second)
    assert not health.encloses_volume
    assert "one side only" in health.warnings[0]


def test_cavity(way):
    solid, health = made(box((10, 10, 10)), box((2, 2, 2), (3, 3, 3), inside_out=True))
    assert (health.bodies, health.cavities) == (1, 1)
    assert health.outward
    assert bulk_properties(solid).volume_mm3 == pytest.approx(1000 - 8)
    assert split_bodies(solid) == [solid]


def test_cavity_of_a_part_inside_out(way):
    solid, health = made(box((10, 10, 10), inside_out=True), box((2, 2, 2), (3, 3, 3)))
    assert not health.outward
    assert (health.bodies, health.cavities) == (1, 1)
    assert bulk_properties(solid).volume_mm3 == pytest.approx(1000 - 8)


def test_body_in_a_cavity_and_split(way):
    solid, health = made(
        box((1, 1, 1), (4, 4, 4)),
        box((10, 10, 10)),
        box((4, 4, 4), (3, 3, 3), inside_out=True),
        box((1, 2, 3), (50, 0, 0)),
    )
    assert (health.bodies, health.cavities) == (3, 1)
    assert health.warnings == ()
    bodies = split_bodies(solid)
    for body in bodies:
        check_pairing(body)
    assert [b.name for b in bodies] == ["soup 1", "soup 2", "soup 3"]
    assert [bulk_properties(b).volume_mm3 for b in bodies] == pytest.approx([1, 1000 - 64, 6])


def test_body_in_a_body_is_warned_of(way):
    _, health = made(box((10, 10, 10)), box((2, 2, 2), (3, 3, 3)))
    assert "1 bodies lie inside another body" in health.warnings[0]


def test_crossing_bars_are_warned_of(way):
    _, health = made(box((10, 1, 1)), box((1, 10, 1), (4, -4, 0.2)))
    assert "1 pairs of bodies have overlapping boxes" in health.warnings[0]


@pytest.mark.parametrize("at", [(1, 1, 0), (1, 1, 1)], ids=["edge", "corner"])
def test_boxes_that_touch_stay_two_bodies(way, at):
    solid, health = made(box(), box(at=at))
    assert health.bodies == 2
    assert health.crowded_edges == (1 if at[2] == 0 else 0)
    assert health.manifold == (at[2] != 0)
    assert health.closed
    assert bulk_properties(solid).volume_mm3 == pytest.approx(2.0)
    assert [bulk_properties(b).volume_mm3 for b in split_bodies(solid)] == pytest.approx([1, 1])


def test_boxes_that_share_a_wall(way):
    solid, health = made(box(), box(at=(1, 0, 0)))
    assert health.closed
    assert health.bodies == 2
    assert health.duplicate_faces == 0
    assert bulk_properties(solid).volume_mm3 == pytest.approx(2.0)


def test_four_boxes_around_an_edge_inside_out(way):
    """Pairing between the wrong sides joins them; after turning they come apart again."""
    places = [(0, 0, 0), (1, 1, 0)]
    solid, health = made(*(box(at=p, inside_out=True) for p in places))
    assert health.bodies == 2
    assert bulk_properties(solid).volume_mm3 == pytest.approx(2.0)


def test_wall_without_thickness_inside(way):
    """A sheet across a box: its edges have three triangles, so there is no clear volume."""
    low, high = box(), box(at=(0, 0, 1))
    top_of_low = (low[:, :, 2] == 1).all(axis=1)
    bottom_of_high = (high[:, :, 2] == 1).all(axis=1)
    _, health = made(low[~top_of_low], high[~bottom_of_high], low[top_of_low])
    assert health.crowded_edges == 4
    assert not health.encloses_volume
    assert len(health.warnings) == 2


def test_near_misses_are_joined_and_reported(way):
    rng = np.random.default_rng(3)
    triangles = box((50, 50, 50))
    triangles += rng.uniform(-1e-3, 1e-3, triangles.shape)
    solid, health = made(triangles)
    assert health.closed
    assert health.joined_vertices > 0
    assert any("joined with near neighbours" in text for text in health.mended)
    assert any("close gaps" in text for text in health.warnings)
    assert bulk_properties(solid).volume_mm3 == pytest.approx(50**3, rel=1e-3)


def test_wide_gaps_stay_open(way):
    triangles = box((50, 50, 50))
    triangles[:2] += [0.0, 0.0, 0.2]
    _, health = made(triangles)
    assert not health.closed
    assert health.joined_vertices == 0


def test_fine_detail_of_a_closed_mesh_is_left_alone(way):
    """Joining is for open edges only: here all corners of a tiny box are near neighbours."""
    _, health = made(box((100, 100, 100)), box((1e-3, 1e-3, 1e-3), (200, 0, 0)))
    assert health.joined_vertices == 0
    assert health.bodies == 2


def test_nothing_left(way):
    with pytest.raises(MeshFileError, match="no triangle with three different corners"):
        made(np.ones((3, 3, 3)))


def test_a_hub_with_very_many_spokes(way):
    """A cone over a fine circle: one vertex with thousands of edges."""
    count = 20_000
    turn = 2 * np.pi * np.arange(count) / count
    rim = np.stack([10 * np.cos(turn), 10 * np.sin(turn), 0 * turn], axis=1)
    after = np.roll(rim, -1, axis=0)
    apex = np.broadcast_to([0.0, 0.0, 5.0], rim.shape)
    foot = np.broadcast_to([0.0, 0.0, 0.0], rim.shape)
    solid, health = made(np.stack([rim, after, apex], 1), np.stack([after, rim, foot], 1))
    assert health.closed
    assert bulk_properties(solid).volume_mm3 == pytest.approx(np.pi * 500 / 3, rel=1e-6)


def shapes():
    """Cases for the two ways: in order, touching, damaged, hopeless."""
    rng = np.random.default_rng(11)
    ring = trimesh.creation.torus(20.0, 6.0)
    yield "torus", ring.triangles
    yield "crowd", np.concatenate([box(at=p) for p in np.argwhere(rng.random((5, 5, 5)) < 0.5)])
    damaged = ring.triangles[rng.random(len(ring.faces)) < 0.9]
    damaged[::7] = damaged[::7, ::-1]
    yield "damaged", np.concatenate([damaged, damaged[:40], damaged[:20, [1, 2, 0]]])
    yield "noise", rng.integers(0, 6, (3000, 3, 3)).astype(float)


@pytest.mark.parametrize(
    ("name", "triangles"), [*shapes()], ids=lambda v: v if type(v) is str else ""
)
def test_both_ways_give_the_same_solid(monkeypatch, name, triangles):
    found = []
    for threshold in (10**9, 0):
        monkeypatch.setattr(topology, "COMPILED_FROM", threshold)
        found.append(made(triangles))
    (plain, plain_health), (compiled, compiled_health) = found
    np.testing.assert_array_equal(plain.vertices_mm, compiled.vertices_mm)
    np.testing.assert_array_equal(plain.faces, compiled.faces)
    np.testing.assert_array_equal(plain.opposite, compiled.opposite)
    assert plain_health == compiled_health


def test_equal_numbers_for_equal_rows_against_a_dictionary(way):
    rows = np.random.default_rng(1).integers(0, 4, (2000, 3)).astype(np.uint32)
    first, label = topology.number_rows(rows)
    known: dict[tuple[int, ...], int] = {}
    for i, row in enumerate(map(tuple, rows.tolist())):
        known.setdefault(row, len(known))
        assert label[i] == known[row]
        assert tuple(rows[first[label[i]]].tolist()) == row
    assert len(first) == len(known)


def test_rows_made_to_collide_fall_back(monkeypatch):
    """Whatever the hash table gives up on, sorting still numbers."""
    monkeypatch.setattr(topology, "_number_rows_compiled", lambda rows: None)
    monkeypatch.setattr(topology, "COMPILED_FROM", 0)
    rows = np.array([[3, 1], [2, 2], [3, 1]], dtype=np.uint32)
    first, label = topology.number_rows(rows)
    assert first.tolist() == [0, 1]
    assert label.tolist() == [0, 1, 0]


def test_pairing_against_a_dictionary(way):
    """The slow, obvious twin: a table from directed edges to half-edges."""
    ring = trimesh.creation.torus(20.0, 6.0, major_sections=12, minor_sections=7)
    solid, _ = made(ring.triangles)
    where = {}
    for t, (a, b, c) in enumerate(solid.faces.tolist()):
        for k, edge in enumerate(((a, b), (b, c), (c, a))):
            where[edge] = 3 * t + k
    for (a, b), half_edge in where.items():
        assert solid.opposite[half_edge] == where[(b, a)]
