"""Teeth of the straight bevel gears of a differential."""

from __future__ import annotations

import math

from printplan.elements.bevel import bevel_pair, mesh_tangential_force_n
from printplan.elements.teeth import lewis_form_factor, lewis_root_stress_mpa
from printplan.filament.demand import Demand
from printplan.judging.demands.context import Context

__all__ = ["gear_demands"]

#: Teeth on plain printed bores, neither gear straddle mounted: 1.25 or more.
#: [source: Shigley-15] K_mb for neither straddle mounted
MOUNTING_FACTOR = 1.25
#: Fillet of 0.3 modules in a tough plastic. [common practice] 1.0-1.2
ROOT_CONCENTRATION = 1.1
#: A planet's tooth is bent both ways: 0.7 of the one-way allowable.
#: [memory: ISO 6336-3, Y_A for idlers]
ALTERNATING = 1 / 0.7


def gear_demands(context: Context) -> list[Demand]:
    """Bending at the tooth root for every case that turns the housing.

    Sources
    -------
    [source: Jindal, ch. 25, 27] Lewis at the mean section, virtual teeth; sharing of the pinions
    and mounting as factors, listed one by one.
    """
    part, vehicle = context.part, context.vehicle
    gear = part.gear
    if gear is None or vehicle is None or vehicle.differential is None:
        return []
    planet = part.role == "planet pinion"
    side_teeth, planet_teeth = (
        (gear.mate_teeth, gear.teeth) if planet else (gear.teeth, gear.mate_teeth)
    )
    pair = bevel_pair(
        pinion_teeth=planet_teeth,
        gear_teeth=side_teeth,
        outer_module_mm=gear.module_mm,
        face_width_mm=gear.face_width_mm,
        pressure_angle_deg=gear.pressure_angle_deg,
    )
    context.warnings.extend(pair.warnings)
    own = pair.pinion if planet else pair.gear
    form = lewis_form_factor(
        own.virtual_teeth,
        pressure_angle_deg=gear.pressure_angle_deg,
        profile_shift=gear.profile_shift,
    )
    root_mm = math.pi / 2 * pair.mean_module_mm
    printed = context.bending_factor(root_mm)
    stands = context.axis_stands()
    differential = vehicle.differential
    demands = []
    for case, torque_nmm, asked in context.cases("side_gear_torque_nmm"):
        force_n = mesh_tangential_force_n(
            torque_nmm,
            pair.gear.mean_pitch_radius_mm,
            differential.pinions,
            differential.load_sharing_used,
        )
        factors = {
            "load sharing K_g (in F_t)": differential.load_sharing_used,
            "application K_A": context.application_factor(case),
            "mounting K_m": MOUNTING_FACTOR,
            "root concentration K_f": ROOT_CONCENTRATION,
            "walls and infill instead of solid": 1 / printed,
        }
        if planet and case.duration == "repeated":
            factors["bent both ways"] = ALTERNATING
        stress = lewis_root_stress_mpa(
            force_n,
            face_width_mm=gear.face_width_mm,
            module_mm=pair.mean_module_mm,
            form_factor=form,
            stress_concentration=ROOT_CONCENTRATION,
        )
        others = math.prod(
            value for name, value in factors.items() if not name.startswith(("load", "root"))
        )
        demands.append(
            Demand(
                name="tooth root bending",
                case=case.name,
                stress_mpa=stress * others,
                direction="in-layer tension" if stands else "interlayer tension",
                duration=case.duration,
                cycles=context.rolling_cycles(case),
                formula="sigma = K_A K_m K_f F_t / (b m_m Y), F_t = K_g T_side / (n r_m)",
                terms={
                    "T_side [N·mm]": torque_nmm,
                    "n pinions": float(differential.pinions),
                    "r_m side gear [mm]": pair.gear.mean_pitch_radius_mm,
                    "F_t [N]": force_n,
                    "b [mm]": gear.face_width_mm,
                    "m_m [mm]": pair.mean_module_mm,
                    "Y": form,
                    "virtual teeth": own.virtual_teeth,
                },
                factors=factors,
                source="[source: Jindal, ch. 25, 27] Lewis, mean section",
                asked=asked,
                notes=(case.assumption,)
                + (() if stands else ("the gear lies on its side: bending opens the layers",)),
            )
        )
    return demands
