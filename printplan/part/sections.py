"""Plane sections of a solid: area, second moments, section moduli, and where they are least."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printplan.errors import InputError, OutOfRangeError
from printplan.part.slicing import Layers, slice_layers, sum_triangles
from printplan.part.solid import Solid
from printplan.part.waists import FoundAs, least_section_place

if TYPE_CHECKING:
    from shapely import MultiPolygon, Polygon

__all__ = [
    "Section",
    "SectionProfile",
    "WeakestSection",
    "section_frame",
    "section_profile",
    "section_through",
    "weakest_sections",
]

Array = NDArray[np.float64]
Triple = tuple[float, float, float]


@dataclass(frozen=True, kw_only=True, eq=False)
class Section:
    """A plane cut through a solid.

    Moments are about the centroid; u and v are the coordinates in the plane. With more than one
    island they hold for all of them together, as if they were joined.

    Attributes
    ----------
    origin_mm, normal : (3,) float64
        The plane. [mm]
    u_axis, v_axis : (3,) float64
        Axes in the plane; u, v and the normal are right-handed.
    area_mm2, perimeter_mm : float
        Holes deducted. [mm², mm]
    centroid_mm : (3,) float64
        In space. [mm]
    i_uu_mm4, i_vv_mm4, i_uv_mm4 : float
        Integrals of v², u² and u v: i_uu is for bending about u. [mm⁴]
    i_max_mm4, i_min_mm4 : float
        Principal second moments. [mm⁴]
    max_axis, min_axis : (3,) float64
        Axes (in space) about which the second moment is largest and least.
    max_fibres_mm, min_fibres_mm : tuple of float
        Distance of the extreme fibres on either side of the axis of i_max and of i_min. [mm]
    z_any_mm3 : float
        Least modulus for a bending moment of any direction in the plane. [mm³]
    islands : int
        Separate regions of material.
    warnings : tuple of str
        What the reader must know.
    """

    origin_mm: Array
    normal: Array
    u_axis: Array
    v_axis: Array
    area_mm2: float
    perimeter_mm: float
    centroid_mm: Array
    i_uu_mm4: float
    i_vv_mm4: float
    i_uv_mm4: float
    i_max_mm4: float
    i_min_mm4: float
    max_axis: Array
    min_axis: Array
    max_fibres_mm: tuple[float, float]
    min_fibres_mm: tuple[float, float]
    z_any_mm3: float
    islands: int
    warnings: tuple[str, ...] = ()
    layers: Layers = field(repr=False)

    @property
    def z_of_max_mm3(self) -> float:
        """Elastic section modulus about the axis of i_max, at its farther fibre. [mm³]"""
        return _modulus(self.i_max_mm4, max(self.max_fibres_mm))

    @property
    def z_of_min_mm3(self) -> float:
        """Elastic section modulus about the axis of i_min, at its farther fibre. [mm³]"""
        return _modulus(self.i_min_mm4, max(self.min_fibres_mm))

    @cached_property
    def polygon(self) -> Polygon | MultiPolygon:
        """The material as a shapely polygon in u and v, measured from `origin_mm`."""
        return self.layers.polygons(0, tolerance_mm=0.001)


@dataclass(frozen=True, kw_only=True, eq=False)
class SectionProfile:
    """Sections along a direction.

    Attributes
    ----------
    direction, u_axis, v_axis : (3,) float64
        Normal of the planes, and the axes in them.
    position_mm : (k,) float64
        Places along the direction, from the origin of coordinates. [mm]
    area_mm2, perimeter_mm : (k,) float64
        [mm², mm]
    centroid_mm : (k, 3) float64
        In space; NaN where there is no area. [mm]
    i_uu_mm4, i_vv_mm4, i_uv_mm4 : (k,) float64
        Second moments about the centroid, as in `Section`. [mm⁴]
    """

    direction: Array
    u_axis: Array
    v_axis: Array
    position_mm: Array
    area_mm2: Array
    perimeter_mm: Array
    centroid_mm: Array
    i_uu_mm4: Array
    i_vv_mm4: Array
    i_uv_mm4: Array


@dataclass(frozen=True, kw_only=True)
class WeakestSection:
    """The least section of the interior across one direction.

    Attributes
    ----------
    axis_name : str
        "x", "y", "z", "principal 1", "principal 2" or "principal 3".
    normal : tuple of float
        Unit normal of the plane.
    position_mm : float
        Place along the normal, from the origin of coordinates. [mm]
    origin_mm : tuple of float
        Centroid of the section. [mm]
    area_mm2 : float
        All islands together. [mm²]
    i_min_mm4, i_max_mm4 : float
        Principal second moments. [mm⁴]
    z_min_mm3, z_max_mm3 : float
        Smaller and larger of the elastic section moduli about the two principal axes. [mm³]
    z_any_mm3 : float
        Least modulus for a bending moment of any direction in the plane: never more than
        `z_min_mm3` (a square is weakest over its corners). [mm³]
    islands : int
        Separate regions of material; above 1 the moments hold as if they were joined.
    found_as : str
        Which part of the rule of `weakest_sections` found it.
    """

    axis_name: str
    normal: Triple
    position_mm: float
    origin_mm: Triple
    area_mm2: float
    i_min_mm4: float
    i_max_mm4: float
    z_min_mm3: float
    z_max_mm3: float
    z_any_mm3: float
    islands: int
    found_as: FoundAs


def section_frame(normal: ArrayLike) -> Array:
    """Right-handed axes of a plane.

    Parameters
    ----------
    normal : (3,) array_like
        Any length.

    Returns
    -------
    (3, 3) float64
        Rows u, v and the unit normal. u leans on x (on y where the normal lies along x).

    Raises
    ------
    InputError
        If the normal is not of three finite numbers, or zero.
    """
    n = np.asarray(normal, dtype=np.float64)
    if n.shape != (3,) or not np.isfinite(n).all() or not n.any():
        raise InputError(f"normal = {normal!r}: expected three finite numbers, not all zero")
    n = n / np.abs(n).max()
    n = n / np.linalg.norm(n)
    lean = np.eye(3)[1 if abs(n[0]) > 0.9 else 0]
    u = lean - (lean @ n) * n
    u /= np.linalg.norm(u)
    return np.array([u, np.cross(n, u), n])


def section_through(solid: Solid, origin_mm: ArrayLike, normal: ArrayLike) -> Section:
    """Cut a solid with one plane.

    Parameters
    ----------
    solid : Solid
        The part.
    origin_mm : (3,) array_like
        A point of the plane; u = v = 0 lies there. [mm]
    normal : (3,) array_like
        Normal of the plane, any length.

    Returns
    -------
    Section
        Where the plane lies in a face of the part: the section just behind it, as seen along
        the normal.

    Raises
    ------
    InputError
        If the plane is not defined, or meets no material.

    Sources
    -------
    [memory: Green's theorem for polygon moments; principal axes by the eigenvalues of the tensor]
    """
    origin = np.asarray(origin_mm, dtype=np.float64)
    if origin.shape != (3,) or not np.isfinite(origin).all():
        raise InputError(f"origin_mm = {origin_mm!r}: expected three finite numbers")
    frame = section_frame(normal)
    moved = Solid(
        name=solid.name,
        vertices_mm=(solid.vertices_mm - origin) @ frame.T,
        faces=solid.faces,
        opposite=solid.opposite,
    )
    layers = slice_layers(moved, [0.0])
    rings = layers.rings(0)
    area = float(layers.area_mm2[0])
    if not rings or not area > 0.0:
        raise InputError(
            f"section of {solid.name!r} at {origin.tolist()} across {frame[2].round(6).tolist()}: "
            "expected closed material in the plane; move the plane or mend the mesh"
        )
    first, second, signed = _ring_moments(rings)
    centroid = first / area
    uu, vv, uv = second - area * np.array([centroid[0] ** 2, centroid[1] ** 2, centroid.prod()])
    # about u counts v²: the tensor's eigenvectors are the axes of bending
    (i_min, i_max), axes = np.linalg.eigh(np.array([[vv, -uv], [-uv, uu]]))
    points = np.concatenate(rings) - centroid
    across = [points @ np.array([-axis[1], axis[0]]) for axis in axes.T]
    return Section(
        origin_mm=origin,
        normal=frame[2],
        u_axis=frame[0],
        v_axis=frame[1],
        area_mm2=area,
        perimeter_mm=float(layers.perimeter_mm[0]),
        centroid_mm=origin + centroid @ frame[:2],
        i_uu_mm4=float(vv),
        i_vv_mm4=float(uu),
        i_uv_mm4=float(uv),
        i_max_mm4=float(i_max),
        i_min_mm4=float(i_min),
        max_axis=axes[:, 1] @ frame[:2],
        min_axis=axes[:, 0] @ frame[:2],
        max_fibres_mm=(-float(across[1].min()), float(across[1].max())),
        min_fibres_mm=(-float(across[0].min()), float(across[0].max())),
        z_any_mm3=_modulus(1.0, float(np.hypot(across[1] / i_max, across[0] / i_min).max())),
        islands=int((signed > 1e-9 * area).sum()),
        warnings=layers.warnings,
        layers=layers,
    )


def _modulus(second_moment: float, fibre: float) -> float:
    return second_moment / fibre if fibre > 0.0 else 0.0


def _ring_moments(rings: list[Array]) -> tuple[Array, Array, Array]:
    """Integrals (u, v), (uu, vv, uv) over the region, and the signed area of each ring."""
    first, second, signed = np.zeros(2), np.zeros(3), np.zeros(len(rings))
    for i, ring in enumerate(rings):
        (px, py), (qx, qy) = ring.T, np.roll(ring, -1, axis=0).T
        cross = px * qy - qx * py
        signed[i] = cross.sum() / 2.0
        first += np.array([cross @ (px + qx), cross @ (py + qy)]) / 6.0
        second += (
            np.array(
                [
                    cross @ (px * px + px * qx + qx * qx),
                    cross @ (py * py + py * qy + qy * qy),
                    cross @ (px * py + qx * qy + (px * qy + qx * py) / 2.0),
                ]
            )
            / 12.0
        )
    return first, second, signed


def section_profile(
    solid: Solid,
    direction: ArrayLike,
    count: int = 100,
    *,
    positions_mm: ArrayLike | None = None,
) -> SectionProfile:
    """Sections at many places along a direction.

    Parameters
    ----------
    solid : Solid
        A closed part.
    direction : (3,) array_like
        Normal of the planes.
    count : int
        Number of planes, in the middles of as many equal lengths.
    positions_mm : (k,) array_like, optional
        Ascending places along the direction instead, from the origin of coordinates. [mm]

    Returns
    -------
    SectionProfile
        Overlapping shells count twice.

    Raises
    ------
    InputError
        If the solid is not closed or the direction is not understood.
    OutOfRangeError
        If the count is below 1, or the places are not ascending.
    """
    if count < 1:
        raise OutOfRangeError("count", count, "1 or more")
    _require_closed(solid)
    frame = section_frame(direction)
    vertices = solid.vertices_mm @ frame.T
    if positions_mm is None:
        low, high = vertices[:, 2].min(), vertices[:, 2].max()
        positions_mm = low + (high - low) * (np.arange(count) + 0.5) / count
    sums = sum_triangles(vertices, solid.faces, positions_mm)
    uu, vv, uv = sums.central_mm4.T
    in_plane = np.column_stack([sums.centroid_mm, sums.heights_mm])
    return SectionProfile(
        direction=frame[2],
        u_axis=frame[0],
        v_axis=frame[1],
        position_mm=sums.heights_mm,
        area_mm2=sums.area_mm2,
        perimeter_mm=sums.perimeter_mm,
        centroid_mm=in_plane @ frame,
        i_uu_mm4=vv,
        i_vv_mm4=uu,
        i_uv_mm4=uv,
    )


def _require_closed(solid: Solid) -> None:
    if not solid.closed:
        count = int((solid.opposite < 0).sum())
        raise InputError(
            f"sections of {solid.name!r}: expected a closed mesh, but {count} edges are open; "
            "mend the mesh"
        )


def weakest_sections(solid: Solid, principal_axes: ArrayLike) -> tuple[WeakestSection, ...]:
    """Least section of the interior across x, y, z and the three principal axes.

    The rule. Towards a pointed or rounded end the area goes to zero, and that is no weakness. So
    only the interior counts: from where 2 % of the volume lie behind to where 98 % do. In it the
    least of these is taken:

    - *waist*: the area has a local minimum;
    - *even run*: the area stays within 0.1 % over 5 % of the length or more (a prism's own
      section; reported at the middle of the run);
    - *blunt end*: the interior's own end, where the area grows inwards and the part goes on to
      its tip with at least a quarter of that area (a tapering bar with a flat end).

    If there is none of them (a ball, a cone), *no waist* is the least area between a quarter and
    three quarters of the volume.

    Gaps between separate bodies are passed over.
    Planes stand on both sides of flat faces that lie across, never in them. Waists are refined
    until the area changes by less than 0.1 %. A V-shaped groove without flat faces and narrower
    than 1/300 of the length can be missed.

    Parameters
    ----------
    solid : Solid
        A closed part.
    principal_axes : (3, 3) array_like
        Rows are the principal axes of inertia.

    Returns
    -------
    tuple of WeakestSection
        Six, in the order x, y, z, principal 1, 2, 3.

    Raises
    ------
    InputError
        If the solid is not closed, or an axis is not understood.

    Sources
    -------
    derived. [common practice]: for curved load paths the least plane section is an estimate.
    """
    _require_closed(solid)
    axes = np.asarray(principal_axes, dtype=np.float64)
    if axes.shape != (3, 3):
        raise InputError(f"principal_axes of shape {axes.shape}: expected three rows of three")
    names = ("x", "y", "z", "principal 1", "principal 2", "principal 3")
    found: dict[str, WeakestSection] = {}
    directions = dict(zip(names, [*np.eye(3), *axes], strict=True))
    for name, direction in directions.items():
        found[name] = _weakest_across(solid, name, section_frame(direction))
    return tuple(found.values())


def _weakest_across(solid: Solid, name: str, frame: Array) -> WeakestSection:
    place, found_as = least_section_place(solid.vertices_mm @ frame.T, solid.faces)
    section = section_through(solid, place * frame[2], frame[2])
    moduli = sorted((section.z_of_min_mm3, section.z_of_max_mm3))
    return WeakestSection(
        axis_name=name,
        normal=_triple(frame[2]),
        position_mm=place,
        origin_mm=_triple(section.centroid_mm),
        area_mm2=section.area_mm2,
        i_min_mm4=section.i_min_mm4,
        i_max_mm4=section.i_max_mm4,
        z_min_mm3=moduli[0],
        z_max_mm3=moduli[1],
        z_any_mm3=section.z_any_mm3,
        islands=section.islands,
        found_as=found_as,
    )


def _triple(point: Array) -> Triple:
    return float(point[0]), float(point[1]), float(point[2])
