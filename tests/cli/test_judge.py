"""``printplan judge``: ranks, explains, draws."""

import json
from pathlib import Path

import pytest

from printplan.cli import main

JOB = str(Path(__file__).parents[2] / "sample_meshes" / "orchard_carrier")


def run(capsys, *words):
    code = main(["judge", JOB, "--part", "crate hook", *words])
    out, err = capsys.readouterr()
    return code, out, err


def test_ranks_and_says_why(capsys):
    code, out, err = run(capsys, "--map")
    assert code == 0
    assert "warning: crate hook: no filament is fit" in err
    assert "softens" in out
    assert "margin at" in out
    assert "(hot day)" in out
    assert "more, see --json)" in out


def test_map_brackets_what_is_soft_by_then(capsys):
    """PETG under a lasting load is firm up to 53 °C, so 50 stands bare and 60 in brackets."""
    _, out, _ = run(capsys, "--map")
    table = out[out.index("margin at") :]
    (row,) = (line.split() for line in table.splitlines() if line.startswith("PETG "))
    assert [word.startswith("(") for word in row[1:]] == [False] * 3 + [True] * 4
    assert "in brackets" in out


@pytest.mark.parametrize("by", ["cost", "ease", "margin"])
def test_json_is_ranked_as_asked(capsys, by):
    code, out, _ = run(capsys, "--by", by, "--json")
    assert code == 0
    (part,) = json.loads(out)["parts"]
    assert any("no filament is fit" in text for text in part["warnings"])
    assert part["pick"] is None  # the flange is too thin for any filament
    unfit = [c for c in part["candidates"] if c["suitability"] == "unsuitable"]
    assert len(unfit) == len(part["candidates"])
    key = {"cost": "cost", "ease": "ease", "margin": "margin"}[by]
    values = [c[key] for c in part["candidates"]]
    assert values == sorted(values, reverse=by == "margin")


def test_picture_and_slips(capsys, tmp_path):
    picture = tmp_path / "map.svg"
    code, out, _ = run(capsys, "--picture", str(picture))
    assert code == 0
    assert picture.read_bytes().startswith(b"<?xml")
    assert [p.name for p in tmp_path.iterdir()] == ["map.svg"]
    assert str(picture) in out
    code, _, err = run(capsys, "--picture", str(tmp_path / "map.doc"))
    assert (code, "expected a name ending in .png or .svg" in err) == (2, True)
    assert main(["judge", JOB, "--part", "crate hok"]) == 2
    assert "did you mean 'crate hook'?" in capsys.readouterr().err
    assert main(["judge", JOB, "--picture", str(picture)]) == 2
    assert "name it with --part" in capsys.readouterr().err
