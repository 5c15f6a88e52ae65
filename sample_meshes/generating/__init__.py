"""Make the orchard carrier's sample meshes: shapes in, triangles and files out.

`shapes` holds the plane outlines and solids all parts share, `bevel` the tooth geometry,
`differential`, `drive` and `brackets` the parts, `records` the main dimensions of a part,
`writing` the files. Needs numpy, manifold3d and numpy-stl; imports nothing of printplan.
"""
