import numpy as np
import pytest
import shapely

from printplan.process import Recipe, stack_of, support
from printplan.process.supports import (
    CLEARANCE_MM,
    INTERFACE_FRACTION,
    INTERFACE_LAYERS,
    SUPPORT_FRACTION,
    brim_length,
)

R = Recipe()


def disc(radius):
    return shapely.Point(0, 0).buffer(radius, quad_segs=64)


def columns(layers, **changes):
    r = R.but(**changes)
    return support(stack_of(layers, r), r)


def test_table_on_one_leg():
    """Leg 10 x 10 mm, 50 layers; top 30 x 30 mm. Column: what the top covers beyond the leg and
    its clearance, in all layers but the gap below the top. Mitred clearance corners are exact."""
    leg, top = shapely.box(-5, -5, 5, 5), shapely.box(-15, -15, 15, 15)
    got = columns([leg] * 50 + [top] * 10)
    area = 900 - (10 + 2 * CLEARANCE_MM) ** 2
    assert got.column_mm2[:49] == pytest.approx(np.full(49, area), rel=1e-6)
    assert got.column_mm2[49:].max() == 0
    assert got.perimeter_mm[20] == pytest.approx(4 * 30 + 4 * 11)
    assert got.ceiling_mm2[48] == pytest.approx(area, rel=1e-6)
    whole = 49 * area * SUPPORT_FRACTION
    whole += area * INTERFACE_LAYERS * (INTERFACE_FRACTION - SUPPORT_FRACTION)
    assert got.deposited_mm2().sum() == pytest.approx(whole, rel=1e-6)


def test_column_ends_on_the_next_surface():
    """A shelf above a foot plate: the column stands on the plate, not on the platform."""
    foot, leg = shapely.box(0, 0, 40, 20), shapely.box(0, 0, 10, 20)
    got = columns([foot] * 10 + [leg] * 40 + [foot] * 5)
    assert got.column_mm2[:10].max() == 0
    assert (got.column_mm2[10:49] > 500).all()
    assert got.column_mm2[49:].max() == 0


@pytest.mark.parametrize(
    ("lean_deg", "limit_deg", "needed"),
    [(40, 45, False), (44, 45, False), (55, 45, True), (55, 60, False), (65, 60, True)],
)
def test_limit_is_an_angle_from_the_vertical(lean_deg, limit_deg, needed):
    step = 0.2 * np.tan(np.radians(lean_deg))
    got = columns([disc(5 + i * step) for i in range(30)], overhang_limit_deg=limit_deg)
    assert bool(got.column_mm2.max() > 5.0) is needed


def test_inverted_cone_volume():
    """Cone leaning 60° from r 5 up to r 5 + H tan 60°: the space beneath it, by the integral of
    2 pi r z(r) from the clearance outwards. One layer of gap of 100 and the steps leave 5 %."""
    lean, n = np.tan(np.radians(60)), 100
    got = columns([disc(5 + (i + 0.5) * 0.2 * lean) for i in range(n)])
    outer = 5 + n * 0.2 * lean
    # At the radius r the cone is (r - 5)/lean above the platform; the clearance is sideways.
    start = 5 + CLEARANCE_MM
    r = np.linspace(start, outer, 20001)
    z = (r - start) / lean
    space = np.sum(2 * np.pi * r * z) * (r[1] - r[0])
    assert got.column_mm2.sum() * 0.2 == pytest.approx(space, rel=0.05)


def test_small_horizontal_hole_spans_itself():
    """A bore of 5 mm across a block, drawn as slots that open and close."""
    block = shapely.box(0, 0, 20, 20)
    layers = [block] * 10
    for i in range(25):
        half = np.sqrt(max(2.5**2 - (2.5 - (i + 0.5) * 0.2) ** 2, 0.0))
        layers.append(block - shapely.box(10 - half, -1, 10 + half, 21))
    got = columns([*layers, *[block] * 10])
    assert got.column_mm2.max() == 0


def test_shelf_round_a_counterbore_is_no_bridge():
    """Pocket from below, radius 9, then a bore of radius 6: a ring 3 mm wide hangs free."""
    block = shapely.box(-20, -20, 20, 20)
    got = columns([block - disc(9)] * 20 + [block - disc(6)] * 20)
    ring = np.pi * ((9 - CLEARANCE_MM) ** 2 - 6**2)
    assert got.column_mm2[5] == pytest.approx(ring, rel=0.01)


def test_wide_ceiling_needs_support():
    block = shapely.box(-20, -20, 20, 20)
    got = columns([block - shapely.box(-10, -10, 10, 10)] * 20 + [block] * 10)
    assert got.column_mm2[5] == pytest.approx((20 - 2 * CLEARANCE_MM) ** 2, rel=1e-6)


def test_straight_and_tapering_parts_need_none():
    for layers in ([disc(10)] * 30, [disc(10 - i * 0.2) for i in range(30)]):
        assert columns(layers).deposited_mm2().sum() == 0


def test_none_wanted():
    got = columns([disc(3)] * 5 + [disc(30)] * 5, supports="none")
    assert got.deposited_mm2().sum() == 0


def test_brim_merges_between_islands():
    """Two squares 2 mm apart: five loops of 0.4 mm meet; the area is that of the union."""
    pair = shapely.MultiPolygon([shapely.box(0, 0, 10, 10), shapely.box(12, 0, 22, 10)])
    one = brim_length(shapely.box(0, 0, 10, 10), 5, 0.4)
    # 4 mm wide zones of both squares overlap in the 2 x 10 mm slot and at its two ends.
    assert brim_length(pair, 5, 0.4) < 2 * one - 20 / 0.4 * 0.99
    holed = shapely.box(0, 0, 10, 10) - shapely.box(4, 4, 6, 6)
    assert brim_length(holed, 5, 0.4) == pytest.approx(one)
    assert brim_length(pair, 0, 0.4) == 0
    assert brim_length(shapely.Polygon(), 5, 0.4) == 0
