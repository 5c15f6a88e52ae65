"""The job file's table ``[vehicle]``: masses, wheels, motor, belt, differential, brakes."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from printplan.job.fields import (
    Amperes,
    Angle,
    Count,
    Fraction,
    JobModel,
    Length,
    Mass,
    Ohms,
    Power,
    Ratio,
    Slope,
    Speed,
    Stiffness,
    TorqueConstant,
    Volts,
    Whole,
)

__all__ = [
    "Belt",
    "Brake",
    "Differential",
    "Motor",
    "Vehicle",
]


class Motor(JobModel):
    """A direct-current motor with its gearbox; torques of the gearbox output are derived."""

    rated_power_w: Power | None = Field(None, alias="rated_power")
    torque_constant_nmm_a: TorqueConstant = Field(alias="torque_constant")
    resistance_ohm: Ohms = Field(alias="resistance")
    voltage_v: Volts = Field(alias="voltage")
    current_limit_a: Amperes = Field(alias="current_limit")
    gear_ratio: Ratio = 1.0
    efficiency: Fraction = 0.85


class Belt(JobModel):
    """The toothed belt between motor and axle."""

    pitch_mm: Length = Field(alias="pitch")
    motor_teeth: Whole = Field(ge=8, le=500)
    driven_teeth: Whole = Field(ge=8, le=1000)
    wrap_deg: Angle = Field(150.0, alias="wrap")
    preload_share: Fraction = Field(0.2, description="slack side force over effective force")


class Differential(JobModel):
    """The differential in the driven axle."""

    locking_value: Fraction = Field(
        0.1, description="(greater - lesser wheel torque) / their sum: 0 open, 1 locked"
    )
    pinions: Whole = Field(2, ge=2, le=6)
    load_sharing: Ratio | None = Field(
        None, description="greatest over mean pinion load; left out: by number of pinions"
    )


class Brake(JobModel):
    """Where one brake sits."""

    place: Literal["wheels", "housing", "motor", "one half axle"] = "wheels"
    axle: Literal["front", "rear", "all"] | None = Field(
        None, description="left out: the driven axle"
    )


class Vehicle(JobModel):
    """Masses, wheels, drive and brake."""

    empty_mass_g: Mass = Field(alias="empty_mass")
    rider_mass_g: Mass = Field(alias="rider_mass")
    load_mass_g: Mass = Field(0.0, alias="load_mass")
    wheelbase_mm: Length = Field(alias="wheelbase")
    track_mm: Length = Field(alias="track")
    front_wheels: Literal[1, 2] = 2
    rear_wheels: Literal[1, 2] = 2
    centre_behind_front_mm: Length = Field(
        alias="centre_behind_front", description="centre of mass behind the front axle, loaded"
    )
    centre_height_mm: Length = Field(alias="centre_height")
    driven: Literal["rear", "front", "all"] = "rear"
    wheel_diameter_mm: Length = Field(alias="wheel_diameter")
    peak_grip: Ratio = 1.0
    rolling_resistance: Fraction = 0.02
    slope: Slope = Field(0.1, description="steepest climb, rise over run")
    speed_mm_s: Speed = Field(alias="speed")
    tyre_stiffness_n_mm: Stiffness | None = Field(None, alias="tyre_stiffness")
    kerb_height_mm: Length | None = Field(None, alias="kerb_height")
    life_distance_mm: Length = Field(
        1.0e9, alias="life_distance", description="way the parts must last, such as '1000 km'"
    )
    kerb_speed_mm_s: Speed | None = Field(
        None, alias="kerb_speed", description="left out: the travelling speed"
    )
    climbing_share: Fraction = Field(0.5, description="share of the way that goes uphill")
    starts_per_km: Count = Field(10.0, description="full-power starts per kilometre")
    motor: Motor
    belt: Belt | None = None
    further_reduction: Ratio = Field(1.0, description="ratio between belt and axle, if any")
    differential: Differential | None = None
    brakes: list[Brake] = Field(
        default_factory=lambda: [Brake.model_validate({})], description="every brake"
    )
