import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from printplan.errors import OutOfRangeError
from printplan.process import Prices
from printplan.process.cost import (
    cost_by_item,
    expected_time_ratio,
    machine_rate,
    success_probability,
)
from printplan.process.energy import energy_by_kind, warm_up


def test_warm_up_against_stepping():
    """Euler steps of 1 ms through C dT/dt = P - U (T - T_room)."""
    rise, t = 0.0, 0.0
    while rise < 60:
        rise += (220 - 1.47 * rise) / 402 * 1e-3
        t += 1e-3
    seconds, wh = warm_up(220, 402, 1.47, 60)
    assert seconds == pytest.approx(t, rel=1e-4)
    assert wh == pytest.approx(220 * seconds / 3600)


def test_warm_up_limits():
    assert warm_up(220, 402, 1.47, 0) == (0.0, 0.0)
    assert warm_up(220, 402, 1.47, -5) == (0.0, 0.0)
    assert warm_up(220, 402, 1e-12, 60)[0] == pytest.approx(402 * 60 / 220)
    with pytest.raises(OutOfRangeError, match="less than 150"):
        warm_up(220, 402, 1.47, 150)


def test_energy_adds_up(slow, filament):
    """Two hours: heat-up as above, holding power over time, melting by m c dT, all over 0.88."""
    kinds = energy_by_kind(slow, filament, 100.0, 7200.0, 100.0)
    bed = slow.bed_loss_w_k * 45 * 2 / 0.88
    nozzle = slow.nozzle_loss_w_k * 205 * 2 / 0.88
    assert kinds["bed hold"] == pytest.approx(bed)
    assert kinds["nozzle hold"] == pytest.approx(nozzle)
    assert kinds["motion"] == pytest.approx(slow.electronics_w * 2 / 0.88)
    assert kinds["melting"] == pytest.approx(100 * 1.9 * 205 / 3600 / 0.88)
    # Melting is a few per cent of what a desktop printer draws.
    assert kinds["melting"] < 0.05 * sum(kinds.values())


@settings(deadline=None)
@given(st.floats(0, 200), st.floats(0, 0.2), st.floats(0, 0.5))
def test_failures_only_cost(hours, rate, start):
    assert expected_time_ratio(hours, rate) >= 1 - 1e-12
    assert 0 <= success_probability(hours, rate, start) <= 1
    assert success_probability(hours + 1, rate, start) <= success_probability(hours, rate, start)


def test_expected_time_against_simulation():
    """Builds restarted until one comes out, 200 000 of them; standard error about 0.2 %."""
    import numpy as np

    rng = np.random.default_rng(5)
    hours, rate = 20.0, 0.03
    spent = np.zeros(200_000)
    waiting = np.ones(len(spent), dtype=bool)
    while waiting.any():
        until = rng.exponential(1 / rate, int(waiting.sum()))
        spent[waiting] += np.minimum(until, hours)
        index = np.flatnonzero(waiting)
        waiting[index[until >= hours]] = False
    assert spent.mean() / hours == pytest.approx(expected_time_ratio(hours, rate), rel=0.01)


def test_hopeless_builds_cost_without_end():
    assert expected_time_ratio(1e5, 0.1) == math.inf


def test_cost_without_failures(slow, prices):
    safe = slow.but(failure_rate_per_h=0.0, start_failure=0.0)
    items = cost_by_item(
        mass_g=500, hours=10, energy_wh=1000, price_per_kg=20, printer=safe, prices=prices
    )
    assert items["filament"] == pytest.approx(10.0)
    assert items["machine"] == pytest.approx(10 * (200 / 4000 + 0.015))
    assert machine_rate(safe) == pytest.approx(0.065)
    assert items["energy"] == pytest.approx(0.30)
    assert items["labour"] == 0
    assert items["failure risk"] == pytest.approx(0, abs=1e-12)


def test_impossible_prices():
    with pytest.raises(OutOfRangeError):
        Prices(electricity_per_kwh=-0.1)
    with pytest.raises(OutOfRangeError):
        Prices(waste_fraction=math.nan)
