"""The front door of the climate room: what a part's temperature depends on, and how."""

from __future__ import annotations

import dataclasses
import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from printplan.climate import (
    SHELTERS,
    SURFACES,
    Exposure,
    PartTemperature,
    Surroundings,
    part_temperature,
    surroundings_of,
)
from printplan.climate.exposure import situation_of
from printplan.climate.sun import worst_face_irradiance_w_m2
from printplan.errors import InputError, OutOfRangeError, UnknownNameError

HOT = Surroundings(air_degc=40.0, dew_point_degc=10.0, irradiance_w_m2=1000.0)


def at(**changed: object) -> PartTemperature:
    return part_temperature(HOT, Exposure(**changed))  # type: ignore[arg-type]


airs = st.floats(10.0, 50.0)
dews = st.floats(-10.0, 10.0)
suns = st.floats(400.0, 1120.0)
winds = st.floats(0.0, 12.0)
faces = st.floats(20.0, 1000.0)
tilts = st.floats(0.0, 90.0)


@settings(max_examples=60, deadline=None)
@given(airs, dews, suns, winds, faces, tilts, st.booleans(), st.sampled_from(sorted(SHELTERS)))
def test_darker_is_never_cooler(
    air: float,
    dew: float,
    sun: float,
    wind: float,
    face: float,
    tilt: float,
    two_sided: bool,
    shelter: str,
) -> None:
    """A fact of the trade [common practice, no source]."""
    around = Surroundings(air_degc=air, dew_point_degc=dew, irradiance_w_m2=sun, wind_m_s=wind)
    plastics = sorted(
        (s for s in SURFACES.values() if s.emittance == 0.90), key=lambda s: s.absorptance
    )
    parts = [
        part_temperature(
            around,
            Exposure(
                shelter=shelter,
                colour=s.name,
                face_mm=face,
                tilt_deg=tilt,
                two_sided=two_sided,
            ),
        )
        for s in plastics
    ]
    for lighter, darker in itertools.pairwise(parts):
        assert darker.design_degc >= lighter.design_degc - 1e-6
        assert darker.upper_degc >= lighter.upper_degc - 1e-6


@settings(max_examples=60, deadline=None)
@given(airs, dews, suns, winds, winds, faces, tilts, st.booleans())
def test_more_wind_is_never_hotter(
    air: float,
    dew: float,
    sun: float,
    wind_1: float,
    wind_2: float,
    face: float,
    tilt: float,
    two_sided: bool,
) -> None:
    """A fact of the trade [common practice, no source], for a part that the sun has warmed."""
    exposure = Exposure(colour="red", face_mm=face, tilt_deg=tilt, two_sided=two_sided)
    calm, windy = (
        part_temperature(
            Surroundings(air_degc=air, dew_point_degc=dew, irradiance_w_m2=sun, wind_m_s=wind),
            exposure,
        )
        for wind in sorted((wind_1, wind_2))
    )
    assert windy.design_degc <= calm.design_degc + 1e-6
    assert windy.upper_degc == calm.upper_degc  # the bound is for still air anyway


@settings(max_examples=60, deadline=None)
@given(airs, dews, suns, winds, faces, tilts, st.booleans(), st.sampled_from(sorted(SHELTERS)))
def test_heat_terms_add_up_and_bounds_are_ordered(
    air: float,
    dew: float,
    sun: float,
    wind: float,
    face: float,
    tilt: float,
    two_sided: bool,
    shelter: str,
) -> None:
    """First law: what is absorbed leaves again, to 1 mW/m² (bisection to 1e-7 K)."""
    around = Surroundings(air_degc=air, dew_point_degc=dew, irradiance_w_m2=sun, wind_m_s=wind)
    part = part_temperature(
        around,
        Exposure(shelter=shelter, face_mm=face, tilt_deg=tilt, two_sided=two_sided),
    )
    for balance in (part.design, part.upper):
        lost = balance.convection_w_m2 + balance.radiation_w_m2
        # Where the balance falls into the jump of natural convection (6 %) it ends at its edge.
        assert lost == pytest.approx(balance.absorbed_w_m2, abs=1e-3) or (
            0.0 < lost - balance.absorbed_w_m2 < 0.07 * balance.convection_w_m2
        )
    assert part.terms["absorbed"] == part.design.absorbed_w_m2
    assert part.air_degc <= part.design_degc <= part.upper_degc


def test_upper_bound_is_still_air_and_aged_colour() -> None:
    part = at(colour="red")
    assert part.absorptance == 0.75
    assert part.upper.absorptance == pytest.approx(0.80)
    assert (part.design.wind_m_s, part.upper.wind_m_s) == (1.0, 0.0)
    still = part_temperature(dataclasses.replace(HOT, wind_m_s=0.0), Exposure(colour="red"))
    assert still.design_degc < part.upper_degc
    assert at(colour="black paint").upper.absorptance == 1.0  # 0.975 + 0.05 stops at all of it


def test_black_to_white_is_worth_some_35_kelvin() -> None:
    """Reference on heat, section 5: 32 to 37 K."""
    assert 32.0 <= at(colour="black").design_degc - at(colour="white").design_degc <= 37.0


def test_unknown_colour_counts_as_black() -> None:
    for name in ("unknown", "unknown pigment"):
        part = at(colour=name)
        assert part.design_degc == at(colour="black").design_degc
        assert any("taken as black" in text for text in part.warnings)
    assert at(colour="black").warnings == ()


def test_neighbour_sets_the_least_temperature() -> None:
    alone = at(shelter="shade")
    motor = at(shelter="shade", neighbour_degc=80.0)
    assert motor.design_degc == motor.upper_degc == 80.0
    assert motor.governed_by == "neighbour"
    cold = at(shelter="shade", neighbour_degc=20.0)
    assert cold.design_degc == alone.design_degc
    assert cold.governed_by == "sun"
    assert any("neighbour" in note for note in cold.notes)


def test_shade_is_a_little_over_air() -> None:
    """Diffuse light is a tenth of the sun: a small rise.

    [source: Chestovich et al. 2022, abstract]: surfaces in the sun lie 20 to 31 K over shaded ones;
    ours, made for light wind and less, lie further, so that the shade does not come out too cool.
    """
    part = at(shelter="shade")
    assert 3.0 < part.design_degc - 40.0 < part.upper_degc - 40.0 < 12.0
    assert at().design_degc - part.design_degc > 31.0
    assert at(shelter="shade", colour="white").design_degc < part.design_degc


def test_sunlit_housing_gives_the_housings_temperature() -> None:
    inside = at(shelter="inside a sunlit housing", colour="blue", face_mm=300.0)
    skin = at(shelter="sun", colour="blue", face_mm=300.0)
    assert inside.design_degc == skin.design_degc
    assert inside.upper_degc == skin.upper_degc
    two = at(shelter="sunlit housing", colour="blue", face_mm=300.0, two_sided=True)
    assert two.design_degc == skin.design_degc
    assert any("two_sided" in text for text in two.warnings)


def test_closed_vehicle() -> None:
    """40 K over air at 950 W/m² out of the sun; under glass at worst."""
    around = dataclasses.replace(HOT, irradiance_w_m2=950.0)
    part = part_temperature(around, Exposure(shelter="closed vehicle"))
    assert part.design_degc == pytest.approx(80.0, abs=1e-5)
    dashboard = part_temperature(around, Exposure(shelter="dashboard"))
    assert part.upper_degc == dashboard.upper_degc > dashboard.design_degc > part.design_degc
    hour = part_temperature(around, Exposure(shelter="closed_vehicle-one hour"))
    assert hour.design_degc == pytest.approx(40.0 + 24.0 * (1.0 - math.exp(-3.0)), abs=1e-5)


def test_boxes_in_order() -> None:
    degrees = {name: at(shelter=name).design_degc for name in SHELTERS}
    assert (
        40.0
        < degrees["shaded vehicle"]
        < degrees["vented box"]
        < degrees["light metal box"]
        < degrees["metal box"]
        < degrees["closed vehicle"]
        < degrees["dashboard"]
    )
    assert at(shelter="shed").design_degc == degrees["metal box"]
    assert at(shelter="metal box").warnings


def test_nothing_is_warmer_than_air_without_sun() -> None:
    dark = dataclasses.replace(HOT, irradiance_w_m2=0.0)
    for name in SHELTERS:
        part = part_temperature(dark, Exposure(shelter=name))
        assert part.design_degc <= 40.0 + 1e-6
        assert part.governed_by == "air"


def test_tilted_face_looks_at_the_sun() -> None:
    """A face square to a high sun gets 4 to 15 % more than level ground, an upright one less."""
    for noon in (900.0, 950.0, 1000.0):
        assert worst_face_irradiance_w_m2(0.0, noon) == pytest.approx(noon, rel=1e-9)
        assert 1.04 < worst_face_irradiance_w_m2(30.0, noon) / noon < 1.20
        assert worst_face_irradiance_w_m2(90.0, noon) < 0.9 * noon
    tilted = situation_of(HOT, Exposure(tilt_deg=30.0), "upper")
    assert tilted.irradiance_w_m2 > 1000.0
    # An upright face belongs to a part that has level ones too.
    assert situation_of(HOT, Exposure(tilt_deg=90.0), "upper").irradiance_w_m2 == 1000.0
    assert situation_of(HOT, Exposure(tilt_deg=30.0), "design").irradiance_w_m2 == 1000.0


def test_worst_face_never_below_the_level_one_at_noon() -> None:
    for noon in (0.0, 3.0, 50.0, 500.0, 1120.0, 1500.0):
        for tilt in (0.0, 5.0):
            assert worst_face_irradiance_w_m2(tilt, noon) >= 0.99 * noon


def test_thin_plate_is_cooler() -> None:
    one, two = at().design, at(two_sided=True).design
    assert two.surface_degc < one.surface_degc
    assert two.irradiance_w_m2 == pytest.approx(1200.0)  # and the ground's fifth


def test_sources_and_inputs_travel_with_the_result() -> None:
    around = surroundings_of("warm", "summer")
    part = part_temperature(around, Exposure(shelter="dashboard", colour="white"))
    assert part.surroundings is around
    text = " ".join(part.sources)
    for label in ("place 'warm'", "colour 'white'", "shelter 'dashboard'", "[source:", "[derived]"):
        assert label in text
    plain = part.to_dict()
    assert plain["design_degc"] == part.design_degc
    assert plain["exposure"]["shelter"] == "dashboard"
    assert plain["terms"]["absorbed"] == part.design.absorbed_w_m2


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({"air_degc": -300.0}, "air temperature = -300.0: expected -60 to 70 °C"),
        ({"wind_m_s": -1.0}, "wind = -1.0: expected 0 to 60 m/s"),
        ({"irradiance_w_m2": -1.0}, "irradiance = -1.0: expected 0 to 1500 W/m²"),
        ({"irradiance_w_m2": 1501.0}, "irradiance = 1501.0: expected 0 to 1500 W/m²"),
        ({"latitude_deg": 95.0}, "latitude = 95.0: expected -90 to 90 degrees"),
        ({"day_of_year": 0.0}, "day of the year = 0.0: expected 1 to 366"),
        ({"dew_point_degc": 39.0, "air_degc": 30.0}, "not above the air temperature of 30 °C"),
        ({"air_degc": math.nan}, "air temperature = nan"),
        ({"cloud_tenths": 11.0}, "cloud cover = 11.0"),
        ({"pressure_pa": 1000.0}, "air pressure = 1000.0"),
        ({"daily_range_k": -1.0}, "daily range = -1.0"),
        ({"ground_rise_k": 90.0}, "rise of the ground = 90.0"),
    ],
)
def test_surroundings_that_cannot_be(changed: dict[str, float], expected: str) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        dataclasses.replace(HOT, **changed)
    assert expected in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({"shelter": "dashbord"}, "shelter 'dashbord' is not known; did you mean 'dashboard'?"),
        ({"colour": "blak"}, "colour 'blak' is not known; did you mean 'black'?"),
        ({"colour": ""}, "colour '' is not known; known: "),
        ({"face_mm": 0.0}, "face = 0.0: expected 5 to 5000 mm"),
        ({"tilt_deg": 120.0}, "tilt = 120.0: expected 0 to 90 degrees"),
        ({"wall_mm": -1.0}, "wall = -1.0"),
        ({"neighbour_degc": -300.0}, "neighbour's temperature = -300.0: expected -60 to 400 °C"),
    ],
)
def test_exposures_that_cannot_be(changed: dict[str, object], expected: str) -> None:
    with pytest.raises(InputError) as caught:
        Exposure(**changed)  # type: ignore[arg-type]
    assert expected in str(caught.value)
    assert "\n" not in str(caught.value)


def test_places() -> None:
    for place in ("temperate", "warm", "hot-dry", "tropical"):
        summer, extreme = surroundings_of(place, "summer"), surroundings_of(place, "extreme")
        assert 3.0 <= extreme.air_degc - summer.air_degc <= 8.0
        assert any("1 to 2 K" in note for note in extreme.notes)
    assert surroundings_of("hot_dry") == surroundings_of("Hot-Dry")
    given_air = surroundings_of("warm", air_degc=33.0, wind_m_s=2.0, irradiance_w_m2=800.0)
    assert (given_air.air_degc, given_air.wind_m_s, given_air.irradiance_w_m2) == (33.0, 2.0, 800.0)
    assert given_air.notes == ()
    with pytest.raises(UnknownNameError, match="place 'moon' is not known"):
        surroundings_of("moon")
    with pytest.raises(UnknownNameError, match="severity 'bad' is not known"):
        surroundings_of("warm", "bad")


def test_dew_point_of_a_cooler_day_is_told() -> None:
    cool = surroundings_of("tropical", air_degc=20.0)
    assert cool.dew_point_degc == 20.0
    assert any("lies above the air temperature" in note for note in cool.notes)
    with pytest.raises(OutOfRangeError, match="dew point"):
        surroundings_of("tropical", air_degc=20.0, dew_point_degc=25.0)


def test_south_of_the_equator_summer_is_in_january() -> None:
    assert surroundings_of("warm", latitude_deg=-35.0).day_of_year == 19.0
    assert surroundings_of("warm", latitude_deg=-35.0, day_of_year=202).day_of_year == 202
