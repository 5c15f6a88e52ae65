"""What a filament grade can bear, at which temperature, for how long, and what it needs.

In: the material table in ``materials/`` (one TOML file per grade, every value with its origin),
grade files and coupon results of the user. Out: `Filament` with
``strength(direction, temperature, duration, moisture)``, stiffness and its creep, softening limit,
price and needs of the printer; what the evidence behind a strength is worth; what a bolted joint
keeps and whether the grade may stand outdoors; lower bounds from coupons; strength factors of walls
and infill. `Demand` is
the currency in which the checks ask. May import: ``quantities``, ``errors`` (and ``job``), numpy;
pandas and scipy only inside functions.
"""

from __future__ import annotations

from printplan.filament.clamp import (
    ClampAdvice,
    clamp_advice,
    clamp_left,
    clamp_left_by_time,
    hot_clamp_mpa,
)
from printplan.filament.coupons import (
    CouponBound,
    lower_bound,
    lower_bound_of_runs,
    tolerance_factor,
)
from printplan.filament.creep import CreepModulus, standing_fraction
from printplan.filament.demand import Demand, Direction, Duration
from printplan.filament.evidence import Evidence, evidence_of, weak_points
from printplan.filament.factors import Factor
from printplan.filament.grade import Filament, PolymerClass
from printplan.filament.needs import Need, Needs
from printplan.filament.outdoor import OutdoorVerdict, outdoor
from printplan.filament.softening import SofteningLimit, StressKind
from printplan.filament.strength import Strength
from printplan.filament.structure import (
    infill_strength_factor,
    wall_core_area_factor,
    wall_core_bending_factor,
)
from printplan.filament.table import FilamentTable, load_table
from printplan.filament.value import Axis, Bound, Label, Remark, Retention, Source, Value

__all__ = [
    "Axis",
    "Bound",
    "ClampAdvice",
    "CouponBound",
    "CreepModulus",
    "Demand",
    "Direction",
    "Duration",
    "Evidence",
    "Factor",
    "Filament",
    "FilamentTable",
    "Label",
    "Need",
    "Needs",
    "OutdoorVerdict",
    "PolymerClass",
    "Remark",
    "Retention",
    "SofteningLimit",
    "Source",
    "Strength",
    "StressKind",
    "Value",
    "clamp_advice",
    "clamp_left",
    "clamp_left_by_time",
    "evidence_of",
    "hot_clamp_mpa",
    "infill_strength_factor",
    "load_table",
    "lower_bound",
    "lower_bound_of_runs",
    "outdoor",
    "standing_fraction",
    "tolerance_factor",
    "wall_core_area_factor",
    "wall_core_bending_factor",
    "weak_points",
]
