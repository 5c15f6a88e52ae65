"""The differential: side gear, planet pinion and the two halves of the housing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from manifold3d import Manifold

from generating.bevel import BevelPair, toothed
from generating.shapes import (
    Outline,
    arc,
    circle,
    hexagon_socket,
    outline_solid,
    ring_of_holes,
    turned,
    union,
)

__all__ = [
    "HOUSING",
    "PAIR",
    "PINION",
    "SIDE_GEAR",
    "housing_half",
    "planet_pinion",
    "refined",
    "side_gear",
]

PAIR = BevelPair(
    module_mm=6.0,
    teeth_pinion=14,
    teeth_gear=20,
    pressure_angle_deg=20.0,
    face_width_mm=22.0,
    profile_shift=0.0,
    addendum=1.0,
    dedendum=1.25,
    backlash_mm=0.8,
    fillet_mm=2.0,
)
"""The one tooth pair of the differential: module 6, 14 against 20 teeth."""


@dataclass(frozen=True, kw_only=True)
class SideGear:
    """Main dimensions of the side gear; heights count from the apex. [mm]"""

    front_mm: float = 30.0
    front_radius_mm: float = 33.0
    thrust_mm: float = 55.0
    thrust_radius_mm: float = 50.9
    back_mm: float = 72.0
    hub_radius_mm: float = 32.0
    hub_fillet_mm: float = 1.5
    across_flats_mm: float = 27.3
    corner_relief_mm: float = 1.0


@dataclass(frozen=True, kw_only=True)
class Pinion:
    """Main dimensions of the planet pinion; heights count from the apex. [mm]

    The neck towards the apex makes the bore as long on the one side of the teeth's middle as on
    the other, so that the tooth force does not tilt the pinion on its pin.
    """

    back_sphere_mm: float = 75.0
    back_flat_mm: float = 73.3
    neck_end_mm: float = 28.6
    neck_radius_mm: float = 15.0
    bore_radius_mm: float = 7.15


@dataclass(frozen=True, kw_only=True)
class Housing:
    """Main dimensions of a housing half; heights count from the split plane. [mm]

    Bearing 6009: bore 45, outside 75, width 16 [memory: ISO 15].
    """

    cavity_mm: float = 76.0
    thrust_mm: float = 56.0
    shell_mm: float = 84.0
    end_wall_mm: float = 65.0
    flange_radius_mm: float = 103.0
    flange_mm: float = 12.0
    bolt_circle_radius_mm: float = 93.0
    bolt_hole_radius_mm: float = 2.75
    bolt_count: int = 8
    pin_bore_radius_mm: float = 7.1
    pin_half_length_mm: float = 96.0
    pin_boss_radius_mm: float = 15.0
    pin_end_wall_mm: float = 6.0
    hub_bore_radius_mm: float = 32.3
    hub_bore_depth_mm: float = 73.0
    hub_bore_chamfer_mm: float = 2.0
    boss_radius_mm: float = 40.0
    boss_mm: float = 98.0
    collar_radius_mm: float = 25.5
    collar_mm: float = 99.5
    bearing_width_mm: float = 16.0
    journal_radius_mm: float = 22.5
    journal_mm: float = 116.5
    bar_bore_radius_mm: float = 16.0
    pulley_disc_radius_mm: float = 69.0
    pulley_disc_bottom_mm: float = 71.0
    pulley_disc_top_mm: float = 85.0
    pulley_circle_radius_mm: float = 60.0
    # carries the disc, and leaves the nuts under it their room
    pulley_neck_radius_mm: float = 53.5


SIDE_GEAR = SideGear()
PINION = Pinion()
HOUSING = Housing()

_BLANK_FACETS = 180
_REFINE_MM = 4.6


def side_gear() -> Manifold:
    """Side gear, hub end down: file z = 72 - height from the apex."""
    s, teeth = SIDE_GEAR, PAIR.gear
    outer, inner = teeth.cone_distance_mm, teeth.inner_cone_distance_mm
    # the front disc meets the small end's cone just inside the root, so no tooth gap cuts it
    below_root = teeth.root_cone_rad - np.radians(0.4)
    beyond_tip = teeth.tip_cone_rad + np.radians(2.0)
    blank = np.concatenate(
        [
            [
                (0.0, s.front_mm),
                (s.front_radius_mm, s.front_mm),
                teeth.on_cone(below_root, inner),
                teeth.on_cone(beyond_tip, inner),
                teeth.on_cone(beyond_tip, outer),
                (s.thrust_radius_mm, s.thrust_mm),
            ],
            arc(
                (s.hub_radius_mm + s.hub_fillet_mm, s.thrust_mm + s.hub_fillet_mm),
                s.hub_fillet_mm,
                270.0,
                180.0,
                6,
            ),
            [(s.hub_radius_mm, s.back_mm), (0.0, s.back_mm)],
        ]
    )
    gear = toothed(teeth, blank, _BLANK_FACETS) - hexagon_socket(
        s.across_flats_mm, s.corner_relief_mm, s.front_mm - 5.0, s.back_mm + 5.0
    )
    return _on_its_back(gear, s.back_mm)


def planet_pinion() -> Manifold:
    """Planet pinion, back face down: file z = 73.3 - height from the apex."""
    p, teeth = PINION, PAIR.pinion
    outer, inner = teeth.cone_distance_mm, teeth.inner_cone_distance_mm
    beyond_tip = teeth.tip_cone_rad + np.radians(2.0)
    # the front disc ends just inside the root of the small end, so no tooth gap cuts it
    front_radius, front = teeth.on_cone(teeth.root_cone_rad - np.radians(0.4), inner)
    flat = float(np.degrees(np.arccos(p.back_flat_mm / p.back_sphere_mm)))
    # back cone and back sphere meet where the ray's length on the back cone is the sphere's radius
    seam = float(np.degrees(teeth.pitch_cone_rad - np.arccos(outer / p.back_sphere_mm)))
    blank = np.concatenate(
        [
            [
                (0.0, p.neck_end_mm),
                (p.neck_radius_mm, p.neck_end_mm),
                (p.neck_radius_mm, front),
                (front_radius, front),
                teeth.on_cone(beyond_tip, inner),
                teeth.on_cone(beyond_tip, outer),
            ],
            arc((0.0, 0.0), p.back_sphere_mm, 90.0 - seam, 90.0 - flat, 8),
            [(0.0, p.back_flat_mm)],
        ]
    )
    pinion = toothed(teeth, blank, _BLANK_FACETS) - outline_solid(
        circle(p.bore_radius_mm), p.neck_end_mm - 5.0, p.back_sphere_mm + 5.0
    )
    return _on_its_back(pinion, p.back_flat_mm)


def refined(solid: Manifold) -> Manifold:
    """Split long edges, as an exporter set to a greatest edge length would."""
    return solid.refine_to_length(_REFINE_MM)


def _on_its_back(solid: Manifold, height_mm: float) -> Manifold:
    return solid.rotate((180.0, 0.0, 0.0)).translate((0.0, 0.0, height_mm))


def _shell_meridian() -> Outline:
    """Outside of a half without the pulley's disc: flange, shell, boss, collar, journal."""
    h = HOUSING
    shell_from = float(np.degrees(np.arcsin(h.flange_mm / h.shell_mm)))
    shell_to = float(np.degrees(np.arcsin(h.end_wall_mm / h.shell_mm)))
    return np.concatenate(
        [
            [(0.0, 0.0), (h.flange_radius_mm, 0.0), (h.flange_radius_mm, h.flange_mm)],
            arc((0.0, 0.0), h.shell_mm, shell_from, shell_to, 24),
            [
                (h.boss_radius_mm + 4.0, h.end_wall_mm),
                (h.boss_radius_mm, h.end_wall_mm + 4.0),
                (h.boss_radius_mm, h.boss_mm),
                (h.collar_radius_mm, h.boss_mm),
                (h.collar_radius_mm, h.collar_mm),
                (h.journal_radius_mm, h.collar_mm),
                (h.journal_radius_mm, h.journal_mm - 0.5),
                (h.journal_radius_mm - 0.5, h.journal_mm),
                (0.0, h.journal_mm),
            ],
        ]
    )


def _cavity_meridian() -> Outline:
    """Room for the gears: a ball cut by the thrust face, the hub's bore, the bar's bore.

    A cone of 45 degrees leads from the one bore to the other, so it prints without support.
    """
    h = HOUSING
    top = float(np.degrees(np.arcsin(h.thrust_mm / h.cavity_mm)))
    low = -5.0
    cone_end = h.hub_bore_depth_mm + h.hub_bore_radius_mm - h.bar_bore_radius_mm
    return np.concatenate(
        [
            [(0.0, low), (h.cavity_mm, low)],
            arc((0.0, 0.0), h.cavity_mm, 0.0, top, 24),
            [
                (h.hub_bore_radius_mm + h.hub_bore_chamfer_mm, h.thrust_mm),
                (h.hub_bore_radius_mm, h.thrust_mm + h.hub_bore_chamfer_mm),
                (h.hub_bore_radius_mm, h.hub_bore_depth_mm),
                (h.bar_bore_radius_mm, cone_end),
                (h.bar_bore_radius_mm, h.journal_mm + 5.0),
                (0.0, h.journal_mm + 5.0),
            ],
        ]
    )


def housing_half(*, with_pulley_disc: bool) -> Manifold:
    """One half of the housing, split plane down, journal up; the right one has the disc."""
    h = HOUSING
    body = turned(_shell_meridian(), 144)
    if with_pulley_disc:
        body += outline_solid(
            circle(h.pulley_disc_radius_mm, facets=144),
            h.pulley_disc_bottom_mm,
            h.pulley_disc_top_mm,
        )
        body += outline_solid(
            circle(h.pulley_neck_radius_mm, facets=144),
            h.end_wall_mm - 5.0,
            h.pulley_disc_bottom_mm,
        )
    boss_end = h.pin_half_length_mm + h.pin_end_wall_mm
    body += _cross(h.pin_boss_radius_mm, boss_end).trim_by_plane((0.0, 0.0, 1.0), 0.0)
    body -= turned(_cavity_meridian(), 144)
    body -= _cross(h.pin_bore_radius_mm, h.pin_half_length_mm)
    body -= ring_of_holes(
        h.bolt_count,
        h.bolt_circle_radius_mm,
        h.bolt_hole_radius_mm,
        -5.0,
        h.flange_mm + 5.0,
        22.5,
    )
    if with_pulley_disc:
        body -= ring_of_holes(
            h.bolt_count,
            h.pulley_circle_radius_mm,
            h.bolt_hole_radius_mm,
            h.pulley_disc_bottom_mm - 5.0,
            h.pulley_disc_top_mm + 5.0,
        )
    return body


def _cross(radius_mm: float, half_length_mm: float) -> Manifold:
    """Two cylinders along x and y through the origin."""
    bar = outline_solid(circle(radius_mm), -half_length_mm, half_length_mm)
    return union([bar.rotate((0.0, 90.0, 0.0)), bar.rotate((90.0, 0.0, 0.0))])
