"""Check one entry of a grade file: value, curve, remark or source, with its origin."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import fields
from itertools import pairwise
from pathlib import Path
from typing import Any, get_args

from printplan.errors import JobFileError, nearest
from printplan.filament.bands import DIRECTED, PROPERTY_BANDS, TIMED, band_of
from printplan.filament.value import Axis, Label, Remark, Retention, Source, Value

__all__ = [
    "check_keys",
    "check_repeats",
    "choice_of",
    "entries_of",
    "remark_of",
    "retention_of",
    "sources_of",
    "text_of",
    "values_of",
]

_VALUE_KEYS = {f.name for f in fields(Value)} - {"source", "own"}
_RETENTION_KEYS = {
    *("quantity", "direction", "state", "points", "width"),
    *("condition", "label", "citations", "note"),
}
_REMARK_KEYS = {f.name for f in fields(Remark)} - {"source"}
_SOURCE_KEYS = {f.name for f in fields(Source)} - {"id"}
_SOURCE_KINDS = ("opened", "recalled", "trade", "own")
_TOPICS = ("", "weather")


def check_keys(path: Path, where: str, data: Mapping[str, Any], known: set[str]) -> None:
    """Refuse keys that nobody reads: a typing error would silently lose its value."""
    for key in data:
        if key not in known:
            near = nearest(key, known)
            raise JobFileError(
                path,
                f"{where}.{key}".lstrip("."),
                None,
                f"one of the keys {', '.join(sorted(known))}",
                f"did you mean {near!r}?" if near else None,
            )


def entries_of(path: Path, data: Mapping[str, Any], key: str) -> list[Mapping[str, Any]]:
    """Return the tables headed ``[[key]]``, an empty list where there are none."""
    entries = data.get(key, [])
    if not isinstance(entries, list) or not all(isinstance(e, dict) for e in entries):
        raise JobFileError(path, key, None, f"a list of tables, each headed [[{key}]]")
    return entries


def text_of(path: Path, key: str, data: Mapping[str, Any], where: str = "") -> str:
    """Return the text under `key`; missing or empty is an error."""
    value = data.get(key)
    if not isinstance(value, str) or not value.strip():
        raise JobFileError(path, f"{where}.{key}".lstrip("."), value, "a text that is not empty")
    return value


def choice_of(path: Path, key: str, value: object, known: tuple[str, ...]) -> str:
    """Return `value` if it is one of `known`."""
    if value not in known:
        raise JobFileError(path, key, value, f"one of {', '.join(known)}")
    return str(value)


def _number(path: Path, where: str, key: str, data: Mapping[str, Any]) -> float | None:
    value = data.get(key)
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise JobFileError(path, f"{where}.{key}", value, "a finite number")
    return float(value)


def sources_of(path: Path, data: Mapping[str, Any], prefix: str) -> dict[str, Source]:
    """Read tables of sources: citation key → source."""
    found = {}
    for key, entry in data.items():
        where = f"{prefix}{key}"
        if not isinstance(entry, dict):
            raise JobFileError(path, where, entry, "a table with kind, authors, year, title")
        check_keys(path, where, entry, _SOURCE_KEYS)
        year = entry.get("year")
        choice_of(path, f"{where}.kind", entry.get("kind"), _SOURCE_KINDS)
        found[key] = Source(
            id=key,
            kind=entry["kind"],
            authors=text_of(path, "authors", entry, where),
            year=str(year) if type(year) is int else text_of(path, "year", entry, where),
            title=text_of(path, "title", entry, where),
            where=str(entry.get("where", "")),
            read=str(entry.get("read", "")),
        )
    return found


def _origin(
    path: Path, where: str, entry: Mapping[str, Any], sources: Mapping[str, Source]
) -> tuple[Label, tuple[str, ...], str]:
    """Check label and citations; a value without an origin is refused."""
    label = choice_of(path, f"{where}.label", entry.get("label"), get_args(Label))
    citations = entry.get("citations")
    if not isinstance(citations, list) or not citations:
        raise JobFileError(
            path, f"{where}.citations", citations, "a list of at least one key of the sources"
        )
    for key in citations:
        if key not in sources:
            near = nearest(str(key), sources)
            raise JobFileError(
                path,
                f"{where}.citations",
                key,
                "a key of sources.toml or of [sources] in this file",
                f"did you mean {near!r}?" if near else None,
            )
    if label == "source" and not any(sources[key].kind == "opened" for key in citations):
        raise JobFileError(
            path,
            f"{where}.citations",
            citations,
            'at least one source of kind "opened", because the label is "source"',
        )
    text = "; ".join(sources[key].text for key in citations)
    return label, tuple(citations), text  # type: ignore[return-value]


def values_of(
    path: Path,
    data: Mapping[str, Any],
    key: str,
    sources: Mapping[str, Source],
    polymer: str | None,
    *,
    own: bool = False,
) -> tuple[Value, ...]:
    """Read the values under ``[[key]]``; `polymer` None skips the check of believable bands."""
    return tuple(
        _value(path, key, f"{key}[{i + 1}]", entry, sources, polymer, own)
        for i, entry in enumerate(entries_of(path, data, key))
    )


def _value(
    path: Path,
    key: str,
    where: str,
    entry: Mapping[str, Any],
    sources: Mapping[str, Source],
    polymer: str | None,
    own: bool,
) -> Value:
    check_keys(path, where, entry, _VALUE_KEYS)
    name = text_of(path, "quantity", entry, where)
    where = f"{where} {name}"
    label, citations, source = _origin(path, where, entry, sources)
    low, typical, high = (_number(path, where, k, entry) for k in ("low", "typical", "high"))
    if typical is None:
        raise JobFileError(path, f"{where}.typical", None, "a number")
    if (low is not None and low > typical) or (high is not None and typical > high):
        raise JobFileError(path, where, (low, typical, high), "low ≤ typical ≤ high")
    low_means = choice_of(
        path, f"{where}.low_means", entry.get("low_means", "range"), ("range", "5 % fractile")
    )
    if low_means == "5 % fractile" and low is None:
        raise JobFileError(path, f"{where}.low", None, "the 5 % fractile that low_means promises")
    value = Value(
        quantity=name,
        typical=typical,
        low=low,
        high=high,
        unit=text_of(path, "unit", entry, where),
        condition=text_of(path, "condition", entry, where),
        label=label,
        citations=citations,
        source=source,
        note=str(entry.get("note", "")),
        direction=_optional_axis(path, where, entry),
        state=entry.get("state"),
        temperature_degc=_number(path, where, "temperature_degc", entry),
        cycles=_number(path, where, "cycles", entry),
        hours=_number(path, where, "hours", entry),
        low_means=low_means,  # type: ignore[arg-type]
        own=own,
    )
    if polymer is not None:
        if key == "value" and name not in PROPERTY_BANDS:
            near = nearest(name, PROPERTY_BANDS)
            raise JobFileError(
                path,
                f"{where}.quantity",
                name,
                "a quantity that materials/README.md lists",
                f"did you mean {near!r}?" if near else None,
            )
        _believable(path, where, value, polymer)
    return value


def _optional_axis(path: Path, where: str, entry: Mapping[str, Any]) -> Axis | None:
    axis = entry.get("direction")
    if axis is not None:
        choice_of(path, f"{where}.direction", axis, get_args(Axis))
    return axis


def _believable(path: Path, where: str, value: Value, polymer: str) -> None:
    """Refuse a missing direction or time, a wrong unit, and numbers that can't be."""
    if value.quantity in DIRECTED and value.direction is None:
        raise JobFileError(
            path,
            f"{where}.direction",
            None,
            '"xy" in the layer or "z" across the layers',
            "a strength without a direction would pass for both",
        )
    if value.quantity in TIMED and (value.hours is None or value.hours <= 0.0):
        raise JobFileError(path, f"{where}.hours", value.hours, "the time under load in hours")
    band = band_of(value.quantity, polymer, value.state)
    if band is None:
        return
    lowest, highest, unit, of_polymer = band
    if value.unit != unit:
        raise JobFileError(path, f"{where}.unit", value.unit, f"{unit!r}")
    for key, number in (("low", value.low), ("typical", value.typical), ("high", value.high)):
        if number is not None and not lowest <= number <= highest:
            raise JobFileError(
                path,
                f"{where}.{key}",
                number,
                f"{lowest:g} to {highest:g} {unit}" + (f" for {polymer}" if of_polymer else ""),
                "check for a slipped decimal, another unit or a typing error in the source",
            )


def retention_of(
    path: Path,
    where: str,
    entry: Mapping[str, Any],
    sources: Mapping[str, Source],
    *,
    own: bool = False,
) -> Retention:
    """Read one curve over temperature."""
    check_keys(path, where, entry, _RETENTION_KEYS)
    kind = choice_of(path, f"{where}.quantity", entry.get("quantity"), ("strength", "modulus"))
    label, citations, source = _origin(path, where, entry, sources)
    width = _number(path, where, "width", entry)
    if width is None or not 0 <= width < 1:
        raise JobFileError(path, f"{where}.width", width, "a number from 0 to 1")
    points = _points(path, where, entry.get("points"))
    return Retention(
        quantity=kind,  # type: ignore[arg-type]
        temperatures_degc=tuple(t for t, _ in points),
        fractions=tuple(f for _, f in points),
        width=width,
        condition=text_of(path, "condition", entry, where),
        label=label,
        citations=citations,
        source=source,
        note=str(entry.get("note", "")),
        direction=_optional_axis(path, where, entry),
        state=entry.get("state"),
        own=own,
    )


def _points(path: Path, where: str, points: object) -> list[tuple[float, float]]:
    key = f"{where}.points"
    expected = "pairs [temperature in °C, fraction], starting with [23, 1.0]"
    if not isinstance(points, list) or len(points) < 2:
        raise JobFileError(path, key, points, f"at least two {expected}")
    pairs = []
    for point in points:
        if not (isinstance(point, list) and len(point) == 2):
            raise JobFileError(path, key, point, expected)
        number = [_number(path, key, "point", {"point": v}) for v in point]
        if number[0] is None or number[1] is None or not 0 <= number[1] <= 1:
            raise JobFileError(path, key, point, "fractions from 0 to 1")
        pairs.append((number[0], number[1]))
    if pairs[0] != (23.0, 1.0):
        raise JobFileError(path, key, points[0], expected)
    for (t0, f0), (t1, f1) in pairwise(pairs):
        if t1 <= t0 or f1 > f0:
            raise JobFileError(
                path, key, [t1, f1], "rising temperatures with fractions that never rise"
            )
    return pairs


def remark_of(
    path: Path, where: str, entry: Mapping[str, Any], sources: Mapping[str, Source]
) -> Remark:
    """Read one finding without a number."""
    check_keys(path, where, entry, _REMARK_KEYS)
    label, citations, source = _origin(path, where, entry, sources)
    return Remark(
        text=text_of(path, "text", entry, where),
        label=label,
        citations=citations,
        source=source,
        note=str(entry.get("note", "")),
        topic=choice_of(path, f"{where}.topic", entry.get("topic", ""), _TOPICS),
    )


def check_repeats(path: Path, key: str, keys: list[tuple[object, ...]]) -> None:
    """Refuse a key that stands twice: which of the two would count?"""
    for i, one in enumerate(keys):
        if one in keys[:i]:
            name = " ".join(str(part) for part in one if part is not None)
            raise JobFileError(
                path, key, name, "each quantity once", "put other findings under [[alternative]]"
            )
