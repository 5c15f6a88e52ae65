"""The form of the job file, table by table.

A key of the file is the alias (``wheel_diameter = "400 mm"``); the attribute carries the unit that
the program uses inside (``wheel_diameter_mm``). Ranges here are those of a sane job, so that a slip
of the unit is caught where it was made.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal, Self

from pydantic import Field, PrivateAttr, model_validator

from printplan.job.fields import (
    Irradiance,
    JobModel,
    Length,
    Mass,
    Money,
    MoneyPerHour,
    MoneyPerKilogramme,
    MoneyPerKilowattHour,
    Temperature,
    Whole,
    Wind,
)
from printplan.job.part_tables import Part
from printplan.job.vehicle_tables import Vehicle

__all__ = [
    "Climate",
    "HardwareItem",
    "Job",
    "Prices",
    "PrinterChoice",
    "Spool",
]


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
