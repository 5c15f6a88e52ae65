"""The model of a 3MF package: objects with a mesh or components, and the build's items.

Core namespace only [memory: 3MF Core Specification 1.3 and 1.4, chapters 3 and 4]. Elements of
other namespaces are stepped over; an extension that the file *requires* and that changes shapes
is refused by name.
"""

from __future__ import annotations

import math
from array import array
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from printplan.errors import MeshFileError
from printplan.part.reading.package import feed, xml_parser
from printplan.part.reading.raw import UNIT_MM, ReadLimits, one_of

__all__ = ["Model", "ModelObject", "Placed", "parse_model"]

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
_PRODUCTION = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06"

#: Extensions that colour or group triangles and leave shapes alone.
HARMLESS = {
    CORE,
    "http://schemas.microsoft.com/3dmanufacturing/material/2015/02",
    "http://schemas.microsoft.com/3dmanufacturing/trianglesets/2021/07",
}

UNITS = {u: UNIT_MM[u] for u in ("micron", "millimeter", "centimeter", "inch", "foot", "meter")}
TYPES = dict.fromkeys(("model", "solidsupport", "support", "surface", "other"))

#: Element → the leaf that it repeats, and the leaf's attributes.
LEAVES: dict[str, tuple[str, tuple[str, str, str]]] = {
    "vertices": ("vertex", ("x", "y", "z")),
    "triangles": ("triangle", ("v1", "v2", "v3")),
}

#: Element → the element that it must stand in.
PARENTS: dict[str, str] = {
    "model": "",
    "resources": "model",
    "object": "resources",
    "mesh": "object",
    "vertices": "mesh",
    "triangles": "mesh",
    "components": "object",
    "component": "components",
    "build": "model",
    "item": "build",
}


@dataclass(frozen=True)
class Placed:
    """An object put somewhere: ``points @ matrix[:3] + matrix[3]``, matrix (4, 3)."""

    object_id: str
    matrix: NDArray[np.float64]


@dataclass
class ModelObject:
    """A shape: a mesh, or components made of other objects."""

    name: str
    kind: str
    points: NDArray[np.float64] | None = None
    faces: NDArray[np.int32] | None = None
    components: list[Placed] = field(default_factory=list)


@dataclass
class Model:
    """What the XML says. Lengths in units of `unit_mm`."""

    unit_mm: float = 1.0
    objects: dict[str, ModelObject] = field(default_factory=dict)
    items: list[Placed] = field(default_factory=list)


def parse_model(path: Path, pieces: Iterator[bytes], limits: ReadLimits) -> Model:
    """Parse the XML as it is inflated; a million triangles take about two seconds.

    Raises
    ------
    MeshFileError
        If the XML is damaged, hostile or needs an unknown extension.
    """
    builder = _Builder(path, limits)
    with xml_parser(path, "model") as parser:
        parser.StartNamespaceDeclHandler = builder.namespace
        parser.StartElementHandler = builder.start
        parser.EndElementHandler = builder.end
        for _ in feed(path, parser, pieces, limits):
            builder.convert()
    if not builder.model_seen:
        raise MeshFileError(path, "its model is not one of the 3MF core namespace")
    return builder.model


class _Builder:
    """Collects what the parser meets."""

    def __init__(self, path: Path, limits: ReadLimits) -> None:
        self.path, self.limits = path, limits
        self.model = Model()
        self.model_seen = False
        self.prefixes: dict[str, str] = {}
        self.trail: list[str] = [""]
        self.skipping = 0
        self.current: ModelObject | None = None
        self.coordinates, self.corners = array("d"), array("q")
        self.leaf, self.leaf_names = "", ("", "", "")
        self.words: list[str] = []
        self.triangles = 0

    def namespace(self, prefix: str | None, uri: str) -> None:
        if not self.model_seen:
            self.prefixes[prefix or ""] = uri

    def start(self, name: str, at: list[str]) -> None:
        # Millions of leaves come through here: they are neither put on the trail nor looked up.
        if name == self.leaf and not self.skipping:
            first, second, third = self.leaf_names
            if len(at) == 6 and at[0] == first and at[2] == second and at[4] == third:
                self.words += at[1::2]
            else:
                self.words += self.wanted(at, self.leaf_names)
            return
        uri, _, local = name.rpartition(" ")
        if self.skipping or uri != CORE or PARENTS.get(local) != self.trail[-1]:
            self.skipping += 1
            return
        self.trail.append(local)
        if local in LEAVES:
            leaf, self.leaf_names = LEAVES[local]
            self.leaf = f"{CORE} {leaf}"
        handler = getattr(self, f"start_{local}", None)
        if handler is not None:
            handler(dict(zip(at[::2], at[1::2], strict=True)))

    def end(self, name: str) -> None:
        if self.skipping:
            self.skipping -= 1
            return
        if name == self.leaf:
            return
        local = self.trail.pop()
        if local in LEAVES:
            self.words_to_numbers(local)
            self.leaf = ""
        elif local == "mesh" and self.current is not None:
            self.finish_mesh(self.current)

    def finish_mesh(self, this: ModelObject) -> None:
        this.points = np.array(self.coordinates).reshape(-1, 3)
        if not np.isfinite(this.points).all():
            raise MeshFileError(self.path, "a coordinate is not a finite number")
        corners = np.array(self.corners).reshape(-1, 3)
        if len(corners) and (corners.min() < 0 or corners.max() >= len(this.points)):
            bad = int(corners.min() if corners.min() < 0 else corners.max())
            raise MeshFileError(
                self.path, f"a triangle names point {bad}, but there are {len(this.points)}"
            )
        this.faces = corners.astype(np.int32)
        self.coordinates, self.corners = array("d"), array("q")

    def convert(self) -> None:
        """Turn collected attribute texts into numbers, so that they do not pile up."""
        if self.words:
            self.words_to_numbers(self.trail[-1])

    def words_to_numbers(self, inside: str) -> None:
        try:
            if inside == "vertices":
                self.coordinates.extend(map(float, self.words))
            else:
                self.corners.extend(map(int, self.words))
                self.triangles += len(self.words) // 3
        except (ValueError, OverflowError) as error:
            what = "numbers as coordinates" if inside == "vertices" else "whole point numbers"
            raise MeshFileError(self.path, f"its model does not give {what}: {error}") from error
        self.words.clear()
        if self.triangles > self.limits.triangles:
            raise MeshFileError(
                self.path, f"more than the {self.limits.triangles} triangles that are read"
            )

    def wanted(self, at: list[str], names: tuple[str, ...]) -> list[str]:
        given = dict(zip(at[::2], at[1::2], strict=True))
        try:
            return [given[name] for name in names]
        except KeyError as error:
            raise MeshFileError(self.path, f"its model lacks an attribute {error}") from error

    def start_model(self, given: dict[str, str]) -> None:
        self.model_seen = True
        unit = given.get("unit", "millimeter")
        self.model.unit_mm = float(one_of(self.path, "unit", unit, UNITS))
        for prefix in given.get("requiredextensions", "").split():
            uri = self.prefixes.get(prefix, prefix)
            if uri == _PRODUCTION:
                raise MeshFileError(
                    self.path,
                    f"requires the production extension ({uri}), which keeps parts in files of "
                    "their own and is not read",
                    "export it as a plain 3MF",
                )
            if uri not in HARMLESS:
                raise MeshFileError(
                    self.path,
                    f"requires the unknown extension {uri[:120]!r}",
                    "export it as a plain 3MF",
                )

    def start_object(self, given: dict[str, str]) -> None:
        number = self.wanted_text(given, "id", "object")
        if number in self.model.objects:
            raise MeshFileError(self.path, f"two objects have the id {number[:20]!r}")
        kind = given.get("type", "model")
        one_of(self.path, "object type", kind, TYPES)
        self.current = ModelObject(name=given.get("name", ""), kind=kind)
        self.model.objects[number] = self.current

    def start_mesh(self, _given: dict[str, str]) -> None:
        if self.current is not None and (self.current.faces is not None or self.current.components):
            raise MeshFileError(self.path, "an object has more than one shape")

    def start_component(self, given: dict[str, str]) -> None:
        if self.current is not None:
            if self.current.faces is not None:
                raise MeshFileError(self.path, "an object has a mesh and components")
            self.current.components.append(self.placed(given, "component"))

    def start_item(self, given: dict[str, str]) -> None:
        self.model.items.append(self.placed(given, "item"))

    def placed(self, given: dict[str, str], what: str) -> Placed:
        if f"{_PRODUCTION} path" in given:
            raise MeshFileError(
                self.path,
                f"an {what} lies in another file of the package (production extension), "
                "which is not read",
                "export it as a plain 3MF",
            )
        object_id = self.wanted_text(given, "objectid", what)
        return Placed(object_id, self.matrix(given.get("transform")))

    def wanted_text(self, given: dict[str, str], key: str, what: str) -> str:
        if key not in given:
            raise MeshFileError(self.path, f"its {what} lacks the attribute {key!r}")
        return given[key]

    def matrix(self, text: str | None) -> NDArray[np.float64]:
        if text is None:
            return np.eye(4, 3)
        try:
            values = [float(word) for word in text.split()]
        except ValueError:
            values = []
        if len(values) != 12 or not all(math.isfinite(v) and abs(v) < 1e12 for v in values):
            raise MeshFileError(self.path, f"a transform is not twelve numbers: {text[:60]!r}")
        matrix = np.array(values).reshape(4, 3)
        if abs(np.linalg.det(matrix[:3])) <= 1e-12 * np.abs(matrix[:3]).max() ** 3:
            raise MeshFileError(self.path, f"a transform flattens the part: {text[:60]!r}")
        return matrix
