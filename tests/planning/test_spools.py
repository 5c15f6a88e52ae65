"""Spools and plates: every plate is fed, no spool gives more than it has."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printplan.job.schema import Spool
from printplan.planning.result import Plate
from printplan.planning.spools import RESERVE, TAIL_G, assign_spools


def plate(number, grams, grade="PETG"):
    return Plate(
        number=number, printer="p", grade=grade, layer_height_mm=0.2, bed_mm=(200.0, 200.0),
        items=(), filament_g=grams, build_time_s=1.0,
    )  # fmt: skip


def spool(grade, mass):
    return Spool.model_validate({"grade": grade, "mass_left": mass})


@given(
    st.lists(st.floats(1.0, 2500.0), min_size=1, max_size=12),
    st.lists(st.floats(1.0, 1000.0), max_size=4),
)
def test_balance(grams, stock):
    plates = [plate(i, g) for i, g in enumerate(grams)]
    used = assign_spools(plates, [spool("PETG", f"{m} g") for m in stock], new_spool_g=1000.0)
    assert {n for s in used for n in s.plates} == set(range(len(grams)))
    taken = sum(s.mass_before_g - s.mass_after_g for s in used)
    assert taken == pytest.approx(RESERVE * sum(grams))
    for s in used:
        assert s.mass_after_g >= TAIL_G - 1e-6
        assert s.in_stock or s.mass_before_g == 1000.0
    for i, g in enumerate(grams):
        # A plate within a spool's reach stays on one spool.
        if RESERVE * g <= 1000.0 - TAIL_G:
            assert sum(i in s.plates for s in used) == 1


def test_stock_first_emptiest_that_suffices_and_grades_apart():
    used = assign_spools(
        [plate(1, 200.0), plate(2, 100.0, "ASA")],
        [spool("PETG", "1 kg"), spool("PETG", "300 g"), spool("ASA", "50 g")],
        new_spool_g=750.0,
    )
    petg, asa = used
    assert (petg.grade, petg.in_stock, petg.mass_before_g) == ("PETG", True, 300.0)
    assert petg.mass_after_g == pytest.approx(300.0 - 210.0)
    assert (asa.grade, asa.in_stock, asa.mass_before_g) == ("ASA", False, 750.0)
