"""Reads scores: MusicXML and the tiny notation become a frozen Score with its problems.

::

    read, read_bytes   a file or its bytes -> Score
    account_of         Score and its MusicXML -> what became of every element of the file
    counts             Score -> how many notes, slurs, levels … it holds
    element_paths      id of a note, mark or span -> XPath of the elements it was read from
    xml_of             bytes of a file -> the MusicXML in it
    blind              MusicXML -> the same page with nobody named
"""

from redstave.reading.account import counts
from redstave.reading.blind import blind, said_of_makers
from redstave.reading.inventory import Row, account_of
from redstave.reading.musicxml import read, read_bytes, xml_of
from redstave.reading.paths import element_paths

__all__ = [
    "Row",
    "account_of",
    "blind",
    "counts",
    "element_paths",
    "read",
    "read_bytes",
    "said_of_makers",
    "xml_of",
]
