"""``printplan loads``: what the vehicle puts on its parts, with every step."""

from __future__ import annotations

from pathlib import Path

import click

from printplan.cli.output import json_option, print_json, print_table


@click.command(
    "loads",
    short_help="Loads that the vehicle puts on every part.",
    epilog="Example: printplan loads sample_meshes/orchard_carrier/job.toml --explain launch",
)
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.option("--explain", metavar="CASE", help="Show every step of one load case.")
@json_option
def command(job_file: Path, explain: str | None, as_json: bool) -> None:
    """Show the load cases of JOB's vehicle: torques, forces, how often they come, what limits them.

    JOB is a job file or the folder that holds job.toml.
    """
    from printplan.errors import JobFileError
    from printplan.job import read_job
    from printplan.planning.inputs import vehicle_of
    from printplan.vehicle import vehicle_loads

    job = read_job(job_file)
    vehicle = vehicle_of(job)
    if vehicle is None:
        raise JobFileError(job.file, "vehicle", None, "a [vehicle] table to work out loads from")
    loads = vehicle_loads(vehicle)
    if explain is not None:
        case = loads.case(explain)
        if as_json:
            print_json(case)
            return
        click.echo(f"{case.name}: {case.story}")
        for step in case.trail:
            click.echo(f"  {step}")
        click.echo(f"Assumed: {case.assumption}\nSource: {case.source}")
        return
    if as_json:
        print_json(loads)
        return
    print_table(
        ["load case", "how often", "housing N·m", "side gear N·m", "wheel N·m", "belt N",
         "motor N·m", "wheel load N", "sideways N", "limited by"],
        [
            [
                c.name,
                f"{c.cycles:.3g} x" if c.duration == "repeated" else c.duration,
                *(
                    f"{value:.1f}" if value else "-"
                    for value in (
                        c.housing_torque_nmm / 1e3,
                        c.side_gear_torque_nmm / 1e3,
                        c.wheel_torque_nmm / 1e3,
                        c.belt_force_n,
                        c.motor_output_torque_nmm / 1e3,
                        c.wheel_vertical_n,
                        c.wheel_lateral_n,
                    )
                ),
                c.limited_by,
            ]
            for c in loads.cases
        ],
        title=job.title,
        numeric=range(1, 9),
    )  # fmt: skip
    for text in loads.warnings:
        click.echo(f"Mind: {text}")
