import json
import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from printplan.errors import InputError, OutOfRangeError
from printplan.process import (
    FilamentData,
    Prices,
    Recipe,
    estimate_layers,
    filament_data,
    load_printer_classes,
    recipe,
    stack_of,
)
from printplan.process.motion import corner_speed, rest_to_rest_time
from printplan.process.times import flow_limit

BLOCK = [shapely.box(0, 0, 40, 40)] * 100
CLASSES = list(load_printer_classes().values())
THREAD = FilamentData(
    name="test thread",
    density_g_cm3=1.24,
    max_flow_mm3_s=11.0,
    nozzle_degc=210.0,
    bed_degc=55.0,
    price_per_kg=20.0,
)
PLAIN = Recipe(wall_count=3, top_skins=5, bottom_skins=4, infill_fraction=0.2)


def block_printer():
    """The machine of the worked block: 40 and 60 mm/s everywhere, a 1000, delta 0.05."""
    return CLASSES[0].but(
        wall_speed_mm_s=40.0,
        skin_speed_mm_s=60.0,
        first_layer_speed_mm_s=60.0,
        layer_change_s=1.0,
    )


def test_worked_block_through_the_whole_chain():
    """Kinds of the worked block (40 x 40 x 20 mm; derived, see tests/published). Walls beyond
    its 11.8733 s per layer: each loop here starts and ends at rest at one of its corners."""
    got = estimate_layers(stack_of(BLOCK, PLAIN), PLAIN, block_printer(), THREAD)
    seconds = got.time_s_by_kind
    assert seconds["skins"] == pytest.approx(9 * 69.3945, abs=1e-3)
    assert seconds["infill"] == pytest.approx(91 * 15.0494, abs=1e-2)
    corner = float(corner_speed(90, 1000, 0.05, 40))
    at_seam = 40 / 1000 - (40 - corner) ** 2 / (1000 * 40)
    assert seconds["walls"] == pytest.approx(100 * (11.8733 + 3 * at_seam), abs=1e-2)
    assert seconds["layer change"] == 100.0
    assert seconds["support"] == seconds["brim"] == 0
    own = sum(v for k, v in got.filament_mm3_by_kind.items() if k != "purge")
    assert own == pytest.approx(11440.42, abs=0.006)
    assert got.filament_g == pytest.approx(14.186 + 0.3, abs=6e-4)
    assert got.filament_m == pytest.approx(4.7564 + 0.3 / 1.24 / 2.40528, abs=2e-4)


def test_travel_by_hand():
    """Two stops a layer (outline, filling): 0.7124 sqrt(1600/2) mm apart, below the random
    0.5214 * 40; two hops of one spacing between the three loops."""
    p = block_printer()
    got = estimate_layers(stack_of(BLOCK, PLAIN), PLAIN, p, THREAD)
    distance = min(0.7124 * math.sqrt(1600 / 2), 0.5214 * 40)
    each = float(rest_to_rest_time(distance, 150, 1000)) + 0.25
    hop = float(rest_to_rest_time(PLAIN.spacing_mm, 150, 1000))
    assert got.time_s_by_kind["travel"] == pytest.approx(100 * (2 * each + 2 * hop))


def test_sums_and_ranges():
    got = estimate_layers(stack_of(BLOCK, PLAIN), PLAIN, CLASSES[0], THREAD)
    assert got.build_time_s == pytest.approx(sum(got.time_s_by_kind.values()))
    assert got.energy_wh == pytest.approx(sum(got.energy_wh_by_kind.values()))
    assert got.cost == pytest.approx(sum(got.cost_by_item.values()))
    assert got.filament_g == pytest.approx(sum(got.filament_g_by_kind.values()))
    for value, (low, high) in (
        (got.filament_g, got.filament_g_range),
        (got.build_time_s, got.build_time_s_range),
        (got.energy_wh, got.energy_wh_range),
        (got.cost, got.cost_range),
    ):
        assert 0 < low < value < high
    assert got.build_time_s_range == pytest.approx((0.8 * got.build_time_s, 1.2 * got.build_time_s))
    # Nothing but ±5 % on a plain block: no support, no gaps.
    assert got.filament_g_range == pytest.approx((0.95 * got.filament_g, 1.05 * got.filament_g))
    assert got.start_s < got.build_time_s
    plain = json.loads(json.dumps(got.to_dict()))
    assert plain["name"] == "part"
    assert plain["cost"] == got.cost


def test_support_widens_the_range():
    leg, top = shapely.box(-5, -5, 5, 5), shapely.box(-20, -20, 20, 20)
    layers = [leg] * 80 + [top] * 20
    got = estimate_layers(stack_of(layers, PLAIN), PLAIN, CLASSES[0], THREAD)
    scaffold = got.filament_g_by_kind["support"]
    assert scaffold > 1
    low, high = got.filament_g_range
    assert low == pytest.approx(0.95 * (got.filament_g - scaffold / 3))
    assert high == pytest.approx(1.05 * (got.filament_g + scaffold / 3))
    assert any("support takes" in w for w in got.warnings)
    bare = PLAIN.but(supports="none")
    without = estimate_layers(stack_of(layers, bare), bare, CLASSES[0], THREAD)
    assert without.filament_g == pytest.approx(got.filament_g - scaffold)
    assert without.build_time_s < got.build_time_s


def test_mean_energy_is_that_of_a_heated_machine():
    """Slow class with 210/55 °C: between the measured 84 W (200/50, low-voltage side) and the
    115 W of another machine at the mains, [source: Nikhil & Tomar 2025; D. Thurau]."""
    long = [shapely.box(0, 0, 100, 100)] * 100
    got = estimate_layers(stack_of(long, PLAIN), PLAIN, CLASSES[0], THREAD)
    watts = got.energy_wh / (got.build_time_s / 3600)
    assert 84 < watts < 125


def wobbling(seed, count):
    rng = np.random.default_rng(seed)
    size = rng.uniform(3, 40)
    layers = []
    for _ in range(count):
        size = max(1.5, size + rng.uniform(-0.4, 0.4))
        box = shapely.box(0, 0, size, rng.uniform(0.5, 1.5) * size)
        layers.append(box - shapely.Point(size / 2, size / 2).buffer(size / 5))
    return layers


@settings(max_examples=20, deadline=None)
@given(seed=st.integers(0, 10**6), low=st.floats(0, 0.9), more=st.floats(0.01, 0.5))
def test_more_infill_never_weighs_or_costs_less(seed, low, more):
    stack = stack_of(wobbling(seed, 12), PLAIN)
    sparse, dense = (
        estimate_layers(stack, PLAIN.but(infill_fraction=f), CLASSES[0], THREAD)
        for f in (low, min(low + more, 1.0))
    )
    assert dense.filament_g >= sparse.filament_g - 1e-9
    # A layer that waits for the one below to cool takes no longer for more infill.
    assert dense.build_time_s >= sparse.build_time_s - 1e-9
    assert dense.cost >= sparse.cost - 1e-9


@settings(max_examples=20, deadline=None)
@given(seed=st.integers(0, 10**6), name=st.sampled_from(["light", "sturdy", "solid"]))
def test_a_faster_class_never_takes_longer(seed, name):
    r = recipe(name)
    stack = stack_of(wobbling(seed, 12), r)
    times = [estimate_layers(stack, r, p, THREAD).build_time_s for p in CLASSES]
    assert times[0] >= times[1] >= times[2]


@settings(max_examples=20, deadline=None)
@given(seed=st.integers(0, 10**6), walls=st.integers(1, 6))
def test_more_walls_never_weigh_less(seed, walls):
    """But for skin strips that fall below a tenth of a millimetre and become infill: 0.1 %."""
    stack = stack_of(wobbling(seed, 12), PLAIN)
    fewer, more = (
        estimate_layers(stack, PLAIN.but(wall_count=n), CLASSES[0], THREAD)
        for n in (walls, walls + 1)
    )
    assert more.filament_g >= fewer.filament_g * 0.999


def test_flow_limit_slows_walls():
    fast = CLASSES[2]
    thick = THREAD.__class__(**{**THREAD.__dict__, "max_flow_mm3_s": 3.0})
    got = estimate_layers(stack_of(BLOCK, PLAIN), PLAIN, fast, thick)
    # 3 mm³/s, hardened nozzle 0.85, factor 2.2, over a bead of 0.081416 mm².
    assert flow_limit(fast, thick) == pytest.approx(3 * 0.85 * 2.2)
    told = next(w for w in got.warnings if "flow limit" in w)
    assert f"walls at {5.61 / 0.081416:.0f} mm/s" in told
    free = estimate_layers(stack_of(BLOCK, PLAIN), PLAIN, fast, THREAD)
    assert got.time_s_by_kind["walls"] > 1.5 * free.time_s_by_kind["walls"]
    # No more than the limit ever flows, whatever the mix of moves.
    assert got.mean_flow_mm3_s < 5.61


def test_hardened_nozzle_costs_flow_only_where_brass_would_do():
    filled = THREAD.__class__(**{**THREAD.__dict__, "needs_hardened_nozzle": True})
    assert flow_limit(CLASSES[2], filled) == pytest.approx(11 * 2.2)


def test_small_parts_wait_to_cool():
    pin = [shapely.Point(0, 0).buffer(2)] * 100
    got = estimate_layers(stack_of(pin, PLAIN), PLAIN, CLASSES[2], THREAD)
    own = {k: v for k, v in got.time_s_by_kind.items() if k not in ("heat-up", "start")}
    assert sum(own.values()) == pytest.approx(100 * (10.0 + CLASSES[2].layer_change_s))
    assert own["cooling"] > 500
    assert any("100 layers are done before" in w for w in got.warnings)


def test_first_layer_is_slow_and_brim_counts():
    r = PLAIN.but(brim_lines=8, line_width_mm=0.45)
    with_brim = estimate_layers(stack_of(BLOCK, r), r, CLASSES[0], THREAD)
    # 1370.48 mm of brim at 20 mm/s; spacing times height is the bead's area.
    assert with_brim.time_s_by_kind["brim"] == pytest.approx(1370.48 / 20, rel=1e-3)
    assert with_brim.filament_mm3_by_kind["brim"] == pytest.approx(1370.48 * 0.0814159, rel=1e-3)


def test_machine_warnings():
    p = CLASSES[0].but(build_volume_mm=(39.0, 200.0, 15.0), nozzle_bore_mm=0.6)
    hot = FilamentData(
        name="hot",
        density_g_cm3=1.2,
        max_flow_mm3_s=8,
        nozzle_degc=280,
        bed_degc=110,
        price_per_kg=40,
        needs_hardened_nozzle=True,
        needs_enclosure=True,
    )
    got = estimate_layers(stack_of(BLOCK, PLAIN), PLAIN, p, hot, Prices(currency="GBP"))
    text = "\n".join(got.warnings)
    for words in (
        "needs 40 x 40 x 20 mm, more than the build volume 39 x 200 x 15",
        "hot wants a nozzle at 280 °C; this printer reaches 250",
        "hot wants a bed at 110 °C",
        "brass nozzle",
        "warps in the open",
        "0.4 mm bore, the printer has 0.6",
        "in EUR, taken one to one as GBP",
    ):
        assert words in text
    assert got.currency == "GBP"


def test_a_turned_plate_fits():
    p = CLASSES[0].but(build_volume_mm=(100.0, 30.0, 50.0))
    tall = [shapely.box(0, 0, 20, 90)] * 10
    got = estimate_layers(stack_of(tall, PLAIN), PLAIN, p, THREAD)
    assert not any("build volume" in w for w in got.warnings)


def test_quiet_on_an_ordinary_part():
    sturdy = recipe("sturdy")
    got = estimate_layers(stack_of(BLOCK, sturdy), sturdy, CLASSES[0], THREAD)
    assert got.warnings == ()
    assert got.success_probability == pytest.approx(
        0.97 * math.exp(-0.0253 * got.build_time_s / 3600)
    )


def test_thin_places_and_tiny_footing_are_told():
    r = recipe("sturdy")
    layers = [shapely.box(0, 0, 2, 1)] * 2 + [shapely.box(0, 0, 60, 3)] * 30
    told = "\n".join(estimate_layers(stack_of(layers, r), r, CLASSES[0], THREAD).warnings)
    assert "thin places" in told
    assert "stands on only 2 mm²" in told


def test_unreachable_bed():
    weak = CLASSES[0].but(bed_power_w=40.0)
    with pytest.raises(OutOfRangeError, match="makes up for the losses"):
        estimate_layers(stack_of(BLOCK, PLAIN), PLAIN, weak, THREAD)


def test_wrong_stack():
    with pytest.raises(InputError, match="cut them again"):
        estimate_layers(stack_of(BLOCK, PLAIN), PLAIN.but(line_width_mm=0.5), CLASSES[0], THREAD)


def test_filament_data_from_the_table():
    from printplan.filament import load_table

    grade = load_table().get("PETG")
    got = filament_data(grade)
    assert got.density_g_cm3 == grade.density_g_cm3
    assert got.max_flow_mm3_s == grade.max_flow_mm3_s
    assert (got.nozzle_degc, got.bed_degc) == (grade.needs.nozzle_degc, grade.needs.bed_degc)
    assert 8 <= got.least_layer_time_s <= 15
    assert got.diameter_mm == 1.75
    assert filament_data(grade, 31.5).price_per_kg == 31.5


def test_impossible_filament():
    with pytest.raises(OutOfRangeError, match="density"):
        FilamentData(
            name="x",
            density_g_cm3=0,
            max_flow_mm3_s=8,
            nozzle_degc=200,
            bed_degc=60,
            price_per_kg=20,
        )
