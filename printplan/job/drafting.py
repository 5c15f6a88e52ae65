"""Draft a first job file from a folder of meshes: complete, commented, ready to be read back."""

from __future__ import annotations

import json
from pathlib import Path

from printplan.errors import InputError

__all__ = ["MESH_SUFFIXES", "draft_job"]

MESH_SUFFIXES = (".stl", ".3mf", ".obj", ".ply")

_HEAD = """\
# A job for printplan. Quantities are text with a unit: "14 in", "35 kg", "48 N*m", "95 degF".
# Lines with '#' are comments; take the '#' away from what you need and put in your own numbers.

title = {title}
currency = "EUR"
# Filaments to consider; `printplan materials` lists what is known.
filaments = ["PLA", "PETG", "ASA"]
# own_filaments = ["my_petg.toml"]   # grades of your own; materials/README.md tells their form

[climate]                      # the worst summer day where the vehicle stands
place = "temperate"            # temperate, warm, hot-dry, tropical
severity = "extreme"           # extreme: hottest day in some 20 years; summer: usual hot days
# air = "38 degC"              # your own design temperature instead of the place's

# [vehicle]                    # needed for gears, hubs, pulleys: their loads are computed from it
# empty_mass = "45 kg"
# rider_mass = "85 kg"
# load_mass = "20 kg"
# wheelbase = "1100 mm"
# track = "700 mm"
# front_wheels = 1             # 1 or 2
# rear_wheels = 2
# centre_behind_front = "650 mm"   # centre of mass, loaded and with the rider
# centre_height = "600 mm"
# driven = "rear"
# wheel_diameter = "400 mm"
# peak_grip = 1.0              # the high end of grip loads the parts most
# rolling_resistance = 0.03
# slope = "12 %"
# speed = "10 km/h"
# [vehicle.motor]
# torque_constant = "0.09 N*m/A"
# resistance = "0.15 ohm"
# voltage = "36 V"
# current_limit = "25 A"
# gear_ratio = 5
# [vehicle.belt]
# pitch = "8 mm"
# motor_teeth = 20
# driven_teeth = 60
# [vehicle.differential]
# pinions = 4
# [[vehicle.brakes]]
# place = "wheels"             # wheels, housing, motor, one half axle

[prices]
electricity = "0.30 EUR/kWh"

[[printers]]
name = "my printer"
class = "slow bed-moving machine"   # slow bed-moving machine, compensated bed-moving machine,
                                    # fast enclosed machine
# build_volume = ["220 mm", "220 mm", "250 mm"]

# [[spools]]
# grade = "PETG"
# mass_left = "640 g"
"""

_PART = """
[[parts]]
name = {name}
mesh = {mesh}
quantity = 1
role = "other"                 # side gear, planet pinion, housing, pulley, hub adapter,
                               # motor mount, bracket, clamp, hook, joint, other
up = "+z"                      # direction of the file that points up on the build platform
recipe = "choose"              # or {{ like = "sturdy", wall_count = 5, infill = "40 %" }}
exposure = {{ shelter = "sun", colour = "black" }}
# if_it_breaks = "may throw the rider"    # or "stops the vehicle"
# [[parts.loads]]              # a plain force; places are in the mesh file's frame
# name = "crate"
# force = ["0 N", "0 N", "-200 N"]
# at = ["40 mm", "0 mm", "10 mm"]
# held_at = ["0 mm", "0 mm", "10 mm"]
# duration = "sustained"       # single, repeated (with cycles = 10000), sustained
"""

_TAIL = """
# [[hardware]]
# designation = "ISO 4762 M5x30"
# quantity = 8
# for = "housing"
"""


def draft_job(folder: str | Path, title: str | None = None) -> str:
    """Return the text of a job file for all meshes of `folder`.

    Raises
    ------
    InputError
        If the folder can't be read or holds no mesh.
    """
    folder = Path(folder)
    try:
        meshes = sorted(
            p for p in folder.iterdir() if p.is_file() and p.suffix.lower() in MESH_SUFFIXES
        )
    except OSError as error:
        raise InputError(f"{folder}: expected a folder with meshes; {error.strerror}") from None
    if not meshes:
        raise InputError(
            f"{folder}: no mesh in it; expected files ending in " + ", ".join(MESH_SUFFIXES)
        )
    names: list[str] = []
    for mesh in meshes:
        name = mesh.stem.replace("_", " ").strip() or mesh.name
        names.append(name if name not in names else mesh.name)
    parts = [
        _PART.format(name=_toml(name), mesh=_toml(mesh.name))
        for name, mesh in zip(names, meshes, strict=True)
    ]
    head = _HEAD.format(title=_toml(title or folder.resolve().name or "My vehicle"))
    return head + "".join(parts) + _TAIL


def _toml(text: str) -> str:
    """Quote a string for TOML (its basic strings take JSON's escapes)."""
    printable = "".join(c if c.isprintable() else "?" for c in text)
    return json.dumps(printable, ensure_ascii=False)
