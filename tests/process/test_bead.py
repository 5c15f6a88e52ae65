import math

import pytest

from printplan.errors import OutOfRangeError
from printplan.process.bead import bead_area, bead_spacing, filament_area, filament_length_m


def test_round_bead_when_width_equals_height():
    assert bead_area(0.4, 0.4) == pytest.approx(math.pi * 0.16 / 4)


def test_stadium_area_against_polygon():
    """The stadium drawn as a buffered line, area by shapely; 4 * 200 chords: relative 1e-5."""
    import shapely

    w, h = 0.5, 0.2
    line = shapely.LineString([(0, 0), (w - h, 0)])
    assert bead_area(w, h) == pytest.approx(line.buffer(h / 2, quad_segs=200).area, rel=2e-5)


def test_spacing_times_height_is_area():
    assert bead_spacing(0.6, 0.3) * 0.3 == pytest.approx(bead_area(0.6, 0.3))


@pytest.mark.parametrize(
    ("width", "height"), [(0.2, 0.3), (0.4, 0.0), (0.4, -0.1), (math.nan, 0.2), (0.4, math.inf)]
)
def test_impossible_beads(width, height):
    with pytest.raises(OutOfRangeError):
        bead_area(width, height)


def test_length_and_area_agree():
    assert filament_length_m(filament_area(1.75) * 1000, 1.75) == pytest.approx(1.0)
    with pytest.raises(OutOfRangeError, match="filament diameter"):
        filament_area(0.0)
