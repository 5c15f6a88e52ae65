"""Which way up a part stands on the plate, and what hangs over or touches it then."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printplan.errors import InputError, OutOfRangeError, UnknownNameError
from printplan.part.solid import Solid

__all__ = ["first_layer_contact_mm2", "overhang_area", "rotation_to_up", "stand"]

#: Turns that bring an axis of the file up to +z: rows are the new x, y, z in the file's axes.
_QUARTER_TURNS: dict[str, tuple[tuple[int, int, int], ...]] = {
    "+x": ((0, 0, -1), (0, 1, 0), (1, 0, 0)),
    "-x": ((0, 0, 1), (0, 1, 0), (-1, 0, 0)),
    "+y": ((1, 0, 0), (0, 0, -1), (0, 1, 0)),
    "-y": ((1, 0, 0), (0, 0, 1), (0, -1, 0)),
    "+z": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "-z": ((1, 0, 0), (0, -1, 0), (0, 0, -1)),
}
#: A corner this near to the lowest point lies on the plate: file rounding, not layers. [mm]
ON_PLATE_MM = 0.02


def rotation_to_up(up: str | ArrayLike) -> NDArray[np.float64]:
    """Rotation that brings a direction of the part up to +z.

    Parameters
    ----------
    up : str or (3,) array_like
        "+x", "-x", "+y", "-y", "+z" or "-z", or any vector in the part's axes.

    Returns
    -------
    (3, 3) float64
        Rotation with determinant +1; the shortest turn, exact for the six axes.

    Raises
    ------
    UnknownNameError
        If the text is none of the six.
    InputError
        If the vector is not of three finite numbers, or zero.

    Sources
    -------
    [memory: Rodrigues' rotation formula]
    """
    if isinstance(up, str):
        turn = _QUARTER_TURNS.get(up.strip().lower())
        if turn is None:
            raise UnknownNameError("direction", up, _QUARTER_TURNS)
        return np.array(turn, dtype=np.float64)
    vector = np.asarray(up, dtype=np.float64)
    if vector.shape != (3,) or not np.isfinite(vector).all() or not vector.any():
        raise InputError(f"up = {up!r}: expected three finite numbers, not all zero")
    # scale first, so that neither huge nor tiny vectors overflow
    vector = vector / np.abs(vector).max()
    x, y, z = vector / np.linalg.norm(vector)
    for name, turn in _QUARTER_TURNS.items():
        if (x, y, z) == turn[2]:
            return rotation_to_up(name)
    if z < 0.0:
        # turn upside down first: the formula below divides by 1 + z
        return rotation_to_up((x, -y, -z)) @ rotation_to_up("-z")
    k = 1.0 / (1.0 + z)
    return np.array(
        [[1.0 - k * x * x, -k * x * y, -x], [-k * x * y, 1.0 - k * y * y, -y], [x, y, z]]
    )


def stand(solid: Solid, up: str | ArrayLike) -> Solid:
    """Turn a part so that `up` points up, and set it on the plate.

    Parameters
    ----------
    solid : Solid
        The part as the file gives it.
    up : str or (3,) array_like
        See `rotation_to_up`.

    Returns
    -------
    Solid
        Lowest point at z = 0, middle of its box at x = y = 0.

    Raises
    ------
    InputError
        If the direction is not understood (`rotation_to_up`).
    """
    turned = solid.turned(rotation_to_up(up))
    low, high = turned.box_mm
    drop = np.array([(low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0, low[2]])
    return Solid(
        name=solid.name,
        vertices_mm=turned.vertices_mm - drop,
        faces=turned.faces,
        opposite=turned.opposite,
    )


def overhang_area(solid: Solid, limit_deg: float = 45.0) -> float:
    """Area of the surface that faces down beyond the limit.

    Parameters
    ----------
    solid : Solid
        The part as it stands, z up.
    limit_deg : float
        Overhang angle up to which a surface carries itself, from the vertical: 0 is a wall, 90 a
        ceiling. [degree]

    Returns
    -------
    float
        Area, without what lies on the plate. [mm²]

    Raises
    ------
    OutOfRangeError
        If the limit is outside 0 to 90.

    Sources
    -------
    [common practice]: 45° from the vertical prints without support.
    """
    if not 0.0 <= limit_deg <= 90.0:
        raise OutOfRangeError("limit_deg", limit_deg, "0 to 90")
    area, down, on_plate = _facing(solid)
    # a hair beyond, so that a surface exactly at the limit carries itself whatever the rounding
    beyond = down > np.sin(np.radians(limit_deg)) + 1e-6
    return float(area[beyond & ~on_plate].sum())


def first_layer_contact_mm2(solid: Solid) -> float:
    """Area that lies on the plate: flat faces at the lowest height, within 0.02 mm.

    Parameters
    ----------
    solid : Solid
        The part as it stands, z up.

    Returns
    -------
    float
        0 for a part that stands on an edge or a round. [mm²]
    """
    area, _, on_plate = _facing(solid)
    return float(area[on_plate].sum())


def _facing(
    solid: Solid,
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.bool_]]:
    """Area of each triangle, how much its normal points down (-1 to 1), whether on the plate."""
    corners = solid.vertices_mm[solid.faces]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(normal, axis=1)
    down = -normal[:, 2] / np.where(length > 0.0, length, 1.0)
    low = solid.vertices_mm[:, 2].min() + ON_PLATE_MM
    on_plate = (down > 0.0) & (corners[:, :, 2] <= low).all(axis=1)
    return length / 2.0, down, on_plate
