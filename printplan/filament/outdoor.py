"""Whether a grade may stand outdoors: what sunlight does to it, and what paint would mend.

Only weathering is judged here; softening in the sun's heat is another question, and for PLA the
deciding one. Sources disagree about ultraviolet light, because lamp tests and sunlight attack
different depths; where the table holds findings that part, the verdict names them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from printplan.errors import InputError

if TYPE_CHECKING:
    from printplan.filament.grade import Filament
    from printplan.filament.value import Value

__all__ = ["OutdoorVerdict", "Suits", "outdoor"]

Suits = Literal["good", "paint it", "avoid", "not judged"]

#: From this rating on (1 poor to 4 very good) a grade may stand in the sun as it is, and from
#: this one on under paint [common practice: reading of the rating].
GOOD_FROM, PAINT_FROM = 3.0, 2.0


@dataclass(frozen=True, kw_only=True)
class OutdoorVerdict:
    """Whether a grade suits a place outdoors.

    Attributes
    ----------
    suits : str
        "good", "paint it", "avoid", or "not judged" where the grade has no rating.
    text : str
        The verdict in one sentence.
    rating : float or None
        Resistance to ultraviolet light, 1 poor to 4 very good. [-]
    notes : tuple of str
        Embrittlement, disagreement of the sources, what paint must do.
    source : str
        Origin of the rating.
    """

    suits: Suits
    text: str
    rating: float | None
    notes: tuple[str, ...] = ()
    source: str = ""


def outdoor(filament: Filament, sun: bool, colour: str) -> OutdoorVerdict:
    """Judge weathering of a grade in a colour.

    Parameters
    ----------
    filament : Filament
        The grade.
    sun : bool
        Whether sunlight falls on the part; without it every grade is good.
    colour : str
        Colour of the part. Only black is taken as screening the inside from the light; every other
        name, "unknown" too, earns no credit. (The room `climate` knows which colours there are.)

    Returns
    -------
    OutdoorVerdict

    Raises
    ------
    InputError
        If the colour is empty.

    Sources
    -------
    [source: rating and findings as cited in the table]
    [memory: general knowledge of weathering]  carbon black screens ultraviolet light; here it
    only lifts "avoid" to "paint it", as long as no test of a print says more
    """
    plain = " ".join(colour.lower().split())
    if not plain:
        raise InputError("the colour is empty: name it, or say 'unknown'")
    rating = filament.find("uv_resistance")
    if not sun:
        return OutdoorVerdict(
            suits="good",
            text=f"{filament.name}: no sunlight on the part, so weathering is no matter",
            rating=None if rating is None else rating.typical,
        )
    if rating is None:
        return OutdoorVerdict(
            suits="not judged",
            text=f"{filament.name} has no uv_resistance in the table: weathering is not judged",
            rating=None,
        )
    suits = _suits(filament, rating, plain)
    words = {
        "good": f"{filament.name} may stand in the sun as it is",
        "paint it": f"{filament.name} loses strength in sunlight: paint or cover it",
        "avoid": f"{filament.name} embrittles in sunlight: choose another grade, "
        "or paint every face",
    }
    return OutdoorVerdict(
        suits=suits,
        text=f"{words[suits]} ({rating.condition})",
        rating=rating.typical,
        notes=_notes(filament, rating, suits, plain),
        source=rating.origin,
    )


def _suits(filament: Filament, rating: Value, colour: str) -> Suits:
    level = rating.typical
    if _is_black(colour) and level < PAINT_FROM:
        level = min(PAINT_FROM, level + filament.rule("uv_black_credit").typical)
    if level >= GOOD_FROM:
        return "good"
    return "paint it" if level >= PAINT_FROM else "avoid"


def _is_black(colour: str) -> bool:
    return colour.startswith("black")


def _notes(filament: Filament, rating: Value, suits: Suits, colour: str) -> tuple[str, ...]:
    notes = []
    others = [
        v
        for v in filament.alternatives
        if v.quantity == "uv_resistance" and v.typical != rating.typical
    ]
    if others:
        named = "; ".join(f"{v.typical:g} ({v.condition}) {v.origin}" for v in others)
        notes.append(f"sources disagree: rated {rating.typical:g} here, but {named}")
    notes += [f"{r.text} {r.origin}" for r in filament.remarks if r.topic == "weather"]
    if suits != "good":
        notes.append("a light opaque paint keeps the light out and the part cooler as well")
        if _is_black(colour):
            notes.append("black screens the inside, so the loss stays near the surface")
    elif rating.condition == "black" and not _is_black(colour):
        notes.append("the rating holds for black; a natural or light part has not been rated")
    return tuple(notes)
