"""3MF: a zip package with one XML model; units, components and build items are honoured.

Each item of the build becomes one part, its components put in their places. Objects meant as
support are left out, with a note.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from printplan.errors import MeshFileError
from printplan.part.reading.model_xml import Model, Placed, parse_model
from printplan.part.reading.package import inflated, model_entry, opened
from printplan.part.reading.raw import RawMesh, ReadLimits

__all__ = ["read"]


@dataclass(frozen=True)
class _Size:
    triangles: int
    points: int
    instances: int
    depth: int


def read(path: Path, size: int, unit_mm: float, limits: ReadLimits) -> list[RawMesh]:
    """Read a 3MF file; `unit_mm` is not used, since the file states its unit."""
    with opened(path, limits) as package:
        name = model_entry(path, package, limits)
        pieces = inflated(path, package, name, limits.xml_bytes, limits)
        model = parse_model(path, pieces, limits)
    items, notes = _items(path, model)
    _check_expansion(path, model, items, limits)
    names = _names(path, model, items)
    meshes = []
    for item, part_name in zip(items, names, strict=True):
        points, faces = _expand(model, item)
        meshes.append(
            RawMesh(
                path=path,
                name=part_name,
                format_name="3MF",
                points=points,
                faces=faces,
                unit_mm=model.unit_mm,
                unit_stated=True,
                notes=notes,
            )
        )
    return meshes


def _items(path: Path, model: Model) -> tuple[list[Placed], tuple[str, ...]]:
    """Items to read: those of the build that are parts, or all free objects if there are none."""
    notes: list[str] = []
    items = model.items
    if not items:
        used = {c.object_id for o in model.objects.values() for c in o.components}
        items = [Placed(k, np.eye(4, 3)) for k in model.objects if k not in used]
        notes.append("the build is empty: every object is taken as a part")
    for item in items:
        if item.object_id not in model.objects:
            raise MeshFileError(path, f"an item names object {item.object_id[:20]!r}: not there")
    parts = [i for i in items if model.objects[i.object_id].kind in ("model", "surface")]
    if len(parts) < len(items):
        notes.append(f"{len(items) - len(parts)} objects that are no parts (support) left out")
    if not parts:
        raise MeshFileError(path, "contains no parts", "export the part as a mesh again")
    return parts, tuple(notes)


def _check_expansion(path: Path, model: Model, items: list[Placed], limits: ReadLimits) -> None:
    """Count what the components come to before anything is put together."""
    sizes: dict[str, _Size] = {}
    being_counted: list[str] = []

    def size_of(object_id: str) -> _Size:
        if object_id in sizes:
            return sizes[object_id]
        if object_id in being_counted:
            raise MeshFileError(path, f"object {object_id[:20]!r} contains itself")
        if len(being_counted) >= limits.component_depth:
            raise MeshFileError(path, f"components nest deeper than {limits.component_depth}")
        if object_id not in model.objects:
            raise MeshFileError(path, f"a component names object {object_id[:20]!r}: not there")
        this = model.objects[object_id]
        if this.faces is None and not this.components:
            raise MeshFileError(path, f"object {object_id[:20]!r} has no shape")
        being_counted.append(object_id)
        inner = [size_of(c.object_id) for c in this.components]
        being_counted.pop()
        own_triangles = 0 if this.faces is None else len(this.faces)
        own_points = 0 if this.points is None else len(this.points)
        size = _Size(
            triangles=sum(s.triangles for s in inner) + own_triangles,
            points=sum(s.points for s in inner) + own_points,
            instances=sum(s.instances for s in inner) + 1,
            depth=max((s.depth for s in inner), default=0) + 1,
        )
        sizes[object_id] = size
        return size

    whole = [size_of(item.object_id) for item in items]
    triangles = sum(s.triangles for s in whole)
    if max(s.depth for s in whole) > limits.component_depth:
        raise MeshFileError(path, f"components nest deeper than {limits.component_depth}")
    if triangles > limits.triangles or sum(s.points for s in whole) > 3 * limits.triangles:
        raise MeshFileError(
            path,
            f"its components come to {triangles} triangles; {limits.triangles} are read",
        )
    if sum(s.instances for s in whole) > limits.instances:
        raise MeshFileError(path, f"more than {limits.instances} placed copies of objects")


def _names(path: Path, model: Model, items: list[Placed]) -> list[str]:
    """One name for each item, different from each other."""
    wanted = [
        model.objects[item.object_id].name.strip()
        or (path.stem if len(items) == 1 else f"{path.stem} {number}")
        for number, item in enumerate(items, start=1)
    ]
    often, used = Counter(wanted), Counter[str]()
    names = []
    for name in wanted:
        used[name] += 1
        names.append(f"{name} ({used[name]})" if often[name] > 1 else name)
    return names


def _expand(model: Model, item: Placed) -> tuple[NDArray[np.float64], NDArray[np.int32]]:
    """Put an item's meshes in their places and join them into one list of triangles."""
    points: list[NDArray[np.float64]] = []
    faces: list[NDArray[np.int32]] = []
    offset = 0

    def add(object_id: str, matrix: NDArray[np.float64]) -> None:
        nonlocal offset
        this = model.objects[object_id]
        for component in this.components:
            inner = component.matrix @ matrix[:3]
            inner[3] += matrix[3]
            add(component.object_id, inner)
        if this.points is None or this.faces is None:
            return
        mirrored = np.linalg.det(matrix[:3]) < 0
        points.append(this.points @ matrix[:3] + matrix[3])
        faces.append((this.faces[:, ::-1] if mirrored else this.faces) + np.int32(offset))
        offset += len(this.points)

    add(item.object_id, item.matrix)
    return np.concatenate(points), np.concatenate(faces)
