"""The form of the job file, table by table.

A key of the file is the alias (``wheel_diameter = "400 mm"``); the attribute carries the unit that
the program uses inside (``wheel_diameter_mm``). Ranges here are those of a sane job, so that a slip
of the unit is caught where it was made.
"""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Annotated, Literal, Self

from pydantic import Field, PrivateAttr, model_validator

from printplan.job.fields import (
    Amperes,
    Angle,
    Area,
    Count,
    Duration,
    Fraction,
    Irradiance,
    JobModel,
    Length,
    Mass,
    Money,
    MoneyPerHour,
    MoneyPerKilogramme,
    MoneyPerKilowattHour,
    Ohms,
    Position,
    Power,
    Ratio,
    SignedForce,
    SignedTorque,
    Slope,
    Speed,
    Stiffness,
    Temperature,
    TorqueConstant,
    Volts,
    Whole,
    Wind,
)

__all__ = [
    "Belt",
    "BeltTeeth",
    "BoltCircle",
    "Brake",
    "BrakeHeat",
    "Climate",
    "Differential",
    "Exposure",
    "Gear",
    "HardwareItem",
    "HotAxle",
    "Job",
    "Motor",
    "Part",
    "PartLoad",
    "PinSeat",
    "Prices",
    "PrinterChoice",
    "RecipeChoice",
    "Role",
    "Socket",
    "Spool",
    "Vehicle",
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


class Climate(JobModel):
    """Where the vehicle stands on its worst summer day."""

    place: str = Field("temperate", description="temperate, warm, hot-dry or tropical")
    severity: Literal["extreme", "summer"] = Field(
        "extreme", description="extreme: hottest day in some 20 years; summer: exceeded 35 h a year"
    )
    air_degc: Temperature | None = Field(None, alias="air")
    dew_point_degc: Temperature | None = Field(None, alias="dew_point")
    irradiance_w_m2: Irradiance | None = Field(None, alias="irradiance")
    wind_m_s: Wind | None = Field(None, alias="wind")


class Motor(JobModel):
    """A direct-current motor with its gearbox; torques of the gearbox output are derived."""

    rated_power_w: Power | None = Field(None, alias="rated_power")
    torque_constant_nmm_a: TorqueConstant = Field(alias="torque_constant")
    resistance_ohm: Ohms = Field(alias="resistance")
    voltage_v: Volts = Field(alias="voltage")
    current_limit_a: Amperes = Field(alias="current_limit")
    gear_ratio: Ratio = 1.0
    efficiency: Fraction = 0.85


class Belt(JobModel):
    """The toothed belt between motor and axle."""

    pitch_mm: Length = Field(alias="pitch")
    motor_teeth: Whole = Field(ge=8, le=500)
    driven_teeth: Whole = Field(ge=8, le=1000)
    wrap_deg: Angle = Field(150.0, alias="wrap")
    preload_share: Fraction = Field(0.2, description="slack side force over effective force")


class Differential(JobModel):
    """The differential in the driven axle."""

    locking_value: Fraction = Field(
        0.1, description="(greater - lesser wheel torque) / their sum: 0 open, 1 locked"
    )
    pinions: Whole = Field(2, ge=2, le=6)
    load_sharing: Ratio | None = Field(
        None, description="greatest over mean pinion load; left out: by number of pinions"
    )


class Brake(JobModel):
    """Where one brake sits."""

    place: Literal["wheels", "housing", "motor", "one half axle"] = "wheels"
    axle: Literal["front", "rear", "all"] | None = Field(
        None, description="left out: the driven axle"
    )


class Vehicle(JobModel):
    """Masses, wheels, drive and brake."""

    empty_mass_g: Mass = Field(alias="empty_mass")
    rider_mass_g: Mass = Field(alias="rider_mass")
    load_mass_g: Mass = Field(0.0, alias="load_mass")
    wheelbase_mm: Length = Field(alias="wheelbase")
    track_mm: Length = Field(alias="track")
    front_wheels: Literal[1, 2] = 2
    rear_wheels: Literal[1, 2] = 2
    centre_behind_front_mm: Length = Field(
        alias="centre_behind_front", description="centre of mass behind the front axle, loaded"
    )
    centre_height_mm: Length = Field(alias="centre_height")
    driven: Literal["rear", "front", "all"] = "rear"
    wheel_diameter_mm: Length = Field(alias="wheel_diameter")
    peak_grip: Ratio = 1.0
    rolling_resistance: Fraction = 0.02
    slope: Slope = Field(0.1, description="steepest climb, rise over run")
    speed_mm_s: Speed = Field(alias="speed")
    tyre_stiffness_n_mm: Stiffness | None = Field(None, alias="tyre_stiffness")
    kerb_height_mm: Length | None = Field(None, alias="kerb_height")
    life_distance_mm: Length = Field(
        1.0e9, alias="life_distance", description="way the parts must last, such as '1000 km'"
    )
    kerb_speed_mm_s: Speed | None = Field(
        None, alias="kerb_speed", description="left out: the travelling speed"
    )
    climbing_share: Fraction = Field(0.5, description="share of the way that goes uphill")
    starts_per_km: Count = Field(10.0, description="full-power starts per kilometre")
    motor: Motor
    belt: Belt | None = None
    further_reduction: Ratio = Field(1.0, description="ratio between belt and axle, if any")
    differential: Differential | None = None
    brakes: list[Brake] = Field(
        default_factory=lambda: [Brake.model_validate({})], description="every brake"
    )


class PrinterChoice(JobModel):
    """One printer: a generic class, with what is different about this one."""

    name: str = Field(min_length=1, max_length=80)
    class_: str = Field(alias="class")
    build_volume_mm: tuple[Length, Length, Length] | None = Field(None, alias="build_volume")
    enclosed: bool | None = None
    hardened_nozzle: bool | None = None
    can_dry: bool = Field(False, description="filament can be dried before and while printing")
    nozzle_bore_mm: Length | None = Field(None, alias="nozzle_bore")


class Spool(JobModel):
    """A spool in stock."""

    grade: str
    mass_left_g: Mass = Field(alias="mass_left")
    colour: str | None = None


class Prices(JobModel):
    """What things cost here."""

    electricity: MoneyPerKilowattHour | None = None
    labour: MoneyPerHour | None = None
    filament: dict[str, MoneyPerKilogramme] = Field(default_factory=dict)
    spool_mass_g: Mass = Field(1000.0, alias="spool_mass")


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


class HardwareItem(JobModel):
    """Something bought: bearing, screw, nut, pin, bar."""

    designation: str = Field(
        min_length=1, max_length=120, description="such as 'ISO 15 ball bearing 6008'"
    )
    quantity: Annotated[Whole, Field(ge=1, le=10000)] = 1
    for_: str | None = Field(None, alias="for")
    price: Money | None = None


class Job(JobModel):
    """A job: one vehicle's printed parts, and where and how they are made and used."""

    title: str = Field(min_length=1, max_length=200)
    currency: str = Field("EUR", pattern=r"^[A-Z]{3}$", description="ISO 4217 code")
    filaments: list[str] = Field(min_length=1, description="grades to consider")
    own_filaments: list[str] = Field(
        default_factory=list, description="files with grades of one's own, beside the job file"
    )
    nylon_state: Literal["conditioned", "dry"] = "conditioned"
    climate: Climate = Field(default_factory=lambda: Climate.model_validate({}))
    vehicle: Vehicle | None = None
    prices: Prices = Field(default_factory=lambda: Prices.model_validate({}))
    printers: list[PrinterChoice] = Field(min_length=1)
    spools: list[Spool] = Field(default_factory=list)
    parts: list[Part] = Field(min_length=1, max_length=1000)
    hardware: list[HardwareItem] = Field(default_factory=list)

    _file: Path = PrivateAttr(default=Path("job.toml"))

    @property
    def file(self) -> Path:
        """The file that the job was read from."""
        return self._file

    def mesh_path(self, part: Part) -> Path:
        """Where the mesh of `part` lies: beside the job file unless the path is absolute."""
        return self._file.parent / part.mesh

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        for what, names in (
            ("part", [p.name for p in self.parts]),
            ("printer", [p.name for p in self.printers]),
        ):
            twice = {n for n in names if names.count(n) > 1}
            if twice:
                raise ValueError(f"two {what}s have the name {min(twice)!r}")
        money = [self.prices.electricity, self.prices.labour, *self.prices.filament.values()]
        money += [item.price for item in self.hardware]
        for amount in money:
            if amount is not None and amount[1] != self.currency:
                raise ValueError(
                    f"a price is in {amount[1]}, but the job's currency is {self.currency}"
                )
        if self.vehicle is None:
            needy = [
                p.name
                for p in self.parts
                if p.role in ("side gear", "planet pinion", "housing", "pulley", "hub adapter")
                or any(x.force_of or x.moment_of for x in p.loads)
            ]
            if needy:
                raise ValueError(f"part {needy[0]!r} takes its load from a [vehicle] table")
        _must_mesh(self.parts)
        if self.vehicle is not None:
            _must_fit_drive(self.parts, self.vehicle)
        return self


def _must_mesh(parts: list[Part]) -> None:
    """Every side gear meets every planet pinion: equal module and angle, each names the other."""
    wheels = [(p.name, p.gear) for p in parts if p.role == "side gear" and p.gear]
    planets = [(p.name, p.gear) for p in parts if p.role == "planet pinion" and p.gear]
    for wheel, a in wheels:
        for planet, b in planets:
            for key, here, there in (
                ("module", a.module_mm, b.module_mm),
                ("pressure_angle", a.pressure_angle_deg, b.pressure_angle_deg),
                ("mate_teeth against teeth", a.mate_teeth, b.teeth),
                ("teeth against mate_teeth", a.teeth, b.mate_teeth),
            ):
                if here != there:
                    raise ValueError(
                        f"{wheel!r} and {planet!r} do not mesh: {key} {here:g} and {there:g}"
                    )


def _must_fit_drive(parts: list[Part], vehicle: Vehicle) -> None:
    """Ask for the table of belt or differential that a part takes its load from, and compare."""
    for part in parts:
        if vehicle.differential is None and part.role in ("side gear", "planet pinion", "housing"):
            raise ValueError(f"part {part.name!r} takes its load from a [vehicle.differential]")
        if part.role != "pulley" or part.belt_teeth is None:
            continue
        belt, own = vehicle.belt, part.belt_teeth
        if belt is None:
            raise ValueError(f"part {part.name!r} takes its load from a [vehicle.belt]")
        if own.pitch_mm != belt.pitch_mm or own.teeth not in (belt.driven_teeth, belt.motor_teeth):
            raise ValueError(
                f"part {part.name!r} has {own.teeth} teeth of {own.pitch_mm:g} mm, the belt drive "
                f"{belt.motor_teeth} and {belt.driven_teeth} of {belt.pitch_mm:g} mm"
            )
