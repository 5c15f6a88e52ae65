"""A file becomes measured parts: all pieces together, warnings, units, splitting."""

from __future__ import annotations

import json
import math

import numpy as np
import pytest
import trimesh

from printplan.errors import MeshFileError
from printplan.part import load_solid, load_solids, measure


@pytest.fixture
def plate(tmp_path):
    path = tmp_path / "plate.stl"
    trimesh.creation.box((40, 30, 2)).export(path)
    return path


def test_a_plate(plate):
    (part,) = measure(plate)
    assert part.name == "plate"
    assert part.path == plate
    assert part.closed
    assert part.volume_mm3 == pytest.approx(2400, rel=1e-6)
    assert part.surface_area_mm2 == pytest.approx(2 * (1200 + 80 + 60), rel=1e-6)
    assert part.min_section_mm2 == pytest.approx(60, rel=1e-3)
    assert part.thinnest_wall_mm == pytest.approx(2.0, rel=1e-3)
    assert part.solid_mass_g(1.25) == pytest.approx(3.0, rel=1e-6)


def test_a_solid_gives_the_same(plate):
    (from_file,) = measure(plate)
    (from_solid,) = measure(load_solid(plate))
    ours, theirs = from_solid.to_dict(), from_file.to_dict()
    for key in ("file", "health"):
        assert ours.pop(key) is None
        theirs.pop(key)
    assert ours == theirs


def test_plain_values_survive_json(plate):
    (part,) = measure(plate)
    found = json.loads(json.dumps(part.to_dict(), allow_nan=False))
    assert found["closed"] is True
    assert found["volume_mm3"] == pytest.approx(2400, rel=1e-6)
    assert found["health"]["bodies"] == 1
    assert [s["axis_name"] for s in found["sections"]][:3] == ["x", "y", "z"]
    assert min(s["area_mm2"] for s in found["sections"]) == found["min_section_mm2"]
    assert np.shape(found["inertia_mm5"]) == (3, 3)
    assert found["size_mm"] == pytest.approx([40, 30, 2])


def test_line_width_judges_walls(plate):
    (part,) = measure(plate, line_width_mm=0.6)
    assert part.to_dict()["line_width_mm"] == 0.6
    assert part.thickness.regions[0].bead_widths == pytest.approx(2 / 0.6, rel=1e-3)


def test_an_open_mesh_has_no_volume_and_says_why(tmp_path):
    box = trimesh.creation.box((40, 30, 20))
    path = tmp_path / "open.stl"
    trimesh.Trimesh(box.vertices, box.faces[1:]).export(path)
    (part,) = measure(path)
    assert not part.closed
    assert part.volume_mm3 is None
    assert part.min_section_mm2 is None
    assert part.bulk is None
    assert part.solid_mass_g(1.0) is None
    whole, missing = box.area, trimesh.triangles.area(box.triangles[:1]).sum()
    assert part.surface_area_mm2 == pytest.approx(whole - missing, rel=1e-6)
    assert any("not closed: 3 open edges" in text for text in part.warnings)
    found = part.to_dict()
    assert found["volume_mm3"] is found["centroid_mm"] is found["inertia_mm5"] is None


@pytest.mark.parametrize(
    ("size", "unit", "expected"),
    [
        (0.05, "mm", "its numbers look like m: try --unit m"),
        (1.5, "mm", "its numbers look like in: try --unit in"),
        (40_000, "mm", "its numbers look like um: try --unit um"),
        (60, "m", "its numbers look like mm: try --unit mm"),
        (60, "mm", None),
        (2.0, "in", None),
    ],
)
def test_doubtful_sizes_name_the_likely_unit(tmp_path, size, unit, expected):
    path = tmp_path / "cube.stl"
    trimesh.creation.box((size,) * 3).export(path)
    (part,) = measure(path, unit=unit)
    doubts = [text for text in part.warnings if "the part measures" in text]
    assert len(doubts) == (expected is not None)
    if expected:
        assert doubts[0].endswith(expected)


def test_bodies_are_one_part_or_many(tmp_path):
    far = trimesh.creation.box((10, 10, 10))
    far.apply_translation((100, 0, 0))
    path = tmp_path / "two.stl"
    trimesh.util.concatenate([trimesh.creation.box((10, 10, 20)), far]).export(path)
    (whole,) = measure(path)
    assert whole.volume_mm3 == pytest.approx(3000, rel=1e-6)
    one, two = measure(path, split=True)
    assert [one.name, two.name] == ["two 1", "two 2"]
    assert [one.volume_mm3, two.volume_mm3] == pytest.approx([2000, 1000], rel=1e-6)


def test_progress_rises(plate):
    seen = []
    measure(plate, report=lambda fraction, text: seen.append((fraction, text)))
    fractions = [fraction for fraction, _ in seen]
    assert fractions == sorted(fractions)
    assert 0 <= fractions[0] <= fractions[-1] <= 1
    assert "plate" in seen[-1][1]


def test_loading_without_measuring(plate, tmp_path):
    (solid,) = load_solids(plate, unit="cm")
    assert solid.box_mm[1] - solid.box_mm[0] == pytest.approx([400, 300, 20])
    several = tmp_path / "several.3mf"
    pytest.importorskip("networkx")
    scene = trimesh.Scene()
    scene.add_geometry(trimesh.creation.box((1, 1, 1)), node_name="a", geom_name="a")
    scene.add_geometry(trimesh.creation.box((2, 2, 2)), node_name="b", geom_name="b")
    scene.export(several)
    assert len(load_solids(several)) == 2
    with pytest.raises(MeshFileError, match="holds 2 parts, one was expected"):
        load_solid(several)


def test_a_wall_that_cannot_be_measured_is_no_number_but_null(plate):
    from dataclasses import replace

    (part,) = measure(plate)
    blind = replace(part, thickness=replace(part.thickness, thinnest_mm=math.nan))
    assert math.isnan(blind.thinnest_wall_mm)
    assert blind.to_dict()["thinnest_wall_mm"] is None
