"""``printplan hotday``."""

from __future__ import annotations

import itertools
import json
import struct
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from printplan.cli import COMMANDS, main
from printplan.cli.hotday import command
from printplan.cli.hotday_picture import hotday_picture, spread


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
        (("--neighbour", "-300 degC"), "neighbour's temperature = -300.0: expected -60 to 400 °C"),
        (("--neighbour-motor", "hrd"), "motor duty 'hrd' is not known; did you mean 'hard'?"),
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


def test_hours_above_stand_beside_the_limits(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "--place", "warm", "--json")
    assert code == 0
    result = json.loads(out)
    time, part = (np.array(result["day"][k]) for k in ("time_h", "part_degc"))
    for row in result["filaments"]:
        for kind in ("sustained", "shape_only"):
            limit, hours = row[f"{kind}_limit_degc"], row[f"{kind}_hours_above"]
            if limit is None:
                assert hours is None
            else:  # counted in five-minute steps
                assert hours == pytest.approx(24.0 * (part > limit).mean(), abs=0.2)
    assert len(time) == 289


def test_motor_neighbour(capsys: pytest.CaptureFixture[str]) -> None:
    """Bolted to a motor in the shade of a 40 °C day: its case, a little warmer by diffuse light."""
    words = ("--shelter", "shade", "--air", "40 degC", "--neighbour-motor", "hard")
    code, out, err = run(capsys, *words, "--json")
    assert code == 0
    temperature = json.loads(out)["temperature"]
    assert 80.0 <= temperature["design_degc"] < 83.0
    assert temperature["neighbours"][0]["label"] == "motor case, duty hard"
    code, out, err = run(capsys, *words)
    assert "motor case, duty hard" in out
    assert "it governs" in out
    assert "hot all day" in err


def test_soak_and_ride_are_told_apart(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, "--shelter", "boot", "--neighbour-motor", "light")
    assert "the vehicle is not ridden" in out


def png_size(content: bytes) -> tuple[int, int]:
    assert content[:8] == b"\x89PNG\r\n\x1a\n"
    assert content[-8:-4] == b"IEND"
    width, height = struct.unpack(">II", content[16:24])
    return width, height


def test_picture_is_a_whole_png(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = tmp_path / "new" / "day.png"
    code, out, _ = run(capsys, "--place", "warm", "--picture", str(file))
    assert code == 0
    assert f"picture: {file}" in out
    first = file.read_bytes()
    width, height = png_size(first)
    assert width > 1000 < height * 2
    assert [p.name for p in file.parent.iterdir()] == ["day.png"]
    # The same day gives the same bytes; another colour another picture.
    run(capsys, "--place", "warm", "--picture", str(file))
    assert file.read_bytes() == first
    run(capsys, "--place", "warm", "--colour", "white", "--picture", str(file))
    assert file.read_bytes() != first


def test_picture_goes_with_json(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    code, out, _ = run(capsys, "--json", "--picture", str(tmp_path / "day.PNG"))
    assert code == 0
    assert "temperature" in json.loads(out)
    png_size((tmp_path / "day.PNG").read_bytes())


@pytest.mark.parametrize("name", ["day.jpg", "day", ""])
def test_picture_needs_a_png_name(capsys: pytest.CaptureFixture[str], name: str) -> None:
    code, out, err = run(capsys, "--picture", name)
    assert (code, out) == (2, "")
    assert "expected the name of a file that ends in .png" in err
    assert err.count("\n") == 1


def test_picture_where_nothing_can_be_written(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("in the way")
    code, _, err = run(capsys, "--picture", str(tmp_path / "file" / "day.png"))
    assert code == 2
    assert "can't be written to" in err
    assert err.startswith("printplan: ")


def test_lines_and_names_of_the_picture(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every filament has its line and name, and none is told by colour alone."""
    from matplotlib.figure import Figure

    from printplan.climate import Exposure, day_curve, surroundings_of

    around = surroundings_of("warm")
    curves = [day_curve(around, Exposure(), bound) for bound in ("design", "upper")]
    rows = [
        {
            "grade": grade,
            "sustained_limit_degc": limit,
            "sustained": verdict,
            "sustained_hours_above": None if limit is None else curves[0].hours_above(limit),
            "shape_only_limit_degc": limit,
            "shape_only": verdict,
            "shape_only_hours_above": 0.0,
        }
        for grade, limit, verdict in (
            ("a", 50.0, "no"),
            ("b", 50.0, "no"),
            ("c", 90.0, "marginal"),
            ("d", 97.0, "yes"),
            ("e", 300.0, "yes"),
            ("f", None, "not known"),
            ("g", 15.0, "no"),
        )
    ]
    drawn: list[Figure] = []
    original = Figure.savefig

    def keep(self: Figure, *args: object, **kwargs: object) -> None:
        drawn.append(self)
        original(self, *args, **kwargs)

    monkeypatch.setattr(Figure, "savefig", keep)
    png_size(hotday_picture(*curves, rows, "a title with $ and _"))
    axes = drawn[0].axes[0]
    texts = [t.get_text() for t in axes.texts]
    expected = f"a 50 °C: no, {curves[0].hours_above(50.0):.1f} h above"
    assert expected in texts
    assert "air" in texts
    assert [t[0] for t in texts if " °C: " in t] == ["g", "a", "b", "c", "d"]
    assert "higher than drawn: e 300 °C; not known: f" in axes.get_title(loc="left")
    level = [line for line in axes.lines if list(line.get_xdata()) == [0, 1]]
    assert sorted(line.get_ydata()[0] for line in level) == [15.0, 50.0, 50.0, 90.0, 97.0]
    styles = {line.get_ydata()[0]: (line.get_color(), line.get_linestyle()) for line in level}
    assert len({colour for colour, _ in styles.values()}) == 3
    dashes = {line.get_ydata()[0]: line._unscaled_dash_pattern for line in level}
    assert len({str(dashes[limit]) for limit in (50.0, 90.0, 97.0)}) == 3
    assert axes.get_ylim()[0] < 15.0
    assert (axes.get_xlabel(), axes.get_ylabel()) == ("solar time, h", "temperature, °C")


@given(
    st.lists(st.floats(0.0, 100.0), max_size=25).map(sorted),
    st.floats(0.5, 10.0),
)
def test_labels_keep_their_distance(values: list[float], gap: float) -> None:
    places = spread(values, gap, 0.0, 100.0)
    room = min(gap, 100.0 / max(1, len(values) - 1))
    assert len(places) == len(values)
    assert all(b - a >= room - 1e-9 for a, b in itertools.pairwise(places))
    assert all(-1e-9 <= p <= 100.0 for p in places)
    if all(b - a >= gap for a, b in itertools.pairwise(values)):
        assert places == pytest.approx(values, abs=1e-9)
