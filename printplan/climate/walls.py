"""Walls: a printed sparse wall as insulation between a hot skin and a cooler inside.

Nothing here lowers a part's design temperature by itself, and that is on purpose: the skin is as
hot as the balance says, it carries much of a bent part's load, and a part with nothing cool behind
it is in the end as hot all through. What a cooler inside is worth can be asked for, with its
conditions, and then be argued for one part.

Heat flows straight through: sheets in series, one dimension, steady. All of it is derived; the
conductivity of the solid plastic comes from the caller.
"""

from __future__ import annotations

from dataclasses import dataclass

from printplan.climate.air import air_properties, kelvin
from printplan.climate.places import check_between
from printplan.climate.sky import STEFAN_BOLTZMANN_W_M2K4

__all__ = [
    "LUMPED_BIOT",
    "PrintedWall",
    "WallTemperature",
    "biot_number",
    "cell_conductivity_w_mk",
    "inside_relief_k",
    "sparse_conductivity_w_mk",
    "wall_temperature",
]

#: Below this Biot number a wall is of one temperature [memory: any text on heat transfer].
LUMPED_BIOT = 0.1


def biot_number(coefficient_w_m2k: float, thickness_mm: float, conductivity_w_mk: float) -> float:
    """Resistance inside a wall over that at its surface: h L / k.

    Parameters
    ----------
    coefficient_w_m2k : float
        Convection and radiation at the surface together, h. [W/(m² K)]
    thickness_mm : float
        Way of the heat, L. [mm]
    conductivity_w_mk : float
        Of the wall, k; solid plastic 0.13 to 0.25, filled with fibre to 0.4 [memory]. [W/(m K)]

    Returns
    -------
    float
        Biot number; under 0.1 the wall is of one temperature, and its insulation is nothing.

    Raises
    ------
    OutOfRangeError
        If an argument is out of range.

    Sources
    -------
    [memory: any text on heat transfer]
    """
    check_between("heat transfer coefficient", coefficient_w_m2k, 0.0, 1e5, "W/(m² K)")
    check_between("thickness of the wall", thickness_mm, 0.0, 1000.0, "mm")
    check_between("conductivity of the wall", conductivity_w_mk, 1e-3, 500.0, "W/(m K)")
    return coefficient_w_m2k * thickness_mm * 1e-3 / conductivity_w_mk


def cell_conductivity_w_mk(cell_mm: float, mean_degc: float) -> float:
    """Conductivity of the air in the cells of an infill, radiation across them counted in.

    k_air + 4 sigma T³ d: black walls a cell apart, which is the most that radiation can carry.
    Cells of some millimetres are too small for the air to stir.

    Parameters
    ----------
    cell_mm : float
        Distance of the infill's lines d. [mm]
    mean_degc : float
        Mean temperature T of the wall. [°C]

    Returns
    -------
    float
        Conductivity; 0.045 at 3 mm and 40 °C, of which 0.027 is the air's. [W/(m K)]

    Raises
    ------
    OutOfRangeError
        If an argument is out of range.

    Sources
    -------
    derived; air from `air_properties`
    """
    check_between("cell of the infill", cell_mm, 0.0, 20.0, "mm")
    check_between("mean temperature", mean_degc, -60.0, 400.0, "°C")
    radiation = 4.0 * STEFAN_BOLTZMANN_W_M2K4 * kelvin(mean_degc) ** 3 * cell_mm * 1e-3
    return air_properties(mean_degc).conductivity_w_mk + radiation


def sparse_conductivity_w_mk(
    solid_share: float, plastic_w_mk: float, cell_w_mk: float
) -> tuple[float, float]:
    """Bounds of the conductivity of infill: plastic and air in series, and side by side.

    1 / (f/k_p + (1 - f)/k_c) and f k_p + (1 - f) k_c

    Parameters
    ----------
    solid_share : float
        Share of the volume that is plastic, f, 0 to 1.
    plastic_w_mk, cell_w_mk : float
        Conductivity of the solid plastic k_p and of the cells k_c. [W/(m K)]

    Returns
    -------
    (float, float)
        Least and greatest, whatever the pattern. Lines that stand upright between two skins come
        near the greatest. [W/(m K)]

    Raises
    ------
    OutOfRangeError
        If an argument is out of range.

    Sources
    -------
    derived; the bounds are Wiener's [memory: Wiener 1912]
    """
    check_between("share of plastic", solid_share, 0.0, 1.0, "")
    for name, value in (("of the plastic", plastic_w_mk), ("of the cells", cell_w_mk)):
        check_between(f"conductivity {name}", value, 1e-3, 500.0, "W/(m K)")
    series = 1.0 / (solid_share / plastic_w_mk + (1.0 - solid_share) / cell_w_mk)
    return series, solid_share * plastic_w_mk + (1.0 - solid_share) * cell_w_mk


@dataclass(frozen=True, kw_only=True)
class PrintedWall:
    """A wall of two solid skins with infill between, across the heat.

    Attributes
    ----------
    skin_mm : float
        Solid plastic at each of the two faces. [mm]
    core_mm : float
        Infill between the skins; 0 for a solid wall of two skins. [mm]
    solid_share : float
        Share of the infill that is plastic, 0 to 1.
    plastic_w_mk : float
        Conductivity of the solid plastic. [W/(m K)]
    cell_mm : float
        Distance of the infill's lines. [mm]

    Raises
    ------
    OutOfRangeError
        If a number is out of range.
    """

    skin_mm: float
    core_mm: float
    solid_share: float
    plastic_w_mk: float
    cell_mm: float = 3.0

    def __post_init__(self) -> None:
        check_between("skin", self.skin_mm, 0.1, 100.0, "mm")
        check_between("core", self.core_mm, 0.0, 1000.0, "mm")
        check_between("share of plastic", self.solid_share, 0.0, 1.0, "")
        check_between("conductivity of the plastic", self.plastic_w_mk, 0.02, 10.0, "W/(m K)")
        check_between("cell of the infill", self.cell_mm, 0.0, 20.0, "mm")

    @property
    def thickness_mm(self) -> float:
        """Skins and core. [mm]"""
        return 2.0 * self.skin_mm + self.core_mm

    def resistance_m2k_w(
        self, mean_degc: float, depth_mm: float | None = None
    ) -> tuple[float, float]:
        """Least and greatest resistance from the hot face to a depth; None: all through. [m² K/W]

        Raises
        ------
        OutOfRangeError
            If the depth lies outside the wall.
        """
        depth = self.thickness_mm if depth_mm is None else depth_mm
        check_between("depth", depth, 0.0, self.thickness_mm, "mm (the wall's thickness)")
        core_mm = min(max(0.0, depth - self.skin_mm), self.core_mm)
        skins = (depth - core_mm) * 1e-3 / self.plastic_w_mk
        cell = cell_conductivity_w_mk(self.cell_mm, mean_degc)
        low, high = sparse_conductivity_w_mk(self.solid_share, self.plastic_w_mk, cell)
        return skins + core_mm * 1e-3 / high, skins + core_mm * 1e-3 / low


@dataclass(frozen=True, kw_only=True)
class WallTemperature:
    """What comes through a wall.

    Attributes
    ----------
    hot_degc, inside_degc : float
        The hot skin, and the air or body behind the wall. [°C]
    far_degc : float
        Far side of the wall at its greatest conductivity: the value to count with. [°C]
    far_least_degc : float
        The same at its least conductivity. [°C]
    flux_w_m2 : float
        Heat through the wall at its greatest conductivity. [W/m²]
    biot : float
        Resistance of the wall over that of its far surface.
    matters : bool
        Whether the wall insulates at all: Biot number over 0.1.
    notes : tuple of str
        Conditions.
    """

    hot_degc: float
    inside_degc: float
    far_degc: float
    far_least_degc: float
    flux_w_m2: float
    biot: float
    matters: bool
    notes: tuple[str, ...]


def wall_temperature(
    wall: PrintedWall, hot_degc: float, inside_degc: float, coefficient_w_m2k: float = 5.0
) -> WallTemperature:
    """Far side of a wall between a hot skin and something cooler that stays as it is.

    T_far = T_in + (T_hot - T_in) / (1 + h R)

    Parameters
    ----------
    wall : PrintedWall
        The wall.
    hot_degc : float
        Its hot skin T_hot, out of `part_temperature`. [°C]
    inside_degc : float
        Air or body behind it T_in, kept at this temperature by something: a draught, ground, a
        cool axle. Air shut in behind the wall is not: it ends at the skin's temperature. [°C]
    coefficient_w_m2k : float
        Convection and radiation at the far side, h; the least gives the hottest. Still air with
        radiation makes about 10, a shiny or narrow place 5. [W/(m² K)]

    Returns
    -------
    WallTemperature
        Far side, and whether insulation matters.

    Raises
    ------
    OutOfRangeError
        If a number is out of range or the inside is hotter than the skin.

    Sources
    -------
    derived: resistances in series [memory: any text on heat transfer]
    """
    check_between("temperature of the skin", hot_degc, -60.0, 400.0, "°C")
    check_between("temperature inside", inside_degc, -60.0, hot_degc, "°C (the skin's)")
    check_between("heat transfer coefficient", coefficient_w_m2k, 0.0, 1e5, "W/(m² K)")
    least, greatest = wall.resistance_m2k_w(0.5 * (hot_degc + inside_degc))
    far, far_least = (
        inside_degc + (hot_degc - inside_degc) / (1.0 + coefficient_w_m2k * r)
        for r in (least, greatest)
    )
    biot = coefficient_w_m2k * least
    return WallTemperature(
        hot_degc=hot_degc,
        inside_degc=inside_degc,
        far_degc=far,
        far_least_degc=far_least,
        flux_w_m2=coefficient_w_m2k * (far - inside_degc),
        biot=biot,
        matters=biot > LUMPED_BIOT,
        notes=(
            "only as long as what is behind the wall stays cool: shut-in air ends at the skin's "
            "temperature",
            "the part's design temperature stays that of its skin",
        ),
    )


def inside_relief_k(
    wall: PrintedWall,
    hot_degc: float,
    inside_degc: float,
    depth_mm: float,
    coefficient_w_m2k: float = 5.0,
) -> float:
    """How much cooler than the skin a thick part may be counted from a depth inwards.

    Not taken off any design temperature by the program: whoever uses it must know that the load
    lies below that depth and that the inside is kept cool. The smallest relief between the
    bounds of the wall's conductivity is given.

    Parameters
    ----------
    wall : PrintedWall
        The part across the heat, from the hot skin to the cool far side.
    hot_degc, inside_degc : float
        Skin, and what is behind the far side. [°C]
    depth_mm : float
        Depth from which on the part carries its load. [mm]
    coefficient_w_m2k : float
        At the far side; 0 (nothing takes heat off there) gives no relief. [W/(m² K)]

    Returns
    -------
    float
        Kelvin below the skin. [K]

    Raises
    ------
    OutOfRangeError
        If a number is out of range.

    Sources
    -------
    derived, as `wall_temperature`
    """
    result = wall_temperature(wall, hot_degc, inside_degc, coefficient_w_m2k)
    mean = 0.5 * (hot_degc + inside_degc)
    falls = (hot_degc - result.far_degc, hot_degc - result.far_least_degc)
    # The relief rises or falls throughout with the conductivity, so it is least at one of the ends.
    return min(
        fall * to_depth / through
        for fall, to_depth, through in zip(
            falls, wall.resistance_m2k_w(mean, depth_mm), wall.resistance_m2k_w(mean), strict=True
        )
    )
