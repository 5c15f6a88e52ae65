"""``printplan schema``: the form of the job file for editors and other programs."""

from __future__ import annotations

import json

import click

from printplan.cli.output import json_option


@click.command(
    "schema",
    short_help="Print the JSON schema of the job file.",
    epilog="Example: printplan schema > job.schema.json",
)
@json_option
def command(as_json: bool) -> None:
    """Print the JSON schema (2020-12) of the job file on standard output.

    It is JSON either way; --json is taken as every command takes it.
    """
    from printplan.job.reading import job_schema

    click.echo(json.dumps(job_schema(), indent=2, ensure_ascii=False))
