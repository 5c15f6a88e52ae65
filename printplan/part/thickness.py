"""Wall thickness of a solid: where is it thinner than a few beads?

Thickness at a point of the surface is the diameter of the largest ball that touches the surface
there from inside and is stopped by an opposing surface. Opposing means that the outward normals
differ by more than 120°: so a convex edge does not count as a thin wall, and where nothing
opposes, the length of the inward ray counts.
"""

from __future__ import annotations

import os
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from printplan.errors import OutOfRangeError
from printplan.part.solid import Solid
from printplan.part.tree import TriangleTree, build_tree, morton_codes, surface_samples

__all__ = ["Judgement", "Thickness", "ThinRegion", "wall_thickness"]

#: Thinner than one, two, or the limit of four bead widths.
Judgement = Literal["cannot be printed as drawn", "one bead only", "weak for a loaded wall"]

#: Outward normals of a wall's two faces differ by more than this.
OPPOSING_COSINE = -0.5
#: A ball may reach this far into a facet: facets of round surfaces are no walls. [mm]
NOISE_MM = 0.02
#: On large balls by this share of the radius.
COARSE_SHARE = 0.005
#: Faces that lean together by more than this make a tip, not a wall. [degree]
TAPER_DEG = 30.0
#: A thickness this little below a limit still counts as the limit. [mm]
SLACK_MM = 0.005
#: Regions reported at most, and the smallest area that makes one. [mm²]
MOST_REGIONS = 40
LEAST_AREA_MM2 = 1.0
#: Samples within so many mean spacings are neighbours (some 30 of them).
REACH = 3.0
#: More neighbours than this on average are no walls but a tangle: the reach shrinks, for memory.
MOST_NEIGHBOURS = 300
#: Faces that take over a neighbour's thickness turn by less than this (cosine of 30°).
SMOOTH_COSINE = 0.866

Array = NDArray[np.float64]
Integers = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True)
class ThinRegion:
    """A connected thin place of the part, or several alike.

    Attributes
    ----------
    place_mm : (3,) tuple of float
        Middle of the place (of the thinnest, where there are several). [mm]
    box_mm : (2, 3) tuple of tuple of float
        Its lowest and highest x, y, z. [mm]
    area_mm2 : float
        Area of the wall seen from one side, all `count` places together. [mm²]
    thickness_mm : float
        Thinnest, ignoring an area smaller than `Thickness.least_area_mm2`. [mm]
    typical_mm : float
        Median over the area. [mm]
    bead_widths : float
        `thickness_mm` over the line width.
    judged : str
        What that means for printing.
    count : int
        Number of places alike (teeth, ribs).
    places_mm : tuple of (3,) tuple of float
        Middle of each of them. [mm]
    """

    place_mm: tuple[float, float, float]
    box_mm: tuple[tuple[float, float, float], tuple[float, float, float]]
    area_mm2: float
    thickness_mm: float
    typical_mm: float
    bead_widths: float
    judged: Judgement
    count: int = 1
    places_mm: tuple[tuple[float, float, float], ...] = ()


@dataclass(frozen=True, kw_only=True, eq=False)
class Thickness:
    """Wall thickness all over a part.

    Attributes
    ----------
    line_width_mm, limit_mm : float
        Width of a bead; walls thinner than the limit are listed. [mm]
    thinnest_mm : float
        Thinnest wall. Where there are thin walls it is the smallest `thickness_mm` of theirs;
        otherwise the thickness that an area of `least_area_mm2` does not exceed. Tips that taper
        to an edge count only if the part has no other surface. NaN if nothing was measured. [mm]
    least_area_mm2 : float
        Smaller areas are ignored: 1 mm², or three samples where those lie wider apart. [mm²]
    faces_mm : (m,) float64
        Thickness of each triangle, for pictures: the middle one of its samples, else that of the
        nearest triangle over a smooth surface; NaN where unknown. A large triangle may lie over
        thin and thick places: there the samples tell more. [mm]
    positions_mm : (n, 3) float64
        Samples. [mm]
    sample_face : (n,) int64
        Triangle of each sample.
    sample_mm, ray_mm : (n,) float64
        Thickness by ball, and length of the inward ray; NaN where the ray met nothing. [mm]
    opening_deg : (n,) float64
        Angle between the two faces: 0 for a wall of even thickness. [degree]
    sample_area_mm2 : (n,) float64
        Area that a sample stands for. [mm²]
    unmeasured : int
        Samples whose ray met nothing; a warning says so if they are more than one in a thousand.
    regions : tuple of ThinRegion
        Thin walls, thinnest first.
    tips : tuple of ThinRegion
        Thin places whose faces run together at more than 30°: tooth tips, knife edges, chamfers of
        a plate. They come out blunt, but they are no walls.
    warnings : tuple of str
        What the reader must know.
    """

    line_width_mm: float
    limit_mm: float
    thinnest_mm: float
    least_area_mm2: float
    unmeasured: int
    regions: tuple[ThinRegion, ...]
    tips: tuple[ThinRegion, ...]
    faces_mm: Array = field(repr=False)
    positions_mm: Array = field(repr=False)
    sample_face: Integers = field(repr=False)
    sample_mm: Array = field(repr=False)
    ray_mm: Array = field(repr=False)
    opening_deg: Array = field(repr=False)
    sample_area_mm2: Array = field(repr=False)
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class _Samples:
    """What was measured, sample by sample."""

    face: Integers
    position: Array
    weight: Array
    ball: Array
    ray: Array
    opening: Array
    contact: Array


def wall_thickness(
    solid: Solid,
    *,
    line_width_mm: float = 0.45,
    limit_bead_widths: float = 4.0,
    samples: int = 50_000,
) -> Thickness:
    """Measure the wall thickness of a part and list the places that are thin for its beads.

    Parameters
    ----------
    solid : Solid
        The part; best closed.
    line_width_mm : float
        Width of a printed bead. [mm]
    limit_bead_widths : float
        Walls thinner than so many beads are listed.
    samples : int
        Most samples; fewer are drawn where that gives one per square of a line width. They are
        spread evenly over the area, the same at every call, with at least one on each flat patch
        unless the patches outnumber half of the samples (free forms).

    Returns
    -------
    Thickness
        Map, samples and thin regions.

    Raises
    ------
    OutOfRangeError
        If a number is not positive and finite, or fewer than 100 samples are asked for.

    Sources
    -------
    [memory: Ma, Bae and Choi 2012]: the shrinking ball. [common practice]: a wall needs one line
    to exist and two or more to carry load. The limits of 30°, 120° and 0.02 mm are our choice.

    Notes
    -----
    On a wedge the ball gives 2 s tan(a / 2), the ray s tan a, at distance s from its edge.
    Facets make a round wall up to R (1 - cos(pi / N)) thinner or thicker than the drawn one.
    """
    for name, value in (("line_width_mm", line_width_mm), ("limit_bead_widths", limit_bead_widths)):
        if not 0.0 < value < np.inf:
            raise OutOfRangeError(name, value, "more than 0, finite")
    if samples < 100:
        raise OutOfRangeError("samples", samples, "100 or more")
    limit = limit_bead_widths * line_width_mm
    measured = _measure(solid, build_tree(solid), line_width_mm, samples)
    known = np.isfinite(measured.ball)
    spacing2 = float(measured.weight.sum()) / max(len(measured.weight), 1)
    least_area = max(LEAST_AREA_MM2, 3.0 * spacing2)
    walls = known & (measured.opening <= TAPER_DEG)
    thin = known & (measured.ball < limit - SLACK_MM)
    regions, small = _thin_regions(measured, thin & walls, least_area, line_width_mm)
    tips, _ = _thin_regions(measured, thin & ~walls, least_area, line_width_mm)
    return Thickness(
        line_width_mm=line_width_mm,
        limit_mm=limit,
        thinnest_mm=_thinnest(measured, known, walls, regions, least_area),
        least_area_mm2=least_area,
        unmeasured=int((~known).sum()),
        regions=tuple(regions[:MOST_REGIONS]),
        tips=tuple(tips[:MOST_REGIONS]),
        faces_mm=_over_faces(solid, measured),
        positions_mm=measured.position,
        sample_face=measured.face,
        sample_mm=measured.ball,
        ray_mm=measured.ray,
        opening_deg=measured.opening,
        sample_area_mm2=measured.weight,
        warnings=_warnings(solid, known, small, len(regions), least_area),
    )


def _measure(solid: Solid, tree: TriangleTree, line_width_mm: float, most: int) -> _Samples:
    from printplan.part.thickness_kernels import fit_slabs, measure_thickness

    face, position, normal, weight = surface_samples(solid, line_width_mm, most)
    # neighbours in space one after the other: the tree stays in the cache
    order = np.argsort(morton_codes(position), kind="stable")
    p = np.ascontiguousarray(position[order] - tree.origin_mm)
    n = np.ascontiguousarray(normal[order])
    slabs = np.empty_like(tree.boxes)
    fit_slabs(tree.corners, OPPOSING_COSINE, slabs)
    count = len(face)
    ray, ball, cosine = (np.empty(count) for _ in range(3))
    contact = np.empty((count, 3))

    def work(begin: int, end: int) -> None:
        measure_thickness(
            tree.boxes, slabs, tree.corners, p, n, (begin, end),
            (NOISE_MM, COARSE_SHARE), OPPOSING_COSINE, ray, ball, cosine, contact,
        )  # fmt: skip

    threads = min(2, os.cpu_count() or 1)
    cuts = [count * i // threads for i in range(threads + 1)]
    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(work, cuts[:-1], cuts[1:]))
    back = np.argsort(order)
    return _Samples(
        face=face,
        position=position,
        weight=weight,
        ball=ball[back],
        ray=ray[back],
        opening=180.0 - np.degrees(np.arccos(np.clip(cosine[back], -1.0, 1.0))),
        contact=contact[back] + tree.origin_mm,
    )


def _thin_regions(
    measured: _Samples, chosen: NDArray[np.bool_], least_area: float, line_width_mm: float
) -> tuple[list[ThinRegion], int]:
    """Regions of the chosen samples, alike ones merged, and the number of those too small."""
    spacing = float(measured.weight.mean()) ** 0.5
    groups = _clusters(measured, chosen, REACH * spacing)
    large = [g for g in groups if measured.weight[g].sum() / 2.0 >= least_area]
    found = [_region(measured, group, least_area, line_width_mm) for group in large]
    return _merged(found), len(groups) - len(large)


def _clusters(measured: _Samples, chosen: NDArray[np.bool_], reach_mm: float) -> list[Integers]:
    """Group connected samples: near each other, or on the two faces of one wall."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components
    from scipy.spatial import cKDTree

    number = np.flatnonzero(chosen)
    if not len(number):
        return []
    tree = cKDTree(measured.position[number])
    probe = measured.position[number[:: max(1, len(number) // 500)]]
    for _ in range(8):
        if tree.query_ball_point(probe, reach_mm, return_length=True).mean() <= MOST_NEIGHBOURS:
            break
        reach_mm /= 2.0
    near = tree.query_pairs(reach_mm, output_type="ndarray")
    distance, nearest = tree.query(measured.contact[number], distance_upper_bound=reach_mm)
    across = np.asarray(nearest)
    faced = np.flatnonzero(np.isfinite(distance))
    a = np.concatenate([near[:, 0], faced])
    b = np.concatenate([near[:, 1], across[faced]])
    links = coo_array((np.ones(len(a), np.int8), (a, b)), shape=(len(number), len(number)))
    count, label = connected_components(links, directed=False)
    order = np.argsort(label, kind="stable")
    ends = np.cumsum(np.bincount(label, minlength=count))[:-1]
    return [number[group] for group in np.split(order, ends)]


def _at_area(thickness: Array, weight: Array, area: float) -> float:
    """Thickness that `area` of a wall, seen from one side, does not exceed."""
    area *= 2.0  # both sides are sampled
    order = np.argsort(thickness, kind="stable")
    at = int(np.searchsorted(np.cumsum(weight[order]), area))
    return float(thickness[order[min(at, len(order) - 1)]])


def _judged(thickness_mm: float, line_width_mm: float) -> Judgement:
    if thickness_mm < line_width_mm - SLACK_MM:
        return "cannot be printed as drawn"
    if thickness_mm < 2.0 * line_width_mm - SLACK_MM:
        return "one bead only"
    return "weak for a loaded wall"


def _region(
    measured: _Samples, group: Integers, least_area: float, line_width_mm: float
) -> ThinRegion:
    ball, weight, position = measured.ball[group], measured.weight[group], measured.position[group]
    thinnest = _at_area(ball, weight, least_area)
    middle = (position * weight[:, None]).sum(axis=0) / weight.sum()
    place = _triple(middle)
    return ThinRegion(
        place_mm=place,
        box_mm=(_triple(position.min(axis=0)), _triple(position.max(axis=0))),
        area_mm2=float(weight.sum()) / 2.0,
        thickness_mm=thinnest,
        typical_mm=_at_area(ball, weight, float(weight.sum()) / 4.0),
        bead_widths=thinnest / line_width_mm,
        judged=_judged(thinnest, line_width_mm),
        places_mm=(place,),
    )


def _triple(point: Array) -> tuple[float, float, float]:
    return float(point[0]), float(point[1]), float(point[2])


def _alike(a: ThinRegion, b: ThinRegion) -> bool:
    """Whether two places are so alike that one line tells of both."""
    return (
        a.judged == b.judged
        and abs(a.typical_mm - b.typical_mm) <= max(0.05, 0.1 * a.typical_mm)
        and max(a.area_mm2 / a.count, b.area_mm2) <= 1.5 * min(a.area_mm2 / a.count, b.area_mm2)
    )


def _merged(found: list[ThinRegion]) -> list[ThinRegion]:
    """Merge places alike; thinnest first."""
    groups: list[ThinRegion] = []
    for region in sorted(found, key=lambda r: r.thickness_mm):
        for i, known in enumerate(groups):
            if _alike(known, region):
                groups[i] = replace(
                    known,
                    area_mm2=known.area_mm2 + region.area_mm2,
                    count=known.count + 1,
                    places_mm=(*known.places_mm, region.place_mm),
                )
                break
        else:
            groups.append(region)
    return groups


def _thinnest(
    measured: _Samples,
    known: NDArray[np.bool_],
    walls: NDArray[np.bool_],
    regions: list[ThinRegion],
    least_area: float,
) -> float:
    if regions:
        return regions[0].thickness_mm
    chosen = walls if walls.any() else known
    if not chosen.any():
        return float("nan")
    return _at_area(measured.ball[chosen], measured.weight[chosen], least_area)


def _over_faces(solid: Solid, measured: _Samples) -> Array:
    """Spread the samples' thickness over the triangles, step by step over smooth edges."""
    m = len(solid.faces)
    faces = np.full(m, np.inf)
    known = np.flatnonzero(np.isfinite(measured.ball))
    order = known[np.lexsort((measured.ball[known], measured.face[known]))]
    sampled, first, count = np.unique(measured.face[order], return_index=True, return_counts=True)
    faces[sampled] = measured.ball[order[first + (count - 1) // 2]]
    corners = solid.vertices_mm[solid.faces]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(normal, axis=1)
    normal /= np.where(length > 0.0, length, 1.0)[:, None]
    edge = np.flatnonzero(solid.opposite >= 0)
    here, there = edge // 3, solid.opposite[edge] // 3
    waiting = np.isinf(faces[here])
    here, there = here[waiting], there[waiting]
    smooth = np.einsum("ij,ij->i", normal[here], normal[there]) > SMOOTH_COSINE
    here, there = here[smooth], there[smooth]
    while len(here):
        ready = np.isfinite(faces[there])
        if not ready.any():
            break
        value = faces[there[ready]]
        np.minimum.at(faces, here[ready], value)
        waiting = np.isinf(faces[here])
        here, there = here[waiting], there[waiting]
    faces[np.isinf(faces)] = np.nan
    return faces


def _warnings(
    solid: Solid, known: NDArray[np.bool_], left_out: int, regions: int, least_area: float
) -> tuple[str, ...]:
    texts = []
    if not solid.closed:
        texts.append("mesh has open edges: thickness is known only where a ray met material")
    # a single ray along an edge may slip through
    if (~known).sum() > len(known) / 1000.0:
        texts.append(f"{int((~known).sum())} of {len(known)} samples met no opposite surface")
    if left_out:
        texts.append(f"{left_out} thin spots smaller than {least_area:.2g} mm² are left out")
    if regions > MOST_REGIONS:
        texts.append(f"{regions - MOST_REGIONS} more thin regions are not listed")
    return tuple(texts)
