"""Grade files of the user: what is taken, and what is refused with which words."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from printplan.errors import InputError, JobFileError
from printplan.filament import load_table

OWN = """
grade = "petg_workshop"
name = "PETG from the workshop"
based_on = "petg"

[sources.own_coupons]
kind = "opened"
authors = "the workshop"
year = "2026"
title = "five coupons across the layers, one spool, one printer"

[[value]]
quantity = "tensile_strength"
direction = "z"
typical = 24.0
low = 19.5
low_means = "5 % fractile"
unit = "MPa"
condition = "printed solid, 23 °C"
label = "source"
citations = ["own_coupons"]
"""

PLAIN = """
grade = "mystery"
polymer = "{polymer}"
polymer_class = "amorphous"

[[value]]
quantity = "{quantity}"
typical = {typical}
{more}
unit = "{unit}"
condition = "test"
label = "{label}"
citations = {citations}
"""


def write(path: Path, text: str) -> Path:
    file = path / "own.toml"
    file.write_text(text, encoding="utf-8")
    return file


def plain(path: Path, **changes: object) -> Path:
    entry = {
        "polymer": "PLA",
        "quantity": "density",
        "typical": 1.24,
        "more": "",
        "unit": "g/cm3",
        "label": "memory",
        "citations": '["general_knowledge"]',
    }
    return write(path, PLAIN.format(**{**entry, **changes}))


def test_own_coupons_on_a_shipped_grade(tmp_path: Path) -> None:
    table = load_table(extra=[write(tmp_path, OWN)])
    own, shipped = table.get("PETG from the workshop"), table.get("petg")
    assert len(table) == len(load_table()) + 1
    assert own.strength("interlayer tension", 23.0).strength_mpa == 19.5
    assert own.strength("in-layer tension", 23.0).strength_mpa == pytest.approx(
        shipped.strength("in-layer tension", 23.0).strength_mpa
    )
    assert own.value("tensile_strength", "z").source.startswith("the workshop, 2026")
    assert own.softening_limit("sustained") == shipped.softening_limit("sustained")
    assert "petg_workshop" not in load_table()


@pytest.mark.parametrize(
    "line", ['polymer = "PC"', 'polymer = "other"', 'polymer_class = "semi-crystalline"']
)
def test_another_kind_of_plastic_takes_over_nothing(tmp_path: Path, line: str) -> None:
    """Else the strength of one plastic would stand beside the glass transition of another."""
    text = OWN.replace('based_on = "petg"', f'based_on = "petg"\n{line}')
    with pytest.raises(JobFileError, match="as the grade that it builds on"):
        load_table(extra=[write(tmp_path, text)])


def test_a_year_may_be_a_number(tmp_path: Path) -> None:
    own = load_table(extra=[write(tmp_path, OWN.replace('"2026"', "2026"))]).get("petg_workshop")
    assert own.own_sources[0].year == "2026"


def test_a_taken_name_is_refused(tmp_path: Path) -> None:
    text = OWN.replace('"petg_workshop"', '"PETG"')
    with pytest.raises(InputError, match="'PETG' is already in the table"):
        load_table(extra=[write(tmp_path, text)])


def test_published_glass_transition_of_137_degc_is_refused(tmp_path: Path) -> None:
    """[source: Processes 2025, 13(9), 2733, materials list] prints 137 °C for PLA."""
    file = plain(tmp_path, quantity="glass_transition", typical=137.0, unit="°C")
    with pytest.raises(JobFileError, match=r"137.0: expected 45 to 70 °C for PLA"):
        load_table(extra=[file])


@pytest.mark.parametrize(
    ("polymer", "lowest", "highest"),
    [
        ("PLA", 45, 70),
        ("PETG", 65, 90),
        ("ABS", 85, 120),
        ("ASA", 90, 115),
        ("PC", 100, 155),
        ("PA", 35, 85),
    ],
)
def test_glass_transition_bands(
    tmp_path: Path, polymer: str, lowest: float, highest: float
) -> None:
    for typical, good in (
        (lowest, True),
        (highest, True),
        (lowest - 1, False),
        (highest + 1, False),
    ):
        file = plain(
            tmp_path, polymer=polymer, quantity="glass_transition", typical=typical, unit="°C"
        )
        if polymer == "PA":
            states = 'states = ["dry", "conditioned"]\njudged_state = "dry"\n'
            file.write_text(states + file.read_text(encoding="utf-8"), encoding="utf-8")
        if good:
            assert load_table(extra=[file]).get("mystery").glass_transition_degc == typical
        else:
            with pytest.raises(JobFileError, match=f"for {polymer}"):
                load_table(extra=[file])


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"label": "hearsay"}, "label = 'hearsay': expected one of source, memory"),
        ({"citations": "[]"}, "at least one key of the sources"),
        ({"citations": '["R999"]'}, "citations = 'R999': expected a key of sources.toml"),
        ({"label": "source"}, 'at least one source of kind "opened"'),
        ({"typical": 12.4}, "expected 1.15 to 1.5 g/cm3 for PLA; check for a slipped decimal"),
        ({"typical": 12.4, "polymer": "other"}, "expected 0.9 to 1.6 g/cm3; check"),
        ({"quantity": "tensile_strength", "typical": 40.0, "unit": "MPa"}, "direction: expected"),
        ({"quantity": "creep_modulus_fraction", "typical": 0.6, "unit": "1"}, "hours: expected"),
        ({"polymer": "PA"}, "states: expected the moisture states of a nylon"),
        ({"more": 'state = "dry"'}, "density.state = 'dry': expected one of the states"),
        ({"unit": "kg/m3"}, "unit = 'kg/m3': expected 'g/cm3'"),
        ({"more": "low = 1.3"}, "low ≤ typical ≤ high"),
        ({"more": "high = 1.0"}, "low ≤ typical ≤ high"),
        ({"more": "typcal = 1.0"}, "did you mean 'typical'"),
        ({"more": 'direction = "y"'}, "direction = 'y': expected one of xy, z"),
        ({"more": 'low_means = "5 % fractile"'}, "the 5 % fractile that low_means promises"),
        ({"typical": "inf"}, "a finite number"),
        ({"typical": "true"}, "a finite number"),
        ({"polymer": "oak"}, "polymer = 'oak': expected one of PLA"),
        ({"quantity": "glas_transition"}, "did you mean 'glass_transition'"),
    ],
)
def test_refusals(tmp_path: Path, changes: dict[str, object], message: str) -> None:
    with pytest.raises(JobFileError) as raised:
        load_table(extra=[plain(tmp_path, **changes)])
    text = str(raised.value)
    assert message in text
    assert "own.toml" in text
    assert "\n" not in text


def test_a_quantity_stands_once(tmp_path: Path) -> None:
    file = plain(tmp_path)
    text = file.read_text(encoding="utf-8")
    file.write_text(text + text[text.index("[[value]]") :], encoding="utf-8")
    with pytest.raises(JobFileError, match="each quantity once"):
        load_table(extra=[file])


CURVE = """
[[retention]]
quantity = "strength"
points = {points}
width = 0.1
condition = "test"
label = "memory"
citations = ["general_knowledge"]
"""


@pytest.mark.parametrize(
    ("points", "message"),
    [
        ("[[23, 1.0], [40, 0.8], [50, 0.9]]", "never rise"),
        ("[[23, 1.0], [23, 0.8]]", "rising temperatures"),
        ("[[20, 1.0], [40, 0.8]]", "starting with [23, 1.0]"),
        ("[[23, 1.0], [40, 1.8]]", "fractions from 0 to 1"),
        ("[[23, 1.0]]", "at least two"),
        ("[[23, 1.0], [40]]", "pairs"),
    ],
)
def test_curves_that_can_not_be(tmp_path: Path, points: str, message: str) -> None:
    file = plain(tmp_path)
    text = file.read_text(encoding="utf-8") + CURVE.format(points=points)
    file.write_text(text, encoding="utf-8")
    with pytest.raises(JobFileError) as raised:
        load_table(extra=[file])
    assert message in str(raised.value)


@pytest.mark.parametrize("text", ["grade = ", "\x00", "grade = 3", 'based_on = "lead"\ngrade="x"'])
def test_files_that_are_no_grade(tmp_path: Path, text: str) -> None:
    with pytest.raises(InputError, match=r"own\.toml"):
        load_table(extra=[write(tmp_path, text)])


def test_files_that_are_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="can't be read"):
        load_table(extra=[tmp_path / "none.toml"])


def test_incomplete_grade_is_told_where_it_is_asked(tmp_path: Path) -> None:
    mystery = load_table(extra=[plain(tmp_path)]).get("mystery")
    assert mystery.density_g_cm3 == 1.24
    with pytest.raises(InputError, match="no value for tensile_strength"):
        mystery.strength("in-layer tension", 23.0)
    assert mystery.softening_limit("sustained").limit_degc is None
    assert math.isclose(mystery.rule("generic_grade_scatter").typical, 5.0)


# --- merged visibly -----------------------------------------------------------------------------


def test_what_is_own_is_marked_and_what_it_replaces_stays_visible(tmp_path: Path) -> None:
    own = load_table(extra=[write(tmp_path, OWN)]).get("petg_workshop")
    assert own.own
    assert own.based_on == "petg"
    assert [v.quantity for v in own.values if v.own] == ["tensile_strength"]
    assert own.value("tensile_strength", "z").own
    replaced = next(v for v in own.alternatives if v.key == ("tensile_strength", "z", *[None] * 4))
    assert (replaced.typical, replaced.own) == (17.2, False)
    assert [s.id for s in own.own_sources] == ["own_coupons"]
    assert own.to_dict()["own"] is True


def test_shipped_grades_are_not_own() -> None:
    for filament in load_table():
        assert not filament.own
        assert not any(v.own for v in (*filament.values, *filament.alternatives))
        assert not any(r.own for r in filament.retentions)


OVERRIDE = OWN.replace(
    'grade = "petg_workshop"\nname = "PETG from the workshop"\nbased_on = "petg"',
    'overrides = "petg"',
)


def test_an_override_takes_the_place_of_the_shipped_grade(tmp_path: Path) -> None:
    table = load_table(extra=[write(tmp_path, OVERRIDE)])
    petg = table.get("PETG")
    assert len(table) == len(load_table())
    assert (petg.grade, petg.name, petg.own, petg.based_on) == ("petg", "PETG", True, "petg")
    assert petg.strength("interlayer tension", 23.0).strength_mpa == 19.5
    assert load_table().get("petg").value("tensile_strength", "z").typical == 17.2
    assert any(v.typical == 17.2 for v in petg.alternatives)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('overrides = "petg"', 'overrides = "petgg"', "overrides = 'petgg': expected one of"),
        (
            'overrides = "petg"',
            'overrides = "petg"\ngrade = "mine"',
            "no such key beside overrides",
        ),
        ('overrides = "petg"', 'overrides = "petg"\nbased_on = "pla"', "not both"),
        ("typical = 24.0", "typical = 60.0", "no more than in the layer (50.2 MPa)"),
        ("typical = 24.0", "typical = 2.4", "low ≤ typical ≤ high"),
    ],
)
def test_overrides_that_are_refused(tmp_path: Path, old: str, new: str, message: str) -> None:
    assert old in OVERRIDE
    with pytest.raises(JobFileError) as raised:
        load_table(extra=[write(tmp_path, OVERRIDE.replace(old, new))])
    assert message in str(raised.value)
    assert "own.toml" in str(raised.value)


ONE = """
overrides = "{grade}"
[[value]]
quantity = "{quantity}"
{more}
typical = {typical}
unit = "{unit}"
condition = "test"
label = "memory"
citations = ["general_knowledge"]
"""


@pytest.mark.parametrize(
    ("grade", "quantity", "more", "typical", "unit", "message"),
    [
        # [memory: ISO 75] the higher stress deflects sooner
        ("petg", "hdt_1p8", "", 75.0, "°C", "no more than hdt_0p45 (70 °C)"),
        # [common practice] an amorphous grade is soft at its glass transition
        ("petg", "hdt_0p45", "", 95.0, "°C", "no more than the glass transition (78 °C) plus 5 K"),
        ("pla", "hdt_0p45", "", 110.0, "°C", "a grade of its own: semi-crystalline"),
        ("petg", "glass_transition", "", 137.0, "°C", "65 to 90 °C for PETG"),
        ("petg", "density", "", 1.02, "g/cm3", "1.2 to 1.45 g/cm3 for PETG"),
        # a nylon's strength without its moisture state would count dry and moist alike
        ("pa6", "tensile_strength", 'direction = "xy"', 60.0, "MPa", "moisture state it was"),
    ],
)
def test_values_that_contradict_the_grade(
    tmp_path: Path, grade: str, quantity: str, more: str, typical: float, unit: str, message: str
) -> None:
    text = ONE.format(grade=grade, quantity=quantity, more=more, typical=typical, unit=unit)
    with pytest.raises(JobFileError) as raised:
        load_table(extra=[write(tmp_path, text)])
    assert message in str(raised.value)
    assert "\n" not in str(raised.value)


def test_an_own_curve_of_a_nylon_needs_its_state(tmp_path: Path) -> None:
    text = 'overrides = "pa6"\n' + CURVE.format(points="[[23, 1.0], [60, 0.7]]")
    with pytest.raises(JobFileError, match=r"strength.state: expected the moisture state"):
        load_table(extra=[write(tmp_path, text)])
    stated = text.replace('quantity = "strength"', 'quantity = "strength"\nstate = "dry"')
    pa6 = load_table(extra=[write(tmp_path, stated)]).get("pa6 dry")
    assert pa6.retention("strength", "xy", "dry").own
    hot = pa6.strength("in-layer tension", 60.0, bound="typical")
    assert hot.factors["retention"].value == 0.7


def test_a_good_override_changes_only_what_it_says(tmp_path: Path) -> None:
    text = ONE.format(
        grade="petg", quantity="glass_transition", more="low = 80.0", typical=82.0, unit="°C"
    )
    petg, shipped = load_table(extra=[write(tmp_path, text)]).get("petg"), load_table().get("petg")
    limit, before = (f.softening_limit("sustained").limit_degc for f in (petg, shipped))
    assert limit is not None
    assert before is not None
    assert limit - before == pytest.approx(4.0)
    assert petg.strength("bearing", 40.0) == shipped.strength("bearing", 40.0)
