"""Read a job file; a slip becomes one line that names file, key, value and what was expected."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from printplan.errors import JobFileError, nearest
from printplan.job.schema import Job

__all__ = ["job_schema", "read_job"]

#: A job file is written by hand; a bigger one is a mistake or an attack.
MAX_BYTES = 1_000_000
#: The TOML reader takes time in the square of a dotted key's depth.
MAX_DOTS_A_LINE = 200


def job_schema() -> dict[str, Any]:
    """Return the JSON schema of the job file (JSON Schema 2020-12)."""
    schema = Job.model_json_schema(by_alias=True)
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    return schema


def read_job(path: str | Path) -> Job:
    """Read and check a job file, and that the mesh files it names exist.

    Raises
    ------
    JobFileError
        If the file can't be read, is not TOML, or a key, unit, range or combination is wrong.
    """
    path = Path(path)
    if path.is_dir():
        path = path / "job.toml"
    data = _parse(path)
    try:
        job = Job.model_validate(data)
    except ValidationError as error:
        slips = _telling(data, error.errors())
        raise _explain(path, data, slips[0], len(slips)) from None
    job._file = path
    for index, part in enumerate(job.parts):
        key = f"parts[{index}].mesh (part {part.name!r})"
        _must_be_file(path, key, part.mesh, "a mesh file beside the job file")
    for index, name in enumerate(job.own_filaments):
        _must_be_file(path, f"own_filaments[{index}]", name, "a filament file beside the job file")
    return job


def _must_be_file(path: Path, key: str, name: str, expected: str) -> None:
    try:
        found = (path.parent / name).is_file()
    except ValueError:  # a zero byte in the name
        found = False
    if not found:
        near = nearest(name, [p.name for p in path.parent.iterdir() if p.is_file()])
        hint = f"did you mean {near!r}?" if near else "there is no such file"
        raise JobFileError(path, key, name, expected, hint)


def _parse(path: Path) -> dict[str, Any]:
    try:
        size = path.stat().st_size
        if size > MAX_BYTES:
            raise JobFileError(path, "", None, f"at most {MAX_BYTES} bytes, the file has {size}")
        text = path.read_bytes().decode("utf-8")
    except OSError as error:
        raise JobFileError(path, "", None, "a readable job file", error.strerror) from None
    except UnicodeDecodeError:
        raise JobFileError(path, "", None, "UTF-8 text") from None
    if any(line.count(".") > MAX_DOTS_A_LINE for line in text.splitlines()):
        raise JobFileError(path, "", None, "tables nested a few levels deep")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise JobFileError(path, "", None, "TOML", str(error)) from None
    except RecursionError:
        raise JobFileError(path, "", None, "tables nested a few levels deep") from None


def _telling(data: Any, errors: list[ErrorDetails]) -> list[ErrorDetails]:
    """Order errors so that the most telling comes first.

    Where a key takes a word or a table, each form complains; only the form that was used counts.
    A key that nobody knows explains a missing one, so it goes first.
    """
    telling = []
    for error in errors:
        _, value = _locate(data, _keys(error))
        of_word = error["type"] in ("literal_error", "string_type")
        of_table = error["type"] in ("model_type", "tuple_type", "model_attributes_type")
        if not (
            (of_word and isinstance(value, (dict, list))) or (of_table and isinstance(value, str))
        ):
            telling.append(error)
    return sorted(telling or errors, key=lambda e: e["type"] != "extra_forbidden")


def _keys(error: ErrorDetails) -> list[int | str]:
    # A key that takes a word or a table reports the form too ("RecipeChoice"): not a key. An
    # unknown key, always last, may be called anything.
    steps = list(error["loc"])
    unknown = [steps.pop()] if error["type"] == "extra_forbidden" else []
    return [s for s in steps if not (isinstance(s, str) and _is_form(s))] + unknown


def _is_form(step: str) -> bool:
    return step == "RecipeChoice" or step.startswith(("literal[", "tuple["))


def _explain(path: Path, data: Any, error: ErrorDetails, count: int) -> JobFileError:
    steps = _keys(error)
    key, value = _locate(data, steps)
    more = f"{count - 1} more slip{'s' if count > 2 else ''} in the file" if count > 1 else None
    kind, context = error["type"], error.get("ctx", {})
    hint: str | None = None
    if kind == "extra_forbidden":
        known = _keys_at(steps[:-1])
        near = nearest(str(steps[-1]), known)
        expected = "a key that the job file knows"
        hint = f"did you mean {near!r}?" if near else "known here: " + ", ".join(sorted(known))
        value = None
    elif kind == "missing":
        expected, value = "this key, which is missing", None
    elif kind == "value_error":
        message = str(context["error"])
        expected = message.removeprefix("expected ")
        if expected == message:
            return JobFileError(path, key or "the job", None, "keys that go together", message)
    else:
        expected = error["msg"][0].lower() + error["msg"][1:]
        expected = expected.removeprefix("input should be ")
        if kind in ("greater_than", "greater_than_equal", "less_than", "less_than_equal"):
            expected = f"a number {expected}"
        choices = [c.strip(" '") for c in str(context.get("expected", "")).split(",")]
        near = nearest(str(value), choices) if kind == "literal_error" else None
        hint = f"did you mean {near!r}?" if near else None
    if isinstance(value, (dict, list)):
        value = None
    return JobFileError(path, key, value, expected, "; ".join(filter(None, (hint, more))) or None)


def _locate(data: Any, steps: list[int | str]) -> tuple[str, Any]:
    key, place, part_name = "", data, ""
    for step in steps:
        key += f"[{step}]" if isinstance(step, int) else f".{step}" if key else str(step)
        try:
            place = place[step]
        except (KeyError, IndexError, TypeError):
            place = None
        if key.startswith("parts[") and isinstance(place, dict) and not part_name:
            part_name = str(place.get("name", ""))
    return key + (f" (part {part_name!r})" if part_name else ""), place


def _keys_at(steps: list[int | str]) -> list[str]:
    """Return the keys that the table at `steps` may have."""
    model: type[BaseModel] = Job
    for step in steps:
        if isinstance(step, int):
            continue
        for name, field in model.model_fields.items():
            if (field.alias or name) == step:
                found = _model_in(field.annotation)
                if found is None:
                    return []
                model = found
                break
    return [field.alias or name for name, field in model.model_fields.items()]


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if get_origin(annotation) is not None:
        for inner in get_args(annotation):
            found = _model_in(inner)
            if found is not None:
                return found
    return None
