"""``printplan schema``: the form of the job file for editors and other programs."""

from __future__ import annotations

import json

import click


@click.command(
    "schema",
    short_help="Print the JSON schema of the job file.",
    epilog="Example: printplan schema > job.schema.json",
)
def command() -> None:
    """Print the JSON schema (2020-12) of the job file on standard output."""
    from printplan.job.reading import job_schema

    click.echo(json.dumps(job_schema(), indent=2, ensure_ascii=False))
