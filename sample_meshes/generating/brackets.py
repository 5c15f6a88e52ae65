"""Parts bolted to the frame: battery tray bracket, steering column clamp, crate hook."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from manifold3d import Manifold

from generating.shapes import arc, circle, outline_solid

__all__ = [
    "BRACKET",
    "CLAMP",
    "HOOK",
    "battery_tray_bracket",
    "crate_hook",
    "steering_column_clamp",
]


@dataclass(frozen=True, kw_only=True)
class Bracket:
    """Main dimensions of the battery tray bracket. [mm]

    Both legs start at the outer corner (0, 0); the wall leg runs up y, the tray leg out x.
    """

    wall_leg_mm: float = 80.0
    tray_leg_mm: float = 70.0
    width_mm: float = 60.0
    wall_mm: float = 12.0
    inner_fillet_mm: float = 10.0
    gusset_mm: float = 8.0
    gusset_end_mm: float = 58.0
    hole_radius_mm: float = 3.3
    wall_hole_y_mm: float = 62.0
    tray_hole_x_mm: float = 50.0
    hole_z_mm: tuple[float, float] = (21.0, 45.0)


@dataclass(frozen=True, kw_only=True)
class Clamp:
    """Main dimensions of the steering column clamp; the tube's axis is z through (0, 0). [mm]"""

    tube_radius_mm: float = 14.1
    ring_radius_mm: float = 26.1
    width_mm: float = 40.0
    slit_mm: float = 3.0
    ear_end_mm: float = 45.0
    ear_mm: float = 12.0
    ear_hole_x_mm: float = 35.0
    ear_hole_z_mm: tuple[float, float] = (10.0, 30.0)
    ear_hole_radius_mm: float = 3.3
    foot_mm: float = 12.0
    foot_face_x_mm: float = -31.0
    foot_half_mm: float = 47.0
    foot_hole_y_mm: float = 36.0
    foot_hole_radius_mm: float = 4.2
    edge_mm: float = 3.0


@dataclass(frozen=True, kw_only=True)
class Hook:
    """Main dimensions of the crate hook. [mm]

    The flange lies on the frame at x = 0; it is too thin on purpose.
    """

    flange_mm: float = 1.2
    flange_height_mm: float = 70.0
    width_mm: float = 24.0
    arm_mm: float = 10.0
    arm_bottom_mm: float = 10.0
    throat_mm: float = 20.0
    lip_mm: float = 8.0
    lip_height_mm: float = 28.0
    throat_round_mm: float = 4.0
    hole_radius_mm: float = 2.75
    hole_y_mm: tuple[float, float] = (46.0, 60.0)


BRACKET = Bracket()
CLAMP = Clamp()
HOOK = Hook()

_HOLE_FACETS = 192


def _drill_along_x(radius_mm: float, y: float, z: float, reach_mm: float) -> Manifold:
    bar = outline_solid(circle(radius_mm, facets=_HOLE_FACETS), -reach_mm, reach_mm)
    return bar.rotate((0.0, 90.0, 0.0)).translate((0.0, y, z))


def _drill_along_y(radius_mm: float, x: float, z: float, reach_mm: float) -> Manifold:
    bar = outline_solid(circle(radius_mm, facets=_HOLE_FACETS), -reach_mm, reach_mm)
    return bar.rotate((90.0, 0.0, 0.0)).translate((x, 0.0, z))


def battery_tray_bracket() -> Manifold:
    """L bracket lying on its side, so the layers follow the L; the gusset lies on the plate."""
    d = BRACKET
    t, f = d.wall_mm, d.inner_fillet_mm
    profile = np.concatenate(
        [
            [(0.0, 0.0)],
            arc((d.tray_leg_mm - t / 2, t / 2), t / 2, -90.0, 90.0, 24),
            arc((t + f, t + f), f, 270.0, 180.0, 24),
            arc((t / 2, d.wall_leg_mm - t / 2), t / 2, 0.0, 180.0, 24),
        ]
    )
    end = d.gusset_end_mm
    gusset = np.array([(t / 2, t / 2), (end, t / 2), (end, t), (t, end), (t / 2, end)])
    body = outline_solid(profile, 0.0, d.width_mm) + outline_solid(gusset, 0.0, d.gusset_mm)
    for z in d.hole_z_mm:
        body -= _drill_along_x(d.hole_radius_mm, d.wall_hole_y_mm, z, 2 * t)
        body -= _drill_along_y(d.hole_radius_mm, d.tray_hole_x_mm, z, 2 * t)
    return body


def steering_column_clamp() -> Manifold:
    """Clamp for a 28 mm tube along z: ring, slit with two ears, foot to the frame."""
    d = CLAMP
    ear_half = d.slit_mm / 2 + d.ear_mm
    e = d.edge_mm
    ears = np.concatenate(
        [
            [(0.0, -ear_half)],
            arc((d.ear_end_mm - e, -ear_half + e), e, -90.0, 0.0, 8),
            arc((d.ear_end_mm - e, ear_half - e), e, 0.0, 90.0, 8),
            [(0.0, ear_half)],
        ]
    )
    foot_inside = d.foot_face_x_mm + d.foot_mm
    foot = np.concatenate(
        [
            [(d.foot_face_x_mm, d.foot_half_mm), (d.foot_face_x_mm, -d.foot_half_mm)],
            arc((foot_inside - e, -d.foot_half_mm + e), e, -90.0, 0.0, 8),
            # shoulders that lead the pull from the ring into the foot
            [(foot_inside, -d.ring_radius_mm), (0.0, -d.ring_radius_mm + 4.0)],
            [(0.0, d.ring_radius_mm - 4.0), (foot_inside, d.ring_radius_mm)],
            arc((foot_inside - e, d.foot_half_mm - e), e, 0.0, 90.0, 8),
        ]
    )
    body = outline_solid(circle(d.ring_radius_mm, facets=144), 0.0, d.width_mm)
    body += outline_solid(ears, 0.0, d.width_mm) + outline_solid(foot, 0.0, d.width_mm)
    body -= outline_solid(circle(d.tube_radius_mm, facets=144), -5.0, d.width_mm + 5.0)
    half = d.slit_mm / 2
    slit = np.array([(0.0, -half), (60.0, -half), (60.0, half), (0.0, half)])
    body -= outline_solid(slit, -5.0, d.width_mm + 5.0)
    for z in d.ear_hole_z_mm:
        body -= _drill_along_y(d.ear_hole_radius_mm, d.ear_hole_x_mm, z, 2 * ear_half)
    for y in (-d.foot_hole_y_mm, d.foot_hole_y_mm):
        drill = outline_solid(circle(d.foot_hole_radius_mm), -50.0, foot_inside + 10.0)
        drill = drill.rotate((0.0, 90.0, 0.0)).translate((0.0, y, d.width_mm / 2))
        body -= drill
    return body


def crate_hook() -> Manifold:
    """Crate hook lying on its side; layers follow the hook, only the flange is too thin."""
    d = HOOK
    bottom, r = d.arm_bottom_mm, d.throat_round_mm
    floor = bottom + d.arm_mm
    outer = d.flange_mm + d.throat_mm + d.lip_mm
    lip_top = bottom + d.lip_height_mm
    profile = np.concatenate(
        [
            [(0.0, 0.0), (d.flange_mm, 0.0), (d.flange_mm, bottom)],
            arc((outer - 8.0, bottom + 8.0), 8.0, -90.0, 0.0, 32),
            arc((outer - d.lip_mm / 2, lip_top - d.lip_mm / 2), d.lip_mm / 2, 0.0, 180.0, 48),
            arc((outer - d.lip_mm - r, floor + r), r, 0.0, -90.0, 32),
            arc((d.flange_mm + r, floor + r), r, 270.0, 180.0, 32),
            [(d.flange_mm, d.flange_height_mm), (0.0, d.flange_height_mm)],
        ]
    )
    body = outline_solid(profile, 0.0, d.width_mm)
    for y in d.hole_y_mm:
        body -= _drill_along_x(d.hole_radius_mm, y, d.width_mm / 2, 2 * d.arm_mm)
    return body
