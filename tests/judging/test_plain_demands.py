"""Forces and moments on parts without a formula of their own: a bar, by hand.

The bar is 60 x 20 x 12 mm, held at one end and loaded at the other; printed solid, so that beam
theory on the full rectangle holds: sigma = 6 M/(b h²), sigma = F/A, tau = 1.5 F/A [memory: any text
on strength of materials]. The first cut lies a thousandth of the length off the hold.
"""

from __future__ import annotations

import math

import pytest

from printplan.judging.demands.context import FAULT_SAFETY
from printplan.judging.demands.plain import plain_demands

#: Hold and load on the bar's axis, 50 mm apart; the worst cut is 0.1 % nearer.
HELD, AT, ARM = ["5 mm", "10 mm", "6 mm"], ["55 mm", "10 mm", "6 mm"], 50.0 * 0.999


def loaded(make, **load):
    return make.part(loads=[{"name": "trial", "at": AT, "held_at": HELD} | load])


def stresses(context):
    """Greatest stress of each direction, by load case."""
    return {(d.case, d.direction): d for d in plain_demands(context)}


def test_a_lying_bar_bends_in_its_layers(make):
    part = loaded(make, force=["0 N", "0 N", "-30 N"])
    found = stresses(make.context(part, solid=make.bar))
    tension = found["trial", "in-layer tension"]
    assert tension.stress_mpa == pytest.approx(6 * 30 * ARM / (20 * 12**2), rel=1e-3)
    shear = found["trial", "in-layer shear"]
    assert shear.stress_mpa == pytest.approx(1.5 * 30 / (20 * 12), rel=1e-3)
    assert ("trial", "interlayer tension") not in found
    assert tension.terms["force [N]"] == pytest.approx(30)
    assert tension.terms["moment [N·mm]"] == 0
    # The place is told in the file's frame: by the hold, at the stretched upper face.
    assert tension.terms["x in the file [mm]"] == pytest.approx(5.05, abs=0.01)
    assert tension.terms["z in the file [mm]"] == pytest.approx(12, abs=1e-6)


def test_a_standing_bar_opens_its_layers(make):
    """The same load on the same bar, printed on end."""
    part = loaded(make, force=["0 N", "0 N", "-30 N"])
    lying = stresses(make.context(part, solid=make.bar))
    standing = stresses(make.context(part, solid=make.bar, up="+x"))
    assert standing["trial", "interlayer tension"].stress_mpa == pytest.approx(
        lying["trial", "in-layer tension"].stress_mpa, rel=1e-6
    )
    assert ("trial", "in-layer tension") not in standing
    place = standing["trial", "interlayer tension"].terms
    assert place["z in the file [mm]"] == pytest.approx(12, abs=1e-6)


def test_pull_and_moment(make):
    pull = stresses(make.context(loaded(make, force=["240 N", "0 N", "0 N"]), solid=make.bar))
    assert pull["trial", "in-layer tension"].stress_mpa == pytest.approx(240 / (20 * 12), rel=1e-6)
    moment = loaded(make, moment=["0 N*m", "0 N*m", "1.6 N*m"])
    bent = stresses(make.context(moment, solid=make.bar))
    assert bent["trial", "in-layer tension"].stress_mpa == pytest.approx(
        6 * 1600 / (12 * 20**2), rel=1e-6
    )
    assert bent["trial", "in-layer tension"].terms["moment [N·mm]"] == pytest.approx(1600)


def test_infill_raises_the_stress(make):
    part = loaded(make, force=["0 N", "0 N", "-30 N"])
    solid, light = (
        stresses(make.context(part, solid=make.bar, recipe_name=name))[
            "trial", "in-layer tension"
        ].stress_mpa
        for name in ("solid", "light")
    )
    # 15 % infill counts with 0.15^1.5 in an inner rectangle, two walls smaller on each side.
    shell = 0.45 / 2 + 1.5 * (0.45 - 0.2 * (1 - math.pi / 4))
    inner = (20 - 2 * shell) * (12 - 2 * shell) ** 3
    left = 1 - (1 - 0.15**1.5) * inner / (20 * 12**3)
    assert light == pytest.approx(solid / left, rel=1e-3)


def test_shock_is_a_factor_of_its_own(make):
    force = ["0 N", "0 N", "-30 N"]
    calm = stresses(make.context(loaded(make, force=force), solid=make.bar))
    shaken = stresses(make.context(loaded(make, force=force, shock_factor=2.5), solid=make.bar))
    for key, demand in calm.items():
        assert demand.factors == {}
        assert shaken[key].factors == {"shock": 2.5}
        assert shaken[key].stress_mpa == pytest.approx(2.5 * demand.stress_mpa, rel=1e-12)


def test_duration_and_cycles_are_passed_on(make):
    often = loaded(make, force=["0 N", "0 N", "-30 N"], duration="repeated", cycles=5000)
    for demand in plain_demands(make.context(often, solid=make.bar)):
        assert (demand.duration, demand.cycles, demand.asked) == ("repeated", 5000.0, None)


def test_a_force_of_the_vehicle_comes_in_every_case(make):
    """The vehicle's pull, in its direction, times share and factors: each factor listed once."""
    part = loaded(make, force_of="belt shaft force", direction=[0, 0, -2], share=0.25)
    unit = stresses(make.context(loaded(make, force=["0 N", "0 N", "-1 N"]), solid=make.bar))
    cases = (
        make.case("stall", belt_shaft_force_n=400.0, housing_torque_nmm=9e3),
        make.case("fault", belt_shaft_force_n=900.0, housing_torque_nmm=2e4, fault=True),
        make.case(
            "cruise", belt_shaft_force_n=100.0, housing_torque_nmm=2e3, duration="repeated",
            cycles=1e6, torque_cycles=700.0, limited_by="demand",
        ),
        make.case("standing", belt_shaft_force_n=60.0, duration="sustained"),
    )  # fmt: skip
    found = stresses(make.context(part, *cases, solid=make.bar))
    for case in cases:
        demand = found[f"trial: {case.name}", "in-layer tension"]
        bare = case.belt_shaft_force_n * unit["trial", "in-layer tension"].stress_mpa
        assert demand.stress_mpa == pytest.approx(bare * math.prod(demand.factors.values()))
        assert demand.factors["share of this part"] == 0.25
        assert demand.factors["application K_A"] == (1.25 if case.name == "cruise" else 1.0)
        assert demand.asked == (FAULT_SAFETY if case.fault else None)
        assert demand.duration == case.duration
        assert demand.cycles == case.torque_comes


def test_the_moment_of_the_same_case_goes_with_the_force(make):
    part = loaded(
        make, force_of="belt shaft force", direction=[1, 0, 0], moment_of="motor torque",
        axis=[0, 0, 3],
    )  # fmt: skip
    case = make.case("stall", belt_shaft_force_n=240.0, motor_output_torque_nmm=1600.0)
    found = stresses(make.context(part, case, solid=make.bar))
    tension = found["trial: stall", "in-layer tension"]
    assert tension.stress_mpa == pytest.approx(240 / (20 * 12) + 6 * 1600 / (12 * 20**2), rel=1e-6)
    assert tension.terms["moment [N·mm]"] == pytest.approx(1600)


def test_a_shaft_that_overhangs_adds_its_moment(make):
    """A pull along x whose line passes 25 mm above the load's place: 25 F about y."""
    above = ["0 mm", "10 mm", "31 mm"]
    case = make.case("stall", belt_shaft_force_n=240.0)
    vehicle_load = loaded(
        make, force_of="belt shaft force", direction=[1, 0, 0], line_through=above
    )
    typed = loaded(make, force=["240 N", "0 N", "0 N"], line_through=above)
    by_hand = 240 / (20 * 12) + 6 * 25 * 240 / (20 * 12**2)
    for context, name in (
        (make.context(vehicle_load, case, solid=make.bar), "trial: stall"),
        (make.context(typed, solid=make.bar), "trial"),
    ):
        tension = stresses(context)[name, "in-layer tension"]
        assert tension.terms["moment [N·mm]"] == pytest.approx(25 * 240)
        assert tension.stress_mpa == pytest.approx(by_hand, rel=1e-6)
        # Pulled from above, the upper face is stretched most.
        assert tension.terms["z in the file [mm]"] == pytest.approx(12, abs=1e-6)


def test_several_loads_are_judged_one_by_one(make):
    part = make.part(
        loads=[
            {"name": "push", "at": AT, "held_at": HELD, "force": ["0 N", "0 N", "-30 N"]},
            {"name": "tug", "at": AT, "held_at": HELD, "force": ["240 N", "0 N", "0 N"]},
        ]
    )
    cases = {d.case for d in plain_demands(make.context(part, solid=make.bar))}
    assert cases == {"push", "tug"}
