"""A small plan, put together by hand from the real result types."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
import trimesh

from printplan.climate import Exposure, part_temperature
from printplan.climate.places import surroundings_of
from printplan.filament import SofteningLimit, Strength
from printplan.filament.demand import Demand
from printplan.judging import Check, Reason, Verdict
from printplan.judging.required import RequiredSafety
from printplan.part.solid import Solid
from printplan.part.thickness import wall_thickness
from printplan.planning.result import (
    Candidate,
    JobPlan,
    PartPlan,
    Plate,
    PlateItem,
    PlateTotals,
    SpoolUse,
    Totals,
)
from printplan.process import RECIPES, Consumption
from printplan.vehicle import LoadCase, VehicleLoads

HOSTILE = "<script>alert('x')</script>\u202e\" onload=\"gnp.exe\x07 &amp; <!-- ]]>"


def solid_of(mesh: trimesh.Trimesh, name: str = "shape") -> Solid:
    """Pair the edges of a mesh; slow and obvious enough for small ones."""
    mesh.merge_vertices()
    faces = np.asarray(mesh.faces, np.int32)
    at = {
        (int(f[k]), int(f[(k + 1) % 3])): 3 * t + k for t, f in enumerate(faces) for k in range(3)
    }
    opposite = np.array([at.get((b, a), -1) for (a, b) in at], np.int32)
    return Solid(
        name=name,
        vertices_mm=np.array(mesh.vertices, np.float64),
        faces=faces.copy(),
        opposite=opposite,
    )


def box(x: float, y: float, z: float) -> Solid:
    mesh = trimesh.creation.box((x, y, z))
    mesh.apply_translation([x / 2, y / 2, z / 2])
    return solid_of(mesh)


def ring() -> Solid:
    return solid_of(trimesh.creation.annulus(r_min=8.0, r_max=20.0, height=12.0, sections=32))


def measured(solid: Solid) -> SimpleNamespace:
    """What the sheet reads of a measured part."""
    thickness = wall_thickness(solid)
    return SimpleNamespace(solid=solid, thickness=thickness, thinnest_wall_mm=thickness.thinnest_mm)


def check(name: str, safety: float, *, required: float = 1.9, case: str = "kerb") -> Check:
    def strength(mpa: float, degc: float) -> Strength:
        return Strength(
            strength_mpa=mpa,
            base_mpa=40.0,
            base_source="[source: coupons]",
            direction="in-layer tension",
            duration="repeated",
            cycles=2e4,
            temperature_degc=degc,
            bound="lower",
            state=None,
        )

    demand = Demand(
        name=name,
        case=case,
        stress_mpa=5.0,
        direction="in-layer tension",
        duration="repeated",
        cycles=2e4,
        formula="F / A",
        terms={"F [N]": 500.0, "A [mm²]": 100.0},
        factors={"shock": 1.5},
        source="[common practice] plain tension",
        notes=("ends are clamped",),
    )
    return Check(
        demand=demand,
        strength=strength(5.0 * safety, 51.0),
        strength_hottest=strength(4.0 * safety, 63.0),
        safety=safety,
        safety_hottest=0.8 * safety,
        safety_typical=1.6 * safety,
        required=required,
    )


def verdict(grade: str, suitability: str, *reasons: Reason, checks: tuple[Check, ...] = ()):
    return Verdict(
        grade=grade,
        suitability=suitability,
        reasons=reasons,
        checks=checks,
        limit=SofteningLimit(
            limit_degc=54.0, governing="glass transition less margin", source="[x]"
        ),
    )


def consumption(part: str, grade: str) -> Consumption:
    return Consumption(
        part=part,
        recipe="sturdy",
        printer="shed printer",
        filament=grade,
        layers=150,
        filament_mm3_by_kind={"walls": 20e3, "skins": 9e3, "infill": 12e3, "support": 0.0,
                              "purge": 500.0},
        filament_g=52.7,
        filament_m=17.25,
        build_time_s=13_260.0,
        time_s_by_kind={"walls": 6000.0, "skins": 2500.0, "infill": 3000.0, "travel": 900.0,
                        "heat-up": 600.0, "start": 260.0},
        energy_wh=410.0,
        energy_wh_by_kind={"heat-up": 90.0, "bed hold": 220.0, "motion": 100.0},
        cost=2.31,
        cost_by_item={"filament": 1.2, "machine": 0.7, "energy": 0.12, "labour": 0.0,
                      "failure risk": 0.29},
        currency="EUR",
        success_probability=0.94,
        filament_g_range=(50.1, 55.4),
        build_time_s_range=(10_600.0, 15_900.0),
        energy_wh_range=(290.0, 540.0),
        cost_range=(1.95, 2.66),
    )  # fmt: skip


def candidate(part: str, judged: Verdict, printer: str | None = "shed printer") -> Candidate:
    return Candidate(
        verdict=judged,
        recipe=RECIPES["sturdy"],
        printer=printer,
        consumption=consumption(part, judged.grade),
        tried=("light: socket corner pressure, safety 1.10, asked 1.90",),
    )


def part_plan(name: str, solid: Solid, *candidates: Candidate, **changes) -> PartPlan:
    temperature = part_temperature(
        surroundings_of("temperate"), Exposure(shelter="sun", colour="white", face_mm=120.0)
    )
    plan = PartPlan(
        name=name,
        role="hook",
        quantity=2,
        mesh="mesh.stl",
        up="+z",
        colour="white",
        shelter="sun",
        measured=measured(solid),
        standing=solid,
        temperature=temperature,
        required=RequiredSafety(
            factor=1.9, bearing=1.2, danger="stops the vehicle", reason="Pugsley, fair"
        ),
        candidates=candidates,
        warnings=("mesh has open edges", "not checked: layers pulled apart"),
    )
    return replace(plan, **changes)


def load_case(name: str, **values) -> LoadCase:
    return LoadCase(
        name=name,
        story="the motor stalls against a root",
        axle="rear",
        duration="repeated",
        cycles=20_000.0,
        limited_by="traction",
        assumption="peak grip on grass",
        source="[memory: mechanics]",
        trail=("M = F r = 412.0 N x 0.2 m = 82.40 N·m",),
        **values,
    )


@pytest.fixture(scope="session")
def make() -> SimpleNamespace:
    """The builders above, for tests that need another part or plan."""
    return SimpleNamespace(
        hostile=HOSTILE,
        solid_of=solid_of,
        box=box,
        ring=ring,
        candidate=candidate,
        part_plan=part_plan,
        verdict=verdict,
    )


@pytest.fixture(scope="session")
def plan() -> JobPlan:
    """Two parts, one fit and one too thin; two filaments; one plate."""
    fit = Reason(topic="strength", effect="suitable", text="strong enough: least safety 2.40")
    hot = Reason(topic="heat", effect="unsuitable", text="softens: the part reaches 51 °C")
    thin = Reason(topic="wall", effect="unsuitable", text="thin wall, one bead only: 0.80 mm")
    checks = tuple(check(f"place {i}", 2.4 + i) for i in range(7))
    ring_ = part_plan(
        "side gear",
        ring(),
        candidate("side gear", verdict("asa", "suitable", fit, checks=checks)),
        candidate("side gear", verdict("pla", "unsuitable", hot, checks=(check("place", 1.2),))),
    )
    hook = part_plan(
        "crate hook",
        box(40.0, 0.8, 30.0),
        candidate("crate hook", verdict("asa", "unsuitable", thin, checks=(check("arm", 2.0),))),
        candidate("crate hook", verdict("pla", "not judged", hot), printer=None),
    )
    return JobPlan(
        title="Orchard crate carrier",
        currency="EUR",
        place="temperate, extreme day, 38 °C in the shade",
        parts=(ring_, hook),
        loads=VehicleLoads(
            cases=(
                load_case("stall", wheel_torque_nmm=82_400.0, belt_force_n=1234.0),
                load_case("kerb", wheel_torque_nmm=20_000.0, wheel_vertical_n=2200.0),
            ),
            warnings=("the carrier tips before it skids",),
        ),
        plates=(
            Plate(
                number=1,
                printer="shed printer",
                grade="asa",
                layer_height_mm=0.2,
                bed_mm=(220.0, 200.0),
                items=(
                    PlateItem(part="side gear", x_mm=4, y_mm=4, width_mm=40, depth_mm=40,
                              turned=False),
                    PlateItem(part="crate hook", x_mm=48, y_mm=4, width_mm=40, depth_mm=0.8,
                              turned=True),
                ),
                filament_g=210.8,
                build_time_s=50_000.0,
            ),
        ),
        printers=(PlateTotals(printer="shed printer", plates=1, build_time_s=50_000.0),),
        spools=(
            SpoolUse(grade="asa", in_stock=True, mass_before_g=350.0, mass_after_g=129.0,
                     plates=(1,)),
        ),
        hardware=(
            SimpleNamespace(designation="ISO 7089 washer 5", quantity=32, for_="housing",
                            price=(0.03, "EUR")),
            SimpleNamespace(designation="belt", quantity=1, for_=None, price=None),
        ),
        totals=Totals(
            pieces=4, filament_g=210.8, filament_m=69.0, build_time_s=53_040.0, energy_wh=1640.0,
            cost=9.24, cost_low=7.8, cost_high=10.64, hardware_cost=0.96, time_low_s=42_400.0,
            time_high_s=63_600.0, spools_to_buy={"asa": 1},
        ),
        warnings=("no filament is fit for: crate hook",),
        sources=("[source: Someone 1999, table 3]", "[common practice] bolts"),
    )  # fmt: skip


@pytest.fixture(scope="session")
def page(plan: JobPlan) -> str:
    from printplan.sheet import sheet_html

    return sheet_html(plan)
