"""The main dimensions of each part, in the coordinates of its file, for job files and tests."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from manifold3d import Manifold

__all__ = ["BoltCircle", "Part", "Point", "Socket"]

Point = tuple[float, float, float]
"""x, y, z in the file's coordinates, or a direction. [mm] or [-]"""


@dataclass(frozen=True, kw_only=True)
class BoltCircle:
    """Holes along z, evenly spaced on a circle about `centre_mm`."""

    count: int
    pitch_diameter_mm: float
    hole_diameter_mm: float
    bottom_mm: float
    top_mm: float
    first_deg: float = 0.0
    centre_mm: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, kw_only=True)
class Socket:
    """Hexagon socket along z about the origin, flats across x."""

    across_flats_mm: float
    bottom_mm: float
    top_mm: float

    @property
    def length_mm(self) -> float:
        """How long the bar sits in it. [mm]"""
        return self.top_mm - self.bottom_mm


@dataclass(frozen=True, kw_only=True)
class Part:
    """One sample mesh; every number is our own invention unless a comment says otherwise.

    Attributes
    ----------
    file : str
        File name with its ending.
    quantity : int
        How many the carrier needs.
    build : str
        How the part lies in the file: z is up, z = 0 is the plate.
    make : callable
        Makes the solid.
    points_mm : mapping of str to Point
        Places to hold and to load. [mm]
    directions : mapping of str to Point
        Unit vectors of the loads.
    bolt_circles, sockets : mapping of str
        Holes and hexagons.
    dimensions_mm : mapping of str to float
        Diameters, thicknesses, heights. [mm]
    moved_by_mm : tuple of float
        How far off a 3MF object is stored; its build transform brings it back. [mm]
    """

    file: str
    quantity: int
    build: str
    make: Callable[[], Manifold]
    points_mm: Mapping[str, Point] = field(default_factory=dict)
    directions: Mapping[str, Point] = field(default_factory=dict)
    bolt_circles: Mapping[str, BoltCircle] = field(default_factory=dict)
    sockets: Mapping[str, Socket] = field(default_factory=dict)
    dimensions_mm: Mapping[str, float] = field(default_factory=dict)
    moved_by_mm: tuple[float, ...] = ()
