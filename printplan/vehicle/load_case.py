"""One load case, the set of all, and how a trail of formulas is written down."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any, Literal

from printplan.errors import UnknownNameError
from printplan.vehicle.chassis import Axle

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["Duration", "LoadCase", "VehicleLoads", "merged", "newton", "newton_metre", "percent"]

#: How long a load lasts: a rare overload, many times in the part's life, or for hours.
Duration = Literal["single", "repeated", "sustained"]


@dataclass(frozen=True, kw_only=True)
class LoadCase:
    """What one event puts on the parts: the largest of each kind, as sizes, 0 or more.

    Attributes
    ----------
    name : str
        Short name.
    story : str
        What happens, in one sentence.
    axle : {"front", "rear"}
        The axle at whose wheels the wheel values act.
    duration : {"single", "repeated", "sustained"}
        How long the load lasts.
    cycles : float
        How often it comes in the life of the part; 1 for single and sustained loads. [-]
    torque_cycles : float or None
        How often the torque comes and goes, for what turns with the axle and feels it standing
        still (sockets, screws, pins); None: as often as `cycles`. [-]
    reversed_flank : bool
        Whether the torques run against the driving direction, on the other tooth flank.
    fault : bool
        Whether something has failed already; the part may only just not break.
    by_brake : bool
        Whether a brake makes the torques: at the wheel itself they may pass a hub by.
    housing_torque_nmm : float
        Through the differential's housing: what its teeth carry. [N·mm]
    side_gear_torque_nmm : float
        Largest on one side gear; 0 without a differential. [N·mm]
    wheel_torque_nmm : float
        Largest at the hub of one wheel of `axle`. [N·mm]
    belt_force_n, belt_shaft_force_n : float
        Effective force of belt or chain, and pull on the shaft with preload. [N]
    motor_output_torque_nmm : float
        On the motor's output; its mount carries the same as reaction. [N·mm]
    wheel_vertical_n, wheel_lateral_n, wheel_longitudinal_n : float
        Forces of the road on the most loaded wheel of `axle`. [N]
    limited_by : str
        What ends the load: "motor", "traction", "wheelie", "over the front", "skid", "tip",
        "kerb", "demand" (what the road asks for), or "preload".
    assumption, source : str
        What was assumed; where the formula comes from, with its label.
    trail : tuple of str
        The steps of the calculation with their numbers.
    """

    name: str
    story: str
    axle: Axle
    duration: Duration
    cycles: float
    torque_cycles: float | None = None
    reversed_flank: bool = False
    fault: bool = False
    by_brake: bool = False
    housing_torque_nmm: float = 0.0
    side_gear_torque_nmm: float = 0.0
    wheel_torque_nmm: float = 0.0
    belt_force_n: float = 0.0
    belt_shaft_force_n: float = 0.0
    motor_output_torque_nmm: float = 0.0
    wheel_vertical_n: float = 0.0
    wheel_lateral_n: float = 0.0
    wheel_longitudinal_n: float = 0.0
    limited_by: str
    assumption: str
    source: str
    trail: tuple[str, ...]

    @property
    def torque_comes(self) -> float:
        """How often the torque comes and goes in the life of the part. [-]"""
        return self.cycles if self.torque_cycles is None else self.torque_cycles

    def to_dict(self) -> dict[str, Any]:
        """Return all fields by name."""
        return asdict(self)


@dataclass(frozen=True, kw_only=True)
class VehicleLoads:
    """All load cases of a vehicle, and what its builder must know besides."""

    cases: tuple[LoadCase, ...]
    warnings: tuple[str, ...]

    def case(self, name: str) -> LoadCase:
        """Return the case of that name.

        Parameters
        ----------
        name : str
            A `LoadCase.name`.

        Returns
        -------
        LoadCase
            The case.

        Raises
        ------
        UnknownNameError
            If no case has that name.
        """
        for case in self.cases:
            if case.name == name:
                return case
        raise UnknownNameError("load case", name, [case.name for case in self.cases])

    def to_dict(self) -> dict[str, Any]:
        """Return cases and warnings as plain data."""
        return {"cases": [case.to_dict() for case in self.cases], "warnings": list(self.warnings)}

    def to_frame(self) -> pd.DataFrame:
        """One row per case, indexed by name, without the trail."""
        import pandas as pd

        rows = [case.to_dict() for case in self.cases]
        return pd.DataFrame(rows).drop(columns="trail").set_index("name")


def merged(*groups: VehicleLoads) -> VehicleLoads:
    """Put several groups of cases and warnings into one."""
    return VehicleLoads(
        cases=tuple(case for group in groups for case in group.cases),
        warnings=tuple(warning for group in groups for warning in group.warnings),
    )


def newton(force_n: float) -> str:
    """Write a force for a trail."""
    return f"{force_n:.1f} N"


def newton_metre(torque_nmm: float) -> str:
    """Write a torque for a trail."""
    return f"{torque_nmm / 1e3:.2f} N·m"


def percent(share: float) -> str:
    """Write a share for a trail."""
    return f"{100.0 * share:.3g} %"
