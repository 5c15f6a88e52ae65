"""Thin round plates: covers under pressure and hub flanges pushed or tilted by their hub.

Symbols: a outer radius (of the bolt circle), b hub radius, t thickness, E modulus, nu Poisson's
ratio, D = E t^3/(12 (1 - nu^2)), q pressure, P axial force, M tilting moment. Small deflections:
below about half the thickness.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from printplan.elements.ranges import between, positive
from printplan.errors import UnknownNameError

__all__ = [
    "FlangeStress",
    "HeldEdge",
    "disc_under_pressure",
    "flange_pushed",
    "flange_tilted",
    "ring_moment_nmm",
]

#: How the outer edge is held: "clamped" can't tilt, "simply" can. A rim between bolts is neither:
#: take "simply" on the bolt circle.
HeldEdge = Literal["clamped", "simply"]

SMALLEST_HUB, LARGEST_HUB = 0.05, 0.9  # b/a; beyond it the ring is no plate any more


@dataclass(frozen=True, kw_only=True)
class FlangeStress:
    """Largest bending stress and movement of a round plate.

    Attributes
    ----------
    stress_mpa : float
        Largest bending stress, no notch factor in it. [MPa]
    deflection_mm : float
        Movement along the axis at the middle or the hub; 0 for a tilt. [mm]
    tilt_deg : float
        Tilt of the hub; 0 for the other loads. [deg]
    """

    stress_mpa: float
    deflection_mm: float = 0.0
    tilt_deg: float = 0.0


def _stiffness(thickness_mm: float, modulus_mpa: float, poisson: float) -> float:
    positive(thickness_mm=thickness_mm, modulus_mpa=modulus_mpa)
    between("poisson", poisson, 0.0, 0.5)
    return modulus_mpa * thickness_mm**3 / (12 * (1 - poisson**2))


def _check_edge(edge: str) -> None:
    if edge not in ("clamped", "simply"):
        raise UnknownNameError("held edge", edge, ("clamped", "simply"))


def _check_hub(hub_radius_mm: float, radius_mm: float) -> float:
    positive(hub_radius_mm=hub_radius_mm, radius_mm=radius_mm)
    between("hub radius / outer radius", hub_radius_mm / radius_mm, SMALLEST_HUB, LARGEST_HUB)
    return hub_radius_mm / radius_mm


def disc_under_pressure(
    pressure_mpa: float,
    *,
    radius_mm: float,
    thickness_mm: float,
    edge: HeldEdge,
    modulus_mpa: float,
    poisson: float,
) -> FlangeStress:
    """Full disc under uniform pressure.

    Clamped ``0.75 q a^2/t^2`` at the edge, ``q a^4/(64 D)``; simply held
    ``3 (3 + nu) q a^2/(8 t^2)`` in the middle, ``(5 + nu) q a^4/(64 (1 + nu) D)``.

    Raises
    ------
    OutOfRangeError
        If a size is not positive or nu outside 0 to 0.5.
    UnknownNameError
        For an unknown edge.

    Sources
    -------
    [memory: Timoshenko/Roark]; [source: Boresi, ex. 13.3]  confirms the clamped pair
    """
    _check_edge(edge)
    positive(radius_mm=radius_mm)
    stiffness = _stiffness(thickness_mm, modulus_mpa, poisson)
    load = abs(pressure_mpa) * (radius_mm / thickness_mm) ** 2
    bend = pressure_mpa * radius_mm**4 / (64 * stiffness)
    if edge == "clamped":
        return FlangeStress(stress_mpa=0.75 * load, deflection_mm=bend)
    return FlangeStress(
        stress_mpa=3 * (3 + poisson) / 8 * load,
        deflection_mm=(5 + poisson) / (1 + poisson) * bend,
    )


def flange_pushed(
    force_n: float,
    *,
    radius_mm: float,
    hub_radius_mm: float,
    thickness_mm: float,
    edge: HeldEdge,
    modulus_mpa: float,
    poisson: float,
) -> FlangeStress:
    """Flange whose rigid hub is pushed along the axis.

    Deflection ``w = A + B r^2 + C ln r + P/(8 pi D) r^2 ln r`` with the slope 0 at the hub and
    the outer edge held. The moment is largest at the hub or at the clamped edge.

    Raises
    ------
    OutOfRangeError
        If b/a is outside 0.05 to 0.9, a size is not positive or nu outside 0 to 0.5.
    UnknownNameError
        For an unknown edge.

    Sources
    -------
    derived  from the plate equation; agrees with a table computed apart (see the tests)
    """
    _check_edge(edge)
    ratio = _check_hub(hub_radius_mm, radius_mm)
    stiffness = _stiffness(thickness_mm, modulus_mpa, poisson)
    # In units of a: w = A + B r^2 + C ln r + r^2 ln r, times P a^2/(8 pi D).
    log = math.log(ratio)

    def slope(r: float) -> tuple[tuple[float, float, float], float]:
        return (0.0, 2 * r, 1 / r), 2 * r * math.log(r) + r

    def radial_moment(r: float) -> tuple[tuple[float, float, float], float]:
        """-M_r/D = w'' + nu w'/r."""
        return (
            (0.0, 2 * (1 + poisson), -(1 - poisson) / r**2),
            2 * (1 + poisson) * math.log(r) + 3 + poisson,
        )

    rows = [slope(ratio), ((1.0, 1.0, 0.0), 0.0)]
    rows.append(slope(1.0) if edge == "clamped" else radial_moment(1.0))
    unknown = np.linalg.solve([row for row, _ in rows], [-value for _, value in rows])
    moments = [
        abs(float(np.dot(row, unknown)) + value)
        for row, value in (radial_moment(ratio), radial_moment(1.0))
    ]
    hub = float(np.dot((1.0, ratio**2, log), unknown)) + ratio**2 * log
    scale = force_n / (8 * math.pi)
    return FlangeStress(
        stress_mpa=6 * abs(scale) * max(moments) / thickness_mm**2,
        deflection_mm=scale * radius_mm**2 / stiffness * hub,
    )


def flange_tilted(
    moment_nmm: float,
    *,
    radius_mm: float,
    hub_radius_mm: float,
    thickness_mm: float,
    edge: HeldEdge,
    modulus_mpa: float,
    poisson: float,
) -> FlangeStress:
    """Flange whose rigid hub is tilted by a moment, as a wheel's is in a bend.

    Deflection ``w = (A r + B r^3 + C/r + M/(4 pi D) r ln r) cos phi``, where the hub stays plane
    and the outer edge is held. The moment is largest at the hub or at the clamped edge.

    Raises
    ------
    OutOfRangeError
        If b/a is outside 0.05 to 0.9, a size is not positive or nu outside 0 to 0.5.
    UnknownNameError
        For an unknown edge.

    Sources
    -------
    derived  from the plate equation; agrees with Roark's table [memory] (see the tests)
    """
    _check_edge(edge)
    ratio = _check_hub(hub_radius_mm, radius_mm)
    stiffness = _stiffness(thickness_mm, modulus_mpa, poisson)
    # In units of a: f = A r + B r^3 + C/r + r ln r, times M a/(4 pi D).
    log = math.log(ratio)

    def radial_moment(r: float) -> tuple[tuple[float, float, float], float]:
        """-M_r/D = f'' + nu (f'/r - f/r^2)."""
        return (
            (0.0, (6 + 2 * poisson) * r, 2 * (1 - poisson) / r**3),
            (1 + poisson) / r,
        )

    # The hub stays plane: f(b) = b f'(b), which A drops out of.
    rows: list[tuple[tuple[float, float, float], float]] = [
        ((0.0, -2 * ratio**3, 2 / ratio), -ratio),
        ((1.0, 1.0, 1.0), 0.0),
    ]
    rows.append(((1.0, 3.0, -1.0), 1.0) if edge == "clamped" else radial_moment(1.0))
    unknown = np.linalg.solve([row for row, _ in rows], [-value for _, value in rows])
    moments = [
        abs(float(np.dot(row, unknown)) + value)
        for row, value in (radial_moment(ratio), radial_moment(1.0))
    ]
    hub = float(np.dot((1.0, ratio**2, 1 / ratio**2), unknown)) + log
    scale = moment_nmm / (4 * math.pi)
    return FlangeStress(
        stress_mpa=6 * abs(scale) * max(moments) / (radius_mm * thickness_mm**2),
        tilt_deg=math.degrees(abs(scale * hub) / stiffness),
    )


def ring_moment_nmm(force_n: float, radius_mm: float) -> float:
    """Largest moment in a thin ring pulled by two opposite forces: ``F R/pi``. [N mm]

    Raises
    ------
    OutOfRangeError
        If the radius is not positive.

    Sources
    -------
    [memory: Roark, ring case 1, 0.318 F R]
    """
    positive(radius_mm=radius_mm)
    return abs(force_n) * radius_mm / math.pi
