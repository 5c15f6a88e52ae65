"""The job file: a slip becomes one line that says where and what to write instead."""

import json
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printplan.errors import InputError, JobFileError
from printplan.job import Job, draft_job, job_schema, read_job

SAMPLE = Path(__file__).parents[2] / "sample_meshes" / "orchard_carrier"
DIFFERENTIAL = """[vehicle.differential]
locking_value = 0.1
pinions = 4
load_sharing = 1.3                   # through pins that give a little
"""


@pytest.fixture
def drafted(tmp_path):
    (tmp_path / "a_b.stl").write_bytes(b"x")
    (tmp_path / "c.3mf").write_bytes(b"x")
    text = draft_job(tmp_path, title="Trial")
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    return tmp_path / "job.toml"


def test_draft_reads_back(drafted):
    job = read_job(drafted)
    assert [p.name for p in job.parts] == ["a b", "c"]
    assert job.mesh_path(job.parts[0]) == drafted.parent / "a_b.stl"
    assert read_job(drafted.parent) == job  # a folder means the job.toml in it


def test_draft_reads_back_with_every_example_uncommented(drafted):
    lines = []
    for line in drafted.read_text(encoding="utf-8").splitlines():
        bare = line.removeprefix("# ")
        is_key = bare != line and (bare.startswith("[") or " = " in bare.split("#")[0])
        lines.append(bare if is_key and " ".join(bare.split()[:2]).count('"') % 2 == 0 else line)
    drafted.write_text("\n".join(lines), encoding="utf-8")
    (drafted.parent / "my_petg.toml").write_text("", encoding="utf-8")
    job = read_job(drafted)
    assert job.own_filaments == ["my_petg.toml"]
    assert job.vehicle is not None
    assert job.parts[0].loads
    assert job.hardware


def test_draft_of_hostile_names_is_inert(tmp_path):
    names = ['quote".stl', "new\nline.stl", "<script>.stl", "a'b.stl", "-x.stl"]
    for name in names:
        (tmp_path / name).write_bytes(b"x")
    parsed = tomllib.loads(draft_job(tmp_path))
    assert len(parsed["parts"]) == len(names)


def test_draft_of_empty_folder(tmp_path):
    with pytest.raises(InputError, match="no mesh in it"):
        draft_job(tmp_path)
    with pytest.raises(InputError, match="expected a folder"):
        draft_job(tmp_path / "nowhere")


@pytest.mark.parametrize(
    ("old", "new", "telling"),
    [
        ('shelter = "sun"', 'shleter = "sun"', "did you mean 'shelter'"),
        ('place = "temperate"', 'air = "38 mm"', "climate.air = '38 mm': expected a temperature"),
        ('place = "temperate"', 'air = "-400 degC"', "above -273.15 degC"),
        ('role = "other"', 'role = "sidegear"', "did you mean 'side gear'"),
        ('role = "other"', 'role = "side gear"', "needs the tables 'gear' and 'socket'"),
        ("quantity = 1", "quantity = 0", "parts[0].quantity (part 'a b') = 0"),
        ('mesh = "a_b.stl"', 'mesh = "ab.stl"', "did you mean 'a_b.stl'"),
        ('recipe = "choose"', 'recipe = { infil = "40 %" }', "did you mean 'infill'"),
        ('recipe = "choose"', 'recipe = { infill = "140 %" }', "of at most 1"),
        ('recipe = "choose"', 'recipe = "chose"', "did you mean 'choose'"),
        ("0.30 EUR/kWh", "0.30 USD/kWh", "currency is EUR"),
        ('name = "c"', 'name = "a b"', "two parts have the name"),
        ("title =", "titel =", "did you mean 'title'"),
        ("title =", 'own_filaments = ["c.3m"]\ntitle =', "did you mean 'c.3mf'"),
        ('up = "+z"', 'up = "z"', "'+x', '-x'"),
        ("quantity = 1", "quantity = true", "quantity"),
        ("quantity = 1", 'loads = [{ name = "x" }]', "parts[0].loads[0].at"),
        ("[prices]", "[prices", "TOML"),
    ],
)
def test_slips(drafted, old, new, telling):
    text = drafted.read_text(encoding="utf-8")
    assert old in text
    drafted.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(JobFileError) as caught:
        read_job(drafted)
    message = str(caught.value)
    assert telling in message
    assert str(drafted) in message
    assert "\n" not in message
    assert caught.value.exit_code == 2


@pytest.mark.parametrize(
    ("part", "old", "new", "telling"),
    [
        ("planet pinion", 'module = "6 mm"', 'module = "5 mm"', "do not mesh: module 6 and 5"),
        ("planet pinion", "teeth = 14", "teeth = 15", "mate_teeth against teeth 14 and 15"),
        ("planet pinion", 'pin_diameter = "14 mm"', 'pin_diameter = "70 mm"', "over the roots"),
        ("side gear", 'across_flats = "27.3 mm"', 'across_flats = "60 mm"', "69.28 mm over the"),
        ("housing, left half", 'ter = "186 mm"', 'ter = "9 mm"', "screws 3.44 mm apart"),
        ("housing, left half", "M5x35", "M8x35", "'screws' names M8"),
        ("belt pulley", "teeth = 60", "teeth = 48", "48 teeth of 8 mm, the belt drive 20 and 60"),
        ("crate hook", '"-90 N"', '"0 N"', "nothing but zeros"),
        ("", "driven_teeth = 60", "driven_teeth = 61", "the belt drive 20 and 61"),
        ("", DIFFERENTIAL, "", "takes its load from a [vehicle.differential]"),
    ],
)
def test_impossible_combinations_of_the_sample(tmp_path, part, old, new, telling):
    text = (SAMPLE / "job.toml").read_text(encoding="utf-8")
    for mesh in [*SAMPLE.glob("*.stl"), *SAMPLE.glob("*.3mf")]:
        (tmp_path / mesh.name).write_bytes(b"x")
    at = text.index(f'name = "{part}"') if part else 0
    assert old in text[at:]
    path = tmp_path / "job.toml"
    path.write_text(text[:at] + text[at:].replace(old, new, 1), encoding="utf-8")
    with pytest.raises(JobFileError) as caught:
        read_job(path)
    assert telling in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    "content",
    [b"\xff\xfe", b"a" + b".a" * 100_000 + b"=1", b"[" * 100_000, b"x" * 3_000_000, b"", b"a=nan"],
    ids=["not UTF-8", "deep key", "brackets", "too big", "empty", "nan"],
)
def test_hostile_files(tmp_path, content):
    path = tmp_path / "job.toml"
    path.write_bytes(content)
    with pytest.raises(JobFileError) as caught:
        read_job(path)
    assert len(str(caught.value)) < 600


def test_missing_file(tmp_path):
    with pytest.raises(JobFileError, match="readable job file"):
        read_job(tmp_path / "none.toml")


def test_schema_lists_every_key_by_its_name_in_the_file():
    schema = job_schema()
    json.dumps(schema)
    assert set(schema["properties"]) == {f.alias or n for n, f in Job.model_fields.items()}
    assert "wheel_diameter" in schema["$defs"]["Vehicle"]["properties"]


@given(
    st.dictionaries(
        st.text(max_size=8),
        st.recursive(
            st.none() | st.booleans() | st.floats() | st.text(max_size=8),
            lambda inner: (
                st.lists(inner, max_size=3)
                | st.dictionaries(st.text(max_size=5), inner, max_size=3)
            ),
            max_leaves=8,
        ),
    )
)
def test_any_table_gives_a_job_or_one_line(data):
    from pydantic import ValidationError

    from printplan.job.reading import _explain, _telling

    try:
        Job.model_validate(data)
    except ValidationError as error:
        message = str(_explain("job.toml", data, _telling(data, error.errors())[0], 1))
        assert "\n" not in message
