"""Time of straight and patterned lines that fill an area: skins, infill, support.

Every pattern at the same fraction has the same length per area, f / s, because the fraction is
defined by extruded volume. What differs is the pitch, the turns and the curvature.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from printplan.process.motion import (
    corner_speed,
    effective_line_speed,
    mean_chord,
    rest_to_rest_time,
)
from printplan.process.recipe import InfillPattern

__all__ = ["gyroid_cell", "hexagon_side", "line_pitch", "pattern_time", "straight_lines_time"]

Floats = NDArray[np.float64]

#: Directions in which a pattern's straight lines run within one layer.
FAMILIES: dict[InfillPattern, int] = {"lines": 1, "grid": 2, "triangles": 3, "cubic": 3}


#: A gyroid's cuts are driven as quickly as arcs of this radius, in cells. Derived: look-ahead along
#: the traced curves, mean over their height (the tests repeat it). The tightest bend is about 0.09,
#: the mean over the square root of curvature 0.37.
GYROID_RADIUS = 0.30


def line_pitch(pattern: InfillPattern, fraction: float, spacing_mm: float) -> float:
    """Distance of neighbouring parallel lines within a layer.

    s/f for one direction, 2 s/f for two, 3 s/f for three; for hexagons the distance across
    flats, for curved patterns the mean distance s/f.

    Parameters
    ----------
    pattern : str
        Infill pattern.
    fraction : float
        Infill fraction f, above 0.
    spacing_mm : float
        Bead spacing s. [mm]

    Returns
    -------
    float
        Pitch. [mm]

    Sources
    -------
    derived: length per area f / s shared by the directions.
    """
    if pattern == "hexagons":
        return 2 * spacing_mm / fraction
    return FAMILIES.get(pattern, 1) * spacing_mm / fraction


def hexagon_side(fraction: float, spacing_mm: float, *, zigzag: bool = False) -> float:
    """Side of the hexagons: 2 s / (sqrt(3) f); 4/3 of it where zigzags double one edge in three.

    Parameters
    ----------
    fraction : float
        Infill fraction f, above 0.
    spacing_mm : float
        Bead spacing s. [mm]
    zigzag : bool
        Whether the pattern is drawn as continuous zigzags, at the same volume.

    Returns
    -------
    float
        Side. [mm]

    Sources
    -------
    derived: a hexagon net has 2 / (sqrt(3) side) of length per area.
    """
    single = 2 * spacing_mm / (math.sqrt(3) * fraction)
    return single * 4 / 3 if zigzag else single


def gyroid_cell(fraction: float, spacing_mm: float) -> float:
    """Cell size of a gyroid whose horizontal cuts have the length f / s per area: 2.458 s/f.

    Parameters
    ----------
    fraction : float
        Infill fraction f, above 0.
    spacing_mm : float
        Bead spacing s. [mm]

    Returns
    -------
    float
        Edge of the repeating cell. [mm]

    Sources
    -------
    derived: numerical integration of the level surface on 240³ points, mean over z.
    """
    return 2.458 * spacing_mm / fraction


def straight_lines_time(
    length_mm: Floats,
    chord_mm: Floats,
    pitch_mm: Floats | float,
    speed_mm_s: Floats,
    acceleration_mm_s2: float,
) -> Floats:
    """Time of parallel lines that stop at both ends, with the short moves between them.

    Parameters
    ----------
    length_mm : (n,) float64
        Whole length of the lines. [mm]
    chord_mm : (n,) float64
        Mean length of one line. [mm]
    pitch_mm : float or (n,) float64
        Length of the move to the next line. [mm]
    speed_mm_s : (n,) float64
        Cruise speed. [mm/s]
    acceleration_mm_s2 : float
        Acceleration. [mm/s²]

    Returns
    -------
    (n,) float64
        Durations; zero where there is no length. [s]

    Sources
    -------
    derived: :func:`printplan.process.motion.effective_line_speed`.
    """
    some = (length_mm > 0) & (chord_mm > 0)
    chord = np.where(some, chord_mm, 1.0)
    running = length_mm / effective_line_speed(chord, speed_mm_s, acceleration_mm_s2)
    moves = length_mm / chord * rest_to_rest_time(pitch_mm, speed_mm_s, acceleration_mm_s2)
    return np.where(some, running + moves, 0.0)


def pattern_time(
    pattern: InfillPattern,
    fraction: float,
    area_mm2: Floats,
    perimeter_mm: Floats,
    spacing_mm: Floats,
    speed_mm_s: Floats,
    acceleration_mm_s2: float,
    deviation_mm: float,
) -> Floats:
    """Time to fill areas with a pattern.

    Parameters
    ----------
    pattern : str
        Infill pattern.
    fraction : float
        Infill fraction.
    area_mm2, perimeter_mm : (n,) float64
        Size of the areas to fill, per layer. [mm²], [mm]
    spacing_mm, speed_mm_s : (n,) float64
        Bead spacing and cruise speed, per layer. [mm], [mm/s]
    acceleration_mm_s2, deviation_mm : float
        Acceleration and allowed deviation at corners. [mm/s²], [mm]

    Returns
    -------
    (n,) float64
        Durations. [s]

    Sources
    -------
    derived: lengths and turns of the patterns, centripetal limit on the gyroid's curves.

    Notes
    -----
    Hexagons are taken as zigzags with a 60° turn after every side. Concentric loops are taken to
    stop four times a round, like a square: a careful value, since their corners are not known.
    """
    if fraction < 1e-6:
        return np.zeros_like(area_mm2)
    a = acceleration_mm_s2
    length = area_mm2 * fraction / spacing_mm
    chord = mean_chord(area_mm2, perimeter_mm)
    # Where the lines touch, every pattern is solid parallel lines.
    if fraction > 0.99:
        return straight_lines_time(length, chord, spacing_mm, speed_mm_s, a)
    pitch = spacing_mm * line_pitch(pattern, fraction, 1.0)
    speed = speed_mm_s
    if pattern == "gyroid":
        radius = spacing_mm * gyroid_cell(fraction, 1.0) * GYROID_RADIUS
        speed = np.minimum(speed, np.sqrt(a * radius))
    elif pattern == "concentric":
        chord = perimeter_mm / 4
    elif pattern == "hexagons":
        side = spacing_mm * hexagon_side(fraction, 1.0, zigzag=True)
        speed = _zigzag_speed(side, speed, a, deviation_mm)
    return straight_lines_time(length, chord, pitch, speed, a)


def _zigzag_speed(side: Floats, speed: Floats, acceleration: float, deviation: float) -> Floats:
    """Mean speed on equal sides that meet at turns of 60°."""
    a = acceleration
    corner = corner_speed(60.0, a, deviation, speed)
    peak = np.minimum(speed, np.sqrt(a * side + corner**2))
    ramps = (peak**2 - corner**2) / a
    return side / (2 * (peak - corner) / a + (side - ramps) / peak)
