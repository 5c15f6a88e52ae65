import numpy as np
import pytest

from printplan.process.infill import (
    GYROID_RADIUS,
    gyroid_cell,
    hexagon_side,
    line_pitch,
    pattern_time,
    straight_lines_time,
)
from printplan.process.motion import trapezoid_time

ONE = np.ones(1)
PATTERNS = ("lines", "grid", "triangles", "hexagons", "cubic", "gyroid", "concentric")


def seconds(pattern, fraction, *, area=1600.0, perimeter=160.0, speed=60.0, a=1000.0):
    return pattern_time(
        pattern, fraction, ONE * area, ONE * perimeter, ONE * 0.4, ONE * speed, a, 0.05
    )[0]


@pytest.mark.parametrize("pattern", PATTERNS)
def test_more_infill_takes_longer(pattern):
    times = [seconds(pattern, f) for f in np.linspace(0.05, 0.95, 19)]
    assert (np.diff(times) > 0).all()
    assert times[0] > 1600 * 0.05 / 0.4 / 60  # never quicker than length over speed


@pytest.mark.parametrize("pattern", PATTERNS)
def test_nothing_and_everything(pattern):
    assert seconds(pattern, 0.0) == 0.0
    assert seconds(pattern, 0.3, area=0.0, perimeter=0.0) == 0.0
    assert seconds(pattern, 1.0) == seconds("lines", 1.0)


def gyroid_traces(z, cells=10, per_cell=80):
    """Lines of the level surface at the height z, one unit per cell, traced by contourpy."""
    from contourpy import contour_generator

    x = np.linspace(0, cells * 2 * np.pi, cells * per_cell + 1)
    across, along = np.meshgrid(x, x)
    level = np.sin(across) * np.cos(along) + np.sin(along) * np.cos(z) + np.sin(z) * np.cos(across)
    return [line / (2 * np.pi) for line in contour_generator(x, x, level).lines(0.0)]


HEIGHTS = np.linspace(0, np.pi / 2, 7, endpoint=False) + 0.05


def test_gyroid_length_per_area():
    """The cell follows from the mean length of the traces."""
    lengths = [
        sum(np.hypot(*np.diff(line, axis=0).T).sum() for line in gyroid_traces(z)) / 100
        for z in HEIGHTS
    ]
    assert np.mean(lengths) == pytest.approx(gyroid_cell(1.0, 1.0), rel=0.01)


def test_gyroid_speed():
    """Drive the traced curves with look-ahead and full centripetal acceleration; the mean speed
    gives the radius of an equally quick arc. Independent of cell and acceleration."""
    cell, a, v = 2.5, 1000.0, 1e4
    time = length = 0.0
    for z in HEIGHTS:
        for line in gyroid_traces(z):
            xy = line[::2] * cell
            if np.hypot(*(xy[-1] - xy[0])) < 5 * cell:
                continue
            step = np.diff(xy, axis=0)
            step = step[np.hypot(*step.T) > 1e-9]
            leg = np.hypot(*step.T)
            cross = step[:-1, 0] * step[1:, 1] - step[:-1, 1] * step[1:, 0]
            turn = np.abs(np.arctan2(cross, (step[:-1] * step[1:]).sum(axis=1)))
            radius = (leg[:-1] + leg[1:]) / 4 / np.maximum(np.tan(turn / 2), 1e-12)
            square = np.concatenate([[0], np.minimum(v * v, a * radius), [0]])
            for i in range(1, len(square)):
                square[i] = min(square[i], square[i - 1] + 2 * a * leg[i - 1])
            for i in range(len(square) - 2, -1, -1):
                square[i] = min(square[i], square[i + 1] + 2 * a * leg[i])
            ends = np.sqrt(square)
            time += sum(
                trapezoid_time(s, v, a, p, q)
                for s, p, q in zip(leg, ends[:-1], ends[1:], strict=True)
            )
            length += leg.sum()
    mean = length / time
    assert mean**2 / (a * cell) == pytest.approx(GYROID_RADIUS, rel=0.05)


def test_hexagon_net_length():
    """Edges of a hexagon net shared by two cells: 3 sides a cell of area 3 sqrt(3)/2 side²."""
    side = hexagon_side(0.2, 0.4)
    assert 3 * side / (1.5 * 3**0.5 * side**2) == pytest.approx(0.2 / 0.4)
    # Zigzags that double one edge in three: 4 sides a cell.
    side = hexagon_side(0.2, 0.4, zigzag=True)
    assert 4 * side / (1.5 * 3**0.5 * side**2) == pytest.approx(0.2 / 0.4)
    assert line_pitch("hexagons", 0.2, 0.4) == pytest.approx(3**0.5 * hexagon_side(0.2, 0.4))


def test_lines_against_counting():
    """A 30 x 20 mm field, lines 30 mm long 2 mm apart: ten lines, ten moves of 2 mm."""
    got = straight_lines_time(ONE * 300, ONE * 30, 2.0, ONE * 60, 1000)[0]
    by_hand = 10 * trapezoid_time(30, 60, 1000) + 10 * trapezoid_time(2, 60, 1000)
    assert got == pytest.approx(by_hand)
