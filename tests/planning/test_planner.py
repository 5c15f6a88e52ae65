"""The planner on a small job: ranking, recipes, sums, plates, refusals."""

from __future__ import annotations

import json
import struct
from dataclasses import replace
from pathlib import Path

import pytest

from printplan.cli.output import as_plain
from printplan.errors import InputError, JobFileError, MeshFileError
from printplan.filament import load_table
from printplan.job import read_job
from printplan.planning import plan_job
from printplan.planning.inputs import LADDER
from printplan.planning.plates import EDGE_MM, GAP_MM
from printplan.planning.spools import RESERVE, TAIL_G

RANK = ("suitable", "marginal", "not judged", "unsuitable")
SAMPLE = Path(__file__).parents[2] / "sample_meshes" / "orchard_carrier"


@pytest.fixture(scope="module")
def plan(tmp_path_factory, write_small_job):
    """The small job, planned once."""
    return plan_job(read_job(write_small_job(tmp_path_factory.mktemp("small"))))


@pytest.fixture
def planned(tmp_path, write_small_job):
    """Plan the small job, or some of its parts, with changes of its text."""

    def run(*changes, **parts):
        return plan_job(read_job(write_small_job(tmp_path, *changes, **parts)))

    return run


ONE = {"parts": ("light bracket",)}
COVER = {"parts": ("cover",)}


def test_the_cheapest_suitable_filament_is_picked(plan):
    part = plan.parts[0]
    suitable = [c for c in part.candidates if c.verdict.suitability == "suitable"]
    assert len(suitable) >= 2  # otherwise this test proves nothing
    cheapest = min(suitable, key=lambda c: c.consumption.cost)
    assert part.best is cheapest
    assert part.pick == cheapest.verdict.grade
    assert part.cost == pytest.approx(2 * cheapest.consumption.cost)


def test_candidates_are_ranked_by_verdict_then_cost(plan):
    for part in plan.parts:
        assert {c.verdict.grade for c in part.candidates} == {"PLA", "ASA", "PETG"}
        ranks = [RANK.index(c.verdict.suitability) for c in part.candidates]
        assert ranks == sorted(ranks)
        for rank in set(ranks) - {RANK.index("unsuitable")}:
            costs = [
                c.consumption.cost for c, r in zip(part.candidates, ranks, strict=True) if r == rank
            ]
            assert costs == sorted(costs)


def test_a_dearer_spool_changes_the_pick(plan, planned):
    before = plan.parts[0]
    cheap = before.pick
    assert cheap == "PETG"
    dear = planned(("20 EUR/kg", "90 EUR/kg"), **ONE).parts[0]
    assert dear.pick == "ASA"
    old = {c.verdict.grade: c.consumption for c in before.candidates}
    new = {c.verdict.grade: c.consumption for c in dear.candidates}
    assert new["ASA"].cost == old["ASA"].cost
    assert new["PETG"].filament_g == old["PETG"].filament_g
    # Filament alone is 4.5 times as dear; the rest of the cost is as before.
    assert new["PETG"].cost_by_item["filament"] == pytest.approx(
        4.5 * old["PETG"].cost_by_item["filament"]
    )


def test_the_ladder_stops_at_the_first_recipe_that_suits(planned):
    """The factor asked is put between what two recipes give, so only the later one suits."""
    only_asa = ('"PLA", "ASA", "PETG"', '"ASA"')

    def asa(stated: str):
        (found,) = planned(
            only_asa, ('role = "bracket"', f'role = "bracket"\n{stated}'), **ONE
        ).parts
        return found.best

    light, sturdy = (
        asa(f'recipe = {{ like = "{name}" }}').verdict.tightest.safety_hottest
        for name in ("light", "sturdy")
    )
    asked = (light * sturdy) ** 0.5
    assert light < asked < sturdy
    best = asa(f"required_safety = {asked}")
    assert best.verdict.suitability == "suitable"
    assert best.recipe.name == "sturdy"
    assert len(best.tried) == 1
    assert best.tried[0].startswith("light: section between hold and load")
    lightest = asa("required_safety = 1.0")
    assert (lightest.recipe.name, lightest.tried) == ("light", ())


def test_what_suits_no_recipe_tells_all_that_were_tried(plan):
    for part in plan.parts:
        for candidate in part.candidates:
            tried = [text.split(":")[0] for text in candidate.tried]
            at = LADDER.index(candidate.recipe.name)
            if candidate.verdict.suitability == "suitable":
                assert tried == list(LADDER[:at])
            else:
                assert tried == [name for name in LADDER if name != candidate.recipe.name]


def test_pla_softens_in_the_sun(plan):
    for part in plan.parts[:2]:
        (pla,) = (c.verdict for c in part.candidates if c.verdict.grade == "PLA")
        assert pla.suitability == "unsuitable"
        assert any(text.startswith("softens") for text in pla.deciding)


def test_a_thin_part_without_load_is_not_judged_and_still_priced(plan):
    cover = plan.parts[2]
    assert cover.pick is None
    assert plan.unfit == (cover,)
    assert cover.best.verdict.suitability == "not judged"
    walls = [r for r in cover.best.verdict.reasons if r.topic == "wall"]
    assert "0.60 mm" in walls[0].text
    assert any("no filament is fit" in text for text in cover.warnings)
    assert any("no filament is fit for: cover" in text for text in plan.warnings)
    assert cover.filament_g > 0


def test_totals_are_the_sums_over_the_parts(plan):
    total = plan.totals
    assert total.pieces == sum(p.quantity for p in plan.parts) == 4
    for name in ("filament_g", "filament_m", "build_time_s", "cost"):
        assert getattr(total, name) == pytest.approx(sum(getattr(p, name) for p in plan.parts))
        for part in plan.parts:
            one = getattr(part.best.consumption, name)
            assert getattr(part, name) == pytest.approx(part.quantity * one)
    each = [(p.quantity, p.best.consumption) for p in plan.parts]
    assert total.energy_wh == pytest.approx(sum(n * c.energy_wh for n, c in each))
    assert total.cost_low == pytest.approx(sum(n * c.cost_range[0] for n, c in each))
    assert total.cost_high == pytest.approx(sum(n * c.cost_range[1] for n, c in each))
    assert total.time_low_s == pytest.approx(sum(n * c.build_time_s_range[0] for n, c in each))
    assert total.time_high_s == pytest.approx(sum(n * c.build_time_s_range[1] for n, c in each))
    assert total.cost_low < total.cost < total.cost_high
    assert total.hardware_cost == pytest.approx(4 * 0.20)


def test_plates_hold_every_piece_once(plan):
    held = [item.part for plate in plan.plates for item in plate.items]
    assert sorted(held) == sorted(p.name for p in plan.parts for _ in range(p.quantity))
    assert [p.number for p in plan.plates] == list(range(1, len(plan.plates) + 1))
    by_name = {p.name: p for p in plan.parts}
    for plate in plan.plates:
        grades = {by_name[i.part].best.verdict.grade for i in plate.items}
        assert grades == {plate.grade}
        assert plate.filament_g == pytest.approx(
            sum(by_name[i.part].best.consumption.filament_g for i in plate.items)
        )
        # Heating up and homing are done once a plate.
        alone = sum(by_name[i.part].best.consumption.build_time_s for i in plate.items)
        assert plate.build_time_s <= alone * (1 + 1e-12)
        width, depth = plate.bed_mm
        for item in plate.items:
            assert EDGE_MM <= item.x_mm <= width - EDGE_MM - item.width_mm + 1e-9
            assert EDGE_MM <= item.y_mm <= depth - EDGE_MM - item.depth_mm + 1e-9
        for i, a in enumerate(plate.items):
            for b in plate.items[:i]:
                apart_x = max(a.x_mm - b.x_mm - b.width_mm, b.x_mm - a.x_mm - a.width_mm)
                apart_y = max(a.y_mm - b.y_mm - b.depth_mm, b.y_mm - a.y_mm - a.depth_mm)
                assert max(apart_x, apart_y) >= GAP_MM - 1e-9
    for printer in plan.printers:
        own = [p for p in plan.plates if p.printer == printer.printer]
        assert printer.plates == len(own)
        assert printer.build_time_s == pytest.approx(sum(p.build_time_s for p in own))


def test_spools_feed_every_plate_and_stock_goes_first(plan):
    fed = sorted(n for spool in plan.spools for n in spool.plates)
    assert fed == [p.number for p in plan.plates]
    (stock,) = (s for s in plan.spools if s.in_stock)
    assert (stock.grade, stock.mass_before_g) == ("PETG", 400.0)
    need = RESERVE * sum(p.filament_g for p in plan.plates if p.grade == "PETG")
    assert stock.mass_after_g == pytest.approx(400.0 - need)
    assert stock.mass_after_g >= TAIL_G
    bought = {}
    for spool in plan.spools:
        if not spool.in_stock:
            bought[spool.grade] = bought.get(spool.grade, 0) + 1
    assert plan.totals.spools_to_buy == bought


def test_json_carries_what_is_promised(plan):
    text = json.dumps(as_plain(plan), allow_nan=False)
    told = json.loads(text)
    for part, own in zip(told["parts"], plan.parts, strict=True):
        assert part["name"] == own.name
        assert part["quantity"] == own.quantity
        assert part["pick"] == own.pick
        assert set(part["verdicts"]) == {"PLA", "ASA", "PETG"}
        for grade, verdict in part["verdicts"].items():
            assert verdict["suitability"] in RANK
            assert verdict["reasons"]
            (same,) = (c for c in own.candidates if c.verdict.grade == grade)
            assert verdict["reasons"] == [r.text for r in same.verdict.reasons]
        for name in ("filament_g", "filament_m", "build_time_s", "cost"):
            assert part[name] == getattr(own, name)
    for name in ("filament_g", "filament_m", "build_time_s", "cost"):
        assert told["total"][name] == getattr(plan.totals, name)
        assert told["total"][name] == pytest.approx(sum(p[name] for p in told["parts"]))
    assert told["cautions"]
    assert told["loads"] is None


def test_frame_has_a_row_for_each_part(plan):
    frame = plan.to_frame()
    assert list(frame["name"]) == [p.name for p in plan.parts]
    assert set(frame.columns) >= {
        "name", "role", "quantity", "pick", "priced_as", "verdict", "recipe", "printer",
        "part_temperature_degc", "least_safety", "required_safety", "thinnest_wall_mm",
        "filament_g", "filament_m", "build_time_s", "cost", "reasons",
        "verdict_PLA", "verdict_ASA", "verdict_PETG",
    }  # fmt: skip
    # Rounded for reading, so to half of the last digit shown.
    assert frame["cost"].sum() == pytest.approx(plan.totals.cost, abs=0.005 * len(frame))
    assert frame["filament_g"].sum() == pytest.approx(plan.totals.filament_g, abs=0.02)
    assert list(frame["pick"]) == [p.pick or "" for p in plan.parts]


def test_two_runs_say_the_same(plan, planned):
    """Byte by byte, whatever order the threads took."""
    assert json.dumps(as_plain(planned())) == json.dumps(as_plain(plan))


def test_progress_rises_to_the_end(tmp_path, write_small_job):
    told = []
    file = write_small_job(tmp_path, parts=("light bracket", "cover"))
    plan_job(read_job(file), lambda share, text: told.append((share, text)))
    shares = [share for share, _ in told]
    assert shares == sorted(shares)
    assert 0 <= shares[0] < shares[-1] <= 1
    for name in ("light bracket", "cover"):
        assert any(name in text for _, text in told)


def test_a_part_too_big_for_every_printer(planned):
    small = 'name = "bench printer"\nbuild_volume = ["50 mm", "50 mm", "50 mm"]'
    also = 'name = "closed printer"\nbuild_volume = ["55 mm", "55 mm", "55 mm"]'
    plan = planned(
        ('name = "bench printer"', small),
        ('name = "closed printer"', also),
        parts=("light bracket", "cover"),
    )
    bracket = plan.parts[0]
    assert bracket.pick is None
    assert bracket.best.printer is None
    assert any("too big for" in text for text in bracket.best.verdict.deciding)
    assert "on no plate, and nothing to buy for: light bracket" in plan.warnings
    assert {i.part for p in plan.plates for i in p.items} == {"cover"}


def test_the_printer_that_can_is_used(plan, planned):
    """ASA wants a closed machine [common practice]; PETG stays on the first printer."""
    printers = {c.verdict.grade: c.printer for c in plan.parts[0].candidates}
    assert printers["PETG"] == "bench printer"
    assert printers["ASA"] == "closed printer"
    open_only = planned(
        ('class = "fast enclosed machine"', 'class = "slow bed-moving machine"'), **ONE
    )
    (asa,) = (c for c in open_only.parts[0].candidates if c.verdict.grade == "ASA")
    assert asa.printer is None
    assert asa.verdict.suitability == "unsuitable"
    assert any("enclosure" in text for text in asa.verdict.deciding)


def test_the_cheaper_printer_takes_the_part(planned):
    """Both classes print PETG; the one that costs less is taken, whichever is named first."""
    slow, fast = 'class = "slow bed-moving machine"', 'class = "fast enclosed machine"'

    def petg(*changes):
        (part,) = planned(*changes, **ONE).parts
        return {c.verdict.grade: c for c in part.candidates}["PETG"]

    all_slow, all_fast = petg((fast, slow)), petg((slow, fast))
    cheap, dear = sorted((all_slow, all_fast), key=lambda c: c.consumption.cost)
    assert cheap.consumption.cost < dear.consumption.cost
    as_named = petg()
    turned = petg((slow, "class = ?"), (fast, slow), ("class = ?", fast))
    assert as_named.consumption.cost == turned.consumption.cost == cheap.consumption.cost
    assert as_named.printer != turned.printer


def test_another_currency_is_told(planned):
    plan = planned(
        ("title =", 'currency = "CHF"\ntitle ='),
        ("0.30 EUR/kWh", "0.30 CHF/kWh"),
        ("20 EUR/kg", "20 CHF/kg"),
        ("0.20 EUR", "0.20 CHF"),
        **COVER,
    )
    assert plan.currency == "CHF"
    assert all(any("CHF" in text for text in p.warnings) for p in plan.parts)


def test_values_that_a_grade_lacks_leave_it_unjudged(planned, monkeypatch):
    table = load_table()
    petg = table.get("PETG")
    poor = replace(
        petg,
        values=tuple(v for v in petg.values if v.quantity != "shear_to_tensile_ratio"),
    )
    monkeypatch.setattr(
        "printplan.planning.planner.load_table",
        lambda **_: replace(table, grades={**table.grades, "petg": poor}),
    )
    part = planned(**ONE).parts[0]
    (judged,) = (c.verdict for c in part.candidates if c.verdict.grade == "PETG")
    assert judged.suitability == "not judged"
    assert "shear_to_tensile_ratio" in judged.deciding[0]
    assert part.pick == "ASA"


def test_weather_counts_outdoors_only(planned):
    """ABS embrittles in sunlight (its rating in the table); under a roof that is no matter."""
    only_abs = ('"PLA", "ASA", "PETG"', '"ABS"')
    outside = planned(only_abs, **COVER).parts[0]
    inside = planned(only_abs, ('shelter = "shade"', 'shelter = "shed"'), **COVER).parts[0]
    topics = [[r.topic for r in part.best.verdict.reasons] for part in (outside, inside)]
    assert "weather" in topics[0]
    assert "weather" not in topics[1]


def test_an_own_grade_beside_the_job_file_is_considered(planned, tmp_path):
    """Based on PETG with nothing changed, it gets PETG's verdict for its own name."""
    text = 'grade = "own_shed_petg"\nname = "shed PETG"\nbased_on = "petg"\n'
    (tmp_path / "own.toml").write_text(text, encoding="utf-8")
    part = planned(
        ("title =", 'own_filaments = ["own.toml"]\ntitle ='),
        ('"PLA", "ASA", "PETG"', '"PETG", "shed PETG"'),
        **ONE,
    ).parts[0]
    verdicts = {c.verdict.grade: c.verdict for c in part.candidates}
    assert set(verdicts) == {"PETG", "shed PETG"}
    own, plain = verdicts["shed PETG"], verdicts["PETG"]
    assert own.suitability == plain.suitability
    assert own.margin == plain.margin


def test_names_that_nobody_knows_stop_the_plan(planned):
    for change, told in (
        (('"ASA"', '"ASSA"'), "filaments[1] = 'ASSA'"),
        (("[prices]", '[climate]\nplace = "tropcal"\n[prices]'), "climate.place = 'tropcal'"),
        (('colour = "light grey"', 'colour = "light gey"'), "did you mean 'light grey'?"),
        (("fast enclosed", "fast inclosed"), "printers[1].class = 'fast inclosed machine'"),
    ):
        with pytest.raises(JobFileError) as caught:
            planned(change, **COVER)
        assert told in str(caught.value)


def test_an_open_mesh_is_refused_by_name(tmp_path, write_small_job):
    file = write_small_job(tmp_path, **COVER)
    mesh = tmp_path / "cover.stl"
    data = bytearray(mesh.read_bytes())
    data[80:84] = struct.pack("<I", struct.unpack("<I", data[80:84])[0] - 1)
    mesh.write_bytes(data[:-50])
    with pytest.raises(JobFileError) as caught:
        plan_job(read_job(file))
    text = str(caught.value)
    assert "parts[0].mesh (part 'cover') = 'cover.stl': expected a closed mesh" in text
    assert "\n" not in text


def test_a_file_of_several_parts_is_refused(tmp_path, write_small_job):
    import trimesh

    file = write_small_job(tmp_path, ('mesh = "cover.stl"', 'mesh = "two.3mf"'), **COVER)
    scene = trimesh.Scene()
    scene.add_geometry(trimesh.creation.box((10, 10, 10)), geom_name="a")
    scene.add_geometry(
        trimesh.creation.box((5, 5, 5)),
        geom_name="b",
        transform=trimesh.transformations.translation_matrix((20, 0, 0)),
    )
    (tmp_path / "two.3mf").write_bytes(scene.export(file_type="3mf"))
    with pytest.raises(JobFileError) as caught:
        plan_job(read_job(file))
    assert "parts[0].mesh (part 'cover') = 'two.3mf'" in str(caught.value)
    assert "expected a file that holds one part; it holds 2" in str(caught.value)


def test_a_damaged_mesh_is_refused(tmp_path, write_small_job):
    file = write_small_job(tmp_path, **COVER)
    (tmp_path / "cover.stl").write_bytes(b"solid nothing")
    with pytest.raises(MeshFileError, match=r"cover\.stl"):
        plan_job(read_job(file))


def test_a_load_and_hold_beside_the_part_are_refused(planned):
    with pytest.raises(InputError, match="lies outside the part"):
        planned(
            ('at = ["55 mm", "10 mm", "10 mm"]', 'at = ["255 mm", "10 mm", "10 mm"]'),
            ('held_at = ["5 mm", "38 mm", "10 mm"]', 'held_at = ["205 mm", "10 mm", "10 mm"]'),
            **ONE,
        )


def test_the_sample_job_keeps_its_promises():
    """What README says of it: the thin flange is named, PLA softens where parts stand in the sun.

    Only those parts are planned here; the whole sample takes too long for a test.
    """
    job = read_job(SAMPLE)
    differential = ("side gear", "planet pinion", "housing")
    sunlit = [
        p.model_copy(update={"filaments": ["PLA"]})
        for p in job.parts
        if p.role in differential and "sun" in p.exposure.shelter
    ]
    hooks = [p for p in job.parts if p.role == "hook"]
    assert len(sunlit) >= 3
    assert len(hooks) == 1
    *sunlit_plans, hook = plan_job(job.model_copy(update={"parts": sunlit + hooks})).parts
    for part in sunlit_plans:
        assert part.best.verdict.grade == "PLA"
        assert part.best.verdict.suitability == "unsuitable"
        assert any("softens" in text for text in part.best.verdict.deciding)
    walls = [r for r in hook.best.verdict.reasons if r.topic == "wall"]
    assert f"{hook.measured.thinnest_wall_mm:.2f} mm" in walls[0].text
    assert walls[0].effect in ("marginal", "unsuitable")
