"""Archives: bombs, lies about what is inside, paths that lead out."""

import io
import struct
import zipfile
from collections.abc import Iterator

from tests.reading.hostile.case import PLAIN, Case, refused

CONTAINER = '<container><rootfiles><rootfile full-path="{}"/></rootfiles></container>'
MXL = "entry.mxl"


def packed(entries: dict[str, bytes], level: int = zipfile.ZIP_DEFLATED) -> bytes:
    """Return an archive of these entries."""
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", level) as archive:
        for name, data in entries.items():
            archive.writestr(name, data)
    return content.getvalue()


def named(path: str, **others: bytes) -> bytes:
    """Return an archive whose container names a path; it holds the plain score as score.xml."""
    container = CONTAINER.format(path).encode()
    return packed({"META-INF/container.xml": container, "score.xml": PLAIN, **others})


def cases(secret_path: str) -> Iterator[Case]:
    """Yield the cases; the secret must not be read."""
    yield Case("an archive", named("score.xml"), notes=1, file=MXL)
    yield Case("no container", packed({"score.xml": PLAIN}), "", "container", 1, MXL)
    for name, path in (
        ("upwards", f"../../../../../..{secret_path}"),
        ("absolute", secret_path),
        ("a drive", "C:\\secret.xml"),
        ("an address", f"file://{secret_path}"),
        ("missing", "other.xml"),
        ("empty", ""),
        ("a folder", "META-INF/"),
    ):
        yield Case(f"the container names a path, {name}", named(path), "", "container", 1, MXL)
    two = CONTAINER.format('score.xml"/><rootfile full-path="other.xml').encode()
    yield Case(
        "two roots",
        packed({"META-INF/container.xml": two, "score.xml": PLAIN, "other.xml": b"<x/>"}),
        notes=1,
        file=MXL,
    )
    yield Case("an entry called upwards", packed({"../x.xml": PLAIN}), "", "container", 1, MXL)
    yield Case(
        "a damaged container",
        packed({"META-INF/container.xml": b"<container", "score.xml": PLAIN}),
        "",
        "container",
        1,
        MXL,
    )
    entity = b'<!DOCTYPE c [<!ENTITY x SYSTEM "file:///etc/passwd">]><container>&x;</container>'
    yield Case(
        "a container with an entity",
        packed({"META-INF/container.xml": entity, "score.xml": PLAIN}),
        "",
        "container",
        1,
        MXL,
    )
    yield Case("plain XML called .mxl", PLAIN, notes=1, file=MXL)
    yield Case("an archive called .musicxml", named("score.xml"), notes=1)
    yield from _refused()


def _refused() -> Iterator[Case]:
    whole = named("score.xml")
    yield refused("nested archive", packed({"inner.mxl": whole}), "no MusicXML", MXL)
    yield refused("archive as score", packed({"score.xml": whole}), "is no MusicXML", MXL)
    yield refused("empty archive", packed({}), "no MusicXML", MXL)
    yield refused("only a container", packed({"META-INF/container.xml": b"<c/>"}), "no", MXL)
    many = {f"x{number}": b"" for number in range(5000)}
    yield refused("five thousand entries", packed(many), "files", MXL)
    yield refused("garbage behind a header", b"PK\x03\x04" + b"\xff" * 500, "damaged", MXL)
    yield refused("archive cut off", whole[: len(whole) // 2], "damaged", MXL)
    yield refused("checksum", _overwritten(whole), "damaged", MXL)
    yield refused("locked", _locked(whole), "damaged", MXL)
    yield refused("an entry before the file", _before(whole), "damaged", MXL)
    bomb = packed({"score.xml": b"<score-partwise>" + b" " * 80_000_000})
    yield refused("a bomb", bomb, "unpacks to", MXL)
    yield refused("a bomb that says it is small", _lying(bomb), "", MXL)
    container = b"<container>" + b" " * 80_000_000
    yield refused(
        "a bomb as container",
        packed({"META-INF/container.xml": container, "score.xml": PLAIN}),
        "unpacks to",
        MXL,
    )


def _overwritten(archive: bytes) -> bytes:
    place = archive.index(b"PK\x01\x02") - 40  # in the last entry, the score
    return archive[:place] + bytes([archive[place] ^ 0xFF]) + archive[place + 1 :]


def _before(archive: bytes) -> bytes:
    data = bytearray(archive)
    end = data.rindex(b"PK\x05\x06")
    begin = int.from_bytes(data[end + 16 : end + 20], "little")
    struct.pack_into("<I", data, end + 16, begin + 3000)  # the directory seems to begin later
    return bytes(data)


def _locked(archive: bytes) -> bytes:
    data = bytearray(archive)
    for signature, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        place = data.find(signature)
        while place >= 0:
            data[place + flags] |= 1
            place = data.find(signature, place + 4)
    return bytes(data)


def _lying(archive: bytes) -> bytes:
    data = bytearray(archive)
    struct.pack_into("<I", data, data.index(b"PK\x01\x02") + 24, 1000)
    struct.pack_into("<I", data, data.index(b"PK\x03\x04") + 22, 1000)
    return bytes(data)
