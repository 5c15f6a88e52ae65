"""``printplan materials``: the filament table, and where each value comes from."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_args

import click

from printplan.cli.output import json_option, print_json, print_table, warn
from printplan.filament.demand import Direction, Duration

if TYPE_CHECKING:
    from printplan.filament import (
        Evidence,
        Filament,
        FilamentTable,
        Remark,
        Retention,
        SofteningLimit,
        Source,
        Value,
    )

__all__ = ["command"]

extra_option = click.option(
    "--extra",
    multiple=True,
    type=click.Path(path_type=Path),
    help="A grade file of your own; may be given more than once.",
)


state_option = click.option(
    "--state", type=click.Choice(["dry", "conditioned"]), help="Moisture of a nylon."
)


@click.group(
    "materials",
    invoke_without_command=True,
    epilog="Example: printplan materials show petg",
)
@extra_option
@json_option
@click.pass_context
def command(ctx: click.Context, extra: tuple[Path, ...], as_json: bool) -> None:
    """Show the filament table and where values come from."""
    from printplan.filament import load_table

    if as_json and ctx.invoked_subcommand is not None:
        raise click.UsageError(f"put --json after {ctx.invoked_subcommand!r}", ctx)
    ctx.obj = load_table(extra=extra)
    if ctx.invoked_subcommand is None:
        _print_overview(ctx.obj, as_json)


@command.command("show", epilog="Example: printplan materials show pa6 --json")
@click.argument("grade")
@json_option
@click.pass_obj
def show(table: FilamentTable, grade: str, as_json: bool) -> None:
    """Show every value of GRADE with unit, range, condition and origin."""
    filament = table.get(grade)
    sources = _sources(table, filament)
    if as_json:
        print_json({**filament.to_dict(), "sources": sources})
        return
    click.echo(f"{filament.name} ({filament.grade}{_own(filament)}), {filament.polymer_class}")
    click.echo(filament.summary)
    _print_handling(filament)
    _print_values("Design values", filament.values)
    _print_curves(filament.retentions)
    if filament.alternatives:
        _print_values("What other sources say", filament.alternatives)
    for remark in filament.remarks:
        click.echo(f"{remark.text} [{remark.label}: {', '.join(remark.citations)}]")
    if filament.remarks:
        click.echo()
    print_table(
        ("source", "what", "read"),
        [(key, source.text, source.read) for key, source in sources.items()],
        title="Sources",
    )


@command.command(
    "strength",
    epilog='Example: printplan materials strength petg --at "60 degC" --duration sustained',
)
@click.argument("grade")
@click.option("--at", "temperature", default="23 degC", show_default=True, help="Temperature.")
@click.option(
    "--direction",
    type=click.Choice(get_args(Direction)),
    help="Kind of stress. Default: all of them.",
)
@click.option(
    "--duration",
    type=click.Choice(get_args(Duration)),
    default="single",
    show_default=True,
    help="How long or how often the load acts.",
)
@click.option("--cycles", type=float, help="Number of loads, for --duration repeated.")
@click.option("--hours", type=float, help="How long it stands, for --duration sustained.")
@state_option
@json_option
@click.pass_obj
def strength(
    table: FilamentTable,
    grade: str,
    temperature: str,
    direction: Direction | None,
    duration: Duration,
    cycles: float | None,
    hours: float | None,
    state: str | None,
    as_json: bool,
) -> None:
    """Work out the strength of GRADE for one kind of load, factor by factor."""
    from printplan.filament import evidence_of
    from printplan.quantities import parse_quantity

    if hours is not None and duration != "sustained":
        raise click.UsageError("--hours goes with --duration sustained")
    if (duration == "repeated") != (cycles is not None):
        raise click.UsageError("--cycles goes with --duration repeated, and is needed there")
    filament = table.get(grade)
    asked = [direction] if direction else list(get_args(Direction))
    degc = parse_quantity(temperature, "degC", "--at")
    load = {"duration": duration, "cycles": cycles or 1.0, "state": state, "hours": hours}
    found = [
        filament.strength(one, degc, bound=bound, **load)  # type: ignore[arg-type]
        for one in asked
        for bound in ("lower", "typical")
    ]
    evidence = {
        one: evidence_of(filament, one, degc, **load)  # type: ignore[arg-type]
        for one in asked
    }
    limit = filament.softening_limit(
        "sustained" if duration == "sustained" else "short", state=state
    )
    if as_json:
        print_json({"strengths": found, "evidence": evidence, "softening_limit": limit})
        return
    rows = [
        (
            s.direction,
            s.bound,
            f"{s.base_mpa:.1f}",
            " × ".join(f"{name} {f.value:.2f}" for name, f in s.factors.items()),
            f"{s.strength_mpa:.2f}",
        )
        for s in found
    ]
    columns = ("direction", "bound", "base, MPa", "factors", "strength, MPa")
    title = f"{filament.name} at {found[0].temperature_degc:g} °C, {duration} load"
    if found[0].state:
        title += f", {found[0].state}"
    print_table(columns, rows, title=title, numeric=(2, 4))
    _print_limit(limit)
    _print_evidence(evidence)
    for note in dict.fromkeys(note for s in found for note in s.notes):
        warn(note)


@command.command(
    "creep", epilog='Example: printplan materials creep pc --hours 1000 --at "40 degC"'
)
@click.argument("grade")
@click.option("--hours", type=float, default=1000.0, show_default=True, help="Time under load.")
@click.option("--at", "temperature", default="23 degC", show_default=True, help="Temperature.")
@state_option
@json_option
@click.pass_obj
def creep(
    table: FilamentTable,
    grade: str,
    hours: float,
    temperature: str,
    state: str | None,
    as_json: bool,
) -> None:
    """Show how far GRADE gives way under a load that stays."""
    from printplan.quantities import parse_quantity

    filament = table.get(grade)
    degc = parse_quantity(temperature, "degC", "--at")
    lower, typical = (
        filament.creep_modulus(hours, degc, bound=bound, state=state)
        for bound in ("lower", "typical")
    )
    if as_json:
        print_json({"lower": lower, "typical": typical})
        return
    click.echo(
        f"{filament.name} after {hours:g} h at {degc:g} °C: creep modulus "
        f"{lower.modulus_mpa:.0f} to {typical.modulus_mpa:.0f} MPa (lower bound to typical), "
        f"deflection × {typical.deflection_growth:.1f} to {lower.deflection_growth:.1f}"
    )
    click.echo(f"[{typical.label}: {typical.source}]")
    for note in typical.notes:
        warn(note)


@command.command("clamp", epilog='Example: printplan materials clamp asa --at "55 degC"')
@click.argument("grade")
@click.option("--at", "temperature", required=True, help="Temperature of the part on the hot day.")
@click.option("--hours", type=float, help="Time at that temperature. Default: 300 h.")
@state_option
@json_option
@click.pass_obj
def clamp(
    table: FilamentTable,
    grade: str,
    temperature: str,
    hours: float | None,
    state: str | None,
    as_json: bool,
) -> None:
    """Say what a bolt through GRADE keeps of its preload when hot, and what helps."""
    from printplan.filament import clamp_advice
    from printplan.quantities import parse_quantity

    degc = parse_quantity(temperature, "degC", "--at")
    advice = clamp_advice(table.get(grade), degc, hours=hours, state=state)
    if as_json:
        print_json(advice)
        return
    click.echo(advice.rule)
    for remedy in advice.remedies:
        click.echo(f"- {remedy}")
    click.echo(f"Origin: {advice.source}")
    for note in advice.notes:
        warn(note)


def _print_limit(limit: SofteningLimit) -> None:
    if limit.limit_degc is None:
        click.echo(f"Softening limit: {limit.governing}")
    else:
        click.echo(f"Softening limit: {limit.limit_degc:.0f} °C ({limit.governing})")


def _print_evidence(evidence: dict[Direction, Evidence]) -> None:
    """Print the width of each strength, then each weak point once with what it touches."""
    for direction, found in evidence.items():
        click.echo(f"{direction}: {found.text}")
    points: dict[str, list[str]] = {}
    for direction, found in evidence.items():
        for point in found.weak_points:
            points.setdefault(point, []).append(direction)
    for point, touched in points.items():
        every = len(touched) == len(evidence)
        click.echo(f"weak: {point}" + ("" if every else f" [{', '.join(touched)}]"))


def _print_handling(filament: Filament) -> None:
    from printplan.filament import outdoor

    for line in filament.needs.advice():
        click.echo(f"- {line}")
    weather = outdoor(filament, True, "unknown")
    for line in (f"outdoors: {weather.text}", *weather.notes):
        click.echo(f"- {line}")
    click.echo()


def _own(filament: Filament) -> str:
    """Mark a grade that comes from a file of the user."""
    if not filament.own:
        return ""
    if filament.based_on == filament.grade:
        return ", own values over the shipped ones"
    return ", own" + (f", based on {filament.based_on}" if filament.based_on else "")


def _print_overview(table: FilamentTable, as_json: bool) -> None:
    frame = table.to_frame()
    if as_json:
        print_json({"grades": frame.to_dict(orient="records")})
        return
    columns = (
        *("grade", "class", "density\ng/cm³", "strength in layer\nMPa", "across\nMPa"),
        *("glass\n°C", "deflection\n0.45/1.8, °C", "price\nEUR/kg", "needs"),
    )
    print_table(
        columns,
        [_overview_row(row) for row in frame.to_dict(orient="records")],
        title="Strength at 23 °C, lower bound to typical; nylons conditioned",
        numeric=(2, 3, 4, 5, 6, 7),
    )
    click.echo(
        "Coupon strengths, not design allowables. Origin of every value: "
        "printplan materials show GRADE"
    )


def _overview_row(row: dict[Any, Any]) -> tuple[str, ...]:
    needs = [f"{row['nozzle_degc']:.0f}/{row['bed_degc']:.0f} °C"]
    if row["enclosure"] == "needed":
        needs.append("enclosure")
    if row["hardened_nozzle"]:
        needs.append("hardened nozzle")
    if row["drying"] == "needed":
        needs.append("drying")
    return (
        row["grade"] + (" (own)" if row["own"] else ""),
        row["polymer_class"],
        f"{row['density_g_cm3']:.2f}",
        f"{row['strength_xy_lower_mpa']:.0f} to {row['strength_xy_mpa']:.0f}",
        f"{row['strength_z_lower_mpa']:.0f} to {row['strength_z_mpa']:.0f}",
        _degrees(row["glass_transition_degc"]),
        f"{_degrees(row['hdt_0p45_degc'])}/{_degrees(row['hdt_1p8_degc'])}",
        f"{row['price_eur_kg']:.0f}",
        ", ".join(needs),
    )


def _degrees(value: float | None) -> str:
    # A frame holds None as not-a-number, and only that differs from itself.
    return "–" if value is None or value != value else f"{value:.0f}"


def _print_values(title: str, values: Sequence[Value]) -> None:
    rows = [
        (
            " ".join([value.quantity, *_where(value)]),
            f"{value.typical:g}",
            _range(value),
            value.unit,
            value.condition,
            _origin(value),
        )
        for value in values
    ]
    columns = ("quantity", "typical", "range", "unit", "condition", "origin")
    print_table(columns, rows, title=title, numeric=(1, 2))


def _where(value: Value) -> list[str]:
    words: list[str] = [word for word in (value.direction, value.state) if word]
    if value.temperature_degc is not None:
        words.append(f"at {value.temperature_degc:g} °C")
    if value.cycles is not None:
        words.append(f"after {value.cycles:.0e}")
    if value.hours is not None:
        words.append(f"after {value.hours:g} h")
    return words


def _range(value: Value) -> str:
    if value.low is None and value.high is None:
        return ""
    low = "" if value.low is None else f"{value.low:g}"
    high = "" if value.high is None else f"{value.high:g}"
    mark = "*" if value.low_means != "range" else ""
    return f"{low}{mark} to {high}"


def _print_curves(curves: Sequence[Retention]) -> None:
    rows = []
    for curve in curves:
        points = zip(curve.temperatures_degc, curve.fractions, strict=True)
        rows.append(
            (
                " ".join(word for word in (curve.quantity, curve.direction, curve.state) if word),
                "  ".join(f"{t:g} °C {f:.2f}" for t, f in points),
                f"± {curve.width:g}",
                _origin(curve),
            )
        )
    print_table(
        ("curve", "fraction of the value at 23 °C", "width", "origin"),
        rows,
        title="Over temperature (* above: 5 % fractile)",
    )


def _origin(entry: Value | Retention) -> str:
    mark = "own, " if entry.own else ""
    return f"{mark}{entry.label}: {', '.join(entry.citations)}"


def _sources(table: FilamentTable, filament: Filament) -> dict[str, Source]:
    """Every source that the grade cites, sorted by key; the user's own ones too."""
    known = {**table.sources, **{source.id: source for source in filament.own_sources}}
    entries: list[Value | Retention | Remark] = [*filament.values, *filament.retentions]
    entries += [*filament.alternatives, *filament.remarks]
    return {key: known[key] for key in sorted({k for entry in entries for k in entry.citations})}
