"""``printplan new``: draft a job file from a folder of meshes."""

from __future__ import annotations

from pathlib import Path

import click

from printplan.cli.output import json_option
from printplan.errors import InputError


@click.command(
    "new",
    short_help="Draft a job file from a folder of meshes.",
    epilog="Example: printplan new my_trike && printplan plan my_trike",
)
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="File to write [FOLDER/job.toml].")
@click.option("--title", help="Title of the job [the folder's name].")
@click.option("--overwrite", is_flag=True, help="Replace a job file that is already there.")
@json_option
def command(
    folder: Path, out: Path | None, title: str | None, overwrite: bool, as_json: bool
) -> None:
    """Draft a commented job file for all meshes in FOLDER, ready to be filled in."""
    from printplan.cli.output import print_json, write_text
    from printplan.job.drafting import draft_job

    text = draft_job(folder, title)
    target = out or folder / "job.toml"
    if target.exists() and not overwrite:
        raise InputError(f"{target} is there already; --overwrite replaces it")
    write_text(target, text)
    if as_json:
        print_json({"written": target})
        return
    click.echo(f"{target} written: say in it what the vehicle weighs and where it stands, then run")
    click.echo(f"  printplan plan {target}")
