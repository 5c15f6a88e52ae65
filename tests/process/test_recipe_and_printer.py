import math

import pytest

from printplan.errors import InputError, OutOfRangeError, UnknownNameError
from printplan.process import RECIPES, Recipe, load_printer_classes, printer, recipe

SLOW = "slow bed-moving machine"


def test_sturdy_is_what_it_says():
    sturdy = recipe("sturdy")
    assert (sturdy.wall_count, sturdy.top_skins, sturdy.bottom_skins) == (5, 5, 5)
    assert sturdy.infill_fraction == 0.4


@pytest.mark.parametrize("name", RECIPES)
def test_starting_recipes_are_ordinary(name):
    assert recipe(name).checks() == ()
    assert recipe(name).to_dict()["name"] == name


def test_changes_are_marked():
    assert recipe("sturdy", wall_count=5, infill_fraction=None) is RECIPES["sturdy"]
    changed = recipe("sturdy", wall_count=7)
    assert (changed.name, changed.wall_count, changed.top_skins) == ("sturdy, changed", 7, 5)
    assert recipe("sturdy", wall_count=7, name="mine").name == "mine"


@pytest.mark.parametrize(
    "wrong",
    [
        {"layer_height_mm": 0.0},
        {"layer_height_mm": 0.5},
        {"layer_height_mm": math.nan},
        {"line_width_mm": 0.15},
        {"line_width_mm": 2.0},
        {"wall_count": 0},
        {"top_skins": -1},
        {"infill_fraction": 1.2},
        {"overhang_limit_deg": 90.0},
        {"nozzle_bore_mm": 0.0},
        {"brim_lines": -1},
    ],
)
def test_impossible_values(wrong):
    with pytest.raises(OutOfRangeError):
        Recipe(**wrong)


def test_unknown_words():
    with pytest.raises(InputError, match="did you mean 'gyroid'"):
        Recipe(infill_pattern="gyriod")
    with pytest.raises(InputError, match="supports"):
        Recipe(supports="everywhere")
    with pytest.raises(UnknownNameError, match="did you mean 'sturdy'"):
        recipe("stury")
    with pytest.raises(UnknownNameError, match="did you mean 'wall_count'"):
        recipe("sturdy", walls_count=3)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"layer_height_mm": 0.34}, "layer height 0.34 mm is 0.85 of the 0.4 mm bore"),
        ({"layer_height_mm": 0.05}, "layer height"),
        ({"line_width_mm": 0.34}, "line width 0.34 mm is 0.85"),
        ({"line_width_mm": 0.8}, "line width"),
        ({"overhang_limit_deg": 75.0}, "overhang limit"),
    ],
)
def test_unusual_values_are_told(changes, words):
    found = recipe("sturdy", **changes).checks()
    assert len(found) == 1
    assert words in found[0]


def test_full_wall():
    """Both sides: bead edge to the inner edge of the last equal-area rectangle."""
    r = Recipe(wall_count=3, line_width_mm=0.45, layer_height_mm=0.2)
    assert r.full_wall_mm == pytest.approx(2 * (0.225 + 2.5 * 0.407080), abs=1e-5)


def test_classes():
    classes = load_printer_classes()
    assert list(classes) == [
        "slow bed-moving machine",
        "compensated bed-moving machine",
        "fast enclosed machine",
    ]
    for each in classes.values():
        groups = {"space", "motion", "stops", "flow", "heating", "cost", "failure"}
        assert set(each.origins) == groups
        assert all(
            any(word in text for word in ("common practice", "source", "derived"))
            for text in each.origins.values()
        )


@pytest.mark.parametrize(
    ("name", "speeds", "acceleration", "deviation"),
    [
        ("slow bed-moving machine", (30, 50, 50, 80, 120, 180, 15, 25), (500, 1500), (0.02, 0.08)),
        (
            "compensated bed-moving machine",
            (60, 150, 100, 200, 200, 300, 30, 50),
            (2000, 5000),
            (0.02, 0.05),
        ),
        (
            "fast enclosed machine",
            (120, 200, 200, 300, 300, 500, 50, 50),
            (5000, 20000),
            (0.01, 0.03),
        ),
    ],
)
def test_classes_lie_in_the_trades_ranges(name, speeds, acceleration, deviation):
    """Ranges of generic classes [common practice, no source]."""
    p = printer(name)
    low, high = speeds[0::2], speeds[1::2]
    got = (p.wall_speed_mm_s, p.infill_speed_mm_s, p.travel_speed_mm_s, p.first_layer_speed_mm_s)
    assert all(a <= x <= b for a, x, b in zip(low, got, high, strict=True))
    assert acceleration[0] <= p.acceleration_mm_s2 <= acceleration[1]
    assert deviation[0] <= p.deviation_mm <= deviation[1]
    assert 0.3 <= p.layer_change_s <= 1.0
    assert 0.005 <= p.failure_rate_per_h <= 0.03
    assert 0.01 <= p.start_failure <= 0.05


def test_overrides():
    mine = printer(SLOW, name="shed", build_volume_mm=[300, 300, 340], enclosed=None)
    assert (mine.name, mine.build_volume_mm, mine.enclosed) == ("shed", (300, 300, 340), False)
    assert mine.origins == printer(SLOW).origins
    with pytest.raises(UnknownNameError, match="did you mean 'slow bed-moving machine'"):
        printer("slow bed moving machine")
    with pytest.raises(UnknownNameError, match="printer field"):
        printer(SLOW, wall_sped_mm_s=30)


@pytest.mark.parametrize(
    "wrong",
    [
        {"wall_speed_mm_s": 0.0},
        {"acceleration_mm_s2": -1.0},
        {"flow_factor": math.inf},
        {"build_volume_mm": (100.0, 0.0, 100.0)},
        {"build_volume_mm": (100.0, 100.0)},
        {"start_failure": 1.0},
        {"supply_efficiency": 1.1},
    ],
)
def test_impossible_printers(wrong):
    with pytest.raises(OutOfRangeError):
        printer(SLOW, **wrong)
