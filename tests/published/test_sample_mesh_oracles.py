"""Every sample mesh against two general-purpose libraries that nobody here wrote.

numpy-stl gives volume, centre and inertia of the triangles in single precision; manifold3d gives
volume and surface of a solid built from the same triangles. Tolerances follow from the formats:
binary STL keeps seven digits, numpy-stl sums in single precision, inertia takes the fifth power of
the size.
"""

from pathlib import Path

import manifold3d
import numpy as np
import pytest
from stl.mesh import Mesh

from printplan.part import bulk_properties, load_solid

SAMPLES = Path(__file__).parents[2] / "sample_meshes" / "orchard_carrier"
MESHES = sorted([*SAMPLES.glob("*.stl"), *SAMPLES.glob("*.3mf")])


def test_there_are_samples_of_both_formats():
    assert {p.suffix for p in MESHES} == {".stl", ".3mf"}
    assert len(MESHES) == 10


@pytest.mark.parametrize("path", MESHES, ids=lambda p: p.stem)
def test_volume_centre_and_inertia(path):
    solid = load_solid(path)
    ours = bulk_properties(solid)
    # About the centre of the box, where single precision loses least.
    middle = solid.box_mm.mean(axis=0)
    record = np.zeros(len(solid.faces), dtype=Mesh.dtype)
    record["vectors"] = (solid.vertices_mm - middle)[solid.faces]
    volume, centre, inertia = Mesh(record).get_mass_properties()
    size = float(np.linalg.norm(solid.box_mm[1] - solid.box_mm[0]))
    assert ours.volume_mm3 == pytest.approx(float(volume), rel=2e-5)
    assert ours.centroid_mm - middle == pytest.approx(centre, abs=2e-5 * size)
    scale = float(np.abs(ours.inertia_mm5).max())
    assert ours.inertia_mm5 == pytest.approx(inertia, rel=1e-4, abs=1e-4 * scale)

    mesh = manifold3d.Mesh(
        vert_properties=solid.vertices_mm.astype(np.float32),
        tri_verts=solid.faces.astype(np.uint32),
    )
    body = manifold3d.Manifold(mesh)
    assert body.status() == manifold3d.Error.NoError
    assert ours.volume_mm3 == pytest.approx(body.volume(), rel=1e-5)
    assert ours.surface_area_mm2 == pytest.approx(body.surface_area(), rel=1e-5)
