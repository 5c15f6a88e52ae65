"""Builders: a vehicle, load cases made by hand, a part of the job file and its context."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from printplan.climate import Exposure, PartTemperature, part_temperature, surroundings_of
from printplan.filament import Filament, load_table
from printplan.filament.demand import Demand
from printplan.job.part_tables import Part
from printplan.judging.demands import Context
from printplan.part import Solid, load_solid, rotation_to_up, stand
from printplan.process import recipe
from printplan.vehicle import (
    BeltData,
    BrakeData,
    DifferentialData,
    DriveVehicle,
    LoadCase,
    MotorData,
    VehicleLoads,
)

ROUND = [(12 * np.cos(a), 12 * np.sin(a)) for a in np.arange(64) * np.pi / 32]


def vehicle(**changes) -> DriveVehicle:
    """A small rear-driven vehicle; its numbers are made up."""
    values = {
        "empty_mass_g": 45e3,
        "rider_mass_g": 60e3,
        "load_mass_g": 0.0,
        "wheelbase_mm": 1100.0,
        "track_mm": 700.0,
        "front_wheels": 2,
        "rear_wheels": 2,
        "centre_behind_front_mm": 600.0,
        "centre_height_mm": 500.0,
        "driven": "rear",
        "wheel_diameter_mm": 300.0,
        "peak_grip": 0.8,
        "lateral_grip": 0.8,
        "rolling_resistance": 0.02,
        "slope_percent": 8.0,
        "speed_mm_s": 3000.0,
        "tyre_stiffness_n_mm": 60.0,
        "kerb_height_mm": 0.0,
        "life_distance_mm": 5e8,
        "motor": MotorData(
            torque_constant_nmm_a=90.0,
            resistance_ohm=0.15,
            voltage_v=36.0,
            current_limit_a=25.0,
            gear_ratio=5.0,
            efficiency=0.85,
        ),
        "belt": BeltData(
            pitch_mm=8.0, motor_teeth=20, driven_teeth=40, wrap_deg=150.0, preload_share=0.2
        ),
        "differential": DifferentialData(locking_value=0.1, pinions=2, load_sharing=1.0),
        "brakes": (BrakeData(place="wheels"),),
    }
    return DriveVehicle(**(values | changes))


def case(name: str, **values) -> LoadCase:
    """A load case with only what a test is about; loads at the wheels of the rear axle."""
    kept = {
        "name": name,
        "story": "",
        "axle": "rear",
        "duration": "single",
        "cycles": 1.0,
        "limited_by": "motor",
        "assumption": "made by hand",
        "source": "",
        "trail": (),
    }
    return LoadCase(**(kept | values))


def loads(*cases: LoadCase) -> VehicleLoads:
    return VehicleLoads(cases=cases, warnings=())


def part(**values) -> Part:
    """A part as the job file states it."""
    return Part.model_validate({"name": "trial", "mesh": "trial.stl"} | values)


def demand(stress_mpa: float = 5.0, **values) -> Demand:
    kept = {
        "name": "arm",
        "case": "kerb",
        "stress_mpa": stress_mpa,
        "direction": "in-layer tension",
        "duration": "single",
    }
    return Demand(**(kept | values))


def temperature(design_degc: float, upper_degc: float) -> PartTemperature:
    found = part_temperature(surroundings_of("temperate"), Exposure(colour="white"))
    return replace(found, design_degc=design_degc, upper_degc=upper_degc)


@pytest.fixture(scope="session")
def make(tmp_path_factory: pytest.TempPathFactory, prism) -> SimpleNamespace:
    """The builders above, and solids: a round one and a bar of 60 x 20 x 12 mm."""
    folder = tmp_path_factory.mktemp("solids")
    round_one = load_solid(prism(folder / "round.stl", ROUND, 20))
    bar = load_solid(prism(folder / "bar.stl", [(0, 0), (60, 0), (60, 20), (0, 20)], 12))

    def context(
        stated: Part,
        *cases: LoadCase,
        solid: Solid = round_one,
        up: str = "+z",
        recipe_name: str = "solid",
        of: DriveVehicle | None = None,
    ) -> Context:
        rotation = rotation_to_up(up)
        standing = stand(solid, up)
        return Context(
            part=stated,
            standing=standing,
            rotation=rotation,
            offset_mm=standing.vertices_mm[0] - rotation @ solid.vertices_mm[0],
            loads=loads(*cases),
            vehicle=vehicle() if of is None else of,
            recipe=recipe(recipe_name),
        )

    return SimpleNamespace(
        vehicle=vehicle,
        case=case,
        loads=loads,
        part=part,
        demand=demand,
        temperature=temperature,
        context=context,
        round=round_one,
        bar=bar,
    )


@pytest.fixture(scope="session")
def petg() -> Filament:
    return load_table().get("PETG")
