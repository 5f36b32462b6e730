"""Writes what has been read: MusicXML of a Score, MIDI of what its players are told.

::

    to_musicxml   Score -> bytes of a MusicXML 4.0 file
    compressed    bytes of a MusicXML file -> bytes of a compressed one (.mxl)
    to_midi       Playing -> bytes of a MIDI file
"""

from redstave.writing.compressed import compressed
from redstave.writing.midi import to_midi
from redstave.writing.musicxml import to_musicxml

__all__ = ["compressed", "to_midi", "to_musicxml"]
