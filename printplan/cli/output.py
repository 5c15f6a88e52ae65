"""What all commands share when they print: JSON, tables, progress."""

from __future__ import annotations

import dataclasses
import json
import math
import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click

from printplan.errors import InputError

if TYPE_CHECKING:
    from rich.table import Table

__all__ = [
    "as_plain",
    "check_folder",
    "json_option",
    "print_json",
    "print_table",
    "progress",
    "warn",
    "write_files",
    "write_text",
]

Report = Callable[[float, str], None]

json_option = click.option(
    "--json",
    "as_json",
    is_flag=True,
    help="Print the result as JSON and nothing else on standard output.",
)


def as_plain(value: Any) -> Any:
    """Turn results (dataclasses, arrays, enums, paths) into what JSON can hold.

    Not-a-number and infinities become null: JSON has no word for them.
    """
    if hasattr(value, "to_dict") and callable(value.to_dict):
        return as_plain(value.to_dict())
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {f.name: as_plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, Enum):
        return as_plain(value.value)
    if isinstance(value, Path):
        return str(value)
    if isinstance(value, dict):
        return {str(k): as_plain(v) for k, v in value.items()}
    if isinstance(value, str) or value is None or isinstance(value, bool):
        return value
    if isinstance(value, (list, tuple, set, frozenset)):
        return [as_plain(v) for v in value]
    if hasattr(value, "tolist"):
        return as_plain(value.tolist())
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    return value


def print_json(result: Any) -> None:
    """Print `result` as one JSON document on standard output."""
    click.echo(json.dumps(as_plain(result), indent=2, ensure_ascii=False, allow_nan=False))


def print_table(
    columns: Sequence[str],
    rows: Sequence[Sequence[str]],
    title: str | None = None,
    numeric: Sequence[int] = (),
) -> None:
    """Print a table: boxed and fitted in a terminal, plain wide text elsewhere."""
    from rich import box
    from rich.console import Console
    from rich.table import Table

    console = Console(soft_wrap=False)
    plain = not console.is_terminal
    if plain:
        console = Console(width=160, no_color=True, highlight=False)
    table: Table = Table(
        title=title,
        title_justify="left",
        box=box.SIMPLE if plain else box.ROUNDED,
        show_edge=not plain,
        pad_edge=False,
    )
    for i, column in enumerate(columns):
        side: Literal["left", "right"] = "right" if i in numeric else "left"
        table.add_column(column.replace("[", r"\["), justify=side, overflow="fold")
    for row in rows:
        table.add_row(*(cell.replace("[", r"\[") for cell in row))
    console.print(table)


def warn(text: str) -> None:
    """Print one warning line on standard error."""
    click.echo(f"warning: {text}", err=True)


def check_folder(folder: Path) -> None:
    """See that files can be written to `folder`, there or not yet, before long work is done.

    Raises
    ------
    InputError
        If the place can't be written to.
    """
    place = folder
    while not place.exists() and place != place.parent:
        place = place.parent
    probe = place / f".{os.getpid()}.part"
    try:
        probe.write_bytes(b"")
        probe.unlink()
    except OSError as error:
        raise InputError(
            f"{folder}: can't be written to ({error.strerror}); name another place"
        ) from error


def write_files(folder: Path, contents: dict[str, bytes]) -> None:
    """Write files into `folder`, each whole or not at all: temporary files first, then renames.

    Raises
    ------
    InputError
        If the place can't be written to.
    """
    waiting = {name: folder / f".{name}.{os.getpid()}.part" for name in contents}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in contents.items():
            waiting[name].write_bytes(content)
        for name, temporary in waiting.items():
            temporary.replace(folder / name)
    except OSError as error:
        raise InputError(
            f"{folder}: can't be written to ({error.strerror}); name another place"
        ) from error
    finally:
        for temporary in waiting.values():
            with suppress(OSError):
                temporary.unlink()


def write_text(path: Path, text: str) -> None:
    """Write UTF-8 text whole or not at all."""
    write_files(path.parent, {path.name: text.encode("utf-8")})


@contextmanager
def progress(enabled: bool = True, *, lines: bool = True) -> Iterator[Report]:
    """Show progress on standard error while the block runs.

    The block gets a function ``report(fraction, text)``. In a terminal a bar is drawn; elsewhere
    each new text is one line, so that logs stay readable, or nothing where `lines` is False (short
    work).
    """
    from rich.console import Console

    console = Console(stderr=True)
    if not enabled or not (lines or console.is_terminal):
        yield lambda fraction, text: None
        return
    if not console.is_terminal:
        last = ""

        def plain(fraction: float, text: str) -> None:
            nonlocal last
            if text != last:
                last = text
                click.echo(f"[{fraction * 100:3.0f} %] {text}", err=True)

        yield plain
        return
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    with Progress(
        TextColumn("{task.percentage:3.0f} %"),
        BarColumn(bar_width=30),
        TimeElapsedColumn(),
        TextColumn("{task.description}"),
        console=console,
        transient=True,
    ) as bar:
        task = bar.add_task("", total=1.0)
        yield lambda fraction, text: bar.update(task, completed=fraction, description=text)
