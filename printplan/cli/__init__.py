"""The terminal's face: parse, call one function, print, return an exit code.

In: words on the command line. Out: text, or with ``--json`` the same result as one JSON document
on standard output (progress and warnings go to standard error). Exit codes: 0 done, 1 done but a
part is unsuitable (only with ``--strict``), 2 bad input, 130 interrupted.

Each command lives in a module of its own that is imported when the command runs; here only click
and the standard library are loaded, so that ``printplan --help`` answers at once.
"""

from __future__ import annotations

import os
from importlib import import_module
from typing import Any

# Waiting numba threads must not spin: on a small machine that doubles the run time.
os.environ.setdefault("OMP_WAIT_POLICY", "passive")

import click

from printplan.errors import PrintplanError

__all__ = ["main", "root"]

#: Command name → (module, one-line help). The help is repeated here so that listing the commands
#: imports none of them; a test compares it with the command's own.
COMMANDS: dict[str, tuple[str, str]] = {
    "plan": ("printplan.cli.plan", "Judge, price and arrange every part of a job."),
    "judge": ("printplan.cli.judge", "Which filament for which part, with reasons, ranked."),
    "measure": ("printplan.cli.measure", "Measure meshes: volume, sections, walls, health."),
    "materials": ("printplan.cli.materials", "Show the filament table and where values come from."),
    "hotday": ("printplan.cli.hotday", "Part temperature on the worst summer day."),
    "loads": ("printplan.cli.loads", "Loads that the vehicle puts on every part."),
    "estimate": ("printplan.cli.estimate", "Filament, time, energy and cost from real layers."),
    "new": ("printplan.cli.new", "Draft a job file from a folder of meshes."),
    "schema": ("printplan.cli.schema", "Print the JSON schema of the job file."),
    "prepare": ("printplan.cli.prepare", "Compile the number-crunching kernels ahead of time."),
}


class LazyGroup(click.Group):
    """A group that imports a command's module only when that command is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in the order in which a newcomer needs them."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import the module of `cmd_name` and hand out its ``command``."""
        if cmd_name not in COMMANDS:
            return None
        command = import_module(COMMANDS[cmd_name][0]).command
        assert isinstance(command, click.Command)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Add the nearest known name to the message about an unknown one."""
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as error:
            from printplan.errors import nearest

            near = nearest(args[0], COMMANDS) if args else None
            if near:
                raise click.UsageError(f"{error.message} Did you mean {near!r}?", ctx) from None
            raise

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands from the table, without importing them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in COMMANDS.items()])


def _print_version(ctx: click.Context, _param: click.Parameter, wanted: bool) -> None:
    if wanted:
        import printplan

        click.echo(f"printplan {printplan.__version__}")
        ctx.exit()


@click.group(
    cls=LazyGroup,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="Example: printplan plan sample_meshes/orchard_carrier/job.toml",
)
@click.option(
    "--version",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_print_version,
    help="Show the version and exit.",
)
def root() -> None:
    """Plan printed load-bearing parts of a home-built vehicle before they are printed.

    What load reaches each part, how hot it gets, which filament survives both, where it is too
    thin, and what the set costs in filament, hours and money.
    """


def main(argv: list[str] | None = None) -> int:
    """Run the command line and return its exit code; errors become one line on standard error."""
    try:
        result: Any = root.main(args=argv, prog_name="printplan", standalone_mode=False)
        return int(result) if isinstance(result, int) else 0
    except click.exceptions.Exit as stop:
        return stop.exit_code
    except click.ClickException as error:
        error.show()
        return error.exit_code
    except PrintplanError as error:
        click.echo(f"printplan: {error}", err=True)
        return error.exit_code
    except (click.Abort, KeyboardInterrupt):
        click.echo("printplan: interrupted; nothing was written", err=True)
        return 130
