"""Printed walls as insulation, and the temperature of rubbing teeth."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from printplan.climate import (
    PrintedWall,
    biot_number,
    inside_relief_k,
    loss_factor,
    tooth_temperature,
    wall_temperature,
)
from printplan.climate.walls import cell_conductivity_w_mk, sparse_conductivity_w_mk
from printplan.errors import InputError, OutOfRangeError, UnknownNameError

SPARSE = PrintedWall(skin_mm=1.2, core_mm=10.0, solid_share=0.2, plastic_w_mk=0.2)
SOLID = PrintedWall(skin_mm=3.0, core_mm=0.0, solid_share=1.0, plastic_w_mk=0.2)


def test_solid_wall_by_hand() -> None:
    """6 mm at 0.2 W/(m K): R 0.03; between 80 and 40 °C at h 10 the far side is 40 + 40/1.3."""
    assert SOLID.resistance_m2k_w(60.0) == pytest.approx((0.03, 0.03))
    result = wall_temperature(SOLID, 80.0, 40.0, 10.0)
    assert result.far_degc == pytest.approx(40.0 + 40.0 / 1.3)
    assert result.far_least_degc == pytest.approx(result.far_degc)
    assert result.biot == pytest.approx(0.3) == biot_number(10.0, 6.0, 0.2)
    assert result.matters
    # What goes through the plastic goes off at the far side.
    assert (80.0 - result.far_degc) / 0.03 == pytest.approx(result.flux_w_m2)
    thin = PrintedWall(skin_mm=0.4, core_mm=0.0, solid_share=1.0, plastic_w_mk=0.2)
    assert not wall_temperature(thin, 80.0, 40.0, 10.0).matters


def test_core_of_solid_plastic_is_solid() -> None:
    filled = PrintedWall(skin_mm=1.0, core_mm=4.0, solid_share=1.0, plastic_w_mk=0.2)
    assert filled.resistance_m2k_w(60.0) == pytest.approx(SOLID.resistance_m2k_w(60.0))


def test_bounds_enclose_known_mixtures() -> None:
    """The bounds meet at nothing and everything; Maxwell's spheres lie between.

    [memory: Maxwell 1873] air bubbles in plastic, k = k_p (2 k_p + k_c - 2 p (k_p - k_c)) /
    (2 k_p + k_c + p (k_p - k_c)), p the share of air.
    """
    kp, kc = 0.2, 0.045
    assert sparse_conductivity_w_mk(0.0, kp, kc) == pytest.approx((kc, kc))
    assert sparse_conductivity_w_mk(1.0, kp, kc) == pytest.approx((kp, kp))
    for solid in (0.5, 0.7, 0.9):
        p = 1.0 - solid
        maxwell = kp * (2 * kp + kc - 2 * p * (kp - kc)) / (2 * kp + kc + p * (kp - kc))
        low, high = sparse_conductivity_w_mk(solid, kp, kc)
        assert low < maxwell < high


def test_radiation_across_cells() -> None:
    """4 sigma T³ is 6.97 W/(m² K) at 313.15 K; 3 mm of it add 0.021 to the air's 0.027."""
    still = cell_conductivity_w_mk(0.0, 40.0)
    assert still == pytest.approx(0.0272, abs=2e-4)
    added = cell_conductivity_w_mk(3.0, 40.0) - still
    assert added == pytest.approx(4 * 5.670374e-8 * 313.15**3 * 0.003, rel=1e-9)


def test_sparse_wall_keeps_more_off() -> None:
    sparse = wall_temperature(SPARSE, 90.0, 45.0, 10.0)
    solid = wall_temperature(
        PrintedWall(skin_mm=1.2, core_mm=10.0, solid_share=1.0, plastic_w_mk=0.2), 90.0, 45.0, 10.0
    )
    assert 45.0 < sparse.far_least_degc < sparse.far_degc < solid.far_degc < 90.0
    assert any("stays that of its skin" in note for note in sparse.notes)


def test_no_relief_without_a_cool_inside() -> None:
    """Insulated back: hot all through in the end."""
    assert inside_relief_k(SPARSE, 90.0, 45.0, 6.0, 0.0) == 0.0
    assert inside_relief_k(SPARSE, 90.0, 90.0, 6.0, 10.0) == 0.0
    assert inside_relief_k(SPARSE, 90.0, 45.0, 0.0, 10.0) == 0.0
    result = wall_temperature(SPARSE, 90.0, 45.0, 10.0)
    through = inside_relief_k(SPARSE, 90.0, 45.0, SPARSE.thickness_mm, 10.0)
    assert through == pytest.approx(90.0 - result.far_degc)


@settings(max_examples=60, deadline=None)
@given(
    st.floats(0.4, 4.0),
    st.floats(0.0, 40.0),
    st.floats(0.0, 1.0),
    st.floats(0.13, 0.4),
    st.floats(0.0, 60.0),
    st.floats(0.0, 1.0),
)
def test_relief_is_the_least_between_the_bounds(
    skin: float, core: float, share: float, plastic: float, coefficient: float, where: float
) -> None:
    """Every conductivity between the bounds gives at least as much; deeper is never less."""
    wall = PrintedWall(skin_mm=skin, core_mm=core, solid_share=share, plastic_w_mk=plastic)
    depth = where * wall.thickness_mm
    relief = inside_relief_k(wall, 80.0, 40.0, depth, coefficient)
    assert 0.0 <= relief <= 40.0
    assert inside_relief_k(wall, 80.0, 40.0, 0.5 * depth, coefficient) <= relief + 1e-9
    to, through = wall.resistance_m2k_w(60.0, depth), wall.resistance_m2k_w(60.0)
    for part in (0.0, 0.3, 0.7, 1.0):
        # The resistance of the core runs from least to greatest, and the rest stays.
        r_to, r_through = (a + part * (b - a) for a, b in (to, through))
        fall = 40.0 * coefficient * r_to / (1.0 + coefficient * r_through)
        assert fall >= relief - 1e-9


@pytest.mark.parametrize(
    ("call", "expected"),
    [
        (lambda: PrintedWall(skin_mm=0, core_mm=1, solid_share=0.2, plastic_w_mk=0.2), "skin = 0"),
        (
            lambda: PrintedWall(skin_mm=1, core_mm=1, solid_share=20, plastic_w_mk=0.2),
            "share of plastic = 20: expected 0 to 1",
        ),
        (
            lambda: PrintedWall(skin_mm=1, core_mm=1, solid_share=0.2, plastic_w_mk=math.nan),
            "conductivity of the plastic = nan",
        ),
        (lambda: wall_temperature(SOLID, 40.0, 60.0), "temperature inside = 60.0"),
        (lambda: wall_temperature(SOLID, -300.0, -300.0), "temperature of the skin = -300.0"),
        (lambda: wall_temperature(SOLID, 60.0, 40.0, -1.0), "heat transfer coefficient = -1.0"),
        (lambda: inside_relief_k(SOLID, 60.0, 40.0, 7.0), "depth = 7.0: expected 0 to 6 mm"),
        (lambda: biot_number(10.0, 5.0, 0.0), "conductivity of the wall = 0.0"),
        (lambda: cell_conductivity_w_mk(-1.0, 20.0), "cell of the infill = -1.0"),
        (lambda: sparse_conductivity_w_mk(0.5, 0.2, 0.0), "conductivity of the cells = 0.0"),
    ],
)
def test_walls_that_cannot_be(call, expected: str) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        call()
    assert expected in str(caught.value)


# --- Teeth ---------------------------------------------------------------------------------------

TEETH = {
    "power_w": 50.0,
    "friction": 0.2,
    "loss": 0.2,
    "teeth": 17,
    "module_mm": 2.0,
    "width_mm": 15.0,
    "speed_mm_s": 1800.0,
}


def test_rise_is_in_proportion_to_friction_and_power() -> None:
    base = tooth_temperature(60.0, **TEETH)
    double = tooth_temperature(60.0, **(TEETH | {"power_w": 100.0}))
    greased = tooth_temperature(60.0, **(TEETH | {"friction": 0.1}))
    rise = base.flank_degc - 60.0
    assert double.flank_degc - 60.0 == pytest.approx(2.0 * rise)
    assert greased.flank_degc - 60.0 == pytest.approx(0.5 * rise)
    assert base.heat_w == pytest.approx(2.0)
    # Hotter surroundings carry over one to one, and the bound holds half as much again.
    assert tooth_temperature(80.0, **TEETH).flank_degc == pytest.approx(base.flank_degc + 20.0)
    assert base.flank_upper_degc - 60.0 == pytest.approx(1.5 * rise)
    assert base.root_upper_degc - 60.0 == pytest.approx(1.5 * (base.root_degc - 60.0))
    assert 60.0 < base.root_degc < base.flank_degc
    assert any("±50 %" in note for note in base.notes)
    assert any("not verified" in source for source in base.sources)


def test_housings_in_order() -> None:
    flanks = [
        tooth_temperature(60.0, **TEETH, housing=h, housing_area_mm2=2e4).flank_degc
        for h in ("open", "partly open", "closed")
    ]
    assert all(b > a for a, b in itertools.pairwise(flanks))
    # 2 W through 0.06 K m²/W over 0.02 m²: 6 K.
    assert flanks[2] - flanks[0] == pytest.approx(6.0)
    steel = tooth_temperature(60.0, **TEETH, mate="steel")
    assert steel.flank_degc < flanks[0]
    rare = tooth_temperature(60.0, **TEETH, duty=0.1)
    assert rare.flank_degc < flanks[0]


def test_loss_factor_is_least_in_the_middle_of_the_path() -> None:
    even, uneven = loss_factor(17, 2.0, 0.7, 0.7), loss_factor(17, 2.0, 1.0, 0.4)
    assert even < uneven
    assert loss_factor(34, 2.0, 0.7, 0.7) == pytest.approx(0.5 * even)
    assert loss_factor(17, 2.0, 0.7, 0.7, helix_deg=30.0) > even


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({"power_w": -1.0}, "power = -1.0"),
        ({"friction": 2.0}, "coefficient of friction = 2.0"),
        ({"speed_mm_s": 0.0}, "speed = 0.0"),
        ({"width_mm": math.nan}, "width = nan"),
        ({"duty": 0.0}, "share of time in mesh = 0.0"),
        ({"teeth": 2}, "teeth = 2"),
        ({"mate": "stell"}, "mate of the teeth 'stell' is not known; did you mean 'steel'?"),
        ({"housing": "closd"}, "housing of the gears 'closd' is not known"),
        ({"housing": "closed"}, "area of the housing = nan: expected 1 to 1e+08 mm² (needed"),
        ({"surroundings_degc": -300.0}, "temperature round the gear = -300.0"),
    ],
)
def test_teeth_that_cannot_be(changed: dict[str, object], expected: str) -> None:
    with pytest.raises(InputError) as caught:
        tooth_temperature(**({"surroundings_degc": 60.0} | TEETH | changed))
    assert expected in str(caught.value)
    assert isinstance(caught.value, OutOfRangeError | UnknownNameError)


def test_loss_factors_that_cannot_be() -> None:
    with pytest.raises(OutOfRangeError, match="ratio"):
        loss_factor(17, 0.5, 0.7, 0.7)
    with pytest.raises(OutOfRangeError, match="overlap in approach"):
        loss_factor(17, 2.0, -0.1, 0.7)
