"""Checks of plain numbers and names at the door of the room; each raises and returns nothing."""

from __future__ import annotations

import math
from collections.abc import Iterable

from printplan.errors import OutOfRangeError, UnknownNameError

__all__ = ["check_between", "check_known", "check_not_negative", "check_positive"]


def check_positive(name: str, value: float) -> None:
    """Raise OutOfRangeError unless `value` is finite and above zero."""
    if not (math.isfinite(value) and value > 0.0):
        raise OutOfRangeError(name, value, "a finite number above 0")


def check_not_negative(name: str, value: float) -> None:
    """Raise OutOfRangeError unless `value` is finite and not below zero."""
    if not (math.isfinite(value) and value >= 0.0):
        raise OutOfRangeError(name, value, "a finite number, 0 or more")


def check_between(name: str, value: float, low: float, high: float) -> None:
    """Raise OutOfRangeError unless ``low <= value <= high``."""
    if not low <= value <= high:
        raise OutOfRangeError(name, value, f"a number from {low:g} to {high:g}")


def check_known(kind: str, name: str, known: Iterable[str]) -> None:
    """Raise UnknownNameError unless `name` is one of `known`."""
    names = tuple(known)
    if name not in names:
        raise UnknownNameError(kind, name, names)
