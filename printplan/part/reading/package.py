"""Zip packages that are not trusted: which entry holds the model, and its bytes, bounded.

Entries are read by exact name and never unpacked to disk, so that names with ``..`` or a leading
slash reach nothing.
"""

from __future__ import annotations

import posixpath
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any
from xml.parsers import expat

from printplan.errors import MeshFileError
from printplan.part.reading.raw import ReadLimits

__all__ = ["feed", "inflated", "model_entry", "opened", "xml_parser"]

RELATIONSHIPS = "_rels/.rels"
MODEL_RELATIONSHIP = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
CHUNK_BYTES = 1 << 20
#: Below this size no ratio of inflated to packed is suspicious. [bytes]
SMALL_BYTES = 16 * 1024**2
#: Largest table of relationships. [bytes]
RELATIONSHIPS_BYTES = 1024**2
_END_OF_DIRECTORY = b"PK\x05\x06"

#: What the zip library raises on damaged input, besides its own error.
_DAMAGED = (
    zipfile.BadZipFile,
    zipfile.LargeZipFile,
    zlib.error,
    EOFError,
    NotImplementedError,
    RuntimeError,
    ValueError,
    OverflowError,
    IndexError,
)


@contextmanager
def opened(path: Path, limits: ReadLimits) -> Iterator[zipfile.ZipFile]:
    """Open a package; whatever is wrong with it becomes a `MeshFileError`."""
    try:
        with path.open("rb") as file:
            if file.read(4) != b"PK\x03\x04":
                raise MeshFileError(path, "is no zip package", "check that it is a 3MF file")
            _check_directory(path, file, limits)
            with zipfile.ZipFile(file) as package:
                names = [posixpath.normpath(n).lower() for n in package.namelist()]
                if len(set(names)) < len(names):
                    raise MeshFileError(path, "its package holds two entries of one name")
                yield package
    except MeshFileError:
        raise
    except _DAMAGED as error:
        raise MeshFileError(
            path, f"its package is damaged: {error}", "export or copy it again"
        ) from error


def _check_directory(path: Path, file: IO[bytes], limits: ReadLimits) -> None:
    """Refuse a list of entries that would fill the memory, before it is read."""
    size = file.seek(0, 2)
    start = max(0, size - 65557)  # the end record is 22 bytes and a comment of up to 65535
    file.seek(start)
    tail = file.read(65557)
    at = tail.rfind(_END_OF_DIRECTORY)
    if at < 0 or at + 16 > len(tail):
        raise MeshFileError(path, "its package has no end: cut off", "export or copy it again")
    length = int.from_bytes(tail[at + 12 : at + 16], "little")
    if length == 0xFFFFFFFF:  # the true length stands in the 64-bit end record
        record = tail.rfind(b"PK\x06\x06", 0, at)
        length = int.from_bytes(tail[record + 40 : record + 48], "little") if record >= 0 else size
    if length > limits.directory_bytes:
        raise MeshFileError(
            path, f"its package lists entries in {length} bytes; {limits.directory_bytes} are read"
        )


def inflated(
    path: Path, package: zipfile.ZipFile, name: str, most_bytes: int, limits: ReadLimits
) -> Iterator[bytes]:
    """Yield an entry in pieces of a megabyte, counting what really comes out."""
    entry = package.getinfo(name)
    if entry.flag_bits & 0x1:
        raise MeshFileError(path, f"its entry {name!r} is encrypted")
    if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise MeshFileError(path, f"its entry {name!r} is packed in a way that 3MF does not know")
    ratio = entry.file_size / max(entry.compress_size, 1)
    if entry.file_size > most_bytes:
        raise MeshFileError(
            path, f"its entry {name!r} inflates to {entry.file_size} bytes; {most_bytes} are read"
        )
    if entry.file_size > SMALL_BYTES and ratio > limits.inflation:
        raise MeshFileError(
            path, f"its entry {name!r} inflates {ratio:.0f}-fold, as no real model does"
        )
    total = 0
    with package.open(entry) as stream:
        while piece := stream.read(CHUNK_BYTES):
            total += len(piece)
            if total > most_bytes:
                raise MeshFileError(path, f"its entry {name!r} is larger than {most_bytes} bytes")
            yield piece
    if total != entry.file_size:
        raise MeshFileError(path, f"its entry {name!r} is cut off", "export or copy it again")


@contextmanager
def xml_parser(path: Path, what: str) -> Iterator[Any]:
    """Give an XML parser that knows no document types, hence no entities and no outside files.

    Names come as "namespace name", attributes as a flat list. Errors name the line.
    """
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.ordered_attributes = True
    parser.buffer_text = True

    def refuse(*_: object) -> int:
        raise MeshFileError(path, f"its {what} declares a document type, which 3MF forbids")

    parser.StartDoctypeDeclHandler = refuse
    parser.EntityDeclHandler = refuse
    parser.ExternalEntityRefHandler = refuse
    try:
        yield parser
    except expat.ExpatError as error:
        reason = expat.ErrorString(error.code)
        raise MeshFileError(
            path, f"its {what} is damaged at line {error.lineno}: {reason}", "export it again"
        ) from error


def feed(path: Path, parser: Any, pieces: Iterator[bytes], limits: ReadLimits) -> Iterator[None]:
    """Push pieces through the parser, yielding after each."""
    fed = 0
    for piece in pieces:
        parser.Parse(piece, False)
        fed += len(piece)
        # An unfinished token is parsed again with each piece: bound it, or time grows squared.
        if fed - parser.CurrentByteIndex > limits.line_bytes + CHUNK_BYTES:
            raise MeshFileError(path, f"its XML has a token longer than {limits.line_bytes} bytes")
        yield
    parser.Parse(b"", True)


def model_entry(path: Path, package: zipfile.ZipFile, limits: ReadLimits) -> str:
    """Name of the entry that holds the model: the target of the package's start relationship."""
    entries = {name.lower(): name for name in package.namelist()}
    if RELATIONSHIPS not in entries:
        raise MeshFileError(path, f"its package has no {RELATIONSHIPS}: no 3MF file, or damaged")
    targets: list[str] = []

    def start(name: str, attributes: list[str]) -> None:
        given = dict(zip(attributes[::2], attributes[1::2], strict=True))
        if name.endswith(" Relationship") and given.get("Type") == MODEL_RELATIONSHIP:
            if given.get("TargetMode", "Internal") != "Internal":
                raise MeshFileError(path, "its model lies outside the package, which is not read")
            targets.append(given.get("Target", ""))

    pieces = inflated(path, package, entries[RELATIONSHIPS], RELATIONSHIPS_BYTES, limits)
    with xml_parser(path, "relationships") as parser:
        parser.StartElementHandler = start
        for _ in feed(path, parser, pieces, limits):
            pass
    if len(targets) != 1:
        raise MeshFileError(path, f"its package names {len(targets)} start models, not one")
    name = posixpath.normpath(targets[0].lstrip("/")).lower()
    if name not in entries:
        raise MeshFileError(path, f"its package does not hold its model {targets[0][:80]!r}")
    return entries[name]
