"""Damaged and hostile files: either a clean result or one line that says what is wrong."""

from __future__ import annotations

import io
import os
import random
import struct
import time
import tracemalloc
import zipfile
import zlib

import numpy as np
import pytest

from printplan.errors import MeshFileError
from printplan.part import ReadLimits, bulk_properties, make_solid, read_meshes

POINTS = np.array([[x, y, z] for x in (0, 20) for y in (0, 30) for z in (0, 50)], dtype=float)
FACES = [
    (0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1),
    (2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4), (1, 5, 7), (1, 7, 3),
]  # fmt: skip
CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
PART_TYPE = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
OPC = "http://schemas.openxmlformats.org/package/2006/relationships"


def binary_stl(points=POINTS):
    records = b"".join(
        struct.pack("<12fH", 0, 0, 0, *points[list(face)].ravel(), 0) for face in FACES
    )
    return b"a box".ljust(80) + struct.pack("<I", len(FACES)) + records


def text_stl():
    facets = "".join(
        "facet normal 0 0 0\nouter loop\n"
        + "".join("vertex {:g} {:g} {:g}\n".format(*POINTS[k]) for k in face)
        + "endloop\nendfacet\n"
        for face in FACES
    )
    return f"solid b\n{facets}endsolid b\n".encode()


def obj():
    lines = ["v {:g} {:g} {:g}".format(*p) for p in POINTS]
    lines += ["f {} {} {}".format(*(k + 1 for k in f)) for f in FACES]
    return ("\n".join(lines) + "\n").encode()


def ply(encoding="binary_little_endian"):
    header = (
        f"ply\nformat {encoding} 1.0\nelement vertex 8\nproperty float x\nproperty float y\n"
        "property float z\nelement face 12\nproperty list uchar int vertex_indices\nend_header\n"
    ).encode()
    if encoding == "ascii":
        lines = ["{:g} {:g} {:g}".format(*p) for p in POINTS]
        lines += ["3 {} {} {}".format(*f) for f in FACES]
        return header + ("\n".join(lines) + "\n").encode()
    vertices = b"".join(struct.pack("<3f", *p) for p in POINTS)
    return header + vertices + b"".join(struct.pack("<B3i", 3, *f) for f in FACES)


def model(triangles=None, resources=None, build='<item objectid="1"/>', before="", attributes=""):
    vertices = "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in POINTS)
    if triangles is None:
        triangles = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in FACES)
    mesh = f"<mesh><vertices>{vertices}</vertices><triangles>{triangles}</triangles></mesh>"
    resources = resources or f'<object id="1">{mesh}</object>'
    resources = resources.replace("MESH", mesh)
    return (
        f'<?xml version="1.0"?>{before}<model xmlns="{CORE}" {attributes}><resources>{resources}'
        f"</resources><build>{build}</build></model>"
    )


def package(content=None, target="/3D/m.model", entries=(), packing=zipfile.ZIP_DEFLATED):
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", packing) as file:
        file.writestr(
            "_rels/.rels",
            f'<Relationships xmlns="{OPC}"><Relationship Target="{target}" Id="r" '
            f'Type="{PART_TYPE}"/></Relationships>',
        )
        file.writestr("3D/m.model", model() if content is None else content)
        for name, data in entries:
            file.writestr(name, data)
    return buffer.getvalue()


SOUND = {
    "binary.stl": binary_stl(),
    "text.stl": text_stl(),
    "box.obj": obj(),
    "box.ply": ply(),
    "text.ply": ply("ascii"),
    "box.3mf": package(),
}


@pytest.fixture
def write(tmp_path):
    def to_file(name, content):
        path = tmp_path / name
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return path

    return to_file


def outcome(path, limits=None):
    """Volume of a file's parts, or None for a refusal in one line."""
    try:
        made = [make_solid(raw) for raw in read_meshes(path, limits=limits)]
    except MeshFileError as error:
        text = str(error)
        assert text.startswith(str(path)), text
        assert "\n" not in text
        assert len(text) <= 400
        return None
    volume = 0.0
    for solid, health in made:
        assert solid.closed == health.closed
        if health.encloses_volume:
            volume += bulk_properties(solid).volume_mm3
        else:
            assert health.warnings
    return volume


def read_and_make(path, limits):
    for raw in read_meshes(path, limits=limits):
        make_solid(raw)


def refused(path, match, limits=None):
    with pytest.raises(MeshFileError, match=match):
        read_and_make(path, limits)


@pytest.mark.parametrize("name", SOUND)
def test_sound_files_are_read(write, name):
    assert outcome(write(name, SOUND[name])) == pytest.approx(30000)


@pytest.mark.parametrize("name", SOUND)
def test_cut_off_anywhere(write, name):
    whole = SOUND[name]
    path = write(name, b"")
    volumes = {}
    for length in range(len(whole)):
        path.write_bytes(whole[:length])
        volumes[length] = outcome(path)
    assert volumes[0] is None
    full = [length for length, volume in volumes.items() if volume == pytest.approx(30000)]
    # only what no reader could miss may be missing: a last line end, a name after the last
    # word, the last digit of the last number
    last = {"text.stl": len(b" b\n"), "box.obj": 1, "text.ply": 1}.get(name, 0)
    assert len(full) <= last
    if name != "box.obj":  # lines of an OBJ file stand alone: a shorter file is a valid one
        assert all(v is None for length, v in volumes.items() if length < len(whole) - last)


@pytest.mark.parametrize("name", SOUND)
def test_flipped_bytes(write, name):
    whole = SOUND[name]
    path = write(name, whole)
    rng = random.Random(name)
    for _ in range(400):
        damaged = bytearray(whole)
        for _ in range(rng.choice((1, 1, 2, 5, 20))):
            damaged[rng.randrange(len(damaged))] = rng.randrange(256)
        path.write_bytes(damaged)
        outcome(path)  # asserts that a refusal is one line and nothing else is raised


@pytest.mark.parametrize("name", SOUND)
def test_nonsense_of_any_length(write, name):
    rng = random.Random(name)
    for length in (1, 3, 50, 83, 84, 85, 500, 20_000):
        assert outcome(write(name, rng.randbytes(length))) is None
        assert outcome(write(name, SOUND[name][:20] + rng.randbytes(length))) is None


@pytest.mark.parametrize("name", ["binary.stl", "box.ply"])
@pytest.mark.parametrize("value", [np.nan, np.inf, -np.inf])
def test_coordinates_that_are_no_numbers(write, name, value):
    whole = SOUND[name].replace(struct.pack("<f", 50.0), struct.pack("<f", value), 1)
    refused(write(name, whole), "not a finite number")


@pytest.mark.parametrize("name", ["text.stl", "box.obj", "text.ply", "box.3mf"])
@pytest.mark.parametrize("value", ["nan", "inf", "-1e999"])
def test_texts_that_are_no_numbers(write, name, value):
    if name == "box.3mf":
        whole = package(model().replace("50.0", value, 1))
    else:
        whole = SOUND[name].replace(b"50", value.encode(), 1)
    refused(write(name, whole), "finite number")


@pytest.mark.parametrize("name", ["binary.stl", "box.ply"])
def test_absurd_coordinates(write, name):
    whole = SOUND[name].replace(struct.pack("<f", 50.0), struct.pack("<f", 3e8))
    refused(write(name, whole), r"a coordinate of 3e\+08 mm: more than 1e\+07 mm; check the unit")


def test_counts_that_the_file_cannot_hold(write):
    """Refused by comparing with the size, before any memory is taken."""
    count = 4_000_000_000
    stl = binary_stl()[:80] + struct.pack("<I", count) + binary_stl()[84:]
    huge_ply = ply().replace(b"vertex 8", b"vertex 4000000000")
    huge_faces = ply().replace(b"face 12", b"face 99999999999999")
    lists = ply().replace(bytes([3]) + struct.pack("<3i", 0, 1, 3), b"\xff" + bytes(12))
    text = ply("ascii").replace(b"face 12", b"face 4000000000")
    longer = ply("ascii").replace(b"vertex 8", b"vertex " + b"9" * 5000)
    negative = ply().replace(b"face 12", b"face -12")
    tracemalloc.start()
    refused(write("a.stl", stl), "promises 4000000000 triangles")
    refused(write("a.ply", huge_ply), "promises at least 48000000012 bytes")
    refused(write("b.ply", huge_faces), "promises at least")
    refused(write("c.ply", lists), "cut off|names point")
    refused(write("d.ply", text), "promises at least")
    refused(write("e.ply", longer), "damaged")
    refused(write("f.ply", negative), "unknown line in its header")
    assert tracemalloc.get_traced_memory()[1] < 20e6
    tracemalloc.stop()


@pytest.mark.parametrize("bad", [-1, 8, 2**31, 2**40])
def test_point_numbers_out_of_range(write, bad):
    refused(write("a.obj", obj() + f"f 1 2 {bad + 1}\n".encode()), "start at 1|names point")
    refused(write("a.3mf", package(model(f'<triangle v1="0" v2="1" v3="{bad}"/>'))), "names point")
    text = ply("ascii").replace(b"3 0 1 3", f"3 0 1 {bad}".encode())
    refused(write("a.ply", text), "names point")


def test_point_numbers_that_are_too_long(write):
    long = "9" * 5000
    refused(write("a.obj", obj() + f"f 1 2 {long}\n".encode()), "whole point numbers")
    refused(write("a.3mf", package(model(f'<triangle v1="0" v2="1" v3="{long}"/>'))), "whole point")


def test_what_is_no_file(tmp_path):
    folder = tmp_path / "folder.stl"
    folder.mkdir()
    pipe = tmp_path / "pipe.stl"
    os.mkfifo(pipe)
    looped = tmp_path / "loop.stl"
    looped.symlink_to(looped)
    refused(folder, "is a folder")
    refused(pipe, "is not an ordinary file")  # and does not wait for somebody to write to it
    refused(looped, "can't be read")
    refused(tmp_path / "missing.stl", "can't be read: No such file")
    refused(tmp_path / "zero\0byte.stl", "not a possible file name")
    with pytest.raises(MeshFileError) as caught:
        read_meshes(tmp_path / ("long" * 200 + ".stl"))
    assert caught.value.reason == "can't be read: File name too long"


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_unreadable_file(write):
    path = write("a.stl", binary_stl())
    path.chmod(0)
    refused(path, "can't be read: Permission denied")


def test_names_with_line_breaks_stay_one_line(write):
    path = write("two\nlines\x1b[31m.stl", b"")
    with pytest.raises(MeshFileError) as caught:
        read_meshes(path)
    assert "\n" not in str(caught.value)
    assert "\x1b" not in str(caught.value)


def test_lines_without_end(write):
    limits = ReadLimits(line_bytes=1000)
    refused(write("a.obj", b"v " + b"1" * 5000), "longer than 1000 bytes", limits)
    refused(write("b.obj", b"f 1 \\\n" * 500), "longer than 1000 bytes", limits)
    refused(write("a.ply", ply("ascii")[:-20] + b"1" * 5000), "longer than 1000 bytes", limits)
    refused(write("b.ply", b"ply\n" + b"comment\n" * 100_000), "header does not end")


def test_one_polygon_with_very_many_corners(write):
    many = b"f " + b"1 2 3 " * 40_000 + b"\n"
    path = write("a.obj", obj() + many)
    refused(path, "more than the 1000", ReadLimits(triangles=1000))


# --- packages --------------------------------------------------------------------------------


def test_zip_bomb_by_size_and_by_ratio(write):
    spaces = model().replace("</build>", " " * 40_000_000 + "</build>")
    path = write("bomb.3mf", package(spaces))
    assert path.stat().st_size < 100_000
    begin = time.process_time()
    refused(path, "inflates .*-fold, as no real model does")
    refused(path, "inflates to 40[0-9]* bytes; 1000000 are read", ReadLimits(xml_bytes=10**6))
    assert time.process_time() - begin < 1.0


def test_zip_bomb_that_lies_about_its_size(write):
    """The directory says 1000 bytes; more come out: counted, not believed."""
    spaces = model().replace("</build>", " " * 40_000_000 + "</build>")
    whole = package(spaces)
    size = struct.pack("<I", len(spaces))
    assert whole.count(size) == 2
    refused(write("liar.3mf", whole.replace(size, struct.pack("<I", 1000))), "damaged")


def test_many_entries(write):
    entries = [(f"Metadata/{i:06d}", b"") for i in range(3000)]
    path = write("many.3mf", package(entries=entries))
    assert outcome(path) == pytest.approx(30000)
    refused(path, "lists entries in", ReadLimits(directory_bytes=100_000))


def test_package_without_model_or_with_two(write):
    refused(write("a.3mf", package(target="/3D/other.model")), "does not hold its model")
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as file:
        file.writestr("3D/m.model", model())
    refused(write("b.3mf", buffer.getvalue()), "has no _rels/.rels")
    refused(write("c.3mf", package(entries=[("3d/M.model", model())])), "two entries of one name")


def test_paths_out_of_the_package(write, tmp_path):
    secret = tmp_path / "secret.model"
    secret.write_text(model())
    for target in ("../secret.model", "/../secret.model", str(secret), f"file://{secret}", ""):
        path = write("sub.3mf", package(target=target))
        refused(path, "does not hold its model")
    before = sorted(p.name for p in tmp_path.iterdir())
    evil = package(entries=[("../../evil.txt", b"x"), ("/abs.txt", b"x")])
    assert outcome(write("evil.3mf", evil)) == pytest.approx(30000)
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted([*before, "evil.3mf"])
    assert not (tmp_path.parent / "evil.txt").exists()


def test_model_outside_the_package(write):
    whole = package()
    rels = (
        f'<Relationships xmlns="{OPC}"><Relationship Target="http://example.org/m.model" Id="r" '
        f'TargetMode="External" Type="{PART_TYPE}"/></Relationships>'
    )
    buffer = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(whole)) as old, zipfile.ZipFile(buffer, "w") as new:
        new.writestr("_rels/.rels", rels)
        new.writestr("3D/m.model", old.read("3D/m.model"))
    refused(write("a.3mf", buffer.getvalue()), "lies outside the package")


@pytest.mark.parametrize("packing", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_packing_that_3mf_does_not_know(write, packing):
    refused(write("a.3mf", package(packing=packing)), "packed in a way")


def test_encrypted_entry(write):
    whole = bytearray(package())
    for signature, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        at = -1
        while (at := whole.find(signature, at + 1)) >= 0:
            whole[at + offset] |= 1
    refused(write("a.3mf", bytes(whole)), "encrypted")


def test_wrong_checksum(write):
    good = zlib.crc32(model().encode())
    whole = package().replace(struct.pack("<I", good), struct.pack("<I", good ^ 1))
    refused(write("a.3mf", whole), "damaged: Bad CRC")


ENTITIES = (
    '<!DOCTYPE m [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">'
    '<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]>'
)


@pytest.mark.parametrize(
    "before",
    [
        ENTITIES,
        '<!DOCTYPE m SYSTEM "file:///etc/passwd">',
        '<!DOCTYPE m [<!ENTITY x SYSTEM "file:///etc/passwd">]>',
        '<!DOCTYPE m [<!ENTITY % x SYSTEM "http://example.org/x.dtd"> %x;]>',
        "<!DOCTYPE model>",
    ],
)
def test_document_types_are_refused(write, before):
    refused(write("a.3mf", package(model(before=before))), "declares a document type")


def test_xml_that_is_not_a_model(write):
    refused(write("a.3mf", package("<a><b></a>")), "damaged at line 1: mismatched tag")
    refused(write("b.3mf", package("<model/>")), "not one of the 3MF core namespace")
    refused(write("c.3mf", package(model(attributes='unit="cubit"'))), "unknown unit 'cubit'")
    refused(write("d.3mf", package(model(resources='<object id="1"/>'))), "has no shape")
    refused(write("e.3mf", package(model(build='<item objectid="5"/>'))), "'5': not there")
    refused(write("f.3mf", package(model(build="<item/>"))), "lacks the attribute 'objectid'")
    twice = '<object id="1">MESH</object><object id="1">MESH</object>'
    refused(write("g.3mf", package(model(resources=twice))), "two objects have the id")
    refused(write("h.3mf", package(model('<triangle v1="0" v2="1"/>'))), "lacks an attribute 'v3'")


@pytest.mark.parametrize(
    "transform",
    ["1 0 0", "1 0 0 0 1 0 0 0 1 0 0 x", "0 0 0 0 0 0 0 0 0 0 0 0", "1 0 0 1 0 0 0 0 1 0 0 0",
     "nan 0 0 0 1 0 0 0 1 0 0 0", "1e300 0 0 0 1 0 0 0 1 0 0 0"],
)  # fmt: skip
def test_transforms_that_are_none(write, transform):
    build = f'<item objectid="1" transform="{transform}"/>'
    refused(write("a.3mf", package(model(build=build))), "a transform")


def components(*numbers):
    inner = "".join(f'<component objectid="{n}"/>' for n in numbers)
    return f"<components>{inner}</components>"


def test_components_in_a_circle(write):
    resources = (
        f'<object id="1">{components(2)}</object><object id="2">{components(3)}</object>'
        f'<object id="3">{components(1)}</object>'
    )
    refused(write("a.3mf", package(model(resources=resources))), "contains itself")
    own = f'<object id="1">{components(1)}</object>'
    refused(write("b.3mf", package(model(resources=own))), "'1' contains itself")


def test_components_that_explode(write):
    """Ten components each, twelve deep: 10¹² boxes from 3 kB, counted and not built."""
    levels = [f'<object id="{i}">{components(*[i + 1] * 10)}</object>' for i in range(1, 13)]
    resources = "".join(levels) + '<object id="13">MESH</object>'
    begin = time.process_time()
    path = write("a.3mf", package(model(resources=resources)))
    refused(path, "its components come to 12000000000000 triangles")
    assert time.process_time() - begin < 1.0
    few = "".join(levels) + '<object id="13"><mesh><vertices/><triangles/></mesh></object>'
    refused(write("b.3mf", package(model(resources=few))), "placed copies")


def test_components_too_deep(write):
    chain = [f'<object id="{i}">{components(i + 1)}</object>' for i in range(1, 5000)]
    resources = "".join(chain) + '<object id="5000">MESH</object>'
    refused(write("a.3mf", package(model(resources=resources))), "nest deeper than 16")
    chain = [f'<object id="{i}">{components(i + 1)}</object>' for i in range(5000, 0, -1)]
    backwards = '<object id="5001">MESH</object>' + "".join(chain)
    refused(write("b.3mf", package(model(resources=backwards))), "nest deeper than 16")


def test_one_endless_token(write):
    """A token without end is parsed again with every piece: bounded, or time grows squared."""
    comment = model(before="<!--" + "x" * 3_000_000 + "-->")
    path = write("a.3mf", package(comment, packing=zipfile.ZIP_STORED))
    refused(path, "token longer than 1000 bytes", ReadLimits(line_bytes=1000))
    assert outcome(path) == pytest.approx(30000)


def test_very_deep_xml(write):
    deep = model().replace("<build>", "<x>" * 200_000 + "</x>" * 200_000 + "<build>")
    assert outcome(write("a.3mf", package(deep))) == pytest.approx(30000)
