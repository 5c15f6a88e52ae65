"""Faults: told where they only stop the vehicle, judged where somebody may be thrown."""

from __future__ import annotations

import pytest

from printplan.judging import check_demand, judge
from printplan.judging.faults import fault_findings


@pytest.fixture
def checks(petg, make):
    def build(fault_safety: float):
        def one(safety: float, asked: float | None):
            trial = check_demand(
                make.demand(1.0), petg, design_degc=40, upper_degc=45, required=1.0
            )
            return check_demand(
                make.demand(
                    trial.strength.strength_mpa / safety,
                    case="launch" if asked is None else "failed current limit",
                    asked=asked,
                ),
                petg,
                design_degc=40,
                upper_degc=45,
                required=1.75 if asked is None else asked,
            )

        return [one(3.0, None), one(fault_safety, 1.2)]

    return build


def test_a_broken_part_in_a_fault_is_told_but_not_refused(petg, make, checks):
    made = checks(0.5)
    counted, told = fault_findings(made, "stops the vehicle")
    assert counted == (made[0],)
    (reason,) = told
    assert reason.effect == "suitable"
    assert "in a fault (failed current limit) it would break" in reason.text
    assert "safety 0.50" in reason.text
    verdict = judge(petg, make.temperature(40, 45), counted, findings=told)
    assert verdict.suitability == "suitable"
    assert reason.text in [r.text for r in verdict.reasons]


def test_where_the_rider_may_be_thrown_the_fault_counts(petg, make, checks):
    made = checks(0.5)
    counted, told = fault_findings(made, "may throw the rider")
    assert counted == tuple(made)
    assert told == ()
    assert judge(petg, make.temperature(40, 45), counted).suitability == "unsuitable"


def test_a_fault_that_the_part_survives_is_no_finding(checks):
    made = checks(1.3)
    counted, told = fault_findings(made, "stops the vehicle")
    assert counted == (made[0],)
    assert told == ()


def test_the_worst_of_several_faults_is_named(checks):
    made = [*checks(0.8), checks(0.3)[1]]
    _, (reason,) = fault_findings(made, "stops the vehicle")
    assert "safety 0.30" in reason.text
