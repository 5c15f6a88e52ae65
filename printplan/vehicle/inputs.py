"""What the room needs to know about a vehicle, checked for physical sense."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import get_args

from printplan.errors import InputError, OutOfRangeError
from printplan.vehicle.belt import BeltData, ChainData
from printplan.vehicle.braking import BrakeData, braked_axles
from printplan.vehicle.chassis import Axle, Axles, Chassis
from printplan.vehicle.differential import DifferentialData
from printplan.vehicle.drive import DriveLine
from printplan.vehicle.kerb import distance_to_edge_mm
from printplan.vehicle.limits import (
    check_between,
    check_known,
    check_not_negative,
    check_positive,
)
from printplan.vehicle.motor import MotorData, OutputMotorData
from printplan.vehicle.road import weight_n, wheel_turns

__all__ = ["DriveVehicle"]


@dataclass(frozen=True, kw_only=True)
class DriveVehicle:
    """A loaded vehicle with one motor.

    Attributes
    ----------
    empty_mass_g, rider_mass_g, load_mass_g : float
        Masses that add up. [g]
    wheelbase_mm, track_mm : float
        Distance of the axles and of the wheels of one axle. [mm]
    front_wheels, rear_wheels : int
        1 or 2 each.
    centre_behind_front_mm, centre_height_mm : float
        Common centre of mass, behind the front axle and above the road. [mm]
    driven : {"front", "rear", "all"}
        Driven axle; "all" means one motor and both axles on one rigid line, so that
        an axle may get the whole torque up to its own grip.
    wheel_diameter_mm : float
        All wheels alike. [mm]
    peak_grip, lateral_grip : float
        Grip of tyre on road, lengthwise and sideways. Grip limits the loads: state the *high* end,
        1.0 on dry asphalt, 1.2 for soft slicks. [-]
    rolling_resistance : float
        Coefficient. [-]
    slope_percent : float
        Steepest slope that it climbs and is parked on. [%]
    speed_mm_s : float
        Travelling speed. [mm/s]
    tyre_stiffness_n_mm : float
        Radial stiffness of tyre, wheel and fork in series. [N/mm]
    kerb_height_mm : float
        Highest step that it meets; 0 for none. [mm]
    life_distance_mm : float
        Way in the life of the parts. [mm]
    motor : MotorData or OutputMotorData
        The motor.
    belt : BeltData, ChainData or None
        Loop between motor and axle.
    final_reduction : float
        Reduction behind the loop. [-]
    differential : DifferentialData or None
        None: a through axle, or a single driven wheel.
    brakes : tuple of BrakeData
        Every brake; each may be used alone.
    ice_grip : float
        Grip under one slipping wheel, 0.05-0.15 on ice [memory: Gillespie; Bosch handbook]. [-]
    drag_area_m2 : float
        Drag coefficient times area; 0.7 is the upper end for an upright rider
        [memory: Wilson, Bicycling Science]. [m²]
    kerb_speed_mm_s : float or None
        Speed at which it hits a kerb; None takes the travelling speed. [mm/s]
    climbing_share : float
        Share of the life's way that goes uphill; half, because what goes up comes down. [-]
    starts_per_km, hard_manoeuvres_per_km : float
        Full-power starts, and hard stops or hard corners, per kilometre. Assumptions of ours that
        set cycle counts; state your own. [1/km]
    """

    empty_mass_g: float
    rider_mass_g: float
    load_mass_g: float
    wheelbase_mm: float
    track_mm: float
    front_wheels: int
    rear_wheels: int
    centre_behind_front_mm: float
    centre_height_mm: float
    driven: Axles
    wheel_diameter_mm: float
    peak_grip: float
    lateral_grip: float
    rolling_resistance: float
    slope_percent: float
    speed_mm_s: float
    tyre_stiffness_n_mm: float
    kerb_height_mm: float
    life_distance_mm: float
    motor: MotorData | OutputMotorData
    belt: BeltData | ChainData | None = None
    final_reduction: float = 1.0
    differential: DifferentialData | None = None
    brakes: tuple[BrakeData, ...] = ()
    ice_grip: float = 0.1
    drag_area_m2: float = 0.7
    kerb_speed_mm_s: float | None = None
    climbing_share: float = 0.5
    starts_per_km: float = 10.0
    hard_manoeuvres_per_km: float = 1.0

    def __post_init__(self) -> None:
        for name in (
            "empty_mass_g",
            "wheel_diameter_mm",
            "peak_grip",
            "lateral_grip",
            "speed_mm_s",
            "tyre_stiffness_n_mm",
            "life_distance_mm",
        ):
            check_positive(name, getattr(self, name))
        for name in (
            "rider_mass_g",
            "load_mass_g",
            "rolling_resistance",
            "slope_percent",
            "kerb_height_mm",
            "ice_grip",
            "drag_area_m2",
            "starts_per_km",
            "hard_manoeuvres_per_km",
        ):
            check_not_negative(name, getattr(self, name))
        if self.kerb_speed_mm_s is not None:
            check_not_negative("kerb_speed_mm_s", self.kerb_speed_mm_s)
        check_between("peak_grip", self.peak_grip, 0.0, 3.0)
        check_between("lateral_grip", self.lateral_grip, 0.0, 3.0)
        check_between("climbing_share", self.climbing_share, 0.0, 1.0)
        check_known("driven axle", self.driven, get_args(Axles))
        distance_to_edge_mm(self.wheel_diameter_mm, self.kerb_height_mm)
        self._check_slope()
        self._check_axle()
        self._check_brakes()

    def _check_slope(self) -> None:
        chassis = self.chassis
        arm_mm = min(chassis.centre_behind_front_mm, chassis.centre_before_rear_mm)
        steepest = 100.0 * arm_mm / chassis.centre_height_mm
        if self.slope_percent >= steepest:
            raise OutOfRangeError(
                "slope_percent",
                self.slope_percent,
                f"below {steepest:.4g} %, where the standing vehicle tips over lengthwise",
            )

    def _check_axle(self) -> None:
        if self.differential is not None and self.driven_wheels != 2:
            raise OutOfRangeError(
                f"{self.driven_axle}_wheels",
                self.driven_wheels,
                "2 driven wheels on the axle with the differential",
            )

    def _check_brakes(self) -> None:
        seen: set[tuple[str, str]] = set()
        for brake in self.brakes:
            for axle in braked_axles(brake, self.driven):
                if (brake.place, axle) in seen:
                    raise InputError(
                        f"brakes: place '{brake.place}' on the {axle} axle is stated twice; "
                        "expected once"
                    )
                seen.add((brake.place, axle))

    @property
    def mass_g(self) -> float:
        """Mass of everything. [g]"""
        return self.empty_mass_g + self.rider_mass_g + self.load_mass_g

    @property
    def wheel_radius_mm(self) -> float:
        """Half the wheel diameter. [mm]"""
        return self.wheel_diameter_mm / 2.0

    @cached_property
    def chassis(self) -> Chassis:
        """Weight, wheels and centre of mass."""
        return Chassis(
            weight_n=weight_n(self.mass_g),
            wheelbase_mm=self.wheelbase_mm,
            track_mm=self.track_mm,
            front_wheels=self.front_wheels,
            rear_wheels=self.rear_wheels,
            centre_behind_front_mm=self.centre_behind_front_mm,
            centre_height_mm=self.centre_height_mm,
        )

    @cached_property
    def drive_line(self) -> DriveLine:
        """Motor, belt and reduction."""
        return DriveLine(motor=self.motor, belt=self.belt, final_reduction=self.final_reduction)

    @property
    def driven_axle(self) -> Axle:
        """The axle whose parts the drive cases load; with all wheels driven the rear, if paired."""
        if self.driven == "all":
            return "front" if self.rear_wheels < self.front_wheels else "rear"
        return self.driven

    @property
    def driven_wheels(self) -> int:
        """Wheels of that axle."""
        return self.chassis.wheels(self.driven_axle)

    @property
    def locking_value(self) -> float | None:
        """Locking value of the differential, None without one. [-]"""
        return None if self.differential is None else self.differential.locking_value

    @property
    def largest_wheel_share(self) -> float:
        """Largest share of the housing's torque at one wheel: (1 + S)/2, all without one. [-]"""
        return 1.0 if self.locking_value is None else (1.0 + self.locking_value) / 2.0

    @property
    def life_wheel_turns(self) -> float:
        """Wheel turns in the life of the parts. [-]"""
        return wheel_turns(self.life_distance_mm, self.wheel_diameter_mm)

    def life_events(self, per_km: float) -> float:
        """Count the events in the life of the parts, one at least. [-]"""
        return max(1.0, math.ceil(per_km * self.life_distance_mm * 1e-6 - 1e-9))
