"""The verdict: the worst reason decides, and every reason carries its numbers."""

from __future__ import annotations

from dataclasses import replace

import pytest

from printplan.climate import Exposure, part_temperature, surroundings_of
from printplan.climate.contacts import MotorCase
from printplan.filament import load_table
from printplan.judging import Reason, check_demand, judge


@pytest.fixture
def check(petg, make):
    """A check at given temperatures with a chosen safety at the lower bound."""

    def build(
        over: float,
        *,
        design_degc: float = 40.0,
        upper_degc: float = 45.0,
        required: float = 2.0,
        **values,
    ):
        trial = check_demand(
            make.demand(1.0, **values),
            petg,
            design_degc=design_degc,
            upper_degc=upper_degc,
            required=required,
        )
        stress = trial.strength.strength_mpa / (over * required)
        return check_demand(
            make.demand(stress, **values),
            petg,
            design_degc=design_degc,
            upper_degc=upper_degc,
            required=required,
        )

    return build


def found(verdict, topic):
    return [r for r in verdict.reasons if r.topic == topic]


EFFECTS = ("suitable", "marginal", "not judged", "unsuitable")


@pytest.mark.parametrize("worse", EFFECTS)
@pytest.mark.parametrize("other", EFFECTS)
def test_the_worst_reason_decides_and_comes_first(petg, make, worse, other):
    findings = [
        Reason(topic="wall", effect=effect, text=f"{effect} finding") for effect in (other, worse)
    ]
    verdict = judge(petg, make.temperature(30, 35), (), findings=findings)
    worst = max((worse, other), key=EFFECTS.index)
    assert verdict.suitability == worst
    ranks = [EFFECTS.index(r.effect) for r in verdict.reasons]
    assert ranks == sorted(ranks, reverse=True)
    assert f"{worst} finding" in verdict.deciding
    assert all(r.effect == worst for r in verdict.reasons if r.text in verdict.deciding)


@pytest.mark.parametrize(
    ("design", "upper", "effect", "word"),
    [
        (-20.0, -0.5, "suitable", "stays firm"),
        (-5.0, 0.0, "suitable", "stays firm"),
        (-5.0, 0.5, "marginal", "may soften"),
        (0.0, 5.0, "marginal", "may soften"),
        (0.5, 5.0, "unsuitable", "softens: "),
    ],
)
@pytest.mark.parametrize("duration", ["single", "sustained"])
def test_heat_is_three_valued_round_the_limit(
    petg, make, check, design, upper, effect, word, duration
):
    """Design and upper temperature a little below and above the limit of this kind of load."""
    kind = "sustained" if duration == "sustained" else "shape only"
    limit = petg.softening_limit(kind).limit_degc
    held = check(50.0, design_degc=23.0, upper_degc=23.0, duration=duration)
    verdict = judge(petg, make.temperature(limit + design, limit + upper), [held])
    (heat,) = found(verdict, "heat")
    assert heat.effect == effect
    assert heat.text.startswith(word)
    assert f"holds up to {limit:.0f}" in heat.text
    assert verdict.limit.limit_degc == limit
    assert ("lasting load" in heat.text) == (duration == "sustained")


def test_lasting_load_lowers_the_limit(petg, make, check):
    short = judge(petg, make.temperature(40, 45), [check(9.0)])
    lasting = judge(petg, make.temperature(40, 45), [check(9.0), check(9.0, duration="sustained")])
    assert lasting.limit.limit_degc < short.limit.limit_degc


def test_a_semi_crystalline_limit_falls_with_the_stress(make):
    nylon = load_table().get("PA12")
    limits = []
    for stress in (0.2, 1.0, 3.0):
        check = check_demand(
            make.demand(stress), nylon, design_degc=30, upper_degc=35, required=2.0
        )
        limits.append(judge(nylon, make.temperature(30, 35), [check]).limit.limit_degc)
    assert limits[0] > limits[1] > limits[2]


def test_strength_is_three_valued(petg, make, check):
    hot = make.temperature(40, 45)
    strong = check(3.0)
    assert strong.holds_hottest
    verdict = judge(petg, hot, [strong])
    assert verdict.suitability == "suitable"
    assert found(verdict, "strength")[0].text.startswith("strong enough: ")

    between = check(1.0001)
    assert between.holds
    assert not between.holds_hottest
    verdict = judge(petg, hot, [strong, between])
    assert verdict.suitability == "marginal"
    (reason,) = found(verdict, "strength")
    assert f"safety {between.safety_hottest:.2f}, asked 2.00" in reason.text
    assert "45 °C" in reason.text

    weak = check(0.9)
    verdict = judge(petg, hot, [strong, between, weak])
    assert verdict.suitability == "unsuitable"
    assert verdict.tightest is weak
    assert verdict.margin == pytest.approx(0.9)
    first = found(verdict, "strength")[0]
    assert f"safety {weak.safety:.2f}, asked 2.00" in first.text
    assert "40 °C" in first.text
    assert [c.safety for c in verdict.checks] == sorted(c.safety for c in verdict.checks)


def test_the_tightest_check_is_relative_to_what_is_asked(petg, make, check):
    """Safety 2.4 of 3 asked is tighter than 1.5 of 1.2 asked."""
    person, fault = check(0.8, required=3.0), check(1.25, required=1.2)
    assert fault.safety < person.safety
    assert judge(petg, make.temperature(40, 45), [fault, person]).tightest is person


def test_texts_say_how_long_the_load_lasts(petg, make, check):
    hot = make.temperature(40, 45)
    often = judge(petg, hot, [check(0.5, duration="repeated", cycles=200_000.0)])
    text = found(often, "strength")[0].text
    assert "200" in text
    assert "000 times" in text
    lasting = judge(petg, hot, [check(0.5, duration="sustained")])
    assert "for hours" in found(lasting, "strength")[0].text


def test_missing_loads_are_not_passed(petg, make):
    verdict = judge(petg, make.temperature(30, 35), (), loads_missing="no load is given")
    assert verdict.suitability == "not judged"
    assert verdict.deciding == ("no load is given",)
    assert verdict.tightest is None
    assert verdict.margin is None


def test_a_missing_softening_value_is_not_passed(petg, make):
    bare = replace(petg, values=tuple(v for v in petg.values if v.quantity != "glass_transition"))
    verdict = judge(bare, make.temperature(30, 35), ())
    assert verdict.suitability == "not judged"
    assert "glass_transition" in verdict.deciding[0]
    assert verdict.to_dict()["softening_limit_degc"] is None


def test_softening_outweighs_what_is_not_judged(petg, make):
    verdict = judge(petg, make.temperature(95, 99), (), loads_missing="no load is given")
    assert verdict.suitability == "unsuitable"
    assert "no load is given" in [r.text for r in verdict.reasons]


def test_sunlight_makes_a_weak_grade_marginal(make):
    """ABS yellows and embrittles outdoors, ASA was made against it: *common practice, no source*."""
    table = load_table()
    cool = make.temperature(30, 35)
    abs_, asa = table.get("ABS"), table.get("ASA")
    outside = judge(abs_, cool, (), outdoors=True)
    assert outside.suitability == "marginal"
    assert found(outside, "weather")[0].effect == "marginal"
    assert not found(judge(abs_, cool, (), outdoors=False), "weather")
    assert not found(judge(asa, cool, (), outdoors=True), "weather")


def test_a_tenth_is_shown_where_whole_degrees_would_look_equal(petg, make):
    limit = petg.softening_limit("shape only").limit_degc
    (heat,) = found(judge(petg, make.temperature(limit + 0.2, limit + 0.3), []), "heat")
    assert f"reaches {limit + 0.2:.1f} °C" in heat.text
    assert f"holds up to {limit:.1f} °C" in heat.text
    (heat,) = found(judge(petg, make.temperature(limit + 5, limit + 8), []), "heat")
    assert f"holds up to {limit:.0f} °C" in heat.text


def test_missing_weathering_is_not_judged(petg, make):
    bare = replace(petg, values=tuple(v for v in petg.values if v.quantity != "uv_resistance"))
    outside = judge(bare, make.temperature(30, 35), (), outdoors=True)
    assert outside.suitability == "not judged"
    assert "uv_resistance" in outside.deciding[0]
    assert judge(bare, make.temperature(30, 35), (), outdoors=False).suitability == "suitable"


@pytest.mark.parametrize(
    ("grade", "exposure", "cure"),
    [
        # Short loads: PETG holds up to 60 °C, PLA to 46, ASA to 85.
        ("PETG", Exposure(colour="black"), "painted white it would stay firm"),
        ("ASA", Exposure(shelter="dashboard", colour="white"), "in open shade it would stay firm"),
        ("PLA", Exposure(colour="black"), "white and in open shade it would stay firm"),
        ("PLA", Exposure(colour="white", shelter="dashboard"), "in open shade it would stay firm"),
        ("PLA", Exposure(shelter="shade", neighbours=(MotorCase(duty="hard"),)), "keep it away"),
        ("PETG", Exposure(colour="white", neighbour_degc=90.0), "neither colour nor shade"),
    ],
)
def test_only_cures_that_work_are_named(grade, exposure, cure):
    hot = part_temperature(surroundings_of("temperate"), exposure)
    (heat,) = found(judge(load_table().get(grade), hot, ()), "heat")
    assert heat.effect in ("unsuitable", "marginal")
    assert cure in heat.text


def test_weak_points_tell_of_products_that_soften_sooner(make):
    """PLA: the table's range of glass transitions runs down to 45 °C."""
    told = " ".join(judge(load_table().get("PLA"), make.temperature(30, 35), ()).weak_points)
    assert "glass_transition" in told
    assert "45" in told


def test_unmet_needs_refuse(petg, make):
    verdict = judge(
        petg, make.temperature(30, 35), (), unmet_needs=("needs an enclosure", "bed too cold")
    )
    assert verdict.suitability == "unsuitable"
    assert [r.text for r in found(verdict, "printer")] == [
        "can't be printed here: needs an enclosure",
        "can't be printed here: bed too cold",
    ]


def test_to_dict_keeps_every_reason(petg, make, check):
    verdict = judge(petg, make.temperature(40, 45), [check(0.5), check(3.0)])
    told = verdict.to_dict()
    assert told["suitability"] == "unsuitable"
    assert told["reasons"] == [r.text for r in verdict.reasons]
    assert [f["text"] for f in told["findings"]] == told["reasons"]
    assert told["least_safety"] == pytest.approx(1.0)
    assert told["required_safety"] == 2.0
    assert len(told["checks"]) == 2
