"""Torque from shaft to plastic hub by shape: hexagon and square sockets, keys, cross-pins.

Symbols: T torque, s across flats, a side of a square, l_e bearing length, D_W shaft diameter,
d pin diameter, s_w hub wall.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from printplan.elements.press_fit import lame_hoop_factor
from printplan.elements.ranges import between, not_negative, positive
from printplan.errors import OutOfRangeError, UnknownNameError

__all__ = [
    "PinnedHub",
    "SocketPressure",
    "key_pressure_mpa",
    "key_shear_mpa",
    "pinned_hub",
    "socket_pressure",
    "socket_splitting_stress_mpa",
]

#: Socket length that still bears, as a multiple of the width across flats: the shaft twists into
#: a longer one. derived (judgement), 1.2 to 1.5.
LONGEST_BEARING_LENGTH = 1.5
#: Coefficient of T/(s^2 l_e), and width over corners per width across flats.
_SOCKETS = {"hexagon": (6.0, 2 / math.sqrt(3)), "square": (3.0, math.sqrt(2))}


@dataclass(frozen=True, kw_only=True)
class SocketPressure:
    """Pressure of a hexagon or square shaft on its socket.

    Attributes
    ----------
    corner_pressure_mpa : float
        Largest pressure, at the loaded end of every flat. [MPa]
    mean_outward_mpa : float
        Pressure that pushes the hub open, spread round the bore: a quarter of the largest. [MPa]
    bearing_length_mm : float
        Length that was counted. [mm]
    across_corners_mm : float
        Size of the hole over its corners. [mm]
    warnings : tuple of str
        What the reader must know.
    """

    corner_pressure_mpa: float
    mean_outward_mpa: float
    bearing_length_mm: float
    across_corners_mm: float
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class PinnedHub:
    """Stresses of a pin through hub and shaft.

    Attributes
    ----------
    hub_pressure_mpa, shaft_pressure_mpa : float
        Pressure of the pin on the hub wall (the plastic) and on the shaft's bore. [MPa]
    pin_shear_mpa : float
        Shear in the pin. [MPa]
    """

    hub_pressure_mpa: float
    shaft_pressure_mpa: float
    pin_shear_mpa: float


def socket_pressure(
    torque_nmm: float,
    *,
    shape: Literal["hexagon", "square"],
    across_flats_mm: float,
    length_mm: float,
    play_factor: float = 2.0,
) -> SocketPressure:
    """Pressure in the socket of a hexagon or square shaft.

    Hexagon ``p = 6 T/(s^2 l_e)``, square ``p = 3 T/(a^2 l_e)``, times the play factor: pressure
    rises linearly from the middle of each flat to the corner on its loaded half. A socket longer
    than 1.5 s is counted with 1.5 s, and the result says so.

    Parameters
    ----------
    torque_nmm : float
        Torque, either sense. [N mm]
    shape : {"hexagon", "square"}
        Form of the shaft.
    across_flats_mm, length_mm : float
        Width across flats (side of the square); length of contact. [mm]
    play_factor : float
        1 without play; with play the contact retreats to the corners: 1.5 to 2.

    Returns
    -------
    SocketPressure

    Raises
    ------
    OutOfRangeError
        If a size is not positive or the play factor is outside 1 to 4.
    UnknownNameError
        For another shape.

    Sources
    -------
    derived  pressure distribution: each half flat's resultant at a third of the flat
    derived (judgement)  play factor and the length that bears
    """
    if shape not in _SOCKETS:
        raise UnknownNameError("socket shape", shape, _SOCKETS)
    positive(across_flats_mm=across_flats_mm, length_mm=length_mm)
    between("play_factor", play_factor, 1.0, 4.0)
    longest = LONGEST_BEARING_LENGTH * across_flats_mm
    warnings: tuple[str, ...] = ()
    if length_mm > longest:
        warnings = (
            f"socket of {length_mm:.1f} mm counted with {longest:.1f} mm: the shaft twists into "
            "a longer one and its inner end bears little",
        )
    bearing = min(length_mm, longest)
    coefficient, corners = _SOCKETS[shape]
    pressure = play_factor * coefficient * abs(torque_nmm) / (across_flats_mm**2 * bearing)
    return SocketPressure(
        corner_pressure_mpa=pressure,
        mean_outward_mpa=pressure / 4,
        bearing_length_mm=bearing,
        across_corners_mm=corners * across_flats_mm,
        warnings=warnings,
    )


def socket_splitting_stress_mpa(
    pressure: SocketPressure, hub_outer_mm: float, notch_factor: float = 3.0
) -> float:
    """Hoop stress that splits the hub at the socket's corners. [MPa]

    The outward pressure in a thick ring whose bore is the circle over the corners (Lame), times a
    notch factor of 2 to 3 for the re-entrant corner.

    Raises
    ------
    OutOfRangeError
        If the hub is not larger than the hole over its corners, or the factor is outside 1 to 5.

    Sources
    -------
    derived  outward pressure and notch factor; [memory: textbook Lame] ring
    """
    between("notch_factor", notch_factor, 1.0, 5.0)
    if not hub_outer_mm > pressure.across_corners_mm:
        raise OutOfRangeError(
            "hub_outer_mm", hub_outer_mm, f"above {pressure.across_corners_mm:.2f} mm over corners"
        )
    hoop = lame_hoop_factor(pressure.across_corners_mm, hub_outer_mm)
    return notch_factor * pressure.mean_outward_mpa * hoop


def key_shear_mpa(
    torque_nmm: float, shaft_mm: float, key_width_mm: float, length_mm: float
) -> float:
    """Shear stress in a key: ``2 T/(d b l)``. [MPa]

    Raises
    ------
    OutOfRangeError
        If a size is not positive.

    Sources
    -------
    [source: Wentzell, ex. 15.1]
    """
    positive(shaft_mm=shaft_mm, key_width_mm=key_width_mm, length_mm=length_mm)
    return 2 * abs(torque_nmm) / (shaft_mm * key_width_mm * length_mm)


def key_pressure_mpa(
    torque_nmm: float, shaft_mm: float, key_height_mm: float, length_mm: float
) -> float:
    """Pressure on a key's side, half of its height in the hub: ``4 T/(d h l)``. [MPa]

    Raises
    ------
    OutOfRangeError
        If a size is not positive.

    Sources
    -------
    [source: Wentzell, ex. 15.1]
    """
    positive(shaft_mm=shaft_mm, key_height_mm=key_height_mm, length_mm=length_mm)
    return 4 * abs(torque_nmm) / (shaft_mm * key_height_mm * length_mm)


def pinned_hub(
    torque_nmm: float, *, shaft_mm: float, pin_mm: float, hub_wall_mm: float
) -> PinnedHub:
    """Pressures and shear of a pin across hub and shaft.

    Hub ``T/(d s_w (D_W + s_w))``, shaft ``6 T/(d D_W^2)``, pin ``4 T/(D_W pi d^2)``.

    Raises
    ------
    OutOfRangeError
        If a size is not positive or the pin is thicker than half the shaft.

    Sources
    -------
    [memory: Roloff/Matek, Niemann, pin joints]
    """
    positive(shaft_mm=shaft_mm, pin_mm=pin_mm, hub_wall_mm=hub_wall_mm)
    between("pin_mm", pin_mm, 0.0, shaft_mm / 2, "a thicker pin leaves no shaft")
    torque = abs(torque_nmm)
    not_negative(torque_nmm=torque)
    return PinnedHub(
        hub_pressure_mpa=torque / (pin_mm * hub_wall_mm * (shaft_mm + hub_wall_mm)),
        shaft_pressure_mpa=6 * torque / (pin_mm * shaft_mm**2),
        pin_shear_mpa=4 * torque / (shaft_mm * math.pi * pin_mm**2),
    )
