"""Weak points and the width of a strength: they follow the labels of the table."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

import pytest

from printplan.filament import Direction, Duration, evidence_of, load_table, weak_points

TABLE = load_table()
GRADES = [f.grade for f in TABLE]


@pytest.mark.parametrize("grade", GRADES)
@pytest.mark.parametrize("direction", get_args(Direction))
@pytest.mark.parametrize("duration", get_args(Duration))
def test_width_holds_the_two_strengths_that_are_judged(
    grade: str, direction: Direction, duration: Duration
) -> None:
    filament = TABLE.get(grade)
    for degc in (23.0, 50.0, 90.0):
        got = evidence_of(filament, direction, degc, duration=duration, cycles=1e5)
        lower, typical = (
            filament.strength(direction, degc, duration=duration, cycles=1e5, bound=bound)  # type: ignore[arg-type]
            for bound in ("lower", "typical")
        )
        assert got.low_mpa == lower.strength_mpa
        assert got.typical_mpa == typical.strength_mpa
        assert got.high_mpa >= got.typical_mpa >= got.low_mpa
        assert got.weak_points == weak_points(lower) == weak_points(typical)


@pytest.mark.parametrize("direction", ["in-layer tension", "interlayer tension"])
def test_coupons_of_many_spools_are_solid_cold(direction: Direction) -> None:
    """[source: R01] seven and more spools: the evidence table calls it solid."""
    cold = evidence_of(TABLE.get("petg"), "interlayer tension", 23.0)
    assert (cold.quality, cold.weak_points) == ("solid", ())
    assert (cold.low_mpa, cold.high_mpa) == (pytest.approx(6.2), pytest.approx(23.3))
    warm = evidence_of(TABLE.get("petg"), direction, 50.0)
    assert warm.quality == "fair"
    assert "retention curve is recalled, not measured: 0.76 (down to 0.66)" in warm.weak_points


@pytest.mark.parametrize("grade", ["abs", "asa", "pc", "pa12"])
def test_strength_across_the_layers_of_neat_grades_is_weak(grade: str) -> None:
    """The evidence table: recalled or aggregated only."""
    got = evidence_of(TABLE.get(grade), "interlayer tension", 23.0)
    assert got.quality == "weak"
    assert any("across the layers is" in point for point in got.weak_points)


@pytest.mark.parametrize("grade", ["petg", "petg_cf", "asa"])
def test_guessed_fatigue_is_named(grade: str) -> None:
    """The evidence table: guess for PETG, ABS, ASA, PETG-CF, TPU."""
    got = evidence_of(TABLE.get(grade), "in-layer tension", 23.0, duration="repeated", cycles=1e6)
    assert got.quality == "weak"
    assert any("fatigue is estimated by analogy" in point for point in got.weak_points)


def test_one_spool_and_moulded_bars_are_named() -> None:
    points = evidence_of(TABLE.get("petg_cf"), "interlayer tension", 23.0).weak_points
    assert any("one spool" in p and "scatter of other grades" in p for p in points)
    points = evidence_of(
        TABLE.get("pa_cf"), "in-layer tension", 23.0, duration="repeated", cycles=1e6
    ).weak_points
    assert any("moulded bars" in p for p in points)


def test_weaker_findings_of_others_are_named() -> None:
    points = evidence_of(TABLE.get("pla"), "in-layer tension", 23.0).weak_points
    assert any("23.2 MPa (matte" in p for p in points)


def test_own_coupons_take_a_weak_point_away(tmp_path: Path) -> None:
    file = tmp_path / "own.toml"
    file.write_text(
        """
grade = "asa_ours"
based_on = "asa"
[sources.ours]
kind = "opened"
authors = "the workshop"
year = "2026"
title = "ten coupons"
[[value]]
quantity = "tensile_strength"
direction = "z"
typical = 24.0
low = 18.0
low_means = "5 % fractile"
unit = "MPa"
condition = "printed solid, 23 °C"
label = "source"
citations = ["ours"]
""",
        encoding="utf-8",
    )
    own = load_table(extra=[file]).get("asa_ours")
    assert evidence_of(own, "interlayer tension", 23.0).weak_points == ()


def test_a_strength_without_its_value_names_only_its_factors() -> None:
    from dataclasses import replace

    got = TABLE.get("abs").strength("interlayer tension", 50.0)
    assert len(weak_points(replace(got, base=None))) == len(weak_points(got)) - 1
