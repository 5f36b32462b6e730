"""Reads scores: MusicXML and the tiny notation become a frozen Score with its problems.

::

    read, read_bytes   a file or its bytes -> Score
    counts             Score -> how many notes, slurs, levels … it holds
    xml_of             bytes of a file -> the MusicXML in it
"""

from redstave.reading.account import counts
from redstave.reading.musicxml import read, read_bytes, xml_of

__all__ = ["counts", "read", "read_bytes", "xml_of"]
