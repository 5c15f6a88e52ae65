"""The shipped material table as data: every entry, not a sum over them."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from printplan.errors import InputError, UnknownNameError
from printplan.filament import Filament, Value, load_table

TABLE = load_table()
GRADES = [f.grade for f in TABLE]
ENTRIES = [
    pytest.param(f, v, id=f"{f.grade} {' '.join(str(k) for k in v.key if k is not None)}")
    for f in TABLE
    for v in (*f.values, *f.alternatives)
]

#: Believable bands of our own, apart from those in the program. [memory: handbook ranges]
BANDS = {
    "density": (1.0, 1.5),
    "tensile_strength": (6.0, 112.0),
    "tensile_modulus": (25.0, 10000.0),
    "z_xy_strength_ratio": (0.1, 0.9),
    "compressive_to_tensile_ratio": (0.6, 1.6),
    "shear_to_tensile_ratio": (0.1, 0.65),
    "allowable_sustained_fraction": (0.05, 0.35),
    "fatigue_fraction_1e5": (0.1, 0.5),
    "fatigue_fraction_1e6": (0.05, 0.45),
    "glass_transition": (-45.0, 150.0),
    "hdt_0p45": (50.0, 210.0),
    "hdt_1p8": (45.0, 190.0),
    "vicat_b50": (55.0, 205.0),
    "max_service_temperature": (60.0, 150.0),
    "cte": (15.0, 250.0),
    "thermal_conductivity": (0.1, 0.8),
    "specific_heat": (1000.0, 2000.0),
    "poisson_ratio": (0.3, 0.5),
    "elongation_break": (0.3, 700.0),
    "nozzle_temperature": (190.0, 300.0),
    "bed_temperature": (25.0, 120.0),
    "drying_temperature": (40.0, 120.0),
    "drying_time": (2.0, 24.0),
    "price": (12.0, 130.0),
    "max_volumetric_flow": (1.5, 15.0),
    "uv_resistance": (1.0, 4.0),
    "creep_modulus_fraction": (0.3, 0.95),
    "bed_adhesion": (0.0, 2.0),
    "conditioned_strength_factor": (0.3, 1.0),
    "conditioned_modulus_factor": (0.2, 1.0),
}

NEEDED = (
    *("density", "compressive_to_tensile_ratio", "shear_to_tensile_ratio", "glass_transition"),
    *("fatigue_fraction_1e6", "thermal_conductivity"),
    *("specific_heat", "uv_resistance", "nozzle_temperature", "bed_temperature", "enclosure"),
    *("hardened_nozzle", "drying_temperature", "drying_time", "drying_needed", "price"),
    *("max_volumetric_flow", "bed_adhesion"),
)


def test_the_grades() -> None:
    assert [
        *("abs", "asa", "pa12", "pa6", "pa_cf", "pc"),
        *("petg", "petg_cf", "pla", "pla_annealed", "tpu_95a"),
    ] == GRADES


@pytest.mark.parametrize(("filament", "value"), ENTRIES)
def test_entry(filament: Filament, value: Value) -> None:
    assert value.unit
    assert value.condition
    assert value.label in ("source", "memory", "common practice")
    assert value.citations
    for key in value.citations:
        assert key in TABLE.sources
    kinds = {TABLE.sources[key].kind for key in value.citations}
    if value.label == "source":
        assert "opened" in kinds
    if value.label == "common practice":
        assert "trade" in kinds
    numbers = [n for n in (value.low, value.typical, value.high) if n is not None]
    assert numbers == sorted(numbers)
    assert all(math.isfinite(n) for n in numbers)
    if value.quantity in BANDS:
        lowest, highest = BANDS[value.quantity]
        assert lowest <= min(numbers), value
        assert max(numbers) <= highest, value


@pytest.mark.parametrize("grade", GRADES)
@pytest.mark.parametrize("quantity", NEEDED)
def test_every_grade_has_what_the_checks_need(grade: str, quantity: str) -> None:
    assert TABLE.get(grade).find(quantity) is not None


@pytest.mark.parametrize("grade", GRADES)
def test_every_grade_has_both_strengths_and_an_in_layer_modulus(grade: str) -> None:
    filament = TABLE.get(grade)
    for axis in ("xy", "z"):
        assert filament.find("tensile_strength", axis) is not None
    assert filament.find("tensile_modulus", "xy") is not None
    assert filament.find("cte", "xy") is not None
    assert filament.find("allowable_sustained_fraction", "xy") is not None


@pytest.mark.parametrize("grade", GRADES)
def test_deflection_temperature_falls_with_stress(grade: str) -> None:
    low, high = (TABLE.get(grade).find(q) for q in ("hdt_0p45", "hdt_1p8"))
    if low is None or high is None:
        assert grade == "tpu_95a"
    else:
        assert high.typical < low.typical


def test_values_without_range_are_points() -> None:
    rules = {v.quantity: v for v in TABLE.rules}
    assert rules["infill_exponent_along"].typical == 1.0
    assert rules["infill_exponent_across"].typical == 1.5


def test_curves_of_every_grade() -> None:
    for filament in TABLE:
        for curve in filament.retentions:
            assert curve.citations
            assert curve.width == 0.1
            assert curve.fractions[0] == 1.0
            assert list(curve.fractions) == sorted(curve.fractions, reverse=True)


def test_no_source_is_listed_without_a_year_or_a_reason() -> None:
    for source in TABLE.sources.values():
        assert source.authors
        assert source.title
        assert re.fullmatch(r"\d{4}(-\d{4})?|not noted", source.year)
        assert source.kind in ("opened", "recalled", "trade", "own")


@pytest.mark.parametrize(
    ("name", "grade"),
    [
        ("PETG", "petg"),
        ("petg-cf", "petg_cf"),
        ("PETG CF", "petg_cf"),
        ("Pa-6", "pa6"),
        ("PA6-CF", "pa_cf"),
        ("TPU 95A", "tpu_95a"),
        ("tpu", "tpu_95a"),
        ("Polycarbonate", "pc"),
        ("PLA, annealed", "pla_annealed"),
    ],
)
def test_names_ignore_case_and_separators(name: str, grade: str) -> None:
    assert TABLE.get(name).grade == grade
    assert name in TABLE


def test_unknown_name_gives_the_nearest() -> None:
    with pytest.raises(UnknownNameError, match="did you mean 'petg'") as raised:
        TABLE.get("pettg")
    assert raised.value.exit_code == 2
    assert "unobtainium" not in TABLE


def test_table_is_read_once() -> None:
    assert load_table() is TABLE
    assert len(TABLE) == 11


def test_frame_shows_the_judged_state() -> None:
    frame = TABLE.to_frame().set_index("grade")
    assert list(frame.index) == GRADES
    pa6 = TABLE.get("pa6")
    moist = pa6.strength("in-layer tension", 23.0, bound="typical").strength_mpa
    assert frame.loc["pa6", "strength_xy_mpa"] == moist
    assert moist < pa6.value("tensile_strength", "xy").typical
    assert frame.loc["pa6", "glass_transition_degc"] == 5.0
    assert (frame["strength_xy_lower_mpa"] <= frame["strength_xy_mpa"]).all()
    assert (frame["strength_z_lower_mpa"] <= frame["strength_z_mpa"]).all()


def test_missing_folder(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="can't be read"):
        load_table(tmp_path)


def test_plain_properties() -> None:
    petg = TABLE.get("petg")
    assert petg.density_g_cm3 == 1.27
    assert petg.price_per_kg == 20.0
    assert petg.max_flow_mm3_s == 8.0
    assert petg.conductivity_w_mk == 0.2
    assert petg.specific_heat_j_kgk == 1200.0
    assert petg.expansion_per_k() == pytest.approx(68e-6)
    assert TABLE.get("pa_cf").expansion_per_k("z") == pytest.approx(248e-6)
    assert petg.expansion_per_k("z") == petg.expansion_per_k("xy")


def test_missing_value_is_an_error_not_a_default() -> None:
    with pytest.raises(InputError, match="'tpu_95a' has no value for hdt_1p8"):
        TABLE.get("tpu").value("hdt_1p8")
    with pytest.raises(UnknownNameError, match="general value"):
        TABLE.get("tpu").rule("no_such_rule")


@pytest.mark.parametrize(("filament", "value"), ENTRIES)
def test_direction_time_and_state_are_present_where_they_matter(
    filament: Filament, value: Value
) -> None:
    if value.quantity in ("tensile_strength", "tensile_modulus", "elongation_break", "cte"):
        assert value.direction in ("xy", "z")
    if value.quantity.startswith("creep_modulus"):
        assert value.hours is not None
        assert 0.0 < value.hours <= 1000.0
    if value.quantity == "fatigue_strength":
        assert value.cycles is not None
    if value.state is not None:
        assert value.state in filament.states


def test_every_quantity_has_a_believable_band() -> None:
    """A quantity without a band would let a slipped decimal in; an old price is only a remark."""
    from printplan.filament.bands import PROPERTY_BANDS

    named = {v.quantity for f in TABLE for v in (*f.values, *f.alternatives)}
    assert named - set(PROPERTY_BANDS) == {"price_2014"}


def test_sources_of_curves_remarks_and_rules_resolve() -> None:
    for entry in (
        *(curve for f in TABLE for curve in f.retentions),
        *(remark for f in TABLE for remark in f.remarks),
        *TABLE.rules,
    ):
        assert entry.citations
        assert all(key in TABLE.sources for key in entry.citations)
        assert entry.label in ("source", "memory", "common practice")


def test_every_source_is_used_or_says_why_it_was_read() -> None:
    entries = [*TABLE.rules]
    for filament in TABLE:
        entries += [*filament.values, *filament.alternatives]
        entries += [*filament.retentions, *filament.remarks]  # type: ignore[list-item]
    cited = {key for entry in entries for key in entry.citations}
    assert cited <= set(TABLE.sources)
    for key in set(TABLE.sources) - cited:
        assert TABLE.sources[key].read, key


@pytest.mark.parametrize(
    ("name", "grade", "state"),
    [
        ("pa6 dry", "pa6_dry", "dry"),
        ("PA-6, conditioned", "pa6_conditioned", "conditioned"),
        ("pa12_conditioned", "pa12_conditioned", "conditioned"),
        ("PA6-CF dry", "pa_cf_dry", "dry"),
    ],
)
def test_moisture_states_are_grades_by_name(name: str, grade: str, state: str) -> None:
    view = TABLE.get(name)
    shipped = next(f for f in TABLE if view.sold_as == f.name)
    assert name in TABLE
    assert (view.grade, view.judged_state) == (grade, state)
    assert view.name == f"{shipped.name}, {state}"
    assert view.values is shipped.values
    told = shipped.strength("in-layer tension", 60.0, state=state).strength_mpa
    assert view.strength("in-layer tension", 60.0).strength_mpa == told
    assert view.modulus_mpa(60.0) == shipped.modulus_mpa(60.0, state=state)
    assert len(TABLE) == 11
    assert ("kept dry" in view.summary) == (state == "dry")
    assert TABLE.get(view.name).grade == grade


def test_states_only_where_the_table_has_them() -> None:
    for name in ("petg dry", "pla conditioned", "dry", "pa6 damp"):
        assert name not in TABLE
        with pytest.raises(UnknownNameError):
            TABLE.get(name)
    with pytest.raises(UnknownNameError, match="moisture state of PA6"):
        TABLE.get("pa6").in_state("damp")


def test_dry_strength_carries_its_warning() -> None:
    notes = TABLE.get("pa6 dry").strength("in-layer tension", 23.0).notes
    assert any("kept dry" in note for note in notes)
    assert not TABLE.get("pa6").strength("in-layer tension", 23.0).notes
