"""``printplan plan``: the whole road, from a job file to a judged and priced plan."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from printplan.cli.output import (
    as_plain,
    check_folder,
    json_option,
    print_json,
    print_table,
    progress,
    write_files,
)
from printplan.cli.prepare import compiled_before

if TYPE_CHECKING:
    from printplan.planning import Candidate, JobPlan, PartPlan

_MARK = {"suitable": "fit", "marginal": "marginal", "unsuitable": "UNFIT", "not judged": "open"}


@click.command(
    "plan",
    short_help="Judge, price and arrange every part of a job.",
    epilog="Example: printplan plan sample_meshes/orchard_carrier/job.toml --out my_plan",
)
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder for plan.json, plan.csv and sheet.html [the folder 'plan' beside the job file].",
)
@click.option("--strict", is_flag=True, help="Exit code 1 if no filament is fit for some part.")
@json_option
def command(job_file: Path, out: Path | None, strict: bool, as_json: bool) -> int:
    """Judge every part of JOB in every filament on the hot day, price it, put it on plates.

    JOB is a job file or the folder that holds job.toml. Writes plan.json, plan.csv and the job
    sheet, sheet.html, which needs no network.
    """
    from printplan.job import read_job
    from printplan.planning import plan_job
    from printplan.sheet import sheet_html

    job = read_job(job_file)
    folder = out or job.file.parent / "plan"
    check_folder(folder)
    with progress() as report:
        if not compiled_before():
            report(0.0, "first run: kernels are compiled on the way, some ten seconds more")
        plan = plan_job(job, lambda share, text: report(0.9 * share, text))
        report(0.9, "drawing the job sheet")
        document = json.dumps(as_plain(plan), indent=1, ensure_ascii=False, allow_nan=False)
        csv = plan.to_frame().to_csv(index=False, lineterminator="\n")
        sheet = sheet_html(plan, lambda share, text: report(0.9 + 0.1 * share, text))
        write_files(
            folder,
            {
                "plan.json": document.encode(),
                "plan.csv": csv.encode(),
                "sheet.html": sheet.encode(),
            },
        )
    if as_json:
        print_json(plan)
    else:
        _show(plan, folder)
    return 1 if strict and plan.unfit else 0


def _show(plan: JobPlan, folder: Path) -> None:
    from printplan.quantities import show_duration

    click.echo(f"{plan.title}: {plan.place}\n")
    grades = sorted({c.verdict.grade for p in plan.parts for c in p.candidates})
    print_table(
        ["part", "pieces", *grades, "pick", "recipe", "part °C", "safety (asked)", "g", "time",
         plan.currency],
        [_row(p, grades) for p in plan.parts],
        numeric=(1, *range(5 + len(grades), 10 + len(grades))),
    )  # fmt: skip
    _findings(plan)
    total = plan.totals
    click.echo(
        f"\nThe set: {total.pieces} pieces, {total.filament_g:.0f} g "
        f"({total.filament_m:.0f} m) of filament, "
        f"{show_duration(total.build_time_s)} of printing piece by piece "
        f"({show_duration(total.time_low_s)} to {show_duration(total.time_high_s)}), "
        f"{total.energy_wh / 1000:.1f} kWh, {total.cost:.2f} {plan.currency} "
        f"({total.cost_low:.2f} to {total.cost_high:.2f})"
    )
    for printer in plan.printers:
        if printer.plates:
            click.echo(
                f"Plates on {printer.printer}: {printer.plates}, "
                f"{show_duration(printer.build_time_s)} in all"
            )
    for grade, count in total.spools_to_buy.items():
        click.echo(f"Buy: {count} spool{'s' if count > 1 else ''} of {grade}")
    for text in plan.warnings:
        click.echo(f"Mind: {text}")
    click.echo(
        "\nEstimates, not allowances: prove every part that a person depends on before anyone "
        "rides."
    )
    click.echo(f"Written: {folder / 'sheet.html'}, plan.json, plan.csv")


def _row(part: PartPlan, grades: list[str]) -> list[str]:
    from printplan.quantities import show_duration

    verdicts = {c.verdict.grade: _MARK[c.verdict.suitability] for c in part.candidates}
    tight = part.best.verdict.tightest
    return [
        part.name,
        str(part.quantity),
        *(verdicts.get(g, "") for g in grades),
        part.pick or "none",
        part.best.recipe.name,
        f"{part.temperature.design_degc:.0f}",
        f"{tight.safety:.2f} ({tight.required:.2f})" if tight else "-",
        f"{part.filament_g:.0f}",
        show_duration(part.build_time_s),
        f"{part.cost:.2f}",
    ]


def _findings(plan: JobPlan) -> None:
    """Say what is thin, what is refused and why; parts refused for the same heat share a line."""
    softened: dict[str, list[tuple[PartPlan, Candidate]]] = {}
    for part in plan.parts:
        lines = [r.text for r in part.best.verdict.reasons if r.topic == "wall"]
        if part.pick is None:
            lines += [t for t in part.best.verdict.deciding if t not in lines][:2]
        for candidate in part.candidates:
            verdict = candidate.verdict
            if verdict.suitability != "unsuitable":
                continue
            first = next(r for r in verdict.reasons if r.effect == "unsuitable")
            if first.topic == "heat":
                softened.setdefault(verdict.grade, []).append((part, candidate))
            elif part.pick is not None:
                lines.append(f"{verdict.grade} refused: {first.text}")
        if lines:
            click.echo(f"\n{part.name}:")
            for line in lines:
                click.echo(f"  - {line}")
    click.echo()
    for grade, cases in softened.items():
        reached = [part.temperature.design_degc for part, _ in cases]
        held = [c.verdict.limit.limit_degc or 0.0 for _, c in cases]
        names = (
            "all parts" if len(cases) == len(plan.parts) else ", ".join(p.name for p, _ in cases)
        )
        # A tenth where whole degrees would read "reach 60, holds up to 60".
        digits = 1 if _span(reached) == _span(held) else 0
        click.echo(
            f"{grade} refused: softens: on the hot day parts reach {_span(reached, digits)}, "
            f"it holds its shape up to {_span(held, digits)} under their loads ({names})"
        )


def _span(degc: list[float], digits: int = 0) -> str:
    low, high = f"{min(degc):.{digits}f}", f"{max(degc):.{digits}f}"
    return f"{low} °C" if low == high else f"{low} to {high} °C"
