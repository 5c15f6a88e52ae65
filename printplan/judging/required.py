"""Which safety factor is asked of a part, from what happens to people if it breaks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from printplan.elements.safety import required_safety_factor
from printplan.filament.demand import Demand
from printplan.job.part_tables import Part

if TYPE_CHECKING:
    from printplan.vehicle import VehicleLoads

__all__ = ["DRIVE_ROLES", "RequiredSafety", "danger_of", "required_safety"]

Danger = Literal["stops the vehicle", "may throw the rider"]

#: Roles whose break can take a wheel, the steering or what somebody holds on to.
_THROWING_ROLES = frozenset({"hub adapter", "clamp", "joint"})
#: Roles that the drive loads, whose torque the motor's current limit caps.
DRIVE_ROLES = frozenset(
    {"side gear", "planet pinion", "housing", "pulley", "hub adapter", "motor mount"}
)


@dataclass(frozen=True, kw_only=True)
class RequiredSafety:
    """The safety factor asked for, and why.

    Attributes
    ----------
    factor : float
        On lower-bound strength.
    bearing : float
        On the allowable pressure of a harder body, which holds a margin of its own.
    danger : str
        What a break of the part does.
    reason : str
        Where the factors come from.
    """

    factor: float
    bearing: float
    danger: Danger
    reason: str

    def asked_of(self, demand: Demand) -> float:
        """Return the factor asked of one demand: a fault's own, less where pressure is allowed."""
        if demand.asked is not None:
            return demand.asked
        return self.bearing if demand.direction == "bearing" else self.factor


def danger_of(part: Part) -> Danger:
    """Say what a break of `part` does: as the job file has it, else by role.

    Sources
    -------
    derived: a broken gear, pulley or bracket stops the vehicle; a broken hub, steering clamp or
    frame joint may throw the rider.
    """
    if part.if_it_breaks is not None:
        return part.if_it_breaks
    return "may throw the rider" if part.role in _THROWING_ROLES else "stops the vehicle"


def required_safety(part: Part, loads: VehicleLoads | None = None) -> RequiredSafety:
    """Return the safety factor asked of `part` at the lower bound of strength on the hot day.

    Pugsley's factor with material 'good' and analysis 'good': the lower bound of strength, taken at
    its direction, temperature and duration, stands in for the scatter of home printing (against
    typical strength the factor is some 1.5 times larger, the 2.4 and more that fair material asks).
    Load control 'good' in the drive, where the motor's current limit caps the torque, and 'fair'
    elsewhere and where a brake's torque passes the part, since riders, roads and grip set those.
    Danger to people 'not serious' where the vehicle stops, 'very serious' where the rider may be
    thrown.

    Sources
    -------
    [source: Pugsley safety-factor table as reproduced on a public engineering page]; the grading
    of a home-printed part is our choice.
    """
    danger = danger_of(part)
    throws = danger == "may throw the rider"
    driven = part.role in DRIVE_ROLES and not _braked(part, loads)
    pugsley = required_safety_factor(
        material="good",
        analysis="good",
        load_control="good" if driven else "fair",
        danger="very serious" if throws else "not serious",
    )
    if part.required_safety is not None:
        return RequiredSafety(
            factor=part.required_safety,
            bearing=max(1.0, part.required_safety / pugsley.first),
            danger=danger,
            reason="set in the job file",
        )
    control = "good (the motor's current limit)" if driven else "fair"
    reason = f"Pugsley: material and analysis good, load control {control}; a break {danger}"
    return RequiredSafety(
        factor=pugsley.factor, bearing=pugsley.second, danger=danger, reason=reason
    )


def _braked(part: Part, loads: VehicleLoads | None) -> bool:
    """Whether the torque of a brake passes the part."""
    if loads is None:
        return False
    if part.role == "hub adapter":
        driven = {c.axle for c in loads.cases if c.housing_torque_nmm > 0}
        return part.carries_brake and any(
            c.by_brake and c.wheel_torque_nmm > 0 and c.axle in driven for c in loads.cases
        )
    return any(c.by_brake and c.housing_torque_nmm > 0 for c in loads.cases)
