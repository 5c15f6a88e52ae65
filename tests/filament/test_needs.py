"""What grades ask of the printer."""

from __future__ import annotations

import pytest

from printplan.filament import load_table

TABLE = load_table()
CHEAP = {
    "max_nozzle_degc": 245.0,
    "max_bed_degc": 90.0,
    "enclosed": False,
    "hardened_nozzle": False,
    "can_dry": False,
}
ABLE = {
    "max_nozzle_degc": 300.0,
    "max_bed_degc": 120.0,
    "enclosed": True,
    "hardened_nozzle": True,
    "can_dry": True,
}


@pytest.mark.parametrize("grade", [f.grade for f in TABLE])
def test_an_able_printer_prints_everything(grade: str) -> None:
    assert TABLE.get(grade).needs_unmet(**ABLE) == ()


@pytest.mark.parametrize("grade", ["pla", "pla_annealed", "petg"])
def test_a_cheap_printer_prints_the_easy_grades(grade: str) -> None:
    assert TABLE.get(grade).needs_unmet(**CHEAP) == ()


@pytest.mark.parametrize(
    ("grade", "words"),
    [
        ("pc", ["nozzle reaches 245", "bed reaches 90", "enclosure", "dried"]),
        ("abs", ["enclosure"]),
        ("pa_cf", ["nozzle reaches 245", "hardened", "dried"]),
        ("tpu", ["dried"]),
        ("petg_cf", ["nozzle reaches 245", "hardened"]),
    ],
)
def test_reasons(grade: str, words: list[str]) -> None:
    reasons = TABLE.get(grade).needs_unmet(**CHEAP)
    assert len(reasons) == len(words)
    for reason, word in zip(reasons, words, strict=True):
        assert word in reason


def test_fibres_and_only_fibres_want_a_hardened_nozzle() -> None:
    hard = {f.grade for f in TABLE if f.needs.hardened_nozzle}
    assert hard == {"pa_cf", "petg_cf"}


def test_needs_of_petg() -> None:
    needs = TABLE.get("petg").needs
    assert (needs.nozzle_degc, needs.nozzle_range_degc) == (240.0, (220.0, 255.0))
    assert (needs.bed_degc, needs.bed_range_degc) == (75.0, (65.0, 85.0))
    assert (needs.enclosure, needs.drying) == ("no", "helps")
    assert (needs.drying_degc, needs.drying_h) == (65.0, 6.0)


def test_what_warps_wants_help_on_the_bed() -> None:
    """[common practice] ABS, ASA, PC and nylons warp; PLA and PETG hold by themselves."""
    needed = {f.grade for f in TABLE if f.needs.bed_adhesion == "needed"}
    assert needed == {"abs", "asa", "pc", "pa6", "pa12"}
    holds = {f.grade for f in TABLE if f.needs.bed_adhesion == "no"}
    assert holds == {"pla", "pla_annealed", "petg", "petg_cf", "tpu_95a"}
    for filament in TABLE:
        assert filament.value("bed_adhesion").label == "common practice"
        assert filament.needs.bed_advice


def test_a_bed_without_help_is_a_reason_only_when_told() -> None:
    asa = TABLE.get("asa")
    assert asa.needs_unmet(**ABLE) == ()
    (reason,) = asa.needs_unmet(**ABLE, bed_help=False)
    assert reason.startswith("needs help to stay on the bed: warps")
    assert TABLE.get("petg").needs_unmet(**ABLE, bed_help=False) == ()


def test_advice_says_what_to_prepare() -> None:
    assert TABLE.get("pa6").needs.advice()[0].startswith("dry it first")
    assert any("release film" in line for line in TABLE.get("petg").needs.advice())
    assert any("enclosure helps" in line for line in TABLE.get("pa_cf").needs.advice()) == (
        TABLE.get("pa_cf").needs.enclosure == "helps"
    )


def test_a_grade_without_the_value_has_no_verdict_on_the_bed() -> None:
    from dataclasses import replace

    asa = TABLE.get("asa")
    bare = replace(asa, values=tuple(v for v in asa.values if v.quantity != "bed_adhesion"))
    assert (bare.needs.bed_adhesion, bare.needs.bed_advice) == (None, "")
    assert bare.needs_unmet(**ABLE, bed_help=False) == ()
