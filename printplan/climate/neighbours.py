"""Neighbours: parts that bring heat of their own, such as a motor case or a hot axle."""

from __future__ import annotations

import math

from printplan.climate.balance import Around, Face, steady_temperature
from printplan.climate.places import check_between, check_positive
from printplan.errors import UnknownNameError

__all__ = ["MOTOR_CASES_DEGC", "bar_end_share", "loaded_case_degc", "motor_case_degc"]

#: Case temperature of a motor by how hard it works [°C]. Windings may rise 60 K (class A) to 125 K
#: (class H) over air of 40 °C [memory: IEC 60034-1]; the case is usually 20 to 40 K below
#: [common practice], from which these three figures follow [derived].
MOTOR_CASES_DEGC = {"light": 60.0, "hard": 80.0, "uncooled": 100.0}


def motor_case_degc(duty: str) -> float:
    """Case temperature of a motor by duty: "light", "hard", or "uncooled" (small, no cooling).

    Parameters
    ----------
    duty : str
        How hard the motor works.

    Returns
    -------
    float
        Case temperature. [°C]

    Raises
    ------
    UnknownNameError
        If the duty is another word.
    """
    if duty not in MOTOR_CASES_DEGC:
        raise UnknownNameError("motor duty", duty, MOTOR_CASES_DEGC)
    return MOTOR_CASES_DEGC[duty]


def loaded_case_degc(
    air_degc: float, loss_w: float, side_mm: float, area_mm2: float, wind_m_s: float = 0.0
) -> float:
    """Case temperature from the power that the motor loses, all sides cooled alike.

    Parameters
    ----------
    air_degc : float
        Air. [°C]
    loss_w : float
        Power in less power out. [W]
    side_mm : float
        Side of one face of the case. [mm]
    area_mm2 : float
        Whole surface of the case. [mm²]
    wind_m_s : float
        Air speed at the case. [m/s]

    Returns
    -------
    float
        Case temperature; the coefficient is that of an upright face. [°C]

    Raises
    ------
    OutOfRangeError
        If the air can't be so warm or cold, loss or wind is negative, a length is not positive, or
        the case gets hotter than the formulas cover.

    Sources
    -------
    Ta + P / (h A) with convection and radiation as in the balance.
    """
    check_between("air temperature", air_degc, -60.0, 150.0, "°C")
    check_between("power loss", loss_w, 0.0, 1e5, "W")
    check_between("wind", wind_m_s, 0.0, 60.0, "m/s")
    check_positive("side of the case", side_mm)
    check_positive("area of the case", area_mm2)
    around = Around(air_degc=air_degc, sky_degc=air_degc, ground_degc=air_degc, wind_m_s=wind_m_s)
    face = Face(side_mm=side_mm, tilt_deg=90.0)
    return steady_temperature(face, around, loss_w / (area_mm2 * 1e-6), 1.0).surface_degc


def bar_end_share(
    length_mm: float, diameter_mm: float, conductivity_w_mk: float, coefficient_w_m2k: float = 10.0
) -> float:
    """Share of a hot end's rise over air that reaches the other end of a round bar.

    1 / cosh(m L) with m = sqrt(4 h / (k D)) and no heat through the far end, as where it sits in
    plastic.

    Parameters
    ----------
    length_mm, diameter_mm : float
        Bar between hot end and hub. [mm]
    conductivity_w_mk : float
        Its metal: 50 for carbon steel, 15 stainless, 200 aluminium [memory]. [W/(m K)]
    coefficient_w_m2k : float
        Convection and radiation together. [W/(m² K)]

    Returns
    -------
    float
        Share, 0 to 1. A short steel axle passes over nine tenths: the bore of a plastic hub is to
        be taken as hot as the axle.

    Raises
    ------
    OutOfRangeError
        If an argument is not positive (the length may be 0).

    Sources
    -------
    [memory: fin with adiabatic end, any text on heat transfer]
    """
    check_between("length of the bar", length_mm, 0.0, 10_000.0, "mm")
    check_positive("diameter of the bar", diameter_mm)
    check_positive("conductivity of the bar", conductivity_w_mk)
    check_positive("heat transfer coefficient", coefficient_w_m2k)
    m_per_m = math.sqrt(4.0 * coefficient_w_m2k / (conductivity_w_mk * diameter_mm / 1000.0))
    # Beyond 700 the hyperbolic cosine overflows; the share has long been nothing.
    return 1.0 / math.cosh(min(700.0, m_per_m * length_mm / 1000.0))
