"""Shear stress of a section under a cross force."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from printplan.stress.section_moments import PrintedSection, SectionMoments

if TYPE_CHECKING:
    from shapely import Geometry

__all__ = ["cross_shear_mpa", "principal_axes", "shear_per_force"]

#: Where the section is cut, from the centroid to the farthest fibre on either side.
LEVELS = np.array([-0.8, -0.6, -0.4, -0.2, 0.0, 0.2, 0.4, 0.6, 0.8])


def principal_axes(section: SectionMoments) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Principal second moments and directions of a section.

    Returns
    -------
    moments : (2,) float64
        Integral of the squared distance along each direction, ascending. [mm4]
    directions : (2, 2) float64
        Unit vectors u, v as rows.
    """
    tensor = np.array([[section.i_vv_mm4, section.i_uv_mm4], [section.i_uv_mm4, section.i_uu_mm4]])
    moments, columns = np.linalg.eigh(tensor)
    return moments, columns.T


def _beyond(
    geometry: Geometry, levels: NDArray[np.float64], frame: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """First moment beyond each level, and width at it; distances along the frame's first row."""
    import shapely

    if geometry.is_empty:
        return np.zeros(len(levels)), np.zeros(len(levels))
    turned = shapely.transform(geometry, lambda uv: uv @ frame.T)
    _, low, high, top = turned.bounds
    beyond = shapely.intersection(turned, shapely.box(levels, low - 1.0, high + 1.0, top + 1.0))
    moments = shapely.area(beyond)
    some = moments > 0
    moments[some] *= shapely.get_x(shapely.centroid(beyond[some]))
    ends = np.array([[[x, low - 1.0], [x, top + 1.0]] for x in levels])
    widths = shapely.length(shapely.intersection(turned, shapely.linestrings(ends)))
    return moments, widths


def shear_per_force(
    section: PrintedSection,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Largest shear stress per unit of cross force along each principal axis.

    ``tau/V = Q/(I w)``, with Q the first moment of what lies beyond a cut and w its width, over
    nine cuts.

    Returns
    -------
    per_force : (2,) float64
        [1/mm2]
    directions : (2, 2) float64
        Principal axes u, v as rows.

    Sources
    -------
    [memory: Jourawski; any text on strength of materials]
    """
    import shapely

    moments, directions = principal_axes(section.moments)
    corners = shapely.get_coordinates(section.outline) - section.moments.centre_mm
    per_force = np.zeros(2)
    for axis, (inertia, along) in enumerate(zip(moments, directions, strict=True)):
        frame = np.array([along, [-along[1], along[0]]])
        reach = corners @ along
        levels = np.where(LEVELS > 0, LEVELS * reach.max(), -LEVELS * reach.min())
        centre = float(section.moments.centre_mm @ along)
        first, width = np.zeros(len(levels)), np.zeros(len(levels))
        for geometry, weight in ((section.outline, 1.0), (section.core, section.core_factor - 1)):
            # Distances are counted from the centroid.
            moved = shapely.transform(geometry, lambda uv, c=centre, a=along: uv - c * a)
            part_first, part_width = _beyond(moved, levels, frame)
            first += weight * part_first
            width += weight * part_width
        solid = width > 1e-6 * width.max()
        if solid.any():
            per_force[axis] = float((np.abs(first[solid]) / width[solid]).max()) / float(inertia)
        else:  # islands far apart, all between two cuts: as a rectangle of their area
            per_force[axis] = 1.5 / section.moments.area_mm2
    return per_force, directions


def cross_shear_mpa(section: PrintedSection, force_u_n: float, force_v_n: float) -> float:
    """Largest shear stress that a cross force causes, away from corners.

    The two principal directions' maxima (`shear_per_force`) are added, which is on the safe side.
    A rectangle gives 1.5 V/A, a circle 4/3 V/A. Mean over the width of the cut: shear in the
    flanges of open profiles isn't resolved. [MPa]

    Sources
    -------
    [memory: Jourawski; any text on strength of materials]
    """
    per_force, directions = shear_per_force(section)
    return float(per_force @ np.abs(directions @ np.array([force_u_n, force_v_n])))
