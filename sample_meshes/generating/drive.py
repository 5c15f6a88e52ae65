"""Between motor and wheels: belt pulley, wheel hub adapter, motor mount plate."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from manifold3d import CrossSection, Manifold

from generating.differential import HOUSING
from generating.shapes import (
    Outline,
    arc,
    circle,
    hexagon_socket,
    on_grid,
    outline_solid,
    ring_of_holes,
    rounded_rectangle,
    slot,
    turned,
)

__all__ = ["HUB", "MOTOR_PLATE", "PULLEY", "belt_pulley", "motor_mount_plate", "wheel_hub_adapter"]


@dataclass(frozen=True, kw_only=True)
class Pulley:
    """Main dimensions of the belt pulley; the tooth form is our own. [mm]"""

    teeth: int = 60
    pitch_mm: float = 8.0
    width_mm: float = 30.0
    tip_below_pitch_line_mm: float = 0.7
    tooth_depth_mm: float = 3.4
    gap_at_root_mm: float = 2.6
    gap_at_tip_mm: float = 4.6
    root_round_mm: float = 0.6
    rim_mm: float = 8.0
    web_mm: float = 12.0
    web_corner_mm: float = 4.0
    centre_radius_mm: float = 40.2
    # room for the screws' heads and washers; takes a little of the rim
    head_radius_mm: float = 5.5

    @property
    def pitch_diameter_mm(self) -> float:
        """Diameter of the circle on which the belt's cord runs, ``z p / pi``. [mm]"""
        return self.teeth * self.pitch_mm / float(np.pi)

    @property
    def tip_radius_mm(self) -> float:
        """Outside radius. [mm]"""
        return self.pitch_diameter_mm / 2 - self.tip_below_pitch_line_mm

    @property
    def root_radius_mm(self) -> float:
        """Radius at the bottom of the gaps. [mm]"""
        return self.tip_radius_mm - self.tooth_depth_mm


@dataclass(frozen=True, kw_only=True)
class Hub:
    """Main dimensions of the wheel hub adapter. [mm]"""

    across_flats_mm: float = 27.3
    corner_relief_mm: float = 1.0
    length_mm: float = 42.0
    hub_radius_mm: float = 32.0
    flange_radius_mm: float = 63.0
    flange_mm: float = 14.0
    fillet_mm: float = 8.0
    bolt_count: int = 6
    bolt_circle_radius_mm: float = 52.0
    bolt_hole_radius_mm: float = 3.3


@dataclass(frozen=True, kw_only=True)
class MotorPlate:
    """Main dimensions of the motor mount plate; the origin is the motor's axis. [mm]

    The belt, 30 wide, runs 2 above the plate. Its strands spread from the motor's 20 teeth to
    the 60 of the axle, so the slots' screws and the ribs stand outside them, and the motor's
    bolts inside them or beside them.
    """

    length_mm: float = 124.0
    width_mm: float = 156.0
    thickness_mm: float = 16.0
    corner_mm: float = 8.0
    pilot_radius_mm: float = 25.05
    motor_bolt_count: int = 4
    motor_circle_radius_mm: float = 35.0
    motor_hole_radius_mm: float = 3.3
    slot_x_mm: float = 42.0
    slot_y_mm: float = 55.0
    slot_width_mm: float = 8.5
    slot_travel_mm: float = 16.0
    rib_mm: float = 8.0
    rib_height_mm: float = 20.0
    rib_y_mm: float = 70.0
    rib_fillet_mm: float = 3.0
    belt_plane_mm: float = 33.0


PULLEY = Pulley()
HUB = Hub()
MOTOR_PLATE = MotorPlate()


def _pulley_outline() -> Outline:
    """Toothed outline of the pulley: trapezoid gaps with rounded bottoms."""
    p = PULLEY
    half_root, half_tip = p.gap_at_root_mm / 2, p.gap_at_tip_mm / 2
    r = p.root_round_mm
    # flank's angle from the gap's middle line, and the circle touching flank and bottom
    lean = np.arctan2(half_tip - half_root, p.tooth_depth_mm)
    inset = r * np.tan((np.pi / 2 - lean) / 2)
    centre = half_root - inset
    turn = np.linspace(-np.pi / 2, -lean, 7)
    round_x = centre + r * np.cos(turn)
    round_y = p.root_radius_mm + r * (1 + np.sin(turn))
    half_x = np.append(round_x, half_tip)
    half_y = np.append(round_y, np.sqrt(p.tip_radius_mm**2 - half_tip**2))
    half_gap = np.arctan2(half_x[-1], half_y[-1])
    land = np.linspace(half_gap, np.pi / p.teeth, 6)[1:]
    radius = np.append(np.hypot(half_x, half_y), np.full(len(land), p.tip_radius_mm))
    azimuth = np.append(np.arctan2(half_x, half_y), land)
    radius = np.concatenate([radius[::-1][1:], radius])
    azimuth = np.concatenate([-azimuth[::-1][1:], azimuth])
    around = (azimuth + 2 * np.pi / p.teeth * np.arange(p.teeth)[:, None]).ravel()
    reach = np.tile(radius, p.teeth)
    return np.column_stack([reach * np.cos(around), reach * np.sin(around)])


def belt_pulley() -> Manifold:
    """Belt pulley, web down: the face at z = 0 sits on the housing's disc."""
    p, h = PULLEY, HOUSING
    inside = p.root_radius_mm - p.rim_mm
    c = p.web_corner_mm
    room = np.concatenate(
        [
            [(0.0, p.web_mm)],
            arc((inside - c, p.web_mm + c), c, -90.0, 0.0, 8),
            [(inside, p.width_mm + 5.0), (0.0, p.width_mm + 5.0)],
        ]
    )
    body = Manifold.extrude(CrossSection([on_grid(_pulley_outline())]), p.width_mm)
    body -= turned(room, 144)
    body -= outline_solid(circle(p.centre_radius_mm), -5.0, p.web_mm + 5.0)
    body -= ring_of_holes(
        h.bolt_count,
        h.pulley_circle_radius_mm,
        p.head_radius_mm,
        p.web_mm,
        p.width_mm + 5.0,
    )
    return body - ring_of_holes(
        h.bolt_count, h.pulley_circle_radius_mm, h.bolt_hole_radius_mm, -5.0, p.web_mm + 5.0
    )


def wheel_hub_adapter() -> Manifold:
    """Wheel hub adapter, flange down: the wheel sits on z = 0, the half axle along z."""
    d = HUB
    f = d.fillet_mm
    meridian = np.concatenate(
        [
            [(0.0, 0.0), (d.flange_radius_mm, 0.0), (d.flange_radius_mm, d.flange_mm)],
            arc((d.hub_radius_mm + f, d.flange_mm + f), f, 270.0, 180.0, 12),
            [
                (d.hub_radius_mm, d.length_mm - 1.0),
                (d.hub_radius_mm - 1.0, d.length_mm),
                (0.0, d.length_mm),
            ],
        ]
    )
    body = turned(meridian, 144)
    body -= hexagon_socket(d.across_flats_mm, d.corner_relief_mm, -5.0, d.length_mm + 5.0)
    return body - ring_of_holes(
        d.bolt_count, d.bolt_circle_radius_mm, d.bolt_hole_radius_mm, -5.0, d.flange_mm + 5.0
    )


def motor_mount_plate() -> Manifold:
    """Motor mount plate, motor side down; the belt pulls along +x, the slots run along x."""
    d = MOTOR_PLATE
    plate = outline_solid(
        rounded_rectangle(d.length_mm, d.width_mm, d.corner_mm), 0.0, d.thickness_mm
    )
    # section of a rib across x: upright with a rounded top edge and fillets at its foot
    half, foot, f = d.rib_mm / 2, d.thickness_mm, d.rib_fillet_mm
    top = foot + d.rib_height_mm
    rib = np.concatenate(
        [
            [(-half - f, foot - 1.0), (half + f, foot - 1.0)],
            arc((half + f, foot + f), f, 270.0, 180.0, 8),
            arc((half - 1.0, top - 1.0), 1.0, 0.0, 90.0, 6),
            arc((-half + 1.0, top - 1.0), 1.0, 90.0, 180.0, 6),
            arc((-half - f, foot + f), f, 0.0, -90.0, 8),
        ]
    )
    # the rib's outline is drawn in (y, z) and extruded along x
    along = d.length_mm - 2 * d.corner_mm
    upright = (
        outline_solid(rib, -along / 2, along / 2).rotate((90.0, 0.0, 0.0)).rotate((0.0, 0.0, 90.0))
    )
    body = plate
    for side in (-1.0, 1.0):
        body += upright.translate((0.0, side * d.rib_y_mm, 0.0)) ^ outline_solid(
            rounded_rectangle(d.length_mm, d.width_mm, d.corner_mm), 0.0, top
        )
    body -= outline_solid(circle(d.pilot_radius_mm), -5.0, foot + 5.0)
    body -= ring_of_holes(
        d.motor_bolt_count,
        d.motor_circle_radius_mm,
        d.motor_hole_radius_mm,
        -5.0,
        foot + 5.0,
    )
    for x in (-d.slot_x_mm, d.slot_x_mm):
        for y in (-d.slot_y_mm, d.slot_y_mm):
            body -= outline_solid(slot((x, y), d.slot_width_mm, d.slot_travel_mm), -5.0, foot + 5.0)
    return body
