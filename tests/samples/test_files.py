"""Every sample file: closed, outward, on the plate, and the same bytes on every run."""

import os
import platform
import re
import subprocess
import sys
import zipfile
from importlib.metadata import version
from pathlib import Path

import generate
import numpy as np
import pytest
from manifold3d import Error
from stl import Mesh

NAMES = sorted(generate.DIMENSIONS)
GEARS = {"side_gear", "planet_pinion"}
SCRIPT = Path(generate.__file__)
FOLDER = generate.BESIDE

# The committed bytes were made with these; another version may cut triangles differently.
MADE_WITH = {"manifold3d": "3.5", "numpy-stl": "4."}
SAME_TOOLS = platform.machine() == "x86_64" and all(
    version(package).startswith(start) for package, start in MADE_WITH.items()
)

# handles (through holes) of each closed surface, counted on the drawing
GENUS = {
    "side_gear": 1,  # the socket
    "planet_pinion": 1,  # the bore
    "housing_left": 1 + 8,  # bar bore, flange holes; the pin bores are grooves with blind ends
    "housing_right": 1 + 8 + 8,
    "belt_pulley": 1 + 8,
    "wheel_hub_adapter": 1 + 6,
    "motor_mount_plate": 1 + 4 + 4,
    "battery_tray_bracket": 2 + 2,
    # the slit opens the ring; each ear bolt goes through two ears, which makes two handles
    "steering_column_clamp": 2 + 2 * 2,
    "crate_hook": 2,
}


def mesh_files(folder):
    return [path for path in sorted(folder.iterdir()) if path.suffix in {".stl", ".3mf"}]


def run_script(folder, **environment):
    subprocess.run(
        [sys.executable, str(SCRIPT), str(folder)],
        check=True,
        capture_output=True,
        env={**os.environ, **environment},
    )
    return {path.name: path.read_bytes() for path in mesh_files(folder)}


@pytest.fixture(scope="module")
def made_anew(tmp_path_factory):
    return run_script(tmp_path_factory.mktemp("once"), PYTHONHASHSEED="1")


def test_the_folder_holds_the_listed_meshes_and_no_more():
    listed = {part.file for part in generate.DIMENSIONS.values()}
    assert {path.name for path in mesh_files(FOLDER)} == listed
    assert sum(file.endswith(".3mf") for file in listed) >= 3


def test_two_runs_give_the_same_bytes_whatever_vector_instructions_are_used(made_anew, tmp_path):
    # numpy picks its sine and cosine by processor; here the second run may not use the newest
    other = run_script(
        tmp_path, PYTHONHASHSEED="2", NPY_DISABLE_CPU_FEATURES="AVX512_ICL X86_V3 X86_V4"
    )
    assert other == made_anew


@pytest.mark.skipif(not SAME_TOOLS, reason=f"bytes are only promised on x86-64 with {MADE_WITH}")
def test_the_script_gives_the_committed_bytes(made_anew):
    committed = {path.name: path.read_bytes() for path in mesh_files(FOLDER)}
    assert sorted(made_anew) == sorted(committed)
    differing = [name for name in committed if made_anew[name] != committed[name]]
    assert differing == []


@pytest.mark.parametrize("name", NAMES)
def test_the_script_gives_the_committed_shape(parts, name):
    """Holds with any version of the tools: the shapes differ by less than the file grid."""
    read, made = parts[name].solid, generate.DIMENSIONS[name].make()
    assert read.volume() == pytest.approx(made.volume(), rel=1e-6)
    # 1e-4 mm grid, half of it by rounding, and float32 in an STL
    assert np.abs(np.subtract(read.bounding_box(), made.bounding_box())).max() < 1e-4


@pytest.mark.parametrize("name", NAMES)
def test_closed_outward_in_one_piece(parts, name):
    solid = parts[name].solid
    assert solid.status() == Error.NoError
    assert solid.num_tri() == len(parts[name].corners_mm), "triangles were lost on reading"
    assert solid.volume() > 0, "the surface faces inward"
    assert len(solid.decompose()) == 1
    assert solid.genus() == GENUS[name]


@pytest.mark.parametrize("name", NAMES)
def test_no_triangle_without_area(parts, name):
    a, b, c = np.moveaxis(parts[name].corners_mm, 1, 0)
    assert (np.linalg.norm(np.cross(b - a, c - a), axis=1) > 0).all()


@pytest.mark.parametrize("name", NAMES)
def test_rests_on_the_plate(parts, name):
    assert parts[name].corners_mm[..., 2].min() == 0.0


@pytest.mark.parametrize("name", NAMES)
def test_volume_by_two_libraries(parts, name):
    data = np.zeros(len(parts[name].corners_mm), dtype=Mesh.dtype)
    data["vectors"] = parts[name].corners_mm
    volume, _, _ = Mesh(data, remove_empty_areas=False).get_mass_properties()
    # 1e-5: numpy-stl sums in 32-bit floats
    assert volume == pytest.approx(parts[name].solid.volume(), rel=1e-5)


@pytest.mark.parametrize("name", NAMES)
def test_triangle_count_and_size(parts, name):
    low, high = (20_000, 80_000) if name in GEARS else (2_000, 40_000)
    assert low <= len(parts[name].corners_mm) <= high
    assert parts[name].path.stat().st_size <= 4_000_000


def test_stl_header_has_no_date_and_doesnt_look_like_text(parts):
    for part in parts.values():
        if part.path.suffix == ".stl":
            header = part.path.read_bytes()[:80].decode("ascii")
            assert header.startswith("orchard carrier sample mesh, millimetres")
            assert part.path.stem in header
            assert not header.startswith("solid")


def test_one_3mf_needs_its_build_transform(parts):
    """Without the transform the clamp would not rest on the plate."""
    path = parts["steering_column_clamp"].path
    with zipfile.ZipFile(path) as package:
        model = package.read("3D/3dmodel.model").decode()
    heights = [float(z) for z in re.findall(r'<vertex x="[^"]*" y="[^"]*" z="([^"]*)"', model)]
    assert min(heights) == 5.0
    assert 'transform="1 0 0 0 1 0 0 0 1 -40 -60 -5"' in model


def test_the_readme_table_tells_the_truth(parts):
    text = (SCRIPT.parent / "README.md").read_text(encoding="utf-8")
    row = re.compile(r"^\| `(\w+)\.(?:stl|3mf)` \| (\d+) \| ([\d ]+) \| ([\d.]+) \|", re.MULTILINE)
    told = {
        name: (int(quantity), int(triangles.replace(" ", "")), float(volume))
        for name, quantity, triangles, volume in row.findall(text)
    }
    assert told == {
        name: (
            generate.DIMENSIONS[name].quantity,
            len(part.corners_mm),
            round(part.solid.volume() / 1000, 2),
        )
        for name, part in parts.items()
    }
