"""Which safety factor is asked of a part, from what happens to people if it breaks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from printplan.elements.safety import required_safety_factor
from printplan.job.schema import Part

__all__ = ["RequiredSafety", "danger_of", "required_safety"]

Danger = Literal["stops the vehicle", "may throw the rider"]

#: Roles whose break can take a wheel, the steering or what somebody holds on to.
_THROWING_ROLES = frozenset({"hub adapter", "clamp", "joint"})


@dataclass(frozen=True, kw_only=True)
class RequiredSafety:
    """The safety factor asked for, and why."""

    factor: float
    danger: Danger
    reason: str


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


def required_safety(part: Part) -> RequiredSafety:
    """Return the safety factor asked of `part` at the lower bound of strength on the hot day.

    Pugsley's factor with material 'fair' (home-printed; the lower bound of strength takes part of
    its scatter already), analysis 'good' and load control 'fair' (road loads are computed, riders
    are not controlled); danger to people 'not serious' where the vehicle stops, 'very serious'
    where the rider may be thrown.

    Sources
    -------
    [source: Pugsley safety-factor table as reproduced on a public engineering page]; the grading
    of a home-printed part is our choice.
    """
    danger = danger_of(part)
    if part.required_safety is not None:
        return RequiredSafety(
            factor=part.required_safety, danger=danger, reason="set in the job file"
        )
    throws = danger == "may throw the rider"
    pugsley = required_safety_factor(
        material="fair",
        analysis="good",
        load_control="fair",
        danger="very serious" if throws else "not serious",
    )
    reason = f"Pugsley: material fair, analysis good, load control fair; a break {danger}"
    return RequiredSafety(factor=pugsley.factor, danger=danger, reason=reason)
