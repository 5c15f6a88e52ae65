"""What `DIMENSIONS` says of the parts is what the files hold: holes, sockets, walls, volumes."""

import generate
import numpy as np
import pytest
from generating.brackets import BRACKET, CLAMP, HOOK
from generating.drive import HUB, MOTOR_PLATE, PULLEY
from shapely.geometry import LineString, Point, Polygon
from shapely.ops import unary_union

# corners are on a grid of 1e-4 mm, then 32-bit floats
GRID_MM = 2e-4

CIRCLES = [
    (name, key, circle)
    for name, part in generate.DIMENSIONS.items()
    for key, circle in part.bolt_circles.items()
]
SOCKETS = [
    (name, socket) for name, part in generate.DIMENSIONS.items() for socket in part.sockets.values()
]


def figure(solid, z):
    """Section at height z as one shapely figure."""
    rings = [Polygon(ring) for ring in solid.slice(z).to_polygons()]
    rings.sort(key=lambda ring: -ring.area)
    section = Polygon()
    for ring in rings:  # outer rings before the holes they hold: even-odd rule
        section = section.symmetric_difference(ring)
    return section


def cut_along(solid, start, end):
    """Lengths of material on the way from `start` to `end` in one plane of constant z."""
    section = figure(solid, start[2])
    inside = section.intersection(LineString([start[:2], end[:2]]))
    pieces = getattr(inside, "geoms", [inside])
    return [round(piece.length, 4) for piece in pieces if piece.length > 0]


def disc(radius, facets):
    """Area of a regular polygon with corners on the circle (closed form)."""
    return facets / 2 * radius**2 * np.sin(2 * np.pi / facets)


@pytest.mark.parametrize(("name", "key", "circle"), CIRCLES, ids=lambda v: str(v)[:20])
def test_bolt_circle(parts, name, key, circle):
    for z in np.linspace(circle.bottom_mm, circle.top_mm, 5)[1:-1]:
        rings = [np.asarray(r) for r in parts[name].solid.slice(z).to_polygons()]
        middles = [(ring.min(axis=0) + ring.max(axis=0)) / 2 for ring in rings]
        found = {}
        for ring, middle in zip(rings, middles, strict=True):
            reach = np.hypot(*(ring - middle).T)
            # a section has points on the facets too, up to their sagitta inside the circle
            least = circle.hole_diameter_mm / 2 * np.cos(np.pi / 96) - GRID_MM
            if least < reach.min() and abs(reach.max() - circle.hole_diameter_mm / 2) < GRID_MM:
                pitch = np.hypot(*(middle - circle.centre_mm))
                if abs(pitch - circle.pitch_diameter_mm / 2) < GRID_MM:
                    turn = np.degrees(np.arctan2(middle[1], middle[0]))
                    found[round((turn - circle.first_deg) % 360.0, 3) % 360.0] = ring
        expected = [round(360.0 / circle.count * k, 3) for k in range(circle.count)]
        assert sorted(found) == pytest.approx(expected, abs=2e-3), key


def test_bolt_circles_that_meet_are_the_same():
    web = generate.DIMENSIONS["belt_pulley"].bolt_circles["web"]
    disc_of_half = generate.DIMENSIONS["housing_right"].bolt_circles["pulley disc"]
    assert (web.count, web.pitch_diameter_mm, web.hole_diameter_mm, web.first_deg) == (
        disc_of_half.count,
        disc_of_half.pitch_diameter_mm,
        disc_of_half.hole_diameter_mm,
        disc_of_half.first_deg,
    )
    left = generate.DIMENSIONS["housing_left"].bolt_circles["flange"]
    assert left == generate.DIMENSIONS["housing_right"].bolt_circles["flange"]


@pytest.mark.parametrize(("name", "socket"), SOCKETS, ids=lambda v: str(v)[:20])
def test_hexagon_socket(parts, name, socket):
    bar = 27.0
    assert socket.length_mm == 42.0
    for z in np.linspace(socket.bottom_mm, socket.top_mm, 7)[1:-1]:
        rings = [Polygon(ring) for ring in parts[name].solid.slice(z).to_polygons()]
        (hole,) = [r for r in rings if r.contains(Point(0, 0)) and r.area < 1000.0]
        to_flat = hole.exterior.distance(Point(0, 0))
        assert 2 * to_flat == pytest.approx(socket.across_flats_mm, abs=GRID_MM)
        # the bar goes in with play and its corners stay clear of the relieved ones
        turn = np.radians(30 + 60 * np.arange(6))
        corners = bar / np.sqrt(3) * np.column_stack([np.cos(turn), np.sin(turn)])
        assert hole.contains(Polygon(corners))
        # half the play on each flat, and no more than that anywhere
        assert Polygon(corners).distance(hole.exterior) == pytest.approx(0.15, abs=GRID_MM)


def test_journal_takes_bearing_6009(parts):
    """Bore 45, outside 75, width 16 [memory: ISO 15]."""
    for side in ("left", "right"):
        solid = parts[f"housing_{side}"].solid
        sizes = generate.DIMENSIONS[f"housing_{side}"].dimensions_mm
        collar = solid.bounding_box()[5] - sizes["journal length"]
        for z in (collar + 0.1, collar + 8.0, collar + 16.0):
            across = cut_along(solid, (-60.0, 0.0, z), (60.0, 0.0, z))
            # facets of 144 put the x axis on a corner, the bore's likewise
            assert across == pytest.approx([6.5, 6.5], abs=GRID_MM)
            assert figure(solid, z).bounds[2] == pytest.approx(22.5, abs=GRID_MM)
        # the shoulder touches the inner ring only: well inside the outer ring
        assert 22.5 < figure(solid, collar - 0.1).bounds[2] < 37.5 - 5.0


def test_housing_walls(parts):
    for side in ("left", "right"):
        solid = parts[f"housing_{side}"].solid
        # shell at 30 degrees between pins and bolts: from the cavity's ball to the outer one
        for z in (20.0, 30.0, 45.0):
            (ring,) = cut_along(solid, (0.0, 0.0, z), (200.0 * np.cos(0.5), 200.0 * np.sin(0.5), z))
            least = np.sqrt(84.0**2 - z**2) - np.sqrt(76.0**2 - z**2)
            assert ring > 8.0
            assert ring == pytest.approx(least, abs=0.05)  # 0.05: sagitta of the facets
        # the end wall stands between the thrust face and the first shoulder outside
        upright = solid.rotate((90.0, 0.0, 0.0))  # the axle's direction now runs along -y
        (wall,) = cut_along(upright, (44.0, 0.0, 0.1), (44.0, -68.0, 0.1))
        # pulley's neck and disc stand on the right one
        assert wall == pytest.approx(9.0 if side == "left" else 68.0 - 56.0, abs=0.01)


def test_housing_pin_bores(parts):
    for side in ("left", "right"):
        solid = parts[f"housing_{side}"].solid
        # just above the split plane a bore leaves a gap of nearly its whole diameter
        for axis in ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)):
            ahead, aside = np.array(axis), np.array([-axis[1], axis[0]])
            start, end = 86.0 * ahead - 20.0 * aside, 86.0 * ahead + 20.0 * aside
            pieces = cut_along(solid, (*start, 0.05), (*end, 0.05))
            assert len(pieces) == 2
            gap = 40.0 - sum(pieces)
            assert gap == pytest.approx(2 * np.sqrt(7.1**2 - 0.05**2), abs=0.01)


def test_flange_of_the_hook_is_the_one_thin_wall(parts):
    solid = parts["crate_hook"].solid
    for y in (2.0, 8.0, 30.0, 39.0, 54.0, 69.0):
        assert cut_along(solid, (-5.0, y, 5.0), (15.0, y, 5.0)) == pytest.approx([1.2], abs=GRID_MM)
    # arm from below, lip from the side
    assert cut_along(solid, (11.0, 0.0, 5.0), (11.0, 60.0, 5.0)) == pytest.approx(
        [10.0], abs=GRID_MM
    )
    assert cut_along(solid, (15.0, 28.0, 5.0), (60.0, 28.0, 5.0)) == pytest.approx(
        [8.0], abs=GRID_MM
    )
    # all but the flange survives an opening by 2.45: nothing else is thinner than 4.9
    section = figure(solid, 1.0)
    opened = section.buffer(-2.45).buffer(2.45, quad_segs=64)
    lost = section.difference(opened.buffer(0.01))
    # lost are the flange, where the round of the throat grows out of it, and sharp corners
    beyond = Polygon([(1.2 + 4.0, -1), (40, -1), (40, 71), (1.2 + 4.0, 71)])
    assert lost.area > 60.0
    assert lost.intersection(beyond).area < 1e-6


@pytest.mark.parametrize(
    ("name", "heights_mm"),
    [("battery_tray_bracket", (3.0, 10.0, 33.0, 55.0)), ("steering_column_clamp", (3.0, 14.5))],
)
def test_no_wall_of_the_brackets_is_under_eleven(parts, name, heights_mm):
    """Away from the holes an opening by 5.5 takes no more than a sharp corner's tip."""
    corner_tip = (1 - np.pi / 4) * 5.5**2
    for z in heights_mm:
        section = figure(parts[name].solid, z)
        opened = section.buffer(-5.5, quad_segs=64).buffer(5.5, quad_segs=64)
        lost = section.difference(opened.buffer(0.01))
        assert all(piece.area < corner_tip for piece in getattr(lost, "geoms", [lost]))


def test_battery_bracket_holes_and_points(parts):
    solid = parts["battery_tray_bracket"].solid
    points = generate.DIMENSIONS["battery_tray_bracket"].points_mm
    for key in ("wall hole 1", "wall hole 2"):
        _, y, z = points[key]
        above = cut_along(solid, (6.0, y, z), (6.0, 200.0, z))
        assert 80.0 - y - sum(above) == pytest.approx(3.3, abs=0.01)
    for key in ("tray hole 1", "tray hole 2"):
        x, _, z = points[key]
        beyond = cut_along(solid, (x, 6.0, z), (200.0, 6.0, z))
        assert 70.0 - x - sum(beyond) == pytest.approx(3.3, abs=0.01)


def test_battery_bracket_volume(parts):
    d = BRACKET
    t, f = d.wall_mm, d.inner_fillet_mm
    n = 2 * 24  # facets of a full circle's half at a leg's end
    legs = (d.wall_leg_mm - t / 2) * t + (d.tray_leg_mm - t / 2 - t) * t
    ends = 2 * disc(t / 2, n) / 2
    # fillet: square less a quarter of a regular 96-gon
    fillet = f**2 - disc(f, 4 * 24) / 4
    end = d.gusset_end_mm
    gusset = Polygon([(t, t), (end, t), (t, end)]).area - fillet
    holes = 4 * disc(d.hole_radius_mm, 192) * t
    volume = (legs + ends + fillet) * d.width_mm + gusset * d.gusset_mm - holes
    assert parts["battery_tray_bracket"].solid.volume() == pytest.approx(volume, rel=1e-5)


def test_crate_hook_volume(parts):
    """Flange, arm and lip by rectangles, circles' parts and nothing of the script."""
    d = HOOK
    flange = d.flange_mm * d.flange_height_mm
    arm = (d.throat_mm + d.lip_mm) * d.arm_mm
    lip = d.lip_mm * (d.lip_height_mm - d.arm_mm - d.lip_mm / 2) + disc(d.lip_mm / 2, 96) / 2
    outside = 8.0**2 - disc(8.0, 128) / 4
    throat = 2 * (d.throat_round_mm**2 - disc(d.throat_round_mm, 128) / 4)
    area = flange + arm + lip - outside + throat
    holes = 2 * disc(d.hole_radius_mm, 192) * d.flange_mm
    volume = area * d.width_mm - holes
    assert parts["crate_hook"].solid.volume() == pytest.approx(volume, rel=1e-5)


def test_wheel_hub_adapter_volume(parts):
    d = HUB
    n, f = 144, d.fillet_mm
    flange = disc(d.flange_radius_mm, n) * d.flange_mm
    hub = disc(d.hub_radius_mm, n) * (d.length_mm - d.flange_mm)
    # Pappus with the facets' share: area times the circumference its centroid makes
    share = disc(1.0, n) / np.pi
    turn = np.radians(np.linspace(270.0, 180.0, 13))
    r0, z0 = d.hub_radius_mm + f, d.flange_mm + f
    bow = np.column_stack([r0 + f * np.cos(turn), z0 + f * np.sin(turn)])
    fillet = Polygon([(d.hub_radius_mm, d.flange_mm), *bow])
    edge = Polygon([(32.0, 41.0), (32.0, 42.0), (31.0, 42.0)])
    rings = [2 * np.pi * s.centroid.x * s.area * share for s in (fillet, edge)]
    corner = d.across_flats_mm / np.sqrt(3)
    angle = np.radians(30 + 60 * np.arange(6))
    away = np.column_stack([np.cos(angle), np.sin(angle)])
    reliefs = [
        Polygon(
            [
                (x + np.cos(a) * d.corner_relief_mm, y + np.sin(a) * d.corner_relief_mm)
                for a in 2 * np.pi * np.arange(32) / 32
            ]
        )
        for x, y in away * (corner - d.corner_relief_mm / 2)
    ]
    socket = unary_union([Polygon(corner * away), *reliefs]).area * d.length_mm
    holes = d.bolt_count * disc(d.bolt_hole_radius_mm, 96) * d.flange_mm
    volume = flange + hub + rings[0] - rings[1] - socket - holes
    assert parts["wheel_hub_adapter"].solid.volume() == pytest.approx(volume, rel=1e-5)


def test_wheel_hub_fillet_has_its_radius(parts):
    """Points of the fillet lie on a circle of 8 mm about (40, 22) in every meridian."""
    v = parts["wheel_hub_adapter"].corners_mm.reshape(-1, 3)
    r, z = np.hypot(v[:, 0], v[:, 1]), v[:, 2]
    on_fillet = (z > 14.01) & (z < 21.99) & (r > 32.01)
    assert on_fillet.sum() > 1000
    assert np.hypot(r[on_fillet] - 40.0, z[on_fillet] - 22.0) == pytest.approx(8.0, abs=GRID_MM)


def test_pulley_teeth(parts):
    p = PULLEY
    # 60 teeth of 8 mm pitch
    assert p.pitch_diameter_mm == pytest.approx(152.79, abs=0.005)
    rim = max(parts["belt_pulley"].solid.slice(20.0).to_polygons(), key=lambda r: np.ptp(r[:, 0]))
    reach = np.hypot(*np.asarray(rim).T)
    assert reach.max() == pytest.approx(p.pitch_diameter_mm / 2 - 0.7, abs=GRID_MM)
    assert reach.min() == pytest.approx(reach.max() - p.tooth_depth_mm, abs=0.01)
    # a circle at half depth is crossed twice a tooth
    turn = np.radians(np.linspace(0, 360, 6000, endpoint=False) + 0.01)
    middle = reach.max() - p.tooth_depth_mm / 2
    inside = figure(parts["belt_pulley"].solid, 20.0)
    seen = np.array([inside.contains(Point(middle * np.cos(a), middle * np.sin(a))) for a in turn])
    assert np.count_nonzero(seen != np.roll(seen, 1)) == 2 * 60
    # the belt's teeth pass between: gap and tooth at half depth make one pitch
    assert seen.mean() * 2 * np.pi * middle / 60 == pytest.approx(
        2 * np.pi * middle / 60 - (p.gap_at_root_mm + p.gap_at_tip_mm) / 2, abs=0.08
    )


def test_pulley_seat_clears_the_housing_boss(parts):
    hole = parts["belt_pulley"].solid.slice(4.0).to_polygons()
    least = min(np.hypot(*np.asarray(r).T).max() for r in hole if Polygon(r).contains(Point(0, 0)))
    assert least == pytest.approx(40.2, abs=GRID_MM)
    boss = figure(parts["housing_right"].solid, 90.0).bounds[2]
    assert least - boss == pytest.approx(0.2, abs=GRID_MM)


def test_motor_plate_slots_and_bore(parts):
    d = MOTOR_PLATE
    plate = parts["motor_mount_plate"].solid
    points = generate.DIMENSIONS["motor_mount_plate"].points_mm
    section = figure(plate, 5.0)
    for k in range(1, 5):
        x, y, _ = points[f"slot {k}"]
        gap = section.exterior.distance(Point(x, y))
        assert gap > d.slot_width_mm / 2 + 6.0, "slot too near the edge"
        slots = [Polygon(r) for r in section.interiors if Polygon(r).contains(Point(x, y))]
        (slot,) = slots
        left, low, right, high = slot.bounds
        assert right - left == pytest.approx(d.slot_width_mm + d.slot_travel_mm, abs=GRID_MM)
        assert high - low == pytest.approx(d.slot_width_mm, abs=GRID_MM)
    pilot = [Polygon(r) for r in section.interiors if Polygon(r).contains(Point(0, 0))]
    assert pilot[0].bounds[2] == pytest.approx(d.pilot_radius_mm, abs=GRID_MM)
    assert plate.bounding_box()[:2] == pytest.approx((-62.0, -78.0), abs=GRID_MM)
    # ribs stand above the plate
    assert plate.bounding_box()[5] == pytest.approx(36.0, abs=GRID_MM)
    assert cut_along(plate, (0.0, 0.0, 28.0), (0.0, 90.0, 28.0)) == pytest.approx(
        [8.0], abs=GRID_MM
    )


def test_the_belt_runs_clear_of_the_motor_plate():
    """Strands of 30 mm width from 20 to 60 teeth, wrap 150 degrees on the motor's pulley.

    Belt back 2.5 above the pitch line, heads of M6 (10) and washers of M8 (16) [memory: ISO 4762,
    ISO 7089]; the motor's pulley with side discs of 56 is assumed.
    """
    d = MOTOR_PLATE
    low = generate.DIMENSIONS["motor_mount_plate"].points_mm["belt pull on the motor shaft"][2] - 15
    assert low >= d.thickness_mm + 2.0  # room for a side disc of the motor's pulley
    lean = np.radians((180.0 - 150.0) / 2)
    small = 20 * PULLEY.pitch_mm / 2 / np.pi
    start = small * np.array([-np.sin(lean), np.cos(lean)])
    strands = [
        LineString([start * flip, (start + 300.0 * np.array([np.cos(lean), np.sin(lean)])) * flip])
        for flip in (np.array([1.0, 1.0]), np.array([1.0, -1.0]))
    ]
    belt = unary_union([strand.buffer(2.5) for strand in strands])
    belt = belt.union(Point(0.0, 0.0).buffer(28.0))
    (motor,) = generate.DIMENSIONS["motor_mount_plate"].bolt_circles.values()
    for k in range(motor.count):
        turn = np.radians(motor.first_deg + 360 / motor.count * k)
        middle = motor.pitch_diameter_mm / 2 * np.array([np.cos(turn), np.sin(turn)])
        assert belt.distance(Point(*middle)) > 5.0 + 0.5
    for y in (-d.slot_y_mm, d.slot_y_mm):
        reach = d.slot_x_mm + d.slot_travel_mm / 2
        washer = LineString([(-reach, y), (reach, y)]).buffer(8.0)
        assert belt.distance(washer) > 1.0
        rib = np.sign(y) * (d.rib_y_mm - d.rib_mm / 2)
        assert belt.distance(LineString([(-d.length_mm / 2, rib), (d.length_mm / 2, rib)])) > 5.0
        assert abs(rib) - d.rib_fillet_mm - abs(y) >= 7.0


def test_clamp_tube_bore_slit_and_holes(parts):
    d = CLAMP
    solid = parts["steering_column_clamp"].solid
    middle = d.width_mm / 2
    across = cut_along(solid, (0.0, -60.0, middle), (0.0, 60.0, middle))
    # facets of 144 put the y axis on a corner
    assert across == pytest.approx([12.0, 12.0], abs=GRID_MM)
    ears = cut_along(solid, (42.0, -60.0, middle), (42.0, 60.0, middle))
    assert len(ears) == 2
    assert cut_along(solid, (35.0, -60.0, 20.0), (35.0, 60.0, 20.0)) == pytest.approx(
        [12.0, 12.0], abs=GRID_MM
    )
    points = generate.DIMENSIONS["steering_column_clamp"].points_mm
    for key in ("ear bolt 1", "ear bolt 2"):
        x, _, z = points[key]
        assert cut_along(solid, (x, -60.0, z), (x, 60.0, z)) == []
        beside = cut_along(solid, (0.0, 6.0, z), (60.0, 6.0, z))
        assert 45.0 - x - beside[-1] == pytest.approx(3.3, abs=0.01)
    for key in ("foot hole 1", "foot hole 2"):
        x, y, z = points[key]
        assert cut_along(solid, (x - 1.0, y, z), (x + 20.0, y, z)) == []
        outer = cut_along(solid, (-25.0, y, z), (-25.0, np.sign(y) * 90.0, z))
        assert 47.0 - abs(y) - sum(outer) == pytest.approx(4.2, abs=0.01)


def test_pinion_bore_is_centred_on_the_teeth(parts):
    points = generate.DIMENSIONS["planet_pinion"].points_mm
    tooth, bore = points["tooth, mid-face on the pitch cone"], points["bore, middle"]
    assert bore[2] == pytest.approx(tooth[2], abs=0.1)
    solid = parts["planet_pinion"].solid
    # the neck's wall round the bore, its whole length; then the bore's, from end to end
    height = solid.bounding_box()[5]
    for z in (height - 0.1, height - 10.0):
        assert cut_along(solid, (0.0, 0.0, z), (40.0, 0.0, z))[0] > 6.0
    sizes = generate.DIMENSIONS["planet_pinion"].dimensions_mm
    assert height == pytest.approx(sizes["bore length"], abs=GRID_MM)


def test_every_part_fits_the_shed_printer(parts):
    """Bed 220 x 220 with edges of 4, height 240; no housing half is wider than 208."""
    for name, part in parts.items():
        low, high = np.reshape(part.solid.bounding_box(), (2, 3))
        assert (high - low <= (212.0, 212.0, 240.0)).all(), name
    for side in ("left", "right"):
        v = parts[f"housing_{side}"].corners_mm
        assert 2 * np.hypot(v[..., 0], v[..., 1]).max() <= 208.0


def test_mid_face_points_lie_in_the_middle_of_a_tooth(parts):
    """The load point of a gear is on its pitch cone, inside a tooth that is even about it."""
    for name in ("side_gear", "planet_pinion"):
        x, _, z = generate.DIMENSIONS[name].points_mm["tooth, mid-face on the pitch cone"]
        section = figure(parts[name].solid, z)
        assert section.contains(Point(x, 0.0))
        both = section.intersection(LineString([(x, -8.0), (x, 8.0)]))
        pieces = getattr(both, "geoms", [both])
        (tooth,) = [piece for piece in pieces if piece.intersects(Point(x, 0.0).buffer(0.01))]
        low, high = tooth.bounds[1], tooth.bounds[3]
        assert low == pytest.approx(-high, abs=2e-3)
        # thickness on the pitch circle shrinks with the cone distance, here by a sixth
        teeth = generate.PAIR.gear if name == "side_gear" else generate.PAIR.pinion
        mean = teeth.thickness_mm * (1 - 11.0 / teeth.cone_distance_mm)
        assert high - low == pytest.approx(mean, rel=0.05)
