"""Each format gives the same part, whatever way it is written."""

from __future__ import annotations

import io
import struct
import zipfile
from pathlib import Path

import numpy as np
import pytest
import trimesh

from printplan.errors import InputError, MeshFileError
from printplan.part import ReadLimits, bulk_properties, make_solid, read_meshes
from printplan.part.reading.stl_text import parse_text, parse_text_plainly

POINTS = np.array([[x, y, z] for x in (0, 20) for y in (0, 30) for z in (0, 50)], dtype=float)
FACES = np.array(
    [
        (0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1),
        (2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4), (1, 5, 7), (1, 7, 3),
    ],
    dtype=np.int32,
)  # fmt: skip

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
RELATIONSHIPS = (
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Target="{target}" Id="r0" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'
)


def binary_stl(points=POINTS, faces=FACES, header=b"a box", tail=b""):
    records = np.zeros(
        len(faces), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("rest", "<u2")]
    )
    records["corners"] = points[faces]
    return header.ljust(80) + struct.pack("<I", len(faces)) + records.tobytes() + tail


def text_stl(points=POINTS, faces=FACES, name="box", newline="\n"):
    lines = [f"solid {name}"]
    for triangle in points[faces]:
        lines += ["facet normal 0 0 0", " outer loop"]
        lines += [f"  vertex {x!r} {y!r} {z!r}" for x, y, z in triangle.tolist()]
        lines += [" endloop", "endfacet"]
    return newline.join([*lines, f"endsolid {name}", ""])


def mesh_xml(points=POINTS, faces=FACES):
    vertices = "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in points.tolist())
    triangles = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in faces.tolist())
    return f"<mesh><vertices>{vertices}</vertices><triangles>{triangles}</triangles></mesh>"


def model_xml(resources=None, build='<item objectid="1"/>', attributes=""):
    if resources is None:
        resources = f'<object id="1">{mesh_xml()}</object>'
    return (
        f'<?xml version="1.0" encoding="UTF-8"?><model xmlns="{CORE}" {attributes}>'
        f"<resources>{resources}</resources><build>{build}</build></model>"
    )


def package(model, target="/3D/part.model", entry="3D/part.model", packing=zipfile.ZIP_DEFLATED):
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", packing) as file:
        file.writestr("_rels/.rels", RELATIONSHIPS.format(target=target))
        file.writestr(entry, model)
    return buffer.getvalue()


def volume_of(path, **options):
    (raw,) = read_meshes(path, **options)
    solid, health = make_solid(raw)
    assert health.closed
    return bulk_properties(solid).volume_mm3


@pytest.fixture
def write(tmp_path):
    def to_file(name, content):
        path: Path = tmp_path / name
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return path

    return to_file


@pytest.mark.parametrize(
    "content",
    [
        binary_stl(),
        binary_stl(header=b"solid as some programs write it"),
        text_stl(),
        text_stl(newline="\r\n"),
        text_stl(newline=" "),
        text_stl().upper(),
        text_stl(name="a facet of solid vertex names"),
        text_stl(name=""),
        "\ufeff \n" + text_stl(),
    ],
    ids=["binary", "binary solid", "text", "crlf", "one line", "upper", "names", "no name", "bom"],
)
def test_stl_of_any_kind(write, content):
    assert volume_of(write("box.stl", content)) == pytest.approx(30000)


def test_stl_solids_in_one_file_are_joined(write):
    both = text_stl() + text_stl(POINTS + np.array([100.0, 0.0, 0.0]), name="second")
    path = write("two.STL", both)
    (raw,) = read_meshes(path)
    _, health = make_solid(raw)
    assert raw.name == "two"
    assert health.bodies == 2
    assert volume_of(path) == pytest.approx(60000)


def test_stl_bytes_after_the_last_triangle_are_noted(write):
    (raw,) = read_meshes(write("box.stl", binary_stl(tail=b"four")))
    assert raw.notes == ("4 bytes after the last triangle were ignored",)


@pytest.mark.parametrize(
    "text",
    [
        text_stl(),
        text_stl(newline="\r"),
        text_stl(POINTS * 1.23456789012345e-7, name="facet solid facet normal"),
        text_stl(POINTS * -9.87654321e12),
        text_stl(POINTS.astype(np.float32).astype(float) / 3),
        text_stl() + text_stl(name="endsolid again"),
        text_stl()[:-20],
        text_stl()[:700],
        text_stl().replace("vertex", "vertes", 5),
        text_stl().replace("20.0", "2O.0"),
        text_stl().replace("20.0", "nan"),
        text_stl().replace("20.0", "1e999"),
        text_stl().replace("20.0", "1e"),
        text_stl().replace("20.0", "."),
        text_stl().replace("endloop", "endloop nonsense", 1),
        "facet normal 0 0 0",
        "solid only\nendsolid only",
        "solid a facet of b\nendsolid\nsolid c",
        "nonsense",
    ],
)
def test_text_scanners_agree(text):
    """The compiled scanner and its plain twin give the same corners and the same complaint."""
    from printplan.part.mesh_kernels import scan_stl_text

    data = text.encode()
    plain, plain_status, plain_offset = parse_text_plainly(data)
    room = np.full((3 * len(data), 3), np.nan)
    count, status, offset = scan_stl_text(np.frombuffer(data, dtype=np.uint8), room)
    assert (status, offset if status else 0) == (plain_status, plain_offset)
    if not status:
        assert 3 * count == len(plain)
        # single digits may differ in numbers of more than 15 digits
        np.testing.assert_allclose(room[: 3 * count], plain, rtol=4e-16, atol=0)


def test_text_scanner_is_exact_up_to_fifteen_digits():
    from printplan.part.mesh_kernels import scan_stl_text

    rng = np.random.default_rng(5)
    numbers = [f"{x:.6f}" for x in rng.uniform(-1000, 1000, 900)]
    numbers += [f"{x:.8e}" for x in rng.uniform(-10, 10, 900) * 10.0 ** rng.integers(-12, 12, 900)]
    facets = []
    for i in range(0, len(numbers), 9):
        vertices = " ".join(f"vertex {' '.join(numbers[i + k : i + k + 3])}" for k in (0, 3, 6))
        facets.append(f"facet normal 0 0 1 outer loop {vertices} endloop endfacet")
    data = f"solid\n{' '.join(facets)}\nendsolid".encode()
    room = np.empty((len(numbers), 3))
    count, status, _ = scan_stl_text(np.frombuffer(data, dtype=np.uint8), room)
    assert status == 0
    np.testing.assert_array_equal(room[: 3 * count].ravel(), [float(n) for n in numbers])


def test_text_errors_name_the_line(tmp_path):
    text = text_stl().replace("vertex 20.0 0.0 0.0", "vertex 20.0 zero 0.0", 1)
    line = text[: text.index("zero")].count("\n") + 1
    with pytest.raises(MeshFileError, match=f"line {line}: expected a finite number"):
        parse_text(tmp_path / "a.stl", text.encode())


@pytest.mark.parametrize(
    ("unit", "size_mm"), [("mm", 1), ("cm", 10), ("m", 1000), ("in", 25.4), ("FT", 304.8)]
)
def test_unit_of_files_without_one(write, unit, size_mm):
    path = write("box.stl", binary_stl(POINTS / 10))
    assert volume_of(path, unit=unit) == pytest.approx(30 * size_mm**3, rel=1e-6)


def test_unknown_unit_and_suffix(write):
    with pytest.raises(InputError, match="did you mean 'inch'"):
        read_meshes(write("box.stl", binary_stl()), unit="inches")
    with pytest.raises(MeshFileError, match=r"unknown kind of file '.step'; known: .stl"):
        read_meshes(write("box.step", b"ISO-10303-21;"))


@pytest.mark.parametrize("kind", ["stl", "stl_ascii", "obj", "ply", "3mf"])
def test_files_written_by_another_library(tmp_path, kind):
    """Round trip of a gear-like shape through trimesh's writers."""
    if kind == "3mf":
        pytest.importorskip("networkx")
    ball = trimesh.creation.icosphere(subdivisions=2, radius=17.0)
    ball.apply_transform(trimesh.transformations.rotation_matrix(0.7, [1, 2, 3]))
    ball.apply_scale([1.0, 2.0, 0.5])
    path = tmp_path / f"ball.{kind.removesuffix('_ascii')}"
    path.write_bytes(trimesh.exchange.export.export_mesh(ball, None, kind).encode()
                     if kind in ("stl_ascii", "obj")
                     else trimesh.exchange.export.export_mesh(ball, None, kind))  # fmt: skip
    (raw,) = read_meshes(path)
    solid, health = make_solid(raw)
    found = bulk_properties(solid)
    assert health.closed
    assert len(solid.faces) == len(ball.faces)
    assert len(solid.vertices_mm) == len(ball.vertices)
    # single precision in STL and PLY, eight decimals in text
    assert found.volume_mm3 == pytest.approx(ball.volume, rel=1e-6)
    assert found.surface_area_mm2 == pytest.approx(ball.area, rel=1e-6)
    assert found.inertia_mm5 == pytest.approx(ball.moment_inertia, rel=1e-5, abs=1.0)


@pytest.mark.parametrize("encoding", ["ascii", "binary"])
def test_ply_encodings_of_another_library(tmp_path, encoding):
    ball = trimesh.creation.torus(20.0, 5.0)
    path = tmp_path / "ring.ply"
    path.write_bytes(trimesh.exchange.ply.export_ply(ball, encoding=encoding))
    assert volume_of(path) == pytest.approx(ball.volume, rel=1e-6)


QUADS = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]


def ply_header(encoding, faces, extra=""):
    return (
        f"ply\nformat {encoding} 1.0\ncomment made by hand\nelement vertex 8\n"
        "property float x\nproperty double y\nproperty float z\nproperty uchar red\n"
        f"{extra}element face {faces}\nproperty list uchar int vertex_indices\nend_header\n"
    ).encode()


@pytest.mark.parametrize("order", ["<", ">"])
@pytest.mark.parametrize("mixed", [False, True])
def test_ply_polygons_and_other_elements(write, order, mixed):
    faces = [*QUADS[1:], (0, 1, 3), (0, 3, 2)] if mixed else QUADS
    vertices = b"".join(struct.pack(f"{order}fdfB", *p, 7) for p in POINTS)
    other = struct.pack(f"{order}hB3i", 5, 3, 1, 2, 3) * 2
    body = b"".join(struct.pack(f"{order}B{len(f)}i", len(f), *f) for f in faces)
    extra = "element chain 2\nproperty short a\nproperty list uchar int b\n"
    encoding = "binary_little_endian" if order == "<" else "binary_big_endian"
    path = write("b.ply", ply_header(encoding, len(faces), extra) + vertices + other + body)
    assert volume_of(path) == pytest.approx(30000)
    (raw,) = read_meshes(path)
    assert raw.notes == (f"{len(QUADS) - mixed} faces with more than three corners cut into "
                         "triangles",)  # fmt: skip


def test_ply_as_text(write):
    vertices = "".join(f"{x} {y} {z} 7\n" for x, y, z in POINTS)
    faces = "".join(f"4 {a} {b} {c} {d}\n" for a, b, c, d in QUADS)
    path = write("b.ply", ply_header("ascii", 6) + (vertices + faces).encode())
    assert volume_of(path) == pytest.approx(30000)


def test_obj_ways_of_writing(write):
    vertices = [f"v {x} {y} {z}" for x, y, z in POINTS]
    ways = [
        "f {} {} {} {}",
        "f {}/1 {}/1 {}/1 {}/1",
        "f {}//2 {}//2 {}//2 {}//2",
        "f {} {} \\\n{} {}",
    ]
    faces = [ways[i % 4].format(*(k + 1 for k in q)) for i, q in enumerate(QUADS[:4])]
    faces += ["f {} {} {} {}".format(*(k - 8 for k in q)) for q in QUADS[4:]]
    text = "\n".join(["# box", "o box", *vertices, "vn 0 0 1", "vt 0 0", "g all", *faces, "s off"])
    assert volume_of(write("b.obj", text)) == pytest.approx(30000)


def test_obj_negative_numbers_count_from_where_they_stand(write):
    first = "\n".join(f"v {x} {y} {z}" for x, y, z in POINTS)
    faces = "\n".join("f {} {} {}".format(*(k - 8 for k in f)) for f in FACES.tolist())
    second = "\n".join(f"v {x + 100} {y} {z}" for x, y, z in POINTS)
    path = write("b.obj", f"{first}\n{faces}\n{second}\n{faces}\n")
    assert volume_of(path) == pytest.approx(60000)


def test_hollow_polygon_is_noted(write):
    outline = [(0, 0), (10, 0), (10, 10), (5, 1)]
    text = "\n".join(f"v {x} {y} 0" for x, y in outline) + "\nf 4 1 2 3\n"
    (raw,) = read_meshes(write("arrow.obj", text))
    assert len(raw.notes) == 1
    text = "\n".join(f"v {x} {y} 0" for x, y in outline) + "\nf 1 2 3 4\n"
    (raw,) = read_meshes(write("arrow.obj", text))
    assert "hollow in outline" in raw.notes[1]


@pytest.mark.parametrize(
    ("unit", "size_mm"),
    [
        ("micron", 1e-3),
        ("millimeter", 1),
        ("centimeter", 10),
        ("inch", 25.4),
        ("foot", 304.8),
        ("meter", 1000),
    ],
)
def test_3mf_units(write, unit, size_mm):
    """[source: 3MF Core Specification, unit attribute of the model]: six units."""
    path = write("box.3mf", package(model_xml(attributes=f'unit="{unit}"')))
    assert volume_of(path, unit="in") == pytest.approx(30000 * size_mm**3)


def test_3mf_components_and_transforms(write):
    """A box moved, turned, doubled, mirrored by nested components stays eight boxes' volume."""
    resources = (
        f'<object id="1">{mesh_xml()}</object>'
        '<object id="2"><components>'
        '<component objectid="1"/>'
        '<component objectid="1" transform="0 1 0 -1 0 0 0 0 1 200 0 0"/></components></object>'
        '<object id="3" name="set"><components>'
        '<component objectid="2" transform="1 0 0 0 1 0 0 0 1 0 500 0"/>'
        '<component objectid="2" transform="-1 0 0 0 1 0 0 0 1 -500 0 0"/></components></object>'
    )
    build = (
        '<item objectid="3" transform="2 0 0 0 2 0 0 0 2 0 0 100"/>'
        '<item objectid="1"/><item objectid="1" transform="1 0 0 0 1 0 0 0 1 7 8 9"/>'
    )
    meshes = read_meshes(write("many.3mf", package(model_xml(resources, build))))
    assert [m.name for m in meshes] == ["set", "many 2", "many 3"]
    solids = [make_solid(m) for m in meshes]
    assert [h.bodies for _, h in solids] == [4, 1, 1]
    assert all(h.outward and h.closed for _, h in solids)
    assert [bulk_properties(s).volume_mm3 for s, _ in solids] == pytest.approx(
        [4 * 30000 * 8, 30000, 30000]
    )
    # row vectors: first the component's matrix, then the item's
    np.testing.assert_allclose(solids[2][0].box_mm, [[7, 8, 9], [27, 38, 59]])
    set_box = solids[0][0].box_mm
    # object 2: [0, 20] and the turned box [170, 200] in x, [0, 30] in y; placed at y 500, and
    # mirrored to x -500 … -700; all doubled and lifted by 100
    np.testing.assert_allclose(set_box, [[-1400, 0, 100], [400, 1060, 200]])


def test_3mf_written_with_prefixes_and_odd_attributes(write):
    mesh = mesh_xml().replace('x="', 'p9="1" x="', 3)
    text = model_xml(f'<object id="1" name="Höhe &amp; Co">{mesh}</object>')
    for word in ("model", "resources", "object", "mesh", "vertices", "vertex", "triangles",
                 "triangle", "build", "item"):  # fmt: skip
        text = text.replace(f"<{word} ", f"<c:{word} ").replace(f"<{word}>", f"<c:{word}>")
        text = text.replace(f"</{word}>", f"</c:{word}>")
    text = text.replace("xmlns=", "xmlns:c=")
    text = text.replace("<c:vertices>", '<other xmlns="urn:x"><vertex x="no"/></other><c:vertices>')
    path = write("box.3mf", package("<!-- vertices -->".join(text.split("?>", 1)[1:] or [text])))
    (raw,) = read_meshes(path)
    assert raw.name == "Höhe & Co"
    assert volume_of(path) == pytest.approx(30000)


def test_3mf_supports_are_left_out_and_an_empty_build_means_all(write):
    resources = (
        f'<object id="1">{mesh_xml()}</object><object id="2" type="support">{mesh_xml()}</object>'
    )
    both = '<item objectid="1"/><item objectid="2"/>'
    (raw,) = read_meshes(write("a.3mf", package(model_xml(resources, both))))
    assert "1 objects that are no parts" in raw.notes[0]
    (raw,) = read_meshes(write("b.3mf", package(model_xml(resources, ""))))
    assert any("build is empty" in note for note in raw.notes)


def test_3mf_required_extensions(write):
    slices = 'xmlns:s="http://schemas.microsoft.com/3dmanufacturing/slice/2015/07"'
    colours = 'xmlns:m="http://schemas.microsoft.com/3dmanufacturing/material/2015/02"'
    lone = model_xml(attributes=slices)
    assert volume_of(write("a.3mf", package(lone))) == pytest.approx(30000)
    fine = model_xml(attributes=f'{colours} requiredextensions="m"')
    assert volume_of(write("b.3mf", package(fine))) == pytest.approx(30000)
    bad = model_xml(attributes=f'{colours} {slices} requiredextensions="m s"')
    with pytest.raises(MeshFileError, match=r"unknown extension 'http.*slice/2015/07'"):
        read_meshes(write("c.3mf", package(bad)))
    away = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06"
    build = '<item objectid="1" p:path="/3D/other.model"/>'
    other = model_xml(build=build, attributes=f'xmlns:p="{away}"')
    with pytest.raises(MeshFileError, match="production extension"):
        read_meshes(write("d.3mf", package(other)))


def test_limits_are_data(write):
    path = write("box.stl", binary_stl())
    with pytest.raises(MeshFileError, match="12 triangles, more than the 11"):
        read_meshes(path, limits=ReadLimits(triangles=11))
    with pytest.raises(MeshFileError, match="684 bytes, more than the 683"):
        read_meshes(path, limits=ReadLimits(file_bytes=683))
    with pytest.raises(MeshFileError, match="a coordinate of 50 mm"):
        read_meshes(path, limits=ReadLimits(coordinate_mm=49))
