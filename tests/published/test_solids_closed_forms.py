"""Volume, surface, centroid and inertia of solids with closed forms.

[memory: standard handbook formulas, e.g. Bronstein; Roark's Formulas for Stress and Strain], as
gathered in strength-and-geometry, part A1, solids S1 to S12; the printed numbers are those of its
table. The meshes are faceted. Where a closed form of the faceting error is known (part A3, derived
from the inscribed regular polygon) the printed number times that ratio is the target and the
tolerance is the table's last digit; elsewhere the error must fall with the square of the number of
facets, as A3's leading terms say.
"""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from printplan.part import Bulk, RawMesh, bulk_properties, make_solid

Floats = NDArray[np.float64]


def bulk_of(points: Floats, faces: NDArray[np.int32]) -> Bulk:
    raw = RawMesh(
        path=Path("solid"),
        name="solid",
        format_name="OBJ",
        points=points,
        faces=faces,
        unit_mm=1.0,
    )
    solid, health = make_solid(raw)
    assert health.closed
    assert health.outward
    assert not health.mended
    return bulk_properties(solid)


def revolved(profile: list[tuple[float, float]], facets: int, closed: bool = False) -> Bulk:
    """Turn a profile of (radius, height) about z; points on the axis become one vertex."""
    angle = 2 * np.pi * np.arange(facets) / facets
    points: list[Floats] = []
    rings: list[NDArray[np.int64]] = []
    count = 0
    for radius, height in profile:
        if radius == 0.0:
            points.append(np.array([[0.0, 0.0, height]]))
            rings.append(np.full(facets, count))
            count += 1
        else:
            points.append(
                np.stack([radius * np.cos(angle), radius * np.sin(angle), 0 * angle + height], 1)
            )
            rings.append(count + np.arange(facets))
            count += facets
    if closed:
        rings.append(rings[0])
    faces = []
    for low, high in itertools.pairwise(rings):
        a, b, c, d = low, np.roll(low, -1), np.roll(high, -1), high
        if low[0] != low[1]:
            faces.append(np.stack([a, b, c if high[0] != high[1] else d], 1))
        if high[0] != high[1]:
            faces.append(np.stack([a, c, d], 1))
    return bulk_of(np.concatenate(points), np.concatenate(faces).astype(np.int32))


def polygon_ratios(facets: int) -> tuple[float, float, float]:
    """Ratios to the circle: area, second moment, perimeter (A3)."""
    t = 2 * math.pi / facets
    return (
        math.sin(t) / t,
        math.sin(t) * (2 + math.cos(t)) / (3 * t),
        math.sin(t / 2) / (t / 2),
    )


def box(a: float, b: float, c: float) -> tuple[Floats, NDArray[np.int32]]:
    points = np.array([[x, y, z] for x in (0, a) for y in (0, b) for z in (0, c)], dtype=float)
    faces = [
        (0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1),
        (2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4), (1, 5, 7), (1, 7, 3),
    ]  # fmt: skip
    return points, np.array(faces, dtype=np.int32)


def test_s1_box() -> None:
    found = bulk_of(*box(20, 30, 50))
    assert found.volume_mm3 == pytest.approx(30000, rel=1e-12)
    assert found.surface_area_mm2 == pytest.approx(6200, rel=1e-12)
    assert found.centroid_mm == pytest.approx([10, 15, 25], rel=1e-12)
    assert np.diag(found.inertia_mm5) == pytest.approx([8_500_000, 7_250_000, 3_250_000], rel=1e-12)
    assert found.principal_mm5 == pytest.approx([3_250_000, 7_250_000, 8_500_000], rel=1e-12)
    assert np.abs(found.principal_axes) == pytest.approx(np.eye(3)[::-1], abs=1e-9)


@pytest.mark.parametrize("facets", [6, 24, 96, 360])
def test_s2_cylinder_with_its_faceting_error(facets: int) -> None:
    found = revolved([(0, 0), (10, 0), (10, 40), (0, 40)], facets)
    area, second, perimeter = polygon_ratios(facets)
    assert found.volume_mm3 == pytest.approx(12566.370614 * area, abs=1e-6)
    # the lateral surface shrinks with the perimeter, the ends with the area
    assert found.surface_area_mm2 == pytest.approx(
        2 * math.pi * 10 * 40 * perimeter + 2 * math.pi * 100 * area, rel=1e-12
    )
    assert found.centroid_mm == pytest.approx([0, 0, 20], abs=1e-9)
    assert found.inertia_mm5[2, 2] == pytest.approx(628_318.531 * second, abs=1e-3)
    # about x: half of Iz of the section, and the height's share m h²/12
    across = 628_318.531 / 2 * second + 12566.370614 * area * 40**2 / 12
    assert found.inertia_mm5[0, 0] == pytest.approx(across, abs=1e-2)


def test_s2_cylinder_closed_form_at_fine_facets() -> None:
    found = revolved([(0, 0), (10, 0), (10, 40), (0, 40)], 20_000)
    assert found.volume_mm3 == pytest.approx(12566.370614, rel=2 * 6.58 / 20_000**2)
    assert found.surface_area_mm2 == pytest.approx(3141.592654, rel=2 * 6.58 / 20_000**2)
    moments = np.diag(found.inertia_mm5)
    assert moments == pytest.approx([1_989_675.347, 1_989_675.347, 628_318.531], rel=1e-6)


def test_s3_tube() -> None:
    facets = 360
    found = revolved([(8, 0), (12, 0), (12, 50), (8, 50)], facets, closed=True)
    area, second, perimeter = polygon_ratios(facets)
    assert found.volume_mm3 == pytest.approx(12566.370614 * area, abs=1e-6)
    lateral, ends = 2 * math.pi * (12 + 8) * 50, 2 * math.pi * (12**2 - 8**2)
    assert lateral + ends == pytest.approx(6785.840132, abs=5e-7)
    assert found.surface_area_mm2 == pytest.approx(lateral * perimeter + ends * area, rel=1e-12)
    assert found.inertia_mm5[2, 2] == pytest.approx(1_306_902.544 * second, abs=1e-3)
    assert found.inertia_mm5[0, 0] == pytest.approx(3_271_445.150, rel=2 * 13.16 / facets**2)


def test_s4_cone() -> None:
    facets = 360
    found = revolved([(0, 0), (15, 0), (0, 30)], facets)
    area, second, _ = polygon_ratios(facets)
    assert found.volume_mm3 == pytest.approx(7068.583471 * area, abs=1e-6)
    assert found.surface_area_mm2 == pytest.approx(2287.441662, rel=6.58 / facets**2)
    assert found.centroid_mm == pytest.approx([0, 0, 7.5], abs=1e-9)
    assert found.inertia_mm5[2, 2] == pytest.approx(477_129.384 * second, abs=1e-3)
    assert found.inertia_mm5[0, 0] == pytest.approx(477_129.384, rel=13.16 / facets**2)


def test_s5_frustum() -> None:
    facets = 360
    found = revolved([(0, 0), (20, 0), (12, 25), (0, 25)], facets)
    area, second, _ = polygon_ratios(facets)
    assert found.volume_mm3 == pytest.approx(20525.072003 * area, abs=1e-6)
    assert found.surface_area_mm2 == pytest.approx(4347.844550, rel=6.58 / facets**2)
    assert found.centroid_mm == pytest.approx([0, 0, 10.459184], abs=5e-7)
    assert found.inertia_mm5[2, 2] == pytest.approx(2_897_302.409 * second, abs=1e-3)
    assert found.inertia_mm5[0, 0] == pytest.approx(2_449_633.15, rel=13.16 / facets**2)


def meridian(radius: float, bands: int, full: bool) -> list[tuple[float, float]]:
    """Circle from pole to pole, or from the equator up, as (radius, height)."""
    start = -0.5 * math.pi if full else 0.0
    steps = np.linspace(start, 0.5 * math.pi, bands + 1)
    profile = [(radius * math.cos(s), radius * math.sin(s)) for s in steps]
    profile[-1] = (0.0, radius)
    if full:
        profile[0] = (0.0, -radius)
        return profile
    return [(0.0, 0.0), *profile]


@pytest.mark.parametrize(("sectors", "bands"), [(32, 16), (64, 48), (360, 180)])
def test_s6_sphere_with_its_faceting_error(sectors: int, bands: int) -> None:
    found = revolved(meridian(15, bands, full=True), sectors)
    ratio = polygon_ratios(sectors)[0] * (1 + math.cos(math.pi / bands)) / 2  # A3, last row
    assert found.volume_mm3 == pytest.approx(14137.166941 * ratio, abs=1e-5)
    assert found.centroid_mm == pytest.approx([0, 0, 0], abs=1e-9)


def test_s6_sphere_lat_long_ratios_as_printed() -> None:
    """A3: lat-long sphere 32 x 16 has volume ratio .984041 and area ratio .991988."""
    found = revolved(meridian(15, 16, full=True), 32)
    assert found.volume_mm3 / 14137.166941 == pytest.approx(0.984041, abs=5e-7)
    assert found.surface_area_mm2 / 2827.433388 == pytest.approx(0.991988, abs=5e-7)


def test_s6_icosahedron_sphere_ratios_as_printed() -> None:
    """A3: subdivided icosahedron, vertices on the sphere, volume and area ratios."""
    import trimesh

    volume = [0.605461, 0.873453, 0.966161, 0.991394, 0.997839, 0.999459, 0.999865]
    area = [0.761918, 0.928345, 0.981178, 0.995235, 0.998805, 0.999701, 0.999925]
    for k in range(7):
        ball = trimesh.creation.icosphere(subdivisions=k, radius=15.0)
        found = bulk_of(np.array(ball.vertices), np.array(ball.faces, dtype=np.int32))
        assert found.volume_mm3 / 14137.166941 == pytest.approx(volume[k], abs=5e-7), k
        assert found.surface_area_mm2 / 2827.433388 == pytest.approx(area[k], abs=5e-7), k
    assert found.inertia_mm5 == pytest.approx(1_272_345.025 * np.eye(3), rel=5e-4, abs=1.0)


def test_s7_hemisphere() -> None:
    sectors, bands = 720, 180
    found = revolved(meridian(15, bands, full=False), sectors)
    # a band of a hemisphere is half as wide as one of a sphere with as many bands
    ratio = polygon_ratios(sectors)[0] * (1 + math.cos(math.pi / (2 * bands))) / 2
    assert found.volume_mm3 == pytest.approx(7068.583471 * ratio, abs=1e-5)
    assert found.surface_area_mm2 == pytest.approx(2120.575041, rel=6.58 / sectors**2 + 1e-4)
    assert found.centroid_mm == pytest.approx([0, 0, 5.625], rel=1e-4, abs=1e-9)
    assert found.inertia_mm5[2, 2] == pytest.approx(636_172.512, rel=2e-4)
    assert found.inertia_mm5[0, 0] == pytest.approx(412_518.114, rel=2e-4)


def test_s8_torus_converges_with_the_square() -> None:
    exact = np.array([37899.280900, 9474.820225, 35_928_518.29, 18_570_647.64])
    errors = []
    for facets in (64, 128, 256):
        turn = 2 * np.pi * np.arange(facets) / facets
        found = revolved([(30 + 8 * math.cos(t), 8 * math.sin(t)) for t in turn], facets, True)
        values = np.array(
            [
                found.volume_mm3,
                found.surface_area_mm2,
                found.inertia_mm5[2, 2],
                found.inertia_mm5[0, 0],
            ]
        )
        # both circles of the torus are inscribed polygons: at most two leading terms of A3
        assert np.all(np.abs(values / exact - 1) < 4 * 13.16 / facets**2)
        errors.append(values / exact - 1)
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.02)
    assert errors[1] / errors[2] == pytest.approx(4.0, rel=0.02)


def test_s9_ellipsoid() -> None:
    import trimesh

    ball = trimesh.creation.icosphere(subdivisions=6)
    points = np.array(ball.vertices) * [20.0, 15.0, 10.0]
    found = bulk_of(points, np.array(ball.faces, dtype=np.int32))
    assert found.volume_mm3 / 12566.370614 == pytest.approx(0.999865, abs=5e-7)  # A3, k = 6
    assert found.surface_area_mm2 == pytest.approx(2788.644247, rel=2e-4)
    moments = np.diag(found.inertia_mm5)
    assert moments == pytest.approx([816_814.090, 1_256_637.061, 1_570_796.327], rel=4e-4)


def test_s10_hexagonal_prism() -> None:
    side = 17 / math.sqrt(3)
    assert side == pytest.approx(9.814955, abs=5e-7)
    found = revolved([(0, 0), (side, 0), (side, 10), (0, 10)], 6)
    assert found.volume_mm3 == pytest.approx(2502.813417, abs=1e-6)
    assert found.surface_area_mm2 == pytest.approx(1089.459958, abs=1e-6)
    assert found.centroid_mm == pytest.approx([0, 0, 5], abs=1e-12)
    moments = np.diag(found.inertia_mm5)
    assert moments == pytest.approx([71_086.853, 71_086.853, 100_460.150], abs=1e-3)


def test_s11_regular_tetrahedron() -> None:
    e = 20.0
    height = e * math.sqrt(6) / 3
    corners = [
        [0, 0, 0],
        [e, 0, 0],
        [e / 2, e * math.sqrt(3) / 2, 0],
        [e / 2, e * math.sqrt(3) / 6, height],
    ]
    faces = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]], dtype=np.int32)
    found = bulk_of(np.array(corners), faces)
    assert found.volume_mm3 == pytest.approx(942.809042, abs=5e-7)
    assert found.surface_area_mm2 == pytest.approx(692.820323, abs=5e-7)
    assert found.centroid_mm[2] == pytest.approx(4.082483, abs=5e-7)
    assert found.inertia_mm5 == pytest.approx(18_856.181 * np.eye(3), abs=5e-4)
    assert found.principal_axes == pytest.approx(np.eye(3))


def test_s12_crossed_cylinders() -> None:
    """Steinmetz solid r = 10: each height has a square section of half side √(r² - z²)."""
    steps = 400
    heights = 10 * np.sin(np.linspace(-np.pi / 2, np.pi / 2, steps + 1))[1:-1]
    half = np.sqrt(100 - heights**2)
    signs = np.array([[1, 1], [-1, 1], [-1, -1], [1, -1]])
    rings = np.concatenate(
        [np.column_stack([h * signs, np.full(4, z)]) for h, z in zip(half, heights, strict=True)]
    )
    points = np.concatenate([rings, [[0, 0, -10], [0, 0, 10]]])
    bottom, top = len(rings), len(rings) + 1
    faces = []
    for k in range(4):
        j = (k + 1) % 4
        faces.append((bottom, j, k))
        for i in range(len(heights) - 1):
            a, b, c, d = 4 * i + k, 4 * i + j, 4 * i + 4 + j, 4 * i + 4 + k
            faces += [(a, b, c), (a, c, d)]
        last = 4 * (len(heights) - 1)
        faces.append((last + k, last + j, top))
    found = bulk_of(points, np.array(faces, dtype=np.int32))
    # the arcs are polygons with 2 · 400 sides to the full circle: 6.58/n² in area, twice over
    assert found.volume_mm3 == pytest.approx(16 * 10**3 / 3, rel=2 * 6.58 / 800**2)
    assert found.volume_mm3 == pytest.approx(5333.333333, rel=2 * 6.58 / 800**2)
    assert found.surface_area_mm2 == pytest.approx(1600, rel=2 * 6.58 / 800**2)
    assert found.centroid_mm == pytest.approx([0, 0, 0], abs=1e-9)
