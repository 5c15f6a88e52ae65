"""``printplan materials``: text, JSON, exit codes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from printplan.cli import COMMANDS, main
from printplan.cli.materials import command


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    code = main(["materials", *words])
    out, err = capsys.readouterr()
    return code, out, err


def test_help_line_is_the_listed_one() -> None:
    assert command.help is not None
    assert command.help.splitlines()[0] == COMMANDS["materials"][1]


def test_overview(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys)
    assert (code, err) == (0, "")
    petg = next(line.split() for line in out.splitlines() if line.startswith("petg "))
    assert petg[:3] == ["petg", "amorphous", "1.27"]
    assert " ".join(petg).startswith("petg amorphous 1.27 39 to 50 6 to 17 78 70/63 20")
    assert "not design allowables" in out


def test_overview_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "--json")
    assert code == 0
    grades = {row["grade"]: row for row in json.loads(out)["grades"]}
    assert len(grades) == 11
    assert grades["tpu_95a"]["hdt_1p8_degc"] is None
    assert grades["pa_cf"]["hardened_nozzle"] is True


def test_show_prints_every_value_with_origin(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "show", "PLA")
    assert code == 0
    assert "32.1* to 65.1" in out
    assert "R01" in out
    assert "Carter" in out
    assert "What other sources say" in out
    assert "60 °C 0.12" in out


def test_show_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "show", "pa6", "--json")
    assert code == 0
    pa6 = json.loads(out)
    assert pa6["judged_state"] == "conditioned"
    cited = {key for entry in pa6["values"] for key in entry["citations"]}
    assert cited <= set(pa6["sources"])
    assert all(entry["unit"] and entry["label"] for entry in pa6["values"])
    assert {curve["state"] for curve in pa6["retentions"]} == {"dry", "conditioned"}


def test_strength_by_factors(capsys: pytest.CaptureFixture[str]) -> None:
    words = ("strength", "petg", "--at", "122 degF", "--direction", "in-layer tension", "--json")
    code, out, _ = run(capsys, *words)
    assert code == 0
    lower, typical = json.loads(out)["strengths"]
    assert (lower["bound"], typical["bound"]) == ("lower", "typical")
    assert lower["temperature_degc"] == pytest.approx(50.0)
    assert typical["strength_mpa"] == pytest.approx(50.2 * 0.76)
    code, out, err = run(capsys, "strength", "petg", "--at", "60 degC", "--duration", "sustained")
    assert code == 0
    assert "joint scatter 0.00" in out
    assert "Softening limit: 53 °C" in out
    assert "no sustained load above 58 °C" in err


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("show", "petgg"), "did you mean 'petg'"),
        (("strength", "petg", "--at", "50 mm"), "--at"),
        (("strength", "petg", "--duration", "repeated"), "--cycles goes with"),
        (("strength", "petg", "--cycles", "1e6"), "--cycles goes with"),
        (("strength", "petg", "--hours", "5"), "--hours goes with"),
        (("strength", "petg", "--duration", "sustained", "--hours", "1e6"), "11 years"),
        (("creep", "tpu"), "has no creep_modulus_fraction"),
        (("creep", "pc", "--hours", "0"), "above 0 h"),
        (("clamp", "petg"), "--at"),
        (("clamp", "petg", "--at", "50 mm"), "--at"),
        (("show", "petg dry"), "filament grade 'petg dry' is not known"),
        (("--json", "show", "petg"), "put --json after 'show'"),
        (("--extra", "nowhere.toml"), "can't be read"),
    ],
)
def test_bad_input_is_one_line_and_code_2(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], message: str
) -> None:
    code, out, err = run(capsys, *words)
    assert (code, out) == (2, "")
    assert message in err


def test_strength_names_its_weak_points_and_its_width(capsys: pytest.CaptureFixture[str]) -> None:
    words = ("strength", "petg", "--at", "50 degC", "--duration", "sustained", "--hours", "10")
    code, out, _ = run(capsys, *words)
    assert code == 0
    assert "evidence weak" in out
    assert "weak: retention curve is recalled, not measured: 0.76 (down to 0.66)\n" in out
    assert "weak: shear ratio is recalled, not measured: 0.57 (0.5 to 0.6) [in-layer shear]" in out
    code, out, _ = run(capsys, *words, "--json")
    assert code == 0
    printed = json.loads(out)
    assert printed["evidence"]["interlayer tension"]["quality"] == "weak"
    assert printed["strengths"][0]["hours"] == 10.0


def test_creep(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, "creep", "pc", "--hours", "1000")
    assert (code, err) == (0, "")
    assert "PC after 1000 h at 23 °C: creep modulus 1264 to 1580 MPa" in out
    code, out, _ = run(capsys, "creep", "pa6", "--at", "40 degC", "--state", "dry", "--json")
    assert code == 0
    assert json.loads(out)["typical"]["fraction"] == pytest.approx(0.55)


def test_clamp(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "clamp", "petg", "--at", "60 degC")
    assert code == 0
    assert "count no preload after the first hot day" in out
    assert "- put a metal sleeve" in out
    code, out, _ = run(capsys, "clamp", "asa", "--at", "45 degC", "--hours", "10", "--json")
    assert code == 0
    advice = json.loads(out)
    assert advice["friction_holds"] is True
    assert 0.0 < advice["left_fraction"] < 1.0


def test_moisture_state_by_name(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "show", "pa6 dry")
    assert code == 0
    assert out.startswith("PA6, dry (pa6_dry), semi-crystalline")
    assert "kept dry" in out


def test_show_says_what_to_prepare(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "show", "abs")
    assert code == 0
    assert "- bed: warps" in out
    assert "- outdoors: ABS embrittles in sunlight" in out


def test_own_grade(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = tmp_path / "own.toml"
    file.write_text('grade = "petg_ours"\nbased_on = "petg"\n', encoding="utf-8")
    code, out, _ = run(capsys, "--extra", str(file))
    assert code == 0
    assert "petg_ours (own)" in out
    assert out.count("(own)") == 1


def test_override_is_marked_value_by_value(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = tmp_path / "own.toml"
    file.write_text(
        """
overrides = "petg"
[sources.ours]
kind = "own"
authors = "the workshop"
year = "2026"
title = "weighed and measured"
[[value]]
quantity = "density"
typical = 1.29
unit = "g/cm3"
condition = "one spool"
label = "memory"
citations = ["ours"]
""",
        encoding="utf-8",
    )
    code, out, _ = run(capsys, "--extra", str(file), "show", "petg")
    assert code == 0
    assert out.startswith("PETG (petg, own values over the shipped ones)")
    assert out.count("own, memory: ours") == 1
    assert "the workshop, 2026: weighed and measured" in out
    code, out, _ = run(capsys, "--extra", str(file), "show", "petg", "--json")
    petg = json.loads(out)
    assert petg["sources"]["ours"]["authors"] == "the workshop"
    assert [v["quantity"] for v in petg["values"] if v["own"]] == ["density"]
    assert any(v["quantity"] == "density" and v["typical"] == 1.27 for v in petg["alternatives"])
