"""The course of a whole day: air, sun and part, in steps of five minutes.

A printed part is steady within minutes to under an hour, so the noon balance governs; the course
tells how many hours a day the part is hot.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from printplan.climate.balance import heat_loss
from printplan.climate.exposure import Bound, Exposure, Situation, site_of, situation_of
from printplan.climate.places import Surroundings
from printplan.climate.sun import haurwitz_w_m2, solar_altitude_deg
from printplan.errors import OutOfRangeError

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["HEAT_CAPACITY_J_M3K", "DayCurve", "air_at_degc", "day_curve", "part_course_degc"]

#: Heat capacity of solid plastic by volume, 1250 kg/m³ times 1400 J/(kg K) [memory]. Infill with
#: air holds less, follows the sun faster and peaks by under 1 K higher. [J/(m³ K)]
HEAT_CAPACITY_J_M3K = 1.75e6

#: Share of the daily range by which the air at hours 0 to 24 is below its highest.
_BELOW_HIGHEST = (
    # hours 0 to 12, then 13 to 24
    *(0.82, 0.88, 0.92, 0.95, 0.98, 1.0, 0.98, 0.91, 0.74, 0.55, 0.38, 0.23, 0.13),
    *(0.05, 0.0, 0.0, 0.06, 0.14, 0.24, 0.39, 0.50, 0.59, 0.68, 0.75, 0.82),
)

#: The part takes on the day's rhythm within this many days. [d]
_DAYS_BEFORE = 2
#: Neighbours are looked at this often, straight lines between. [h]
_NEIGHBOUR_STEP_H = 0.5
#: Longest step of the integration. [s]
_LONGEST_STEP_S = 60.0


def air_at_degc(highest_degc: float, daily_range_k: float, hour: float) -> float:
    """Air temperature at an hour of the day.

    T = T_max - DR f(h), straight lines between full hours; lowest about 5 h, highest about 15 h.

    Parameters
    ----------
    highest_degc : float
        Highest temperature T_max of the day. [°C]
    daily_range_k : float
        Highest less lowest temperature DR. [K]
    hour : float
        Time of day; the curve repeats every 24 h. [h]

    Returns
    -------
    float
        Air temperature. [°C]

    Sources
    -------
    [source: EnergyPlus Engineering Reference, multipliers of ASHRAE 2009 HOF table 6 p. 14.11];
    digits of f [memory: that table]
    """
    whole = math.floor(hour % 24.0)
    part = hour % 24.0 - whole
    below = (1.0 - part) * _BELOW_HIGHEST[whole] + part * _BELOW_HIGHEST[whole + 1]
    return highest_degc - daily_range_k * below


def part_course_degc(
    situation_at: Callable[[float], Situation], wall_mm: float, step_s: float = 300.0
) -> NDArray[np.float64]:
    """Follow a wall of one temperature through a day that repeats.

    rho c s dT/dt = a G(t) - loss(T, t), stepped by the exact solution of the equation made linear
    at each step, which is stable for any wall.

    Parameters
    ----------
    situation_at : callable
        Gives face, surroundings and sunlight at an hour of the day. [h]
    wall_mm : float
        Thickness s of the wall. [mm]
    step_s : float
        Step of the result, a whole number of which make a day. [s]

    Returns
    -------
    (86400 / step_s + 1,) float64
        Temperature at 0 h to 24 h. [°C]

    Raises
    ------
    OutOfRangeError
        If the steps do not fill the day evenly.

    Sources
    -------
    [memory: lumped capacity, any text on heat transfer]

    Notes
    -----
    A plastic wall over 1 mm is not of one temperature: its lit skin is hotter than this mean, and
    at noon as hot as the steady balance says.
    """
    count = round(86_400.0 / step_s) if step_s > 0.0 else 0
    if count < 1 or abs(count * step_s - 86_400.0) > 1e-6:
        raise OutOfRangeError("step", step_s, "a step that divides 86400 s evenly")
    inner = math.ceil(step_s / _LONGEST_STEP_S)
    inner_s = step_s / inner
    capacity = HEAT_CAPACITY_J_M3K * wall_mm / 1000.0
    situations = [situation_at((i + 0.5) * inner_s / 3600.0) for i in range(count * inner)]
    course = np.empty(count + 1)
    now = situation_at(0.0).around.air_degc
    for _ in range(_DAYS_BEFORE + 1):
        course[0] = now
        for i, situation in enumerate(situations):
            now = _step(situation, now, capacity, inner_s)
            if (i + 1) % inner == 0:
                course[(i + 1) // inner] = now
    return course


def _step(situation: Situation, now_degc: float, capacity_j_m2k: float, step_s: float) -> float:
    face, around = situation.face, situation.around
    loss = sum(heat_loss(face, around, now_degc))
    slope = (sum(heat_loss(face, around, now_degc + 0.1)) - loss) / 0.1
    rate = slope / capacity_j_m2k
    gain = (situation.absorbed_w_m2 - loss) / capacity_j_m2k
    return now_degc - gain * math.expm1(-rate * step_s) / rate


@dataclass(frozen=True, kw_only=True)
class DayCurve:
    """A day's course.

    Attributes
    ----------
    time_h : (n,) float64
        Solar time, 0 to 24. [h]
    air_degc : (n,) float64
        Outside air. [°C]
    irradiance_w_m2 : (n,) float64
        Sun and sky on level ground. [W/m²]
    part_degc : (n,) float64
        The part. [°C]
    bound : {"design", "upper"}
        Which value of the part.
    notes : tuple of str
        What the reader must know.
    """

    time_h: NDArray[np.float64]
    air_degc: NDArray[np.float64]
    irradiance_w_m2: NDArray[np.float64]
    part_degc: NDArray[np.float64]
    bound: Bound
    notes: tuple[str, ...]

    @property
    def peak_degc(self) -> float:
        """Highest temperature of the part. [°C]"""
        return float(self.part_degc.max())

    @property
    def peak_h(self) -> float:
        """Solar time of the peak. [h]"""
        return float(self.time_h[self.part_degc.argmax()])

    def hours_above(self, limit_degc: float) -> float:
        """Hours of the day during which the part is hotter than `limit_degc`. [h]"""
        return _hours_above(self.time_h, self.part_degc, limit_degc)

    def to_frame(self) -> pd.DataFrame:
        """Table with a row per step."""
        import pandas as pd

        return pd.DataFrame(
            {
                "time_h": self.time_h,
                "air_degc": self.air_degc,
                "irradiance_w_m2": self.irradiance_w_m2,
                "part_degc": self.part_degc,
            }
        )

    def to_dict(self) -> dict[str, Any]:
        """Everything as plain values, for JSON."""
        return {
            "bound": self.bound,
            "peak_degc": self.peak_degc,
            "peak_h": self.peak_h,
            "time_h": self.time_h.tolist(),
            "air_degc": self.air_degc.tolist(),
            "irradiance_w_m2": self.irradiance_w_m2.tolist(),
            "part_degc": self.part_degc.tolist(),
            "notes": list(self.notes),
        }


def _hours_above(time_h: NDArray[np.float64], course: NDArray[np.float64], limit: float) -> float:
    """Time above `limit`, the course taken as straight between its points."""
    above = course - limit
    start, end = above[:-1], above[1:]
    both = np.maximum(start, 0.0) + np.maximum(end, 0.0)
    span = np.abs(start) + np.abs(end)
    share = np.divide(both, span, out=np.zeros_like(both), where=span > 0.0)
    return float(np.sum(share * np.diff(time_h)))


def day_curve(
    surroundings: Surroundings,
    exposure: Exposure,
    bound: Bound = "design",
    step_s: float = 300.0,
) -> DayCurve:
    """Follow air, sun and part through the worst day.

    The sun takes the clear-sky course of the latitude and day, scaled so that its noon is the
    irradiance of the surroundings.

    Parameters
    ----------
    surroundings : Surroundings
        The day.
    exposure : Exposure
        Where the part sits; motor and brake are taken as at work all day.
    bound : {"design", "upper"}
        Light wind and stated colour, or still air and aged colour.
    step_s : float
        Step of the result. [s]

    Returns
    -------
    DayCurve
        The course.

    Raises
    ------
    OutOfRangeError
        If the step does not divide the day, or the sun does not rise on that day.

    Sources
    -------
    Sun: `haurwitz_w_m2`; air: `air_at_degc`.
    """
    day, latitude = surroundings.day_of_year, surroundings.latitude_deg
    noon = haurwitz_w_m2(solar_altitude_deg(latitude, day, 12.0))
    wanted = surroundings.irradiance_w_m2
    if noon <= 0.0 < wanted:
        raise OutOfRangeError("latitude", latitude, f"one where the sun rises on day {day:g}")
    scale = wanted / noon if noon > 0.0 else 0.0

    def sun_at(hour: float) -> float:
        return scale * haurwitz_w_m2(solar_altitude_deg(latitude, day, hour))

    def air_at(hour: float) -> float:
        return air_at_degc(surroundings.air_degc, surroundings.daily_range_k, hour)

    def course_of(case: Exposure) -> NDArray[np.float64]:
        def situation_at(hour: float) -> Situation:
            air, sun = air_at(hour), sun_at(hour)
            return situation_of(surroundings, case, bound, air_degc=air, irradiance_w_m2=sun)

        course = part_course_degc(situation_at, case.wall_mm, step_s)
        hours = np.linspace(0.0, 24.0, len(course))
        coarse = np.arange(0.0, 24.01, _NEIGHBOUR_STEP_H)
        for neighbour in case.touching:
            hot = []
            for hour in coarse:
                air, sun = air_at(hour), sun_at(hour)
                site = site_of(surroundings, case, bound, air_degc=air, irradiance_w_m2=sun)
                hot.append(neighbour.at(site))
            course = np.maximum(course, np.interp(hours, coarse, hot))
        return course

    part = np.max([course_of(case) for case in exposure.cases], axis=0)
    notes = []
    if exposure.touching:
        notes.append("the neighbour is taken as hot all day")
    if scale > 1.25:
        notes.append(
            f"the irradiance of {wanted:.0f} W/m² is more than the clear sky of this latitude and "
            f"day gives at noon ({noon:.0f} W/m²)"
        )
    time = np.linspace(0.0, 24.0, len(part))
    return DayCurve(
        time_h=time,
        air_degc=np.array([air_at(h) for h in time]),
        irradiance_w_m2=np.array([sun_at(h) for h in time]),
        part_degc=part,
        bound=bound,
        notes=tuple(notes),
    )
