"""Nominal stress through a whole part: real sections between hold and load, beam theory in each.

Nominal means: no notch factors, no stress where a load or the hold enters, no statically
indeterminate support. Where the shape changes quickly it is an estimate to be confirmed.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printplan.errors import InputError, OutOfRangeError
from printplan.part.slicing import slice_layers
from printplan.part.solid import Solid
from printplan.stress.bending import normal_stress_mpa
from printplan.stress.planes import carrying_islands, cut_directions, frame_across, whole_sections
from printplan.stress.section_moments import PrintedSection, printed_section
from printplan.stress.shearing import shear_per_force
from printplan.stress.twisting import Twist, twist_of

if TYPE_CHECKING:
    import pandas as pd
    from shapely import Geometry

    from printplan.filament.demand import Direction

__all__ = ["CutPlan", "CutStresses", "PointLoad", "WorstCut", "cut_stresses", "plan_cuts"]

Array = NDArray[np.float64]

#: Cuts keep this share of the distance from the hold and the load, off faces they may lie in.
END_MARGIN = 1e-3
#: Points of an outline that lie this near to the line of their neighbours are dropped.
OUTLINE_TOLERANCE_MM = 1e-5


@dataclass(frozen=True, kw_only=True)
class PointLoad:
    """A force, and perhaps a moment, on a part.

    Attributes
    ----------
    force_n : (3,) float
        Force on the part. [N]
    at_mm : (3,) float
        Where it acts. [mm]
    moment_nmm : (3,) float
        Moment on the part at the same place. [N mm]
    """

    force_n: tuple[float, float, float]
    at_mm: tuple[float, float, float]
    moment_nmm: tuple[float, float, float] = (0.0, 0.0, 0.0)


@dataclass(frozen=True, kw_only=True)
class WorstCut:
    """The worst place of one kind of stress.

    Attributes
    ----------
    stress_mpa : float
        Largest value. [MPa]
    cut : int
        Number of the cut in `CutStresses`.
    place_mm : tuple of float
        The fibre for tension, the section's centroid for shear. [mm]
    """

    stress_mpa: float
    cut: int
    place_mm: tuple[float, float, float]


@dataclass(frozen=True, kw_only=True, eq=False)
class CutStresses:
    """Resultants and stresses of all cuts, ordered by family and away from the hold.

    Attributes
    ----------
    centroid_mm, normal : (k, 3) float64
        Centroid of what carries; unit normal, pointing away from the hold. [mm]
    area_mm2 : (k,) float64
        Area in terms of the shell's stiffness. [mm2]
    axial_n, shear_n : (k,) float64
        Force along the normal, pull positive; size of the cross force. [N]
    bending_nmm, torque_nmm : (k,) float64
        Sizes of bending moment and torque at the centroid. [N mm]
    stress_max_mpa, stress_min_mpa : (k,) float64
        Largest and least normal stress on the outline. [MPa]
    shear_mpa : (k,) float64
        Largest shear stress from cross force and torque together. [MPa]
    in_layer_tension_mpa, interlayer_tension_mpa : (k,) float64
        Pull along and across the layers. [MPa]
    in_layer_shear_mpa, interlayer_shear_mpa : (k,) float64
        Shear within and between the layers. [MPa]
    place_mm : (k, 3) float64
        The fibre with the largest normal stress. [mm]
    worst : dict
        The worst cut for each of the four directions of `filament.Demand`.
    warnings : tuple of str
        What the reader must know.
    """

    centroid_mm: Array
    normal: Array
    area_mm2: Array
    axial_n: Array
    shear_n: Array
    bending_nmm: Array
    torque_nmm: Array
    stress_max_mpa: Array
    stress_min_mpa: Array
    shear_mpa: Array
    in_layer_tension_mpa: Array
    interlayer_tension_mpa: Array
    in_layer_shear_mpa: Array
    interlayer_shear_mpa: Array
    place_mm: Array
    worst: dict[Direction, WorstCut] = field(default_factory=dict)
    warnings: tuple[str, ...] = ()

    def to_frame(self) -> pd.DataFrame:
        """One row per cut, one column per number."""
        import pandas as pd

        columns: dict[str, Any] = {}
        for name, values in vars(self).items():
            if name in ("worst", "warnings"):
                continue
            if values.ndim == 2:
                stem, _, unit = name.partition("_")
                ending = f"_{unit}" if unit else ""
                columns |= {f"{stem}_{a}{ending}": values[:, i] for i, a in enumerate("xyz")}
            else:
                columns[name] = values
        return pd.DataFrame(columns)


def _vector(name: str, value: ArrayLike) -> Array:
    array = np.asarray(value, dtype=np.float64)
    if array.shape != (3,) or not np.isfinite(array).all():
        raise InputError(f"{name} = {value!r}: expected three finite numbers x, y, z")
    return array


def _outlines(solid: Solid, frame: tuple[Array, Array, Array], heights_mm: Array) -> list[Geometry]:
    """Cut the solid across the frame's normal; outlines in u, v from the part's own origin."""
    layers = slice_layers(solid.turned(np.array(frame)), heights_mm)
    return [layers.polygons(k, OUTLINE_TOLERANCE_MM) for k in range(len(layers))]


@dataclass(frozen=True, kw_only=True, eq=False)
class _Cut:
    """One section between hold and loads; what costs time is worked out once.

    Attributes
    ----------
    section : PrintedSection
        In u, v from the part's own origin.
    origin_mm : (3,) float64
        Where the frame's plane crosses its normal. [mm]
    frame : (u, v, normal)
        Unit vectors.
    beyond : (n,) bool
        Which loads act beyond the cut.
    """

    section: PrintedSection
    origin_mm: Array
    frame: tuple[Array, Array, Array]
    beyond: NDArray[np.bool_]

    @cached_property
    def shear_per_force(self) -> tuple[Array, Array]:
        """Shear stress per cross force, and the principal axes."""
        return shear_per_force(self.section)

    @cached_property
    def twist(self) -> Twist:
        """Torsion of the section."""
        return twist_of(self.section)

    def stresses(
        self, forces: Array, places: Array, couples: Array, build: Array
    ) -> dict[str, float | Array]:
        """Resultants of the loads beyond the cut, and the stresses that they make."""
        import shapely

        u, v, normal = self.frame
        moments = self.section.moments
        centroid = self.origin_mm + moments.centre_mm[0] * u + moments.centre_mm[1] * v
        forces, places, couples = (x[self.beyond] for x in (forces, places, couples))
        force = forces.sum(axis=0)
        moment = couples.sum(axis=0) + np.cross(places - centroid, forces).sum(axis=0)
        corners = shapely.get_coordinates(self.section.outline)
        stresses = normal_stress_mpa(
            corners,
            moments,
            axial_n=float(force @ normal),
            moment_u_nmm=float(moment @ u),
            moment_v_nmm=float(moment @ v),
        )
        torque = abs(float(moment @ normal))
        shear, across_n = 0.0, np.array([force @ u, force @ v])
        if across_n.any():
            per_force, directions = self.shear_per_force
            shear = float(per_force @ np.abs(directions @ across_n))
        if torque > 0:
            shear += torque * self.twist.stress_per_torque_mm3
        fibre = corners[int(stresses.argmax())]
        largest, least = float(stresses.max()), float(stresses.min())
        across = min(1.0, abs(float(normal @ build)))
        along = float(np.sqrt(1 - across**2))
        pull, either = max(largest, 0.0), max(abs(largest), abs(least))
        return {
            "centroid_mm": centroid,
            "normal": normal,
            "area_mm2": moments.area_mm2,
            "axial_n": float(force @ normal),
            "shear_n": float(np.hypot(*across_n)),
            "bending_nmm": float(np.hypot(moment @ u, moment @ v)),
            "torque_nmm": torque,
            "stress_max_mpa": largest,
            "stress_min_mpa": least,
            "shear_mpa": shear,
            "in_layer_tension_mpa": pull * along**2,
            "interlayer_tension_mpa": pull * across**2 + 2 * shear * along * across,
            "in_layer_shear_mpa": shear * along,
            "interlayer_shear_mpa": either * along * across + shear,
            "place_mm": self.origin_mm + fibre[0] * u + fibre[1] * v,
        }


@dataclass(frozen=True, kw_only=True, eq=False)
class CutPlan:
    """Sections between a hold and the places of loads, ready for any forces at those places."""

    places_mm: Array
    warnings: tuple[str, ...]
    cuts: tuple[_Cut, ...] = field(repr=False)

    def stresses(
        self, loads: Sequence[PointLoad], build_direction: ArrayLike = (0.0, 0.0, 1.0)
    ) -> CutStresses:
        """Nominal stress of loads that act at the planned places; see `cut_stresses`.

        Raises
        ------
        InputError
            If a load acts elsewhere, or the build direction is a zero vector.
        """
        build = _vector("build_direction", build_direction)
        if not np.linalg.norm(build) > 0:
            raise InputError("build_direction: expected a direction, not a zero vector")
        build = build / np.linalg.norm(build)
        forces = np.array([_vector("force_n", load.force_n) for load in loads])
        places = np.array([_vector("at_mm", load.at_mm) for load in loads])
        couples = np.array([_vector("moment_nmm", load.moment_nmm) for load in loads])
        if places.shape != self.places_mm.shape or not np.allclose(places, self.places_mm):
            raise InputError("loads: expected the places for which the cuts were planned")
        rows = [cut.stresses(forces, places, couples, build) for cut in self.cuts]
        table = {name: np.array([row[name] for row in rows]) for name in rows[0]}
        for array in table.values():
            array.flags.writeable = False
        return CutStresses(**table, worst=_worst(table), warnings=self.warnings)


def cut_stresses(
    solid: Solid,
    loads: Sequence[PointLoad],
    held_at_mm: ArrayLike,
    *,
    shell_mm: float | None = None,
    core_factor: float = 1.0,
    build_direction: ArrayLike = (0.0, 0.0, 1.0),
    stations: int = 60,
) -> CutStresses:
    """Nominal stress in cuts between the held place and the loads.

    Cuts run across the line from the hold to the farthest load and, where a load lies well to the
    side of the hold, also across the part's axes (`planes.cut_directions`). In each cut the loads
    beyond it give N, V, M and T at the centroid of what carries (`planes.carrying_islands`,
    `planes.whole_sections`);
    normal stress by unsymmetric bending on the outline's corners; shear stress as V Q/(I w) plus
    torsion by a lower bound of the torsion constant, both added.

    The stress across a cut splits by the angle t between the cut's normal and the build direction:
    across layers ``sigma cos^2 t + 2 tau sin t cos t``, along them ``sigma sin^2 t``, between
    layers in shear ``|sigma| sin t cos t + tau``, within a layer in shear ``tau sin t``. Where tau
    lies isn't resolved: it counts in every direction it can have.

    Parameters
    ----------
    solid : Solid
        A closed part.
    loads : sequence of PointLoad
        What acts on it; the hold answers.
    held_at_mm : (3,) array_like
        Where it is held. [mm]
    shell_mm, core_factor
        Shell of full stiffness around a core of a share of it, see `printed_section`.
    build_direction : (3,) array_like
        Normal of the layers.
    stations : int
        Cuts per family, 2 or more.

    Returns
    -------
    CutStresses

    Raises
    ------
    InputError
        If the part isn't closed, there is no load, every load acts at the hold, or no cut meets
        material.
    OutOfRangeError
        If a number is out of range.

    Sources
    -------
    [memory: any text on strength of materials]  beam theory
    derived  torsion bound, split into directions
    [common practice]  cuts as a screening, exact for prismatic parts only

    Notes
    -----
    The cross force is taken through the centroid: the extra twist of an open profile whose shear
    centre lies elsewhere isn't counted.
    """
    if not loads:
        raise InputError("loads: expected one or more")
    plan = plan_cuts(
        solid,
        [load.at_mm for load in loads],
        held_at_mm,
        shell_mm=shell_mm,
        core_factor=core_factor,
        stations=stations,
    )
    return plan.stresses(loads, build_direction)


def plan_cuts(
    solid: Solid,
    places_mm: ArrayLike,
    held_at_mm: ArrayLike,
    *,
    shell_mm: float | None = None,
    core_factor: float = 1.0,
    stations: int = 60,
) -> CutPlan:
    """Cut the part between its hold and the places of loads; see `cut_stresses`.

    Raises
    ------
    InputError
        If the part isn't closed, every load acts at the hold, or no cut meets material.
    OutOfRangeError
        If a number is out of range.
    """
    hold = _vector("held_at_mm", held_at_mm)
    places = np.array([_vector("at_mm", place) for place in np.atleast_2d(places_mm)])
    if stations < 2:
        raise OutOfRangeError("stations", stations, "2 or more")
    if not solid.closed:
        raise InputError(f"{solid.name}: sections need a closed mesh; repair it first")
    directions = cut_directions(hold, places)
    if not directions:
        raise InputError("loads: every load acts at held_at_mm; expected a distance between them")
    cuts: list[_Cut] = []
    warnings: list[str] = []
    slivers = 0
    for normal in directions:
        u, v = frame_across(normal)
        to_plane = np.array([u, v])
        ahead = (places - hold) @ normal
        reach = float(ahead.max())
        station = reach * np.linspace(END_MARGIN, 1 - END_MARGIN, stations)
        outlines = _outlines(solid, (u, v, normal), float(hold @ normal) + station)
        solid_here = np.array([not outline.is_empty for outline in outlines])
        if not solid_here.any():
            continue
        station = station[solid_here]
        kept, family_warnings = carrying_islands(
            [outline for outline in outlines if not outline.is_empty],
            station,
            to_plane @ hold,
            places @ to_plane.T,
            ahead,
        )
        warnings += family_warnings
        whole = whole_sections(np.array([outline.area for outline in kept]), station, reach)
        slivers += int((~whole).sum())
        for distance, outline in itertools.compress(zip(station, kept, strict=True), whole):
            cuts.append(
                _Cut(
                    section=printed_section(outline, shell_mm, core_factor),
                    origin_mm=(float(hold @ normal) + distance) * normal,
                    frame=(u, v, normal),
                    beyond=ahead > distance,
                )
            )
    if not cuts:
        raise InputError(f"{solid.name}: no cut between hold and loads meets material")
    if slivers:
        warnings.append(
            f"{slivers} cuts beside the hold or a load meet only a tip of the part: left out, "
            "judge the contact there"
        )
    return CutPlan(places_mm=places, cuts=tuple(cuts), warnings=tuple(dict.fromkeys(warnings)))


def _worst(table: dict[str, Array]) -> dict[Direction, WorstCut]:
    """Pick the worst cut of each direction out of the table."""
    columns: tuple[tuple[Direction, str, str], ...] = (
        ("in-layer tension", "in_layer_tension_mpa", "place_mm"),
        ("interlayer tension", "interlayer_tension_mpa", "place_mm"),
        ("in-layer shear", "in_layer_shear_mpa", "centroid_mm"),
        ("interlayer shear", "interlayer_shear_mpa", "centroid_mm"),
    )
    worst: dict[Direction, WorstCut] = {}
    for direction, column, place in columns:
        cut = int(table[column].argmax())
        x, y, z = (float(value) for value in table[place][cut])
        worst[direction] = WorstCut(
            stress_mpa=float(table[column][cut]), cut=cut, place_mm=(x, y, z)
        )
    return worst
