"""Outlines and solids that several parts share; all lengths in mm, all angles in degrees."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from manifold3d import CrossSection, Manifold
from numpy.typing import NDArray

__all__ = [
    "CIRCLE_FACETS",
    "Outline",
    "arc",
    "circle",
    "hexagon_socket",
    "on_grid",
    "outline_solid",
    "ring_of_holes",
    "rounded_rectangle",
    "slot",
    "turned",
    "union",
]

Outline = NDArray[np.float64]
"""(n, 2) corners of a closed outline, counter-clockwise. [mm]"""

CIRCLE_FACETS = 96
"""Facets of a drilled hole; its corners lie on the nominal radius."""

# Corners are rounded before any boolean, so that the last bits of sine and cosine, which
# differ between processors, don't reach the geometry.
_GRID_MM = 1e-6


def on_grid(points: Outline) -> Outline:
    """Round coordinates to the construction grid of 1e-6 mm."""
    return np.round(np.asarray(points, dtype=np.float64) / _GRID_MM) * _GRID_MM


def arc(
    centre: tuple[float, float], radius_mm: float, start_deg: float, end_deg: float, pieces: int
) -> Outline:
    """Return the (pieces + 1, 2) points of an arc, both ends included."""
    angle = np.radians(np.linspace(start_deg, end_deg, pieces + 1))
    return np.column_stack([np.cos(angle), np.sin(angle)]) * radius_mm + np.asarray(centre)


def circle(
    radius_mm: float, centre: tuple[float, float] = (0.0, 0.0), facets: int = CIRCLE_FACETS
) -> Outline:
    """Return an inscribed regular polygon with corners on the circle."""
    return arc(centre, radius_mm, 0.0, 360.0, facets)[:-1]


def rounded_rectangle(length_mm: float, width_mm: float, corner_mm: float) -> Outline:
    """Return a rectangle about the origin with rounded corners; `length_mm` runs along x."""
    x, y = length_mm / 2 - corner_mm, width_mm / 2 - corner_mm
    corners = [(x, y, 0.0), (-x, y, 90.0), (-x, -y, 180.0), (x, -y, 270.0)]
    return np.concatenate([arc((cx, cy), corner_mm, a, a + 90.0, 16) for cx, cy, a in corners])


def slot(centre: tuple[float, float], width_mm: float, travel_mm: float) -> Outline:
    """Return a slot along x: a hole of `width_mm` that may travel by `travel_mm`."""
    (x, y), half = centre, travel_mm / 2
    right = arc((x + half, y), width_mm / 2, -90.0, 90.0, 48)
    left = arc((x - half, y), width_mm / 2, 90.0, 270.0, 48)
    return np.concatenate([right, left])


def outline_solid(outline: Outline, bottom_mm: float, top_mm: float) -> Manifold:
    """Extrude an outline along z from `bottom_mm` to `top_mm`."""
    solid = Manifold.extrude(CrossSection([on_grid(outline)]), top_mm - bottom_mm)
    return solid.translate((0.0, 0.0, bottom_mm))


def turned(meridian: Outline, facets: int) -> Manifold:
    """Turn a closed meridian outline (radius, z), counter-clockwise, about the z axis."""
    return Manifold.revolve(CrossSection([on_grid(meridian)]), facets)


def ring_of_holes(
    count: int,
    pitch_radius_mm: float,
    hole_radius_mm: float,
    bottom_mm: float,
    top_mm: float,
    first_deg: float = 0.0,
) -> Manifold:
    """Return the drills of a bolt circle about the z axis."""
    azimuth = np.radians(first_deg + 360.0 / count * np.arange(count))
    return union(
        outline_solid(
            circle(hole_radius_mm, (pitch_radius_mm * np.cos(a), pitch_radius_mm * np.sin(a))),
            bottom_mm,
            top_mm,
        )
        for a in azimuth
    )


def hexagon_socket(
    across_flats_mm: float, relief_radius_mm: float, bottom_mm: float, top_mm: float
) -> Manifold:
    """Return the solid to be taken away for a hexagon socket with drilled-out corners.

    Two flats lie across x (the corners at 30, 90, ... degrees). The relief circles are centred
    half their radius inside each corner, so no sharp inner corner is left to split the hub.
    """
    corner = across_flats_mm / np.sqrt(3.0)
    angle = np.radians(30.0 + 60.0 * np.arange(6))
    direction = np.column_stack([np.cos(angle), np.sin(angle)])
    figure = CrossSection([on_grid(corner * direction)])
    for x, y in (corner - relief_radius_mm / 2) * direction:
        figure += CrossSection([on_grid(circle(relief_radius_mm, (x, y), 32))])
    return Manifold.extrude(figure, top_mm - bottom_mm).translate((0.0, 0.0, bottom_mm))


def union(solids: Iterable[Manifold]) -> Manifold:
    """Return all solids joined into one."""
    joined = Manifold()
    for solid in solids:
        joined += solid
    return joined
