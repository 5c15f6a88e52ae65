"""The recipe: how a part is built up from walls, skins and infill."""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass, replace
from typing import Any, Literal, get_args

from printplan.errors import InputError, OutOfRangeError, UnknownNameError, nearest, one_line
from printplan.process.bead import bead_spacing

__all__ = ["RECIPES", "InfillPattern", "Recipe", "Supports", "recipe"]

InfillPattern = Literal["lines", "grid", "triangles", "hexagons", "cubic", "gyroid", "concentric"]
Supports = Literal["none", "where needed"]


def _within(name: str, value: float, low: float, high: float) -> None:
    if not (math.isfinite(value) and low <= value <= high):
        raise OutOfRangeError(name, value, f"{low:g} to {high:g}")


def _one_of(name: str, value: str, known: tuple[str, ...]) -> None:
    if value not in known:
        near = nearest(str(value), known)
        hint = f"; did you mean {near!r}?" if near else ""
        raise InputError(one_line(f"{name} = {value!r}: expected one of {', '.join(known)}{hint}"))


@dataclass(frozen=True, kw_only=True)
class Recipe:
    """Process parameters of one build.

    Attributes
    ----------
    name : str
        What the recipe is called in results.
    layer_height_mm, first_layer_height_mm : float
        Vertical pitch of the layers; the first may differ. [mm]
    line_width_mm : float
        Width of the bead in plan. [mm]
    wall_count : int
        Closed beads along each outline.
    top_skins, bottom_skins : int
        Solid layers that close a region above and below.
    infill_fraction : float
        Extruded volume over volume of the inner region, 0 to 1.
    infill_pattern : str
        Course of the infill lines.
    supports : str
        Whether overhangs get a scaffold.
    overhang_limit_deg : float
        Down-facing surfaces that lean further than this from the vertical need support. [deg]
    brim_lines : int
        Loops joined to the first layer all round.
    nozzle_bore_mm : float
        Bore of the nozzle. [mm]
    """

    name: str = "own"
    layer_height_mm: float = 0.2
    first_layer_height_mm: float = 0.2
    line_width_mm: float = 0.45
    wall_count: int = 3
    top_skins: int = 4
    bottom_skins: int = 4
    infill_fraction: float = 0.2
    infill_pattern: InfillPattern = "lines"
    supports: Supports = "where needed"
    overhang_limit_deg: float = 45.0
    brim_lines: int = 0
    nozzle_bore_mm: float = 0.4

    def __post_init__(self) -> None:
        _within("nozzle bore [mm]", self.nozzle_bore_mm, 0.1, 3.0)
        for name, height in (
            ("layer height [mm]", self.layer_height_mm),
            ("first layer height [mm]", self.first_layer_height_mm),
        ):
            _within(name, height, 0.02, self.nozzle_bore_mm)
            if self.line_width_mm < height:
                raise OutOfRangeError(
                    "line width [mm]", self.line_width_mm, f"at least the {name[:-5]}, {height:g}"
                )
        _within("line width [mm]", self.line_width_mm, 0.05, 3 * self.nozzle_bore_mm)
        _within("wall count", self.wall_count, 1, 50)
        _within("top skins", self.top_skins, 0, 1000)
        _within("bottom skins", self.bottom_skins, 0, 1000)
        _within("infill fraction", self.infill_fraction, 0.0, 1.0)
        _within("overhang limit [deg]", self.overhang_limit_deg, 1.0, 89.0)
        _within("brim lines", self.brim_lines, 0, 100)
        _one_of("infill pattern", self.infill_pattern, get_args(InfillPattern))
        _one_of("supports", self.supports, get_args(Supports))

    @property
    def spacing_mm(self) -> float:
        """Centre distance of neighbouring lines above the first layer. [mm]"""
        return bead_spacing(self.line_width_mm, self.layer_height_mm)

    @property
    def first_spacing_mm(self) -> float:
        """Centre distance of neighbouring lines in the first layer. [mm]"""
        return bead_spacing(self.line_width_mm, self.first_layer_height_mm)

    @property
    def full_wall_mm(self) -> float:
        """Thickness at which all walls of both sides just fit side by side. [mm]"""
        return 2 * (self.line_width_mm / 2 + (self.wall_count - 0.5) * self.spacing_mm)

    def checks(self) -> tuple[str, ...]:
        """Say what is unusual about the recipe.

        Returns
        -------
        tuple of str
            One sentence for each unusual ratio; empty if there is none.

        Sources
        -------
        [common practice] layer height 0.25-0.75 of the bore; line width 1.0-1.2 of the bore, up
        to 1.5; a bead on a slope rests half on the layer below up to atan(w / 2h) (derived).
        """
        found = []
        bore = self.nozzle_bore_mm
        heights = {"layer height": self.layer_height_mm}
        if self.first_layer_height_mm != self.layer_height_mm:
            heights["first layer height"] = self.first_layer_height_mm
        for name, height in heights.items():
            if not 0.25 - 1e-9 <= height / bore <= 0.75 + 1e-9:
                found.append(
                    f"{name} {height:g} mm is {height / bore:.2f} of the {bore:g} mm bore; "
                    "usual is 0.25 to 0.75"
                )
        if not 1.0 - 1e-9 <= self.line_width_mm / bore <= 1.5 + 1e-9:
            found.append(
                f"line width {self.line_width_mm:g} mm is {self.line_width_mm / bore:.2f} of the "
                f"{bore:g} mm bore; usual is 1.0 to 1.2, at most 1.5"
            )
        half_rest = math.degrees(math.atan(self.line_width_mm / (2 * self.layer_height_mm)))
        if self.supports != "none" and self.overhang_limit_deg > max(60.0, half_rest):
            found.append(
                f"overhang limit {self.overhang_limit_deg:g} deg: above {max(60.0, half_rest):.0f} "
                "deg less than half of a bead rests on the layer below"
            )
        return tuple(found)

    def but(self, **changes: Any) -> Recipe:
        """Return a copy with some fields changed.

        Parameters
        ----------
        **changes : Any
            Field names and their new values.

        Returns
        -------
        Recipe
            The changed copy, checked like a new one.
        """
        return replace(self, **changes)

    def to_dict(self) -> dict[str, Any]:
        """Return the fields as plain values for JSON.

        Returns
        -------
        dict
            Field name → value.
        """
        return asdict(self)


#: Starting points. The counts and fractions are choices of ours for load-bearing parts.
RECIPES: dict[str, Recipe] = {
    r.name: r
    for r in (
        Recipe(name="light", wall_count=2, top_skins=4, bottom_skins=3, infill_fraction=0.15),
        Recipe(
            name="sturdy",
            wall_count=5,
            top_skins=5,
            bottom_skins=5,
            infill_fraction=0.4,
            infill_pattern="gyroid",
        ),
        Recipe(
            name="strong",
            wall_count=8,
            top_skins=8,
            bottom_skins=8,
            infill_fraction=0.6,
            infill_pattern="gyroid",
        ),
        Recipe(name="solid", wall_count=5, top_skins=5, bottom_skins=5, infill_fraction=1.0),
    )
}


def recipe(name: str, /, **changes: Any) -> Recipe:
    """Look up a starting recipe and change some of its fields.

    Parameters
    ----------
    name : str
        Name in :data:`RECIPES`.
    **changes : Any
        Field names of :class:`Recipe` and their new values; None leaves a field as it is.

    Returns
    -------
    Recipe
        The recipe, its name marked "changed" when a field differs.

    Raises
    ------
    UnknownNameError
        If there is no such recipe or no such field.
    """
    if name not in RECIPES:
        raise UnknownNameError("recipe", name, RECIPES)
    wanted = {key: value for key, value in changes.items() if value is not None}
    fields = Recipe.__dataclass_fields__
    for key in wanted:
        if key not in fields:
            raise UnknownNameError("recipe field", key, fields)
    base = RECIPES[name]
    if all(getattr(base, key) == value for key, value in wanted.items()):
        return base
    wanted.setdefault("name", f"{name}, changed")
    return base.but(**wanted)
