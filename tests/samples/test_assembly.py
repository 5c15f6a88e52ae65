"""The differential put together on paper: nothing collides, the gears have their clearance."""

import itertools

import generate
import pytest
from generating.shapes import circle, outline_solid
from manifold3d import Manifold

WASHER_MM = 1.0


@pytest.fixture(scope="module")
def assembly(parts, gear, pinion):
    """Axle along z, the split plane at z = 0, the right half above.

    The pinions sit on +-x and +-y. A quarter turn is 5 whole teeth of the side gear, so all
    pinions stand alike.
    """
    assert generate.PAIR.teeth_gear % 4 == 0
    placed = {}
    # `gear` has a gap towards +x, `pinion` lies on +x with a tooth towards the gear above
    placed["gear above"] = gear
    placed["gear below"] = gear.rotate((180, 0, 0))
    for k in range(4):
        placed[f"pinion {k}"] = pinion.rotate((0, 90, 0)).rotate((0, 0, 90 * k))
    placed["housing right"] = parts["housing_right"].solid
    placed["housing left"] = parts["housing_left"].solid.rotate((180, 0, 0))
    top = generate.HOUSING.pulley_disc_top_mm
    placed["pulley"] = parts["belt_pulley"].solid.translate((0, 0, top))
    bar = outline_solid(circle(7.0), -95.5, 95.5)
    placed["pins"] = bar.rotate((0, 90, 0)) + bar.rotate((90, 0, 0))
    return placed


def test_nothing_collides(assembly):
    hits = {
        (a, b): (assembly[a] ^ assembly[b]).volume() for a, b in itertools.combinations(assembly, 2)
    }
    # halves meet in the split plane, the pulley sits on the disc: faces touch, volumes don't
    assert {pair: round(v, 3) for pair, v in hits.items() if v > 0.01} == {}


def test_control_a_gear_moved_by_two_millimetres_collides(assembly):
    moved = assembly["gear above"].translate((0, 0, -2.0))
    assert (moved ^ assembly["pinion 0"]).volume() > 10.0
    lifted = assembly["gear above"].translate((0, 0, 2.0))
    assert (lifted ^ assembly["housing right"]).volume() > 10.0


def test_pinions_have_one_millimetre_behind_their_backs(assembly):
    for k in range(4):
        for half in ("housing right", "housing left"):
            gap = assembly[f"pinion {k}"].min_gap(assembly[half], 5.0)
            assert gap == pytest.approx(WASHER_MM, abs=0.03)  # 0.03: sagitta of the facets


def test_side_gears_have_one_millimetre_at_the_thrust_face(assembly):
    """Pushed outwards by a little less than a millimetre they are free, by a little more not."""
    for name, half, sense in (
        ("gear above", "housing right", 1),
        ("gear below", "housing left", -1),
    ):
        free = assembly[name].translate((0, 0, sense * (WASHER_MM - 0.02)))
        touching = assembly[name].translate((0, 0, sense * (WASHER_MM + 0.02)))
        assert (free ^ assembly[half]).is_empty()
        assert not (touching ^ assembly[half]).is_empty()


def test_side_gears_clear_the_cavity_by_one_millimetre(assembly):
    """Everywhere but at the hub, which runs in its bore with 0.3."""
    h = generate.HOUSING
    for name, half, sense in (
        ("gear above", "housing right", 1),
        ("gear below", "housing left", -1),
    ):
        teeth = assembly[name].trim_by_plane((0, 0, -sense), -(h.thrust_mm - WASHER_MM))
        gap = teeth.min_gap(assembly[half], 5.0)
        assert gap == pytest.approx(WASHER_MM, abs=0.03)  # 0.03: sagitta of the facets
        whole = assembly[name].min_gap(assembly[half], 5.0)
        assert whole == pytest.approx(0.3, abs=0.03)


def test_screws_of_the_pulley_have_their_room(assembly, parts):
    """Heads (washer 10, ISO 7089) on the web, washer 1 and nut 5 high under the disc.

    [memory: ISO 4762, 7089, 7040]: M5 head 8.5 across and 5 high, self-locking nut 8 across
    flats and 5 high.
    """
    web = generate.DIMENSIONS["belt_pulley"].bolt_circles["web"]
    disc = generate.DIMENSIONS["housing_right"].bolt_circles["pulley disc"]
    for k in range(web.count):
        turn = (0, 0, web.first_deg + 360 / web.count * k)
        head = Manifold.cylinder(6.0, 5.0).translate((web.pitch_diameter_mm / 2, 0, web.top_mm))
        nut = Manifold.cylinder(6.0, 5.0).translate(
            (disc.pitch_diameter_mm / 2, 0, disc.bottom_mm - 6.0)
        )
        assert (head.rotate(turn) ^ parts["belt_pulley"].solid).volume() < 1e-6
        assert (nut.rotate(turn) ^ assembly["housing right"]).volume() < 1e-6


def test_the_half_axle_passes_through_gear_housing_and_hub(parts, assembly):
    """A 27 mm hexagon bar goes in at the journal and ends short of the pins."""
    bar = Manifold.cylinder(140.0, 27.0 / 3**0.5, -1.0, 6).rotate((0, 0, 30))
    # the socket in the gear is turned with the gear's gap towards +x: by half a pitch
    turned = bar.rotate((0, 0, 180 / generate.PAIR.teeth_gear)).translate((0, 0, 30.0))
    for name in ("gear above", "housing right", "pulley", "pins"):
        assert (turned ^ assembly[name]).is_empty(), name
    assert (bar.translate((0, 0, -40.0)) ^ parts["wheel_hub_adapter"].solid).is_empty()
    # control: turned by half a flat it does not fit
    askew = bar.rotate((0, 0, 20.0)).translate((0, 0, -40.0))
    assert not (askew ^ parts["wheel_hub_adapter"].solid).is_empty()
