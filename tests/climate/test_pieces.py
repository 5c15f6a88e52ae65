"""The pieces of the climate room: convection, neighbours, shelters, ranges."""

from __future__ import annotations

import itertools
import math
import subprocess
import sys

import pytest

from printplan.climate import (
    Exposure,
    cabin_degc,
    cabin_rise_k,
    loaded_case_degc,
    motor_case_degc,
    n_year_maximum_degc,
    surroundings_of,
)
from printplan.climate.air import air_properties, dew_point_degc
from printplan.climate.balance import Around, Face, heat_loss, steady_temperature
from printplan.climate.convection import face_coefficient, mixed_coefficient, natural_coefficient
from printplan.climate.exposure import situation_of
from printplan.climate.neighbours import bar_end_share
from printplan.climate.sky import sky_emittance, sky_temperature_degc
from printplan.climate.sun import solar_altitude_deg, two_parameter_clear_sky
from printplan.climate.surfaces import SURFACES
from printplan.errors import OutOfRangeError, UnknownNameError

AIR = air_properties(50.0)


def test_cold_face_looking_up_keeps_its_air() -> None:
    """A cold plate facing up is the mirror image of a hot one facing down."""
    cold_up = natural_coefficient(AIR, 200.0, 0.0, -10.0, facing_down=False)
    hot_down = natural_coefficient(AIR, 200.0, 0.0, 10.0, facing_down=True)
    hot_up = natural_coefficient(AIR, 200.0, 0.0, 10.0, facing_down=False)
    cold_down = natural_coefficient(AIR, 200.0, 0.0, -10.0, facing_down=True)
    assert cold_up == hot_down == pytest.approx(hot_up / 2.0)
    assert cold_down == hot_up


def test_tilt_goes_over_smoothly() -> None:
    level, upright = (natural_coefficient(AIR, 200.0, t, 30.0, False) for t in (0.0, 90.0))
    half = natural_coefficient(AIR, 200.0, 45.0, 30.0, False)
    assert half == pytest.approx(0.5 * (level + upright))
    assert natural_coefficient(AIR, 200.0, 0.1, 30.0, False) == pytest.approx(level, rel=1e-4)


def test_mixed_coefficient_has_its_limits() -> None:
    assert mixed_coefficient(5.0, 0.0) == pytest.approx(5.0)
    assert mixed_coefficient(0.0, 7.0) == pytest.approx(7.0)
    assert 7.0 < mixed_coefficient(5.0, 7.0) < 12.0


def test_thin_air_cools_less() -> None:
    sea, mountain = (
        face_coefficient(80.0, 40.0, 200.0, 1.0, pressure_pa=p) for p in (101_325.0, 75_000.0)
    )
    assert mountain < sea


def test_heat_loss_grows_with_temperature_throughout() -> None:
    """What the bisection rests on."""
    for face in (Face(), Face(side_mm=500.0, two_sided=True), Face(tilt_deg=60.0)):
        for wind in (0.0, 1.0):
            around = Around(air_degc=30.0, sky_degc=10.0, ground_degc=50.0, wind_m_s=wind)
            losses = [sum(heat_loss(face, around, t)) for t in range(0, 180)]
            assert all(b > a for a, b in itertools.pairwise(losses))


def test_shiny_foil_without_cooling_is_refused() -> None:
    """Beyond 150 K over air nothing here holds."""
    around = Around(air_degc=60.0, sky_degc=60.0, ground_degc=60.0)
    with pytest.raises(OutOfRangeError, match="less than 150 K above the air"):
        steady_temperature(Face(side_mm=2000.0, emittance=0.03), around, 1500.0, 1.0)


def test_clouds_warm_the_sky() -> None:
    clear, cloudy = (sky_temperature_degc(30.0, 10.0, n) for n in (0.0, 10.0))
    assert clear < cloudy < 30.0
    assert sky_emittance(30.0, 10.0) == 1.0
    with pytest.raises(OutOfRangeError, match="cloud cover"):
        sky_emittance(10.0, 12.0)
    with pytest.raises(OutOfRangeError, match="dew point"):
        sky_emittance(80.0)


@pytest.mark.parametrize("surface", SURFACES.values(), ids=lambda s: s.name)
def test_surfaces_are_plausible(surface: object) -> None:
    assert 0.1 <= surface.absorptance <= 0.98  # type: ignore[attr-defined]
    assert 0.03 <= surface.emittance <= 0.96  # type: ignore[attr-defined]
    assert surface.source.startswith("[")  # type: ignore[attr-defined]


def test_motor_case_by_duty() -> None:
    assert motor_case_degc("light") < motor_case_degc("hard") < motor_case_degc("uncooled")
    with pytest.raises(UnknownNameError, match="motor duty 'hrd' is not known; did you mean"):
        motor_case_degc("hrd")


def test_motor_case_by_loss() -> None:
    """Ta + P/(hA), h + h_r of a warm upright face in still air being 10 to 13 W/(m² K)."""
    assert loaded_case_degc(30.0, 0.0, 100.0, 6e4) == pytest.approx(30.0, abs=1e-6)
    rise = loaded_case_degc(30.0, 20.0, 100.0, 6e4) - 30.0
    assert 20.0 / 0.06 / 13.0 < rise < 20.0 / 0.06 / 10.0
    assert loaded_case_degc(30.0, 20.0, 100.0, 6e4, wind_m_s=3.0) - 30.0 < rise
    with pytest.raises(OutOfRangeError, match="power loss"):
        loaded_case_degc(30.0, -1.0, 100.0, 6e4)
    with pytest.raises(OutOfRangeError, match="area of the case"):
        loaded_case_degc(30.0, 1.0, 100.0, 0.0)


def test_bar_that_ends_at_once_is_as_hot_as_its_source() -> None:
    assert bar_end_share(0.0, 10.0, 50.0) == 1.0
    with pytest.raises(OutOfRangeError, match="length of the bar"):
        bar_end_share(-1.0, 10.0, 50.0)
    with pytest.raises(OutOfRangeError, match="conductivity of the bar"):
        bar_end_share(10.0, 10.0, 0.0)


def test_cabin_starts_where_it_is_told_and_ends_at_the_rise() -> None:
    assert cabin_degc(30.0, 0.0, start_degc=20.0) == pytest.approx(20.0)
    assert cabin_degc(30.0, 1e4) == pytest.approx(54.0)
    with pytest.raises(OutOfRangeError, match="time since closing"):
        cabin_degc(30.0, -1.0)
    with pytest.raises(OutOfRangeError, match="time constant"):
        cabin_degc(30.0, 1.0, time_constant_min=0.0)


@pytest.mark.parametrize("bad", [math.nan, -300.0, math.inf])
def test_temperatures_that_cannot_be_are_refused_at_every_front(bad: float) -> None:
    """Below absolute zero, infinite or no number at all: an error, never a number."""
    for call in (
        lambda: cabin_degc(bad, 10.0),
        lambda: cabin_degc(30.0, 10.0, start_degc=bad),
        lambda: cabin_degc(30.0, 10.0, rise_k=bad),
        lambda: cabin_degc(30.0, bad),
        lambda: loaded_case_degc(bad, 1.0, 100.0, 6e4),
        lambda: loaded_case_degc(30.0, 1.0, 100.0, 6e4, wind_m_s=bad),
        lambda: bar_end_share(bad, 10.0, 50.0),
        lambda: bar_end_share(10.0, 10.0, bad if bad < 0 else math.nan),
        lambda: dew_point_degc(bad, 0.5),
        lambda: sky_emittance(bad),
        lambda: cabin_rise_k(cloud_tenths=bad),
    ):
        with pytest.raises(OutOfRangeError) as caught:
            call()
        assert "\n" not in str(caught.value)


def test_long_bars_pass_nothing() -> None:
    assert bar_end_share(5000.0, 0.5, 0.1) < 1e-300


def test_bounds_have_two_names() -> None:
    around = surroundings_of("warm")
    with pytest.raises(UnknownNameError, match="bound 'desing' is not known; did you mean"):
        situation_of(around, Exposure(), "desing")  # type: ignore[arg-type]


def test_cabin_variants() -> None:
    """[source: Dadour et al. 2011; Levinson et al. 2011; Grundstein et al. 2009, abstracts]."""
    assert cabin_rise_k() == 40.0
    assert cabin_rise_k(white_shell=True) == 35.0
    assert cabin_rise_k(windows_ajar=True) == 37.0
    assert cabin_rise_k(cloud_tenths=10.0) == 30.0
    assert cabin_rise_k(white_shell=True, windows_ajar=True, cloud_tenths=5.0) == 27.0


def test_heat_from_within_counts_like_sunlight() -> None:
    around = Around(air_degc=30.0, sky_degc=20.0, ground_degc=30.0, wind_m_s=1.0)
    lit = steady_temperature(Face(), around, 500.0, 0.8)
    heated = steady_temperature(Face(), around, 250.0, 0.8, gain_w_m2=200.0)
    assert heated.surface_degc == pytest.approx(lit.surface_degc, abs=1e-6)
    assert (heated.absorbed_w_m2, heated.gain_w_m2) == (200.0, 200.0)


def test_ranges_of_the_small_formulas() -> None:
    with pytest.raises(OutOfRangeError, match="relative humidity"):
        dew_point_degc(30.0, 40.0)
    with pytest.raises(OutOfRangeError, match="air temperature"):
        dew_point_degc(90.0, 0.4)
    assert dew_point_degc(30.0, 1.0) == pytest.approx(30.0)
    with pytest.raises(OutOfRangeError, match="latitude = 95"):
        solar_altitude_deg(95.0, 172, 12.0)
    with pytest.raises(OutOfRangeError, match="day of the year"):
        solar_altitude_deg(45.0, 400, 12.0)
    with pytest.raises(OutOfRangeError, match="altitude of the sun"):
        two_parameter_clear_sky(-5.0)
    with pytest.raises(OutOfRangeError, match="edition"):
        two_parameter_clear_sky(45.0, edition=2001)
    with pytest.raises(OutOfRangeError, match="return period"):
        n_year_maximum_degc(30.0, 1.0, 1.0)
    with pytest.raises(OutOfRangeError, match="standard deviation"):
        n_year_maximum_degc(30.0, -1.0, 20.0)


def test_sun_stands_where_geometry_says() -> None:
    """Closed form: at noon 90° less latitude plus declination; at the pole all day alike."""
    declination = math.degrees(math.asin(math.sin(math.radians(23.45))))
    noon = solar_altitude_deg(50.0, 172.25, 12.0)
    assert noon == pytest.approx(90.0 - 50.0 + declination, abs=0.01)
    assert solar_altitude_deg(90.0, 172, 3.0) == pytest.approx(solar_altitude_deg(90.0, 172, 15.0))
    assert solar_altitude_deg(0.0, 172, 0.0) < 0.0


def test_room_loads_nothing_heavy() -> None:
    code = (
        "import sys, printplan.climate; "
        "print([m for m in ('pandas','scipy','numba','pint','matplotlib') if m in sys.modules])"
    )
    shown = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert shown.stdout.strip() == "[]"
