"""Bending of gear teeth after Lewis, with the velocity factors that go with it.

Symbols: F_t tangential force, b face width, m module, Y form factor, z teeth, x profile shift.
"""

from __future__ import annotations

import bisect
import math
from collections.abc import Callable
from typing import Literal

from printplan.elements.ranges import between, not_negative, positive
from printplan.errors import OutOfRangeError, UnknownNameError

__all__ = [
    "barth_velocity_factor",
    "deflection_limit_mm",
    "lewis_bevel_capacity_n",
    "lewis_form_factor",
    "lewis_root_stress_mpa",
    "nonmetallic_velocity_factor",
]

#: (z, Y), 20 deg full depth, load at the tip [source: Shigley-15 table/figure 14; teeth 10-11 from
#: an open course code, KMUTT FRA232 table 2.4].
LEWIS_20_DEG = (
    (10, 0.201), (11, 0.226), (12, 0.245), (13, 0.261), (14, 0.277), (15, 0.290), (16, 0.296),
    (17, 0.303), (18, 0.309), (19, 0.314), (20, 0.322), (21, 0.328), (22, 0.331), (24, 0.337),
    (26, 0.346), (28, 0.353), (30, 0.359), (34, 0.371), (38, 0.384), (43, 0.397), (50, 0.409),
    (60, 0.422), (75, 0.435), (100, 0.447), (150, 0.460), (300, 0.472), (400, 0.480),
    (math.inf, 0.485),
)  # fmt: skip

#: (z, Y), 14.5 deg full depth [memory: Machinery's Handbook]; sources differ by 1-2 %.
LEWIS_14_5_DEG = (
    (12, 0.210), (13, 0.220), (14, 0.226), (15, 0.236), (16, 0.242), (17, 0.251), (18, 0.261),
    (19, 0.273), (20, 0.283), (21, 0.289), (22, 0.292), (24, 0.298), (26, 0.307), (28, 0.314),
    (30, 0.320), (34, 0.327), (38, 0.336), (43, 0.346), (50, 0.352), (60, 0.358), (75, 0.364),
    (100, 0.371), (150, 0.377), (300, 0.383), (math.inf, 0.390),
)  # fmt: skip

#: Fewest teeth accepted with a profile shift that removes the undercut (see lewis_form_factor).
FEWEST_SHIFTED_TEETH = 6
#: Fewest teeth accepted with a negative profile shift, which undercuts still more.
FEWEST_THINNED_TEETH = 17

FEET_PER_MINUTE_M_S = 0.3048 / 60

#: Velocity factor by tooth finish, speed in feet per minute [memory: Shigley 14].
_BARTH: dict[str, Callable[[float], float]] = {
    "rough": lambda speed: 1 + speed / 600,
    "cut": lambda speed: 1 + speed / 1200,
    "hobbed": lambda speed: 1 + math.sqrt(speed) / 50,
    "ground": lambda speed: math.sqrt(1 + math.sqrt(speed) / 78),
}


def lewis_form_factor(
    teeth: float, *, pressure_angle_deg: float = 20.0, profile_shift: float = 0.0
) -> float:
    """Lewis form factor Y of a full-depth tooth loaded at the tip.

    Read from the table, linearly in 1/z between two entries (in 1/z the curve is nearly straight,
    and the rack is the entry 1/z = 0). For a bevel gear `teeth` are the virtual teeth.

    A positive profile shift gets no credit. A negative one (the partner of a shifted pinion, at
    20 deg, from 17 teeth) multiplies Y by ``1 + x (12/z + 1/12)``. A 20 deg gear of 6 to 10 teeth,
    outside the table, is accepted only with a shift that removes the undercut,
    ``x >= 1 - z sin^2(alpha)/2``, and then gets the value of 10 unshifted, undercut teeth.

    Parameters
    ----------
    teeth : float
        Teeth or virtual teeth; infinity is a rack.
    pressure_angle_deg : float
        20 or 14.5. [deg]
    profile_shift : float
        Rack displacement in modules.

    Returns
    -------
    float
        Y, to be used with the module; no stress concentration in it.

    Raises
    ------
    OutOfRangeError
        For another pressure angle, or fewer teeth than the table and the rules above cover.

    Sources
    -------
    [source: Shigley-15 table/figure 14; KMUTT FRA232 table 2.4]  20 deg
    [memory: Machinery's Handbook]  14.5 deg
    derived  both rules for profile shift: on teeth generated point by point with a rack (the
        tests do it again) they lie on the safe side down to x = -0.5

    Notes
    -----
    The table fits a tooth with a dedendum of 1.157 modules and a root radius of 0.3. Teeth with a
    dedendum of 1.25 and a radius of 0.25 came out up to 10 % weaker (at 14 teeth).
    """
    between("profile_shift", profile_shift, -0.5, 1.0)
    if pressure_angle_deg not in (20.0, 14.5):
        raise OutOfRangeError(
            "pressure_angle_deg", pressure_angle_deg, "20 or 14.5, for which form factors are known"
        )
    table = LEWIS_20_DEG if pressure_angle_deg == 20.0 else LEWIS_14_5_DEG
    fewest = table[0][0]
    if profile_shift < 0:
        if pressure_angle_deg != 20.0 or not teeth >= FEWEST_THINNED_TEETH:
            raise OutOfRangeError(
                "profile_shift",
                profile_shift,
                f"0 or more unless at 20 deg with {FEWEST_THINNED_TEETH} teeth or more",
            )
        thinning = 1 + profile_shift * (12 / teeth + 1 / 12)
        return thinning * lewis_form_factor(teeth)
    if FEWEST_SHIFTED_TEETH <= teeth < fewest and pressure_angle_deg == 20.0:
        needed = 1 - teeth * math.sin(math.radians(pressure_angle_deg)) ** 2 / 2
        if profile_shift < needed - 1e-9:
            raise OutOfRangeError(
                "profile_shift", profile_shift, f"{needed:.3f} or more with {teeth:.4g} teeth"
            )
        return table[0][1]
    if not teeth >= fewest:
        raise OutOfRangeError(
            "teeth",
            teeth,
            f"{fewest} or more; fewer only at 20 deg, from {FEWEST_SHIFTED_TEETH}, "
            "with an undercut-free shift",
        )
    right = bisect.bisect_left(table, teeth, key=lambda entry: entry[0])
    if table[right][0] == teeth:
        return table[right][1]
    (z_low, y_low), (z_high, y_high) = table[right - 1], table[right]
    share = (1 / z_low - 1 / teeth) / (1 / z_low - 1 / z_high)
    return y_low + share * (y_high - y_low)


def lewis_root_stress_mpa(
    tangential_n: float,
    *,
    face_width_mm: float,
    module_mm: float,
    form_factor: float,
    velocity_factor: float = 1.0,
    stress_concentration: float = 1.0,
) -> float:
    """Bending stress at the tooth root: ``sigma = K_v K_f F_t/(b m Y)``.

    One tooth carries the whole force at its tip. A straight bevel gear takes its mean section:
    F_t at the mean pitch radius, the mean module, Y of the virtual teeth. No credit is given for a
    web that ties the tooth at its ends (see `tied_teeth`).

    Parameters
    ----------
    tangential_n, face_width_mm, module_mm : float
        F_t [N], b [mm], m (mean module for a bevel gear). [mm]
    form_factor : float
        Y, see `lewis_form_factor`.
    velocity_factor : float
        K_v >= 1, multiplies the load.
    stress_concentration : float
        K_f: about 1.3-1.6 for sharp fillets in brittle prints, 1.0-1.2 for tough plastics with a
        fillet of 0.3 m or more.

    Returns
    -------
    float
        Root stress, tension. [MPa]

    Raises
    ------
    OutOfRangeError
        If a size is not positive, the force is negative or a factor is below 1.

    Sources
    -------
    [source: Jindal, ch. 25, 27]  formula and its mean-section use
    [common practice]  values of K_f
    """
    not_negative(tangential_n=tangential_n)
    positive(face_width_mm=face_width_mm, module_mm=module_mm, form_factor=form_factor)
    between("velocity_factor", velocity_factor, 1.0, 20.0)
    between("stress_concentration", stress_concentration, 1.0, 5.0)
    nominal = tangential_n / (face_width_mm * module_mm * form_factor)
    return velocity_factor * stress_concentration * nominal


def lewis_bevel_capacity_n(
    allowable_mpa: float,
    *,
    face_width_mm: float,
    outer_module_mm: float,
    form_factor: float,
    outer_cone_distance_mm: float,
) -> float:
    """Tangential force at the large end that a bevel tooth bears: ``sigma b m_e Y (1 - b/R_e)``.

    The large-end form of Lewis' formula; it differs from the mean section by about 4 % when the
    face is a third of the cone distance. [N]

    Raises
    ------
    OutOfRangeError
        If a size is not positive, or the face is wider than half the cone distance.

    Sources
    -------
    [source: Jindal, ch. 27]
    """
    positive(
        allowable_mpa=allowable_mpa,
        face_width_mm=face_width_mm,
        outer_module_mm=outer_module_mm,
        form_factor=form_factor,
        outer_cone_distance_mm=outer_cone_distance_mm,
    )
    between("face_width_mm", face_width_mm, 0.0, outer_cone_distance_mm / 2)
    taper = 1 - face_width_mm / outer_cone_distance_mm
    return allowable_mpa * face_width_mm * outer_module_mm * form_factor * taper


def barth_velocity_factor(
    speed_m_s: float, finish: Literal["rough", "cut", "hobbed", "ground"] = "rough"
) -> float:
    """Factor K_v >= 1 on the tooth force for pitch-line speed v and tooth finish.

    Rough (as printed) ``(600 + V)/600``, cut ``(1200 + V)/1200``, hobbed ``(50 + sqrt V)/50``,
    ground ``sqrt((78 + sqrt V)/78)``, with V in feet per minute.

    Raises
    ------
    OutOfRangeError
        If the speed is negative or above 25 m/s.
    UnknownNameError
        For an unknown finish.

    Sources
    -------
    [memory: Shigley 14]  all four
    [common practice]  a printed flank counts as rough
    """
    between("speed_m_s", speed_m_s, 0.0, 25.0)
    if finish not in _BARTH:
        raise UnknownNameError("tooth finish", finish, _BARTH)
    return _BARTH[finish](speed_m_s / FEET_PER_MINUTE_M_S)


def nonmetallic_velocity_factor(speed_m_s: float) -> float:
    """Factor K_v >= 1 for teeth of nonmetallic material: ``1/(150/(200 + V) + 0.25)``.

    V in feet per minute; at rest the factor is 1.

    Raises
    ------
    OutOfRangeError
        If the speed is negative or above 25 m/s.

    Sources
    -------
    [memory: AGMA/Boston non-metallic practice]
    """
    between("speed_m_s", speed_m_s, 0.0, 25.0)
    return 1 / (150 / (200 + speed_m_s / FEET_PER_MINUTE_M_S) + 0.25)


def deflection_limit_mm(module_mm: float) -> float:
    """Customary limit of the tip deflection of a plastic tooth: ``0.07 m``. [mm]

    Raises
    ------
    OutOfRangeError
        If the module is not positive.

    Sources
    -------
    [memory: VDI 2736-2:2014]
    """
    positive(module_mm=module_mm)
    return 0.07 * module_mm
