"""Straight bevel teeth with spherical involute flanks.

Every flank is a cone through the apex, so one curve on the sphere fixes it. That curve is the
spherical involute: the path of a point of a great circle that rolls on the base circle. Two
gears whose base cones share their common tangent planes run at a constant ratio, whatever the
split of tooth thickness between them, because the flanks touch on these planes.

Symbols: d pitch cone angle, d_b base cone angle, theta angle from the gear's axis, phi azimuth
about it. Lengths belong to the large end, on the sphere of radius R_e (the cone distance).

Sources: cone angles, cone distance and the undercut limit as in the reference collection's
section B6 [memory: standard gear theory]; the curve and the fillet are derived here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from manifold3d import CrossSection, Manifold
from numpy.typing import NDArray

from generating.shapes import on_grid, turned

__all__ = ["BevelPair", "BevelTeeth", "toothed"]

_FLANK_POINTS = 26
_FILLET_POINTS = 10
_TIP_PIECES = 6
_ROOT_PIECES = 4
# A shift may miss the limit of undercut by this many modules: a few micrometres, less than any
# printer resolves (14 teeth at 35 degrees miss it by 0.0005).
_UNDERCUT_SLACK = 0.001


@dataclass(frozen=True, kw_only=True)
class BevelTeeth:
    """The teeth of one gear of a pair.

    Attributes
    ----------
    teeth : int
        Number of teeth.
    pitch_cone_rad, base_cone_rad, tip_cone_rad, root_cone_rad : float
        Cone angles from the axis. [rad]
    cone_distance_mm, face_width_mm : float
        Apex to the large end of the pitch cone; length of a tooth along it. [mm]
    thickness_mm : float
        Tooth thickness on the pitch circle of the large end, backlash share taken off. [mm]
    fillet_mm : float
        Radius of the root fillet at the large end. [mm]
    """

    teeth: int
    pitch_cone_rad: float
    base_cone_rad: float
    tip_cone_rad: float
    root_cone_rad: float
    cone_distance_mm: float
    face_width_mm: float
    thickness_mm: float
    fillet_mm: float

    @property
    def inner_cone_distance_mm(self) -> float:
        """Apex to the small end of the pitch cone. [mm]"""
        return self.cone_distance_mm - self.face_width_mm

    @property
    def _half_at_base_rad(self) -> float:
        """Half the tooth's azimuth at the base cone. [rad]"""
        pitch_radius = self.cone_distance_mm * np.sin(self.pitch_cone_rad)
        half_at_pitch = self.thickness_mm / 2 / pitch_radius
        return float(half_at_pitch + self.involute_azimuth(np.array(self.pitch_cone_rad)))

    def involute_azimuth(self, theta: NDArray[np.float64]) -> NDArray[np.float64]:
        """Azimuth that a spherical involute has gained at the angle `theta` from the axis. [rad]

        ``cos w = cos theta / cos d_b``, ``phi = w / sin d_b - arctan(tan w / sin d_b)`` with
        the arc w rolled; derived. In this form the last bits of w do no harm near the base.
        """
        rolled = np.arccos(np.clip(np.cos(theta) / np.cos(self.base_cone_rad), -1.0, 1.0))
        base = np.sin(self.base_cone_rad)
        return np.asarray(rolled / base - np.arctan(np.tan(rolled) / base))

    def half_azimuth(self, theta: NDArray[np.float64]) -> NDArray[np.float64]:
        """Half the tooth's azimuth at `theta`, at or outside the base cone. [rad]"""
        return np.asarray(self._half_at_base_rad - self.involute_azimuth(theta))

    def _fillet_touch(self) -> tuple[float, float, float]:
        """Return where the fillet meets the flank. [rad]

        The angle from the axis, the azimuth from the fillet's centre, and how far the involute
        has rolled there: 0 if the fillet meets the meridian below it.
        """
        rho = self.fillet_mm / self.cone_distance_mm
        theta_c = self.root_cone_rad + rho
        aside = np.arcsin(np.sin(rho) / np.sin(theta_c))
        # right-angled spherical triangle pole - centre - foot on the meridian
        foot = np.arctan(np.tan(theta_c) * np.cos(aside))
        if foot <= self.base_cone_rad:
            return float(foot), float(aside), 0.0
        # Normals of an involute touch its base circle, so the centre lies on the same normal as
        # the touching point, rho further out, and on a parallel involute of the same base.
        rolled = np.arccos(np.cos(theta_c) / np.cos(self.base_cone_rad)) - rho
        touch = np.arccos(np.cos(self.base_cone_rad) * np.cos(rolled))
        gained = self.involute_azimuth(np.array([touch, theta_c]))
        aside = rho / np.sin(self.base_cone_rad) + gained[0] - gained[1]
        return float(touch), float(aside), float(rolled)

    def _fillet(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Angles (theta, phi) of the fillet left of the tooth at phi = 0, root to flank.

        A circle on the sphere that touches the root circle and either the meridian which goes
        down from the involute's foot or, where it reaches above the base cone, the involute.
        """
        rho = self.fillet_mm / self.cone_distance_mm
        theta_c = self.root_cone_rad + rho
        touch, aside, _ = self._fillet_touch()
        centre = _direction(theta_c, 0.0)
        south = _direction(theta_c + np.pi / 2, 0.0)
        east = np.array([0.0, 1.0, 0.0])
        towards = _direction(touch, aside)
        end = np.arctan2(towards @ east, towards @ south)
        turn = np.linspace(np.pi, end, _FILLET_POINTS)[:, None]
        points = np.cos(rho) * centre + np.sin(rho) * (np.cos(turn) * south + np.sin(turn) * east)
        theta = np.arctan2(np.hypot(points[:, 0], points[:, 1]), points[:, 2])
        at_touch = -self.half_azimuth(np.array(max(touch, self.base_cone_rad)))
        phi = np.arctan2(points[:, 1], points[:, 0]) - aside + at_touch
        if phi[0] <= -np.pi / self.teeth:
            msg = f"fillets of {self.fillet_mm} mm meet in the gap: make them smaller"
            raise ValueError(msg)
        return theta, phi

    @property
    def root_thickness_mm(self) -> float:
        """Chord across the tooth at the large end where fillets and flanks meet. [mm]"""
        theta, phi = self._fillet()
        radius = self.cone_distance_mm * np.sin(theta[-1])
        return float(2 * radius * np.sin(abs(phi[-1])))

    @property
    def tip_thickness_mm(self) -> float:
        """Chord across the tooth's tip at the large end. [mm]"""
        half = self.half_azimuth(np.array(self.tip_cone_rad))
        return float(2 * self.cone_distance_mm * np.sin(self.tip_cone_rad) * np.sin(half))

    def tooth_outline(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Angles (theta, phi) round one tooth at phi = 0, from gap to gap without the last point.

        Root, fillet, meridian if any, involute flank, tip and the mirror image back. [rad]
        """
        half_pitch = np.pi / self.teeth
        fillet_theta, fillet_phi = self._fillet()
        rolled_at_tip = np.arccos(np.cos(self.tip_cone_rad) / np.cos(self.base_cone_rad))
        _, _, rolled_at_fillet = self._fillet_touch()
        rolled = np.linspace(rolled_at_fillet, rolled_at_tip, _FLANK_POINTS)
        if rolled_at_fillet > 0.0:
            rolled = rolled[1:]  # the fillet ends on this point
        flank_theta = np.arccos(np.cos(self.base_cone_rad) * np.cos(rolled))
        flank_phi = -self.half_azimuth(flank_theta)
        root_phi = np.linspace(-half_pitch, fillet_phi[0], _ROOT_PIECES + 1)[:-1]
        tip_phi = np.linspace(flank_phi[-1], 0.0, _TIP_PIECES // 2 + 1)[1:]
        theta = np.concatenate(
            [
                np.full(len(root_phi), self.root_cone_rad),
                fillet_theta,
                flank_theta,
                np.full(len(tip_phi), self.tip_cone_rad),
            ]
        )
        phi = np.concatenate([root_phi, fillet_phi, flank_phi, tip_phi])
        # mirrored: without the point on the tip's middle and the one in the gap's middle
        return (
            np.concatenate([theta, theta[-2:0:-1]]),
            np.concatenate([phi, -phi[-2:0:-1]]),
        )

    def cone(self, height_mm: float) -> Manifold:
        """Return the solid cone, apex at the origin, whose section is the toothed outline.

        Its flanks are exact: each is made of rays through the apex, cut at z = `height_mm`.
        """
        theta, phi = self.tooth_outline()
        pitch = 2 * np.pi / self.teeth
        azimuth = (phi + pitch * np.arange(self.teeth)[:, None]).ravel()
        radius = np.tile(height_mm * np.tan(theta), self.teeth)
        section = np.column_stack([radius * np.cos(azimuth), radius * np.sin(azimuth)])
        upright = Manifold.extrude(CrossSection([on_grid(section)]), height_mm, scale_top=(0, 0))
        # extrude puts the apex on top; a half turn about x puts it at the origin, pointing up
        return upright.translate((0.0, 0.0, -height_mm)).rotate((180.0, 0.0, 0.0))

    def on_cone(self, theta: float, distance_mm: float) -> tuple[float, float]:
        """Return (radius, z) where the ray at `theta` meets the cone square to the pitch cone.

        With the cone distance R this is the back cone: ``r sin d + z cos d = R``. [mm]
        """
        along = distance_mm / np.cos(theta - self.pitch_cone_rad)
        return float(along * np.sin(theta)), float(along * np.cos(theta))


@dataclass(frozen=True, kw_only=True)
class BevelPair:
    """A straight bevel pair at right angles.

    Attributes
    ----------
    module_mm : float
        Module at the large end. [mm]
    teeth_pinion, teeth_gear : int
        Numbers of teeth.
    pressure_angle_deg : float
        Of the crown gear's flank on the pitch cone. [deg]
    face_width_mm : float
        Tooth length. [mm]
    profile_shift : float
        Shift x of the pinion; the gear has -x, so the pitch cones roll on each other.
    addendum, dedendum : float
        In modules, before the shift; their difference is the clearance at the root.
    backlash_mm : float
        Free play along the pitch circle of the large end, half taken off each gear. [mm]
    fillet_mm : float
        Root fillet at the large end. [mm]
    """

    module_mm: float
    teeth_pinion: int
    teeth_gear: int
    pressure_angle_deg: float
    face_width_mm: float
    profile_shift: float
    addendum: float
    dedendum: float
    backlash_mm: float
    fillet_mm: float

    @property
    def cone_distance_mm(self) -> float:
        """Apex to the large end, ``R_e = m z / (2 sin d)``. [mm]"""
        return self.module_mm * float(np.hypot(self.teeth_pinion, self.teeth_gear)) / 2

    @property
    def pinion(self) -> BevelTeeth:
        """The pinion's teeth."""
        cone = float(np.arctan2(self.teeth_pinion, self.teeth_gear))
        return self._teeth(self.teeth_pinion, cone, self.profile_shift)

    @property
    def gear(self) -> BevelTeeth:
        """The gear's teeth."""
        cone = float(np.arctan2(self.teeth_gear, self.teeth_pinion))
        return self._teeth(self.teeth_gear, cone, -self.profile_shift)

    def _teeth(self, teeth: int, pitch_cone: float, shift: float) -> BevelTeeth:
        m, distance = self.module_mm, self.cone_distance_mm
        alpha = np.radians(self.pressure_angle_deg)
        virtual = teeth / np.cos(pitch_cone)
        if shift < self.addendum - virtual * np.sin(alpha) ** 2 / 2 - _UNDERCUT_SLACK:
            msg = f"{teeth} teeth with shift {shift} would be undercut"
            raise ValueError(msg)
        return BevelTeeth(
            teeth=teeth,
            pitch_cone_rad=pitch_cone,
            base_cone_rad=float(np.arcsin(np.sin(pitch_cone) * np.cos(alpha))),
            tip_cone_rad=float(pitch_cone + np.arctan((self.addendum + shift) * m / distance)),
            root_cone_rad=float(pitch_cone - np.arctan((self.dedendum - shift) * m / distance)),
            cone_distance_mm=distance,
            face_width_mm=self.face_width_mm,
            thickness_mm=float(m * (np.pi / 2 + 2 * shift * np.tan(alpha)) - self.backlash_mm / 2),
            fillet_mm=self.fillet_mm,
        )


def _direction(theta: float, phi: float) -> NDArray[np.float64]:
    """Return the unit vector at `theta` from z and azimuth `phi`."""
    return np.array([np.sin(theta) * np.cos(phi), np.sin(theta) * np.sin(phi), np.cos(theta)])


def toothed(teeth: BevelTeeth, blank: NDArray[np.float64], facets: int) -> Manifold:
    """Cut a turned blank, meridian (radius, z) with the apex at the origin, to the toothed cone."""
    height = float(blank[:, 1].max()) + 5.0
    # an odd turn keeps the blank's facets away from the corners of the teeth: no slivers
    return turned(blank, facets).rotate((0.0, 0.0, 0.61)) ^ teeth.cone(height)
