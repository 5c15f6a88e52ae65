"""What a mesh file says of a part's shape.

In: a mesh file (STL, 3MF, OBJ, PLY). Out: a `Solid` with shared corners and paired edges, and a
`MeasuredPart`: health and what was mended, volume, area, inertia, weakest planar sections, wall
thickness with its thin regions; layers and overhangs of the part as it stands. The room knows
nothing of filaments, loads or recipes; it imports `errors` and `quantities` only.
"""

from __future__ import annotations

from printplan.part.bulk import Bulk, bulk_properties
from printplan.part.health import Health, make_solid, split_bodies
from printplan.part.measuring import (
    MeasuredPart,
    load_solid,
    load_solids,
    measure,
    measure_solid,
)
from printplan.part.orientation import rotation_to_up, stand
from printplan.part.reading import RawMesh, ReadLimits, read_meshes
from printplan.part.sections import Section, WeakestSection, section_through, weakest_sections
from printplan.part.slicing import Layers, LayerSums, layer_sums, slice_layers
from printplan.part.solid import Solid
from printplan.part.thickness import Thickness, ThinRegion, wall_thickness

__all__ = [
    "Bulk",
    "Health",
    "LayerSums",
    "Layers",
    "MeasuredPart",
    "RawMesh",
    "ReadLimits",
    "Section",
    "Solid",
    "Thickness",
    "ThinRegion",
    "WeakestSection",
    "bulk_properties",
    "layer_sums",
    "load_solid",
    "load_solids",
    "make_solid",
    "measure",
    "measure_solid",
    "read_meshes",
    "rotation_to_up",
    "section_through",
    "slice_layers",
    "split_bodies",
    "stand",
    "wall_thickness",
    "weakest_sections",
]
