"""Triangles on a fixed grid, and the two file formats, the same bytes on every run."""

from __future__ import annotations

import zipfile
from dataclasses import dataclass
from pathlib import Path
from xml.sax.saxutils import quoteattr

import numpy as np
from manifold3d import Manifold
from numpy.typing import NDArray
from stl import Mesh, Mode

__all__ = ["Triangles", "on_file_grid", "write_3mf", "write_stl"]

_GRID_PER_MM = 10_000
_HEADER = "orchard carrier sample mesh, millimetres, invented dimensions"


@dataclass(frozen=True, kw_only=True)
class Triangles:
    """A closed surface on the file grid of 1e-4 mm.

    Attributes
    ----------
    vertices_mm : (n, 3) float64
        Corners, each place once, in lexicographic order. [mm]
    faces : (m, 3) int64
        Corner numbers, counter-clockwise from outside; smallest first, rows in order.
    """

    vertices_mm: NDArray[np.float64]
    faces: NDArray[np.int64]


def on_file_grid(solid: Manifold) -> Triangles:
    """Round a solid to the file grid and put corners and triangles into a fixed order.

    Order and rounding take away what differs between processors: the last bits of a coordinate
    and the order in which threads finish. Triangles that the rounding folds up are dropped.

    Raises
    ------
    ValueError
        If the rounded surface is no longer closed.
    """
    mesh = solid.to_mesh64()
    counts = np.rint(np.asarray(mesh.vert_properties)[:, :3] * _GRID_PER_MM).astype(np.int64)
    corners, number = np.unique(counts, axis=0, return_inverse=True)
    faces = number.reshape(-1)[np.asarray(mesh.tri_verts, dtype=np.int64)]
    flat = (faces == np.roll(faces, 1, axis=1)).any(axis=1)
    faces = faces[~flat]
    first = faces.argmin(axis=1)[:, None]
    faces = np.take_along_axis(faces, (first + np.arange(3)) % 3, axis=1)
    faces = faces[np.lexsort(faces.T[::-1])]
    _check_closed(faces)
    return Triangles(vertices_mm=corners / _GRID_PER_MM, faces=faces)


def _check_closed(faces: NDArray[np.int64]) -> None:
    edges = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    there = edges[np.lexsort(edges.T)]
    back = edges[:, ::-1]
    back = back[np.lexsort(back.T)]
    twice = (there[1:] == there[:-1]).all(axis=1).any()
    if twice or not np.array_equal(there, back):
        msg = "the surface is not closed after rounding to the file grid"
        raise ValueError(msg)


class _FixedHeaderMesh(Mesh):  # type: ignore[misc]
    """numpy-stl's mesh without the date in the header."""

    def get_header(self, name: str) -> str:
        return f"{_HEADER}: {name}"[:80].ljust(80)


def write_stl(path: Path, triangles: Triangles) -> None:
    """Write binary STL: 80 bytes of fixed header, then 50 bytes a triangle."""
    data = np.zeros(len(triangles.faces), dtype=Mesh.dtype)
    data["vectors"] = triangles.vertices_mm[triangles.faces].astype(np.float32)
    mesh = _FixedHeaderMesh(data, name=path.stem, remove_empty_areas=False)
    mesh.save(str(path), mode=Mode.BINARY)


_CONTENT_TYPES = """<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
 <Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
 <Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>
</Types>
"""

_RELATIONSHIPS = """<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
 <Relationship Target="/3D/3dmodel.model" Id="rel0"
  Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>
</Relationships>
"""


def write_3mf(path: Path, triangles: Triangles, moved_by_mm: tuple[float, ...] = ()) -> None:
    """Write a 3MF package with one object in millimetres.

    The entries carry one fixed date and are stored, not deflated: compressed bytes depend on
    the version of the compression library. With `moved_by_mm` the object is stored that far
    away from where it belongs, and the build item's transform brings it back.
    """
    offset = np.asarray(moved_by_mm or (0.0, 0.0, 0.0))
    transform = ""
    if moved_by_mm:
        shift = " ".join(_number(-v) for v in offset)
        transform = f' transform="1 0 0 0 1 0 0 0 1 {shift}"'
    corners = "".join(
        f'<vertex x="{_number(x)}" y="{_number(y)}" z="{_number(z)}"/>\n'
        for x, y, z in triangles.vertices_mm + offset
    )
    faces = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>\n' for a, b, c in triangles.faces)
    model = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<model unit="millimeter" xml:lang="en"'
        ' xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">\n'
        f'<metadata name="Title">{_HEADER}</metadata>\n'
        f'<resources>\n<object id="1" type="model" name={quoteattr(path.stem)}>\n<mesh>\n'
        f"<vertices>\n{corners}</vertices>\n<triangles>\n{faces}</triangles>\n"
        f'</mesh>\n</object>\n</resources>\n<build>\n<item objectid="1"{transform}/>\n'
        "</build>\n</model>\n"
    )
    entries = {
        "[Content_Types].xml": _CONTENT_TYPES,
        "_rels/.rels": _RELATIONSHIPS,
        "3D/3dmodel.model": model,
    }
    with zipfile.ZipFile(path, "w", zipfile.ZIP_STORED) as package:
        for name, text in entries.items():
            entry = zipfile.ZipInfo(name, date_time=(2020, 1, 1, 0, 0, 0))
            # the same on every system: made by Unix, readable by all
            entry.create_system = 3
            entry.external_attr = 0o644 << 16
            package.writestr(entry, text)


def _number(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
