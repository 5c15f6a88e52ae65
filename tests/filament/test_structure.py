"""Walls and infill: closed forms, limits, and a plain numerical sum."""

from __future__ import annotations

import numpy as np
import pytest

from printplan.errors import OutOfRangeError
from printplan.filament import (
    infill_strength_factor,
    load_table,
    wall_core_area_factor,
    wall_core_bending_factor,
)


def test_infill_powers_and_their_origin() -> None:
    assert infill_strength_factor(0.25, along=True) == 0.25
    assert infill_strength_factor(0.25, along=False) == 0.125
    for fraction in (0.0, 1.0):
        for along in (True, False):
            assert infill_strength_factor(fraction, along) == fraction
    rules = {v.quantity: v.typical for v in load_table().rules}
    assert infill_strength_factor(0.3, True) == 0.3 ** rules["infill_exponent_along"]
    assert infill_strength_factor(0.2, False) == 0.2 ** rules["infill_exponent_across"]
    # Denser: a square grid along its lines, then nearing the solid.
    assert infill_strength_factor(0.4, False) == 0.2
    assert infill_strength_factor(0.6, False) == pytest.approx(0.36)
    steps = [infill_strength_factor(f, False) for f in np.linspace(0.0, 1.0, 101)]
    assert steps == sorted(steps)
    assert max(np.diff(steps)) < 0.021


@pytest.mark.parametrize("fraction", [-0.01, 1.01, float("nan"), float("inf")])
def test_infill_fraction_out_of_range(fraction: float) -> None:
    with pytest.raises(OutOfRangeError, match="infill_fraction"):
        infill_strength_factor(fraction, along=True)


@pytest.mark.parametrize("factor", [wall_core_area_factor, wall_core_bending_factor])
def test_limits_of_the_plate(factor) -> None:
    assert factor(5.0, 0.0, 0.3) == pytest.approx(0.3)  # no shell: all core
    assert factor(5.0, 2.5, 0.3) == 1.0  # skins meet
    assert factor(5.0, 9.0, 0.3) == 1.0
    assert factor(5.0, 1.0, 1.0) == 1.0  # core as strong as the shell
    steps = [factor(5.0, s, 0.2) for s in np.linspace(0.0, 3.0, 20)]
    assert steps == sorted(steps)


def test_against_a_sum_over_thin_slices() -> None:
    """Two independent ways: the closed form and midpoints of 20 000 slices."""
    thickness, shell, core = 6.0, 1.3, 0.15
    edges = np.linspace(-thickness / 2, thickness / 2, 20001)
    middle = (edges[1:] + edges[:-1]) / 2
    weight = np.where(np.abs(middle) > thickness / 2 - shell, 1.0, core)
    area = weight.mean()
    bending = (weight * middle**2).sum() / (middle**2).sum()
    # The slice that a skin's edge cuts is worth 1/20 000 of the thickness.
    assert wall_core_area_factor(thickness, shell, core) == pytest.approx(area, abs=1e-4)
    assert wall_core_bending_factor(thickness, shell, core) == pytest.approx(bending, abs=2e-4)


def test_skins_help_bending_more_than_tension() -> None:
    assert wall_core_bending_factor(8.0, 1.2, 0.1) > wall_core_area_factor(8.0, 1.2, 0.1)


@pytest.mark.parametrize(
    ("args", "name"),
    [
        ((0.0, 1.0, 0.2), "thickness_mm"),
        ((float("inf"), 1.0, 0.2), "thickness_mm"),
        ((5.0, -0.1, 0.2), "shell_mm"),
        ((5.0, float("nan"), 0.2), "shell_mm"),
        ((5.0, 1.0, 1.2), "core_factor"),
        ((5.0, 1.0, -0.2), "core_factor"),
    ],
)
def test_senseless_plate(args: tuple[float, float, float], name: str) -> None:
    with pytest.raises(OutOfRangeError, match=name):
        wall_core_bending_factor(*args)
