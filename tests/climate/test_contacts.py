"""Neighbours with heat of their own, in one balance with sun and air."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from printplan.climate import (
    SHELTERS,
    BrakeDescent,
    Exposure,
    HotBody,
    MetalAxle,
    MotorCase,
    Neighbour,
    PartTemperature,
    Surroundings,
    bar_end_share,
    brake_degc,
    day_curve,
    part_temperature,
)
from printplan.climate.balance import Around, Face, steady_temperature
from printplan.climate.contacts import Site
from printplan.errors import InputError, OutOfRangeError, UnknownNameError

HOT = Surroundings(air_degc=40.0, dew_point_degc=10.0, irradiance_w_m2=1000.0)
ROOM = Site(
    around=Around(air_degc=40.0, sky_degc=40.0, ground_degc=40.0),
    irradiance_w_m2=0.0,
    open_wind=False,
)
DESCENT = BrakeDescent(
    mass_g=120e3,
    slope_percent=6.0,
    speed_mm_s=2500.0,
    duration_s=60.0,
    disc_mass_g=500.0,
    cooled_area_mm2=4e4,
    share=0.5,
)
AXLE = MetalAxle(hot_end=DESCENT, length_mm=80.0, diameter_mm=12.0)
RIDING = ("sun", "shade", "sunlit housing")


def at(*neighbours: Neighbour, **changed: object) -> PartTemperature:
    return part_temperature(HOT, Exposure(neighbours=neighbours, **changed))  # type: ignore[arg-type]


@pytest.mark.parametrize(("duty", "stated"), [("light", 60.0), ("hard", 80.0), ("uncooled", 100.0)])
def test_motor_case_is_as_stated_where_it_is_stated(duty: str, stated: float) -> None:
    """Air of 40 °C, no sun, still or in wind; cooler air gives no discount, warmer air counts."""
    motor = MotorCase(duty=duty)
    assert motor.at(ROOM) == pytest.approx(stated, abs=1e-6)
    windy = dataclasses.replace(ROOM, around=dataclasses.replace(ROOM.around, wind_m_s=3.0))
    assert motor.at(windy) == pytest.approx(stated, abs=1e-6)
    cool = Around(air_degc=20.0, sky_degc=20.0, ground_degc=20.0)
    assert motor.at(dataclasses.replace(ROOM, around=cool)) == stated
    warm = Around(air_degc=50.0, sky_degc=50.0, ground_degc=50.0)
    assert motor.at(dataclasses.replace(ROOM, around=warm)) == pytest.approx(
        stated + 10.0, abs=1e-6
    )


def test_sun_and_motor_meet_in_one_balance() -> None:
    """Together they make more than either, and less than the sum of both rises."""
    site = dataclasses.replace(ROOM, irradiance_w_m2=1000.0)
    both = MotorCase(duty="hard").at(site) - 40.0
    motor = MotorCase(duty="hard").at(ROOM) - 40.0
    # The sun alone: the same body in balance, half of it lit, black and dirty.
    sun = steady_temperature(Face(side_mm=100.0, tilt_deg=90.0), site.around, 500.0, 1.0).rise_k
    assert max(motor, sun) < both < motor + sun


def test_brake_starts_from_sunlit_metal() -> None:
    """Without slope and speed it is just metal in the sun; with them the descent comes on top."""
    site = dataclasses.replace(ROOM, irradiance_w_m2=1000.0)
    still = dataclasses.replace(DESCENT, speed_mm_s=0.0, slope_percent=0.0)
    sunlit = still.at(site)
    assert 50.0 < sunlit < 90.0
    assert still.at(ROOM) == pytest.approx(40.0, abs=1e-6)
    expected = brake_degc(
        sunlit,
        mass_g=120e3,
        slope_percent=6.0,
        speed_mm_s=2500.0,
        duration_s=60.0,
        disc_mass_g=500.0,
        cooled_area_mm2=4e4,
        share=0.5,
    )
    assert DESCENT.at(site) == pytest.approx(expected, rel=1e-9)
    rolling = dataclasses.replace(site, open_wind=True)
    assert DESCENT.at(rolling) < DESCENT.at(site)


def test_axle_hands_on_a_share() -> None:
    share = bar_end_share(80.0, 12.0, 50.0)
    assert AXLE.share == share
    hot = DESCENT.at(ROOM)
    assert AXLE.at(ROOM) == pytest.approx(40.0 + share * (hot - 40.0), abs=1e-6)
    touching = dataclasses.replace(AXLE, length_mm=0.0)
    assert touching.at(ROOM) == pytest.approx(hot, abs=1e-6)
    # A cold hot end cools nothing: the bar is as warm as sun and air make it.
    cold = MetalAxle(hot_end=HotBody(body_degc=0.0), length_mm=10.0, diameter_mm=12.0)
    assert cold.at(ROOM) == pytest.approx(40.0, abs=1e-6)


def test_part_is_as_hot_as_the_hottest_it_touches() -> None:
    part = at(MotorCase(duty="light"), DESCENT, AXLE, shelter="shade", neighbour_degc=50.0)
    labels = [n.label for n in part.neighbours]
    assert labels == [
        "neighbour of 50 °C",
        "motor case, duty light",
        "brake after 60 s down a slope of 6 %",
        "axle of 80 mm from brake after 60 s down a slope of 6 %",
    ]
    alone = at(shelter="shade")
    hottest = max(n.design_degc for n in part.neighbours)
    assert part.design_degc == max(hottest, alone.design_degc) == hottest
    assert part.upper_degc == max(n.upper_degc for n in part.neighbours)
    assert part.governed_by == "neighbour"
    assert part.neighbours[0].design_degc == part.neighbours[0].upper_degc == 50.0
    assert any("neighbours:" in s for s in part.sources)
    assert part.to_dict()["neighbours"][1]["label"] == "motor case, duty light"


def test_known_temperature_is_the_same_either_way() -> None:
    one = at(neighbour_degc=90.0)
    other = at(HotBody(body_degc=90.0))
    assert (one.design_degc, one.upper_degc) == (other.design_degc, other.upper_degc)


def test_soak_and_ride_do_not_meet() -> None:
    """A shut-in vehicle is not ridden: the hotter of soak and sunny ride, never their sum."""
    for name in SHELTERS:
        exposure = Exposure(shelter=name, neighbours=(DESCENT,))
        assert (len(exposure.cases) == 1) == (name in RIDING), name
    soak = at(shelter="closed vehicle")
    ride = at(DESCENT, shelter="sun")
    both = at(DESCENT, shelter="closed vehicle")
    assert both.design_degc == max(soak.design_degc, ride.design_degc)
    assert both.upper_degc == max(soak.upper_degc, ride.upper_degc)
    assert any("is not ridden" in note for note in both.notes)
    # A body of known temperature needs no ride.
    assert len(Exposure(shelter="boot", neighbours=(HotBody(body_degc=60.0),)).cases) == 1
    assert at(HotBody(body_degc=95.0), shelter="boot").design_degc == 95.0


def test_motor_in_a_sunlit_housing_has_the_housings_air() -> None:
    skin = at(shelter="sunlit housing")
    part = at(MotorCase(duty="light"), shelter="sunlit housing")
    assert part.design_degc > skin.design_degc + 10.0
    assert any("warms the housing too" in text for text in part.warnings)


def test_glowing_brakes_warn() -> None:
    long = dataclasses.replace(DESCENT, duration_s=1800.0, share=1.0)
    assert any("no printed part may touch it" in text for text in at(long).warnings)
    assert not any("touch" in text for text in at(MotorCase()).warnings)


bodies = st.floats(20.0, 120.0)


@settings(max_examples=40, deadline=None)
@given(bodies, bodies, st.sampled_from(sorted(SHELTERS)), st.floats(0.0, 200.0))
def test_hotter_neighbour_is_never_cooler(
    first: float, second: float, shelter: str, length: float
) -> None:
    """A fact of the trade [common practice, no source]; touching, or through an axle."""
    for through in (False, True):
        parts = []
        for degc in sorted((first, second)):
            body = HotBody(body_degc=degc)
            axle = MetalAxle(hot_end=body, length_mm=length, diameter_mm=10.0)
            parts.append(at(axle if through else body, shelter=shelter, colour="white"))
        assert parts[1].design_degc >= parts[0].design_degc - 1e-6
        assert parts[1].upper_degc >= parts[0].upper_degc - 1e-6
        assert parts[0].design_degc >= at(shelter=shelter, colour="white").design_degc


@settings(max_examples=40, deadline=None)
@given(
    st.floats(0.0, 900.0),
    st.floats(0.0, 900.0),
    st.sampled_from(["sun", "shade", "sunlit housing", "closed vehicle"]),
)
def test_longer_descent_is_never_cooler(first: float, second: float, shelter: str) -> None:
    short, long = (
        at(dataclasses.replace(DESCENT, duration_s=t), shelter=shelter)
        for t in sorted((first, second))
    )
    assert long.design_degc >= short.design_degc - 1e-6
    assert long.upper_degc >= short.upper_degc - 1e-6


@settings(max_examples=30, deadline=None)
@given(st.floats(20.0, 48.0), st.floats(0.0, 1100.0), st.sampled_from(["light", "uncooled"]))
def test_more_sun_or_warmer_air_is_never_cooler(air: float, sun: float, duty: str) -> None:
    exposure = Exposure(neighbours=(MotorCase(duty=duty), DESCENT), colour="white")
    around = Surroundings(air_degc=air, dew_point_degc=10.0, irradiance_w_m2=sun)
    base = part_temperature(around, exposure)
    for changed in ({"air_degc": air + 2.0}, {"irradiance_w_m2": sun + 50.0}):
        more = part_temperature(dataclasses.replace(around, **changed), exposure)
        assert more.design_degc >= base.design_degc - 1e-3
        assert more.upper_degc >= base.upper_degc - 1e-3


def test_day_with_a_motor() -> None:
    """The motor follows sun and air; its peak is that of the hottest moment at most."""
    exposure = Exposure(shelter="shade", neighbours=(MotorCase(duty="hard"),))
    curve = day_curve(HOT, exposure)
    steady = part_temperature(HOT, exposure).design_degc
    assert 80.0 == curve.part_degc.min() < curve.peak_degc <= steady + 1e-6
    assert curve.peak_degc > steady - 3.0
    assert any("hot all day" in note for note in curve.notes)
    soak = day_curve(HOT, Exposure(shelter="closed vehicle"))
    ride = day_curve(HOT, Exposure(neighbours=(MotorCase(),)))
    both = day_curve(HOT, Exposure(shelter="closed vehicle", neighbours=(MotorCase(),)))
    assert np.array_equal(both.part_degc, np.maximum(soak.part_degc, ride.part_degc))


@pytest.mark.parametrize(
    ("make", "error", "expected"),
    [
        (lambda: MotorCase(duty="lihgt"), UnknownNameError, "did you mean 'light'?"),
        (lambda: MotorCase(colour="blak"), UnknownNameError, "did you mean 'black'?"),
        (lambda: MotorCase(side_mm=0.0), OutOfRangeError, "side of the case = 0.0"),
        (lambda: HotBody(body_degc=-300.0), OutOfRangeError, "expected -60 to 400 °C"),
        (
            lambda: dataclasses.replace(DESCENT, slope_percent=-1.0),
            OutOfRangeError,
            "slope = -1.0",
        ),
        (lambda: dataclasses.replace(DESCENT, colour="?"), UnknownNameError, "colour '?'"),
        (
            lambda: dataclasses.replace(AXLE, diameter_mm=0.0),
            OutOfRangeError,
            "diameter of the bar",
        ),
        (lambda: dataclasses.replace(AXLE, colour="?"), UnknownNameError, "colour '?'"),
        (
            lambda: Exposure(neighbours=(80.0,)),
            InputError,
            "expected a tuple of HotBody, MotorCase",
        ),
        (lambda: Exposure(neighbours=[DESCENT]), InputError, "expected a tuple of HotBody"),
    ],
)
def test_neighbours_that_cannot_be(make, error: type[Exception], expected: str) -> None:
    with pytest.raises(error) as caught:
        make()
    assert expected in str(caught.value)
    assert "\n" not in str(caught.value)
