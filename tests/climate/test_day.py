"""The course of the day."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from printplan.climate import (
    SHELTERS,
    Exposure,
    Surroundings,
    day_curve,
    part_temperature,
    surroundings_of,
)
from printplan.climate.balance import Around, Face, steady_temperature
from printplan.climate.day import DayCurve, part_course_degc
from printplan.climate.exposure import Situation
from printplan.errors import OutOfRangeError

HOT = Surroundings(air_degc=40.0, dew_point_degc=10.0, irradiance_w_m2=1000.0)


def curve_of(part: list[float]) -> DayCurve:
    values = np.array(part, dtype=float)
    return DayCurve(
        time_h=np.linspace(0.0, 24.0, len(values)),
        air_degc=values,
        irradiance_w_m2=values,
        part_degc=values,
        bound="design",
        notes=(),
    )


def test_hours_above_of_a_triangle() -> None:
    """Closed form: a triangle of 24 h from 0 to 100 and back is above 75 for 6 h."""
    triangle = curve_of([0.0, 100.0, 0.0])
    assert triangle.hours_above(75.0) == pytest.approx(6.0)
    assert triangle.hours_above(0.0) == pytest.approx(24.0)
    assert triangle.hours_above(100.0) == 0.0
    assert curve_of([50.0, 50.0]).hours_above(50.0) == 0.0
    assert curve_of([50.0, 50.0]).hours_above(49.0) == pytest.approx(24.0)


@pytest.mark.parametrize("shelter", sorted(SHELTERS))
def test_peak_is_a_little_below_the_steady_value(shelter: str) -> None:
    """The steady value pairs noon sun with afternoon air: safe, by under 5 K.

    A still, sheltered part may lie a trifle (0.1 K) over it: the dew point of the cooler noon air
    is the afternoon's.
    """
    for bound in ("design", "upper"):
        part = part_temperature(HOT, Exposure(shelter=shelter))
        steady = getattr(part, bound).surface_degc
        peak = day_curve(HOT, Exposure(shelter=shelter), bound).peak_degc
        assert steady - 5.0 < peak < steady + 0.1


def test_steps_and_steadiness() -> None:
    coarse = day_curve(HOT, Exposure())
    fine = day_curve(HOT, Exposure(), step_s=20.0)
    assert coarse.peak_degc == pytest.approx(fine.peak_degc, abs=0.02)
    assert len(coarse.time_h) == 289
    assert coarse.time_h[1] == pytest.approx(5.0 / 60.0)
    # The day repeats: it ends as it began.
    assert coarse.part_degc[0] == pytest.approx(coarse.part_degc[-1], abs=1e-3)


def test_constant_conditions_reach_the_steady_balance() -> None:
    around = Around(air_degc=30.0, sky_degc=15.0, ground_degc=30.0, wind_m_s=1.0)
    face = Face(side_mm=100.0)
    steady = steady_temperature(face, around, 800.0, 0.9).surface_degc
    situation = Situation(face=face, around=around, irradiance_w_m2=800.0, absorptance=0.9)
    for wall in (0.4, 5.0, 30.0):
        course = part_course_degc(lambda _: situation, wall)
        assert course[-1] == pytest.approx(steady, abs=1e-4)


def test_time_constant() -> None:
    """[memory: any text] tau = rho c s / (h + h_r): after one tau 63 % of a small step.

    Still air loses disproportionately more with temperature, so a small step in wind is taken:
    5 mm and h + h_r from the balance itself; 1 % for what is not linear.
    """
    around = Around(air_degc=30.0, sky_degc=30.0, ground_degc=30.0, wind_m_s=5.0)
    face = Face(side_mm=100.0)
    step = steady_temperature(face, around, 20.0, 1.0)
    slope = 20.0 / step.rise_k
    tau_s = 1.75e6 * 0.005 / slope
    lit = Situation(face=face, around=around, irradiance_w_m2=20.0, absorptance=1.0)
    dark = dataclasses.replace(lit, irradiance_w_m2=0.0)
    course = part_course_degc(lambda h: lit if h > 12.0 else dark, 5.0, step_s=20.0)
    time_s = np.linspace(0.0, 86_400.0, len(course))
    reached = np.interp(43_200.0 + tau_s, time_s, course) - 30.0
    assert reached / step.rise_k == pytest.approx(1.0 - np.exp(-1.0), rel=0.01)


def test_thicker_walls_lag_and_peak_lower() -> None:
    thin, thick = (day_curve(HOT, Exposure(wall_mm=wall)) for wall in (1.0, 40.0))
    assert thick.peak_degc < thin.peak_degc
    assert thick.peak_h > thin.peak_h


def test_light_parts_are_hot_for_fewer_hours() -> None:
    hours = [
        day_curve(HOT, Exposure(colour=c)).hours_above(60.0) for c in ("black", "red", "white")
    ]
    assert hours[0] > hours[1] > hours[2] == 0.0


def test_upper_bound_is_hotter_while_the_part_is_hot() -> None:
    design, upper = (day_curve(HOT, Exposure(tilt_deg=30.0), b) for b in ("design", "upper"))
    hot = design.part_degc > design.air_degc + 10.0
    assert hot.sum() > 50
    assert (upper.part_degc[hot] > design.part_degc[hot]).all()


def test_still_nights_cool_below_air() -> None:
    """A fact of the trade [common practice]: dew and frost form on still, clear nights."""
    for bound, least in (("design", 1.0), ("upper", 3.0)):
        curve = day_curve(HOT, Exposure(), bound)
        below = curve.air_degc - curve.part_degc
        assert least < below[curve.time_h < 4.0].min() < 15.0


def test_noon_is_the_irradiance_asked_for() -> None:
    curve = day_curve(HOT, Exposure())
    assert curve.irradiance_w_m2.max() == pytest.approx(1000.0)
    assert curve.time_h[curve.irradiance_w_m2.argmax()] == pytest.approx(12.0)
    assert curve.air_degc.max() == pytest.approx(40.0)
    assert curve.air_degc.min() == pytest.approx(28.0)


def test_neighbour_is_hot_all_day() -> None:
    curve = day_curve(HOT, Exposure(neighbour_degc=60.0))
    assert curve.part_degc.min() == 60.0
    assert curve.hours_above(59.0) == pytest.approx(24.0)
    assert any("neighbour" in note for note in curve.notes)


def test_summer_days_are_longer_away_from_the_equator() -> None:
    def lit(latitude: float) -> float:
        around = surroundings_of("temperate", latitude_deg=latitude)
        curve = day_curve(around, Exposure())
        return float((curve.irradiance_w_m2 > 0.0).sum())

    assert lit(60.0) > lit(45.0) > lit(10.0)
    assert lit(-45.0) == pytest.approx(lit(45.0), abs=4)


def test_contradictions_between_sun_and_place() -> None:
    winter = surroundings_of("temperate", latitude_deg=60.0, day_of_year=355)
    assert any("more than the clear sky" in note for note in day_curve(winter, Exposure()).notes)
    night = surroundings_of("temperate", latitude_deg=85.0, day_of_year=355)
    with pytest.raises(OutOfRangeError, match="sun rises on day 355"):
        day_curve(night, Exposure())
    dark = dataclasses.replace(night, irradiance_w_m2=0.0)
    assert day_curve(dark, Exposure()).peak_degc <= 38.0
    with pytest.raises(OutOfRangeError, match="step = 7"):
        day_curve(HOT, Exposure(), step_s=7.0)
    with pytest.raises(OutOfRangeError, match="step = 0"):
        day_curve(HOT, Exposure(), step_s=0.0)


def test_table_of_the_day() -> None:
    curve = day_curve(HOT, Exposure())
    frame = curve.to_frame()
    assert list(frame.columns) == ["time_h", "air_degc", "irradiance_w_m2", "part_degc"]
    assert frame["part_degc"].max() == curve.peak_degc
    assert curve.to_dict()["peak_degc"] == curve.peak_degc
