"""Standard MIDI files, turned into MusicXML as far as what is played tells what is written.

::

    played    the file    -> what each part plays, when, in quarters
    written   one part    -> chords in voices, cut at the barlines, in note values
    write     all of it   -> MusicXML
"""

from redstave.reading.midi.played import read_played
from redstave.reading.midi.write import write

__all__ = ["to_musicxml"]


def to_musicxml(data: bytes, name: str) -> tuple[bytes, int | None]:
    """Return what a MIDI file plays as MusicXML 4.0, and the velocity of its tones if all have one.

    Where they differ, the level of each bar stands in it as `<sound dynamics>`. InputError if the
    file cannot be used.
    """
    played = read_played(data, name)
    return write(played), played.only_velocity
