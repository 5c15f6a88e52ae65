"""Axle loads and how hard a vehicle can be driven or braked before it slips or tips lengthwise.

All of it is one moment balance. With F the sum of the lengthwise forces of the road on the tyres
(forward positive, ``F = m a_x + W sin th``), W the weight, th the slope, a and b the distances of
the centre of mass from the front and rear axle, h its height and L = a + b the wheelbase::

    N_r = (W a cos th + F h) / L        N_f = (W b cos th - F h) / L
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, get_args

from printplan.errors import OutOfRangeError
from printplan.vehicle.limits import check_between, check_known, check_positive
from printplan.vehicle.road import slope_angle_rad

__all__ = [
    "Axle",
    "AxleLoads",
    "Axles",
    "Chassis",
    "ForceLimit",
    "axle_loads",
    "braking_limit",
    "tipping_force_n",
    "traction_limit",
]

Axle = Literal["front", "rear"]
Axles = Literal["front", "rear", "all"]


@dataclass(frozen=True, kw_only=True)
class Chassis:
    """Weight, wheels and centre of mass of the loaded vehicle.

    Attributes
    ----------
    weight_n : float
        Weight of vehicle, rider and load, W. [N]
    wheelbase_mm, track_mm : float
        Distance of the axles, L, and of the wheels of one axle, t. [mm]
    front_wheels, rear_wheels : int
        1 or 2 each.
    centre_behind_front_mm, centre_height_mm : float
        Place of the common centre of mass, a and h. [mm]
    """

    weight_n: float
    wheelbase_mm: float
    track_mm: float
    front_wheels: int
    rear_wheels: int
    centre_behind_front_mm: float
    centre_height_mm: float

    def __post_init__(self) -> None:
        for name in ("weight_n", "wheelbase_mm", "track_mm", "centre_height_mm"):
            check_positive(name, getattr(self, name))
        for name in ("front_wheels", "rear_wheels"):
            if getattr(self, name) not in (1, 2):
                raise OutOfRangeError(name, getattr(self, name), "1 or 2 wheels")
        if not 0.0 < self.centre_behind_front_mm < self.wheelbase_mm:
            raise OutOfRangeError(
                "centre_behind_front_mm",
                self.centre_behind_front_mm,
                f"a place between the axles, above 0 and below {self.wheelbase_mm:g} mm",
            )

    @property
    def centre_before_rear_mm(self) -> float:
        """Distance of the centre of mass from the rear axle, b. [mm]"""
        return self.wheelbase_mm - self.centre_behind_front_mm

    def wheels(self, axle: Axle) -> int:
        """Count the wheels of an axle."""
        return self.front_wheels if axle == "front" else self.rear_wheels


@dataclass(frozen=True, kw_only=True)
class AxleLoads:
    """Forces of the road on the axles, at right angles to the road. [N]"""

    front_n: float
    rear_n: float

    def on(self, axle: Axle) -> float:
        """Load of one axle. [N]"""
        return self.front_n if axle == "front" else self.rear_n


def axle_loads(
    chassis: Chassis, *, drive_force_n: float = 0.0, slope_percent: float = 0.0
) -> AxleLoads:
    """Load on each axle while the road pushes the vehicle along.

    Parameters
    ----------
    chassis : Chassis
        Weight, wheels and centre of mass.
    drive_force_n : float
        Sum F of the lengthwise forces of the road on the tyres, forward positive. Standing or
        rolling steadily on a slope this is ``W sin th``; on the level it is ``m a_x``. [N]
    slope_percent : float
        Rise per 100, uphill positive. [%]

    Returns
    -------
    AxleLoads
        Front and rear. [N]

    Raises
    ------
    OutOfRangeError
        If an axle would have to be pulled down: the vehicle tips over lengthwise.

    Sources
    -------
    derived from the moment balance about each contact; same form in [memory: Gillespie 1992 ch. 1]
    """
    pressing_n = chassis.weight_n * math.cos(slope_angle_rad(slope_percent))
    moment_nmm = drive_force_n * chassis.centre_height_mm
    rear_n = (pressing_n * chassis.centre_behind_front_mm + moment_nmm) / chassis.wheelbase_mm
    front_n = pressing_n - rear_n
    if min(front_n, rear_n) < -1e-9 * chassis.weight_n:
        backwards = tipping_force_n(chassis, over="rear", slope_percent=slope_percent)
        forwards = tipping_force_n(chassis, over="front", slope_percent=slope_percent)
        allowed = f"from {-forwards:.5g} to {backwards:.5g} N, else it tips over lengthwise"
        raise OutOfRangeError("drive_force_n", drive_force_n, allowed)
    return AxleLoads(front_n=max(front_n, 0.0), rear_n=max(rear_n, 0.0))


def tipping_force_n(chassis: Chassis, *, over: Axle, slope_percent: float = 0.0) -> float:
    """Lengthwise force at the road at which one axle just lifts.

    Over the rear axle ("wheelie") ``F = W cos th b / h``, over the front ``F = W cos th a / h``.

    Parameters
    ----------
    chassis : Chassis
        Weight, wheels and centre of mass.
    over : {"front", "rear"}
        The axle that stays down.
    slope_percent : float
        Slope, uphill positive. [%]

    Returns
    -------
    float
        Size of the force: forward when tipping over the rear, backward over the front. [N]

    Sources
    -------
    derived: `axle_loads` with one load zero; level case as [memory: Gillespie 1992 ch. 1]
    """
    arm = chassis.centre_before_rear_mm if over == "rear" else chassis.centre_behind_front_mm
    pressing_n = chassis.weight_n * math.cos(slope_angle_rad(slope_percent))
    return pressing_n * arm / chassis.centre_height_mm


@dataclass(frozen=True, kw_only=True)
class ForceLimit:
    """The largest lengthwise force and what ends it.

    Attributes
    ----------
    force_n : float
        Size of the sum over the working wheels. [N]
    limited_by : {"traction", "wheelie", "over the front"}
        Tyre grip, or one axle lifting first.
    loads : AxleLoads
        Axle loads at that force.
    front_force_n, rear_force_n : float
        How the force divides between the axles. [N]
    """

    force_n: float
    limited_by: Literal["traction", "wheelie", "over the front"]
    loads: AxleLoads
    front_force_n: float
    rear_force_n: float

    def on(self, axle: Axle) -> float:
        """Lengthwise force of one axle. [N]"""
        return self.front_force_n if axle == "front" else self.rear_force_n


def traction_limit(
    chassis: Chassis, *, grip: float, driven: Axles, slope_percent: float = 0.0
) -> ForceLimit:
    """Largest drive force on a dry road before the tyres slip or the front lifts.

    Rear driven ``F = mu W a/(L - mu h)``, front driven ``F = mu W b/(L + mu h)``, all wheels
    ``F = mu W``, each times cos th; never more than ``W cos th b/h``, at which the front lifts.

    Parameters
    ----------
    chassis : Chassis
        Weight, wheels and centre of mass.
    grip : float
        Peak grip between tyre and road, mu. [-]
    driven : {"front", "rear", "all"}
        The driven axle; "all" divides the force as the axle loads.
    slope_percent : float
        Slope, uphill positive. [%]

    Returns
    -------
    ForceLimit
        Force, its reason and the loads at it.

    Raises
    ------
    OutOfRangeError, UnknownNameError
        For a grip outside 0..3, or an unknown axle.

    Sources
    -------
    derived from the moment balance; equal to [memory: Gillespie 1992 ch. 2]
    """
    return _limit(chassis, grip, driven, slope_percent, gaining="rear")


def braking_limit(
    chassis: Chassis, *, grip: float, braked: Axles, slope_percent: float = 0.0
) -> ForceLimit:
    """Largest braking force before the braked tyres slip or the rear lifts.

    The mirror image of `traction_limit`: braking loads the front axle. Rear braked
    ``F = mu W a/(L + mu h)``, front braked ``F = mu W b/(L - mu h)``, all wheels ``F = mu W``.

    Parameters
    ----------
    chassis : Chassis
        Weight, wheels and centre of mass.
    grip : float
        Peak grip, mu. [-]
    braked : {"front", "rear", "all"}
        The braked axle; "all" with an ideal division.
    slope_percent : float
        Slope, uphill positive; downhill makes no difference but for cos th. [%]

    Returns
    -------
    ForceLimit
        Force (as a size), its reason and the loads at it.

    Raises
    ------
    OutOfRangeError, UnknownNameError
        For a grip outside 0..3, or an unknown axle.

    Sources
    -------
    [source: Bevan, ch. 8 ex. 6, p. 264] same formulas for the level road; slope derived
    """
    return _limit(chassis, grip, braked, slope_percent, gaining="front")


def _limit(
    chassis: Chassis, grip: float, working: Axles, slope_percent: float, *, gaining: Axle
) -> ForceLimit:
    """Grip and tipping limit; `gaining` is the axle onto which the force shifts load."""
    check_between("grip", grip, 0.0, 3.0)
    check_known("axle", working, get_args(Axles))
    length, height = chassis.wheelbase_mm, chassis.centre_height_mm
    share = {
        "rear": chassis.centre_behind_front_mm / length,
        "front": chassis.centre_before_rear_mm / length,
    }
    pressing_n = chassis.weight_n * math.cos(slope_angle_rad(slope_percent))
    tipping_n = tipping_force_n(chassis, over=gaining, slope_percent=slope_percent)
    leverage = grip * height / length
    if working == "all":
        grip_n = grip * pressing_n
    elif working == gaining:
        # From mu h = L on, the tyre gains grip faster than it needs it and never slips.
        grip_n = grip * pressing_n * share[working] / (1.0 - leverage) if leverage < 1 else math.inf
    else:
        grip_n = grip * pressing_n * share[working] / (1.0 + leverage)
    force_n = min(grip_n, tipping_n)
    signed_n = force_n if gaining == "rear" else -force_n
    loads = axle_loads(chassis, drive_force_n=signed_n, slope_percent=slope_percent)
    front = {"front": 1.0, "rear": 0.0, "all": loads.front_n / pressing_n}[working]
    tips: Literal["wheelie", "over the front"] = (
        "wheelie" if gaining == "rear" else "over the front"
    )
    return ForceLimit(
        force_n=force_n,
        limited_by="traction" if grip_n <= tipping_n else tips,
        loads=loads,
        front_force_n=front * force_n,
        rear_force_n=(1.0 - front) * force_n,
    )
