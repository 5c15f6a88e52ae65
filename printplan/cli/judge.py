"""``printplan judge``: which filament for which part, and how far it is from the limit."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from printplan.cli.output import json_option, print_json, print_table, progress, warn

if TYPE_CHECKING:
    from printplan.judging import Verdict
    from printplan.judging.temperature_map import TemperatureMap
    from printplan.planning import Candidate, PartPlan

_ORDERS = ("cost", "ease", "margin")


@click.command(
    "judge",
    short_help="Which filament for which part, with reasons, ranked.",
    epilog="Example: printplan judge sample_meshes/orchard_carrier --part 'side gear' --map",
)
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.option("--part", "only", help="Judge this part only.")
@click.option(
    "--by",
    type=click.Choice(_ORDERS),
    default="cost",
    show_default=True,
    help="Rank filaments that suit alike by cost, ease of printing or margin.",
)
@click.option("--map", "with_map", is_flag=True, help="Margin over part temperature, as numbers.")
@click.option(
    "--picture",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Draw the map of the part named by --part into a PNG or SVG file.",
)
@json_option
def command(
    job_file: Path, only: str | None, by: str, with_map: bool, picture: Path | None, as_json: bool
) -> None:
    """Judge JOB's parts in its filaments at the hot-day temperature.

    Says the reason of every refusal, ranks what suits, and shows how the margin (safety over asked
    safety, 1 is just enough) falls as a part gets hotter.
    """
    from printplan.errors import InputError, UnknownNameError
    from printplan.job import read_job
    from printplan.planning import judge_job

    job = read_job(job_file)
    if picture is not None and only is None:
        raise InputError("--picture draws one part: name it with --part")
    if picture is not None and picture.suffix.lower() not in (".png", ".svg"):
        raise InputError(f"{picture}: expected a name ending in .png or .svg")
    if only is not None:
        kept = [p for p in job.parts if p.name == only]
        if not kept:
            raise UnknownNameError("part", only, [p.name for p in job.parts])
        source = job.file
        job = job.model_copy(update={"parts": kept})
        job._file = source
    with progress() as report:
        parts = judge_job(job, report)
    if picture is not None:
        _draw(parts[0], picture)
    if as_json:
        print_json({"parts": [_as_data(p, by) for p in parts]})
        return
    for part in parts:
        _show(part, by, with_map=with_map)
    if picture is not None:
        click.echo(f"Written: {picture}")


def ranked(part: PartPlan, by: str) -> list[Candidate]:
    """Order a part's candidates: by what suits, then by cost, ease or margin."""
    order = {"suitable": 0, "marginal": 1, "not judged": 2, "unsuitable": 3}

    def key(candidate: Candidate) -> tuple[float, float, float]:
        cost, margin = candidate.consumption.cost, -(candidate.verdict.margin or 0.0)
        first = {"cost": cost, "ease": float(candidate.ease), "margin": margin}[by]
        return float(order[candidate.verdict.suitability]), first, cost

    return sorted(part.candidates, key=key)


def _as_data(part: PartPlan, by: str) -> dict[str, object]:
    candidates = ranked(part, by)
    fit = [c for c in candidates if c.verdict.suitability in ("suitable", "marginal")]
    return {
        "name": part.name,
        "part_temperature": {
            "air_degc": part.temperature.air_degc,
            "design_degc": part.temperature.design_degc,
            "upper_degc": part.temperature.upper_degc,
        },
        "required_safety": part.required.factor,
        "pick": fit[0].verdict.grade if fit else None,
        "ranked_by": by,
        "warnings": list(part.warnings),
        "candidates": [
            {
                "grade": c.verdict.grade,
                "recipe": c.recipe.name,
                "cost": c.consumption.cost,
                "ease": c.ease,
                "margin": c.verdict.margin,
                "over_temperature": c.over_temperature,
                **c.verdict.to_dict(),
            }
            for c in candidates
        ],
    }


def _show(part: PartPlan, by: str, *, with_map: bool) -> None:
    temperature = part.temperature
    click.echo(
        f"{part.name}: {temperature.design_degc:.0f} °C on the hot day, up to "
        f"{temperature.upper_degc:.0f} °C in still air; safety asked {part.required.factor:.2f} "
        f"({part.required.reason})"
    )
    rows = []
    for c in ranked(part, by):
        verdict = c.verdict
        over = c.over_temperature
        rows.append(
            [
                verdict.grade,
                verdict.suitability,
                c.recipe.name,
                "-" if verdict.margin is None else f"{verdict.margin:.2f}",
                "-" if over is None or over.enough_up_to_degc is None
                else f"{over.enough_up_to_degc:.0f}",
                "-" if verdict.limit.limit_degc is None else f"{verdict.limit.limit_degc:.0f}",
                str(c.ease),
                f"{c.consumption.cost:.2f}",
                _why(verdict),
            ]
        )  # fmt: skip
    print_table(
        ["filament", "verdict", "recipe", "margin", "strong to °C", "firm to °C", "asks extra",
         "cost each", "why"],
        rows,
        numeric=(3, 4, 5, 6, 7),
    )  # fmt: skip
    if with_map:
        _show_map(part, by)
    for text in part.warnings:
        warn(f"{part.name}: {text}")
    click.echo()


def _why(verdict: Verdict) -> str:
    """Give the first deciding reason, and say how many more there are."""
    first, *more = verdict.deciding
    refused = verdict.suitability != "suitable"
    return f"{first} (and {len(more)} more, see --json)" if more and refused else first


def _at(over: TemperatureMap, degc: float) -> str:
    """Write the margin at a temperature, in brackets where the part is soft by then."""
    soft = over.softens_at_degc is None or degc > over.softens_at_degc
    return f"({over.at(degc):.2f})" if soft else f"{over.at(degc):.2f}"


def _show_map(part: PartPlan, by: str) -> None:
    shown = [30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0]
    hot = round(part.temperature.design_degc)
    columns = sorted({*shown, float(hot)})
    print_table(
        ["margin at", *(f"{t:.0f} °C{' (hot day)' if t == hot else ''}" for t in columns)],
        [
            [c.verdict.grade, *(_at(c.over_temperature, t) for t in columns)]
            for c in ranked(part, by)
            if c.over_temperature is not None
        ],
        numeric=range(1, len(columns) + 1),
    )
    click.echo("in brackets: strong enough or not, the filament softens before that temperature")


def _draw(part: PartPlan, target: Path) -> None:
    from printplan.cli.output import write_files
    from printplan.sheet.temperature_chart import map_picture

    kind = target.suffix.lower().lstrip(".")
    write_files(target.parent, {target.name: map_picture(part, kind)})
