"""The deposited line: cross-section, spacing, and how much filament a volume takes.

One convention throughout the room: deposited volume = spacing × layer height × path length. The
stadium only sets the spacing; mass follows the extruded volume, not the shape of the bead.
"""

from __future__ import annotations

import math

from printplan.errors import OutOfRangeError

__all__ = ["bead_area", "bead_spacing", "filament_area", "filament_length_m", "filament_mass_g"]


def bead_area(line_width_mm: float, layer_height_mm: float) -> float:
    """Cross-section of one line: a rectangle with semicircular ends.

    A = h (w - h) + pi h² / 4, with w = `line_width_mm` and h = `layer_height_mm`.

    Parameters
    ----------
    line_width_mm, layer_height_mm : float
        Width of the bead in plan and its height, width at least height. [mm]

    Returns
    -------
    float
        Area of the cross-section. [mm²]

    Raises
    ------
    OutOfRangeError
        If the height is not positive or the width is less than the height.

    Sources
    -------
    derived: area of a stadium.
    [source: Comminal, Serdeczny, Pedersen & Spangenberg 2018, Additive Manufacturing, abstract]
    real beads lie between almost round and a flat cuboid with rounded edges.

    Examples
    --------
    >>> round(bead_area(0.45, 0.2), 6)
    0.081416
    """
    if not (math.isfinite(layer_height_mm) and layer_height_mm > 0):
        raise OutOfRangeError("layer height [mm]", layer_height_mm, "a positive height")
    if not (math.isfinite(line_width_mm) and line_width_mm >= layer_height_mm):
        raise OutOfRangeError(
            "line width [mm]", line_width_mm, f"at least the layer height, {layer_height_mm:g} mm"
        )
    w, h = line_width_mm, layer_height_mm
    return h * (w - h) + math.pi * h * h / 4


def bead_spacing(line_width_mm: float, layer_height_mm: float) -> float:
    """Centre distance of neighbouring lines that leave no void: s = w - h (1 - pi/4).

    Parameters
    ----------
    line_width_mm, layer_height_mm : float
        Width of the bead in plan and its height. [mm]

    Returns
    -------
    float
        Spacing. [mm]

    Raises
    ------
    OutOfRangeError
        As :func:`bead_area`.

    Sources
    -------
    derived: each line replaced by a rectangle of equal area.

    Examples
    --------
    >>> round(bead_spacing(0.45, 0.2), 5)
    0.40708
    """
    return bead_area(line_width_mm, layer_height_mm) / layer_height_mm


def filament_area(diameter_mm: float) -> float:
    """Cross-section of the filament. [mm²]

    Parameters
    ----------
    diameter_mm : float
        Diameter of the thread. [mm]

    Returns
    -------
    float
        pi d² / 4. [mm²]

    Raises
    ------
    OutOfRangeError
        If the diameter is not positive.
    """
    if not (math.isfinite(diameter_mm) and diameter_mm > 0):
        raise OutOfRangeError("filament diameter [mm]", diameter_mm, "a positive diameter")
    return math.pi * diameter_mm**2 / 4


def filament_length_m(volume_mm3: float, diameter_mm: float) -> float:
    """Length of filament that holds a volume. [m]

    Parameters
    ----------
    volume_mm3 : float
        Extruded volume. [mm³]
    diameter_mm : float
        Filament diameter. [mm]

    Returns
    -------
    float
        Length. [m]

    Raises
    ------
    OutOfRangeError
        If the diameter is not positive.
    """
    return volume_mm3 / filament_area(diameter_mm) / 1000


def filament_mass_g(volume_mm3: float, density_g_cm3: float) -> float:
    """Mass of an extruded volume of solid polymer. [g]

    Parameters
    ----------
    volume_mm3 : float
        Extruded volume. [mm³]
    density_g_cm3 : float
        Density of the solid polymer. [g/cm³]

    Returns
    -------
    float
        Mass. [g]
    """
    return volume_mm3 * density_g_cm3 / 1000
