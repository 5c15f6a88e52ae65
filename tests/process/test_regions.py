import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from printplan.errors import InputError
from printplan.process import Recipe, regions, stack_of

CUBE = shapely.box(0, 0, 30, 30)


def disc(radius, at=(0.0, 0.0)):
    return shapely.Point(*at).buffer(radius, quad_segs=128)


def test_cube_by_hand():
    """30 mm cube: loops 120 - 8 d, inner square side 30 - 2 d, 150 layers."""
    r = Recipe(wall_count=4, top_skins=3, bottom_skins=6, infill_fraction=0.25)
    got = regions(stack_of([CUBE] * 150, r), r)
    s = 0.2 * 0.25 + np.pi * 0.01  # area of the bead, w - h = 0.25
    s /= 0.2
    loops = [120 - 8 * (0.225 + k * s) for k in range(4)]
    assert got.loop_mm[75] == pytest.approx(loops)
    inner = (30 - 2 * (0.225 + 3.5 * s)) ** 2
    assert got.infill_mm2[75] == pytest.approx(inner)
    assert got.skin_mm2[:6] == pytest.approx(np.full(6, inner))
    assert got.skin_mm2[-3:] == pytest.approx(np.full(3, inner))
    assert got.skin_mm2[6:-3] == pytest.approx(np.zeros(141))
    by_hand = 30.0 * sum(loops) * s + 9 * 0.2 * inner + 141 * 0.2 * inner * 0.25
    assert sum(got.volume_mm3.values()) == pytest.approx(by_hand, rel=1e-6)


def test_cylinder_by_hand():
    """Cylinder of radius 15, 20 mm high; loops 2 pi (R - d). Chords take 0.01 % off."""
    r = Recipe(wall_count=3, top_skins=5, bottom_skins=5, infill_fraction=0.4)
    got = regions(stack_of([disc(15)] * 100, r), r)
    s = r.spacing_mm
    walls = sum(2 * np.pi * (15 - 0.225 - k * s) for k in range(3)) * s
    inner = np.pi * (15 - 0.225 - 2.5 * s) ** 2
    by_hand = 20 * walls + 2.0 * inner + 18.0 * inner * 0.4
    assert sum(got.volume_mm3.values()) == pytest.approx(by_hand, rel=1e-3)


def test_tube_by_hand():
    """Tube 20/12 mm radius: outer and inner loops add up to 2 pi (R + r) each."""
    r = Recipe(wall_count=5, top_skins=4, bottom_skins=4, infill_fraction=0.15)
    got = regions(stack_of([disc(20) - disc(12)] * 60, r), r)
    s = r.spacing_mm
    assert got.loop_mm[30] == pytest.approx(np.full(5, 2 * np.pi * 32), rel=1e-3)
    walls = 5 * 2 * np.pi * 32 * s
    depth = 0.225 + 4.5 * s
    inner = np.pi * ((20 - depth) ** 2 - (12 + depth) ** 2)
    by_hand = 12 * walls + 1.6 * inner + 10.4 * inner * 0.15
    assert sum(got.volume_mm3.values()) == pytest.approx(by_hand, rel=2e-3)
    assert (got.outline_count == 2).all()
    assert (got.loop_count == 10).all()
    assert got.thin_mm2.max() == 0


def wavy(seed, teeth, size):
    rng = np.random.default_rng(seed)
    angle = np.linspace(0, 2 * np.pi, 8 * teeth, endpoint=False)
    radius = size * (1 + 0.15 * np.sin(teeth * angle) + rng.uniform(-0.05, 0.05, len(angle)))
    outer = shapely.Polygon(np.c_[radius * np.cos(angle), radius * np.sin(angle)])
    return outer - disc(size / 3, (size * 0.2, 0))


@settings(max_examples=25, deadline=None)
@given(
    seed=st.integers(0, 10**6),
    teeth=st.integers(3, 12),
    size=st.floats(2.0, 25.0),
    walls=st.integers(1, 6),
    top=st.integers(0, 4),
    bottom=st.integers(0, 4),
)
def test_areas_are_conserved(seed, teeth, size, walls, top, bottom):
    """Section = walls + skins + infill + rounding; inner areas again from single buffers."""
    rng = np.random.default_rng(seed)
    layers = [wavy(seed, teeth, size * x) for x in rng.uniform(0.8, 1.0, 12)]
    r = Recipe(wall_count=walls, top_skins=top, bottom_skins=bottom)
    got = regions(stack_of(layers, r), r)
    parts = got.wall_mm2 + got.skin_mm2 + got.infill_mm2 + got.rounding_mm2
    assert parts == pytest.approx(got.section_mm2, rel=1e-9)
    depth = 0.225 + (walls - 0.5) * r.spacing_mm
    for i, layer in enumerate(layers):
        # Outlines may have been decimated by 0.01 mm.
        slack = 0.02 * layer.length
        assert got.section_mm2[i] == pytest.approx(layer.area, abs=slack)
        inner = layer.buffer(-depth, join_style="mitre", mitre_limit=2.0)
        assert got.skin_mm2[i] + got.infill_mm2[i] == pytest.approx(inner.area, abs=slack)
    assert (got.wall_mm2 > 0).all()
    assert (got.skin_mm2 >= 0).all()
    assert (got.infill_mm2 >= 0).all()
    if top + bottom == 0:
        assert got.skin_mm2.max() < 1e-6


def skins_twin(layers, walls, top, bottom, r):
    """Slow twin: layer by layer, neighbour by neighbour."""
    depth = 0.225 + (walls - 0.5) * r.spacing_mm
    empty = shapely.Polygon()
    found = []
    for i, layer in enumerate(layers):
        inner = layer.buffer(-depth, join_style="mitre", mitre_limit=2.0)
        cover = inner
        for j in [*range(i + 1, i + 1 + top), *range(i - bottom, i)]:
            cover = cover.intersection(layers[j] if 0 <= j < len(layers) else empty)
        found.append(inner.area - cover.area)
    return found


@pytest.mark.parametrize(("top", "bottom"), [(1, 0), (0, 3), (2, 2), (5, 4), (7, 1)])
def test_skins_against_twin(top, bottom):
    """Stepped pyramid with a pocket. Outlines for skins are decimated by a tenth of a line."""
    layers = [shapely.box(i, i, 40 - i, 40) for i in range(8)]
    layers += [shapely.box(8, 8, 32, 40) - shapely.box(12, 12, 20, 20)] * 6
    layers += [shapely.box(4, 4, 36, 36)] * 3
    layers += [disc(6, (20, 20)), disc(7, (22, 22)), disc(3, (20, 20))]
    r = Recipe(wall_count=2, top_skins=top, bottom_skins=bottom)
    got = regions(stack_of(layers, r), r)
    twin = skins_twin(layers, 2, top, bottom, r)
    assert got.skin_mm2 == pytest.approx(twin, rel=0.005, abs=0.3)
    assert max(twin) > 100


def test_more_skins_than_layers():
    r = Recipe(top_skins=1000, bottom_skins=1000, infill_fraction=0.1)
    got = regions(stack_of([CUBE] * 5, r), r)
    assert got.infill_mm2.max() == 0
    assert got.skin_mm2.min() > 500


def test_walls_cover_a_steep_slope():
    """No skin is needed where tan(slope) >= n_t h / (n_w s)."""
    r = Recipe(wall_count=3, top_skins=4, bottom_skins=0)
    reach = 0.225 + 2.5 * r.spacing_mm
    for share, expected in ((0.95, False), (1.1, True)):
        step = share * reach / 4
        layers = [shapely.box(0, 0, 40 - i * step, 40) for i in range(40)]
        got = regions(stack_of(layers, r), r)
        assert bool(got.skin_mm2[5:20].max() > 0.5) is expected


@pytest.mark.parametrize("thickness", [*np.arange(0.5, 5.0, 0.23), 0.857, 1.671, 2.486, 4.1, 4.2])
def test_thin_plates_are_filled(thickness):
    """Whatever the loops do, a plate of 50 mm length is filled by walls, but for its edges."""
    r = Recipe(wall_count=5)
    got = regions(stack_of([shapely.box(0, 0, 50, thickness)] * 20, r), r)
    filled = got.wall_mm2[10] + got.skin_mm2[10] + got.infill_mm2[10]
    around = 2 * (50 + thickness)
    edge = (0.45 - r.spacing_mm) / 2
    assert filled == pytest.approx(50 * thickness - around * edge, rel=0.01)
    fits = thickness > r.full_wall_mm
    assert bool(got.thin_mm2[10] > 1.0) is not fits
    # Loops k exist while their offset is below half the thickness, each 2 (50 + t) - 8 d long.
    offsets = 0.225 + np.arange(5) * r.spacing_mm
    beads = np.where(offsets < thickness / 2, around - 8 * offsets, 0.0)
    assert got.loop_mm[10] == pytest.approx(beads, abs=1e-6)
    assert got.gap_mm2[10] == pytest.approx(got.wall_mm2[10] - beads.sum() * r.spacing_mm, abs=1e-6)


def test_narrower_than_a_bead():
    """A 90 mm block with a fin 0.3 mm thick and 10 mm long: the fin is lost."""
    finned = shapely.union(shapely.box(-70, 0, 20, 90), shapely.box(20, 5, 30, 5.3))
    r = Recipe(wall_count=2)
    got = regions(stack_of([finned] * 4, r), r)
    assert got.lost_mm2 == pytest.approx(np.full(4, 3.0), rel=0.05)


def test_first_layer_has_its_own_spacing():
    r = Recipe(first_layer_height_mm=0.3)
    got = regions(stack_of([CUBE] * 10, r), r)
    assert got.loop_mm[0, 0] == pytest.approx(got.loop_mm[1, 0])
    assert got.loop_mm[0, 1] == pytest.approx(120 - 8 * (0.225 + r.first_spacing_mm))
    assert got.loop_mm[1, 1] == pytest.approx(120 - 8 * (0.225 + r.spacing_mm))


def test_a_second_recipe_matches_a_fresh_stack():
    layers = [wavy(1, 7, 12 + 0.1 * i) for i in range(20)]
    a = Recipe(wall_count=5, top_skins=5, bottom_skins=5)
    b = Recipe(wall_count=3, top_skins=2, bottom_skins=4)
    used = stack_of(layers, a)
    regions(used, a)
    again, fresh = regions(used, b), regions(stack_of(layers, b), b)
    for name in ("loop_mm", "wall_mm2", "skin_mm2", "infill_mm2", "gap_mm2", "thin_mm2"):
        assert getattr(again, name) == pytest.approx(getattr(fresh, name), abs=1e-6), name


def test_wrong_stack():
    stack = stack_of([CUBE], Recipe())
    with pytest.raises(InputError, match="cut them again"):
        regions(stack, Recipe(layer_height_mm=0.15))


def test_an_empty_layer_between():
    r = Recipe(top_skins=1, bottom_skins=1)
    got = regions(stack_of([CUBE, shapely.Polygon(), CUBE], r), r)
    assert got.section_mm2[1] == 0
    assert got.wall_mm2[1] == 0
    assert (got.infill_mm2 == 0).all()


def test_noise_of_the_geometry_library_is_not_ours():
    """Found by the property tests: an offset that divides by zero inside the library."""
    rng = np.random.default_rng(164)
    size = rng.uniform(3, 40)
    layers = []
    for _ in range(12):
        size = max(1.5, size + rng.uniform(-0.4, 0.4))
        box = shapely.box(0, 0, size, rng.uniform(0.5, 1.5) * size)
        layers.append(box - shapely.Point(size / 2, size / 2).buffer(size / 5))
    r = Recipe(wall_count=2, top_skins=4, bottom_skins=3)
    got = regions(stack_of(layers, r), r)
    assert np.isfinite(got.wall_mm2).all()
    assert got.section_mm2 == pytest.approx([layer.area for layer in layers], rel=0.01)
