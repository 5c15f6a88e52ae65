"""Brakes: stop, descent, and their limits."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from printplan.climate import (
    BrakeHeating,
    brake_degc,
    bulk_rise_k,
    descent_power_w,
    flash_rise_k,
    stop_energy_j,
)
from printplan.climate.brakes import disc_coefficient_w_m2k
from printplan.climate.convection import face_coefficient
from printplan.errors import OutOfRangeError

HEATING = BrakeHeating(idle_degc=40.0, power_w=300.0, capacity_j_k=184.0, cooling_w_k=0.6)
DESCENT = {
    "mass_g": 150e3,
    "slope_percent": 8.0,
    "speed_mm_s": 3000.0,
    "duration_s": 60.0,
    "disc_mass_g": 400.0,
    "cooled_area_mm2": 3e4,
}


def test_heating_obeys_its_equation() -> None:
    """C dT/dt + H (T - T0) = P by central differences, at several times."""
    for t in (1.0, 100.0, 500.0):
        slope = (HEATING.degc_after(t + 0.01) - HEATING.degc_after(t - 0.01)) / 0.02
        rise = HEATING.degc_after(t) - 40.0
        assert 184.0 * slope + 0.6 * rise == pytest.approx(300.0, rel=1e-6)
    assert HEATING.degc_after(0.0) == 40.0
    assert HEATING.degc_after(80_000.0) == pytest.approx(HEATING.steady_degc) == 540.0
    assert HEATING.time_constant_s == pytest.approx(184.0 / 0.6)


def test_time_until_a_limit_turns_the_course_round() -> None:
    for limit in (41.0, 80.0, 300.0, 539.0):
        assert HEATING.degc_after(HEATING.seconds_until(limit)) == pytest.approx(limit)
    assert HEATING.seconds_until(540.0) == math.inf
    assert HEATING.seconds_until(40.0) == HEATING.seconds_until(0.0) == 0.0
    bare = BrakeHeating(idle_degc=40.0, power_w=300.0, capacity_j_k=184.0)
    assert bare.degc_after(bare.seconds_until(100.0)) == pytest.approx(100.0)
    assert bare.steady_degc == bare.time_constant_s == math.inf
    idle = BrakeHeating(idle_degc=40.0, power_w=0.0, capacity_j_k=184.0)
    assert idle.steady_degc == idle.degc_after(1000.0) == 40.0
    assert idle.seconds_until(50.0) == math.inf


def test_flash_against_the_superposed_half_space() -> None:
    """Duhamel's integral of a falling flux, summed in small steps, over the whole stop.

    A step of flux q from time s on warms the surface of a half space by 2 q sqrt((t - s)/(pi k rho
    c)) [memory: Carslaw and Jaeger]; a straight fall is a sum of small steps down.
    """
    energy, stop, area, k, rho, c = 1250.0, 2.0, 6000.0, 48.0, 7200.0, 460.0
    flux = 2.0 * energy / (stop * area * 1e-6)
    steps = 2000
    starts = (np.arange(steps) + 0.5) * stop / steps
    times = np.linspace(0.01, stop, 400)
    rises = [
        2.0
        / math.sqrt(math.pi * k * rho * c)
        * (flux * math.sqrt(t) - flux / steps * np.sqrt(np.clip(t - starts, 0.0, None)).sum())
        for t in times
    ]
    assert flash_rise_k(energy, stop, area) == pytest.approx(max(rises), rel=1e-4)
    assert times[int(np.argmax(rises))] == pytest.approx(stop / 2.0, abs=0.01)


def test_rolling_alone_can_hold_the_vehicle() -> None:
    assert descent_power_w(100e3, 3000.0, 2.0, rolling_resistance=0.03) == 0.0
    assert descent_power_w(100e3, 0.0, 10.0) == 0.0  # holding still makes no heat
    assert descent_power_w(100e3, 3000.0, 0.0) == 0.0


def test_turning_masses_and_slowing_down() -> None:
    assert stop_energy_j(100e3, 5000.0, rotating_factor=1.1) == pytest.approx(1375.0)
    parts = stop_energy_j(100e3, 5000.0, 3000.0) + stop_energy_j(100e3, 3000.0)
    assert parts == pytest.approx(stop_energy_j(100e3, 5000.0))


def test_least_coefficient_is_taken() -> None:
    """Hotter discs shed more per kelvin than what is reckoned with, with and without wind."""
    side = math.sqrt(0.5 * 3e4)
    for wind in (0.0, 3.0):
        taken = disc_coefficient_w_m2k(40.0, 3e4, wind)
        for rise in (40.0, 100.0, 150.0):
            real = face_coefficient(40.0 + rise, 40.0, side, wind, tilt_deg=90.0)
            # In wind hot, thin air is led off less well, by under 5 %; radiation, left out, is
            # 6 W/(m² K) for a black and 1.5 for a bright disc.
            assert real >= 0.95 * taken


def test_brake_is_the_sum_of_its_steps() -> None:
    power = descent_power_w(150e3, 3000.0, 8.0)
    coefficient = disc_coefficient_w_m2k(45.0, 3e4)
    heating = BrakeHeating(
        idle_degc=45.0,
        power_w=0.5 * power,
        capacity_j_k=0.4 * 460.0,
        cooling_w_k=coefficient * 0.03,
    )
    stop = bulk_rise_k(0.5 * stop_energy_j(150e3, 3000.0), 400.0)
    expected = heating.degc_after(60.0) + stop
    assert brake_degc(45.0, **DESCENT, share=0.5) == pytest.approx(expected, rel=1e-12)
    # Every joule accounted for: without losses the rise is less than all heat over capacity.
    assert expected < 45.0 + 0.5 * power * 60.0 / 184.0 + stop
    assert brake_degc(45.0, **{**DESCENT, "slope_percent": 0.0, "speed_mm_s": 0.0}) == 45.0


durations = st.floats(0.0, 3600.0)


@settings(max_examples=60, deadline=None)
@given(durations, durations, st.floats(0.0, 20.0), st.floats(0.0, 6.0), st.floats(0.1, 2.0))
def test_longer_heavier_hotter_is_never_cooler(
    first: float, second: float, slope: float, wind: float, factor: float
) -> None:
    """A fact of the trade [common practice, no source]."""
    given_ = DESCENT | {"slope_percent": slope}
    short, long = (
        brake_degc(40.0, **(given_ | {"duration_s": t}), wind_m_s=wind)
        for t in sorted((first, second))
    )
    assert long >= short - 1e-9
    base = brake_degc(40.0, **given_, wind_m_s=wind)
    assert base >= 40.0
    changed = given_ | {"mass_g": 150e3 * factor}
    assert (brake_degc(40.0, **changed, wind_m_s=wind) - base) * (factor - 1.0) >= -1e-9
    metal = given_ | {"disc_mass_g": 400.0 * factor}
    assert (brake_degc(40.0, **metal, wind_m_s=wind) - base) * (factor - 1.0) <= 1e-9
    assert brake_degc(50.0, **given_, wind_m_s=wind) >= base - 1e-9
    assert brake_degc(40.0, **given_, wind_m_s=0.0) >= base - 1e-9


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({"mass_g": 0.0}, "mass = 0.0: expected more than 0"),
        ({"mass_g": math.nan}, "mass = nan"),
        ({"slope_percent": -5.0}, "slope = -5.0: expected 0 to 60 % (downhill)"),
        ({"speed_mm_s": -1.0}, "speed = -1.0"),
        ({"duration_s": -1.0}, "duration of the descent = -1.0"),
        ({"disc_mass_g": 0.0}, "mass of the brake = 0.0"),
        ({"cooled_area_mm2": 0.0}, "cooled area = 0.0"),
        ({"share": 1.5}, "share of this brake = 1.5: expected 0 to 1"),
        ({"heat_capacity_j_kgk": 0.0}, "heat capacity = 0.0"),
        ({"wind_m_s": -1.0}, "wind = -1.0: expected 0 to 60 m/s"),
        ({"idle_degc": -300.0}, "temperature without braking = -300.0: expected -60 to 400 °C"),
    ],
)
def test_descents_that_cannot_be(changed: dict[str, float], expected: str) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        brake_degc(**({"idle_degc": 40.0} | DESCENT | changed))
    assert expected in str(caught.value)
    assert "\n" not in str(caught.value)


def test_ranges_of_stop_and_flash() -> None:
    with pytest.raises(OutOfRangeError, match="end speed"):
        stop_energy_j(1e5, 1000.0, 2000.0)
    with pytest.raises(OutOfRangeError, match="energy"):
        bulk_rise_k(-1.0, 100.0)
    with pytest.raises(OutOfRangeError, match="swept area"):
        flash_rise_k(100.0, 1.0, 0.0)
    with pytest.raises(OutOfRangeError, match="limit"):
        HEATING.seconds_until(-300.0)
    with pytest.raises(OutOfRangeError, match="rolling resistance"):
        descent_power_w(1e5, 1000.0, 5.0, rolling_resistance=-0.1)
    with pytest.raises(OutOfRangeError, match="cooling of the brake"):
        BrakeHeating(idle_degc=20.0, power_w=1.0, capacity_j_k=1.0, cooling_w_k=-1.0)
