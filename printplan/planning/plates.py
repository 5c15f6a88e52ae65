"""Arrange pieces on build platforms, as rectangles in rows.

Pieces of one printer, filament and layer height share plates. Rows are filled first-fit, deepest
pieces first; a new plate is begun when nothing fits. True outlines pack denser; this is the
simple arrangement that never overlaps.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from printplan.errors import InputError
from printplan.planning.result import Plate, PlateItem

__all__ = ["EDGE_MM", "GAP_MM", "Piece", "arrange", "fits"]

#: Between pieces, and along the edge of the plate. [common practice] 2-5 mm and 3-5 mm.
GAP_MM = 4.0
EDGE_MM = 4.0


@dataclass(frozen=True, kw_only=True)
class Piece:
    """One piece to be printed, with the box it fills as it stands. [mm, g, s]"""

    part: str
    width_mm: float
    depth_mm: float
    height_mm: float
    filament_g: float
    build_time_s: float
    start_s: float


@dataclass(kw_only=True)
class _Row:
    y_mm: float
    depth_mm: float
    end_mm: float


@dataclass(kw_only=True)
class _OpenPlate:
    rows: list[_Row] = field(default_factory=list)
    items: list[PlateItem] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)


def fits(piece: Piece, volume_mm: tuple[float, float, float]) -> bool:
    """Whether the piece fits the build volume, turned by a right angle if need be."""
    width, depth = volume_mm[0] - 2 * EDGE_MM, volume_mm[1] - 2 * EDGE_MM
    flat = (piece.width_mm <= width and piece.depth_mm <= depth) or (
        piece.depth_mm <= width and piece.width_mm <= depth
    )
    return flat and piece.height_mm <= volume_mm[2]


def arrange(
    pieces: Sequence[Piece],
    *,
    printer: str,
    grade: str,
    layer_height_mm: float,
    volume_mm: tuple[float, float, float],
    first_number: int = 1,
) -> tuple[Plate, ...]:
    """Put all pieces on as few plates as rows allow.

    Parameters
    ----------
    pieces : sequence of Piece
        All of one printer, filament and layer height.
    printer, grade, layer_height_mm
        What they share.
    volume_mm : (width, depth, height)
        Build volume of the printer. [mm]
    first_number : int
        Number of the first plate.

    Returns
    -------
    tuple of Plate
        Heating up and calibrating are counted once per plate.

    Raises
    ------
    InputError
        If a piece does not fit the build volume.
    """
    for piece in pieces:
        if not fits(piece, volume_mm):
            raise InputError(
                f"part {piece.part!r}: {piece.width_mm:.0f} x {piece.depth_mm:.0f} x "
                f"{piece.height_mm:.0f} mm does not fit printer {printer!r}"
            )
    width = volume_mm[0] - 2 * EDGE_MM
    depth = volume_mm[1] - 2 * EDGE_MM
    # Lying along the row keeps the rows shallow.
    laid = [(p, *_lie(p, width, depth)) for p in pieces]
    laid.sort(key=lambda x: (-x[2], -x[1], x[0].part))
    plates: list[_OpenPlate] = []
    for piece, w, d, turned in laid:
        if not any(_place(plate, piece, w, d, turned, width, depth) for plate in plates):
            plates.append(_OpenPlate())
            _place(plates[-1], piece, w, d, turned, width, depth)
    return tuple(
        Plate(
            number=first_number + i,
            printer=printer,
            grade=grade,
            layer_height_mm=layer_height_mm,
            bed_mm=volume_mm[:2],
            items=tuple(plate.items),
            filament_g=sum(p.filament_g for p in plate.pieces),
            build_time_s=_plate_time(plate.pieces),
        )
        for i, plate in enumerate(plates)
    )


def _plate_time(pieces: Iterable[Piece]) -> float:
    pieces = list(pieces)
    running = sum(p.build_time_s - p.start_s for p in pieces)
    return running + max(p.start_s for p in pieces)


def _lie(piece: Piece, width: float, depth: float) -> tuple[float, float, bool]:
    w, d = piece.width_mm, piece.depth_mm
    turned = d > w
    if turned:
        w, d = d, w
    if w > width or d > depth:
        w, d, turned = d, w, not turned
    return w, d, turned


def _place(
    plate: _OpenPlate, piece: Piece, w: float, d: float, turned: bool, width: float, depth: float
) -> bool:
    for row in plate.rows:
        x = row.end_mm + GAP_MM
        if d <= row.depth_mm and x + w <= width:
            break
    else:
        y = max((r.y_mm + r.depth_mm + GAP_MM for r in plate.rows), default=0.0)
        if y + d > depth:
            return False
        row, x = _Row(y_mm=y, depth_mm=d, end_mm=0.0), 0.0
        plate.rows.append(row)
    row.end_mm = x + w
    plate.items.append(
        PlateItem(
            part=piece.part,
            x_mm=EDGE_MM + x,
            y_mm=EDGE_MM + row.y_mm,
            width_mm=w,
            depth_mm=d,
            turned=turned,
        )
    )
    plate.pieces.append(piece)
    return True
