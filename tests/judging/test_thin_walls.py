"""Thin walls: what each judgement of the thickness does to the verdict."""

from __future__ import annotations

from types import SimpleNamespace
from typing import get_args

import pytest

from printplan.judging.thin_walls import wall_reasons
from printplan.part import load_solid, measure_solid
from printplan.part.thickness import Judgement, ThinRegion


def region(thickness_mm: float, judged: str, x_mm: float = 1.0) -> ThinRegion:
    return ThinRegion(
        place_mm=(x_mm, 2.0, 3.0),
        box_mm=((0.0, 0.0, 0.0), (9.0, 9.0, 9.0)),
        area_mm2=123.4,
        thickness_mm=thickness_mm,
        typical_mm=thickness_mm,
        bead_widths=thickness_mm / 0.45,
        judged=judged,
    )


def measured(*regions: ThinRegion) -> SimpleNamespace:
    return SimpleNamespace(thickness=SimpleNamespace(regions=regions))


@pytest.mark.parametrize(
    ("judged", "loaded", "idle"),
    [
        ("cannot be printed as drawn", "unsuitable", "unsuitable"),
        ("one bead only", "unsuitable", "marginal"),
        ("weak for a loaded wall", "marginal", "marginal"),
    ],
)
def test_effect_by_judgement(judged, loaded, idle):
    assert judged in get_args(Judgement)
    for carries, effect in ((True, loaded), (False, idle)):
        (reason,) = wall_reasons(measured(region(0.9, judged)), loaded=carries)
        assert (reason.topic, reason.effect) == ("wall", effect)
        assert judged in reason.text
        assert "0.90 mm (2.0 beads) over 123 mm² at x 1, y 2, z 3 mm" in reason.text


def test_the_thinnest_are_named_and_the_rest_counted():
    regions = [region(1.7 - 0.1 * i, "weak for a loaded wall", float(i)) for i in range(5)]
    reasons = wall_reasons(measured(*regions), loaded=True)
    assert len(reasons) == 4
    for reason, x in zip(reasons, (4, 3, 2), strict=False):
        assert f"at x {x}," in reason.text
    assert "2 more thin regions" in reasons[-1].text
    assert not wall_reasons(measured(), loaded=True)


@pytest.mark.parametrize(
    ("beads", "effect"), [(0.8, "unsuitable"), (1.5, "unsuitable"), (3.0, "marginal"), (5.0, None)]
)
def test_a_plate_of_so_many_beads(tmp_path, prism, beads, effect):
    """A real plate, measured: under two beads refused, under four doubtful, else not named."""
    plate = prism(tmp_path / "p.stl", [(0, 0), (30, 0), (30, 20), (0, 20)], 0.45 * beads)
    reasons = wall_reasons(measure_solid(load_solid(plate), line_width_mm=0.45), loaded=True)
    assert [r.effect for r in reasons] == ([] if effect is None else [effect])
    if effect is not None:
        assert f"{0.45 * beads:.2f} mm" in reasons[0].text
