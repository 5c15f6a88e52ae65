"""``printplan measure``: words in, numbers out."""

from __future__ import annotations

import json

import pytest
import trimesh

from printplan.cli import COMMANDS, main


@pytest.fixture
def block(tmp_path):
    path = tmp_path / "block.stl"
    trimesh.creation.box((40, 30, 20)).export(path)
    return path


def test_json(block, capsys):
    assert main(["measure", str(block), "--json"]) == 0
    out, err = capsys.readouterr()
    found = json.loads(out)
    (part,) = found["parts"]
    assert part["name"] == "block"
    assert part["closed"] is True
    assert part["volume_mm3"] == pytest.approx(24_000, rel=1e-6)
    assert part["surface_area_mm2"] == pytest.approx(5200, rel=1e-6)
    assert part["min_section_mm2"] == pytest.approx(600, rel=1e-3)
    assert part["thinnest_wall_mm"] == pytest.approx(20, rel=1e-3)
    assert part["warnings"] == []
    assert "mass_g" not in part
    assert found["total"] == {
        "volume_mm3": part["volume_mm3"],
        "surface_area_mm2": part["surface_area_mm2"],
    }
    assert err == ""


def test_mass_follows_the_table(block, capsys):
    from printplan.filament import load_table

    assert main(["measure", str(block), str(block), "--json", "--filament", "PETG"]) == 0
    found = json.loads(capsys.readouterr().out)
    density = load_table().get("PETG").density_g_cm3
    assert found["parts"][0]["mass_g"] == pytest.approx(24 * density, rel=1e-6)
    assert found["total"]["mass_g"] == pytest.approx(48 * density, rel=1e-6)
    assert found["total"]["volume_mm3"] == pytest.approx(48_000, rel=1e-6)


def test_tables_for_people(block, capsys):
    assert main(["measure", str(block), str(block), "--filament", "PETG"]) == 0
    out = capsys.readouterr().out
    assert "40.00 x 30.00 x 20.00 mm" in out
    assert "24 000 mm³" in out
    assert "600 mm² across" in out
    assert "12 triangles, closed, 1 body" in out
    assert "48 000 mm³" in out


def test_units_and_line_width(block, capsys):
    assert main(["measure", str(block), "--unit", "in", "--line-width", "600 um", "--json"]) == 0
    (part,) = json.loads(capsys.readouterr().out)["parts"]
    assert part["volume_mm3"] == pytest.approx(24_000 * 25.4**3, rel=1e-6)
    assert part["line_width_mm"] == pytest.approx(0.6)


def test_a_bad_file_among_good_ones(block, tmp_path, capsys):
    bad = tmp_path / "bad.stl"
    bad.write_bytes(block.read_bytes()[:-10])
    assert main(["measure", str(bad), str(block), "--json"]) == 2
    out, err = capsys.readouterr()
    assert [p["name"] for p in json.loads(out)["parts"]] == ["block"]
    assert err.count("\n") == 1
    assert err.startswith(f"printplan: {bad}: is cut off or damaged")


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["missing.stl"], "printplan: missing.stl: can't be read: No such file"),
        (["a.stl", "--unit", "furlong"], "unit 'furlong' is not known"),
        (["a.stl", "--line-width", "0.45"], "expected a length with its unit"),
        (["a.stl", "--filament", "PETH"], "did you mean"),
        (["a.stl", "--line-width=-1 mm"], "line_width_mm"),
    ],
)
def test_mistakes_are_one_line(block, words, message, capsys, monkeypatch):
    monkeypatch.chdir(block.parent)
    block.rename("a.stl")
    assert main(["measure", *words, "--json"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert message in err
    assert err.count("\n") == 1


def test_an_open_mesh_is_a_warning_and_spoils_the_total(tmp_path, block, capsys):
    box = trimesh.creation.box((40, 30, 20))
    path = tmp_path / "open.stl"
    trimesh.Trimesh(box.vertices, box.faces[1:]).export(path)
    assert main(["measure", str(block), str(path), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["parts"][1]["volume_mm3"] is None
    assert found["total"]["volume_mm3"] is None
    assert main(["measure", str(path)]) == 0
    out, err = capsys.readouterr()
    assert "open at 3 edges" in out
    assert "warning: open: not closed: 3 open edges" in err


def test_help_matches_the_list_and_shows_an_example(capsys):
    from printplan.cli.measure import command

    assert command.get_short_help_str(limit=200) == COMMANDS["measure"][1]
    assert main(["measure", "--help"]) == 0
    assert "Example: printplan measure" in capsys.readouterr().out
