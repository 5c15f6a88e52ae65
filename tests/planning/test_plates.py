"""Pieces on plates: nothing overlaps, nothing hangs over the edge, nothing is lost."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from printplan.errors import InputError
from printplan.planning.plates import EDGE_MM, GAP_MM, Piece, arrange, fits

BED = (220.0, 200.0, 240.0)


def piece(name, width, depth, height=20.0):
    return Piece(
        part=name, width_mm=width, depth_mm=depth, height_mm=height, filament_g=10.0,
        build_time_s=1000.0, start_s=300.0,
    )  # fmt: skip


def put(pieces):
    return arrange(pieces, printer="p", grade="PETG", layer_height_mm=0.2, volume_mm=BED)


sizes = st.floats(5.0, 190.0)


@given(st.lists(st.tuples(sizes, sizes), min_size=1, max_size=25))
def test_apart_inside_and_complete(boxes):
    plates = put([piece(f"part {i}", w, d) for i, (w, d) in enumerate(boxes)])
    seen = sorted(item.part for plate in plates for item in plate.items)
    assert seen == sorted(f"part {i}" for i in range(len(boxes)))
    for plate in plates:
        for i, a in enumerate(plate.items):
            assert a.x_mm >= EDGE_MM - 1e-9
            assert a.y_mm >= EDGE_MM - 1e-9
            assert a.x_mm + a.width_mm <= BED[0] - EDGE_MM + 1e-9
            assert a.y_mm + a.depth_mm <= BED[1] - EDGE_MM + 1e-9
            w, d = boxes[int(a.part.split()[1])]
            assert {a.width_mm, a.depth_mm} == {w, d}
            for b in plate.items[i + 1 :]:
                apart_x = max(b.x_mm - a.x_mm - a.width_mm, a.x_mm - b.x_mm - b.width_mm)
                apart_y = max(b.y_mm - a.y_mm - a.depth_mm, a.y_mm - b.y_mm - b.depth_mm)
                assert max(apart_x, apart_y) >= GAP_MM - 1e-9


def test_a_row_of_four_shares_one_plate_and_one_heat_up():
    (plate,) = put([piece("gear", 48.0, 48.0) for _ in range(4)])
    assert len(plate.items) == 4
    # 4 x (1000 - 300) s of printing and one start of 300 s.
    assert plate.build_time_s == pytest.approx(3100.0)
    assert plate.filament_g == pytest.approx(40.0)
    assert plate.density == pytest.approx(4 * 48.0**2 / (220.0 * 200.0))


def test_turned_when_only_that_way_fits():
    long = piece("bar", 190.0, 205.0)
    assert fits(long, BED)
    (plate,) = put([long])
    assert (plate.items[0].width_mm, plate.items[0].depth_mm) == (205.0, 190.0)
    assert plate.items[0].turned


@pytest.mark.parametrize(
    "too_big", [piece("wide", 213.0, 50.0), piece("tall", 20.0, 20.0, 241.0)], ids=str
)
def test_too_big_is_an_error_that_names_the_part(too_big):
    assert not fits(too_big, BED)
    with pytest.raises(InputError, match="does not fit printer"):
        put([too_big])
