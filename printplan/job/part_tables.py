"""The job file's tables ``[[parts]]``: mesh, role, exposure, features and loads of one part."""

from __future__ import annotations

import math
import re
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from printplan.job.fields import (
    Angle,
    Area,
    Count,
    Duration,
    Fraction,
    JobModel,
    Length,
    Mass,
    Position,
    SignedForce,
    SignedTorque,
    Slope,
    Speed,
    Temperature,
    Whole,
)

__all__ = [
    "BeltTeeth",
    "BoltCircle",
    "BrakeHeat",
    "Exposure",
    "Gear",
    "HotAxle",
    "Part",
    "PartLoad",
    "PinSeat",
    "RecipeChoice",
    "Role",
    "Socket",
]


Role = Literal[
    "side gear",
    "planet pinion",
    "housing",
    "pulley",
    "hub adapter",
    "motor mount",
    "bracket",
    "clamp",
    "hook",
    "joint",
    "other",
]

Danger = Literal["stops the vehicle", "may throw the rider"]
Vector = tuple[float, float, float]


class RecipeChoice(JobModel):
    """How a part is printed; what is left out comes from the recipe named in `like`."""

    like: str = "sturdy"
    layer_height_mm: Length | None = Field(None, alias="layer_height")
    line_width_mm: Length | None = Field(None, alias="line_width")
    wall_count: Annotated[Whole, Field(ge=1, le=50)] | None = None
    top_skins: Annotated[Whole, Field(ge=0, le=100)] | None = None
    bottom_skins: Annotated[Whole, Field(ge=0, le=100)] | None = None
    infill_fraction: Fraction | None = Field(None, alias="infill")
    infill_pattern: str | None = None
    supports: Literal["none", "where needed"] | None = None


class BrakeHeat(JobModel):
    """A brake beside the part that holds the vehicle back on a long descent."""

    slope: Slope
    speed_mm_s: Speed = Field(alias="speed")
    duration_s: Duration = Field(alias="duration")
    disc_mass_g: Mass = Field(alias="disc_mass")
    cooled_area_mm2: Area = Field(alias="cooled_area")
    share: Fraction = 1.0


class HotAxle(JobModel):
    """A metal axle that leads the heat of motor or brake into the part's bore."""

    from_: Literal["motor", "brake"] = Field(alias="from")
    length_mm: Length = Field(alias="length")
    diameter_mm: Length = Field(alias="diameter")


class Exposure(JobModel):
    """What the part meets where it sits."""

    shelter: str = "sun"
    colour: str = "black"
    face_mm: Length = Field(
        200.0, alias="face", description="side of the panel or part that the sun heats"
    )
    tilt_deg: Annotated[Angle, Field(le=90)] = Field(
        0.0, alias="tilt", description="of that face: 0 level, 90 upright"
    )
    two_sided: bool = False
    neighbour_degc: Temperature | None = Field(
        None, alias="neighbour", description="temperature of what the part is bolted to"
    )
    motor_case: Literal["light", "hard", "uncooled"] | None = Field(
        None, description="bolted to a motor that works so hard"
    )
    brake: BrakeHeat | None = None
    hot_axle: HotAxle | None = None

    @model_validator(mode="after")
    def _heat_comes_from_somewhere(self) -> Self:
        if self.hot_axle is not None:
            source = self.motor_case if self.hot_axle.from_ == "motor" else self.brake
            if source is None:
                key = "motor_case" if self.hot_axle.from_ == "motor" else "brake"
                raise ValueError(f"'hot_axle' from the {self.hot_axle.from_} needs {key!r} too")
        return self


class Gear(JobModel):
    """A straight bevel gear."""

    teeth: Whole = Field(ge=6, le=400)
    mate_teeth: Whole = Field(ge=6, le=400)
    module_mm: Length = Field(alias="module")
    face_width_mm: Length = Field(alias="face_width")
    pressure_angle_deg: Angle = Field(20.0, alias="pressure_angle")
    profile_shift: Annotated[float, Field(ge=-1, le=1)] = 0.0


class Socket(JobModel):
    """A hexagon or square socket that carries the axle's torque."""

    shape: Literal["hexagon", "square"] = "hexagon"
    across_flats_mm: Length = Field(alias="across_flats")
    length_mm: Length = Field(alias="length")
    hub_diameter_mm: Length = Field(alias="hub_diameter")
    play_factor: Annotated[float, Field(ge=1, le=3)] = 1.75

    @model_validator(mode="after")
    def _corners_inside_hub(self) -> Self:
        sides = 6 if self.shape == "hexagon" else 4
        corners_mm = self.across_flats_mm / math.cos(math.pi / sides)
        if corners_mm >= self.hub_diameter_mm:
            raise ValueError(
                f"'across_flats' makes {corners_mm:.4g} mm over the corners, which 'hub_diameter' "
                f"({self.hub_diameter_mm:g} mm) does not enclose"
            )
        return self


class BoltCircle(JobModel):
    """Screws on a circle that carry torque."""

    screws: str = Field(description="ISO designation, such as 'ISO 4762 M5x30'")
    count: Whole = Field(ge=2, le=48)
    pitch_diameter_mm: Length = Field(alias="pitch_diameter")
    screw_diameter_mm: Length = Field(alias="screw_diameter")
    thickness_mm: Length = Field(alias="thickness", description="of the printed flange")

    @model_validator(mode="after")
    def _screws_have_room(self) -> Self:
        named = re.search(r"\bM(\d+(?:\.\d+)?)", self.screws)
        if named and float(named[1]) != self.screw_diameter_mm:
            raise ValueError(
                f"'screws' names M{named[1]}, 'screw_diameter' says {self.screw_diameter_mm:g} mm"
            )
        apart_mm = self.pitch_diameter_mm * math.sin(math.pi / self.count)
        if apart_mm <= self.screw_diameter_mm:
            raise ValueError(
                f"'count' and 'pitch_diameter' put the screws {apart_mm:.3g} mm apart, less than "
                f"'screw_diameter' ({self.screw_diameter_mm:g} mm)"
            )
        return self


class PinSeat(JobModel):
    """The bores in which the cross pins of a differential sit."""

    pin_diameter_mm: Length = Field(alias="pin_diameter")
    length_mm: Length = Field(alias="length", description="of the bore in the plastic")
    radius_mm: Length | None = Field(
        None, alias="radius", description="from the axle to the middle of the bore"
    )


class BeltTeeth(JobModel):
    """The teeth of a printed belt pulley."""

    teeth: Whole = Field(ge=8, le=1000)
    pitch_mm: Length = Field(alias="pitch")
    root_width_mm: Length = Field(alias="root_width")
    face_width_mm: Length = Field(alias="face_width")


class PartLoad(JobModel):
    """A force and moment on a part without a closed form of its own, in the mesh file's frame.

    Give `force` as three components, or say which force of the vehicle acts (`force_of`) and its
    direction; likewise `moment`, or `moment_of` with `axis`.
    """

    name: str
    at_mm: Position = Field(alias="at", description="where the force acts")
    held_at_mm: Position = Field(alias="held_at", description="where the part is held")
    line_through_mm: Position | None = Field(
        None,
        alias="line_through",
        description="a place on the force's line of action, where that passes `at` by (a shaft)",
    )
    force_n: tuple[SignedForce, SignedForce, SignedForce] | None = Field(None, alias="force")
    force_of: Literal["belt shaft force", "belt force", "wheel load"] | None = None
    direction: Vector | None = None
    moment_nmm: tuple[SignedTorque, SignedTorque, SignedTorque] | None = Field(None, alias="moment")
    moment_of: Literal["motor torque", "wheel torque", "housing torque"] | None = None
    axis: Vector | None = None
    share: Annotated[float, Field(gt=0, le=1)] = Field(
        1.0, description="share of the vehicle's force that this part carries"
    )
    duration: Literal["single", "repeated", "sustained"] = "single"
    cycles: Count = 1.0
    shock_factor: Annotated[float, Field(ge=1, le=10)] = 1.0

    @model_validator(mode="after")
    def _complete(self) -> Self:
        if (
            self.force_n is None
            and self.force_of is None
            and not (self.moment_nmm or self.moment_of)
        ):
            raise ValueError("a load needs 'force', 'force_of', 'moment' or 'moment_of'")
        if self.force_n is not None and self.force_of is not None:
            raise ValueError("give 'force' or 'force_of', not both")
        if self.force_of is not None and not _is_direction(self.direction):
            raise ValueError("'force_of' needs 'direction', three numbers such as [0, 0, -1]")
        if self.moment_of is not None and not _is_direction(self.axis):
            raise ValueError("'moment_of' needs 'axis', three numbers such as [0, 0, 1]")
        if self.duration != "repeated" and self.cycles != 1.0:
            raise ValueError("'cycles' belongs to duration = 'repeated' only")
        if self.at_mm == self.held_at_mm:
            raise ValueError("'at' and 'held_at' are the same place")
        given = [v for v in (self.force_n, self.moment_nmm) if v is not None]
        if given and not any(map(any, given)) and not (self.force_of or self.moment_of):
            raise ValueError("'force' and 'moment' are nothing but zeros")
        return self


def _is_direction(vector: Vector | None) -> bool:
    return vector is not None and 0 < sum(x * x for x in vector) < 1e12


class Part(JobModel):
    """One printed part of the set."""

    name: str = Field(min_length=1, max_length=120)
    mesh: str = Field(min_length=1, description="mesh file, beside the job file")
    unit: str = Field("mm", description="unit of a mesh file that has none")
    quantity: Annotated[Whole, Field(ge=1, le=1000)] = 1
    role: Role = "other"
    up: Literal["+x", "-x", "+y", "-y", "+z", "-z"] | Vector = Field(
        "+z", description="direction of the file that points up on the build platform"
    )
    recipe: Literal["choose"] | RecipeChoice = "choose"
    exposure: Exposure = Field(default_factory=lambda: Exposure.model_validate({}))
    if_it_breaks: Danger | None = Field(
        None, description="left out: by role (a hub, clamp or joint may throw the rider)"
    )
    required_safety: Annotated[float, Field(ge=1, le=20)] | None = None
    filaments: list[str] | None = Field(None, description="left out: the job's filaments")
    carries_brake: bool = Field(
        True, description="hub adapter: a brake at the wheel is bolted to it, not to the wheel"
    )
    gear: Gear | None = None
    socket: Socket | None = None
    bolt_circle: BoltCircle | None = None
    pin_seat: PinSeat | None = None
    belt_teeth: BeltTeeth | None = None
    loads: list[PartLoad] = Field(default_factory=list)

    @model_validator(mode="after")
    def _fits_role(self) -> Self:
        needs = {
            "side gear": ("gear", "socket"),
            "planet pinion": ("gear", "pin_seat"),
            "housing": ("bolt_circle", "pin_seat"),
            "pulley": ("belt_teeth", "bolt_circle"),
            "hub adapter": ("socket", "bolt_circle"),
        }.get(self.role, ())
        missing = [key for key in needs if getattr(self, key) is None]
        if missing:
            raise ValueError(
                f"a part with role {self.role!r} needs the table"
                f"{'s' if len(missing) > 1 else ''} {' and '.join(map(repr, missing))}"
            )
        if self.gear is not None and self.pin_seat is not None:
            root_mm = self.gear.module_mm * (self.gear.teeth - 2.5)
            if self.pin_seat.pin_diameter_mm >= root_mm:
                raise ValueError(
                    f"'pin_diameter' ({self.pin_seat.pin_diameter_mm:g} mm) leaves nothing of a "
                    f"gear of {root_mm:g} mm over the roots"
                )
        return self
