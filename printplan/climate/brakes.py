"""Brakes: heat of a stop, and of a long descent that is held back by the brake.

A stop warms a brake by some ten kelvin; a long descent pours heat in for minutes, so it is the
case to reckon with. A brake that holds a standing vehicle makes no heat.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.climate.air import ABSOLUTE_ZERO_DEGC, GRAVITY_M_S2
from printplan.climate.convection import face_coefficient
from printplan.climate.places import check_between, check_positive

__all__ = [
    "STEEL_HEAT_CAPACITY_J_KGK",
    "BrakeHeating",
    "brake_degc",
    "bulk_rise_k",
    "descent_power_w",
    "disc_coefficient_w_m2k",
    "flash_rise_k",
    "stop_energy_j",
]

#: Heat capacity of steel and iron: 460 to 550, of aluminium 900 [memory]; the least gets hottest.
STEEL_HEAT_CAPACITY_J_KGK = 460.0

#: A disc this little above the air sheds the least per kelvin; a hotter one sheds more. [K]
_LEAST_RISE_K = 20.0


def stop_energy_j(
    mass_g: float, speed_mm_s: float, end_speed_mm_s: float = 0.0, rotating_factor: float = 1.0
) -> float:
    """Heat of a stop or of slowing down: m k (v1² - v2²) / 2.

    Parameters
    ----------
    mass_g : float
        Vehicle with rider and load, m. [g]
    speed_mm_s, end_speed_mm_s : float
        Speed before and after, v1 and v2. [mm/s]
    rotating_factor : float
        Adds what turns to what rolls, k: 1 or a little more.

    Returns
    -------
    float
        Energy, all brakes together. [J]

    Raises
    ------
    OutOfRangeError
        If the mass is not positive, a speed is negative or above 30 m/s, or the end speed is the
        higher one.

    Sources
    -------
    [memory: any text on mechanics]
    """
    check_positive("mass", mass_g)
    check_between("speed", speed_mm_s, 0.0, 30_000.0, "mm/s")
    check_between("end speed", end_speed_mm_s, 0.0, speed_mm_s, "mm/s (the speed before)")
    check_between("factor of what turns", rotating_factor, 1.0, 3.0, "")
    squares_m2_s2 = (speed_mm_s**2 - end_speed_mm_s**2) * 1e-6
    return 0.5 * mass_g * 1e-3 * rotating_factor * squares_m2_s2


def bulk_rise_k(
    energy_j: float, disc_mass_g: float, heat_capacity_j_kgk: float = STEEL_HEAT_CAPACITY_J_KGK
) -> float:
    """Rise of a brake's whole metal by an amount of heat, none lost: E / (m c).

    Parameters
    ----------
    energy_j : float
        Heat that goes into this brake. [J]
    disc_mass_g : float
        Metal that takes it up. [g]
    heat_capacity_j_kgk : float
        Its heat capacity; 900 for aluminium [memory]. [J/(kg K)]

    Returns
    -------
    float
        Rise. [K]

    Raises
    ------
    OutOfRangeError
        If the energy is negative, or mass or heat capacity not positive.

    Sources
    -------
    [memory: any text on heat]; heat capacities [memory]
    """
    check_between("energy", energy_j, 0.0, 1e9, "J")
    check_positive("mass of the brake", disc_mass_g)
    check_positive("heat capacity", heat_capacity_j_kgk)
    return energy_j / (disc_mass_g * 1e-3 * heat_capacity_j_kgk)


def flash_rise_k(
    energy_j: float,
    stop_s: float,
    swept_area_mm2: float,
    conductivity_w_mk: float = 48.0,
    density_kg_m3: float = 7200.0,
    heat_capacity_j_kgk: float = STEEL_HEAT_CAPACITY_J_KGK,
) -> float:
    """Highest rise of the rubbed surface over the bulk in a stop of even deceleration.

    The flux falls in a straight line from q0 = 2 E / (t_s A) to nothing; a thick body answers with
    4 / (3 sqrt(2 pi)) q0 sqrt(t_s / (k rho c)), half way through the stop (the factor is 0.532).

    Parameters
    ----------
    energy_j : float
        Heat that goes into this brake. [J]
    stop_s : float
        Duration of the stop t_s. [s]
    swept_area_mm2 : float
        Area A that the pads sweep. [mm²]
    conductivity_w_mk, density_kg_m3, heat_capacity_j_kgk : float
        Of the metal: k, rho and c; grey iron unless given [memory]. [W/(m K)], [kg/m³], [J/(kg K)]

    Returns
    -------
    float
        Rise of the surface; it is gone within seconds and does not reach a part bolted on. [K]

    Raises
    ------
    OutOfRangeError
        If the energy is negative or another argument not positive.

    Sources
    -------
    derived from the half space under a changing flux; the same class of result as [source: Newcomb
    1960, J. Mech. Eng. Sci. 2, abstract seen only]
    """
    check_between("energy", energy_j, 0.0, 1e9, "J")
    for name, value in (
        ("duration of the stop", stop_s),
        ("swept area", swept_area_mm2),
        ("conductivity", conductivity_w_mk),
        ("density", density_kg_m3),
        ("heat capacity", heat_capacity_j_kgk),
    ):
        check_positive(name, value)
    flux_w_m2 = 2.0 * energy_j / (stop_s * swept_area_mm2 * 1e-6)
    effusivity_2 = conductivity_w_mk * density_kg_m3 * heat_capacity_j_kgk
    return 4.0 / (3.0 * math.sqrt(2.0 * math.pi)) * flux_w_m2 * math.sqrt(stop_s / effusivity_2)


def descent_power_w(
    mass_g: float, speed_mm_s: float, slope_percent: float, rolling_resistance: float = 0.0
) -> float:
    """Heat that holding a steady speed downhill makes: m g v (sin th - C_rr cos th).

    Air drag is left out, which is safe. Where rolling alone holds the vehicle back there is none.

    Parameters
    ----------
    mass_g : float
        Vehicle with rider and load. [g]
    speed_mm_s : float
        Steady speed v; standing still makes no heat. [mm/s]
    slope_percent : float
        Fall per 100 of level way. [%]
    rolling_resistance : float
        Coefficient C_rr; 0 is safe.

    Returns
    -------
    float
        Power, all brakes together. [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside what a small vehicle does.

    Sources
    -------
    [memory: any text on mechanics]
    """
    check_positive("mass", mass_g)
    check_between("speed", speed_mm_s, 0.0, 30_000.0, "mm/s")
    check_between("slope", slope_percent, 0.0, 60.0, "% (downhill)")
    check_between("rolling resistance", rolling_resistance, 0.0, 0.3, "")
    angle = math.atan(slope_percent / 100.0)
    pull = math.sin(angle) - rolling_resistance * math.cos(angle)
    return mass_g * 1e-3 * GRAVITY_M_S2 * speed_mm_s * 1e-3 * max(0.0, pull)


def disc_coefficient_w_m2k(
    idle_degc: float, cooled_area_mm2: float, wind_m_s: float = 0.0
) -> float:
    """Coefficient at which a brake's metal sheds heat, on the safe side.

    That of an upright face whose two sides make up the cooled area, 20 K over the air. A hotter
    disc loses more per kelvin; radiation is left out, for bright metal radiates little.

    Parameters
    ----------
    idle_degc : float
        Air, or the metal's temperature without braking. [°C]
    cooled_area_mm2 : float
        Surface that the air reaches, both sides. [mm²]
    wind_m_s : float
        Air speed at the disc: that of travel, or 0. [m/s]

    Returns
    -------
    float
        Coefficient. [W/(m² K)]

    Raises
    ------
    OutOfRangeError
        If an argument is out of range.

    Sources
    -------
    derived from `face_coefficient`
    """
    check_between("temperature without braking", idle_degc, -60.0, 400.0, "°C")
    check_positive("cooled area", cooled_area_mm2)
    check_between("wind", wind_m_s, 0.0, 60.0, "m/s")
    return face_coefficient(
        idle_degc + _LEAST_RISE_K,
        idle_degc,
        math.sqrt(0.5 * cooled_area_mm2),
        wind_m_s,
        tilt_deg=90.0,
    )


@dataclass(frozen=True, kw_only=True)
class BrakeHeating:
    """A brake that takes in a steady power and sheds heat to the air.

    dT/dt = P / C - H (T - T0) / C

    Attributes
    ----------
    idle_degc : float
        Temperature T0 without braking: air, or what the sun makes of it. [°C]
    power_w : float
        Power P into this brake. [W]
    capacity_j_k : float
        Heat C that one kelvin takes, mass times heat capacity. [J/K]
    cooling_w_k : float
        Heat H shed per kelvin, coefficient times cooled area; 0 for none. [W/K]

    Raises
    ------
    OutOfRangeError
        If power or cooling is negative, the capacity not positive or the temperature impossible.

    Sources
    -------
    [memory: lumped capacity, any text on heat transfer]
    """

    idle_degc: float
    power_w: float
    capacity_j_k: float
    cooling_w_k: float = 0.0

    def __post_init__(self) -> None:
        check_between("temperature without braking", self.idle_degc, -60.0, 400.0, "°C")
        check_between("braking power", self.power_w, 0.0, 1e5, "W")
        check_positive("heat capacity of the brake", self.capacity_j_k)
        check_between("cooling of the brake", self.cooling_w_k, 0.0, 1e3, "W/K")

    @property
    def steady_degc(self) -> float:
        """Temperature that an endless descent leads to; infinite without cooling. [°C]"""
        if self.power_w == 0.0:
            return self.idle_degc
        if self.cooling_w_k == 0.0:
            return math.inf
        return self.idle_degc + self.power_w / self.cooling_w_k

    @property
    def time_constant_s(self) -> float:
        """Time in which 63 % of the way to the steady value is made. [s]"""
        return self.capacity_j_k / self.cooling_w_k if self.cooling_w_k else math.inf

    def degc_after(self, duration_s: float) -> float:
        """Temperature after so many seconds of braking. [°C]

        Raises
        ------
        OutOfRangeError
            If the duration is negative.
        """
        check_between("duration of the descent", duration_s, 0.0, 86_400.0, "s")
        fed_k = self.power_w * duration_s / self.capacity_j_k
        used = self.cooling_w_k * duration_s / self.capacity_j_k
        # (1 - exp(-x)) / x tends to 1 where nothing is shed.
        return self.idle_degc + fed_k * (-math.expm1(-used) / used if used > 0.0 else 1.0)

    def seconds_until(self, limit_degc: float) -> float:
        """Time of braking after which the limit is passed; infinite where it never is. [s]

        Raises
        ------
        OutOfRangeError
            If the limit is below absolute zero or not a number.
        """
        check_between("limit", limit_degc, ABSOLUTE_ZERO_DEGC, 2000.0, "°C")
        rise_k = limit_degc - self.idle_degc
        if rise_k <= 0.0:
            return 0.0
        if self.cooling_w_k * rise_k >= self.power_w:
            return math.inf
        if self.cooling_w_k == 0.0:
            return self.capacity_j_k * rise_k / self.power_w
        left = math.log1p(-self.cooling_w_k * rise_k / self.power_w)
        return -self.capacity_j_k / self.cooling_w_k * left


def brake_degc(
    idle_degc: float,
    *,
    mass_g: float,
    slope_percent: float,
    speed_mm_s: float,
    duration_s: float,
    disc_mass_g: float,
    cooled_area_mm2: float,
    share: float = 1.0,
    heat_capacity_j_kgk: float = STEEL_HEAT_CAPACITY_J_KGK,
    wind_m_s: float = 0.0,
) -> float:
    """Temperature of a brake, and of what is bolted to it, after a descent with a stop at its end.

    Parameters
    ----------
    idle_degc : float
        Temperature without braking: air, or what the sun makes of the metal. [°C]
    mass_g : float
        Vehicle with rider and load. [g]
    slope_percent : float
        Fall per 100 of level way; rolling and air are not counted. [%]
    speed_mm_s : float
        Steady speed, from which the vehicle stops at the end. [mm/s]
    duration_s : float
        Time of the descent. [s]
    disc_mass_g, cooled_area_mm2 : float
        Metal that takes the heat up, and its surface in the air. [g], [mm²]
    share : float
        Share of the heat that goes into this brake, 0 to 1.
    heat_capacity_j_kgk : float
        Of the metal. [J/(kg K)]
    wind_m_s : float
        Air speed at the disc; 0 is safe. [m/s]

    Returns
    -------
    float
        Temperature of the metal. [°C]

    Raises
    ------
    OutOfRangeError
        If an argument is out of range.

    Sources
    -------
    `descent_power_w`, `BrakeHeating`, `stop_energy_j`, `bulk_rise_k`
    """
    check_between("share of this brake", share, 0.0, 1.0, "")
    check_positive("mass of the brake", disc_mass_g)
    check_positive("heat capacity", heat_capacity_j_kgk)
    coefficient = disc_coefficient_w_m2k(idle_degc, cooled_area_mm2, wind_m_s)
    heating = BrakeHeating(
        idle_degc=idle_degc,
        power_w=share * descent_power_w(mass_g, speed_mm_s, slope_percent),
        capacity_j_k=disc_mass_g * 1e-3 * heat_capacity_j_kgk,
        cooling_w_k=coefficient * cooled_area_mm2 * 1e-6,
    )
    stop_j = share * stop_energy_j(mass_g, speed_mm_s)
    return heating.degc_after(duration_s) + bulk_rise_k(stop_j, disc_mass_g, heat_capacity_j_kgk)
