"""Unpacks compressed MusicXML (.mxl) in memory, within limits that stop a bomb early."""

import io
import lzma
import struct
import zipfile
import zlib
from typing import NamedTuple

from lxml import etree

from redstave.base.errors import InputError
from redstave.reading.parser import PARSER_OPTIONS

SIZE_LIMIT = 200_000_000  # bytes unpacked
RATIO_LIMIT = 200  # unpacked to packed; real scores stay below 50
RATIO_FLOOR = 1_000_000  # bytes below which the ratio says nothing
ENTRY_LIMIT = 1000
CHUNK = 1 << 20
# What the library raises for archives that lie about what is in them.
DAMAGE = (
    *(zipfile.BadZipFile, zlib.error, lzma.LZMAError, struct.error),
    *(EOFError, OSError, RuntimeError, NotImplementedError, ValueError, LookupError),
)
CONTAINER = "META-INF/container.xml"


class Unpacked(NamedTuple):
    """The score's XML, and what had to be assumed to find it ("" if nothing)."""

    data: bytes
    assumption: str


def is_archive(data: bytes) -> bool:
    """Tell by the first bytes whether the file is a zip archive."""
    return data.startswith((b"PK\x03\x04", b"PK\x05\x06"))


def unpack(data: bytes, name: str) -> Unpacked:
    """Return the score inside an archive; InputError if there is none or a limit is passed."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if len(archive.infolist()) > ENTRY_LIMIT:
                raise InputError(
                    f"{name} holds {len(archive.infolist())} files; a compressed score holds a few."
                )
            entry, assumption = _score_entry(archive, name)
            return Unpacked(_read(archive, entry, name), assumption)
    except DAMAGE as error:
        reason = " ".join(str(error).split()).rstrip(".") or type(error).__name__
        raise InputError(
            f"{name} is a damaged archive ({reason}); export it again from the notation program."
        ) from error


def _score_entry(archive: zipfile.ZipFile, name: str) -> tuple[zipfile.ZipInfo, str]:
    entries = {entry.filename: entry for entry in archive.infolist()}
    named = _named_by_container(archive, entries, name)
    if named in entries and not entries[named].is_dir():
        return entries[named], ""
    scores = [
        entry
        for path, entry in entries.items()
        if path.lower().endswith((".xml", ".musicxml")) and not path.startswith("META-INF/")
    ]
    if not scores:
        raise InputError(f"{name} holds no MusicXML; export it again from the notation program.")
    missing = f"the score {named!r}, which is not there" if named else "no score"
    return scores[0], f"The archive names {missing}; {scores[0].filename!r} was read."


def _named_by_container(
    archive: zipfile.ZipFile, entries: dict[str, zipfile.ZipInfo], name: str
) -> str:
    if CONTAINER not in entries:
        return ""
    try:
        root = etree.fromstring(
            _read(archive, entries[CONTAINER], name), etree.XMLParser(**PARSER_OPTIONS)
        )
    except etree.XMLSyntaxError:
        return ""
    return next((str(file.get("full-path", "")) for file in root.iter("{*}rootfile")), "")


def _read(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, name: str) -> bytes:
    limit = min(SIZE_LIMIT, max(RATIO_FLOOR, RATIO_LIMIT * entry.compress_size))
    content = bytearray()
    with archive.open(entry) as stream:
        while chunk := stream.read(CHUNK):
            content += chunk
            if len(content) > limit:
                raise InputError(f"{name} unpacks to more than {limit} bytes; no score does.")
    return bytes(content)
