"""Compressed MusicXML (.mxl): a score's XML packed as the standard asks."""

import io
import zipfile

MEDIA_TYPE = "application/vnd.recordare.musicxml"
SCORE = "score.musicxml"
CONTAINER = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    "<container>\n  <rootfiles>\n"
    f'    <rootfile full-path="{SCORE}" media-type="{MEDIA_TYPE}+xml"/>\n'
    "  </rootfiles>\n</container>\n"
)
MADE = (1980, 1, 1, 0, 0, 0)  # the same score gives the same bytes, whenever it is packed


def compressed(xml: bytes) -> bytes:
    """Return a file of compressed MusicXML that holds the score's XML.

    Its first entry is its media type, unpacked (MusicXML 4.0, "Compressed .mxl files").
    """
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        _add(archive, "mimetype", MEDIA_TYPE.encode(), zipfile.ZIP_STORED)
        _add(archive, "META-INF/container.xml", CONTAINER.encode(), zipfile.ZIP_DEFLATED)
        _add(archive, SCORE, xml, zipfile.ZIP_DEFLATED)
    return packed.getvalue()


def _add(archive: zipfile.ZipFile, name: str, data: bytes, how: int) -> None:
    archive.writestr(zipfile.ZipInfo(name, MADE), data, how)
