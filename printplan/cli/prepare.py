"""``printplan prepare``: compile the number-crunching kernels ahead of time."""

from __future__ import annotations

import time

import click

from printplan.cli.output import progress


@click.command(
    "prepare",
    short_help="Compile the number-crunching kernels ahead of time.",
    epilog="Example: printplan prepare",
)
def command() -> None:
    """Compile all kernels once; they are stored and later runs start at full speed."""
    begin = time.perf_counter()
    with progress() as report:
        report(0.0, "making a trial part")
        solid = _trial_solid()
        report(0.1, "measuring it")
        from printplan.part.bulk import bulk_properties
        from printplan.part.sections import weakest_sections
        from printplan.part.thickness import wall_thickness

        bulk = bulk_properties(solid)
        weakest_sections(solid, bulk.principal_axes)
        report(0.4, "wall thickness")
        wall_thickness(solid)
        report(0.7, "layers")
        from printplan.process import cut_layers, recipe

        cut_layers(solid, recipe("sturdy"))
        report(0.9, "pictures")
        from printplan.sheet.pictures import warm_up

        warm_up(solid)
    click.echo(f"ready: kernels compiled and stored in {time.perf_counter() - begin:.0f} s")
