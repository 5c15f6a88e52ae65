"""Lower bounds from coupons: known answers, coverage by simulation, and refusals."""

from __future__ import annotations

import math

import numpy as np
import pytest

from printplan.errors import OutOfRangeError
from printplan.filament import lower_bound, lower_bound_of_runs, tolerance_factor


def test_large_samples_tend_to_the_normal_quantile() -> None:
    assert tolerance_factor(5000, confidence=0.5) == pytest.approx(1.645, abs=0.001)
    factors = [tolerance_factor(n) for n in (3, 5, 10, 30, 100)]
    assert factors == sorted(factors, reverse=True)
    assert tolerance_factor(5, confidence=0.95) > tolerance_factor(5, confidence=0.5)


def test_confidence_holds_in_simulated_samples() -> None:
    """In three of four samples the bound lies below the true fractile (seeded, 4000 samples)."""
    rng = np.random.default_rng(7)
    logs = rng.normal(math.log(20.0), 0.25, size=(4000, 5))
    true = math.exp(math.log(20.0) - 1.6449 * 0.25)
    factor = tolerance_factor(5)
    bounds = np.exp(logs.mean(axis=1) - factor * logs.std(axis=1, ddof=1))
    share = float((bounds <= true).mean())
    # Standard error of the share 0.007; three of them.
    assert share == pytest.approx(0.75, abs=0.021)


def test_by_hand_and_scale_free() -> None:
    values = [20.0, 22.0, 25.0, 21.0]
    got = lower_bound(values)
    logs = [math.log(v) for v in values]
    mean = sum(logs) / 4
    deviation = math.sqrt(sum((x - mean) ** 2 for x in logs) / 3)
    assert got.lower_mpa == pytest.approx(math.exp(mean - got.factor * deviation))
    assert got.typical_mpa == pytest.approx(21.5)
    assert got.count == 4
    doubled = lower_bound([2 * v for v in values])
    assert doubled.lower_mpa == pytest.approx(2 * got.lower_mpa)
    assert got.lower_mpa < min(values)


def test_equal_coupons_have_no_scatter() -> None:
    assert lower_bound([30.0] * 4).lower_mpa == pytest.approx(30.0)


def test_spread_between_runs_counts() -> None:
    near = [[20.0, 21.0, 22.0], [20.5, 21.0, 21.5], [20.0, 21.0, 22.0]]
    far = [[10.0, 10.5, 11.0], [20.5, 21.0, 21.5], [40.0, 42.0, 44.0]]
    assert lower_bound_of_runs(far).lower_mpa < 0.5 * lower_bound_of_runs(near).lower_mpa
    # Three equal runs: only the spread inside the runs is left.
    same = [[20.0, 21.0, 22.0]] * 3
    inside = float(np.log([20.0, 21.0, 22.0]).std(ddof=1))
    assert lower_bound_of_runs(same).log_deviation == pytest.approx(inside)


@pytest.mark.parametrize(
    "bad", [[20.0, 21.0], [20.0, 0.0, 21.0], [20.0, -3.0, 21.0], [1, 2, math.nan]]
)
def test_coupons_that_say_nothing(bad: list[float]) -> None:
    with pytest.raises(OutOfRangeError, match="strengths_mpa"):
        lower_bound(bad)


def test_too_few_runs_and_senseless_fractions() -> None:
    with pytest.raises(OutOfRangeError, match="at least 3 runs"):
        lower_bound_of_runs([[20.0, 21.0, 22.0]] * 2)
    with pytest.raises(OutOfRangeError, match="count"):
        tolerance_factor(1)
    with pytest.raises(OutOfRangeError, match="fractile"):
        tolerance_factor(5, fractile=0.5)
    with pytest.raises(OutOfRangeError, match="confidence"):
        tolerance_factor(5, confidence=1.0)
