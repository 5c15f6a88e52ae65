"""Ball bearings, shafts and a belt pulley against worked examples of textbooks.

T. H. Wentzell and U. C. Jindal (each: Machine Design), read in an open transcription of their
solved examples. Tolerance: the printed digits.
"""

import pytest

from printplan.elements import bearings, belts, shafts, torsion

LBF = 4.44822  # N
INCH = 25.4  # mm
PSI = 0.00689476  # MPa


def test_bearing_life_hours():
    """[source: Wentzell, ex. 20.1, p. 431]: C 5050, P 2400 lb, 1750 rpm."""
    life = bearings.rating_life_mrev(5050 * LBF, 2400 * LBF)
    assert bearings.life_hours(life, 1750) == pytest.approx(88.73, abs=0.006)


@pytest.mark.parametrize(("ring_factor", "printed"), [(1.0, 57.3), (1.2, 43.46)])
def test_bearing_life_with_thrust(ring_factor, printed):
    """[source: Jindal, ex. 18-2, p. 508]: C 5590, F_r 1250, F_a 625 N, X 0.56, Y 1.2."""
    load = bearings.equivalent_load_n(
        1250.0, 625.0, radial_factor=0.56, axial_factor=1.2, ring_factor=ring_factor
    )
    assert bearings.rating_life_mrev(5590.0, load) == pytest.approx(printed, abs=0.006)


def test_rating_for_a_reliability():
    """[source: Jindal, ex. 18-7, p. 511]: 3500 N, 6000 h, 1400 rpm, R 98 %, exponent 1.17."""
    millions = 60 * 1400 * 6000 / 1e6
    assert bearings.required_rating_n(3500.0, millions, 0.98, 1.17) == pytest.approx(
        44_589, abs=0.5
    )


def test_sprocket_shaft():
    """[source: Wentzell, ex. 4.4, p. 71]: 20 hp, 500 rpm, sprocket 8 in, shaft 1.25 in, span 12 in."""
    torque = 63000 * 20 / 500 * LBF * INCH
    pull = torque / (4 * INCH)
    bending = shafts.round_bar_bending_stress_mpa(
        shafts.span_moment_nmm(pull, 6 * INCH, 12 * INCH), 1.25 * INCH
    )
    shear = torsion.tube_torsion_stress_mpa(torque, 1.25 * INCH)
    largest = shafts.largest_principal_stress_mpa(bending, shear)
    assert largest / PSI == pytest.approx(13_142.28, rel=1e-5)


def test_axle_with_reversed_bending():
    """[source: Jindal, ex. 15-7, p. 424]: d 20 mm, M 32 N m reversed, T 47 N m steady."""
    factor = shafts.elliptic_fatigue_factor(
        shafts.round_bar_bending_stress_mpa(32e3, 20.0),
        torsion.tube_torsion_stress_mpa(47e3, 20.0),
        fatigue_strength_mpa=75.0,
        shear_yield_mpa=165.0,
    )
    assert factor == pytest.approx(1.75, abs=0.005)


def test_belt_pull():
    """[source: Wentzell, ex. 14.1, p. 306]: 2 hp, 2450 rpm, pulley 6 in, slack side 10 lb.

    Printed tight side 27.14 lb; the transcriber notes an error in the book's other answer.
    """
    torque = 63000 * 2 / 2450 * LBF * INCH
    assert 10 + belts.effective_force_n(torque, 6 * INCH) / LBF == pytest.approx(27.14, abs=0.005)
