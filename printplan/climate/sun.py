"""Sun: where it stands and how strongly it shines through a clear sky.

Times are solar: noon is when the sun stands highest. Angles are in degrees.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from printplan.errors import OutOfRangeError

__all__ = [
    "GROUND_ALBEDO",
    "ClearSky",
    "declination_deg",
    "equation_of_time_min",
    "extraterrestrial_w_m2",
    "haurwitz_w_m2",
    "solar_altitude_deg",
    "solar_time_h",
    "two_parameter_clear_sky",
    "worst_face_irradiance_w_m2",
]

#: Share of the sun's power that ordinary ground throws back [memory: ASHRAE].
GROUND_ALBEDO = 0.2

#: A clear sky in two optical depths: beam, diffuse [source: EnergyPlus Engineering Reference,
#: "ASHRAE Revised Clear Sky Model", values of its check].
_CLEAR_BEAM_DEPTH, _CLEAR_DIFFUSE_DEPTH = 0.325, 2.461
_SOLAR_CONSTANT_W_M2 = 1367.0

#: Exponents of the two-parameter model, by edition of the tables that the depths come from:
#: (1, tb, td, tb td) for beam, then for diffuse.
_EXPONENTS = {
    2009: ((1.219, -0.043, -0.151, -0.204), (0.202, 0.852, -0.007, -0.357)),
    2013: ((1.454, -0.406, -0.268, 0.021), (0.507, 0.205, -0.080, -0.190)),
}


def declination_deg(day_of_year: float) -> float:
    """Angle between sun and equator: 23.45 sin(360 (284 + n) / 365). [°]

    Sources
    -------
    [memory: Cooper 1969]
    """
    return 23.45 * math.sin(math.radians(360.0 * (284.0 + day_of_year) / 365.0))


def equation_of_time_min(day_of_year: float) -> float:
    """Solar time less mean time: 9.87 sin 2B - 7.53 cos B - 1.5 sin B, B = 360 (n - 81)/364. [min]

    Sources
    -------
    [memory: Duffie and Beckman]
    """
    b = math.radians(360.0 * (day_of_year - 81.0) / 364.0)
    return 9.87 * math.sin(2.0 * b) - 7.53 * math.cos(b) - 1.5 * math.sin(b)


def solar_time_h(universal_time_h: float, longitude_deg: float, day_of_year: float) -> float:
    """Solar time of a moment in universal time; longitude counts positive to the east. [h]"""
    return universal_time_h + longitude_deg / 15.0 + equation_of_time_min(day_of_year) / 60.0


def solar_altitude_deg(latitude_deg: float, day_of_year: float, solar_time: float) -> float:
    """Height of the sun over the horizon, negative at night.

    sin(altitude) = sin L sin d + cos L cos d cos H, H = 15 (time - 12)

    Parameters
    ----------
    latitude_deg : float
        Latitude L, positive to the north. [°]
    day_of_year : float
        1 on 1 January.
    solar_time : float
        Solar time. [h]

    Returns
    -------
    float
        Altitude, good to about 0.1°. [°]

    Raises
    ------
    OutOfRangeError
        If the latitude is not within -90 to 90 or the day not within 1 to 366.

    Sources
    -------
    Spherical trigonometry; declination of Cooper.
    """
    if not -90.0 <= latitude_deg <= 90.0:
        raise OutOfRangeError("latitude", latitude_deg, "-90 (south pole) to 90 (north pole)")
    if not 1.0 <= day_of_year <= 366.0:
        raise OutOfRangeError("day of the year", day_of_year, "1 to 366")
    latitude = math.radians(latitude_deg)
    declination = math.radians(declination_deg(day_of_year))
    hour_angle = math.radians(15.0 * (solar_time - 12.0))
    sine = math.sin(latitude) * math.sin(declination)
    sine += math.cos(latitude) * math.cos(declination) * math.cos(hour_angle)
    return math.degrees(math.asin(max(-1.0, min(1.0, sine))))


def haurwitz_w_m2(altitude_deg: float) -> float:
    """Clear-sky irradiance on level ground: 1098 cos Z exp(-0.059 / cos Z), Z from the zenith.

    Parameters
    ----------
    altitude_deg : float
        Height of the sun, 90 - Z. [°]

    Returns
    -------
    float
        Irradiance, 0 when the sun is down. [W/m²]

    Sources
    -------
    [source: pvlib 0.16.1 ``clearsky.haurwitz``; Haurwitz 1945 and 1946; Reno et al. SAND2012-2389]
    """
    cosine = math.sin(math.radians(altitude_deg))
    if cosine <= 1e-4:  # the exponential has long made this nothing
        return 0.0
    return 1098.0 * cosine * math.exp(-0.059 / cosine)


def extraterrestrial_w_m2(day_of_year: float) -> float:
    """Sun's power outside the air: 1367 (1 + 0.033 cos(360 (n - 3)/365)). [W/m²]

    Sources
    -------
    [memory: ASHRAE]
    """
    angle = math.radians(360.0 * (day_of_year - 3.0) / 365.0)
    return _SOLAR_CONSTANT_W_M2 * (1.0 + 0.033 * math.cos(angle))


@dataclass(frozen=True, kw_only=True)
class ClearSky:
    """Sunlight under a clear sky.

    Attributes
    ----------
    altitude_deg : float
        Height of the sun. [°]
    beam_w_m2 : float
        On a face square to the sun, from the sun's disc. [W/m²]
    diffuse_w_m2 : float
        On level ground, from the rest of the sky. [W/m²]
    """

    altitude_deg: float
    beam_w_m2: float
    diffuse_w_m2: float

    @property
    def horizontal_w_m2(self) -> float:
        """Beam and diffuse on level ground. [W/m²]"""
        return self.beam_w_m2 * math.sin(math.radians(self.altitude_deg)) + self.diffuse_w_m2

    def on_face_turned_to_sun(self, tilt_deg: float, albedo: float = GROUND_ALBEDO) -> float:
        """Irradiance of a face tilted by `tilt_deg` from level, its compass direction the sun's.

        E_b cos i + E_d (1 + cos tilt)/2 + albedo GHI (1 - cos tilt)/2, i = 90° - altitude - tilt.
        """
        tilt = math.radians(tilt_deg)
        incidence = math.radians(90.0 - self.altitude_deg) - tilt
        beam = self.beam_w_m2 * max(0.0, math.cos(incidence))
        sky = self.diffuse_w_m2 * 0.5 * (1.0 + math.cos(tilt))
        ground = albedo * self.horizontal_w_m2 * 0.5 * (1.0 - math.cos(tilt))
        return beam + sky + ground


def two_parameter_clear_sky(
    altitude_deg: float,
    beam_depth: float = _CLEAR_BEAM_DEPTH,
    diffuse_depth: float = _CLEAR_DIFFUSE_DEPTH,
    extraterrestrial: float = _SOLAR_CONSTANT_W_M2,
    edition: int = 2013,
) -> ClearSky:
    """Beam and diffuse light of a clear sky from two optical depths.

    E_b = E_0 exp(-tb m^ab), E_d = E_0 exp(-td m^ad),
    m = 1 / [sin b + 0.50572 (6.07995 + b)^-1.6364] with b the altitude in degrees.

    Parameters
    ----------
    altitude_deg : float
        Height of the sun b, 0 to 90. [°]
    beam_depth, diffuse_depth : float
        Optical depths tb, td of the place and month.
    extraterrestrial : float
        Sun's power outside the air. [W/m²]
    edition : int
        2009, or 2013 (also 2017): edition of the tables that the depths come from.

    Returns
    -------
    ClearSky
        Beam and diffuse light.

    Raises
    ------
    OutOfRangeError
        If the sun is down or the edition is not known.

    Sources
    -------
    [source: EnergyPlus Engineering Reference, "ASHRAE Revised Clear Sky Model"]. Some public codes
    carry -0.021 in ab; the reference text and its unit test have +0.021.
    """
    if not 0.0 <= altitude_deg <= 90.0:
        raise OutOfRangeError("altitude of the sun", altitude_deg, "0 to 90 degrees")
    if edition not in _EXPONENTS:
        raise OutOfRangeError("edition of the clear-sky tables", edition, "2009 or 2013")
    sine = math.sin(math.radians(altitude_deg))
    air_mass = 1.0 / (sine + 0.50572 * (6.07995 + altitude_deg) ** -1.6364)
    terms = (1.0, beam_depth, diffuse_depth, beam_depth * diffuse_depth)
    beam_power, diffuse_power = (
        sum(c * x for c, x in zip(row, terms, strict=True)) for row in _EXPONENTS[edition]
    )
    return ClearSky(
        altitude_deg=altitude_deg,
        beam_w_m2=extraterrestrial * math.exp(-beam_depth * air_mass**beam_power),
        diffuse_w_m2=extraterrestrial * math.exp(-diffuse_depth * air_mass**diffuse_power),
    )


@lru_cache(maxsize=256)  # a day's course asks for the same face at every step
def worst_face_irradiance_w_m2(tilt_deg: float, horizontal_w_m2: float) -> float:
    """Highest irradiance in a clear day of a tilted face that looks wherever it is worst.

    The noon sun is taken as high as `horizontal_w_m2` tells; the sun then passes every lower
    altitude during the day, and the face is turned to it at the worst of them. A tilted face gets
    more than level ground when it looks at the sun squarely.

    Parameters
    ----------
    tilt_deg : float
        0 level, 90 upright. [°]
    horizontal_w_m2 : float
        Noon irradiance of level ground. [W/m²]

    Returns
    -------
    float
        Irradiance of the face; equal to `horizontal_w_m2` when it is level. [W/m²]

    Sources
    -------
    derived from the two-parameter clear sky. It gives 1040 to 1080 W/m² for a face square to a
    high summer sun; 900 to 950 of beam and 110 of diffuse light make 1010 to 1060 there.
    """
    highest = two_parameter_clear_sky(90.0).horizontal_w_m2
    scale = max(1.0, horizontal_w_m2 / highest)
    noon_deg, above = 0.0, 90.0
    for _ in range(40):
        middle = 0.5 * (noon_deg + above)
        if two_parameter_clear_sky(middle).horizontal_w_m2 * scale < horizontal_w_m2:
            noon_deg = middle
        else:
            above = middle
    if noon_deg < 1e-6:  # less light than a clear sky has at sunrise: it is all diffuse
        return horizontal_w_m2
    altitudes = [noon_deg * i / 90 for i in range(91)]
    faces = [two_parameter_clear_sky(b).on_face_turned_to_sun(tilt_deg) for b in altitudes]
    return scale * max(faces)
