"""Load cases from the brakes: braking to the limit, and standing on the slope for hours."""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.vehicle.braking import (
    AxleBraking,
    BrakeData,
    BrakeFlow,
    axle_braking,
    brake_flow,
    braked_axles,
    braked_by_half_axle,
)
from printplan.vehicle.chassis import Axle, axle_loads
from printplan.vehicle.inputs import DriveVehicle
from printplan.vehicle.load_case import LoadCase, VehicleLoads, newton, newton_metre
from printplan.vehicle.road import slope_angle_rad, wheel_torque_nmm

__all__ = ["brake_cases"]

_FLOW = "torque flow derived from the bevel differential's law"
_LIMIT = "limits as [source: Bevan, ch. 8 ex. 6, p. 264], over-the-front limit derived"


@dataclass(frozen=True, kw_only=True)
class _BrakedAxle:
    """One brake as one of its axles sees it."""

    vehicle: DriveVehicle
    brake: BrakeData
    axle: Axle

    @property
    def wheels(self) -> int:
        return self.vehicle.chassis.wheels(self.axle)

    @property
    def grip(self) -> float:
        return self.vehicle.peak_grip if self.brake.grip is None else self.brake.grip

    @property
    def locking(self) -> float | None:
        return self.vehicle.locking_value if self.wheels == 2 else None

    @property
    def one_sided(self) -> bool:
        """Whether one of two wheels brakes."""
        on_one = self.brake.place == "half axle" and self.wheels == 2
        return on_one and braked_by_half_axle(self.wheels, self.locking) == 1

    @property
    def label(self) -> str:
        place = {"wheels": "brakes at the wheels"}.get(
            self.brake.place, f"brake on the {self.brake.place}"
        )
        return f"{place}, {self.axle} axle"

    def flow(self, axle_force_n: float) -> BrakeFlow:
        torque_nmm = wheel_torque_nmm(axle_force_n, self.vehicle.wheel_diameter_mm)
        return brake_flow(
            place=self.brake.place,
            wheels=self.wheels,
            locking_value=self.locking,
            axle_torque_nmm=torque_nmm,
        )


def brake_cases(vehicle: DriveVehicle) -> VehicleLoads:
    """Braking to the limit and parking, for each brake and each axle it acts on.

    Parameters
    ----------
    vehicle : DriveVehicle
        The loaded vehicle with its brakes.

    Returns
    -------
    VehicleLoads
        Cases and warnings.
    """
    if not vehicle.brakes:
        return VehicleLoads(
            cases=(_standing(vehicle),),
            warnings=("no brake is stated: braking and parking on a slope are not judged",),
        )
    braked = [
        _BrakedAxle(vehicle=vehicle, brake=brake, axle=axle)
        for brake in vehicle.brakes
        for axle in braked_axles(brake, vehicle.driven)
    ]
    cases = [_braking(item, braked) for item in braked] + [_parked(item) for item in braked]
    return VehicleLoads(cases=tuple(cases), warnings=_warnings(vehicle, braked))


def _hardest(item: _BrakedAxle, all_braked: list[_BrakedAxle]) -> AxleBraking:
    coupled = item.brake.place == "motor" and item.vehicle.driven == "all"
    return axle_braking(
        item.vehicle.chassis,
        axle=item.axle,
        grip=item.grip,
        alone=not coupled,
        both=any(other.axle != item.axle for other in all_braked),
        one_sided=item.one_sided,
    )


def _braking(item: _BrakedAxle, all_braked: list[_BrakedAxle]) -> LoadCase:
    vehicle, hardest = item.vehicle, _hardest(item, all_braked)
    flow = item.flow(hardest.axle_force_n)
    motor_side_nmm = flow.motor_side_nmm
    if motor_side_nmm and vehicle.driven == "all":
        motor_side_nmm = wheel_torque_nmm(hardest.limit.force_n, vehicle.wheel_diameter_mm)
    return _brake_case(
        item,
        flow,
        motor_side_nmm=motor_side_nmm,
        name=f"braking, {item.label}",
        story=f"An emergency stop to the limit with the {item.label}.",
        lasting=False,
        wheel_load_n=hardest.axle_load_n / item.wheels,
        limited_by=hardest.limit.limited_by,
        assumption=f"the brake is strong enough to lock its wheels; grip {item.grip:g}; "
        f"{vehicle.hard_manoeuvres_per_km:g} such stop(s) per km; level road",
        source=f"{_LIMIT}; {_FLOW}",
        trail=(
            f"whole vehicle F = {newton(hardest.limit.force_n)}, ended by "
            f"{hardest.limit.limited_by}; {item.axle} axle load {newton(hardest.axle_load_n)}",
            f"{item.axle} axle F = {newton(hardest.axle_force_n)}",
        ),
    )


def _parked(item: _BrakedAxle) -> LoadCase:
    vehicle = item.vehicle
    force_n = _slope_force_n(vehicle)
    heavy_n, _ = _parked_loads_n(vehicle, item.axle)
    axle_force_n = min(force_n, _holding_grip(item) * heavy_n)
    flow = item.flow(axle_force_n)
    motor_side_nmm = flow.motor_side_nmm
    if motor_side_nmm and vehicle.driven == "all":
        motor_side_nmm = wheel_torque_nmm(force_n, vehicle.wheel_diameter_mm)
    return _brake_case(
        item,
        flow,
        motor_side_nmm=motor_side_nmm,
        name=f"parked, {item.label}",
        story=f"Loaded and left on the {vehicle.slope_percent:g} % slope for hours, held by the "
        f"{item.label}.",
        lasting=True,
        wheel_load_n=heavy_n / item.wheels,
        limited_by="demand" if axle_force_n >= force_n else "traction",
        assumption="this axle alone holds the vehicle, as far as it grips; the way round that "
        "loads it more; rider and load stay on",
        source=f"derived from statics; {_FLOW}",
        trail=(
            f"W sin th = {newton(force_n)}; this axle carries {newton(heavy_n)} and takes "
            f"{newton(axle_force_n)}",
        ),
    )


def _brake_case(
    item: _BrakedAxle,
    flow: BrakeFlow,
    *,
    motor_side_nmm: float,
    name: str,
    story: str,
    lasting: bool,
    wheel_load_n: float,
    limited_by: str,
    assumption: str,
    source: str,
    trail: tuple[str, ...],
) -> LoadCase:
    vehicle = item.vehicle
    loop = vehicle.drive_line.loop_forces(motor_side_nmm)
    return LoadCase(
        name=name,
        story=story,
        axle=item.axle,
        duration="sustained" if lasting else "repeated",
        cycles=1.0 if lasting else vehicle.life_events(vehicle.hard_manoeuvres_per_km),
        reversed_flank=flow.housing_nmm > 0.0 and not lasting,
        by_brake=True,
        housing_torque_nmm=flow.housing_nmm,
        side_gear_torque_nmm=flow.side_gear_nmm,
        wheel_torque_nmm=flow.wheel_nmm,
        belt_force_n=loop.effective_n,
        belt_shaft_force_n=loop.shaft_n,
        motor_output_torque_nmm=vehicle.drive_line.motor_output_torque_nmm(motor_side_nmm),
        wheel_vertical_n=wheel_load_n,
        wheel_longitudinal_n=flow.wheel_nmm / vehicle.wheel_radius_mm,
        limited_by=limited_by,
        assumption=assumption,
        source=source,
        trail=(
            *trail,
            f"{flow.braked_wheels} braked wheel(s): wheel torque {newton_metre(flow.wheel_nmm)}, "
            f"through the housing {newton_metre(flow.housing_nmm)}, side gear "
            f"{newton_metre(flow.side_gear_nmm)}",
            f"belt or chain force {newton(loop.effective_n)}, shaft pull {newton(loop.shaft_n)}",
        ),
    )


def _standing(vehicle: DriveVehicle) -> LoadCase:
    axle = vehicle.driven_axle
    wheel_load_n = axle_loads(vehicle.chassis).on(axle) / vehicle.driven_wheels
    loop = vehicle.drive_line.loop_forces(0.0)
    return LoadCase(
        name="standing loaded",
        story="Standing on the level for hours with rider and load.",
        axle=axle,
        duration="sustained",
        cycles=1.0,
        belt_shaft_force_n=loop.shaft_n,
        wheel_vertical_n=wheel_load_n,
        limited_by="preload" if loop.shaft_n > 0.0 else "demand",
        assumption="no brake stated, so no torque stands",
        source="derived from statics",
        trail=(f"wheel load {newton(wheel_load_n)}, belt's preload {newton(loop.shaft_n)}",),
    )


def _slope_force_n(vehicle: DriveVehicle) -> float:
    return vehicle.chassis.weight_n * math.sin(slope_angle_rad(vehicle.slope_percent))


def _parked_loads_n(vehicle: DriveVehicle, axle: Axle) -> tuple[float, float]:
    """Load of an axle on the slope, the heavier and the lighter way round."""
    force_n = _slope_force_n(vehicle)
    loads = [
        axle_loads(
            vehicle.chassis,
            drive_force_n=sign * force_n,
            slope_percent=sign * vehicle.slope_percent,
        ).on(axle)
        for sign in (1.0, -1.0)
    ]
    return max(loads), min(loads)


def _holding_grip(item: _BrakedAxle) -> float:
    return item.grip * (0.5 if item.one_sided else 1.0)


def _warnings(vehicle: DriveVehicle, braked: list[_BrakedAxle]) -> tuple[str, ...]:
    warnings: list[str] = []
    if len(vehicle.brakes) == 1:
        warnings.append(
            "only one brake is stated: if it or a printed part on its way breaks, nothing stops "
            "the vehicle; fit a second, independent one [common practice]"
        )
    for item in braked:
        if item.one_sided:
            warnings.append(
                f"{item.label}: an open differential passes none of it on, so it brakes one wheel "
                "only and pulls the vehicle to one side"
            )
        if item.brake.place in ("housing", "motor") and item.locking is not None:
            warnings.append(
                f"{item.label}: the whole brake torque runs through the differential's teeth on "
                "their other flank"
                + (
                    "; with one wheel on ice or in the air it holds almost nothing"
                    if item.locking < 1.0
                    else ""
                )
            )
    force_n = _slope_force_n(vehicle)
    for brake in vehicle.brakes:
        items = [item for item in braked if item.brake is brake]
        held_n = sum(
            _holding_grip(item) * min(_parked_loads_n(vehicle, item.axle)) for item in items
        )
        if held_n < force_n:
            warnings.append(
                f"{items[0].label}: can't hold the {vehicle.slope_percent:g} % slope, "
                f"{newton(held_n)} of grip against {newton(force_n)}"
            )
    return tuple(warnings)
