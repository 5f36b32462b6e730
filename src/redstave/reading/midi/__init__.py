"""Standard MIDI files, turned into MusicXML as far as what is played tells what is written.

::

    played    the file    -> what each part plays, when, in quarters
    written   one part    -> chords in voices, cut at the barlines, in note values
    write     all of it   -> MusicXML
"""

from redstave.reading.midi.played import read_played
from redstave.reading.midi.write import write

__all__ = ["to_musicxml"]


def to_musicxml(data: bytes, name: str) -> bytes:
    """Return what a MIDI file plays as MusicXML 4.0; InputError if it cannot be used."""
    return write(read_played(data, name))
