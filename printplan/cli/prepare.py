"""``printplan prepare``: compile the number-crunching kernels ahead of time."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

import click

from printplan.cli.output import json_option, print_json, progress

if TYPE_CHECKING:
    from printplan.part import Solid

#: Enough triangles that every room takes its compiled path.
AROUND, ALONG = 60, 120


@click.command(
    "prepare",
    short_help="Compile the number-crunching kernels ahead of time.",
    epilog="Example: printplan prepare",
)
@json_option
def command(as_json: bool) -> None:
    """Compile all kernels once; they are stored and later runs start at full speed."""
    begin = time.perf_counter()
    with progress() as report:
        report(0.0, "reading a trial part")
        solid = _trial_solid()
        report(0.1, "measuring it")
        from printplan.part import bulk_properties, wall_thickness, weakest_sections

        weakest_sections(solid, bulk_properties(solid).principal_axes)
        report(0.4, "wall thickness")
        wall_thickness(solid)
        report(0.7, "layers")
        from printplan.process import cut_layers, recipe

        cut_layers(solid, recipe("sturdy"))
        report(0.9, "pictures")
        from printplan.sheet.pictures import warm_up

        warm_up(solid)
    seconds = time.perf_counter() - begin
    if as_json:
        print_json({"compiled_s": seconds})
    else:
        click.echo(f"ready: kernels compiled and stored in {seconds:.0f} s")


def compiled_before() -> bool:
    """Whether compiled kernels are stored beside the package, as far as can be told quickly."""
    from pathlib import Path

    stored = Path(__file__).parent.parent / "part" / "__pycache__"
    return any(stored.glob("thickness_kernels*.nbi"))


def _trial_solid() -> Solid:
    """Make a ring of 14,400 triangles, by way of a file, so that reading is compiled too."""
    import tempfile
    from pathlib import Path

    import numpy as np

    from printplan.part import load_solid

    u, v = np.meshgrid(
        np.arange(ALONG) * 2 * np.pi / ALONG, np.arange(AROUND) * 2 * np.pi / AROUND, indexing="ij"
    )
    ring = 40 + 12 * np.cos(v)
    a = np.stack([ring * np.cos(u), ring * np.sin(u), 12 * np.sin(v)], axis=-1)
    b, d = np.roll(a, -1, axis=0), np.roll(a, -1, axis=1)
    c = np.roll(b, -1, axis=1)
    corners = np.concatenate([np.stack([a, b, c], axis=-2), np.stack([a, c, d], axis=-2)])
    corners = corners.reshape(-1, 3, 3)
    with tempfile.TemporaryDirectory() as folder:
        text, binary = Path(folder, "trial.stl"), Path(folder, "binary.stl")
        lines = ["solid trial"]
        for triangle in corners[:8]:
            lines += ["facet normal 0 0 0", "outer loop"]
            lines += [f"vertex {x:.6f} {y:.6f} {z:.6f}" for x, y, z in triangle]
            lines += ["endloop", "endfacet"]
        text.write_text("\n".join([*lines, "endsolid trial"]))
        load_solid(text)
        record = np.zeros(len(corners), dtype=[("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
        record["v"] = corners
        binary.write_bytes(bytes(80) + np.uint32(len(record)).tobytes() + record.tobytes())
        return load_solid(binary)
