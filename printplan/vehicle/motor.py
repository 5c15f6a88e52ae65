"""Electric motors: torque over speed, stall with and without a current limit.

A direct-current machine obeys ``T = K_t (I - I_0)`` and ``V = K_t omega + I R``; with K_t in N·m/A
it is also the back voltage per speed in V·s/rad. Linear: no saturation, no field weakening.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from printplan.vehicle.limits import check_between, check_not_negative, check_positive

__all__ = [
    "MotorData",
    "OutputMotorData",
    "torque_constant_from_no_load_nmm_a",
    "torque_constant_nmm_a",
    "torque_from_power_nmm",
]


def torque_constant_nmm_a(speed_constant_rpm_v: float) -> float:
    """Torque constant from the speed constant, ``K_t = 60/(2 pi K_v)`` in N·m/A. [N·mm/A]"""
    check_positive("speed_constant_rpm_v", speed_constant_rpm_v)
    return 1e3 * 60.0 / (2.0 * math.pi * speed_constant_rpm_v)


def torque_constant_from_no_load_nmm_a(
    *, voltage_v: float, current_a: float, resistance_ohm: float, speed_rad_s: float
) -> float:
    """Torque constant from one measurement, ``K_t = (V - I R)/omega``.

    Parameters
    ----------
    voltage_v, current_a : float
        Voltage and current while the motor runs free. [V], [A]
    resistance_ohm : float
        Winding resistance. [ohm]
    speed_rad_s : float
        Speed while running free. [rad/s]

    Returns
    -------
    float
        Torque constant. [N·mm/A]

    Sources
    -------
    [source: Fitzgerald, ex. 7.9, p. 389] the same step
    """
    check_positive("speed_rad_s", speed_rad_s)
    return 1e3 * (voltage_v - current_a * resistance_ohm) / speed_rad_s


def torque_from_power_nmm(power_w: float, speed_rad_s: float) -> float:
    """Torque of a shaft that passes a power on, ``T = P/omega``. [N·mm]"""
    check_positive("speed_rad_s", speed_rad_s)
    return 1e3 * power_w / speed_rad_s


@dataclass(frozen=True, kw_only=True)
class MotorData:
    """A motor known by its electrical constants, with a gear of its own or without.

    Attributes
    ----------
    torque_constant_nmm_a : float
        K_t. [N·mm/A]
    resistance_ohm : float
        Winding plus leads and battery, R. [ohm]
    voltage_v : float
        Battery voltage, V. [V]
    current_limit_a : float or None
        Limit of the *phase* current, not of the battery current: at low speed the winding can
        carry far more than the battery gives [common practice]. None: nothing limits it. [A]
    gear_ratio : float
        Motor turns per turn of the gear's output. [-]
    efficiency : float
        Of this gear, in the driving direction. [-]
    no_load_current_a : float
        I_0, the current that friction takes; 0 is on the safe side. [A]
    """

    torque_constant_nmm_a: float
    resistance_ohm: float
    voltage_v: float
    current_limit_a: float | None
    gear_ratio: float = 1.0
    efficiency: float = 1.0
    no_load_current_a: float = 0.0

    def __post_init__(self) -> None:
        for name in ("torque_constant_nmm_a", "resistance_ohm", "voltage_v", "gear_ratio"):
            check_positive(f"motor {name}", getattr(self, name))
        if self.current_limit_a is not None:
            check_positive("motor current_limit_a", self.current_limit_a)
        check_positive("motor efficiency", self.efficiency)
        check_between("motor efficiency", self.efficiency, 0.0, 1.0)
        check_not_negative("motor no_load_current_a", self.no_load_current_a)

    @property
    def short_circuit_current_a(self) -> float:
        """Current of the standing motor when nothing limits it, V/R. [A]"""
        return self.voltage_v / self.resistance_ohm

    @property
    def stall_current_a(self) -> float:
        """Current of the standing motor with the limit at work, ``min(V/R, I_limit)``. [A]"""
        if self.current_limit_a is None:
            return self.short_circuit_current_a
        return min(self.short_circuit_current_a, self.current_limit_a)

    def _output_torque_nmm(self, current_a: float) -> float:
        pulling_a = max(current_a - self.no_load_current_a, 0.0)
        return self.torque_constant_nmm_a * pulling_a * self.gear_ratio * self.efficiency

    @property
    def stall_torque_nmm(self) -> float:
        """Torque at the output of the standing motor, current limit at work. [N·mm]"""
        return self._output_torque_nmm(self.stall_current_a)

    @property
    def fault_torque_nmm(self) -> float:
        """Torque at the output of the standing motor when the current limit has failed. [N·mm]"""
        return self._output_torque_nmm(self.short_circuit_current_a)

    def running_torque_nmm(self, output_speed_rad_s: float) -> float:
        """Largest torque at the output at a speed; 0 beyond the speed that the voltage allows.

        Parameters
        ----------
        output_speed_rad_s : float
            Speed of the gear's output. [rad/s]

        Returns
        -------
        float
            ``K_t (min((V - K_t omega)/R, I_limit) - I_0) i eta``. [N·mm]

        Sources
        -------
        [source: Fitzgerald, ex. 7.9, p. 389] the linear machine
        """
        back_v = self.torque_constant_nmm_a * 1e-3 * output_speed_rad_s * self.gear_ratio
        current_a = (self.voltage_v - back_v) / self.resistance_ohm
        return self._output_torque_nmm(min(current_a, self.stall_current_a))


@dataclass(frozen=True, kw_only=True)
class OutputMotorData:
    """A motor known only by the torques at its output shaft.

    Attributes
    ----------
    rated_torque_nmm : float
        What it may give all day. [N·mm]
    stall_torque_nmm : float
        What it gives standing still with its controller in order. [N·mm]
    fault_torque_nmm : float or None
        What it gives standing still when the current limit has failed; None when unknown. [N·mm]
    """

    rated_torque_nmm: float
    stall_torque_nmm: float
    fault_torque_nmm: float | None = None

    def __post_init__(self) -> None:
        check_positive("motor rated_torque_nmm", self.rated_torque_nmm)
        check_positive("motor stall_torque_nmm", self.stall_torque_nmm)
        if self.fault_torque_nmm is not None:
            check_positive("motor fault_torque_nmm", self.fault_torque_nmm)

    def running_torque_nmm(self, output_speed_rad_s: float) -> float:
        """Torque it may give while turning: the rated one, at any speed. [N·mm]"""
        check_not_negative("output_speed_rad_s", output_speed_rad_s)
        return self.rated_torque_nmm
