"""``printplan plan``: what it prints, what it writes, and what it leaves alone."""

from __future__ import annotations

import csv
import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from printplan.cli import main
from printplan.cli.output import as_plain
from printplan.errors import InputError
from printplan.job import read_job
from printplan.planning import plan_job

FILES = ["plan.csv", "plan.json", "sheet.html"]


@pytest.fixture(scope="module")
def planned(tmp_path_factory, write_small_job):
    """The small job and its plan, worked out once."""
    file = write_small_job(tmp_path_factory.mktemp("planned"))
    return file, plan_job(read_job(file))


@pytest.fixture
def job(tmp_path, write_small_job) -> Path:
    return write_small_job(tmp_path / "job")


@pytest.fixture
def quick(monkeypatch, planned):
    """Spare the judging and drawing where a test is about what happens to the result."""
    monkeypatch.setattr("printplan.planning.plan_job", lambda job, report: planned[1])
    monkeypatch.setattr("printplan.sheet.sheet_html", lambda plan, report: "<html>é</html>")


def run(capsys, *words: object) -> tuple[int, str, str]:
    code = main(["plan", *map(str, words)])
    shown = capsys.readouterr()
    return code, shown.out, shown.err


def complaint(err: str) -> str:
    """The one line that is no progress."""
    (line,) = (line for line in err.splitlines() if line and not line.startswith("["))
    return line


def names(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


def test_json_of_another_process_is_one_document_and_the_same(planned, tmp_path):
    """The whole road in a fresh process with another hash seed."""
    file, plan = planned
    out = tmp_path / "out"
    done = subprocess.run(
        [sys.executable, "-m", "printplan", "plan", str(file.parent), "--json", "--out", str(out)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        env=os.environ | {"PYTHONHASHSEED": "7", "PYTHONIOENCODING": "utf-8"},
    )
    assert done.returncode == 0
    told = json.loads(done.stdout)
    assert told == json.loads(json.dumps(as_plain(plan)))
    assert all(line.startswith("[") for line in done.stderr.splitlines())
    assert names(out) == FILES
    assert json.loads((out / "plan.json").read_text(encoding="utf-8")) == told
    rows = list(csv.DictReader(io.StringIO((out / "plan.csv").read_text(encoding="utf-8"))))
    assert [row["name"] for row in rows] == [p.name for p in plan.parts]
    sheet = (out / "sheet.html").read_text(encoding="utf-8")
    assert sheet.startswith("<!DOCTYPE html>")
    assert sheet.rstrip().endswith("</html>")
    for part in plan.parts:
        assert part.name in sheet


def test_text_for_people(capsys, job, planned, quick):
    plan = planned[1]
    code, out, err = run(capsys, job)
    assert code == 0
    assert out.startswith("Two brackets and a cover: temperate")
    for part in plan.parts:
        assert part.name in out
    assert f"The set: {plan.totals.pieces} pieces, {plan.totals.filament_g:.0f} g" in out
    assert f"{plan.totals.cost:.2f} EUR" in out
    assert "thin wall" in out
    assert "PLA refused: softens" in out
    for warning in plan.warnings:
        assert f"Mind: {warning}" in out
    assert "prove every part" in out
    assert f"Written: {job.parent / 'plan' / 'sheet.html'}" in out
    assert "drawing the job sheet" in err
    assert names(job.parent / "plan") == FILES


def test_a_folder_means_the_job_file_in_it(capsys, job, quick):
    assert run(capsys, job.parent)[0] == 0
    assert names(job.parent / "plan") == FILES
    assert (job.parent / "plan" / "sheet.html").read_bytes() == "<html>é</html>".encode()


def test_strict_tells_an_unfit_part_by_its_exit_code(capsys, job, planned, quick, monkeypatch):
    assert planned[1].unfit
    assert run(capsys, job)[0] == 0
    code, out, _ = run(capsys, job, "--strict", "--json")
    assert code == 1
    assert json.loads(out)["title"] == planned[1].title
    assert names(job.parent / "plan") == FILES
    from dataclasses import replace

    fit = replace(planned[1], parts=planned[1].parts[:2])
    assert not fit.unfit
    monkeypatch.setattr("printplan.planning.plan_job", lambda job, report: fit)
    assert run(capsys, job, "--strict")[0] == 0


def test_a_second_run_replaces_the_files(capsys, job, quick):
    assert run(capsys, job)[0] == 0
    folder = job.parent / "plan"
    (folder / "plan.json").write_text("old", encoding="utf-8")
    (folder / "my notes.txt").write_text("kept", encoding="utf-8")
    assert run(capsys, job)[0] == 0
    assert json.loads((folder / "plan.json").read_text(encoding="utf-8"))["parts"]
    assert names(folder) == sorted([*FILES, "my notes.txt"])


@pytest.mark.parametrize("before", [True, False])
def test_interrupted_while_drawing(capsys, job, quick, monkeypatch, before):
    """What was there stays; what was not there is not begun."""
    folder = job.parent / "plan"
    if before:
        folder.mkdir()
        for name in FILES:
            (folder / name).write_text("old", encoding="utf-8")

    def interrupted(plan, report):
        raise KeyboardInterrupt

    monkeypatch.setattr("printplan.sheet.sheet_html", interrupted)
    code, out, err = run(capsys, job)
    assert (code, out) == (130, "")
    assert complaint(err) == "printplan: interrupted; nothing was written"
    if before:
        assert names(folder) == FILES
        assert {(folder / name).read_text(encoding="utf-8") for name in FILES} == {"old"}
    else:
        assert not folder.exists()


@pytest.mark.parametrize("stop", [KeyboardInterrupt, OSError(28, "No space left on device")])
def test_stopped_while_writing(capsys, job, quick, monkeypatch, stop):
    """The second of three files fails: no half of a file is left, nor any waiting one."""
    real, written = Path.write_bytes, []

    def failing(self: Path, data: bytes) -> int:
        written.append(self.name)
        if len(written) == 2:
            real(self, data[: len(data) // 2])
            raise stop
        return real(self, data)

    monkeypatch.setattr(Path, "write_bytes", failing)
    code, out, err = run(capsys, job)
    assert len(written) == 2
    assert out == ""
    assert code == (130 if stop is KeyboardInterrupt else 2)
    assert names(job.parent / "plan") == []
    line = complaint(err)
    assert line.startswith("printplan: ")
    if code == 2:
        assert "No space left on device" in line


def test_out_that_cannot_be_written_is_one_line(capsys, job, tmp_path, quick):
    blocked = tmp_path / "a file"
    blocked.write_text("in the way", encoding="utf-8")
    code, out, err = run(capsys, job, "--out", blocked / "plan", "--json")
    assert (code, out) == (2, "")
    assert complaint(err).startswith(f"printplan: {blocked / 'plan'}: can't be written to")
    assert blocked.read_text(encoding="utf-8") == "in the way"
    code, out, err = run(capsys, job, "--out", blocked)
    assert (code, out) == (2, "")
    assert "is a file" in err


@pytest.mark.parametrize("flag", [[], ["--json"]])
@pytest.mark.parametrize(
    ("change", "told"),
    [
        (("title =", "titel ="), "did you mean 'title'?"),
        (('"ASA"', '"ASSA"'), "filaments[1] = 'ASSA'"),
        (('mesh = "cover.stl"', 'mesh = "kover.stl"'), "did you mean 'cover.stl'?"),
    ],
)
def test_a_slip_in_the_job_is_one_line(capsys, tmp_path, write_small_job, flag, change, told):
    file = write_small_job(tmp_path, change)
    code, out, err = run(capsys, file, *flag)
    assert (code, out) == (2, "")
    line = complaint(err)
    assert line.startswith(f"printplan: {file}: ")
    assert told in line
    # What the file itself shows is told before anything begins.
    assert ("[" in err.partition("printplan")[0]) == ("ASSA" in told)
    assert not (tmp_path / "plan").exists()


def test_an_error_of_the_planner_is_one_line(capsys, job, monkeypatch):
    def refuse(job, report):
        raise InputError("the part is made of cheese")

    monkeypatch.setattr("printplan.planning.plan_job", refuse)
    code, out, err = run(capsys, job)
    assert (code, out) == (2, "")
    assert complaint(err) == "printplan: the part is made of cheese"


def test_progress_is_a_line_for_each_step(capsys, job, quick, planned, monkeypatch):
    def plan(job, report):
        for share, text in ((0.0, "one"), (0.5, "two"), (0.5, "two"), (1.0, "three")):
            report(share, text)
        return planned[1]

    monkeypatch.setattr("printplan.planning.plan_job", plan)
    _, _, err = run(capsys, job)
    assert err.splitlines() == [
        "[  0 %] one",
        "[ 45 %] two",
        "[ 90 %] three",
        "[ 90 %] drawing the job sheet",
    ]
