"""Teeth of a printed belt pulley."""

from __future__ import annotations

from printplan.elements.belts import pulley_tooth_shear_mpa
from printplan.filament.demand import Demand
from printplan.judging.demands.context import Context
from printplan.vehicle.belt import teeth_in_mesh

__all__ = ["TEETH_THAT_SHARE", "belt_teeth_demands"]

#: With a printed pitch that is a little off, two to three teeth share the force. derived
TEETH_THAT_SHARE = 3


def belt_teeth_demands(context: Context) -> list[Demand]:
    """Shear at the root of the pulley's teeth for every belt force.

    Sources
    -------
    derived: the belt's force on few teeth, sheared at their root.
    """
    part, vehicle = context.part, context.vehicle
    teeth = part.belt_teeth
    if teeth is None or vehicle is None:
        return []
    wrap_deg = getattr(vehicle.belt, "wrap_deg", 180.0)
    sharing = max(1, min(TEETH_THAT_SHARE, teeth_in_mesh(teeth.teeth, wrap_deg)))
    printed = context.area_factor(teeth.root_width_mm)
    stands = context.axis_stands()
    demands = []
    for case, force_n, asked in context.cases("belt_force_n"):
        shock = context.application_factor(case)
        shear = pulley_tooth_shear_mpa(
            force_n * shock / sharing, teeth.root_width_mm, teeth.face_width_mm
        )
        demands.append(
            Demand(
                name="pulley tooth shear",
                case=case.name,
                stress_mpa=shear / printed,
                direction="in-layer shear" if stands else "interlayer shear",
                duration=case.duration,
                cycles=case.cycles,
                formula="tau = K_A F_e / (z_s w b)",
                terms={
                    "F_e [N]": force_n,
                    "teeth that share z_s": float(sharing),
                    "w root [mm]": teeth.root_width_mm,
                    "b face [mm]": teeth.face_width_mm,
                },
                factors={
                    "application K_A": shock,
                    "walls and infill instead of solid": 1 / printed,
                },
                source="derived: force per tooth over the tooth's root",
                asked=asked,
            )
        )
    return demands
