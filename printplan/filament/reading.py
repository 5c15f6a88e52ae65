"""Read and check one file of ``materials/``: sources, general rules, or a grade."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, get_args

from printplan.errors import InputError, JobFileError
from printplan.filament.bands import GLASS_TRANSITION_BANDS
from printplan.filament.entries import (
    check_keys,
    check_repeats,
    choice_of,
    entries_of,
    remark_of,
    retention_of,
    sources_of,
    text_of,
    values_of,
)
from printplan.filament.grade import Filament, PolymerClass
from printplan.filament.sanity import check_consistent, check_states_named
from printplan.filament.value import Retention, Source, Value

__all__ = ["read_general", "read_grade", "read_sources"]

_GRADE_KEYS = {
    *("grade", "name", "aliases", "polymer", "polymer_class", "summary", "states"),
    *(
        "judged_state",
        "based_on",
        "overrides",
        "value",
        "retention",
        "alternative",
        "remark",
        "sources",
    ),
}


def read_sources(path: Path) -> dict[str, Source]:
    """Read ``sources.toml``: citation key → source."""
    return sources_of(path, _load(path), "")


def read_general(path: Path, sources: Mapping[str, Source]) -> tuple[Value, ...]:
    """Read ``general.toml``: values and rules that hold for every grade."""
    data = _load(path)
    check_keys(path, "", data, {"value"})
    return values_of(path, data, "value", sources, polymer=None)


def read_grade(
    path: Path,
    sources: Mapping[str, Source],
    rules: tuple[Value, ...],
    bases: Mapping[str, Filament] | None = None,
) -> Filament:
    """Read one grade and check every entry.

    Parameters
    ----------
    path : Path
        The TOML file; its layout is described in ``materials/README.md``.
    sources : mapping of str to Source
        Citation keys that the entries may use, besides those under ``[sources]`` in the file.
    rules : tuple of Value
        What ``general.toml`` holds.
    bases : mapping of str to Filament, optional
        Given for a file of the user: the grades that ``based_on`` or ``overrides`` may name; their
        values are taken where the file has none. What comes from the file is marked as own.

    Raises
    ------
    JobFileError
        If a key is unknown or missing, a label or citation is missing, a range is out of order,
        a value lies outside the believable band of its quantity or polymer, or values contradict
        each other.
    """
    data = _load(path)
    check_keys(path, "", data, _GRADE_KEYS)
    mine = bases is not None
    base, overrides = _base_of(path, data, bases or {})
    known = {**sources, **sources_of(path, data.get("sources", {}), "sources.")}
    polymer, polymer_class = _kind_of(path, data, base)
    states = tuple(data.get("states", base.states if base else ()))
    judged = data.get("judged_state", base.judged_state if base else None)
    if states:
        choice_of(path, "judged_state", judged, states)
    values = values_of(path, data, "value", known, polymer, own=mine)
    check_repeats(path, "value", [v.key for v in values])
    retentions = tuple(
        retention_of(path, f"retention[{i + 1}]", entry, known, own=mine)
        for i, entry in enumerate(entries_of(path, data, "retention"))
    )
    check_repeats(path, "retention", [_curve_key(r) for r in retentions])
    remarks = tuple(
        remark_of(path, f"remark[{i + 1}]", entry, known)
        for i, entry in enumerate(entries_of(path, data, "remark"))
    )
    filament = Filament(
        grade=base.grade if overrides and base else text_of(path, "grade", data),
        name=base.name if overrides and base else str(data.get("name", data.get("grade"))),
        aliases=base.aliases if overrides and base else _texts(data.get("aliases", ())),
        polymer=polymer,
        polymer_class=polymer_class,
        summary=str(data.get("summary", base.summary if base else "")),
        states=states,
        judged_state=judged,
        values=values,
        retentions=retentions,
        alternatives=values_of(path, data, "alternative", known, polymer, own=mine),
        remarks=remarks,
        rules=rules,
        own=mine,
        based_on=base.grade if base else None,
        own_sources=tuple(known[key] for key in data.get("sources", {})),
    )
    if base:
        filament = _on_top_of(path, filament, base)
    check_consistent(path, filament)
    return filament


def _on_top_of(path: Path, mine: Filament, base: Filament) -> Filament:
    """Fill what the file leaves out; what it replaces stays visible among the alternatives."""
    check_states_named(path, mine.values, base.values)
    check_states_named(path, mine.retentions, base.retentions)
    kept = {v.key for v in mine.values}
    curves = {_curve_key(r) for r in mine.retentions}
    replaced = tuple(v for v in base.values if v.key in kept)
    return replace(
        mine,
        values=mine.values + tuple(v for v in base.values if v.key not in kept),
        retentions=mine.retentions
        + tuple(r for r in base.retentions if _curve_key(r) not in curves),
        alternatives=mine.alternatives + replaced + base.alternatives,
        remarks=mine.remarks + base.remarks,
    )


def _curve_key(curve: Retention) -> tuple[object, ...]:
    return curve.quantity, curve.direction, curve.state


def _kind_of(
    path: Path, data: Mapping[str, Any], base: Filament | None
) -> tuple[str, PolymerClass]:
    polymer = choice_of(
        path,
        "polymer",
        data.get("polymer", base.polymer if base else None),
        (*GLASS_TRANSITION_BANDS, "other"),
    )
    polymer_class = choice_of(
        path,
        "polymer_class",
        data.get("polymer_class", base.polymer_class if base else None),
        get_args(PolymerClass),
    )
    for key, mine in (("polymer", polymer), ("polymer_class", polymer_class)):
        if base and mine != getattr(base, key):
            raise JobFileError(
                path,
                key,
                mine,
                f"{getattr(base, key)!r}, as the grade that it builds on",
                "values of another kind of plastic don't carry over: give them all, without base",
            )
    return polymer, polymer_class  # type: ignore[return-value]


def _texts(words: Iterable[object]) -> tuple[str, ...]:
    return tuple(str(word) for word in words)


def _load(path: Path) -> dict[str, Any]:
    try:
        with path.open("rb") as file:
            return tomllib.load(file)
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise InputError(f"{path}: can't be read ({reason}); check the path") from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise InputError(f"{path}: is not valid TOML ({error}); correct that place") from error


def _base_of(
    path: Path, data: Mapping[str, Any], bases: Mapping[str, Filament]
) -> tuple[Filament | None, bool]:
    """Return the grade that the file builds on, and whether the file takes its place."""
    given = [key for key in ("based_on", "overrides") if key in data]
    if not given:
        return None, False
    if len(given) == 2:
        raise JobFileError(
            path, "overrides", data["overrides"], "either based_on or overrides, not both"
        )
    overrides = given[0] == "overrides"
    if overrides:
        for key in ("grade", "name", "aliases", "polymer"):
            if key in data:
                raise JobFileError(
                    path,
                    key,
                    data[key],
                    "no such key beside overrides: the grade keeps its name",
                    'for a grade beside the shipped one say based_on = "…"',
                )
    return bases[choice_of(path, given[0], data[given[0]], tuple(bases))], overrides
