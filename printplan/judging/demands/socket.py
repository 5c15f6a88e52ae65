"""The hexagon or square socket on the half axle."""

from __future__ import annotations

from printplan.elements.sockets import socket_pressure, socket_splitting_stress_mpa
from printplan.filament.demand import Demand
from printplan.judging.demands.context import Context

__all__ = ["SOCKET_NOTCH", "socket_demands"]

#: Re-entrant corner with a small radius. derived (judgement): 2 to 3
SOCKET_NOTCH = 2.0


def socket_demands(context: Context) -> list[Demand]:
    """Pressure at the socket's corners, and the hub that it splits, for every wheel torque.

    Sources
    -------
    derived: pressure over half of each flat, times the play factor; ring by Lamé [memory].
    """
    part = context.part
    socket = part.socket
    if socket is None:
        return []
    quantity = "side_gear_torque_nmm" if part.role == "side gear" else "wheel_torque_nmm"
    wall_mm = (socket.hub_diameter_mm - socket.across_flats_mm) / 2
    printed = context.area_factor(wall_mm)
    stands = context.axis_stands()
    demands = []
    for case, torque_nmm, asked in context.cases(quantity):
        shock = context.application_factor(case)
        pressure = socket_pressure(
            torque_nmm * shock,
            shape=socket.shape,
            across_flats_mm=socket.across_flats_mm,
            length_mm=socket.length_mm,
            play_factor=socket.play_factor,
        )
        context.warnings.extend(pressure.warnings)
        splitting = socket_splitting_stress_mpa(
            pressure, socket.hub_diameter_mm, notch_factor=SOCKET_NOTCH
        )
        terms = {
            "T [N·mm]": torque_nmm,
            "s [mm]": socket.across_flats_mm,
            "l_e [mm]": pressure.bearing_length_mm,
        }
        shared = {"application K_A": shock, "play": socket.play_factor}
        demands.append(
            Demand(
                name="socket corner pressure",
                case=case.name,
                stress_mpa=pressure.corner_pressure_mpa,
                direction="bearing",
                duration=case.duration,
                cycles=case.torque_comes,
                formula="p = k play K_A T / (s^2 l_e), k = 6 hexagon, 3 square",
                terms=terms,
                factors=shared,
                source="derived: pressure rises from the middle of each flat to its corner",
                asked=asked,
            )
        )
        demands.append(
            Demand(
                name="hub splitting at the socket",
                case=case.name,
                stress_mpa=splitting / printed,
                direction="in-layer tension" if stands else "interlayer tension",
                duration=case.duration,
                cycles=case.torque_comes,
                formula="sigma = K_t (p/4) (D^2 + d^2) / (D^2 - d^2)",
                terms=terms
                | {
                    "D hub [mm]": socket.hub_diameter_mm,
                    "d over corners [mm]": pressure.across_corners_mm,
                },
                factors=shared
                | {"notch K_t": SOCKET_NOTCH, "walls and infill instead of solid": 1 / printed},
                source="[memory: textbook Lamé]; outward pressure and notch derived",
                asked=asked,
                notes=() if stands else ("the hub lies on its side: splitting opens the layers",),
            )
        )
    return demands
