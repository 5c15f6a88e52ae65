"""``printplan new`` drafts a job file, ``printplan schema`` tells its form."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

from printplan.cli import main
from printplan.job import read_job

SAMPLE = Path(__file__).parents[2] / "sample_meshes" / "orchard_carrier" / "job.toml"


def run(capsys, *words: object) -> tuple[int, str, str]:
    code = main([str(word) for word in words])
    shown = capsys.readouterr()
    return code, shown.out, shown.err


@pytest.fixture
def meshes(tmp_path, write_small_job) -> Path:
    write_small_job(tmp_path).unlink()
    return tmp_path


def test_new_drafts_a_job_that_reads_back(capsys, meshes):
    code, out, err = run(capsys, "new", meshes, "--title", 'My "trike"')
    assert (code, err) == (0, "")
    file = meshes / "job.toml"
    assert str(file) in out
    assert f"printplan plan {file}" in out
    job = read_job(file)
    assert job.title == 'My "trike"'
    assert [p.mesh for p in job.parts] == ["bracket.stl", "cover.stl"]
    assert sorted(p.name for p in meshes.iterdir()) == ["bracket.stl", "cover.stl", "job.toml"]


def test_new_refuses_to_overwrite(capsys, meshes):
    file = meshes / "job.toml"
    file.write_text("# my own numbers", encoding="utf-8")
    code, out, err = run(capsys, "new", meshes)
    assert (code, out) == (2, "")
    assert err == f"printplan: {file} is there already; --overwrite replaces it\n"
    assert file.read_text(encoding="utf-8") == "# my own numbers"
    assert run(capsys, "new", meshes, "--overwrite")[0] == 0
    assert read_job(file).title == meshes.name


def test_new_writes_where_it_is_told(capsys, meshes):
    target = meshes / "sub" / "own.toml"
    code, out, _ = run(capsys, "new", meshes, "--out", target)
    assert code == 0
    assert f"printplan plan {target}" in out
    assert tomllib.loads(target.read_text(encoding="utf-8"))["parts"][0]["mesh"] == "bracket.stl"
    assert not (meshes / "job.toml").exists()


@pytest.mark.parametrize(
    ("folder", "told"), [("empty", "no mesh in it"), ("nowhere", "expected a folder with meshes")]
)
def test_new_without_meshes(capsys, tmp_path, folder, told):
    (tmp_path / "empty").mkdir()
    code, out, err = run(capsys, "new", tmp_path / folder)
    assert (code, out) == (2, "")
    assert told in err
    assert err.count("\n") == 1
    assert not (tmp_path / folder / "job.toml").exists()


@pytest.fixture
def schema(capsys) -> dict[str, Any]:
    code, out, err = run(capsys, "schema")
    assert (code, err) == (0, "")
    return json.loads(out)


def resolved(schema: dict[str, Any], reference: str) -> dict[str, Any]:
    place: Any = schema
    assert reference.startswith("#/")
    for step in reference[2:].split("/"):
        place = place[step]
    return place


def test_schema_is_a_sound_schema(schema):
    """Keywords of JSON Schema 2020-12 [memory: its core and validation vocabularies]."""
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    types = {"null", "boolean", "object", "array", "number", "string", "integer"}

    def check(node: Any) -> None:
        if isinstance(node, bool):
            return
        assert isinstance(node, dict)
        if "$ref" in node:
            assert isinstance(resolved(schema, node["$ref"]), dict)
        stated = node.get("type", [])
        assert set([stated] if isinstance(stated, str) else stated) <= types
        assert set(node.get("required", ())) <= set(node.get("properties", ()))
        if "enum" in node:
            assert node["enum"]
        for keyword in ("properties", "$defs"):
            for inner in node.get(keyword, {}).values():
                check(inner)
        for keyword in ("anyOf", "allOf", "oneOf", "prefixItems"):
            assert keyword not in node or node[keyword]
            for inner in node.get(keyword, ()):
                check(inner)
        for keyword in ("items", "additionalProperties", "propertyNames", "not"):
            if keyword in node:
                check(node[keyword])

    check(schema)


def test_schema_forbids_unknown_keys(schema):
    for table in (schema, *schema["$defs"].values()):
        if table.get("type") == "object":
            assert table["additionalProperties"] is False


def test_schema_knows_every_key_of_the_sample_and_asks_for_no_more(schema):
    """The sample job, key by key, against the schema: no key unknown, no required one missing."""

    def forms(node: dict[str, Any]) -> list[dict[str, Any]]:
        if "$ref" in node:
            return forms(resolved(schema, node["$ref"]))
        if "anyOf" in node:
            return [form for inner in node["anyOf"] for form in forms(inner)]
        return [node]

    def check(value: Any, node: dict[str, Any]) -> None:
        if isinstance(value, dict):
            (form,) = (f for f in forms(node) if f.get("type") == "object")
            if "properties" not in form:
                return  # free names, such as the grades of the price list
            assert set(form.get("required", ())) <= set(value)
            for key, inner in value.items():
                check(inner, form["properties"][key])
        elif isinstance(value, list):
            kept = [f for f in forms(node) if f.get("type") == "array"]
            assert kept
            for i, inner in enumerate(value):
                items = kept[0].get("items") or kept[0]["prefixItems"][i]
                check(inner, items)

    check(tomllib.loads(SAMPLE.read_text(encoding="utf-8")), schema)
