"""From the job file's tables to what the rooms take, with names looked up.

A name that no table knows becomes an error of the job file, with key and nearest right name.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING

from printplan.climate import Exposure, Surroundings, surroundings_of
from printplan.climate.contacts import BrakeDescent, MetalAxle, MotorCase, Neighbour
from printplan.errors import (
    InputError,
    JobFileError,
    MeshFileError,
    OutOfRangeError,
    UnknownNameError,
)
from printplan.judging.required import DRIVE_ROLES
from printplan.process import Prices, Printer, Recipe, printer, recipe
from printplan.vehicle import (
    BeltData,
    BrakeData,
    DifferentialData,
    DriveVehicle,
    MotorData,
)

if TYPE_CHECKING:
    from printplan.filament import FilamentTable
    from printplan.job.part_tables import Exposure as PartExposure
    from printplan.job.part_tables import Part, RecipeChoice
    from printplan.job.schema import Job

__all__ = [
    "blame",
    "check_grades",
    "exposure_of",
    "prices_of",
    "printers_of",
    "recipes_of",
    "surroundings_for",
    "vehicle_of",
]

#: Recipes tried where the job file says "choose", the cheapest in filament first.
LADDER = ("light", "sturdy", "strong", "solid")
#: Parts of the drive have load paths that no formula here covers (bending of housing and web):
#: they are never thinner than sturdy. Our choice.
DRIVE_LADDER = LADDER[1:]

#: Radial stiffness of a pneumatic wheel where the job gives none. [N/mm]
#: derived: EX-A5 of the machine-element reference takes 60 N/mm for a soft wheel
SOFT_WHEEL_N_MM = 60.0


@contextmanager
def blame(job: Job, key: str, value: object) -> Iterator[None]:
    """Turn a room's error about a name or a range into one that names the job file's key."""
    try:
        yield
    except UnknownNameError as error:
        hint = str(error).partition("; ")[2] or None
        shown = error.name if value is None else value
        raise JobFileError(job.file, key, shown, f"a known {error.kind}", hint) from error
    except OutOfRangeError as error:
        raise JobFileError(
            job.file, key, value, error.allowed, f"{error.name} is {error.value:.6g}"
        ) from error
    except (JobFileError, MeshFileError):
        raise
    except InputError as error:
        raise JobFileError(job.file, key, value, "a value that fits", str(error)) from error


def surroundings_for(job: Job) -> Surroundings:
    """Return the worst summer day of the job's place, with what the job overrides."""
    climate = job.climate
    with blame(job, "climate.place", climate.place):
        base = surroundings_of(climate.place, climate.severity)
    own = {
        "air": climate.air_degc,
        "dew_point": climate.dew_point_degc,
        "irradiance": climate.irradiance_w_m2,
        "wind": climate.wind_m_s,
    }
    named = ", ".join(key for key, value in own.items() if value is not None)
    if not named:
        return base
    with blame(job, "climate", None):
        changed = surroundings_of(
            climate.place,
            climate.severity,
            air_degc=climate.air_degc,
            dew_point_degc=climate.dew_point_degc,
            irradiance_w_m2=climate.irradiance_w_m2,
            wind_m_s=climate.wind_m_s,
        )
    return replace(changed, notes=(*changed.notes, f"set in the job file: {named}"))


def exposure_of(job: Job, index: int) -> Exposure:
    """Return what part number `index` meets where it sits."""
    own = job.parts[index].exposure
    key = f"parts[{index}].exposure (part {job.parts[index].name!r})"
    with blame(job, key, None):
        return Exposure(
            shelter=own.shelter,
            colour=own.colour,
            face_mm=own.face_mm,
            tilt_deg=own.tilt_deg,
            two_sided=own.two_sided,
            neighbour_degc=own.neighbour_degc,
            neighbours=_neighbours(job, own),
        )


def _neighbours(job: Job, own: PartExposure) -> tuple[Neighbour, ...]:
    """Return what heats the part beside the sun: motor, brake, axle."""
    bodies: dict[str, MotorCase | BrakeDescent] = {}
    if own.motor_case is not None:
        bodies["motor"] = MotorCase(duty=own.motor_case)
    if own.brake is not None:
        vehicle = vehicle_of(job)
        if vehicle is None:
            raise InputError("a brake's heat needs the vehicle's mass: add [vehicle]")
        bodies["brake"] = BrakeDescent(
            mass_g=vehicle.mass_g,
            slope_percent=100 * own.brake.slope,
            speed_mm_s=own.brake.speed_mm_s,
            duration_s=own.brake.duration_s,
            disc_mass_g=own.brake.disc_mass_g,
            cooled_area_mm2=own.brake.cooled_area_mm2,
            share=own.brake.share,
        )
    if own.hot_axle is None:
        return tuple(bodies.values())
    # The part touches the axle, not the body at its far end.
    axle = MetalAxle(
        hot_end=bodies.pop(own.hot_axle.from_),
        length_mm=own.hot_axle.length_mm,
        diameter_mm=own.hot_axle.diameter_mm,
    )
    return (*bodies.values(), axle)


def check_grades(job: Job, table: FilamentTable) -> None:
    """Check that every grade that the job names is in the table."""
    named = [(f"filaments[{i}]", g) for i, g in enumerate(job.filaments)]
    named += [(f"spools[{i}].grade", s.grade) for i, s in enumerate(job.spools)]
    named += [(f"prices.filament.{g}", g) for g in job.prices.filament]
    named += [
        (f"parts[{i}].filaments (part {p.name!r})", g)
        for i, p in enumerate(job.parts)
        for g in p.filaments or []
    ]
    for key, grade in named:
        with blame(job, key, grade):
            table.get(grade)


def printers_of(job: Job) -> tuple[Printer, ...]:
    """Return the job's printers: their class with what is different."""
    printers = []
    for index, own in enumerate(job.printers):
        with blame(job, f"printers[{index}].class", own.class_):
            printers.append(
                printer(
                    own.class_,
                    name=own.name,
                    build_volume_mm=own.build_volume_mm,
                    enclosed=own.enclosed,
                    hardened_nozzle=own.hardened_nozzle,
                    can_dry=own.can_dry,
                    nozzle_bore_mm=own.nozzle_bore_mm,
                )
            )
    return tuple(printers)


def recipes_of(job: Job, index: int) -> tuple[Recipe, ...]:
    """Return the recipes to try for part number `index`, the lightest first."""
    part: Part = job.parts[index]
    key = f"parts[{index}].recipe (part {part.name!r})"
    with blame(job, key, None):
        if isinstance(part.recipe, str):
            ladder = DRIVE_LADDER if part.role in DRIVE_ROLES else LADDER
            return tuple(recipe(name) for name in ladder)
        own: RecipeChoice = part.recipe
        return (
            recipe(
                own.like,
                layer_height_mm=own.layer_height_mm,
                line_width_mm=own.line_width_mm,
                wall_count=own.wall_count,
                top_skins=own.top_skins,
                bottom_skins=own.bottom_skins,
                infill_fraction=own.infill_fraction,
                infill_pattern=own.infill_pattern,
                supports=own.supports,
            ),
        )


def prices_of(job: Job) -> Prices:
    """Return what electricity and work cost here."""
    own = job.prices
    defaults = Prices(currency=job.currency)
    return replace(
        defaults,
        electricity_per_kwh=own.electricity[0] if own.electricity else defaults.electricity_per_kwh,
        labour_per_h=own.labour[0] if own.labour else defaults.labour_per_h,
    )


def vehicle_of(job: Job) -> DriveVehicle | None:
    """Return the job's vehicle, checked for physical sense; None where the job has none."""
    own = job.vehicle
    if own is None:
        return None
    with blame(job, "vehicle", None):
        return DriveVehicle(
            empty_mass_g=own.empty_mass_g,
            rider_mass_g=own.rider_mass_g,
            load_mass_g=own.load_mass_g,
            wheelbase_mm=own.wheelbase_mm,
            track_mm=own.track_mm,
            front_wheels=own.front_wheels,
            rear_wheels=own.rear_wheels,
            centre_behind_front_mm=own.centre_behind_front_mm,
            centre_height_mm=own.centre_height_mm,
            driven=own.driven,
            wheel_diameter_mm=own.wheel_diameter_mm,
            peak_grip=own.peak_grip,
            lateral_grip=own.peak_grip,
            rolling_resistance=own.rolling_resistance,
            slope_percent=100 * own.slope,
            speed_mm_s=own.speed_mm_s,
            tyre_stiffness_n_mm=own.tyre_stiffness_n_mm or SOFT_WHEEL_N_MM,
            kerb_height_mm=own.kerb_height_mm or 0.0,
            life_distance_mm=own.life_distance_mm,
            motor=MotorData(
                torque_constant_nmm_a=own.motor.torque_constant_nmm_a,
                resistance_ohm=own.motor.resistance_ohm,
                voltage_v=own.motor.voltage_v,
                current_limit_a=own.motor.current_limit_a,
                gear_ratio=own.motor.gear_ratio,
                efficiency=own.motor.efficiency,
            ),
            belt=None
            if own.belt is None
            else BeltData(
                pitch_mm=own.belt.pitch_mm,
                motor_teeth=own.belt.motor_teeth,
                driven_teeth=own.belt.driven_teeth,
                wrap_deg=own.belt.wrap_deg,
                preload_share=own.belt.preload_share,
            ),
            final_reduction=own.further_reduction,
            differential=None
            if own.differential is None
            else DifferentialData(
                locking_value=own.differential.locking_value,
                pinions=own.differential.pinions,
                load_sharing=own.differential.load_sharing,
            ),
            kerb_speed_mm_s=own.kerb_speed_mm_s,
            climbing_share=own.climbing_share,
            starts_per_km=own.starts_per_km,
            brakes=tuple(
                BrakeData(
                    place="half axle" if brake.place == "one half axle" else brake.place,
                    axle=brake.axle,
                )
                for brake in own.brakes
            ),
        )
