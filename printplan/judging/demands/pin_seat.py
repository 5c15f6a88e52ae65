"""Bores of the cross pins: in the planet pinion and in the housing's wall."""

from __future__ import annotations

from printplan.elements.bevel import bevel_pair, mesh_tangential_force_n
from printplan.elements.bolts import bearing_pressure_mpa
from printplan.filament.demand import Demand
from printplan.judging.demands.context import Context

__all__ = ["pin_seat_demands"]


def pin_seat_demands(context: Context) -> list[Demand]:
    """Bearing pressure of the cross pin on the plastic.

    In a planet ``p = 2 F_t/(d l)``, F_t on one of its two meshes; in the housing's wall
    ``p = K_g T/(n r_w d l)``.

    Sources
    -------
    derived: statics of the pin (machine elements, cross pin).
    """
    part, vehicle = context.part, context.vehicle
    seat = part.pin_seat
    if seat is None or vehicle is None or vehicle.differential is None:
        return []
    differential = vehicle.differential
    sharing = differential.load_sharing_used
    planet = part.role == "planet pinion"
    if planet and part.gear is not None:
        gear = part.gear
        radius_mm = bevel_pair(
            pinion_teeth=gear.teeth,
            gear_teeth=gear.mate_teeth,
            outer_module_mm=gear.module_mm,
            face_width_mm=gear.face_width_mm,
            pressure_angle_deg=gear.pressure_angle_deg,
        ).gear.mean_pitch_radius_mm
        quantity = "side_gear_torque_nmm"
    elif seat.radius_mm is not None:
        radius_mm, quantity = seat.radius_mm, "housing_torque_nmm"
    else:
        context.warnings.append(
            "pin_seat without 'radius': the pressure of the pin in the housing is not checked"
        )
        return []
    demands = []
    for case, torque_nmm, asked in context.cases(quantity):
        shock = context.application_factor(case)
        shared_n = mesh_tangential_force_n(torque_nmm, radius_mm, differential.pinions, sharing)
        force_n = shock * shared_n * (2 if planet else 1)
        demands.append(
            Demand(
                name="cross pin bearing on the plastic",
                case=case.name,
                stress_mpa=bearing_pressure_mpa(force_n, seat.pin_diameter_mm, seat.length_mm),
                direction="bearing",
                duration=case.duration,
                cycles=case.torque_comes,
                formula="p = 2 K_A K_g T_side / (n r_m d l)"
                if planet
                else "p = K_A K_g T / (n r_w d l)",
                terms={
                    "T [N·mm]": torque_nmm,
                    "n pinions": float(differential.pinions),
                    "radius [mm]": radius_mm,
                    "d [mm]": seat.pin_diameter_mm,
                    "l [mm]": seat.length_mm,
                },
                factors={"application K_A": shock, "load sharing K_g": sharing},
                source="derived: statics of the cross pin",
                asked=asked,
            )
        )
    return demands
