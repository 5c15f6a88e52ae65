"""What several rooms' tests share: a small job with meshes that are planned in a second."""

from __future__ import annotations

import os
import struct
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
from hypothesis import settings

# The one check must give the same answer twice; at the desk new examples are tried every time.
settings.register_profile("same every time", derandomize=True, deadline=None)
if os.environ.get("CI"):
    settings.load_profile("same every time")

#: An invented pair of brackets and a thin cover; every number is made up for the tests.
HEAD = """
title = "Two brackets and a cover"
filaments = ["PLA", "ASA", "PETG"]

[prices]
electricity = "0.30 EUR/kWh"
filament = { PETG = "20 EUR/kg" }

[[printers]]
name = "bench printer"
class = "slow bed-moving machine"

[[printers]]
name = "closed printer"
class = "fast enclosed machine"
can_dry = true

[[spools]]
grade = "petg"
mass_left = "400 g"
"""

PARTS = {
    "light bracket": """
[[parts]]
name = "light bracket"
mesh = "bracket.stl"
quantity = 2
role = "bracket"
exposure = { shelter = "sun", colour = "white" }

[[parts.loads]]
name = "a bag"
force = ["0 N", "-15 N", "0 N"]
at = ["55 mm", "10 mm", "10 mm"]
held_at = ["5 mm", "38 mm", "10 mm"]
""",
    "heavy bracket": """
[[parts]]
name = "heavy bracket"
mesh = "bracket.stl"
role = "bracket"
exposure = { shelter = "sun", colour = "white" }

[[parts.loads]]
name = "a bag and a knock"
force = ["0 N", "-15 N", "0 N"]
at = ["55 mm", "10 mm", "10 mm"]
held_at = ["5 mm", "38 mm", "10 mm"]
shock_factor = 4
""",
    "cover": """
[[parts]]
name = "cover"
mesh = "cover.stl"
exposure = { shelter = "shade", colour = "light grey" }
""",
}

TAIL = """
[[hardware]]
designation = "ISO 4762 M5x20"
quantity = 4
price = "0.20 EUR"
"""


def write_prism(path: Path, outline: Sequence[tuple[float, float]], height: float) -> Path:
    """A prism as a binary STL file; the first corner of `outline` must see all the others."""
    low = [(x, y, 0.0) for x, y in outline]
    high = [(x, y, height) for x, y in outline]
    count = len(outline)
    triangles = [(low[0], low[i + 1], low[i]) for i in range(1, count - 1)]
    triangles += [(high[0], high[i], high[i + 1]) for i in range(1, count - 1)]
    for i in range(count):
        j = (i + 1) % count
        triangles += [(low[i], low[j], high[j]), (low[i], high[j], high[i])]
    data = bytes(80) + struct.pack("<I", len(triangles))
    for triangle in triangles:
        data += struct.pack("<12fH", 0, 0, 0, *(x for corner in triangle for x in corner), 0)
    path.write_bytes(data)
    return path


@pytest.fixture(scope="session")
def prism() -> Callable[[Path, Sequence[tuple[float, float]], float], Path]:
    """Write a prism as a mesh file."""
    return write_prism


@pytest.fixture(scope="session")
def write_small_job() -> Callable[..., Path]:
    """Write the small job, or some of its parts, into a folder; gives the job file.

    Changes are pairs of (old, new) text; each is made once.
    """

    def write(folder: Path, *changes: tuple[str, str], parts: Sequence[str] = tuple(PARTS)) -> Path:
        folder.mkdir(parents=True, exist_ok=True)
        ell = [(0, 0), (60, 0), (60, 10), (10, 10), (10, 40), (0, 40)]
        write_prism(folder / "bracket.stl", ell, 20)
        write_prism(folder / "cover.stl", [(0, 0), (40, 0), (40, 30), (0, 30)], 0.6)
        text = HEAD + "".join(PARTS[name] for name in parts) + TAIL
        for old, new in changes:
            assert old in text
            text = text.replace(old, new, 1)
        file = folder / "job.toml"
        file.write_text(text, encoding="utf-8")
        return file

    return write
