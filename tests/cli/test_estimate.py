"""``printplan estimate``."""

from __future__ import annotations

import json
import struct
from pathlib import Path

import numpy as np
import pytest

from printplan.cli import COMMANDS, main
from printplan.cli.estimate import command


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    code = main(["estimate", *words])
    shown = capsys.readouterr()
    return code, shown.out, shown.err


def write_box(path: Path, x: float, y: float, z: float) -> Path:
    """A box as a binary STL file, written byte by byte."""
    corners = np.array([[i & 1, i >> 1 & 1, i >> 2 & 1] for i in range(8)]) * [x, y, z]
    quads = [(0, 2, 3, 1), (4, 5, 7, 6), (0, 1, 5, 4), (2, 6, 7, 3), (0, 4, 6, 2), (1, 3, 7, 5)]
    triangles = [(a, b, c) for a, b, c, _ in quads] + [(a, c, d) for a, _, c, d in quads]
    data = bytes(80) + struct.pack("<I", len(triangles))
    for triangle in triangles:
        data += struct.pack("<12fH", 0, 0, 0, *corners[list(triangle)].ravel(), 0)
    path.write_bytes(data)
    return path


@pytest.fixture
def box(tmp_path: Path) -> str:
    return str(write_box(tmp_path / "spacer.stl", 40, 30, 10))


def test_help_is_the_listed_one() -> None:
    assert command.get_short_help_str(100) == COMMANDS["estimate"][1]
    assert command.epilog is not None
    assert command.epilog.startswith("Example: printplan estimate")


def test_json_of_a_solid_box(capsys: pytest.CaptureFixture[str], box: str) -> None:
    """40 x 30 x 10 mm of solid PETG, 1.27 g/cm³ [common practice]: 15.24 g, less the rounding of
    the outer beads (0.0215 mm round the box), with 0.3 g of purge."""
    code, out, err = run(capsys, box, "--recipe", "solid", "--json")
    assert code == 0
    assert err == ""
    result = json.loads(out)
    part = result["parts"][0]
    assert part["name"] == "spacer"
    assert part["layers"] == 50
    expected = (40 * 30 - 140 * 0.02146) * 10 * 1.27e-3 + 0.3
    assert part["filament_g"] == pytest.approx(expected, rel=1e-4)
    assert part["filament_g_by_kind"]["support"] == 0
    for key in ("filament_g", "filament_m", "build_time_s", "energy_wh", "cost"):
        assert result["total"][key] == part[key]
    # No line is quicker than 50 mm/s, so no more than 50 mm/s of a 0.0814 mm² bead flows.
    assert part["build_time_s"] > 11970 / (50 * 0.0814159)


def test_total_of_two_files(capsys: pytest.CaptureFixture[str], box: str, tmp_path: Path) -> None:
    other = str(write_box(tmp_path / "plate.stl", 60, 60, 4))
    code, out, _ = run(capsys, box, other, "--json")
    assert code == 0
    result = json.loads(out)
    assert [p["name"] for p in result["parts"]] == ["spacer", "plate"]
    total = sum(p["cost"] for p in result["parts"])
    assert result["total"]["cost"] == pytest.approx(total)


def test_table_split_by_kind(capsys: pytest.CaptureFixture[str], box: str, tmp_path: Path) -> None:
    other = str(write_box(tmp_path / "plate.stl", 60, 60, 4))
    code, out, err = run(capsys, box, other)
    assert code == 0
    rows = {line.split()[0]: line.split() for line in out.splitlines() if line.strip()}
    assert set(rows) >= {"spacer", "plate", "total", "Range:", "Time:", "Cost:"}
    grams = [float(x) for x in rows["spacer"][2:7]]
    # What is left is the 0.3 g of purge; five numbers of one decimal each.
    assert sum(grams[:4]) + 0.3 == pytest.approx(grams[4], abs=0.25)
    assert float(rows["total"][6]) == pytest.approx(
        float(rows["spacer"][6]) + float(rows["plate"][6]), abs=0.11
    )
    assert "recipe sturdy" in out
    assert "±20 %, not calibrated" in out
    assert "plate.stl" in err


@pytest.mark.parametrize("infill", ["40%", "40 %", "0.4"])
def test_recipe_options(capsys: pytest.CaptureFixture[str], box: str, infill: str) -> None:
    words = ["--walls", "3", "--infill", infill, "--layer-height", "0.01 in", "--json"]
    code, out, _ = run(capsys, box, *words, "--line-width", "0.5 mm", "--supports", "none")
    assert code == 0
    recipe = json.loads(out)["recipe"]
    assert (recipe["wall_count"], recipe["infill_fraction"]) == (3, 0.4)
    assert recipe["layer_height_mm"] == pytest.approx(0.254)
    assert (recipe["line_width_mm"], recipe["supports"]) == (0.5, "none")
    assert recipe["name"] == "sturdy, changed"


def test_up_turns_the_part(capsys: pytest.CaptureFixture[str], box: str) -> None:
    layers = []
    for up in ("+z", "-y", "+x"):
        code, out, _ = run(capsys, box, "--json", "--up", up)
        assert code == 0
        layers.append(json.loads(out)["parts"][0]["layers"])
    assert layers == [50, 150, 200]


def test_unit_of_the_file(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    small = str(write_box(tmp_path / "inch.stl", 1, 1, 0.5))
    _, out, _ = run(capsys, small, "--unit", "in", "--recipe", "solid", "--json")
    grams = json.loads(out)["parts"][0]["filament_g"] - 0.3
    assert grams == pytest.approx(25.4**2 * 12.7 * 1.27e-3, rel=0.02)


def test_a_faster_printer_and_another_filament(
    capsys: pytest.CaptureFixture[str], box: str
) -> None:
    _, out, _ = run(capsys, box, "--json")
    slow = json.loads(out)["parts"][0]
    words = ["--printer", "fast enclosed machine", "--filament", "ASA", "--json"]
    _, out, _ = run(capsys, box, *words)
    fast = json.loads(out)["parts"][0]
    assert fast["build_time_s"] < slow["build_time_s"] / 2
    assert fast["filament_g"] < slow["filament_g"]


def test_warnings_go_to_standard_error(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    long = str(write_box(tmp_path / "bar.stl", 400, 20, 5))
    code, out, err = run(capsys, long)
    assert code == 0
    assert "warning: bar: needs 400 x 20 x 5 mm, more than the build volume" in err
    assert "build volume" not in out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--printer", "slow bed moving machine"], "did you mean 'slow bed-moving machine'"),
        (["--recipe", "stury"], "did you mean 'sturdy'"),
        (["--filament", "PETGG"], "PETGG"),
        (["--walls", "0"], "wall count"),
        (["--infill", "140%"], "infill fraction"),
        (["--layer-height", "0.2"], "--layer-height"),
        (["--layer-height", "0.2 kg"], "--layer-height"),
        (["--supports", "maybe"], "supports"),
        (["--up", "+w"], "+w"),
        (["--unit", "furlong"], "furlong"),
    ],
)
def test_bad_words_are_one_line_and_exit_2(
    capsys: pytest.CaptureFixture[str], box: str, words: list[str], told: str
) -> None:
    code, out, err = run(capsys, box, *words, "--json")
    assert code == 2
    assert out == ""
    assert told in err
    assert len(err.strip().splitlines()) == 1


def test_a_missing_file(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    code, out, err = run(capsys, str(tmp_path / "none.stl"), "--json")
    assert code == 2
    assert out == ""
    assert "none.stl" in err
