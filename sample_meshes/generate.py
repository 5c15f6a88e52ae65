"""Write the orchard carrier's sample meshes: ``python generate.py [FOLDER]``.

Without a folder the files beside this script are written anew. Every run gives the same bytes.
`DIMENSIONS` says of each part what a job file needs: holes, sockets, places to hold and load.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from generating.bevel import BevelTeeth
from generating.brackets import (
    BRACKET,
    CLAMP,
    HOOK,
    battery_tray_bracket,
    crate_hook,
    steering_column_clamp,
)
from generating.differential import (
    HOUSING,
    PAIR,
    PINION,
    SIDE_GEAR,
    housing_half,
    planet_pinion,
    refined,
    side_gear,
)
from generating.drive import (
    HUB,
    MOTOR_PLATE,
    PULLEY,
    belt_pulley,
    motor_mount_plate,
    wheel_hub_adapter,
)
from generating.records import BoltCircle, Part, Point, Socket
from generating.writing import on_file_grid, write_3mf, write_stl

__all__ = ["DIMENSIONS", "generate"]

BESIDE = Path(__file__).resolve().parent / "orchard_carrier"


def _mid_face(teeth: BevelTeeth, apex_mm: float) -> Point:
    """Middle of a tooth on the pitch cone, for a gear whose file has its apex on top."""
    distance = teeth.cone_distance_mm - teeth.face_width_mm / 2
    x = distance * np.sin(teeth.pitch_cone_rad)
    return (
        round(float(x), 4),
        0.0,
        round(apex_mm - float(distance * np.cos(teeth.pitch_cone_rad)), 4),
    )


def _teeth_dimensions(teeth: BevelTeeth) -> dict[str, float]:
    """Tooth numbers at the large end and at mid-face, where they shrink with the cone distance."""
    mean = 1 - teeth.face_width_mm / 2 / teeth.cone_distance_mm
    return {
        "module": PAIR.module_mm,
        "mean module": round(PAIR.module_mm * mean, 4),
        "face width": teeth.face_width_mm,
        "cone distance": round(teeth.cone_distance_mm, 4),
        "root thickness, large end": round(teeth.root_thickness_mm, 3),
        "root thickness, mid-face": round(teeth.root_thickness_mm * mean, 3),
        "tip thickness, large end": round(teeth.tip_thickness_mm, 3),
        "root fillet, large end": teeth.fillet_mm,
        "backlash, large end": PAIR.backlash_mm,
    }


def _housing(side: str, *, with_pulley_disc: bool) -> Part:
    h = HOUSING
    circles = {
        "flange": BoltCircle(
            count=h.bolt_count,
            pitch_diameter_mm=2 * h.bolt_circle_radius_mm,
            hole_diameter_mm=2 * h.bolt_hole_radius_mm,
            bottom_mm=0.0,
            top_mm=h.flange_mm,
            first_deg=22.5,
        )
    }
    if with_pulley_disc:
        circles["pulley disc"] = BoltCircle(
            count=h.bolt_count,
            pitch_diameter_mm=2 * h.pulley_circle_radius_mm,
            hole_diameter_mm=2 * h.bolt_hole_radius_mm,
            bottom_mm=h.pulley_disc_bottom_mm,
            top_mm=h.pulley_disc_top_mm,
        )
    pin_middle = (h.cavity_mm + h.pin_half_length_mm) / 2
    return Part(
        file=f"housing_{side}.stl",
        quantity=1,
        build="split plane down, journal up",
        make=lambda: housing_half(with_pulley_disc=with_pulley_disc),
        points_mm={
            "apex": (0.0, 0.0, 0.0),
            "pin bore +x, middle": (pin_middle, 0.0, 0.0),
            "pin bore +y, middle": (0.0, pin_middle, 0.0),
            "bearing centre": (0.0, 0.0, h.collar_mm + h.bearing_width_mm / 2),
            "belt plane": (0.0, 0.0, h.pulley_disc_top_mm + PULLEY.width_mm / 2),
        },
        directions={"axle": (0.0, 0.0, 1.0)},
        bolt_circles=circles,
        dimensions_mm={
            "cavity radius": h.cavity_mm,
            "shell wall": h.shell_mm - h.cavity_mm,
            "end wall": h.end_wall_mm - h.thrust_mm,
            "flange thickness": h.flange_mm,
            "flange diameter": 2 * h.flange_radius_mm,
            "pin bore diameter": 2 * h.pin_bore_radius_mm,
            "pin bore length": h.pin_half_length_mm - h.cavity_mm,
            "hub bore diameter": 2 * h.hub_bore_radius_mm,
            "boss diameter": 2 * h.boss_radius_mm,
            "journal diameter": 2 * h.journal_radius_mm,
            "journal length": h.journal_mm - h.collar_mm,
            "bar bore diameter": 2 * h.bar_bore_radius_mm,
            "journal wall": round(h.journal_radius_mm - h.bar_bore_radius_mm, 3),
        },
    )


def _side_gear() -> Part:
    s, teeth = SIDE_GEAR, PAIR.gear
    return Part(
        file="side_gear.stl",
        quantity=2,
        build="hub end down, teeth up",
        make=lambda: refined(side_gear()),
        points_mm={
            "apex": (0.0, 0.0, s.back_mm),
            "tooth, mid-face on the pitch cone": _mid_face(teeth, s.back_mm),
            "socket, middle": (0.0, 0.0, (s.back_mm - s.front_mm) / 2),
            "thrust face": (0.0, 0.0, s.back_mm - s.thrust_mm),
        },
        directions={"axle": (0.0, 0.0, 1.0)},
        sockets={
            "half axle": Socket(
                across_flats_mm=s.across_flats_mm, bottom_mm=0.0, top_mm=s.back_mm - s.front_mm
            )
        },
        dimensions_mm={
            **_teeth_dimensions(teeth),
            "hub diameter": 2 * s.hub_radius_mm,
            "hub wall at a corner relief": round(
                s.hub_radius_mm - s.across_flats_mm / 3**0.5 - s.corner_relief_mm / 2, 3
            ),
            "thrust face outside diameter": 2 * s.thrust_radius_mm,
        },
    )


def _planet_pinion() -> Part:
    p, teeth = PINION, PAIR.pinion
    return Part(
        file="planet_pinion.stl",
        quantity=4,
        build="back face down, small end up",
        make=lambda: refined(planet_pinion()),
        points_mm={
            "apex": (0.0, 0.0, p.back_flat_mm),
            "tooth, mid-face on the pitch cone": _mid_face(teeth, p.back_flat_mm),
            "bore, middle": (0.0, 0.0, round((p.back_flat_mm - p.neck_end_mm) / 2, 4)),
        },
        directions={"pin": (0.0, 0.0, 1.0)},
        dimensions_mm={
            **_teeth_dimensions(teeth),
            "bore diameter": 2 * p.bore_radius_mm,
            "bore length": round(p.back_flat_mm - p.neck_end_mm, 4),
            "bore wall at the neck": round(p.neck_radius_mm - p.bore_radius_mm, 4),
            "back sphere radius": p.back_sphere_mm,
        },
    )


def _belt_pulley() -> Part:
    p, h = PULLEY, HOUSING
    return Part(
        file="belt_pulley.stl",
        quantity=1,
        build="web down, the seat on the housing's disc at z = 0",
        make=belt_pulley,
        points_mm={
            "belt plane": (0.0, 0.0, p.width_mm / 2),
            "belt on the pitch circle": (round(p.pitch_diameter_mm / 2, 4), 0.0, p.width_mm / 2),
        },
        directions={"axle": (0.0, 0.0, 1.0)},
        bolt_circles={
            "web": BoltCircle(
                count=h.bolt_count,
                pitch_diameter_mm=2 * h.pulley_circle_radius_mm,
                hole_diameter_mm=2 * h.bolt_hole_radius_mm,
                bottom_mm=0.0,
                top_mm=p.web_mm,
            )
        },
        dimensions_mm={
            "pitch": p.pitch_mm,
            "pitch diameter": round(p.pitch_diameter_mm, 4),
            "outside diameter": round(2 * p.tip_radius_mm, 4),
            "tooth depth": p.tooth_depth_mm,
            "root thickness": round(2 * np.pi * p.root_radius_mm / p.teeth - p.gap_at_root_mm, 3),
            "width": p.width_mm,
            "web": p.web_mm,
            "rim": p.rim_mm,
            "rim beside a screw's head": round(
                p.root_radius_mm - h.pulley_circle_radius_mm - p.head_radius_mm, 3
            ),
            "centre hole diameter": 2 * p.centre_radius_mm,
        },
    )


def _wheel_hub_adapter() -> Part:
    d = HUB
    return Part(
        file="wheel_hub_adapter.stl",
        quantity=2,
        build="flange down, the wheel's seat at z = 0",
        make=wheel_hub_adapter,
        points_mm={
            "wheel seat": (0.0, 0.0, 0.0),
            "socket, middle": (0.0, 0.0, d.length_mm / 2),
        },
        directions={"axle": (0.0, 0.0, 1.0)},
        bolt_circles={
            "flange": BoltCircle(
                count=d.bolt_count,
                pitch_diameter_mm=2 * d.bolt_circle_radius_mm,
                hole_diameter_mm=2 * d.bolt_hole_radius_mm,
                bottom_mm=0.0,
                top_mm=d.flange_mm,
            )
        },
        sockets={
            "half axle": Socket(
                across_flats_mm=d.across_flats_mm, bottom_mm=0.0, top_mm=d.length_mm
            )
        },
        dimensions_mm={
            "flange thickness": d.flange_mm,
            "flange diameter": 2 * d.flange_radius_mm,
            "hub diameter": 2 * d.hub_radius_mm,
            "root fillet": d.fillet_mm,
        },
    )


def _motor_mount_plate() -> Part:
    d = MOTOR_PLATE
    x, y, t = d.slot_x_mm, d.slot_y_mm, d.thickness_mm
    return Part(
        file="motor_mount_plate.3mf",
        quantity=1,
        build="motor side down, ribs up",
        make=motor_mount_plate,
        points_mm={
            "pilot bore axis at the seat": (0.0, 0.0, 0.0),
            "belt pull on the motor shaft": (0.0, 0.0, d.belt_plane_mm),
            "slot 1": (x, y, t),
            "slot 2": (-x, y, t),
            "slot 3": (-x, -y, t),
            "slot 4": (x, -y, t),
        },
        directions={"motor axis": (0.0, 0.0, 1.0), "belt pull": (1.0, 0.0, 0.0)},
        bolt_circles={
            "motor": BoltCircle(
                count=d.motor_bolt_count,
                pitch_diameter_mm=2 * d.motor_circle_radius_mm,
                hole_diameter_mm=2 * d.motor_hole_radius_mm,
                bottom_mm=0.0,
                top_mm=t,
            )
        },
        dimensions_mm={
            "length": d.length_mm,
            "width": d.width_mm,
            "thickness": t,
            "pilot bore diameter": 2 * d.pilot_radius_mm,
            "slot width": d.slot_width_mm,
            "slot travel": d.slot_travel_mm,
            "rib thickness": d.rib_mm,
            "rib height above the plate": d.rib_height_mm,
        },
    )


def _battery_tray_bracket() -> Part:
    d = BRACKET
    low, high = d.hole_z_mm
    return Part(
        file="battery_tray_bracket.3mf",
        quantity=4,
        build="lying on its side, the gusset on the plate",
        make=battery_tray_bracket,
        points_mm={
            "wall hole 1": (0.0, d.wall_hole_y_mm, low),
            "wall hole 2": (0.0, d.wall_hole_y_mm, high),
            "tray hole 1": (d.tray_hole_x_mm, 0.0, low),
            "tray hole 2": (d.tray_hole_x_mm, 0.0, high),
            "tray centre": (d.tray_leg_mm / 2, d.wall_mm, d.width_mm / 2),
        },
        directions={"weight of the tray": (0.0, -1.0, 0.0), "into the wall": (-1.0, 0.0, 0.0)},
        dimensions_mm={
            "wall": d.wall_mm,
            "wall leg": d.wall_leg_mm,
            "tray leg": d.tray_leg_mm,
            "width": d.width_mm,
            "gusset": d.gusset_mm,
            "inner fillet": d.inner_fillet_mm,
            "hole diameter": 2 * d.hole_radius_mm,
        },
    )


def _steering_column_clamp() -> Part:
    d = CLAMP
    low, high = d.ear_hole_z_mm
    middle = d.width_mm / 2
    return Part(
        file="steering_column_clamp.3mf",
        quantity=2,
        build="the tube's axis upright",
        make=steering_column_clamp,
        points_mm={
            "tube axis, middle": (0.0, 0.0, middle),
            "ear bolt 1": (d.ear_hole_x_mm, 0.0, low),
            "ear bolt 2": (d.ear_hole_x_mm, 0.0, high),
            "foot hole 1": (d.foot_face_x_mm, d.foot_hole_y_mm, middle),
            "foot hole 2": (d.foot_face_x_mm, -d.foot_hole_y_mm, middle),
        },
        directions={
            "tube": (0.0, 0.0, 1.0),
            "ear bolts": (0.0, 1.0, 0.0),
            "into the frame": (-1.0, 0.0, 0.0),
        },
        dimensions_mm={
            "tube bore diameter": 2 * d.tube_radius_mm,
            "ring wall": round(d.ring_radius_mm - d.tube_radius_mm, 4),
            "width": d.width_mm,
            "slit": d.slit_mm,
            "ear thickness": d.ear_mm,
            "ear hole diameter": 2 * d.ear_hole_radius_mm,
            "foot thickness": d.foot_mm,
            "foot hole diameter": 2 * d.foot_hole_radius_mm,
        },
        moved_by_mm=(40.0, 60.0, 5.0),
    )


def _crate_hook() -> Part:
    d = HOOK
    low, high = d.hole_y_mm
    middle = d.width_mm / 2
    return Part(
        file="crate_hook.3mf",
        quantity=4,
        build="lying on its side",
        make=crate_hook,
        points_mm={
            "screw hole 1": (0.0, low, middle),
            "screw hole 2": (0.0, high, middle),
            "crate rim": (d.flange_mm + d.throat_mm / 2, d.arm_bottom_mm + d.arm_mm, middle),
        },
        directions={"weight of the crate": (0.0, -1.0, 0.0), "into the frame": (-1.0, 0.0, 0.0)},
        dimensions_mm={
            "flange, too thin on purpose": d.flange_mm,
            "flange height": d.flange_height_mm,
            "width": d.width_mm,
            "arm": d.arm_mm,
            "lip": d.lip_mm,
            "throat": d.throat_mm,
            "hole diameter": 2 * d.hole_radius_mm,
        },
    )


DIMENSIONS: dict[str, Part] = {
    "side_gear": _side_gear(),
    "planet_pinion": _planet_pinion(),
    "housing_left": _housing("left", with_pulley_disc=False),
    "housing_right": _housing("right", with_pulley_disc=True),
    "belt_pulley": _belt_pulley(),
    "wheel_hub_adapter": _wheel_hub_adapter(),
    "motor_mount_plate": _motor_mount_plate(),
    "battery_tray_bracket": _battery_tray_bracket(),
    "steering_column_clamp": _steering_column_clamp(),
    "crate_hook": _crate_hook(),
}


def generate(folder: Path) -> list[Path]:
    """Write all parts into `folder`, made if need be, and return the files' paths."""
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for part in DIMENSIONS.values():
        path = folder / part.file
        triangles = on_file_grid(part.make())
        if path.suffix == ".stl":
            write_stl(path, triangles)
        else:
            write_3mf(path, triangles, part.moved_by_mm)
        written.append(path)
    return written


if __name__ == "__main__":
    for file in generate(Path(sys.argv[1]) if len(sys.argv) > 1 else BESIDE):
        sys.stdout.write(f"{file}\n")
