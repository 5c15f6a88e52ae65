"""``printplan hotday``."""

from __future__ import annotations

import json

import pytest

from printplan.cli import COMMANDS, main
from printplan.cli.hotday import command


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    code = main(["hotday", *words])
    shown = capsys.readouterr()
    return code, shown.out, shown.err


def test_help_is_the_listed_one() -> None:
    assert command.get_short_help_str(100) == COMMANDS["hotday"][1]
    assert command.epilog is not None
    assert command.epilog.startswith("Example: printplan hotday")


def test_prints_temperatures_filaments_and_the_day(capsys: pytest.CaptureFixture[str]) -> None:
    """Reference on heat, section 5: black in hot-dry extreme has a design value of 95 °C."""
    code, out, err = run(capsys, "--place", "hot-dry")
    assert code == 0
    assert err == ""
    rows = {line.split("  ")[0]: line for line in out.splitlines()}
    assert "95.0" in rows["part, design"]
    assert "absorbed 950 = convection 458 + radiation 492 W/m²" in rows["part, design"]
    assert "104.0" in rows["part, upper bound"]
    assert rows["pla"].split()[2] == "no"
    assert rows["pc"].split()[2] == "yes"
    assert "above 50 °C for" in out
    assert "# part" in out
    assert "█" not in out  # plain marks when not a terminal


def test_chart_peaks_with_the_part(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, "--place", "hot-dry")
    chart = [line for line in out.splitlines() if " |" in line]
    levels = [int(line.split("|")[0]) for line in chart]
    assert levels == sorted(levels, reverse=True)
    assert levels[0] == 95
    columns = [i for i, mark in enumerate(chart[0].split("|")[1]) if mark == "#"]
    # Half hours round the peak of 12:25.
    assert 22 <= min(columns) <= max(columns) <= 28
    marks = sum(line.count("#") for line in chart)
    assert marks == 49


def test_json_is_one_document(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(
        capsys,
        *("--air", "95 degF", "--dew-point", "50 degF", "--irradiance", "1 kW/m^2"),
        *("--wind", "3.6 km/h", "--face", "20 cm", "--json"),
    )
    assert code == 0
    result = json.loads(out)
    temperature = result["temperature"]
    assert temperature["air_degc"] == 35.0
    assert temperature["design_degc"] == pytest.approx(83.42, abs=0.005)  # reference 1.2
    assert temperature["terms"]["convection"] == pytest.approx(499.8, abs=0.05)
    assert set(result["hours_above_degc"]) == {"50", "60", "70"}
    assert result["day"]["peak_degc"] == max(result["day"]["part_degc"])
    for row in result["filaments"]:
        for kind in ("sustained", "shape_only"):
            limit = row[f"{kind}_limit_degc"]
            expected = (
                "not known"
                if limit is None
                else "yes"
                if temperature["upper_degc"] <= limit
                else "marginal"
                if temperature["design_degc"] <= limit
                else "no"
            )
            assert row[kind] == expected


def test_unknown_colour_and_weak_data_warn(capsys: pytest.CaptureFixture[str]) -> None:
    code, _, err = run(capsys, "--colour", "unknown", "--shelter", "shed")
    assert code == 0
    assert err.count("warning: ") == 2
    assert "taken as black" in err


def test_neighbour_governs(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, "--shelter", "shade", "--neighbour", "80 degC")
    assert "the neighbour" in out.lower()
    assert "it governs" in out
    assert "80.0" in out


@pytest.mark.parametrize("day", ["202", "07-21", "2026-07-21"])
def test_day_can_be_a_number_or_a_date(capsys: pytest.CaptureFixture[str], day: str) -> None:
    _, out, _ = run(capsys, "--day", day, "--latitude", "45")
    assert "Day 202 of the year at latitude 45°" in out


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("--air", "-300 degC"), "air temperature = -300.0: expected -60 to 70 °C"),
        (("--air", "40"), "--air = '40': expected a temperature with its unit"),
        (("--dew-point", "5 m"), "--dew-point = '5 m'"),
        (("--wind", "-1 m/s"), "wind = -1.0: expected 0 to 60 m/s"),
        (("--colour", "blak"), "colour 'blak' is not known; did you mean 'black'?"),
        (("--place", "moon"), "place 'moon' is not known"),
        (("--severity", "awful"), "severity 'awful' is not known"),
        (("--shelter", "dashbord"), "did you mean 'dashboard'?"),
        (("--latitude", "95"), "latitude = 95.0: expected -90 to 90 degrees"),
        (("--latitude", "nan"), "latitude = nan: expected -90 to 90 degrees"),
        (("--irradiance", "-5 W/m^2"), "irradiance = -5.0: expected 0 to 1500 W/m²"),
        (("--irradiance", "1501 W/m^2"), "irradiance = 1501.0: expected 0 to 1500 W/m²"),
        (("--day", "31-12"), "--day = '31-12': expected a day of the year (202) or a date (07-21)"),
        (("--day", "367"), "--day = '367'"),
        (("--day", "x\ny"), "--day = "),
        (("--latitude", "85", "--day", "355"), "latitude = 85.0: expected one where the sun rises"),
        (("--face", "0 mm"), "face = 0.0: expected 5 to 5000 mm"),
        (("--tilt", "120 deg"), "tilt = 120.0: expected 0 to 90 degrees"),
    ],
)
def test_bad_input_is_one_clear_line(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], expected: str
) -> None:
    code, out, err = run(capsys, *words)
    assert code == 2
    assert out == ""
    assert err.startswith("printplan: ")
    assert expected in err
    assert err.count("\n") == 1
