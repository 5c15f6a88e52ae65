"""Brakes: how hard each axle can be braked, and where the brake torque flows by brake place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from printplan.errors import InputError
from printplan.vehicle.chassis import Axle, Axles, Chassis, ForceLimit, braking_limit
from printplan.vehicle.differential import torque_split
from printplan.vehicle.limits import check_between, check_known, check_not_negative

__all__ = [
    "AxleBraking",
    "BrakeData",
    "BrakeFlow",
    "BrakePlace",
    "axle_braking",
    "brake_flow",
    "braked_axles",
]

#: "wheels": one at each wheel of the axle; "housing": on the differential's housing or its driven
#: pulley; "motor": on the motor's shaft, or the motor itself; "half axle": on one side only.
BrakePlace = Literal["wheels", "housing", "motor", "half axle"]


@dataclass(frozen=True, kw_only=True)
class BrakeData:
    """One brake of the vehicle, taken to be strong enough to lock its wheels.

    Attributes
    ----------
    place : {"wheels", "housing", "motor", "half axle"}
        Where it acts.
    axle : {"front", "rear", "all"} or None
        The axle it brakes. None: all wheels for "wheels", otherwise the driven axle (the rear one
        for a housing or half axle when all wheels are driven).
    grip : float or None
        Grip of the braked tyres; None takes the vehicle's peak grip. [-]
    """

    place: BrakePlace
    axle: Axles | None = None
    grip: float | None = None

    def __post_init__(self) -> None:
        check_known("brake place", self.place, get_args(BrakePlace))
        if self.axle is not None:
            check_known("braked axle", self.axle, get_args(Axles))
        if self.grip is not None:
            check_between("brake grip", self.grip, 1e-6, 3.0)
        if self.axle == "all" and self.place in ("housing", "half axle"):
            raise InputError(f"brake on the {self.place}: expected one axle, 'front' or 'rear'")


def braked_axles(brake: BrakeData, driven: Axles) -> tuple[Axle, ...]:
    """Axles that a brake acts on.

    Parameters
    ----------
    brake : BrakeData
        The brake.
    driven : {"front", "rear", "all"}
        The driven axle.

    Returns
    -------
    tuple of {"front", "rear"}
        One or both.

    Raises
    ------
    InputError
        If a brake on the line of drive is said to brake an axle that is not driven.
    """
    inboard = brake.place != "wheels"
    default: Axles = driven if brake.place == "motor" else "rear" if driven == "all" else driven
    axle = brake.axle or (default if inboard else "all")
    if inboard and driven != "all" and axle != driven:
        raise InputError(
            f"brake on the {brake.place}: it can only brake the driven axle ({driven}), not "
            f"'{axle}'; for a brake at the wheels state place 'wheels'"
        )
    return ("front", "rear") if axle == "all" else (axle,)


@dataclass(frozen=True, kw_only=True)
class AxleBraking:
    """Braking to the limit as one axle sees it.

    Attributes
    ----------
    axle_force_n : float
        Braking force of this axle at the road. [N]
    axle_load_n : float
        Load of this axle at that moment. [N]
    limit : ForceLimit
        The whole vehicle at that moment.
    """

    axle_force_n: float
    axle_load_n: float
    limit: ForceLimit


def axle_braking(
    chassis: Chassis,
    *,
    axle: Axle,
    grip: float,
    alone: bool = True,
    both: bool = False,
    one_sided: bool = False,
) -> AxleBraking:
    """Hardest braking of an axle, by itself or together with the other one.

    A rear axle brakes hardest alone; a front axle brakes hardest when the other one, too, shifts
    load to it.

    Parameters
    ----------
    chassis : Chassis
        Weight, wheels and centre of mass.
    axle : {"front", "rear"}
        The axle.
    grip : float
        Grip of the braked tyres. [-]
    alone : bool
        Whether this axle can be braked without the other.
    both : bool
        Whether both can be braked at once.
    one_sided : bool
        Whether only one of the axle's two wheels brakes, which halves the axle's grip.

    Returns
    -------
    AxleBraking
        The harder of the possible ways.

    Raises
    ------
    InputError
        If neither way is possible.

    Sources
    -------
    [source: Bevan, ch. 8 ex. 6, p. 264] the limits; the choice is derived
    """
    side = 0.5 if one_sided else 1.0
    ways: list[AxleBraking] = []
    if alone:
        limit = braking_limit(chassis, grip=grip * side, braked=axle)
        ways.append(_seen_from(axle, limit, 1.0))
    if both:
        ways.append(_seen_from(axle, braking_limit(chassis, grip=grip, braked="all"), side))
    if not ways:
        raise InputError(f"{axle} axle: expected a way to brake it, alone or with the other one")
    return max(ways, key=lambda way: way.axle_force_n)


def _seen_from(axle: Axle, limit: ForceLimit, side: float) -> AxleBraking:
    return AxleBraking(
        axle_force_n=limit.on(axle) * side, axle_load_n=limit.loads.on(axle), limit=limit
    )


@dataclass(frozen=True, kw_only=True)
class BrakeFlow:
    """Where the torque of a braked axle goes. [N·mm]

    Attributes
    ----------
    wheel_nmm : float
        Largest at one braked wheel's hub.
    side_gear_nmm : float
        Largest on one side gear; 0 without a differential.
    housing_nmm : float
        Through the housing, what the gear teeth carry.
    motor_side_nmm : float
        Part of the housing's torque that the belt passes on to the motor.
    braked_wheels : int
        Wheels of the axle that brake.
    """

    wheel_nmm: float
    side_gear_nmm: float
    housing_nmm: float
    motor_side_nmm: float
    braked_wheels: int


def brake_flow(
    *, place: BrakePlace, wheels: int, locking_value: float | None, axle_torque_nmm: float
) -> BrakeFlow:
    """Follow the brake torque of one axle to its brake.

    At each wheel nothing passes the gears. On the housing or motor everything does, half per side
    gear, up to (1 + S)/2 with friction. On one half axle an open differential passes nothing while
    its housing is free, so one wheel brakes; a locked one, or a through axle, brakes both.

    Parameters
    ----------
    place : {"wheels", "housing", "motor", "half axle"}
        Where the brake acts.
    wheels : int
        Wheels of the axle, 1 or 2.
    locking_value : float or None
        S of the differential; None for an axle without one. [-]
    axle_torque_nmm : float
        Brake torque of the axle, the sum over its braked wheels. [N·mm]

    Returns
    -------
    BrakeFlow
        Torque at the wheel, the side gear, the housing and towards the motor.

    Sources
    -------
    derived from the bevel differential's law; friction between 0 and a full lock does not help
    a half-axle brake, because it grows with the housing's torque, which is zero
    """
    check_known("brake place", place, get_args(BrakePlace))
    check_not_negative("axle_torque_nmm", axle_torque_nmm)
    divided = wheels == 2 and locking_value is not None
    if place == "wheels":
        return BrakeFlow(
            wheel_nmm=axle_torque_nmm / wheels,
            side_gear_nmm=0.0,
            housing_nmm=0.0,
            motor_side_nmm=0.0,
            braked_wheels=wheels,
        )
    if place == "half axle":
        braked = braked_by_half_axle(wheels, locking_value)
        wheel_nmm = axle_torque_nmm / braked
        return BrakeFlow(
            wheel_nmm=wheel_nmm,
            side_gear_nmm=wheel_nmm if divided and braked == 2 else 0.0,
            housing_nmm=0.0,
            motor_side_nmm=0.0,
            braked_wheels=braked,
        )
    high_nmm = (
        torque_split(axle_torque_nmm, locking_value).high_nmm
        if wheels == 2 and locking_value is not None
        else axle_torque_nmm
    )
    return BrakeFlow(
        wheel_nmm=high_nmm,
        side_gear_nmm=high_nmm if divided else 0.0,
        housing_nmm=axle_torque_nmm,
        motor_side_nmm=axle_torque_nmm if place == "motor" else 0.0,
        braked_wheels=wheels,
    )


def braked_by_half_axle(wheels: int, locking_value: float | None) -> int:
    """Count the wheels that a brake on one half axle brakes: two only through a locked axle."""
    return 2 if wheels == 2 and (locking_value is None or locking_value == 1.0) else 1
