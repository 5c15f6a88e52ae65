"""The line of drive from the motor's output to the axle: ratios, torques and the belt's pull."""

from __future__ import annotations

from dataclasses import dataclass

from printplan.vehicle.belt import BeltData, ChainData, LoopForces
from printplan.vehicle.limits import check_positive
from printplan.vehicle.motor import MotorData, OutputMotorData

__all__ = ["DriveLine"]


@dataclass(frozen=True, kw_only=True)
class DriveLine:
    """Motor, belt or chain, and a reduction behind it, up to the differential housing.

    Attributes
    ----------
    motor : MotorData or OutputMotorData
        The motor with its own gear.
    belt : BeltData, ChainData or None
        Loop between the motor's output and the axle side.
    final_reduction : float
        Turns of the driven pulley per turn of the housing. [-]

    Notes
    -----
    Losses of belt and final reduction are left out. Towards the axle that is on the safe side.
    """

    motor: MotorData | OutputMotorData
    belt: BeltData | ChainData | None = None
    final_reduction: float = 1.0

    def __post_init__(self) -> None:
        check_positive("final_reduction", self.final_reduction)

    @property
    def ratio(self) -> float:
        """Turns of the motor's output per turn of the housing. [-]"""
        return (1.0 if self.belt is None else self.belt.ratio) * self.final_reduction

    @property
    def stall_axle_torque_nmm(self) -> float:
        """Torque at the axle of the stalled motor, current limit at work. [N·mm]"""
        return self.motor.stall_torque_nmm * self.ratio

    @property
    def fault_axle_torque_nmm(self) -> float | None:
        """Torque at the axle of the stalled motor, current limit failed; None if unknown. [N·mm]"""
        fault_nmm = self.motor.fault_torque_nmm
        return None if fault_nmm is None else fault_nmm * self.ratio

    def running_axle_torque_nmm(self, axle_speed_rad_s: float) -> float:
        """Largest torque at the axle while it turns. [N·mm]"""
        return self.motor.running_torque_nmm(axle_speed_rad_s * self.ratio) * self.ratio

    def motor_output_torque_nmm(self, axle_torque_nmm: float) -> float:
        """Torque on the motor's output for a torque at the axle; its mount carries it. [N·mm]"""
        return axle_torque_nmm / self.ratio

    def loop_forces(self, axle_torque_nmm: float) -> LoopForces:
        """Return the forces of belt or chain for a torque at the axle; all zero without one.

        Parameters
        ----------
        axle_torque_nmm : float
            Torque that the loop passes on, at the housing; 0 leaves a belt its preload. [N·mm]

        Returns
        -------
        LoopForces
            Strands and shaft pull.

        Sources
        -------
        derived from statics with `BeltData` and `ChainData`
        """
        if self.belt is None:
            return LoopForces(effective_n=0, tight_n=0, slack_n=0, shaft_n=0, goes_slack=False)
        torque_nmm = self.motor_output_torque_nmm(axle_torque_nmm)
        return self.belt.forces(torque_nmm, self.motor.stall_torque_nmm)
