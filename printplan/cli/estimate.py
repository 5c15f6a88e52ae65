"""``printplan estimate``: filament, time, energy and cost of printing meshes, from real layers."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from printplan.cli.output import json_option, print_json, print_table, progress, warn

if TYPE_CHECKING:
    from printplan.part import Solid
    from printplan.process import Consumption, Recipe

__all__ = ["command"]

_KINDS = ("walls", "skins", "infill", "support")
_SUMS = ("filament_g", "filament_m", "build_time_s", "energy_wh", "cost")


def _quantity(unit: str) -> Any:
    """Return a click callback that reads a number with a unit."""

    def read(_ctx: click.Context, param: click.Parameter, text: str | None) -> float | None:
        from printplan.quantities import parse_quantity

        return None if text is None else parse_quantity(text, unit, param.opts[0])

    return read


@click.command(
    "estimate",
    short_help="Filament, time, energy and cost from real layers.",
    epilog="Example: printplan estimate bracket.stl --filament PETG --walls 5 --infill 40%",
)
@click.argument(
    "files", metavar="FILE...", nargs=-1, required=True, type=click.Path(path_type=Path)
)
@click.option("--filament", default="PETG", show_default=True, help="Grade of the filament table.")
@click.option(
    "--printer",
    "printer_class",
    default="slow bed-moving machine",
    show_default=True,
    help="Generic class of printer.",
)
@click.option(
    "--recipe",
    "recipe_name",
    default="sturdy",
    show_default=True,
    help="Starting recipe: light, sturdy or solid.",
)
@click.option("--walls", type=int, help="Number of walls.")
@click.option("--infill", callback=_quantity(""), help='Infill fraction ("40%" or 0.4).')
@click.option("--layer-height", callback=_quantity("mm"), help='Layer height ("0.2 mm").')
@click.option("--line-width", callback=_quantity("mm"), help='Width of the bead ("0.45 mm").')
@click.option(
    "--supports", help='Support under overhangs: "none" or "where needed" (as the recipe says).'
)
@click.option("--up", default="+z", show_default=True, help="Axis of the file that points up.")
@click.option("--unit", default="mm", show_default=True, help="Unit of files that state none.")
@json_option
def command(
    files: tuple[Path, ...],
    filament: str,
    printer_class: str,
    recipe_name: str,
    walls: int | None,
    infill: float | None,
    layer_height: float | None,
    line_width: float | None,
    supports: str | None,
    up: str,
    unit: str,
    as_json: bool,
) -> None:
    """Cut each mesh FILE into layers and tell what printing it takes, by itself.

    Walls, skins, infill and support are measured on the layers; time follows from lengths, speeds
    and accelerations of a generic class of printer that nobody has calibrated on yours.
    """
    from printplan.filament import load_table
    from printplan.process import estimate, filament_data, printer, recipe

    thread = filament_data(load_table().get(filament))
    machine = printer(printer_class)
    chosen = recipe(
        recipe_name,
        wall_count=walls,
        infill_fraction=infill,
        layer_height_mm=layer_height,
        line_width_mm=line_width,
        supports=supports,
    )
    found: list[Consumption] = []
    with progress(enabled=not as_json) as report:
        for number, path in enumerate(files):
            report(number / len(files), path.name)
            found += [
                estimate(solid, chosen, machine, thread)
                for solid in _standing_solids(path, unit=unit, up=up)
            ]
    total = {key: sum(getattr(each, key) for each in found) for key in _SUMS}
    if as_json:
        print_json({"recipe": chosen, "parts": found, "total": total})
        return
    _print(found, total, chosen)


def _standing_solids(path: Path, *, unit: str, up: str) -> Iterator[Solid]:
    """Read a file's parts and turn them so that `up` points up."""
    from printplan.part import load_solids, stand

    for solid in load_solids(path, unit=unit):
        yield stand(solid, up)


def _print(found: list[Consumption], total: dict[str, float], chosen: Recipe) -> None:
    from printplan.quantities import show_duration

    first = found[0]
    rows = [
        [
            each.part,
            str(each.layers),
            *(f"{each.filament_g_by_kind[kind]:.1f}" for kind in _KINDS),
            f"{each.filament_g:.1f}",
            f"{each.filament_m:.2f}",
            show_duration(each.build_time_s),
            f"{each.energy_wh:.0f}",
            f"{each.cost:.2f}",
        ]
        for each in found
    ]
    if len(found) > 1:
        by_kind = [sum(each.filament_g_by_kind[kind] for each in found) for kind in _KINDS]
        rows.append(
            [
                "total",
                str(sum(each.layers for each in found)),
                *(f"{grams:.1f}" for grams in by_kind),
                f"{total['filament_g']:.1f}",
                f"{total['filament_m']:.2f}",
                show_duration(total["build_time_s"]),
                f"{total['energy_wh']:.0f}",
                f"{total['cost']:.2f}",
            ]
        )
    columns = ["part", "layers", *(f"{kind} g" for kind in _KINDS)]
    columns += ["all g", "m", "time", "Wh", first.currency]
    print_table(
        columns,
        rows,
        title=f"{first.filament}, {first.printer}, recipe {chosen.name}",
        numeric=range(1, len(columns)),
    )
    low = sum(each.build_time_s_range[0] for each in found)
    high = sum(each.build_time_s_range[1] for each in found)
    grams = [sum(each.filament_g_range[end] for each in found) for end in (0, 1)]
    costs = [sum(each.cost_range[end] for each in found) for end in (0, 1)]
    click.echo(
        f"Range: {grams[0]:.0f} to {grams[1]:.0f} g, {show_duration(low)} to "
        f"{show_duration(high)}, {costs[0]:.2f} to {costs[1]:.2f} {first.currency}."
    )
    kinds: dict[str, float] = {}
    items: dict[str, float] = {}
    for each in found:
        for key, value in each.time_s_by_kind.items():
            kinds[key] = kinds.get(key, 0.0) + value
        for key, value in each.cost_by_item.items():
            items[key] = items.get(key, 0.0) + value
    click.echo(
        "Time: "
        + ", ".join(f"{key} {show_duration(s)}" for key, s in kinds.items() if s >= 30)
        + "."
    )
    click.echo("Cost: " + ", ".join(f"{k} {v:.2f}" for k, v in items.items() if v >= 0.005) + ".")
    for reason in first.range_reasons:
        click.echo(f"  {reason}")
    for each in found:
        for text in each.warnings:
            warn(f"{each.part}: {text}")
