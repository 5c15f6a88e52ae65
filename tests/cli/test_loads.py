"""``printplan loads``: the load cases of a vehicle, and how each came about."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from printplan.cli import main
from printplan.job import read_job
from printplan.planning.inputs import vehicle_of
from printplan.vehicle import vehicle_loads

SAMPLE = Path(__file__).parents[2] / "sample_meshes" / "orchard_carrier"


@pytest.fixture(scope="module")
def loads():
    return vehicle_loads(vehicle_of(read_job(SAMPLE)))


def run(capsys, *words: object) -> tuple[int, str, str]:
    code = main(["loads", *map(str, words)])
    shown = capsys.readouterr()
    return code, shown.out, shown.err


def test_table_has_a_row_for_every_case(capsys, loads):
    code, out, err = run(capsys, SAMPLE / "job.toml")
    assert (code, err) == (0, "")
    lines = out.splitlines()
    for case in loads.cases:
        (row,) = (line for line in lines if line.startswith(case.name + "  "))
        cells = row[len(case.name) :].split()
        assert row.rstrip().endswith(case.limited_by)
        if case.housing_torque_nmm:
            assert f"{case.housing_torque_nmm / 1e3:.1f}" in cells
        if case.wheel_vertical_n:
            assert f"{case.wheel_vertical_n:.1f}" in cells
    for warning in loads.warnings:
        assert f"Mind: {warning}" in out


def test_json_is_one_document(capsys, loads):
    code, out, err = run(capsys, SAMPLE, "--json")
    assert (code, err) == (0, "")
    told = json.loads(out)
    assert told == json.loads(json.dumps(loads.to_dict()))
    assert [c["name"] for c in told["cases"]] == [c.name for c in loads.cases]


def test_explain_shows_every_step(capsys, loads):
    for case in loads.cases:
        code, out, err = run(capsys, SAMPLE, "--explain", case.name)
        assert (code, err) == (0, "")
        lines = out.splitlines()
        assert lines[0] == f"{case.name}: {case.story}"
        assert lines[1 : 1 + len(case.trail)] == [f"  {step}" for step in case.trail]
        assert f"Assumed: {case.assumption}" in lines
        assert f"Source: {case.source}" in lines


def test_explain_as_json_is_that_case(capsys, loads):
    case = loads.cases[0]
    code, out, _ = run(capsys, SAMPLE, "--explain", case.name, "--json")
    assert code == 0
    assert json.loads(out) == json.loads(json.dumps(case.to_dict()))


@pytest.mark.parametrize("flag", [[], ["--json"]])
def test_an_unknown_case_suggests_the_nearest(capsys, flag):
    code, out, err = run(capsys, SAMPLE, "--explain", "lanch", *flag)
    assert (code, out) == (2, "")
    assert err == "printplan: load case 'lanch' is not known; did you mean 'launch'?\n"


def test_a_job_without_vehicle(capsys, tmp_path, write_small_job):
    file = write_small_job(tmp_path)
    code, out, err = run(capsys, file)
    assert (code, out) == (2, "")
    assert err == (
        f"printplan: {file}: vehicle: expected a [vehicle] table to work out loads from\n"
    )


def test_a_missing_job(capsys, tmp_path):
    code, out, err = run(capsys, tmp_path / "none.toml", "--json")
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert "expected a readable job file" in err
