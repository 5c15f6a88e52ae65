"""The table of all grades: found in the wheel or the checkout, read once, searched by name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from printplan.errors import InputError, UnknownNameError
from printplan.filament.demand import Direction
from printplan.filament.grade import Filament
from printplan.filament.reading import read_general, read_grade, read_sources
from printplan.filament.value import Bound, Source, Value

if TYPE_CHECKING:
    import pandas

__all__ = ["FilamentTable", "load_table"]

#: Files of the folder that hold no grade.
_SHARED_FILES = ("sources.toml", "general.toml")


@dataclass(frozen=True, kw_only=True, eq=False)
class FilamentTable:
    """All grades, the general rules and the sources.

    Attributes
    ----------
    grades : mapping of str to Filament
        By grade key, in alphabetical order.
    rules : tuple of Value
        What holds for every grade.
    sources : mapping of str to Source
        The citations.
    """

    grades: Mapping[str, Filament]
    rules: tuple[Value, ...]
    sources: Mapping[str, Source]

    def __iter__(self) -> Iterator[Filament]:
        return iter(self.grades.values())

    def __len__(self) -> int:
        return len(self.grades)

    def __contains__(self, name: object) -> bool:
        return isinstance(name, str) and self._find(_plain(name)) is not None

    def get(self, name: str) -> Filament:
        """Find a grade by key, name or alias; case, spaces and separators don't count.

        A nylon may be asked for in a moisture state: "pa6 dry", "PA12 conditioned" is the same
        data judged in that state, as a grade of its own.

        Raises
        ------
        UnknownNameError
            If no grade has that name; the message gives the nearest one.
        """
        found = self._find(_plain(name))
        if found is None:
            raise UnknownNameError("filament grade", name, self.grades)
        return found

    def _find(self, word: str) -> Filament | None:
        names = self._names()
        if word in names:
            return self.grades[names[word]]
        for filament in self:
            for state in filament.states:
                if word.endswith(state) and names.get(word.removesuffix(state)) == filament.grade:
                    return filament.in_state(state)
        return None

    def _names(self) -> dict[str, str]:
        names = {}
        for filament in self:
            for word in (*filament.aliases, filament.name, filament.grade):
                names[_plain(word)] = filament.grade
        return names

    def to_frame(self) -> pandas.DataFrame:
        """One row per grade: the values people compare first.

        Columns: grade, name, polymer_class, density_g_cm3, strength_xy_lower_mpa,
        strength_xy_mpa, strength_z_lower_mpa, strength_z_mpa (23 °C, nylons conditioned),
        glass_transition_degc, hdt_0p45_degc, hdt_1p8_degc, price_eur_kg, nozzle_degc, bed_degc,
        enclosure, hardened_nozzle, drying, bed_adhesion, own.
        """
        import pandas

        return pandas.DataFrame([_row(filament) for filament in self])


def _row(filament: Filament) -> dict[str, object]:
    def typical(name: str) -> float | None:
        found = filament.find(name)
        return None if found is None else found.typical

    def pulled(direction: Direction, bound: Bound) -> float:
        return filament.strength(direction, 23.0, bound=bound).strength_mpa

    needs = filament.needs
    return {
        "grade": filament.grade,
        "name": filament.name,
        "polymer_class": filament.polymer_class,
        "density_g_cm3": filament.density_g_cm3,
        "strength_xy_lower_mpa": pulled("in-layer tension", "lower"),
        "strength_xy_mpa": pulled("in-layer tension", "typical"),
        "strength_z_lower_mpa": pulled("interlayer tension", "lower"),
        "strength_z_mpa": pulled("interlayer tension", "typical"),
        "glass_transition_degc": filament.glass_transition_degc,
        "hdt_0p45_degc": typical("hdt_0p45"),
        "hdt_1p8_degc": typical("hdt_1p8"),
        "price_eur_kg": filament.price_per_kg,
        "nozzle_degc": needs.nozzle_degc,
        "bed_degc": needs.bed_degc,
        "enclosure": needs.enclosure,
        "hardened_nozzle": needs.hardened_nozzle,
        "drying": needs.drying,
        "bed_adhesion": needs.bed_adhesion,
        "own": filament.own,
    }


def load_table(folder: Path | None = None, *, extra: Sequence[str | Path] = ()) -> FilamentTable:
    """Read the material table; the same question is answered from memory the second time.

    Parameters
    ----------
    folder : Path, optional
        Where the TOML files are. Default: the data shipped with the program.
    extra : sequence of paths
        Grade files of the user, checked as strictly as the shipped ones. A file may say
        ``based_on = "petg"`` and give only what differs, or ``overrides = "petg"`` to take the
        place of the shipped grade; both are marked as own.

    Raises
    ------
    InputError
        If the folder or a file can't be read, or a grade name is taken.
    JobFileError
        If an entry of a file is wrong.
    """
    where = _shipped_folder() if folder is None else Path(folder)
    shipped = _read_folder(where.resolve())
    if not extra:
        return shipped
    grades = dict(shipped.grades)
    for path in map(Path, extra):
        filament = read_grade(path, shipped.sources, shipped.rules, grades)
        if filament.based_on == filament.grade:
            grades[filament.grade] = filament
            continue
        taken = FilamentTable(grades=grades, rules=(), sources={})
        for word in (filament.grade, filament.name, *filament.aliases):
            if word in taken:
                raise InputError(
                    f"{path}: the name {word!r} is already in the table; "
                    'give the grade a name of its own and, if it is a variant, say based_on = "…"'
                )
        grades[filament.grade] = filament
    return FilamentTable(grades=grades, rules=shipped.rules, sources=shipped.sources)


@cache
def _read_folder(folder: Path) -> FilamentTable:
    sources = read_sources(folder / "sources.toml")
    rules = read_general(folder / "general.toml", sources)
    grades = {}
    for path in sorted(folder.glob("*.toml")):
        if path.name not in _SHARED_FILES:
            filament = read_grade(path, sources, rules)
            grades[filament.grade] = filament
    if not grades:
        raise InputError(f"{folder}: holds no grade; expected one TOML file per grade")
    return FilamentTable(grades=grades, rules=rules, sources=sources)


def _shipped_folder() -> Path:
    """Find the data in the installed package, else in the checkout (editable installs map none)."""
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "_materials", package.parent / "materials"):
        if (folder / "sources.toml").is_file():
            return folder
    raise InputError(f"{package}: the material table is missing; install the program again")


def _plain(name: str) -> str:
    return "".join(c for c in name.lower() if c.isalnum())
