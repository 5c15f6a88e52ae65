"""What can go wrong, and with which exit code.

The tree::

    PrintplanError
    └── InputError (also ValueError)        bad input, exit code 2
        ├── JobFileError                    a key of the job file: file, key, value, expectation
        ├── MeshFileError                   a mesh file that can't be read or must not be
        ├── OutOfRangeError                 a number outside the validity of a formula
        └── UnknownNameError                a grade, class or place nobody knows (also KeyError)

Every message is one line: what, where, what was expected, what to do.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from pathlib import Path

__all__ = [
    "InputError",
    "JobFileError",
    "MeshFileError",
    "OutOfRangeError",
    "PrintplanError",
    "UnknownNameError",
    "nearest",
    "one_line",
]


def nearest(name: str, known: Iterable[str]) -> str | None:
    """Return the known name that looks most like `name`, or None when none does."""
    lowered = {k.lower(): k for k in known}
    hits = difflib.get_close_matches(name.lower(), list(lowered), n=1, cutoff=0.5)
    return lowered[hits[0]] if hits else None


def one_line(text: str, limit: int = 400) -> str:
    """Fold control characters and line breaks out of `text`, so that a message stays one line."""
    folded = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return folded if len(folded) <= limit else folded[: limit - 1] + "…"


class PrintplanError(Exception):
    """Root of all errors that the program raises on purpose."""

    exit_code = 1


class InputError(PrintplanError, ValueError):
    """Something the user gave can't be used."""

    exit_code = 2


class JobFileError(InputError):
    """A key of the job file is wrong."""

    def __init__(
        self,
        file: str | Path,
        key: str,
        value: object,
        expected: str,
        hint: str | None = None,
    ) -> None:
        self.file, self.key, self.value = str(file), key, value
        self.expected, self.hint = expected, hint
        where = f"{file}: {key}" if key else str(file)
        given = "" if value is None else f" = {value!r}"
        text = f"{where}{given}: expected {expected}"
        if hint:
            text += f"; {hint}"
        super().__init__(one_line(text))


class MeshFileError(InputError):
    """A mesh file is damaged, hostile or of an unknown kind."""

    def __init__(self, path: str | Path, reason: str, remedy: str | None = None) -> None:
        self.path, self.reason, self.remedy = str(path), reason, remedy
        # A long path loses its front, so that the reason stays on the line.
        shown = str(path) if len(str(path)) <= 160 else "…" + str(path)[-159:]
        super().__init__(one_line(f"{shown}: {reason}" + (f"; {remedy}" if remedy else "")))


class OutOfRangeError(InputError):
    """A number lies outside the range in which a formula means something."""

    def __init__(self, name: str, value: float, allowed: str) -> None:
        self.name, self.value, self.allowed = name, value, allowed
        super().__init__(one_line(f"{name} = {value!r}: expected {allowed}"))


class UnknownNameError(InputError, KeyError):
    """A grade, printer class, place or colour that the tables don't have."""

    def __init__(self, kind: str, name: str, known: Iterable[str]) -> None:
        names = sorted(known)
        self.kind, self.name, self.known = kind, name, tuple(names)
        near = nearest(name, names)
        hint = f"did you mean {near!r}?" if near else "known: " + ", ".join(names)
        self.message = one_line(f"{kind} {name!r} is not known; {hint}")
        super().__init__(self.message)

    def __str__(self) -> str:
        """Give the message without the quotes that KeyError adds."""
        return self.message
