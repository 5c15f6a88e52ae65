"""Written files hold the same solid when they are read back, and nothing half-written stays."""

import numpy as np
import pytest
import trimesh

from printplan.errors import InputError
from printplan.part import bulk_properties, load_solid
from printplan.part.writing import WRITES, write_solid


@pytest.fixture
def solid(tmp_path):
    mesh = trimesh.creation.annulus(r_min=8.0, r_max=12.0, height=50.0, sections=64)
    path = tmp_path / "tube.stl"
    path.write_bytes(trimesh.exchange.stl.export_stl(mesh))
    return load_solid(path)


@pytest.mark.parametrize("suffix", WRITES)
def test_reads_back(tmp_path, solid, suffix):
    path = tmp_path / f"again{suffix}"
    write_solid(solid, path)
    again = load_solid(path)
    assert again.closed
    assert len(again.faces) == len(solid.faces)
    # Single precision of STL, eight printed digits of OBJ.
    assert bulk_properties(again).volume_mm3 == pytest.approx(
        bulk_properties(solid).volume_mm3, rel=1e-6
    )
    assert np.allclose(again.box_mm, solid.box_mm, atol=1e-5)
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted({path.name, "tube.stl"})


def test_refuses_what_it_does_not_write(tmp_path, solid):
    with pytest.raises(InputError, match=r"\.stl, \.obj, \.ply"):
        write_solid(solid, tmp_path / "part.step")
    with pytest.raises(InputError, match="can't be written"):
        write_solid(solid, tmp_path / "nowhere" / "part.stl")
