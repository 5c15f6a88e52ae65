"""From a mesh file to the measured part that everything downstream trusts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from printplan.errors import InputError, MeshFileError
from printplan.part.bulk import Bulk, bulk_properties, surface_area_mm2
from printplan.part.health import Health, make_solid, split_bodies
from printplan.part.reading import ReadLimits, read_meshes, unit_mm_of
from printplan.part.solid import Solid

if TYPE_CHECKING:
    from printplan.part.sections import WeakestSection
    from printplan.part.thickness import Thickness

__all__ = ["MeasuredPart", "load_solid", "load_solids", "measure", "measure_solid"]

#: Longest sides of printed parts outside this range are doubtful. [mm] [common practice]
LEAST_SIDE_MM, GREATEST_SIDE_MM = 2.0, 2000.0
#: Longest sides that make a unit likely. [mm] [common practice]
LIKELY_SIDE_MM = (5.0, 1000.0)
#: Units to guess at, the commonest first.
LIKELY_UNITS = ("mm", "in", "m", "cm", "um")

Report = Callable[[float, str], None]


@dataclass(frozen=True, kw_only=True, eq=False)
class MeasuredPart:
    """Everything that is known of a part's shape.

    Attributes
    ----------
    name : str
        What it is called: the file's stem, or the object's name in the file.
    path : Path, optional
        The file; None for a solid that came from elsewhere.
    solid : Solid
    health : Health, optional
        What was found of the mesh and mended; None for a solid that came from elsewhere.
    surface_area_mm2 : float
        Area of all triangles. [mm²]
    bulk : Bulk, optional
        Volume and inertia; None where the mesh bounds no solid.
    weakest_sections : tuple of WeakestSection
        Along x, y, z and the principal axes; empty where the mesh bounds no solid.
    thickness : Thickness
        Wall thickness over the surface, thin regions.
    warnings : tuple of str
        All that the reader must know.
    """

    name: str
    path: Path | None
    solid: Solid = field(repr=False)
    health: Health | None
    surface_area_mm2: float
    bulk: Bulk | None
    weakest_sections: tuple[WeakestSection, ...] = field(repr=False)
    thickness: Thickness = field(repr=False)
    warnings: tuple[str, ...]

    @property
    def closed(self) -> bool:
        """Whether the mesh bounds a solid."""
        return self.bulk is not None

    @property
    def volume_mm3(self) -> float | None:
        """Volume; None where the mesh bounds no solid. [mm³]"""
        return None if self.bulk is None else self.bulk.volume_mm3

    @property
    def min_section_mm2(self) -> float | None:
        """Area of the weakest planar cut over all axes looked along. [mm²]"""
        return min((s.area_mm2 for s in self.weakest_sections), default=None)

    @property
    def thinnest_wall_mm(self) -> float:
        """Thickness of the thinnest wall; NaN where none could be measured. [mm]"""
        return self.thickness.thinnest_mm

    def solid_mass_g(self, density_g_cm3: float) -> float | None:
        """Mass if the part were solid plastic; None where the mesh bounds no solid. [g]"""
        return None if self.bulk is None else self.bulk.volume_mm3 / 1000.0 * density_g_cm3

    def to_dict(self) -> dict[str, Any]:
        """Return plain values, units in the keys; without the triangles."""
        box = self.solid.box_mm
        thickness = self.thickness
        return {
            "name": self.name,
            "file": None if self.path is None else self.path.name,
            "closed": self.closed,
            "triangles": len(self.solid.faces),
            "volume_mm3": self.volume_mm3,
            "surface_area_mm2": self.surface_area_mm2,
            "min_section_mm2": self.min_section_mm2,
            "thinnest_wall_mm": _number_or_none(self.thinnest_wall_mm),
            "warnings": list(self.warnings),
            "box_mm": box.tolist(),
            "size_mm": (box[1] - box[0]).tolist(),
            **{
                key: None if self.bulk is None else getattr(self.bulk, key).tolist()
                for key in ("centroid_mm", "inertia_mm5", "principal_mm5", "principal_axes")
            },
            "health": None if self.health is None else self.health.to_dict(),
            "sections": [asdict(section) for section in self.weakest_sections],
            "line_width_mm": thickness.line_width_mm,
            "thin_regions": [asdict(region) for region in thickness.regions],
        }


def _number_or_none(value: float) -> float | None:
    return value if np.isfinite(value) else None


def load_solids(
    path: str | Path, *, unit: str = "mm", limits: ReadLimits | None = None
) -> list[Solid]:
    """Read the parts of a mesh file, without measuring them.

    Raises
    ------
    MeshFileError
        If the file is damaged or asks for too much.
    """
    return [make_solid(raw)[0] for raw in read_meshes(path, unit=unit, limits=limits)]


def load_solid(path: str | Path, *, unit: str = "mm", limits: ReadLimits | None = None) -> Solid:
    """Read a file that holds one part, without measuring it.

    Raises
    ------
    MeshFileError
        If the file is damaged, asks for too much, or holds several parts.
    """
    solids = load_solids(path, unit=unit, limits=limits)
    if len(solids) != 1:
        raise MeshFileError(path, f"holds {len(solids)} parts, one was expected", "split the file")
    return solids[0]


def measure(
    source: str | Path | Solid,
    *,
    unit: str = "mm",
    line_width_mm: float = 0.45,
    split: bool = False,
    limits: ReadLimits | None = None,
    report: Report | None = None,
) -> list[MeasuredPart]:
    """Read a mesh file and measure its parts.

    Parameters
    ----------
    source : str, Path or Solid
        STL, 3MF, OBJ or PLY; or a solid that is there already.
    unit : str
        Unit of a file that states none, a key of `reading.UNIT_MM`.
    line_width_mm : float
        Width of a printed bead, for thin walls. [mm]
    split : bool
        Take every body of a file as a part of its own.
    limits : ReadLimits, optional
        How much the file may ask for.
    report : callable, optional
        Called with the fraction done and what is being done.

    Returns
    -------
    list of MeasuredPart
        At least one, in the order of the file.

    Raises
    ------
    MeshFileError
        If the file can't be read, is damaged or asks for too much.
    InputError
        If the unit is not known.
    """
    say = report or (lambda fraction, text: None)
    path: Path | None = None
    found: list[tuple[Solid, Health | None, tuple[str, ...]]] = []
    if isinstance(source, Solid):
        found.append((source, None, ()))
    else:
        path = Path(source)
        say(0.0, f"reading {path.name}")
        for raw in read_meshes(path, unit=unit, limits=limits):
            made, state = make_solid(raw)
            found.append((made, state, _size_warning(made, None if raw.unit_stated else unit)))
    if split:
        found = [(b, health, notes) for s, health, notes in found for b in split_bodies(s)]
    parts = []
    for number, (solid, health, notes) in enumerate(found):

        def tell(fraction: float, text: str, done: int = number) -> None:
            say((done + fraction) / len(found), text)

        parts.append(
            measure_solid(
                solid,
                health=health,
                path=path,
                line_width_mm=line_width_mm,
                notes=notes,
                report=tell,
            )
        )
    return parts


def measure_solid(
    solid: Solid,
    *,
    health: Health | None = None,
    path: Path | None = None,
    line_width_mm: float = 0.45,
    notes: tuple[str, ...] = (),
    report: Report | None = None,
) -> MeasuredPart:
    """Measure a solid that is there already; see `measure`.

    Parameters
    ----------
    solid : Solid
    health, path
        Where it comes from, if from a file.
    line_width_mm : float
        Width of a printed bead. [mm]
    notes : tuple of str
        Further warnings to pass on.
    report : callable, optional
        Called with the fraction done and what is being done.
    """
    from printplan.part.sections import weakest_sections
    from printplan.part.thickness import wall_thickness

    say = report or (lambda fraction, text: None)
    say(0.1, f"{solid.name}: volume and inertia")
    bulk = _bulk_or_none(solid)
    say(0.2, f"{solid.name}: weakest sections")
    try:
        sections = weakest_sections(solid, bulk.principal_axes) if bulk is not None else ()
    except InputError as error:
        raise InputError(f"{path or solid.name}: {error}") from error
    say(0.5, f"{solid.name}: wall thickness")
    thickness = wall_thickness(solid, line_width_mm=line_width_mm)
    found = () if health is None else health.warnings
    return MeasuredPart(
        name=solid.name,
        path=path,
        solid=solid,
        health=health,
        surface_area_mm2=(
            surface_area_mm2(solid.vertices_mm, solid.faces)
            if bulk is None
            else bulk.surface_area_mm2
        ),
        bulk=bulk,
        weakest_sections=sections,
        thickness=thickness,
        warnings=(*found, *notes, *thickness.warnings),
    )


def _bulk_or_none(solid: Solid) -> Bulk | None:
    """Bulk properties, None where the mesh bounds no solid (the health says why)."""
    try:
        return bulk_properties(solid)
    except InputError:
        return None


def _size_warning(solid: Solid, unit: str | None) -> tuple[str, ...]:
    """Doubt the unit of a part that is too small or too large to be printed; guess a better one.

    `unit` is None where the file states it.
    """
    sides = solid.box_mm[1] - solid.box_mm[0]
    longest = float(sides.max())
    if LEAST_SIDE_MM <= longest <= GREATEST_SIDE_MM:
        return ()
    size = " x ".join(f"{side:.4g}" for side in sides) + " mm"
    if unit is None:
        return (f"the part measures {size}: is the unit that the file states right?",)
    number = longest / unit_mm_of(unit)
    low, high = LIKELY_SIDE_MM
    likely = next((u for u in LIKELY_UNITS if low <= number * unit_mm_of(u) <= high), None)
    hint = f"its numbers look like {likely}: try --unit {likely}" if likely else "check the unit"
    return (f"the part measures {size} if its numbers are in {unit}; {hint}",)
