"""Toothed belts and chains: pitch diameters, strand forces, pull on the shaft, teeth in mesh."""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.errors import OutOfRangeError
from printplan.vehicle.limits import check_between, check_not_negative, check_positive

__all__ = [
    "BeltData",
    "ChainData",
    "LoopForces",
    "belt_forces",
    "belt_shaft_force_n",
    "effective_force_n",
    "loop_speed_mm_s",
    "pulley_pitch_diameter_mm",
    "sprocket_pitch_diameter_mm",
    "teeth_in_mesh",
    "teeth_in_mesh_factor",
]

#: A chain's slack side still hangs and pulls a little; upper end of 1.05-1.2 [common practice].
CHAIN_SHAFT_FACTOR = 1.2


def pulley_pitch_diameter_mm(pitch_mm: float, teeth: int) -> float:
    """Pitch diameter of a toothed-belt pulley, ``d = z p/pi``. [mm]"""
    check_positive("pitch_mm", pitch_mm)
    check_positive("teeth", teeth)
    return teeth * pitch_mm / math.pi


def sprocket_pitch_diameter_mm(pitch_mm: float, teeth: int) -> float:
    """Pitch diameter of a chain sprocket, ``d = p/sin(pi/z)``. [mm]"""
    check_positive("pitch_mm", pitch_mm)
    if teeth < 3:
        raise OutOfRangeError("teeth", teeth, "3 or more teeth on a sprocket")
    return pitch_mm / math.sin(math.pi / teeth)


def effective_force_n(torque_nmm: float, pitch_diameter_mm: float) -> float:
    """Difference of the strand forces, ``F_e = 2 T/d``. [N]"""
    check_positive("pitch_diameter_mm", pitch_diameter_mm)
    return 2.0 * abs(torque_nmm) / pitch_diameter_mm


def loop_speed_mm_s(pitch_mm: float, teeth: int, turns_per_s: float) -> float:
    """Mean speed of a belt or chain, ``v = z p n``. [mm/s]"""
    return teeth * pitch_mm * turns_per_s


def teeth_in_mesh(teeth: int, wrap_deg: float) -> int:
    """Belt teeth that sit fully in a pulley, ``floor(z wrap/360)``."""
    check_positive("teeth", teeth)
    check_between("wrap_deg", wrap_deg, 0.0, 360.0)
    return math.floor(teeth * wrap_deg / 360.0 + 1e-9)


def teeth_in_mesh_factor(meshing_teeth: int) -> float:
    """Share of a belt's rated capacity that few teeth in mesh leave.

    Parameters
    ----------
    meshing_teeth : int
        Teeth in mesh on the small pulley.

    Returns
    -------
    float
        1.0 from six teeth on, 0.2 less for each tooth below; 0 with one tooth or none. [-]

    Sources
    -------
    [memory: RMA IP-24 / ISO 5295 practice]
    """
    return max(0.0, min(1.0, 0.2 * (meshing_teeth - 1)))


@dataclass(frozen=True, kw_only=True)
class LoopForces:
    """Forces in a belt or chain loop.

    Attributes
    ----------
    effective_n, tight_n, slack_n : float
        Effective force and the two strands. [N]
    shaft_n : float
        Pull on the shaft of the motor's pulley. [N]
    goes_slack : bool
        The slack strand has lost all its tension: a toothed belt may skip.
    """

    effective_n: float
    tight_n: float
    slack_n: float
    shaft_n: float
    goes_slack: bool


def belt_shaft_force_n(tight_n: float, slack_n: float, wrap_deg: float) -> float:
    """Pull of both strands on a shaft.

    ``F = sqrt(F_t^2 + F_s^2 - 2 F_t F_s cos(wrap))``; the plain sum for half a turn of wrap.

    Parameters
    ----------
    tight_n, slack_n : float
        Strand forces. [N]
    wrap_deg : float
        Angle of wrap on this pulley. [deg]

    Returns
    -------
    float
        Pull. [N]

    Sources
    -------
    derived: vector sum of the strands
    """
    check_between("wrap_deg", wrap_deg, 0.0, 360.0)
    cosine = math.cos(math.radians(wrap_deg))
    return math.sqrt(max(tight_n**2 + slack_n**2 - 2.0 * tight_n * slack_n * cosine, 0.0))


def belt_forces(*, effective_n: float, initial_n: float, wrap_deg: float) -> LoopForces:
    """Strand forces of a toothed belt put on with an initial tension.

    ``F_tight = F_i + F_e/2``, ``F_slack = F_i - F_e/2``; when the slack strand has nothing left,
    the tight one carries F_e alone.

    Parameters
    ----------
    effective_n : float
        Effective force, F_e. [N]
    initial_n : float
        Tension of each strand at rest, F_i. [N]
    wrap_deg : float
        Angle of wrap on the motor's pulley. [deg]

    Returns
    -------
    LoopForces
        Strands, shaft pull, and whether the slack strand went slack.

    Sources
    -------
    [memory: makers' and ISO 5295-type guidance]; derived for a stiff belt on fixed centres
    """
    check_not_negative("effective_n", effective_n)
    check_not_negative("initial_n", initial_n)
    slack_n = max(initial_n - effective_n / 2.0, 0.0)
    tight_n = slack_n + effective_n if slack_n == 0.0 else initial_n + effective_n / 2.0
    return LoopForces(
        effective_n=effective_n,
        tight_n=tight_n,
        slack_n=slack_n,
        shaft_n=belt_shaft_force_n(tight_n, slack_n, wrap_deg),
        goes_slack=effective_n > 0.0 and initial_n * (1.0 + 1e-9) < effective_n / 2.0,
    )


@dataclass(frozen=True, kw_only=True)
class BeltData:
    """A toothed belt between the motor and the axle.

    Attributes
    ----------
    pitch_mm : float
        Belt pitch. [mm]
    motor_teeth, driven_teeth : int
        Teeth of the motor's and of the driven pulley.
    wrap_deg : float
        Wrap on the motor's pulley. [deg]
    preload_share : float
        Force left in the slack strand at the motor's stall torque, as a share of the effective
        force there; usual aim 0.1-0.3 [memory: makers' guidance]. [-]
    """

    pitch_mm: float
    motor_teeth: int
    driven_teeth: int
    wrap_deg: float = 180.0
    preload_share: float = 0.3

    def __post_init__(self) -> None:
        for name in ("pitch_mm", "motor_teeth", "driven_teeth", "wrap_deg"):
            check_positive(f"belt {name}", getattr(self, name))
        check_between("belt wrap_deg", self.wrap_deg, 0.0, 300.0)
        check_between("belt preload_share", self.preload_share, 0.0, 2.0)

    @property
    def ratio(self) -> float:
        """Motor pulley turns per driven pulley turn. [-]"""
        return self.driven_teeth / self.motor_teeth

    @property
    def meshing_teeth(self) -> int:
        """Teeth in mesh on the motor's pulley."""
        return teeth_in_mesh(self.motor_teeth, self.wrap_deg)

    def effective_force_n(self, motor_pulley_torque_nmm: float) -> float:
        """Effective force of a torque on the motor's pulley. [N]"""
        diameter_mm = pulley_pitch_diameter_mm(self.pitch_mm, self.motor_teeth)
        return effective_force_n(motor_pulley_torque_nmm, diameter_mm)

    def initial_tension_n(self, stall_torque_nmm: float) -> float:
        """Tension of each strand at rest: half the effective force at stall plus the share. [N]"""
        return (0.5 + self.preload_share) * self.effective_force_n(stall_torque_nmm)

    def forces(self, motor_pulley_torque_nmm: float, stall_torque_nmm: float) -> LoopForces:
        """Return the forces at a torque, in a belt tightened for the motor's stall torque. [N]"""
        return belt_forces(
            effective_n=self.effective_force_n(motor_pulley_torque_nmm),
            initial_n=self.initial_tension_n(stall_torque_nmm),
            wrap_deg=self.wrap_deg,
        )


@dataclass(frozen=True, kw_only=True)
class ChainData:
    """A chain between the motor and the axle.

    Attributes
    ----------
    pitch_mm : float
        Chain pitch. [mm]
    motor_teeth, driven_teeth : int
        Teeth of the motor's and of the driven sprocket.
    """

    pitch_mm: float
    motor_teeth: int
    driven_teeth: int

    def __post_init__(self) -> None:
        check_positive("chain pitch_mm", self.pitch_mm)
        for name in ("motor_teeth", "driven_teeth"):
            if getattr(self, name) < 3:
                raise OutOfRangeError(f"chain {name}", getattr(self, name), "3 or more teeth")

    @property
    def ratio(self) -> float:
        """Motor sprocket turns per driven sprocket turn. [-]"""
        return self.driven_teeth / self.motor_teeth

    def forces(self, motor_pulley_torque_nmm: float, stall_torque_nmm: float) -> LoopForces:
        """Return the forces at a torque; a chain needs no preload. [N]

        Parameters
        ----------
        motor_pulley_torque_nmm : float
            Torque on the motor's sprocket. [N·mm]
        stall_torque_nmm : float
            Unused; belts need it to know their initial tension. [N·mm]

        Returns
        -------
        LoopForces
            Slack strand without force; shaft pull 1.2 times the effective force.

        Sources
        -------
        [common practice] slack side about 0, shaft load 1.05-1.2 F_e, upper end taken
        """
        del stall_torque_nmm
        diameter_mm = sprocket_pitch_diameter_mm(self.pitch_mm, self.motor_teeth)
        force_n = effective_force_n(motor_pulley_torque_nmm, diameter_mm)
        return LoopForces(
            effective_n=force_n,
            tight_n=force_n,
            slack_n=0.0,
            shaft_n=CHAIN_SHAFT_FACTOR * force_n,
            goes_slack=False,
        )
