"""A grade of one's own travels with the job: judged, and named as own."""

import pytest

from printplan.errors import JobFileError
from printplan.filament import load_table
from printplan.job import read_job
from printplan.planning import plan_job

OWN = """
grade = "bench_petg"
name = "Bench PETG"
based_on = "petg"
summary = "invented for this test"

[sources.bench]
kind = "opened"
authors = "the builder"
year = "2026"
title = "own coupons"
where = "workshop"
read = "own test"

[[value]]
quantity = "tensile_strength"
direction = "xy"
typical = 45.0
low = 40.0
high = 50.0
unit = "MPa"
condition = "own coupons"
label = "source"
citations = ["bench"]
"""


@pytest.fixture
def job(tmp_path, write_small_job):
    file = write_small_job(tmp_path)
    (tmp_path / "bench.toml").write_text(OWN, encoding="utf-8")
    text = file.read_text(encoding="utf-8")
    old = 'filaments = ["PLA", "ASA", "PETG"]'
    assert old in text
    new = 'filaments = ["PLA", "bench petg", "PETG"]\nown_filaments = ["bench.toml"]'
    file.write_text(text.replace(old, new), encoding="utf-8")
    return file


def test_own_grade_is_judged_and_named(job):
    plan = plan_job(read_job(job))
    assert {c.verdict.grade for p in plan.parts for c in p.candidates} >= {"Bench PETG", "PETG"}
    assert any("Bench PETG is a grade of your own" in text for text in plan.warnings)


def test_a_grade_file_that_lacks_what_all_need_is_refused_by_name(job):
    own = job.parent / "bench.toml"
    own.write_text(OWN.replace('based_on = "petg"\n', 'polymer = "PETG"\nclass = "amorphous"\n'))
    with pytest.raises(JobFileError) as caught:
        plan_job(read_job(job))
    assert "bench.toml" in str(caught.value)


def test_a_grade_without_printing_data_is_left_out_not_fatal(job):
    """An own grade may lack its price; the part is still planned in the others, and told."""
    whole = load_table().get("PETG")
    needed = [
        f"""
[[value]]
quantity = "{v.quantity}"
typical = {v.typical}
unit = "{v.unit}"
condition = "invented for this test"
label = "source"
citations = ["bench"]
"""
        for v in whole.values
        if v.quantity in ("density", "nozzle_temperature", "bed_temperature")
    ]
    own = OWN.replace('based_on = "petg"\n', 'polymer = "PETG"\npolymer_class = "amorphous"\n')
    (job.parent / "bench.toml").write_text(own + "".join(needed), encoding="utf-8")
    plan = plan_job(read_job(job))
    for part in plan.parts:
        assert {c.verdict.grade for c in part.candidates} == {"PLA", "PETG"}
        assert any(text.startswith("not judged in Bench PETG: ") for text in part.warnings)
