"""What all makers of demands need to know, and what they share."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from printplan.filament.structure import (
    infill_strength_factor,
    wall_core_area_factor,
    wall_core_bending_factor,
)

if TYPE_CHECKING:
    from printplan.job.part_tables import Part
    from printplan.part import Solid
    from printplan.process import Recipe
    from printplan.vehicle import DriveVehicle, LoadCase, VehicleLoads

__all__ = ["FAULT_SAFETY", "Context"]

#: Safety asked in a fault that must only just not break the part.
#: [memory: machine-elements reference, combination 8: fault, safety >= 1.2 on ultimate]
FAULT_SAFETY = 1.2
#: Overload factor of a uniform drive under light shock. [source: Shigley-15, Table 15-2]
LIGHT_SHOCK = 1.25
#: Share of the wheel's turns in which the differential's teeth roll. derived, see `rolling_cycles`
ROLLING_SHARE = 0.1


@dataclass(kw_only=True)
class Context:
    """A part with its loads and recipe, while its demands are made.

    Attributes
    ----------
    part : Part
        The part of the job file.
    standing : Solid
        The part as it stands on the build platform: z is the build direction.
    rotation : (3, 3) array
        From the file's frame to the standing frame.
    offset_mm : (3,) array
        Added after the rotation.
    loads : VehicleLoads or None
    vehicle : DriveVehicle or None
    recipe : Recipe
    warnings : list of str
        Filled by the makers.
    """

    part: Part
    standing: Solid
    rotation: NDArray[np.float64]
    offset_mm: NDArray[np.float64]
    loads: VehicleLoads | None
    vehicle: DriveVehicle | None
    recipe: Recipe
    warnings: list[str] = field(default_factory=list)

    def standing_place(self, place_mm: tuple[float, float, float]) -> NDArray[np.float64]:
        """Return where a place of the file lies as the part stands. [mm]"""
        return self.rotation @ np.asarray(place_mm, dtype=np.float64) + self.offset_mm

    @property
    def shell_mm(self) -> float:
        """Thickness of all walls on one side. [mm]"""
        return self.recipe.full_wall_mm / 2

    def bending_factor(self, thickness_mm: float) -> float:
        """Share of a solid section's bending strength that walls and infill leave."""
        core = infill_strength_factor(self.recipe.infill_fraction, along=False)
        return wall_core_bending_factor(thickness_mm, self.shell_mm, core)

    def area_factor(self, thickness_mm: float) -> float:
        """Share of a solid section's area that walls and infill leave."""
        core = infill_strength_factor(self.recipe.infill_fraction, along=False)
        return wall_core_area_factor(thickness_mm, self.shell_mm, core)

    def skinned_area_factor(self, thickness_mm: float) -> float:
        """Return `area_factor` for a plate that lies in the layers: skins do what walls do."""
        skins = min(self.recipe.top_skins, self.recipe.bottom_skins)
        shell = max(self.shell_mm, skins * self.recipe.layer_height_mm)
        core = infill_strength_factor(self.recipe.infill_fraction, along=False)
        return wall_core_area_factor(thickness_mm, shell, core)

    @property
    def axle(self) -> str | None:
        """The axle at whose wheels the printed parts sit: the driven one."""
        return None if self.vehicle is None else self.vehicle.driven_axle

    def cases(self, quantity: str) -> Iterator[tuple[LoadCase, float, float | None]]:
        """Yield (case, value, safety asked) wherever `quantity` matters.

        Of cases that come once, only the greatest counts, faults apart; the greatest of those that
        last for hours; of those that repeat, all, since each has its own number of cycles.
        """
        if self.loads is None:
            return
        greatest: dict[tuple[str, bool], tuple[LoadCase, float]] = {}
        for case in self.loads.cases:
            value = float(getattr(case, quantity))
            elsewhere = quantity.startswith("wheel_") and case.axle != self.axle
            if quantity == "wheel_torque_nmm" and case.by_brake and not self.part.carries_brake:
                continue
            if value <= 0 or elsewhere:
                continue
            if case.duration == "repeated":
                yield case, value, None
                continue
            key = (case.duration, case.fault)
            if key not in greatest or greatest[key][1] < value:
                greatest[key] = (case, value)
        for (_, fault), (case, value) in greatest.items():
            yield case, value, FAULT_SAFETY if fault else None

    def application_factor(self, case: LoadCase) -> float:
        """Overload factor K_A: light shock on what the road asks for, none on computed peaks.

        A case that motor, grip or tipping limits is a peak already, and the factor goes no further
        than the motor's stall, which nothing but a fault exceeds.

        Sources
        -------
        [source: Shigley-15, Table 15-2] uniform drive, light shock: 1.25; the rule not to put it on
        a computed peak is ours.
        """
        if case.duration != "repeated" or case.limited_by != "demand":
            return 1.0
        peak = max(
            (
                c.housing_torque_nmm
                for c in (self.loads.cases if self.loads else ())
                if not c.fault and not c.by_brake
            ),
            default=0.0,
        )
        if not case.housing_torque_nmm:
            return LIGHT_SHOCK
        return max(1.0, min(LIGHT_SHOCK, peak / case.housing_torque_nmm))

    def rolling_cycles(self, case: LoadCase) -> float:
        """How often a tooth of the differential is loaded: with each torque, and when it rolls.

        The teeth roll on each other only in turns. In a turn of radius R the side gear turns by
        track / (2 R) of the housing's turns; with tight turns on a third of the way that is a tenth
        of the wheel's turns, times the pinions that it meets.

        Sources
        -------
        derived: wheel speeds in a turn; the share of the way spent in tight turns is our choice.
        """
        rolled = ROLLING_SHARE * case.cycles if case.torque_cycles is not None else 0.0
        return max(1.0, case.torque_comes + rolled)

    def axis_stands(self) -> bool:
        """Whether the part looks round about the build direction, so that its axis stands.

        A gear, hub or pulley that lies on its side is loaded across its layers.
        """
        size = self.standing.box_mm[1] - self.standing.box_mm[0]
        return bool(abs(size[0] - size[1]) <= 0.05 * max(size[0], size[1]))
