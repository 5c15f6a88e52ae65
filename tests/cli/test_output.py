"""What all commands share: plain values, whole files, tables, progress."""

from __future__ import annotations

import json
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from printplan.cli.output import (
    as_plain,
    print_json,
    print_table,
    progress,
    warn,
    write_files,
    write_text,
)
from printplan.errors import InputError


class Colour(Enum):
    RED = "red"


class Level(int, Enum):
    LOW = 1


@dataclass(frozen=True)
class Inner:
    place: Path
    size_mm: np.ndarray


@dataclass(frozen=True)
class Outer:
    inner: Inner
    colour: Colour


class Told:
    def to_dict(self):
        return {"mass_g": np.float64(1.5), "inner": Inner(Path("a") / "b", np.eye(2))}


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (float("nan"), None),
        (float("inf"), None),
        (-np.inf, None),
        (np.float64("nan"), None),
        (np.float32(0.5), 0.5),
        (np.int64(7), 7),
        (np.bool_(True), True),
        (np.array([1.0, np.nan, np.inf]), [1.0, None, None]),
        (np.array([[1, 2], [3, 4]]), [[1, 2], [3, 4]]),
        (np.array(3.0), 3.0),
        (np.array(["a", "b"]), ["a", "b"]),
        (Colour.RED, "red"),
        (Level.LOW, 1),
        ({1: Colour.RED, None: {"x": (1, 2)}}, {"1": "red", "None": {"x": [1, 2]}}),
        ((1, [2, (3,)]), [1, [2, [3]]]),
        ({3}, [3]),
        (Path("a") / "b", str(Path("a") / "b")),
        ("°C ± \u202e", "°C ± \u202e"),
        (None, None),
        (True, True),
        (
            Outer(Inner(Path("a"), np.array([1.5])), Colour.RED),
            {"inner": {"place": "a", "size_mm": [1.5]}, "colour": "red"},
        ),
        (
            Told(),
            {"mass_g": 1.5, "inner": {"place": str(Path("a") / "b"), "size_mm": [[1, 0], [0, 1]]}},
        ),
    ],
)
def test_as_plain(value, expected):
    plain = as_plain(value)
    assert plain == expected
    assert type(plain) is type(expected)
    json.dumps(plain, allow_nan=False)


@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
        lambda inner: (
            st.lists(inner, max_size=4)
            | st.tuples(inner, inner)
            | st.dictionaries(st.text(), inner, max_size=4)
            | st.lists(st.floats(), max_size=3).map(np.array)
        ),
        max_leaves=12,
    )
)
def test_as_plain_is_always_json_and_stays_as_it_is(value):
    plain = as_plain(value)
    assert json.loads(json.dumps(plain, allow_nan=False)) == plain
    assert as_plain(plain) == plain


def test_print_json_is_one_document(capsys):
    print_json({"angle °": np.nan, "b": Colour.RED})
    shown = capsys.readouterr()
    assert json.loads(shown.out) == {"angle °": None, "b": "red"}
    assert shown.out.endswith("}\n")
    assert shown.err == ""


def test_write_files_makes_the_folder_and_leaves_nothing_over(tmp_path):
    folder = tmp_path / "a" / "b"
    write_files(folder, {"one.json": b"1", "two.csv": b"2"})
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == {
        "one.json": b"1",
        "two.csv": b"2",
    }
    write_files(folder, {"one.json": b"new"})
    assert (folder / "one.json").read_bytes() == b"new"
    assert len(list(folder.iterdir())) == 2


@pytest.mark.parametrize("at", [1, 2, 3])
@pytest.mark.parametrize(
    "stop", [OSError(28, "No space left on device"), KeyboardInterrupt(), MemoryError()]
)
def test_a_failing_disk_leaves_the_old_files(tmp_path, monkeypatch, at, stop):
    """Whichever of three files fails half-way: all the old ones stay, no new half is left."""
    names = ["a", "b", "c"]
    write_files(tmp_path, dict.fromkeys(names, b"old"))
    real, calls = Path.write_bytes, []

    def failing(self: Path, data: bytes) -> int:
        calls.append(self)
        if len(calls) == at:
            real(self, data[:1])
            raise stop
        return real(self, data)

    monkeypatch.setattr(Path, "write_bytes", failing)
    expected = InputError if isinstance(stop, OSError) else type(stop)
    with pytest.raises(expected) as caught:
        write_files(tmp_path, dict.fromkeys(names, b"newer"))
    if isinstance(stop, OSError):
        assert str(tmp_path) in str(caught.value)
        assert "No space left on device" in str(caught.value)
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == dict.fromkeys(names, b"old")


def test_a_name_that_is_a_folder_leaves_no_waiting_file(tmp_path):
    """The second rename fails: the first file is whole and new, nothing waits beside it."""
    (tmp_path / "b").mkdir()
    with pytest.raises(InputError, match="can't be written to"):
        write_files(tmp_path, {"a": b"new", "b": b"new"})
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a", "b"]
    assert (tmp_path / "a").read_bytes() == b"new"


def test_a_file_in_the_way_of_the_folder(tmp_path):
    (tmp_path / "file").write_bytes(b"x")
    with pytest.raises(InputError) as caught:
        write_files(tmp_path / "file" / "sub", {"a": b"1"})
    assert "name another place" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_write_text_is_utf8_as_it_is(tmp_path):
    write_text(tmp_path / "x.toml", 'a = "°"\n')
    assert (tmp_path / "x.toml").read_bytes() == 'a = "°"\n'.encode()


def test_table_elsewhere_than_in_a_terminal(capsys):
    """Wide plain text; markup of the table's library is shown as it stands."""
    print_table(["name", "[unit]"], [["[bold]part[/bold]", "1.5"], ["x" * 80, "22"]], numeric=[1])
    out = capsys.readouterr().out
    assert "[bold]part[/bold]" in out
    assert "[unit]" in out
    assert "x" * 80 in out
    assert "\x1b" not in out
    ends = [line.rstrip() for line in out.splitlines()[-2:]]
    assert len(ends[0]) == len(ends[1])  # numbers stand flush right


def test_warnings_and_progress_go_to_standard_error(capsys):
    warn("mind the gap")
    with progress() as report:
        report(0.25, "one")
        report(0.5, "one")
        report(1.0, "two")
    with progress(enabled=False) as report:
        report(0.5, "unheard")
    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err.splitlines() == ["warning: mind the gap", "[ 25 %] one", "[100 %] two"]
