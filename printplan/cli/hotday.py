"""``printplan hotday``: how hot a part gets on the worst summer day."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from printplan.cli.output import json_option, print_json, print_table, warn, write_files

if TYPE_CHECKING:
    from printplan.climate import DayCurve, Exposure, PartTemperature, Surroundings

__all__ = ["command"]

_HOURS_ABOVE_DEGC = (50.0, 60.0, 70.0)


def _quantity(unit: str) -> Any:
    """Return a click callback that reads a number with a unit."""

    def read(_ctx: click.Context, param: click.Parameter, text: str | None) -> float | None:
        from printplan.quantities import parse_quantity

        return None if text is None else parse_quantity(text, unit, param.opts[0])

    return read


def _png(_ctx: click.Context, _param: click.Parameter, text: str | None) -> Path | None:
    """Read the name of the picture's file."""
    from printplan.errors import InputError, one_line

    if text is None:
        return None
    path = Path(text)
    if path.suffix.lower() != ".png" or path.is_dir():
        raise InputError(
            one_line(f"--picture = {text!r}: expected the name of a file that ends in .png")
        )
    return path


def _day_of_year(_ctx: click.Context, _param: click.Parameter, text: str | None) -> float | None:
    """Read ``202``, ``07-21`` or ``2026-07-21``."""
    from printplan.errors import InputError, one_line

    if text is None:
        return None
    if text.isdecimal() and 1 <= int(text) <= 366:
        return float(text)
    try:
        # A year without a leap day stands in where none is given.
        day = date.fromisoformat(text if text.count("-") == 2 else f"2026-{text}")
    except ValueError:
        raise InputError(
            one_line(f"--day = {text!r}: expected a day of the year (202) or a date (07-21)")
        ) from None
    return float(day.timetuple().tm_yday)


@click.command(
    "hotday",
    short_help="Part temperature on the worst summer day.",
    epilog='Example: printplan hotday --place hot-dry --colour black --air "44 degC"',
)
@click.option(
    "--place",
    default="temperate",
    show_default=True,
    help="Kind of climate: temperate, warm, hot-dry or tropical.",
)
@click.option(
    "--severity",
    default="extreme",
    show_default=True,
    help="extreme: hottest day in some 20 years; summer: exceeded 35 h a year.",
)
@click.option("--air", callback=_quantity("degC"), help='Highest air temperature ("40 degC").')
@click.option("--dew-point", "dew_point", callback=_quantity("degC"), help="Dew point.")
@click.option("--irradiance", callback=_quantity("W/m**2"), help='Noon sun ("950 W/m^2").')
@click.option("--wind", callback=_quantity("m/s"), help='Air speed at the part ("1 m/s").')
@click.option("--latitude", type=float, help="Degrees, north positive; gives the day its length.")
@click.option("--day", callback=_day_of_year, help="Day of the year (202) or date (07-21).")
@click.option(
    "--shelter",
    default="sun",
    show_default=True,
    help="Where the part stands: sun, shade, 'closed vehicle', dashboard, 'metal box', …",
)
@click.option(
    "--colour", default="black", show_default=True, help="Colour; 'unknown' counts as black."
)
@click.option(
    "--face",
    default="200 mm",
    show_default=True,
    callback=_quantity("mm"),
    help="Side of the part or panel that the sun heats.",
)
@click.option("--tilt", default="0 deg", callback=_quantity("deg"), help="0 level, 90 upright.")
@click.option("--two-sided", is_flag=True, help="A thin plate that also cools at its back.")
@click.option(
    "--neighbour", callback=_quantity("degC"), help="Temperature of what the part is bolted to."
)
@click.option(
    "--neighbour-motor",
    "motor",
    metavar="DUTY",
    help="The part is bolted to a motor's case: light, hard or uncooled.",
)
@click.option(
    "--picture", callback=_png, metavar="FILE.png", help="Draw the day and the filaments' limits."
)
@json_option
def command(
    place: str,
    severity: str,
    air: float | None,
    dew_point: float | None,
    irradiance: float | None,
    wind: float | None,
    latitude: float | None,
    day: float | None,
    shelter: str,
    colour: str,
    face: float,
    tilt: float,
    two_sided: bool,
    neighbour: float | None,
    motor: str | None,
    picture: Path | None,
    as_json: bool,
) -> None:
    """Part temperature on the worst summer day.

    Prints the design value (light wind, colour as stated) and the upper bound (still air, aged
    colour, face turned to the sun), the heat balance behind it, what each filament bears and the
    course of the day.
    """
    from printplan.climate import (
        Exposure,
        MotorCase,
        day_curve,
        part_temperature,
        surroundings_of,
    )

    surroundings = surroundings_of(
        place,
        severity,
        air_degc=air,
        dew_point_degc=dew_point,
        irradiance_w_m2=irradiance,
        wind_m_s=wind,
        latitude_deg=latitude,
        day_of_year=day,
    )
    exposure = Exposure(
        shelter=shelter,
        colour=colour,
        face_mm=face,
        tilt_deg=tilt,
        two_sided=two_sided,
        neighbour_degc=neighbour,
        neighbours=() if motor is None else (MotorCase(duty=motor),),
    )
    part = part_temperature(surroundings, exposure)
    curve = day_curve(surroundings, exposure)
    hours = {f"{limit:.0f}": curve.hours_above(limit) for limit in _HOURS_ABOVE_DEGC}
    filaments = _filaments(part, curve)
    if picture is not None:
        title = f"Hot day, {place}, {severity}, air up to {part.air_degc:.0f} °C: "
        _draw(picture, title + _words(exposure), curve, part, filaments)
    if as_json:
        print_json(
            {"temperature": part, "day": curve, "hours_above_degc": hours, "filaments": filaments}
        )
        return
    _print_temperature(part)
    _print_filaments(filaments)
    _print_day(curve, surroundings, hours)
    if picture is not None:
        click.echo(f"picture: {picture}")
    for text in (*part.warnings, *curve.notes):
        warn(text)


def _words(exposure: Exposure) -> str:
    """Say where the part is, for the picture's title."""
    from printplan.climate import shelter

    touching = "".join(f", on {n.label}" for n in exposure.touching)
    return f"{exposure.colour} part {shelter(exposure.shelter).description}{touching}"


def _draw(
    picture: Path,
    title: str,
    curve: DayCurve,
    part: PartTemperature,
    filaments: list[dict[str, Any]],
) -> None:
    from printplan.cli.hotday_picture import hotday_picture
    from printplan.climate import day_curve

    upper = day_curve(part.surroundings, part.exposure, "upper")
    content = hotday_picture(curve, upper, filaments, title)
    write_files(picture.parent, {picture.name: content})


def _filaments(part: PartTemperature, curve: DayCurve) -> list[dict[str, Any]]:
    """Softening limits of every filament beside the part's temperature and its day."""
    from printplan.filament import load_table

    rows = []
    for filament in load_table():
        row: dict[str, Any] = {"grade": filament.grade}
        for use in ("sustained", "shape only"):
            limit = filament.softening_limit(use).limit_degc
            kind = use.replace(" ", "_")
            row[f"{kind}_limit_degc"] = limit
            row[kind] = _compare(part, limit)
            row[f"{kind}_hours_above"] = None if limit is None else curve.hours_above(limit)
        rows.append(row)
    return rows


def _compare(part: PartTemperature, limit_degc: float | None) -> str:
    if limit_degc is None:
        return "not known"
    if part.upper_degc <= limit_degc:
        return "yes"
    return "marginal" if part.design_degc <= limit_degc else "no"


def _print_temperature(part: PartTemperature) -> None:
    around = part.surroundings
    print_table(
        ("Temperature", "°C", "how"),
        [
            (
                "air",
                f"{part.air_degc:.1f}",
                f"dew point {around.dew_point_degc:.1f} °C, {around.irradiance_w_m2:.0f} W/m² "
                "on level ground",
            ),
            *(
                (
                    name,
                    f"{value:.1f}",
                    f"absorbed {b.absorbed_w_m2:.0f} = convection {b.convection_w_m2:.0f} + "
                    f"radiation {b.radiation_w_m2:.0f} W/m²; absorptance {b.absorptance:.2f}, "
                    f"wind {b.wind_m_s:.1f} m/s, air at the part {b.air_degc:.1f} °C",
                )
                for name, value, b in (
                    ("part, design", part.design_degc, part.design),
                    ("part, upper bound", part.upper_degc, part.upper),
                )
            ),
            *(
                ("neighbour", f"{n.design_degc:.1f}", f"{n.label}; {n.upper_degc:.1f} °C at worst")
                for n in part.neighbours
            ),
        ],
        numeric=(1,),
    )
    if part.governed_by == "neighbour":
        click.echo("The neighbour is hotter than sun and air would make the part; it governs.")
    for note in part.notes:
        click.echo(f"- {note}")
    click.echo()


def _print_filaments(rows: list[dict[str, Any]]) -> None:
    def limit(value: float | None) -> str:
        return "not known" if value is None else f"{value:.0f}"

    def hours(value: float | None) -> str:
        return "not known" if value is None else f"{value:.1f}"

    print_table(
        (
            *("Filament", "limit under lasting load, °C", "bears it", "h above"),
            *("limit for shape, °C", "keeps it", "h above"),
        ),
        [
            (
                row["grade"],
                limit(row["sustained_limit_degc"]),
                row["sustained"],
                hours(row["sustained_hours_above"]),
                limit(row["shape_only_limit_degc"]),
                row["shape_only"],
                hours(row["shape_only_hours_above"]),
            )
            for row in rows
        ],
        title="Softening only; whether strength is enough at that temperature is another check",
        numeric=(1, 3, 4, 6),
    )
    click.echo("marginal: the limit lies between design value and upper bound; h above: design day")
    click.echo()


def _print_day(curve: DayCurve, surroundings: Surroundings, hours: dict[str, float]) -> None:
    latitude, day = surroundings.latitude_deg, surroundings.day_of_year
    click.echo(f"Day {day:.0f} of the year at latitude {latitude:g}°, solar time, design value")
    fancy = sys.stdout.isatty() and "utf" in (sys.stdout.encoding or "").lower()
    for line in _chart(curve, part_mark="█" if fancy else "#", air_mark="·" if fancy else "."):
        click.echo(line)
    click.echo(f"peak {curve.peak_degc:.1f} °C at {_clock(curve.peak_h)}")
    click.echo("; ".join(f"above {limit} °C for {h:.1f} h" for limit, h in hours.items()))


def _clock(hour: float) -> str:
    minutes = round(hour * 60)
    return f"{minutes // 60}:{minutes % 60:02d}"


def _chart(curve: DayCurve, part_mark: str, air_mark: str) -> list[str]:
    """Draw part and air over the day, a column per half hour, a row per 5 K."""
    import numpy as np

    hours = np.arange(0.0, 24.01, 0.5)
    part = np.interp(hours, curve.time_h, curve.part_degc)
    air = np.interp(hours, curve.time_h, curve.air_degc)
    rows: dict[int, list[str]] = {}
    lowest, highest = (round(f(np.concatenate([part, air])) / 5.0) for f in (np.min, np.max))
    for level in range(lowest, highest + 1):
        rows[level] = [" "] * len(hours)
    for course, mark in ((air, air_mark), (part, part_mark)):
        for i, value in enumerate(course):
            rows[round(value / 5.0)][i] = mark
    lines = [f"{5 * level:4d} |{''.join(row)}".rstrip() for level, row in sorted(rows.items())]
    lines.reverse()
    axis = "".join(f"{h:<8d}" for h in range(0, 24, 4)) + "24 h"
    return [
        f"  °C  {part_mark} part  {air_mark} air",
        *lines,
        "     +" + "-" * len(hours),
        "      " + axis,
    ]
