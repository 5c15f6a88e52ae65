"""From the job file to what the rooms take: names are looked up, slips name their key."""

from __future__ import annotations

import re

import pytest

from printplan.climate import surroundings_of
from printplan.errors import JobFileError
from printplan.filament import load_table
from printplan.job import read_job
from printplan.planning import inputs
from printplan.process import RECIPES, load_printer_classes

VEHICLE = """
[vehicle]
empty_mass = "45 kg"
rider_mass = "60 kg"
wheelbase = "1100 mm"
track = "700 mm"
centre_behind_front = "600 mm"
centre_height = "500 mm"
wheel_diameter = "300 mm"
speed = "10 km/h"
slope = "8 %"
{more}
[vehicle.motor]
torque_constant = "0.09 N*m/A"
resistance = "0.15 ohm"
voltage = "36 V"
current_limit = "25 A"
"""


@pytest.fixture
def job(tmp_path, write_small_job):
    def read(*changes):
        return read_job(write_small_job(tmp_path, *changes))

    return read


def refusal(call, *args) -> str:
    with pytest.raises(JobFileError) as caught:
        call(*args)
    assert caught.value.exit_code == 2
    text = str(caught.value)
    assert "\n" not in text
    assert "job.toml: " in text
    return text


def with_vehicle(more: str = "", **values) -> tuple[str, str]:
    text = VEHICLE.format(more=more)
    for key, value in values.items():
        text = re.sub(rf"^{key} = .*$", f"{key} = {value}", text, flags=re.MULTILINE)
    return "[prices]", text + "\n[prices]"


def test_unknown_grade_names_its_key_and_the_nearest(job):
    table = load_table()
    for change, key in (
        (('"ASA"', '"ASSA"'), "filaments[1] = 'ASSA'"),
        (('grade = "petg"', 'grade = "petgg"'), "spools[0].grade = 'petgg'"),
        (("{ PETG =", "{ PEETG ="), "prices.filament.PEETG = 'PEETG'"),
        (
            ('role = "bracket"', 'role = "bracket"\nfilaments = ["ASA", "PTEG"]'),
            "parts[0].filaments (part 'light bracket') = 'PTEG'",
        ),
    ):
        text = refusal(inputs.check_grades, job(change), table)
        assert f"{key}: expected a known filament grade; did you mean '" in text
    inputs.check_grades(job(), table)


def test_unknown_place(job):
    text = refusal(
        inputs.surroundings_for, job(("[prices]", '[climate]\nplace = "tropcal"\n[prices]'))
    )
    assert "climate.place = 'tropcal': expected a known place; did you mean 'tropical'?" in text


def test_unknown_colour_shelter_and_face(job):
    for change, told in (
        (('colour = "light grey"', 'colour = "light gey"'), "did you mean 'light grey'?"),
        (('shelter = "shade"', 'shelter = "shad"'), "did you mean 'shade'?"),
        (('shelter = "shade"', 'shelter = "shade", face = "9 m"'), "expected 5 to 5000 mm"),
    ):
        text = refusal(inputs.exposure_of, job(change), 2)
        assert "parts[2].exposure (part 'cover')" in text
        assert told in text


def test_unknown_printer_class_and_recipe(job):
    text = refusal(inputs.printers_of, job(("slow bed-moving", "slow bed moving")))
    assert "printers[0].class = 'slow bed moving machine': expected a known printer class" in text
    assert "did you mean 'slow bed-moving machine'?" in text
    changed = job(('role = "bracket"', 'role = "bracket"\nrecipe = { like = "stury" }'))
    text = refusal(inputs.recipes_of, changed, 0)
    assert "parts[0].recipe (part 'light bracket')" in text
    assert "did you mean 'sturdy'?" in text
    impossible = job(('role = "bracket"', 'role = "bracket"\nrecipe = { layer_height = "2 mm" }'))
    assert "layer height [mm] is 2" in refusal(inputs.recipes_of, impossible, 0)


def test_surroundings_of_the_place_and_what_the_job_overrides(job):
    plain = inputs.surroundings_for(job(("[prices]", '[climate]\nplace = "warm"\n[prices]')))
    assert plain == surroundings_of("warm", "extreme")
    own = inputs.surroundings_for(
        job(("[prices]", '[climate]\nair = "95 degF"\nwind = "7.2 km/h"\n[prices]'))
    )
    base = surroundings_of("temperate", "extreme")
    assert own.air_degc == pytest.approx(35.0)
    assert own.wind_m_s == pytest.approx(2.0)
    assert own.irradiance_w_m2 == base.irradiance_w_m2
    assert own.notes[-1] == "set in the job file: air, wind"
    impossible = job(("[prices]", '[climate]\nair = "200 degC"\n[prices]'))
    assert "climate: expected" in refusal(inputs.surroundings_for, impossible)


def test_printers_take_what_is_different(job):
    own, other = inputs.printers_of(
        job(
            (
                'name = "bench printer"',
                'name = "bench printer"\nbuild_volume = ["1 ft", "200 mm", "180 mm"]\n'
                'hardened_nozzle = true\nnozzle_bore = "0.6 mm"',
            )
        )
    )
    classes = load_printer_classes()
    assert own.name == "bench printer"
    assert own.build_volume_mm == pytest.approx((304.8, 200.0, 180.0))
    assert (own.hardened_nozzle, own.nozzle_bore_mm) == (True, 0.6)
    assert own.price == classes["slow bed-moving machine"].price
    assert other.can_dry
    assert other.enclosed == classes["fast enclosed machine"].enclosed


def test_recipes_lightest_first_or_the_one_that_is_stated(job):
    ladder = inputs.recipes_of(job(), 0)
    assert [r.name for r in ladder] == list(inputs.LADDER)
    infills = [r.infill_fraction for r in ladder]
    assert infills == sorted(infills)
    assert len(set(infills)) == len(infills)
    (own,) = inputs.recipes_of(
        job(
            (
                'role = "bracket"',
                'role = "bracket"\nrecipe = { like = "light", wall_count = 4, infill = "60 %" }',
            )
        ),
        0,
    )
    assert own == RECIPES["light"].but(name="light, changed", wall_count=4, infill_fraction=0.6)


def test_parts_of_the_drive_are_never_thinner_than_sturdy(job):
    """Load paths that no formula covers (bending of housing and web): a choice of ours."""
    ladder = inputs.recipes_of(job(('role = "bracket"', 'role = "motor mount"')), 0)
    assert [r.name for r in ladder] == list(inputs.DRIVE_LADDER)
    assert ladder[0] == RECIPES["sturdy"]
    assert set(inputs.DRIVE_LADDER) < set(inputs.LADDER)


def test_prices(job):
    prices = inputs.prices_of(job(('"0.30 EUR/kWh"', '"0.42 EUR/kWh"\nlabour = "15 EUR/h"')))
    assert (prices.electricity_per_kwh, prices.labour_per_h) == (0.42, 15.0)
    assert prices.currency == "EUR"


def test_no_vehicle(job):
    assert inputs.vehicle_of(job()) is None


def test_vehicle_values_arrive_in_their_units(job):
    more = (
        'kerb_height = "40 mm"\nkerb_speed = "3.6 km/h"\nlife_distance = "600 km"\n'
        "starts_per_km = 2\nclimbing_share = 0.25\npeak_grip = 0.9\n"
        '[[vehicle.brakes]]\nplace = "one half axle"\naxle = "rear"\n'
        '[[vehicle.brakes]]\naxle = "front"\n'
        '[vehicle.belt]\npitch = "8 mm"\nmotor_teeth = 20\ndriven_teeth = 60\n'
        "[vehicle.differential]\npinions = 4\n"
    )
    vehicle = inputs.vehicle_of(job(with_vehicle(more)))
    assert vehicle.mass_g == 105e3
    assert (vehicle.wheel_diameter_mm, vehicle.wheelbase_mm) == (300.0, 1100.0)
    assert vehicle.slope_percent == pytest.approx(8.0)
    assert vehicle.speed_mm_s == pytest.approx(10e6 / 3600)
    assert vehicle.kerb_speed_mm_s == pytest.approx(1000.0)
    assert vehicle.life_distance_mm == pytest.approx(6e8)
    assert (vehicle.starts_per_km, vehicle.climbing_share) == (2.0, 0.25)
    assert vehicle.peak_grip == vehicle.lateral_grip == 0.9
    assert vehicle.motor.torque_constant_nmm_a == pytest.approx(90.0)
    assert (vehicle.belt.driven_teeth, vehicle.differential.pinions) == (60, 4)
    assert [(b.place, b.axle) for b in vehicle.brakes] == [
        ("half axle", "rear"),
        ("wheels", "front"),
    ]
    assert vehicle.tyre_stiffness_n_mm == inputs.SOFT_WHEEL_N_MM


def test_a_vehicle_without_physical_sense_is_refused_with_its_key(job):
    text = refusal(inputs.vehicle_of, job(with_vehicle(centre_height='"8 m"')))
    assert "job.toml: vehicle: expected below" in text
    assert "slope_percent is 8" in text
    behind = job(with_vehicle('kerb_height = "200 mm"\n'))
    assert "job.toml: vehicle: expected" in refusal(inputs.vehicle_of, behind)
