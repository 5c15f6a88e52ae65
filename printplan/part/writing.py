"""Write a solid to a mesh file, whole or not at all."""

from __future__ import annotations

import io
import os
from pathlib import Path

from printplan.errors import InputError
from printplan.part.solid import Solid

__all__ = ["WRITES", "write_solid"]

#: Formats that are written: the first by numpy-stl, the others by trimesh.
WRITES = (".stl", ".obj", ".ply")


def write_solid(solid: Solid, path: str | Path) -> None:
    """Write a solid in mm; the suffix says the format.

    Parameters
    ----------
    solid : Solid
        Any solid, closed or not.
    path : str or Path
        Ends in one of `WRITES`. A file that is there already is replaced.

    Raises
    ------
    InputError
        If the suffix is not known or the place can't be written to.
    """
    path = Path(path)
    kind = path.suffix.lower()
    if kind not in WRITES:
        raise InputError(f"{path}: expected a name ending in {', '.join(WRITES)}")
    content = _stl(solid) if kind == ".stl" else _by_trimesh(solid, kind[1:])
    temporary = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        temporary.write_bytes(content)
        temporary.replace(path)
    except OSError as error:
        raise InputError(f"{path}: can't be written ({error.strerror}); name another place") from (
            error
        )
    finally:
        temporary.unlink(missing_ok=True)


def _stl(solid: Solid) -> bytes:
    import numpy as np
    from stl import Mode
    from stl.mesh import Mesh

    # Single precision: coordinates keep about 1e-5 mm on a part of 200 mm.
    record = np.zeros(len(solid.faces), dtype=Mesh.dtype)
    record["vectors"] = solid.vertices_mm[solid.faces]
    buffer = io.BytesIO()
    Mesh(record).save(solid.name, fh=buffer, mode=Mode.BINARY)
    return buffer.getvalue()


def _by_trimesh(solid: Solid, kind: str) -> bytes:
    import trimesh

    mesh = trimesh.Trimesh(vertices=solid.vertices_mm, faces=solid.faces, process=False)
    content = mesh.export(file_type=kind)
    return content.encode() if isinstance(content, str) else bytes(content)
