"""Area, centroid and second moments of plane sections, solid or printed as shell and core."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from printplan.errors import OutOfRangeError

if TYPE_CHECKING:
    from shapely import Geometry

__all__ = ["PrintedSection", "SectionMoments", "polygon_moments", "printed_section"]


@dataclass(frozen=True, kw_only=True)
class SectionMoments:
    """Integrals of a plane section about its own centroid.

    Attributes
    ----------
    area_mm2 : float
        Area. [mm2]
    centre_mm : (2,) float64
        Centroid u, v. [mm]
    i_uu_mm4, i_vv_mm4, i_uv_mm4 : float
        Second moments about the u axis (integral of v^2), about the v axis (of u^2), and the
        product (of u v). [mm4]
    """

    area_mm2: float
    centre_mm: NDArray[np.float64]
    i_uu_mm4: float
    i_vv_mm4: float
    i_uv_mm4: float


@dataclass(frozen=True, kw_only=True)
class PrintedSection:
    """A section with a shell of full stiffness around a softer core.

    Attributes
    ----------
    outline : shapely Polygon or MultiPolygon
        The whole section in u, v. [mm]
    core : shapely geometry
        The part inside the shell; empty for a solid section.
    shell_mm : float
        Thickness of the shell; infinite for a solid section. [mm]
    core_factor : float
        Stiffness (and stress) of the core over that of the shell.
    moments : SectionMoments
        Of the section transformed to shell material.
    """

    outline: Geometry
    core: Geometry
    shell_mm: float
    core_factor: float
    moments: SectionMoments


def _ring_integrals(ring: NDArray[np.float64]) -> NDArray[np.float64]:
    """Integrals of 1, u, v, v^2, u^2, u v inside a closed ring, positive counter-clockwise."""
    u, v = ring[:-1, 0], ring[:-1, 1]
    u2, v2 = ring[1:, 0], ring[1:, 1]
    cross = u * v2 - u2 * v
    return np.array(
        [
            cross.sum() / 2,
            (cross * (u + u2)).sum() / 6,
            (cross * (v + v2)).sum() / 6,
            (cross * (v * v + v * v2 + v2 * v2)).sum() / 12,
            (cross * (u * u + u * u2 + u2 * u2)).sum() / 12,
            (cross * (u * v2 + 2 * u * v + 2 * u2 * v2 + u2 * v)).sum() / 24,
        ]
    )


def _integrals(geometry: Geometry, origin: NDArray[np.float64]) -> NDArray[np.float64]:
    """Sum the six integrals of a polygon or multipolygon about `origin`."""
    import shapely

    total = np.zeros(6)
    parts = shapely.get_parts(geometry)
    for polygon in parts[shapely.get_type_id(parts) == shapely.GeometryType.POLYGON]:
        for number, ring in enumerate(shapely.get_rings(polygon)):
            sums = _ring_integrals(shapely.get_coordinates(ring) - origin)
            # Outlines count positive and holes negative, whichever way they run.
            total += (1 if number == 0 else -1) * np.sign(sums[0]) * sums
    return total


def _about_centroid(sums: NDArray[np.float64], origin: NDArray[np.float64]) -> SectionMoments:
    area = float(sums[0])
    if not area > 0:
        raise OutOfRangeError("section area", area, "above 0 mm2")
    cu, cv = sums[1] / area, sums[2] / area
    return SectionMoments(
        area_mm2=area,
        centre_mm=origin + np.array([cu, cv]),
        i_uu_mm4=float(sums[3] - area * cv * cv),
        i_vv_mm4=float(sums[4] - area * cu * cu),
        i_uv_mm4=float(sums[5] - area * cu * cv),
    )


def polygon_moments(geometry: Geometry) -> SectionMoments:
    """Integrals of a shapely polygon or multipolygon, exact for its straight sides.

    Raises
    ------
    OutOfRangeError
        If it has no area.

    Sources
    -------
    [memory: Green's theorem on polygons, any text on sections]
    """
    origin = _middle(geometry)
    return _about_centroid(_integrals(geometry, origin), origin)


def _middle(geometry: Geometry) -> NDArray[np.float64]:
    """Middle of the bounding box: an origin near the section keeps the sums exact."""
    low_u, low_v, high_u, high_v = geometry.bounds
    return np.array([(low_u + high_u) / 2, (low_v + high_v) / 2])


def printed_section(
    outline: Geometry, shell_mm: float | None = None, core_factor: float = 1.0
) -> PrintedSection:
    """Section of a printed part: a shell round everything, a softer core inside.

    The core's share of every integral is multiplied by `core_factor`, as in any section of two
    materials; stresses then found are those of the shell.

    Parameters
    ----------
    outline : shapely Polygon or MultiPolygon
        The section. [mm]
    shell_mm : float, optional
        Thickness of the shell; None is a solid section. [mm]
    core_factor : float
        Stiffness of the core over that of the shell, 0 to 1; 1 with a solid section.

    Returns
    -------
    PrintedSection

    Raises
    ------
    OutOfRangeError
        If the shell is not positive, the factor outside 0 to 1, or given without a shell.

    Sources
    -------
    [memory: transformed section, any text on strength of materials]
    [common practice]  the shell is the section, the infill a support
    """
    from shapely import Polygon

    if not 0 <= core_factor <= 1:
        raise OutOfRangeError("core_factor", core_factor, "0 to 1")
    if shell_mm is None:
        if core_factor != 1:
            raise OutOfRangeError("core_factor", core_factor, "1 without shell_mm; give shell_mm")
        return PrintedSection(
            outline=outline,
            core=Polygon(),
            shell_mm=np.inf,
            core_factor=1.0,
            moments=polygon_moments(outline),
        )
    if not (np.isfinite(shell_mm) and shell_mm > 0):
        raise OutOfRangeError("shell_mm", shell_mm, "a finite number above 0")
    core = outline.buffer(-shell_mm, join_style="mitre")
    origin = _middle(outline)
    sums = _integrals(outline, origin)
    if not core.is_empty:
        sums = sums - (1 - core_factor) * _integrals(core, origin)
    return PrintedSection(
        outline=outline,
        core=core,
        shell_mm=shell_mm,
        core_factor=core_factor,
        moments=_about_centroid(sums, origin),
    )
