"""Straight bevel gears: cones, mean section, virtual teeth, undercut and tooth forces.

Symbols: z teeth, m_e outer (large-end) module, d pitch-cone angle, Sigma shaft angle, R_e outer
and R_m mean cone distance, b face width, alpha pressure angle, x profile shift, z_v virtual teeth,
F_t tangential force at the mean pitch radius, n planets, r_ms mean pitch radius of the side gear.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.elements.ranges import between, not_negative, positive
from printplan.errors import OutOfRangeError

__all__ = [
    "BevelGear",
    "BevelPair",
    "ToothForces",
    "addenda_long_short_mm",
    "bevel_pair",
    "mesh_tangential_force_n",
    "needed_profile_shift",
    "tooth_forces",
    "undercut_free_teeth",
]


#: Less undercut than this profile shift cures (in modules) is below any print's accuracy.
NEGLIGIBLE_SHIFT = 0.005


@dataclass(frozen=True, kw_only=True)
class BevelGear:
    """One gear of a straight bevel pair.

    Attributes
    ----------
    teeth : int
        Number of teeth.
    pitch_angle_deg : float
        Half angle of the pitch cone. [deg]
    outer_pitch_radius_mm, mean_pitch_radius_mm : float
        Pitch radius at the large end and at the middle of the face width. [mm]
    virtual_teeth : float
        Teeth of the spur gear laid out on the back cone.
    """

    teeth: int
    pitch_angle_deg: float
    outer_pitch_radius_mm: float
    mean_pitch_radius_mm: float
    virtual_teeth: float


@dataclass(frozen=True, kw_only=True)
class BevelPair:
    """Geometry of a straight bevel pair.

    Attributes
    ----------
    pinion, gear : BevelGear
        The two members, in the order of the call.
    outer_module_mm, mean_module_mm : float
        Module at the large end and at the middle of the face width. [mm]
    outer_cone_distance_mm, mean_cone_distance_mm : float
        Pitch apex to the large end and to the middle of the face. [mm]
    face_width_mm, face_width_limit_mm : float
        Face width and its customary limit, the smaller of 0.3 R_e and 10 m_e. [mm]
    pressure_angle_deg, shaft_angle_deg : float
        Pressure angle and angle between the shafts. [deg]
    warnings : tuple of str
        What the reader must know.
    """

    pinion: BevelGear
    gear: BevelGear
    outer_module_mm: float
    mean_module_mm: float
    outer_cone_distance_mm: float
    mean_cone_distance_mm: float
    face_width_mm: float
    face_width_limit_mm: float
    pressure_angle_deg: float
    shaft_angle_deg: float
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class ToothForces:
    """Components of the force on one tooth.

    Attributes
    ----------
    tangential_n, radial_n, axial_n : float
        Along the motion, towards the axis, and along the axis away from the apex. [N]
    normal_n : float
        Resultant of the three. [N]
    """

    tangential_n: float
    radial_n: float
    axial_n: float
    normal_n: float


def _check_teeth(**teeth: int) -> None:
    for name, count in teeth.items():
        if count != int(count) or count < 4:
            raise OutOfRangeError(name, count, "a whole number of teeth, 4 or more")


def bevel_pair(
    *,
    pinion_teeth: int,
    gear_teeth: int,
    outer_module_mm: float,
    face_width_mm: float,
    pressure_angle_deg: float = 20.0,
    shaft_angle_deg: float = 90.0,
) -> BevelPair:
    """Lay out a straight bevel pair.

    ``tan d1 = sin Sigma/(z2/z1 + cos Sigma)``, ``R_e = m_e z/(2 sin d)``, ``R_m = R_e - b/2``,
    ``m_m = m_e R_m/R_e``, ``z_v = z/cos d``.

    Parameters
    ----------
    pinion_teeth, gear_teeth : int
        Teeth of the two members; either may be the larger.
    outer_module_mm, face_width_mm : float
        Module at the large end; face width along the cone. [mm]
    pressure_angle_deg, shaft_angle_deg : float
        Pressure angle; angle between the shafts. [deg]

    Returns
    -------
    BevelPair
        With warnings when the face is wider than customary or a member is undercut at x = 0.

    Raises
    ------
    OutOfRangeError
        If a number can't belong to a straight bevel pair, a pitch cone reaches 90 deg, or the
        face is wider than half the cone distance.

    Sources
    -------
    [memory: standard gear theory]  angles, cone distances, virtual teeth
    [source: Shigley-15]  face width limit, the smaller of 0.3 R_e and 10 m_e
    """
    _check_teeth(pinion_teeth=pinion_teeth, gear_teeth=gear_teeth)
    positive(outer_module_mm=outer_module_mm, face_width_mm=face_width_mm)
    between("pressure_angle_deg", pressure_angle_deg, 10.0, 35.0)
    between("shaft_angle_deg", shaft_angle_deg, 10.0, 170.0)
    sigma = math.radians(shaft_angle_deg)
    d1 = math.atan2(math.sin(sigma), gear_teeth / pinion_teeth + math.cos(sigma))
    angles = (d1, sigma - d1)
    if max(angles) >= math.pi / 2 - 1e-9:
        raise OutOfRangeError(
            "pitch angle", math.degrees(max(angles)), "below 90 deg; choose a smaller ratio"
        )
    cone = outer_module_mm * pinion_teeth / (2 * math.sin(d1))
    if face_width_mm > cone / 2:
        raise OutOfRangeError(
            "face_width_mm", face_width_mm, f"at most half the cone distance, {cone / 2:.2f} mm"
        )
    mean = cone - face_width_mm / 2
    members = [
        BevelGear(
            teeth=teeth,
            pitch_angle_deg=math.degrees(angle),
            outer_pitch_radius_mm=outer_module_mm * teeth / 2,
            mean_pitch_radius_mm=mean * math.sin(angle),
            virtual_teeth=teeth / math.cos(angle),
        )
        for teeth, angle in zip((pinion_teeth, gear_teeth), angles, strict=True)
    ]
    limit = min(0.3 * cone, 10 * outer_module_mm)
    warnings = []
    if face_width_mm > limit * (1 + 1e-9):
        warnings.append(
            f"face width {face_width_mm:.2f} mm is above the customary limit {limit:.2f} mm: "
            "the small end carries little, and the large end more than is counted"
        )
    for member in members:
        shift = needed_profile_shift(member.virtual_teeth, pressure_angle_deg)
        if shift > NEGLIGIBLE_SHIFT:
            warnings.append(
                f"{member.teeth} teeth are undercut unless the profile shift is at least "
                f"{shift:.3f}"
            )
    return BevelPair(
        pinion=members[0],
        gear=members[1],
        outer_module_mm=outer_module_mm,
        mean_module_mm=outer_module_mm * mean / cone,
        outer_cone_distance_mm=cone,
        mean_cone_distance_mm=mean,
        face_width_mm=face_width_mm,
        face_width_limit_mm=limit,
        pressure_angle_deg=pressure_angle_deg,
        shaft_angle_deg=shaft_angle_deg,
        warnings=tuple(warnings),
    )


def undercut_free_teeth(
    pitch_angle_deg: float, pressure_angle_deg: float = 20.0, profile_shift: float = 0.0
) -> float:
    """Fewest teeth that a rack cuts without undercut: ``2 (1 - x) cos d/sin^2 alpha``.

    A spur gear has ``pitch_angle_deg = 0``. The result is not rounded.

    Raises
    ------
    OutOfRangeError
        If an angle or the shift is out of range.

    Sources
    -------
    [memory: standard gear theory]
    """
    between("pitch_angle_deg", pitch_angle_deg, 0.0, 89.9)
    between("pressure_angle_deg", pressure_angle_deg, 10.0, 35.0)
    between("profile_shift", profile_shift, -1.0, 1.0)
    sine = math.sin(math.radians(pressure_angle_deg))
    return 2 * (1 - profile_shift) * math.cos(math.radians(pitch_angle_deg)) / sine**2


def needed_profile_shift(virtual_teeth: float, pressure_angle_deg: float = 20.0) -> float:
    """Smallest profile shift (in modules) without undercut: ``max(0, 1 - z_v sin^2 alpha/2)``.

    At 20 deg this is the workshop rule (17 - z_v)/17 with 17.1 in place of 17.

    Raises
    ------
    OutOfRangeError
        If the teeth are not positive or the angle is out of range.

    Sources
    -------
    [memory: standard gear theory]
    """
    positive(virtual_teeth=virtual_teeth)
    between("pressure_angle_deg", pressure_angle_deg, 10.0, 35.0)
    return max(0.0, 1 - virtual_teeth * math.sin(math.radians(pressure_angle_deg)) ** 2 / 2)


def addenda_long_short_mm(
    pinion_teeth: int, gear_teeth: int, outer_module_mm: float, shaft_angle_deg: float = 90.0
) -> tuple[float, float]:
    """Addenda of pinion and gear at the large end, long on the pinion and short on the gear.

    ``h_a2 = 0.54 m + 0.46 m/(z2 cos d1/(z1 cos d2))``, ``h_a1 = 2 m - h_a2``; the usual
    proportions of straight bevel gears with 20 deg, which strengthen a pinion of few teeth. [mm]

    Raises
    ------
    OutOfRangeError
        If the pair can't be laid out.

    Sources
    -------
    [memory: KHK Gear Technical Reference, straight bevel table; not opened]
    """
    if pinion_teeth > gear_teeth:
        raise OutOfRangeError("pinion_teeth", pinion_teeth, f"at most gear_teeth = {gear_teeth}")
    pair = bevel_pair(
        pinion_teeth=pinion_teeth,
        gear_teeth=gear_teeth,
        outer_module_mm=outer_module_mm,
        face_width_mm=outer_module_mm,
        shaft_angle_deg=shaft_angle_deg,
    )
    virtual_ratio = pair.gear.virtual_teeth / pair.pinion.virtual_teeth
    # z2 cos d1/(z1 cos d2) is the ratio of the virtual teeth.
    gear = outer_module_mm * (0.54 + 0.46 / virtual_ratio)
    return 2 * outer_module_mm - gear, gear


def mesh_tangential_force_n(
    side_torque_nmm: float, mean_pitch_radius_mm: float, planets: int, sharing_factor: float = 1.0
) -> float:
    """Tangential force in one mesh of a side gear with several planets.

    ``F_t = T_side K_g/(n r_ms)``. K_g: two planets on a floating pin 1.0-1.1, three 1.1-1.2,
    four on a rigid cross 1.25-1.5; if in doubt count only two planets.

    Raises
    ------
    OutOfRangeError
        If a number is out of range; K_g below 1 would credit what cannot be.

    Sources
    -------
    derived  the force from the moment balance
    [memory: AGMA 6123 mesh-load-factor tables, order of magnitude]; [common practice]  K_g
    """
    not_negative(side_torque_nmm=side_torque_nmm)
    positive(mean_pitch_radius_mm=mean_pitch_radius_mm)
    between("planets", planets, 1, 12)
    between("sharing_factor", sharing_factor, 1.0, planets)
    return side_torque_nmm * sharing_factor / (planets * mean_pitch_radius_mm)


def tooth_forces(
    tangential_n: float, *, pressure_angle_deg: float = 20.0, pitch_angle_deg: float = 0.0
) -> ToothForces:
    """Split a tooth force, given its tangential component at the mean pitch radius.

    ``F_r = F_t tan(alpha) cos d``, ``F_a = F_t tan(alpha) sin d``; a spur gear has d = 0. At 90 deg
    between the shafts the radial force of one gear is the axial force of the other.

    Raises
    ------
    OutOfRangeError
        If the force is negative or an angle out of range.

    Sources
    -------
    [source: Jindal, ex. 27-1; Wentzell, ex. 13.3]  this form
    """
    not_negative(tangential_n=tangential_n)
    between("pressure_angle_deg", pressure_angle_deg, 10.0, 35.0)
    between("pitch_angle_deg", pitch_angle_deg, 0.0, 90.0)
    tangent = math.tan(math.radians(pressure_angle_deg))
    return ToothForces(
        tangential_n=tangential_n,
        radial_n=tangential_n * tangent * math.cos(math.radians(pitch_angle_deg)),
        axial_n=tangential_n * tangent * math.sin(math.radians(pitch_angle_deg)),
        normal_n=tangential_n * math.hypot(1.0, tangent),
    )
