"""Gear friction: how hot plastic teeth get by rubbing on each other.

The relation of Hachmann and Strickle in the form of the guideline for plastic gears. Its
coefficients are recalled and were not verified, so the rise is good to about half of itself; the
upper values carry that.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, get_args

from printplan.climate.places import check_between, check_positive
from printplan.errors import UnknownNameError

__all__ = ["UNCERTAINTY", "Housing", "Mate", "ToothTemperature", "loss_factor", "tooth_temperature"]

Mate = Literal["steel", "plastic"]
Housing = Literal["open", "partly open", "closed"]

#: Share of the rise by which it may be wrong, either way [derived: unverified coefficients].
UNCERTAINTY = 0.5

#: (flank, root) by mate, running dry [memory: VDI 2736-2, not verified]. [K (m/s)^0.75 mm^1.75 / W]
_COEFFICIENTS: dict[Mate, tuple[float, float]] = {
    "steel": (7000.0, 900.0),
    "plastic": (9000.0, 2100.0),
}
#: Resistance of the housing's wall; partly open is 0.015 to 0.045, of which the greater
#: [memory: VDI 2736-2, not verified]. [K m² / W]
_HOUSING_K_M2_W: dict[Housing, float] = {"open": 0.0, "partly open": 0.045, "closed": 0.06}

_SOURCE = (
    "tooth temperature [memory: VDI 2736-2, after Hachmann and Strickle; coefficients not "
    "verified]; accuracy limited [source: trade article on polymer gear rating, 2025]"
)


def loss_factor(
    teeth: int,
    ratio: float,
    approach_overlap: float,
    recess_overlap: float,
    helix_deg: float = 0.0,
) -> float:
    """Share of the power that rubbing takes, per coefficient of friction.

    H_v = pi (u + 1) / (z1 u cos bb) (1 - e_a + e1² + e2²), e_a = e1 + e2

    Parameters
    ----------
    teeth : int
        Teeth of the pinion z1.
    ratio : float
        Teeth of the wheel over those of the pinion, u, 1 or more.
    approach_overlap, recess_overlap : float
        Parts e1 and e2 of the transverse contact ratio that lie on either side of the pitch point.
    helix_deg : float
        Helix angle at the base cylinder bb, 0 for straight teeth. [°]

    Returns
    -------
    float
        Loss factor H_v.

    Raises
    ------
    OutOfRangeError
        If an argument is out of range.

    Sources
    -------
    [memory: VDI 2736-2]
    """
    check_between("teeth of the pinion", teeth, 5, 500, "")
    check_between("ratio", ratio, 1.0, 20.0, "(wheel over pinion)")
    check_between("overlap in approach", approach_overlap, 0.0, 2.0, "")
    check_between("overlap in recess", recess_overlap, 0.0, 2.0, "")
    check_between("helix angle", helix_deg, 0.0, 45.0, "degrees")
    overlaps = approach_overlap**2 + recess_overlap**2 - approach_overlap - recess_overlap
    base = teeth * ratio * math.cos(math.radians(helix_deg))
    return math.pi * (ratio + 1.0) / base * (1.0 + overlaps)


@dataclass(frozen=True, kw_only=True)
class ToothTemperature:
    """How hot teeth get; the upper values hold half as much rise again.

    Attributes
    ----------
    surroundings_degc : float
        Round the gear, without running. [°C]
    flank_degc, root_degc : float
        Expected. [°C]
    flank_upper_degc, root_upper_degc : float
        To be judged by. [°C]
    heat_w : float
        Power that rubbing turns into heat while the teeth mesh. [W]
    notes, sources : tuple of str
        Assumptions, and where numbers come from.
    """

    surroundings_degc: float
    flank_degc: float
    root_degc: float
    flank_upper_degc: float
    root_upper_degc: float
    heat_w: float
    notes: tuple[str, ...]
    sources: tuple[str, ...]


def tooth_temperature(
    surroundings_degc: float,
    *,
    power_w: float,
    friction: float,
    loss: float,
    teeth: int,
    module_mm: float,
    width_mm: float,
    speed_mm_s: float,
    mate: Mate = "plastic",
    duty: float = 1.0,
    housing: Housing = "open",
    housing_area_mm2: float | None = None,
) -> ToothTemperature:
    """Temperature of running plastic teeth, dry or greased.

    T = T0 + P mu H_v [k / (b z (v_t m)^0.75) + R_G / A_G] ED^0.64

    Parameters
    ----------
    surroundings_degc : float
        What surrounds the gear on the hot day, T0: the design value or upper bound of its housing,
        out of `part_temperature`. The rise belongs on top: gears run in the sun. [°C]
    power_w : float
        Power passed on, P. [W]
    friction : float
        Coefficient mu: dry PA, POM or PLA 0.2 to 0.4, greased 0.05 to 0.1 [memory].
    loss : float
        Loss factor H_v, see `loss_factor`.
    teeth : int
        Teeth of the gear that is asked about, z.
    module_mm, width_mm : float
        Module m and width of the teeth b. [mm]
    speed_mm_s : float
        Speed at the pitch circle v_t. [mm/s]
    mate : {"steel", "plastic"}
        What the teeth run on.
    duty : float
        Share of the time in mesh, ED, above 0 and up to 1.
    housing : {"open", "partly open", "closed"}
        What is round the gears.
    housing_area_mm2 : float or None
        Surface of the housing A_G, needed unless it is open. [mm²]

    Returns
    -------
    ToothTemperature
        Flank and root.

    Raises
    ------
    OutOfRangeError
        If a number is out of range, or the housing's area is missing.
    UnknownNameError
        If mate or housing is another word.

    Sources
    -------
    [memory: VDI 2736-2, Hachmann-Strickle form; coefficients not verified]

    Notes
    -----
    Made for moulded, toothed wheels at some metres a second; a slow gear with rough printed flanks
    lies outside, and its rise is only an order of magnitude.
    """
    if mate not in _COEFFICIENTS:
        raise UnknownNameError("mate of the teeth", mate, get_args(Mate))
    if housing not in _HOUSING_K_M2_W:
        raise UnknownNameError("housing of the gears", housing, get_args(Housing))
    check_between("temperature round the gear", surroundings_degc, -60.0, 400.0, "°C")
    check_between("power", power_w, 0.0, 1e5, "W")
    check_between("coefficient of friction", friction, 0.0, 1.0, "")
    check_between("loss factor", loss, 0.0, 2.0, "")
    check_between("teeth", teeth, 5, 500, "")
    for name, value in (("module", module_mm), ("width", width_mm), ("speed", speed_mm_s)):
        check_positive(name, value)
    check_between("share of time in mesh", duty, 1e-6, 1.0, "")
    resistance = _HOUSING_K_M2_W[housing]
    housing_k_w = 0.0
    if resistance > 0.0:
        area = math.nan if housing_area_mm2 is None else housing_area_mm2
        check_between("area of the housing", area, 1.0, 1e8, "mm² (needed unless it is open)")
        housing_k_w = resistance / (area * 1e-6)
    heat_w = power_w * friction * loss
    mesh = width_mm * teeth * (speed_mm_s * 1e-3 * module_mm) ** 0.75
    flank_k, root_k = (heat_w * (k / mesh + housing_k_w) * duty**0.64 for k in _COEFFICIENTS[mate])
    return ToothTemperature(
        surroundings_degc=surroundings_degc,
        flank_degc=surroundings_degc + flank_k,
        root_degc=surroundings_degc + root_k,
        flank_upper_degc=surroundings_degc + flank_k * (1.0 + UNCERTAINTY),
        root_upper_degc=surroundings_degc + root_k * (1.0 + UNCERTAINTY),
        heat_w=heat_w,
        notes=(
            "the rise is good to ±50 %: coefficients are recalled, not verified; judge by the "
            "upper values",
            f"on {mate}, dry or greased, housing {housing}",
        ),
        sources=(_SOURCE,),
    )
