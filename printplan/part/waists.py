"""Where along z a part has its least section: the rule of `weakest_sections` on a profile."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from printplan.errors import InputError
from printplan.part.slicing import sum_triangles

__all__ = ["FoundAs", "least_section_place"]

Array = NDArray[np.float64]
FoundAs = Literal["waist", "even run", "blunt end", "no waist"]

#: Share of the volume at either end that belongs to the caps, not to the interior.
CAP_SHARE = 0.02
#: Planes of the first look at a profile, and of each closer look.
COARSE_PLANES, FINE_PLANES = 300, 24
#: A run is even where the area stays within this share, over this share of the length.
EVEN_AREA, EVEN_LENGTH = 1e-3, 0.05
#: An end is blunt where its tip has this share of the area at the end of the interior.
BLUNT_SHARE = 0.25
#: Planes keep this share of the length away from faces that lie across.
CLEARANCE = 1e-5
#: Flat faces across are looked at on both sides, the largest ones first.
MOST_STEPS = 100


def least_section_place(vertices: Array, faces: NDArray[np.int32]) -> tuple[float, FoundAs]:
    """Find the height of the least section of the interior.

    Parameters
    ----------
    vertices : (n, 3) float64
        Corners of a closed solid, turned so that the planes lie across z. [mm]
    faces : (m, 3) int32
        Triangles.

    Returns
    -------
    place : float
        Height; no face lies in that plane. [mm]
    found_as : str
        Which part of the rule found it, see `printplan.part.sections.weakest_sections`.

    Raises
    ------
    InputError
        If the solid has no volume.
    """
    steps = _flat_steps(vertices, faces)
    low, high = float(vertices[:, 2].min()), float(vertices[:, 2].max())
    clearance = CLEARANCE * (high - low)
    even = low + (high - low) * (np.arange(COARSE_PLANES) + 0.5) / COARSE_PLANES
    beside = np.concatenate([steps.largest - clearance, steps.largest + clearance])
    beside = beside[(beside > low) & (beside < high)]
    places = _clear(np.sort(np.concatenate([even, beside])), steps.all, clearance)
    area = sum_triangles(vertices, faces, places).area_mm2
    offer = _least(places, area, high - low)
    place = float(places[offer.at])
    if offer.found_as == "waist":
        bracket = places[list(offer.bracket)]
        place = _refined(vertices, faces, steps.all, clearance, bracket)
    return place, offer.found_as


@dataclass(frozen=True, kw_only=True)
class _Steps:
    """Heights of the faces that lie across: all of them, and those of the largest area."""

    all: Array
    largest: Array


def _flat_steps(vertices: Array, faces: NDArray[np.int32]) -> _Steps:
    z = vertices[:, 2]
    extent = float(z.max() - z.min())
    first, second, third = (z[faces[:, k]] for k in range(3))
    slack = 1e-7 * extent
    flat = np.flatnonzero((np.abs(second - first) <= slack) & (np.abs(third - first) <= slack))
    a, b, c = (vertices[faces[flat, k], :2] for k in range(3))
    u, v = b - a, c - a
    area = np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]) / 2.0
    cell = np.round(first[flat] / (CLEARANCE * extent)).astype(np.int64)
    cells, number = np.unique(cell, return_inverse=True)
    total = np.bincount(number, area, len(cells))
    where = np.bincount(number, first[flat], len(cells)) / np.bincount(number)
    largest = np.sort(np.argsort(-total, kind="stable")[:MOST_STEPS])
    return _Steps(all=where, largest=where[largest])


def _clear(places: Array, steps: Array, clearance: float) -> Array:
    """Leave out the places that lie in a flat face."""
    if not len(steps):
        return places
    after = np.searchsorted(steps, places)
    below = places - steps[np.maximum(after - 1, 0)]
    above = steps[np.minimum(after, len(steps) - 1)] - places
    return places[np.minimum(np.abs(below), np.abs(above)) > clearance / 2.0]


@dataclass(frozen=True, kw_only=True)
class _Candidate:
    """A place that the rule of `weakest_sections` offers."""

    at: int
    bracket: tuple[int, int]
    found_as: FoundAs


def _least(places: Array, area: Array, length: float) -> _Candidate:
    """Apply the rule of `weakest_sections` to a profile."""
    volume = np.concatenate([[0.0], np.cumsum((area[1:] + area[:-1]) / 2.0 * np.diff(places))])
    if not volume[-1] > 0.0:
        raise InputError("sections: the solid has no volume or is inside out; mend the mesh")
    share = volume / volume[-1]
    first = int(np.searchsorted(share, CAP_SHARE))
    last = int(np.searchsorted(share, 1.0 - CAP_SHARE, side="right")) - 1
    last = max(last, first)
    offers = _runs_offered(places, area, first, last, length)
    inward = np.searchsorted(share, (2.0 * CAP_SHARE, 1.0 - 2.0 * CAP_SHARE))
    for end, tip, within in ((first, 0, inward[0]), (last, len(area) - 1, inward[1])):
        rises = area[within] >= (1.0 - EVEN_AREA) * area[end]
        if rises and area[tip] >= BLUNT_SHARE * area[end] > 0.0:
            offers.append(_Candidate(at=end, bracket=(end, end), found_as="blunt end"))
    if not offers:
        middle = np.flatnonzero((share >= 0.25) & (share <= 0.75))
        middle = middle if len(middle) else np.array([(first + last) // 2])
        at = int(middle[np.argmin(np.where(area[middle] > 0.0, area[middle], np.inf))])
        return _Candidate(at=at, bracket=(at, at), found_as="no waist")
    least = min(area[o.at] for o in offers)
    # of equal ones the first kind: an even run says more than its own end
    return next(o for o in offers if area[o.at] <= least * (1.0 + EVEN_AREA))


def _runs_offered(
    places: Array, area: Array, first: int, last: int, length: float
) -> list[_Candidate]:
    """Even runs, then waists, of the interior from sample `first` to `last`."""
    starts = [0]
    for i in range(1, len(area)):
        if abs(area[i] - area[starts[-1]]) > EVEN_AREA * area[starts[-1]]:
            starts.append(i)
    ends = [*(s - 1 for s in starts[1:]), len(area) - 1]
    even, waists = [], []
    for j, (start, end) in enumerate(zip(starts, ends, strict=True)):
        inner = np.arange(max(start, first), min(end, last) + 1)
        # a gap between separate bodies is no section
        if not len(inner) or area[start] <= 0.0:
            continue
        if places[end] - places[start] >= EVEN_LENGTH * length:
            middle = (places[inner[0]] + places[inner[-1]]) / 2.0
            at = int(inner[np.argmin(np.abs(places[inner] - middle))])
            even.append(_Candidate(at=at, bracket=(at, at), found_as="even run"))
        if 0 < j < len(starts) - 1:
            at = int(inner[np.argmin(area[inner])])
            if area[at] < min(area[start - 1], area[end + 1]):
                bracket = (start - 1, end + 1)
                waists.append(_Candidate(at=at, bracket=bracket, found_as="waist"))
    return even + waists


def _refined(
    vertices: Array, faces: NDArray[np.int32], steps: Array, clearance: float, bracket: Array
) -> float:
    """Place of the least area within a bracket, closer and closer."""
    while True:
        places = _clear(np.linspace(bracket[0], bracket[-1], FINE_PLANES), steps, clearance)
        area = sum_triangles(vertices, faces, places).area_mm2
        area[area <= 0.0] = np.inf
        at = int(np.argmin(area))
        bracket = places[max(at - 1, 0) : at + 2]
        around = area[max(at - 1, 0) : at + 2]
        if (
            around.max() <= (1.0 + EVEN_AREA) * area[at]
            or bracket[-1] - bracket[0] < 4.0 * clearance
        ):
            return float(places[at])
