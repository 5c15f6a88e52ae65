"""Screws on a circle that carry torque by bearing on the plastic."""

from __future__ import annotations

from printplan.elements.bolts import (
    bearing_pressure_mpa,
    bolt_circle_force_n,
    bolts_that_bear,
)
from printplan.filament.demand import Demand
from printplan.judging.demands.context import Context

__all__ = ["bolt_circle_demands"]


def bolt_circle_demands(context: Context) -> list[Demand]:
    """Bearing pressure of the screws for every torque that passes the circle.

    Friction under the heads is not credited: preload on plastic is gone after the first hot day.

    Sources
    -------
    [source: Sadhu Singh, ch. 7] force of a bolt on a circle; that half of the screws bear in
    printed clearance holes is derived.
    """
    part = context.part
    circle = part.bolt_circle
    if circle is None:
        return []
    quantity = "wheel_torque_nmm" if part.role == "hub adapter" else "housing_torque_nmm"
    bearing = bolts_that_bear(circle.count)
    printed = context.skinned_area_factor(circle.thickness_mm)
    demands = []
    for case, torque_nmm, asked in context.cases(quantity):
        shock = context.application_factor(case)
        force_n = bolt_circle_force_n(torque_nmm * shock, bearing, circle.pitch_diameter_mm / 2)
        pressure = bearing_pressure_mpa(force_n, circle.screw_diameter_mm, circle.thickness_mm)
        demands.append(
            Demand(
                name="screw bearing on the plastic",
                case=case.name,
                stress_mpa=pressure / printed,
                direction="bearing",
                duration=case.duration,
                cycles=case.torque_comes,
                formula="p = K_A T / (n_b r d t)",
                terms={
                    "T [N·mm]": torque_nmm,
                    "screws that bear n_b": float(bearing),
                    "r [mm]": circle.pitch_diameter_mm / 2,
                    "d [mm]": circle.screw_diameter_mm,
                    "t [mm]": circle.thickness_mm,
                },
                factors={
                    "application K_A": shock,
                    "half of the screws bear": circle.count / bearing,
                    "walls and infill instead of solid": 1 / printed,
                },
                source="[source: Sadhu Singh, ch. 7]; half of the screws bear: derived",
                asked=asked,
            )
        )
    return demands
