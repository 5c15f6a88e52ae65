"""Read and check one file of ``materials/``: sources, general rules, or a grade."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any, get_args

from printplan.errors import InputError
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
from printplan.filament.value import Source, Value

__all__ = ["read_general", "read_grade", "read_sources"]

_GRADE_KEYS = {
    *("grade", "name", "aliases", "polymer", "polymer_class", "summary", "states"),
    *("judged_state", "based_on", "value", "retention", "alternative", "remark", "sources"),
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
        Grades that ``based_on`` may name; their values are taken where the file has none.

    Raises
    ------
    JobFileError
        If a key is unknown or missing, a label or citation is missing, a range is out of order,
        or a value lies outside the believable band of its quantity or polymer.
    """
    data = _load(path)
    check_keys(path, "", data, _GRADE_KEYS)
    base = _base_of(path, data, bases or {})
    own = {**sources, **sources_of(path, data.get("sources", {}), "sources.")}
    grade = text_of(path, "grade", data)
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
    states = tuple(data.get("states", base.states if base else ()))
    judged = data.get("judged_state", base.judged_state if base else None)
    if states:
        choice_of(path, "judged_state", judged, states)
    values = values_of(path, data, "value", own, polymer)
    check_repeats(path, "value", [v.key for v in values])
    retentions = tuple(
        retention_of(path, f"retention[{i + 1}]", entry, own)
        for i, entry in enumerate(entries_of(path, data, "retention"))
    )
    check_repeats(path, "retention", [(r.quantity, r.direction, r.state) for r in retentions])
    alternatives = values_of(path, data, "alternative", own, polymer)
    remarks = tuple(
        remark_of(path, f"remark[{i + 1}]", entry, own)
        for i, entry in enumerate(entries_of(path, data, "remark"))
    )
    if base:
        kept = {v.key for v in values}
        values += tuple(v for v in base.values if v.key not in kept)
        curves = {(r.quantity, r.direction, r.state) for r in retentions}
        retentions += tuple(
            r for r in base.retentions if (r.quantity, r.direction, r.state) not in curves
        )
        alternatives += base.alternatives
        remarks += base.remarks
    return Filament(
        grade=grade,
        name=str(data.get("name", grade)),
        aliases=tuple(str(a) for a in data.get("aliases", ())),
        polymer=polymer,
        polymer_class=polymer_class,  # type: ignore[arg-type]
        summary=str(data.get("summary", base.summary if base else "")),
        states=states,
        judged_state=judged,
        values=values,
        retentions=retentions,
        alternatives=alternatives,
        remarks=remarks,
        rules=rules,
    )


def _load(path: Path) -> dict[str, Any]:
    try:
        with path.open("rb") as file:
            return tomllib.load(file)
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise InputError(f"{path}: can't be read ({reason}); check the path") from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise InputError(f"{path}: is not valid TOML ({error}); correct that place") from error


def _base_of(path: Path, data: Mapping[str, Any], bases: Mapping[str, Filament]) -> Filament | None:
    if "based_on" not in data:
        return None
    return bases[choice_of(path, "based_on", data["based_on"], tuple(bases))]
