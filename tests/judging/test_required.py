"""Which safety factor is asked, and of what.

The numbers are those of [source: Pugsley safety-factor table as reproduced on a public engineering
page]: n = n1 n2, n1 for material good and analysis good 1.75 with load control good and 2.05 with
fair; n2 1.0 where danger to people is not serious, 1.4 where it is very serious (economic impact
not serious). How a home-printed part is graded is a choice of ours.
"""

from __future__ import annotations

import pytest

from printplan.judging import required_safety
from printplan.judging.required import danger_of

TABLES = {
    "gear": {"teeth": 16, "mate_teeth": 12, "module": "4 mm", "face_width": "12 mm"},
    "socket": {"across_flats": "17 mm", "length": "20 mm", "hub_diameter": "34 mm"},
    "pin_seat": {"pin_diameter": "8 mm", "length": "8 mm", "radius": "30 mm"},
    "bolt_circle": {
        "screws": "ISO 4762 M5x20", "count": 4, "pitch_diameter": "40 mm",
        "screw_diameter": "5 mm", "thickness": "6 mm",
    },
    "belt_teeth": {"teeth": 40, "pitch": "8 mm", "root_width": "5 mm", "face_width": "20 mm"},
}  # fmt: skip


def stated(make, role, **more):
    needed = {
        "side gear": ("gear", "socket"),
        "planet pinion": ("gear", "pin_seat"),
        "housing": ("bolt_circle", "pin_seat"),
        "pulley": ("belt_teeth", "bolt_circle"),
        "hub adapter": ("socket", "bolt_circle"),
    }.get(role, ())
    return make.part(role=role, **{key: TABLES[key] for key in needed}, **more)


@pytest.mark.parametrize(
    ("role", "first", "second"),
    [
        ("side gear", 1.75, 1.0),
        ("planet pinion", 1.75, 1.0),
        ("housing", 1.75, 1.0),
        ("pulley", 1.75, 1.0),
        ("motor mount", 1.75, 1.0),
        ("hub adapter", 1.75, 1.4),
        ("clamp", 2.05, 1.4),
        ("joint", 2.05, 1.4),
        ("bracket", 2.05, 1.0),
        ("hook", 2.05, 1.0),
        ("other", 2.05, 1.0),
    ],
)
def test_factor_by_role(make, role, first, second):
    required = required_safety(stated(make, role))
    assert required.factor == pytest.approx(first * second)
    # Allowable pressures hold a margin of their own: only the danger to people comes on top.
    assert required.bearing == pytest.approx(second)
    assert required.danger == ("may throw the rider" if second > 1 else "stops the vehicle")
    assert required.danger in required.reason
    assert "Pugsley" in required.reason


@pytest.mark.parametrize("danger", ["stops the vehicle", "may throw the rider"])
def test_the_job_file_may_say_what_a_break_does(make, danger):
    for role in ("hub adapter", "bracket"):
        part = stated(make, role, if_it_breaks=danger)
        assert danger_of(part) == danger
        assert required_safety(part).danger == danger
    hub = required_safety(stated(make, "hub adapter", if_it_breaks=danger))
    assert hub.factor == pytest.approx(1.75 * (1.4 if danger == "may throw the rider" else 1.0))


def test_the_job_file_may_set_the_factor(make):
    required = required_safety(stated(make, "bracket", required_safety=4.1))
    assert (required.factor, required.reason) == (4.1, "set in the job file")
    assert required.bearing == pytest.approx(4.1 / 2.05)
    # A factor below the table's own asks for the allowable pressure itself, never for less.
    assert required_safety(stated(make, "bracket", required_safety=1.2)).bearing == 1.0


def test_what_is_asked_of_one_demand(make):
    required = required_safety(stated(make, "clamp"))
    assert required.asked_of(make.demand()) == required.factor
    assert required.asked_of(make.demand(direction="bearing")) == required.bearing
    assert required.asked_of(make.demand(asked=1.2)) == 1.2
    assert required.asked_of(make.demand(direction="bearing", asked=1.2)) == 1.2
