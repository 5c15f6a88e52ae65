"""The sample parts, read back from their files by means that share nothing with the writer."""

import sys
import xml.etree.ElementTree as ElementTree
import zipfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from manifold3d import Manifold, Mesh64
from stl import Mesh

SAMPLES = Path(__file__).resolve().parents[2] / "sample_meshes"
FOLDER = SAMPLES / "orchard_carrier"

# the script's folder is what Python itself would put here when the script is run
sys.path.insert(0, str(SAMPLES))

import generate  # noqa: E402

CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"


@dataclass(frozen=True)
class ReadPart:
    """A file's triangles and the solid they bound."""

    name: str
    path: Path
    corners_mm: np.ndarray  # (m, 3, 3)
    solid: Manifold


def read_3mf(path):
    """Read the only object of a 3MF package, its build item's transform applied."""
    with zipfile.ZipFile(path) as package:
        model = ElementTree.fromstring(package.read("3D/3dmodel.model"))
    assert model.get("unit") == "millimeter"
    (mesh,) = model.iter(f"{CORE}mesh")
    (item,) = model.iter(f"{CORE}item")
    vertices = np.array([[float(v.get(k)) for k in "xyz"] for v in mesh.iter(f"{CORE}vertex")])
    faces = [[int(t.get(k)) for k in ("v1", "v2", "v3")] for t in mesh.iter(f"{CORE}triangle")]
    if item.get("transform"):
        # twelve numbers, row vectors: three rows of the linear part, then the shift
        rows = np.array(item.get("transform").split(), dtype=float).reshape(4, 3)
        vertices = vertices @ rows[:3] + rows[3]
    return vertices[np.array(faces)]


def read(name):
    path = FOLDER / generate.DIMENSIONS[name].file
    if path.suffix == ".3mf":
        corners = read_3mf(path)
    else:
        corners = np.asarray(Mesh.from_file(str(path)).vectors, dtype=np.float64)
    # corners that belong together are equal to the last bit in both formats
    vertices, number = np.unique(corners.reshape(-1, 3), axis=0, return_inverse=True)
    faces = number.reshape(-1, 3).astype(np.uint64)
    return ReadPart(name, path, corners, Manifold(Mesh64(vertices, faces)))


@pytest.fixture(scope="session")
def parts():
    return {name: read(name) for name in generate.DIMENSIONS}


@pytest.fixture(scope="session")
def dimensions():
    return generate.DIMENSIONS


@pytest.fixture(scope="session")
def gear(parts):
    """The side gear about its apex, axis +z (hub up), a gap towards +x."""
    apex = generate.DIMENSIONS["side_gear"].points_mm["apex"][2]
    upright = parts["side_gear"].solid.translate((0, 0, -apex)).rotate((180, 0, 0))
    return upright.rotate((0, 0, 180 / generate.PAIR.teeth_gear))


@pytest.fixture(scope="session")
def pinion(parts):
    """The pinion about its apex, axis +z, a tooth towards -x."""
    apex = generate.DIMENSIONS["planet_pinion"].points_mm["apex"][2]
    upright = parts["planet_pinion"].solid.translate((0, 0, -apex)).rotate((180, 0, 0))
    return upright.rotate((0, 0, 180))
