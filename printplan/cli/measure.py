"""``printplan measure``: volume, sections, walls and health of meshes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from printplan.cli.output import json_option, print_json, print_table, progress, warn

if TYPE_CHECKING:
    from printplan.part import Health, MeasuredPart

__all__ = ["command"]

#: Thin regions shown in the terminal; JSON has all of them.
SHOWN_REGIONS = 5


@click.command(
    "measure",
    short_help="Measure meshes: volume, sections, walls, health.",
    epilog="Example: printplan measure bracket.stl hook.3mf --filament PETG",
)
@click.argument(
    "files", metavar="FILE...", nargs=-1, required=True, type=click.Path(path_type=Path)
)
@click.option(
    "--unit",
    default="mm",
    show_default=True,
    help="Unit of files that state none (STL, OBJ, PLY): mm, cm, m, in, ft or um.",
)
@click.option("--filament", metavar="GRADE", help="Grade of the filament table: adds the mass.")
@click.option(
    "--line-width",
    default="0.45 mm",
    show_default=True,
    help="Width of a printed bead, by which thin walls are judged.",
)
@click.option("--split", is_flag=True, help="Take every body of a file as a part of its own.")
@click.option(
    "--save",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write the part as mended, in mm; the name ends in .stl, .obj or .ply.",
)
@json_option
def command(
    files: tuple[Path, ...],
    unit: str,
    filament: str | None,
    line_width: str,
    split: bool,
    save: Path | None,
    as_json: bool,
) -> None:
    """Measure each mesh FILE (STL, 3MF, OBJ or PLY).

    Volume, surface, centroid and inertia; the least plane section across x, y, z and the principal
    axes; thin walls; and the state of the mesh with what was mended. The mass is that of a part
    printed solid. A file that can't be used is named, and the exit code is 2 then.
    """
    from printplan.errors import MeshFileError
    from printplan.part import measure
    from printplan.quantities import parse_quantity

    line_width_mm = parse_quantity(line_width, "mm", "--line-width")
    density_g_cm3 = _density_g_cm3(filament)
    parts: list[MeasuredPart] = []
    errors: list[MeshFileError] = []
    with progress(enabled=not as_json, lines=False) as report:
        for number, path in enumerate(files):

            def tell(fraction: float, text: str, done: int = number) -> None:
                report((done + fraction) / len(files), text)

            try:
                parts += measure(
                    path, unit=unit, line_width_mm=line_width_mm, split=split, report=tell
                )
            except MeshFileError as error:
                errors.append(error)
    if save is not None and not errors:
        _save(parts, save)
    if parts:
        if as_json:
            print_json(_as_dict(parts, density_g_cm3))
        else:
            _print(parts, density_g_cm3)
    for wrong in errors:
        click.echo(f"printplan: {wrong}", err=True)
    if errors:
        click.get_current_context().exit(2)


def _save(parts: list[MeasuredPart], path: Path) -> None:
    from printplan.errors import InputError
    from printplan.part.writing import write_solid

    if len(parts) != 1:
        raise InputError(f"--save writes one part, but {len(parts)} were measured; name one file")
    write_solid(parts[0].solid, path)


def _density_g_cm3(filament: str | None) -> float | None:
    """Density of a grade, None where no grade is named. [g/cm³]"""
    if filament is None:
        return None
    from printplan.filament import load_table

    return float(load_table().get(filament).density_g_cm3)


def _total(values: list[float | None]) -> float | None:
    """Sum, None as soon as a value is missing: a partial sum would be too small."""
    return None if None in values else sum(value for value in values if value is not None)


def _as_dict(parts: list[MeasuredPart], density_g_cm3: float | None) -> dict[str, Any]:
    found = [part.to_dict() for part in parts]
    total: dict[str, float | None] = {
        "volume_mm3": _total([part.volume_mm3 for part in parts]),
        "surface_area_mm2": sum(part.surface_area_mm2 for part in parts),
    }
    if density_g_cm3 is not None:
        masses = [part.solid_mass_g(density_g_cm3) for part in parts]
        for each, mass in zip(found, masses, strict=True):
            each["mass_g"] = mass
        total["mass_g"] = _total(masses)
    return {"parts": found, "total": total}


def _print(parts: list[MeasuredPart], density_g_cm3: float | None) -> None:
    for part in parts:
        file = f" ({part.path.name})" if part.path is not None else ""
        print_table(["part", f"{part.name}{file}"], _rows(part, density_g_cm3))
        for text in part.warnings:
            warn(f"{part.name}: {text}")
    if len(parts) > 1:
        rows = [
            ["volume", _with_unit(_total([p.volume_mm3 for p in parts]), "mm³")],
            ["surface", _with_unit(sum(p.surface_area_mm2 for p in parts), "mm²")],
        ]
        if density_g_cm3 is not None:
            mass = _total([p.solid_mass_g(density_g_cm3) for p in parts])
            rows.append(["mass if solid", _with_unit(mass, "g")])
        print_table(["total", f"{len(parts)} parts"], rows)


def _rows(part: MeasuredPart, density_g_cm3: float | None) -> list[list[str]]:
    size = part.solid.box_mm[1] - part.solid.box_mm[0]
    rows = [
        ["size", " x ".join(f"{side:.2f}" for side in size) + " mm"],
        ["volume", _with_unit(part.volume_mm3, "mm³")],
        ["surface", _with_unit(part.surface_area_mm2, "mm²")],
    ]
    if density_g_cm3 is not None:
        rows.append(["mass if solid", _with_unit(part.solid_mass_g(density_g_cm3), "g")])
    if part.bulk is not None:
        rows.append(["centroid", f"{_place(part.bulk.centroid_mm)} mm"])
    if part.weakest_sections:
        least = min(part.weakest_sections, key=lambda section: section.area_mm2)
        where = f"across {least.axis_name} at {_place(least.origin_mm)} mm"
        rows.append(["weakest section", f"{_with_unit(least.area_mm2, 'mm²')} {where}"])
    rows.append(["thinnest wall", _with_unit(part.thinnest_wall_mm, "mm")])
    regions = part.thickness.regions
    for region in regions[:SHOWN_REGIONS]:
        rows.append(
            [
                "  thin",
                f"{_with_unit(region.thickness_mm, 'mm')} ({region.bead_widths:.1f} beads) over "
                f"{_with_unit(region.area_mm2, 'mm²')} at {_place(region.place_mm)} mm: "
                f"{region.judged}",
            ]
        )
    if len(regions) > SHOWN_REGIONS:
        rows.append(["", f"and {len(regions) - SHOWN_REGIONS} more (see --json)"])
    if part.health is not None:
        rows.append(["mesh", _state(part.health, len(part.solid.faces))])
        rows += [["mended", text] for text in part.health.mended]
    return rows


def _state(health: Health, triangles: int) -> str:
    words = [
        f"{triangles} triangles",
        "closed" if health.closed else f"open at {health.open_edges} edges",
        f"{health.bodies} {'body' if health.bodies == 1 else 'bodies'}",
    ]
    if health.cavities:
        words.append(f"{health.cavities} {'cavity' if health.cavities == 1 else 'cavities'}")
    if not health.winding_consistent:
        words.append("triangles faced both ways")
    if not health.outward:
        words.append("was inside out")
    return ", ".join(words)


def _with_unit(value: float | None, unit: str) -> str:
    """Show four figures at least, and a dash where there is no number."""
    if value is None or value != value:
        return "-"
    return f"{value:,.0f} {unit}".replace(",", " ") if value >= 1000 else f"{value:.4g} {unit}"


def _place(values: Any) -> str:
    return ", ".join(f"{value:.2f}" for value in values)
