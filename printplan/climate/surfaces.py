"""Surfaces: how much sunlight a colour takes in and how well it radiates.

The eye does not settle it: about half of the sun's power is infrared, so two filaments of one
colour may heat differently by their pigment [source: SPIE newsroom, Synnefa and Santamouris 2007].
A colour whose pigment is not known is therefore rounded up.
"""

from __future__ import annotations

from dataclasses import dataclass

from printplan.errors import UnknownNameError

__all__ = ["AGEING_ABSORPTANCE", "SURFACES", "Surface", "surface"]

#: What dirt and ageing add to the absorptance in the upper bound [common practice: 0.05 to 0.10].
AGEING_ABSORPTANCE = 0.05

#: Long-wave emittance of plastics of any colour: 0.90 to 0.95 [memory]; the hotter end is taken.
_PLASTIC_EMITTANCE = 0.90


@dataclass(frozen=True, kw_only=True)
class Surface:
    """A colour or coating.

    Attributes
    ----------
    name : str
        Colour as people say it.
    absorptance : float
        Share of the sun's power taken in.
    emittance : float
        Long-wave emittance.
    source : str
        Origin of the numbers, with its label.
    warning : str
        What the reader must know, or empty.
    """

    name: str
    absorptance: float
    emittance: float
    source: str
    warning: str = ""


_BY_CLASS = "[common practice] class of colours; emittance [memory: most plastics 0.90-0.95]"
_ROOF_COLOURS = (
    "[memory: Building Code of Australia, table of roof colours]; emittance [memory: plastics]"
)
_COATINGS = "[source: journal table of coating absorptance and emittance, SCIRP item 88555]"
_UNKNOWN = (
    "the colour or its pigment is not known, so the part is taken as black, the hottest there is"
)

#: (absorptance, source, names), by class of colour.
_PLASTICS: tuple[tuple[float, str, tuple[str, ...]], ...] = (
    (0.95, _BY_CLASS, ("black",)),
    (
        0.90,
        _BY_CLASS,
        ("dark", "grey", "dark grey", "blue", "green", "brown", "purple", "carbon-filled"),
    ),
    (0.75, _BY_CLASS, ("medium", "red", "mid green", "orange", "pink")),
    (0.60, _ROOF_COLOURS, ("yellow", "beige")),
    (0.50, _BY_CLASS, ("light grey", "natural", "silver")),
    (0.30, _BY_CLASS, ("white",)),
)

#: Every surface by name.
SURFACES: dict[str, Surface] = {
    name: Surface(name=name, absorptance=absorptance, emittance=_PLASTIC_EMITTANCE, source=source)
    for absorptance, source, names in _PLASTICS
    for name in names
} | {
    "black paint": Surface(
        name="black paint", absorptance=0.975, emittance=0.874, source=_COATINGS
    ),
    "white enamel": Surface(
        name="white enamel", absorptance=0.25, emittance=0.85, source=_COATINGS
    ),
    "aluminium foil": Surface(
        name="aluminium foil", absorptance=0.19, emittance=0.036, source=_COATINGS
    ),
    "unknown": Surface(
        name="unknown",
        absorptance=0.95,
        emittance=_PLASTIC_EMITTANCE,
        source=_BY_CLASS,
        warning=_UNKNOWN,
    ),
}

_ALSO_CALLED = {
    "gray": "grey",
    "dark gray": "dark grey",
    "light gray": "light grey",
    "carbon filled": "carbon-filled",
    "translucent": "natural",
    "unknown pigment": "unknown",
}


def surface(colour: str) -> Surface:
    """Look a colour up.

    Parameters
    ----------
    colour : str
        Name of the colour; "unknown" (or "unknown pigment") stands for the worst case.

    Returns
    -------
    Surface
        Its absorptance and emittance.

    Raises
    ------
    UnknownNameError
        If the table has no such colour.
    """
    name = " ".join(colour.lower().replace("_", " ").split())
    name = _ALSO_CALLED.get(name, name)
    if name not in SURFACES:
        raise UnknownNameError("colour", colour, SURFACES)
    return SURFACES[name]
