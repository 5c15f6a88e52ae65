import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from printplan.errors import OutOfRangeError
from printplan.process.look_ahead import ring_times, rings_of
from printplan.process.motion import (
    corner_loss,
    corner_speed,
    corner_speed_from_jump,
    effective_line_speed,
    mean_chord,
    rest_to_rest_time,
    s_curve_time,
    trapezoid_time,
)


def stepped_time(length, v, a, v0, v1):
    """Slow twin of the trapezoid: speed over distance, capped from both ends, summed by steps."""
    x = (np.arange(200_000) + 0.5) / 200_000 * length
    speed = np.minimum.reduce(
        [
            np.full_like(x, v),
            np.sqrt(v0 * v0 + 2 * a * x),
            np.sqrt(v1 * v1 + 2 * a * (length - x)),
        ]
    )
    return (length / len(x) / speed).sum()


@pytest.mark.parametrize(
    ("length", "v0", "v1"), [(20, 10, 5), (2, 10, 5), (0.5, 20, 25), (50, 60, 0), (5, 0, 0)]
)
def test_trapezoid_against_stepping(length, v0, v1):
    """The midpoint rule misses up to 0.1 % at an end at rest, where the time has a root."""
    assert trapezoid_time(length, 60, 500, v0, v1) == pytest.approx(
        stepped_time(length, 60, 500, v0, v1), rel=2e-3
    )


@settings(deadline=None)
@given(
    st.floats(0.01, 500),
    st.floats(1, 400),
    st.floats(100, 20_000),
    st.floats(0, 1),
    st.floats(0, 1),
)
def test_trapezoid_mirrors_and_is_bounded(length, v, a, share0, share1):
    v0 = v * share0
    top = min(v, (v0 * v0 + 2 * a * length) ** 0.5)
    bottom = max(v0 * v0 - 2 * a * length, 0.0) ** 0.5
    v1 = bottom + (top - bottom) * share1 * (1 - 1e-9)
    forward = trapezoid_time(length, v, a, v0, v1)
    assert forward == pytest.approx(trapezoid_time(length, v, a, v1, v0), rel=1e-6)
    assert forward >= length / v * (1 - 1e-9)


@settings(deadline=None)
@given(st.floats(0.01, 500), st.floats(1, 400), st.floats(100, 20_000))
def test_jerk_never_helps(length, v, a):
    plain = float(rest_to_rest_time(length, v, a))
    assert plain == pytest.approx(trapezoid_time(length, v, a))
    assert s_curve_time(length, v, a, a * 30) >= plain * (1 - 1e-9)
    assert s_curve_time(length, v, a, a * 1e9) == pytest.approx(plain, rel=1e-4)


def test_speed_change_needs_length():
    with pytest.raises(OutOfRangeError, match="to change speed"):
        trapezoid_time(0.1, 60, 500, 60, 0)
    with pytest.raises(OutOfRangeError, match="cruise speed"):
        trapezoid_time(10, 60, 500, 70, 0)
    with pytest.raises(OutOfRangeError, match="acceleration"):
        trapezoid_time(10, 60, 0)
    with pytest.raises(OutOfRangeError, match="jerk"):
        s_curve_time(10, 60, 500, 0)


def test_corner_limits():
    assert corner_speed([0.0, 180.0], 500, 0.05, 60) == pytest.approx([60.0, 0.0], abs=1e-6)
    assert corner_speed_from_jump([0.0, 180.0], 8, 60) == pytest.approx([60.0, 4.0])
    turns = np.linspace(1, 179, 50)
    assert (np.diff(corner_speed(turns, 500, 0.05, 1e9)) < 0).all()
    assert corner_loss(60, 60, 500) == 0


def test_line_speed_is_length_over_time():
    lengths = np.array([0.1, 1, 3.6, 10, 100])
    assert effective_line_speed(lengths, 60, 1000) == pytest.approx(
        lengths / rest_to_rest_time(lengths, 60, 1000)
    )


def test_mean_chord_of_a_shape_with_a_hole():
    """Chords of an L with a hole measured by cutting it with lines in 60 directions; the
    directions and the raster leave about 1 %."""
    shape = (
        shapely.box(0, 0, 40, 30) - shapely.box(20, 15, 40, 30) - shapely.Point(10, 10).buffer(5)
    )
    lengths, pieces = 0.0, 0
    for angle in np.arange(60) * 3.0 + 0.7:
        turned = shapely.affinity.rotate(shape, angle, origin=(15, 15))
        x0, y0, x1, y1 = turned.bounds
        for y in np.arange(y0 + 0.05, y1, 0.2):
            cut = turned.intersection(shapely.LineString([(x0 - 1, y), (x1 + 1, y)]))
            parts = shapely.get_parts(cut)
            lengths += shapely.length(parts).sum()
            pieces += int((shapely.length(parts) > 0).sum())
    assert float(mean_chord(shape.area, shape.length)) == pytest.approx(lengths / pieces, rel=0.01)
    assert float(mean_chord(0.0, 0.0)) == 0.0


def ring_time_twin(xy, v, a, deviation):
    """Slow twin of the look-ahead: one ring, plain loops, start and end at rest."""
    n = len(xy)
    step = [xy[(i + 1) % n] - xy[i] for i in range(n)]
    length = [float(np.hypot(*d)) for d in step]
    speed = [0.0] * (n + 1)
    for i in range(1, n):
        before, after = step[i - 1], step[i]
        cosine = before @ after / length[i - 1] / length[i]
        turn = np.degrees(np.arccos(np.clip(cosine, -1, 1)))
        half = np.radians(turn) / 2
        radius = (length[i - 1] + length[i]) / 2 / (2 * np.tan(half)) if half > 1e-9 else np.inf
        speed[i] = min(float(corner_speed(turn, a, deviation, v)), float(np.sqrt(a * radius)))
    for i in range(1, n + 1):
        speed[i] = min(speed[i], np.sqrt(speed[i - 1] ** 2 + 2 * a * length[i - 1]))
    for i in range(n - 1, -1, -1):
        speed[i] = min(speed[i], np.sqrt(speed[i + 1] ** 2 + 2 * a * length[i]))
    return sum(trapezoid_time(length[i], v, a, speed[i], speed[i + 1]) for i in range(n))


@pytest.mark.parametrize(("v", "a", "deviation"), [(40, 500, 0.05), (250, 10_000, 0.02)])
def test_rings_against_twin(v, a, deviation):
    rng = np.random.default_rng(7)
    shapes = []
    for n in (3, 5, 12, 60):
        angle = np.sort(rng.uniform(0, 2 * np.pi, n))
        radius = rng.uniform(5, 15, n)
        shapes.append(shapely.Polygon(np.c_[radius * np.cos(angle), radius * np.sin(angle)]))
    shapes.append(shapely.Point(0, 0).buffer(8) - shapely.Point(1, 0).buffer(2))
    regions = np.array(shapes, dtype=object)
    rings = rings_of(regions)
    assert rings.owner.tolist() == [0, 1, 2, 3, 4, 4]
    times = ring_times(rings, np.full(6, float(v)), a, deviation)
    outlines = [s.exterior for s in shapes] + [shapes[-1].interiors[0]]
    for got, outline in zip(times, outlines, strict=True):
        twin = ring_time_twin(np.asarray(outline.coords)[:-1], v, a, deviation)
        assert got == pytest.approx(twin, rel=1e-9)


def test_circle_is_held_by_centripetal_acceleration():
    """A finely chorded circle of radius 10 mm is driven at sqrt(a R) = 100 mm/s for a 1000."""
    circle = np.array([shapely.Point(0, 0).buffer(10, quad_segs=64)], dtype=object)
    rings = rings_of(circle)
    time = ring_times(rings, np.array([400.0]), 1000, 1.0, stop_at_seam=False)[0]
    assert 2 * np.pi * 10 / time == pytest.approx(100, rel=0.01)


def test_no_rings():
    rings = rings_of(np.array([shapely.Polygon()], dtype=object))
    assert len(ring_times(rings, np.zeros(0), 500, 0.05)) == 0
