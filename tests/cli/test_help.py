"""Help, names of commands, exit codes: what every command has in common."""

from __future__ import annotations

import json
import subprocess
import sys
from importlib import import_module

import click
import pytest

from printplan.cli import COMMANDS, main, root
from printplan.errors import InputError, JobFileError, PrintplanError, UnknownNameError

HEAVY = (
    "numpy", "numba", "scipy", "pandas", "shapely", "trimesh", "pint", "pydantic", "matplotlib",
    "rich", "lxml", "PIL", "stl",
)  # fmt: skip


def run(capsys, *words: str) -> tuple[int, str, str]:
    code = main(list(words))
    shown = capsys.readouterr()
    return code, shown.out, shown.err


def fresh(program: str, *words: str) -> subprocess.CompletedProcess[str]:
    """Run Python code in a process that has imported nothing yet."""
    return subprocess.run(
        [sys.executable, "-c", program, *words], capture_output=True, text=True, check=False
    )


@pytest.mark.parametrize("words", [["--help"], ["--version"], ["schmea"]])
def test_help_loads_nothing_heavy(words):
    """Only click and the standard library, so that help answers at once."""
    program = (
        "import json, sys\n"
        "from printplan.cli import main\n"
        "code = main(sys.argv[1:])\n"
        "tops = sorted({name.partition('.')[0] for name in sys.modules})\n"
        "print(json.dumps([code, tops]), file=sys.stderr)\n"
    )
    done = fresh(program, *words)
    code, loaded = json.loads(done.stderr.splitlines()[-1])
    assert code == (2 if words == ["schmea"] else 0)
    assert "click" in loaded
    assert [name for name in HEAVY if name in loaded] == []
    known = set(sys.stdlib_module_names) | {"click", "printplan", "__main__"}
    extra = [name for name in loaded if name not in known and not name.startswith("_")]
    # What the interpreter itself loads at start (site hooks of an editable install) is not ours.
    before = json.loads(
        fresh(
            "import json, sys\n"
            "print(json.dumps(sorted({n.partition('.')[0] for n in sys.modules})))"
        ).stdout
    )
    assert [name for name in extra if name not in before] == []


def test_help_lists_every_command_with_its_text(capsys):
    code, out, err = run(capsys, "--help")
    assert (code, err) == (0, "")
    for name, (_, text) in COMMANDS.items():
        assert any(
            line.split()[:1] == [name] and line.strip().endswith(text) for line in out.splitlines()
        )
    order = [line.split()[0] for line in out.partition("Commands:")[2].splitlines() if line.strip()]
    assert order[: len(COMMANDS)] == list(COMMANDS)
    assert "Example: printplan plan" in out


@pytest.mark.parametrize("name", COMMANDS)
def test_the_table_says_what_the_command_says(name):
    module, text = COMMANDS[name]
    command = import_module(module).command
    assert command.name == name
    assert command.get_short_help_str(limit=200) == text


def commands() -> list[list[str]]:
    """Every command and every command below one."""
    found = []
    for name, (module, _) in COMMANDS.items():
        found.append([name])
        command = import_module(module).command
        if isinstance(command, click.Group):
            found += [[name, below] for below in command.commands]
    return found


@pytest.mark.parametrize("words", commands(), ids=" ".join)
def test_every_help_has_an_example(capsys, words):
    code, out, err = run(capsys, *words, "--help")
    assert (code, err) == (0, "")
    assert f"Example: printplan {' '.join(words)}" in out
    assert "Usage: printplan " + " ".join(words) in out
    assert run(capsys, *words, "-h") == (0, out, "")


def test_an_unknown_command_suggests_the_nearest(capsys):
    code, out, err = run(capsys, "plna")
    assert (code, out) == (2, "")
    assert "No such command 'plna'" in err
    assert "Did you mean 'plan'?" in err
    code, out, err = run(capsys, "xyzzy")
    assert (code, out) == (2, "")
    assert "Did you mean" not in err


def test_an_unknown_option_is_refused(capsys):
    code, out, err = run(capsys, "plan", "--jsn", "job.toml")
    assert (code, out) == (2, "")
    assert "--jsn" in err


def test_version(capsys):
    import printplan

    assert run(capsys, "--version") == (0, f"printplan {printplan.__version__}\n", "")


def test_exit_code_of_the_program_itself():
    done = fresh(
        "import sys; sys.argv = ['printplan', 'plan', 'nowhere.toml']\n"
        "from printplan.cli.__main__ import run\n"
        "run()"
    )
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.splitlines()[-1].startswith("printplan: nowhere.toml: expected a readable")
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (InputError("bad input"), 2),
        (PrintplanError("something else"), 1),
        (JobFileError("job.toml", "title", 1, "text"), 2),
        (UnknownNameError("colour", "blak", ["black"]), 2),
    ],
)
def test_errors_become_one_line_and_a_code(capsys, monkeypatch, error, code):
    def fail(*args, **kwargs):
        raise error

    monkeypatch.setattr(root, "main", fail)
    got, out, err = run(capsys)
    assert (got, out) == (code, "")
    assert err.startswith("printplan: ")
    assert err.count("\n") == 1


def test_interrupt(capsys, monkeypatch):
    def fail(*args, **kwargs):
        raise KeyboardInterrupt

    monkeypatch.setattr(root, "main", fail)
    assert run(capsys) == (130, "", "printplan: interrupted; nothing was written\n")


def test_no_command_shows_the_help(capsys):
    code, out, err = run(capsys)
    assert code == 2
    assert "Commands:" in out + err


def test_a_reader_that_stops_reading_is_no_error():
    """As in ``printplan schema | head -1``."""
    with subprocess.Popen(
        [sys.executable, "-m", "printplan", "schema"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        complaint = process.stderr.read()
    assert complaint == ""
