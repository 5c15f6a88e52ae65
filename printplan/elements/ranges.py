"""Refusing numbers outside the range in which a formula means something."""

from __future__ import annotations

import math

from printplan.errors import OutOfRangeError

__all__ = ["between", "not_negative", "positive"]


def positive(**values: float) -> None:
    """Refuse a value that is not finite or not above zero.

    Raises
    ------
    OutOfRangeError
        For the first value that is not, under its argument's name.
    """
    for name, value in values.items():
        if not (math.isfinite(value) and value > 0):
            raise OutOfRangeError(name, value, "a finite number above 0")


def not_negative(**values: float) -> None:
    """Refuse a value that is not finite or below zero.

    Raises
    ------
    OutOfRangeError
        For the first value that is not, under its argument's name.
    """
    for name, value in values.items():
        if not (math.isfinite(value) and value >= 0):
            raise OutOfRangeError(name, value, "a finite number, 0 or more")


def between(name: str, value: float, low: float, high: float, remedy: str = "") -> None:
    """Refuse a value outside ``low <= value <= high``.

    Raises
    ------
    OutOfRangeError
        If it is outside; `remedy` tells what to do.
    """
    if not low <= value <= high:
        allowed = f"{low:g} to {high:g}"
        raise OutOfRangeError(name, value, f"{allowed}; {remedy}" if remedy else allowed)
