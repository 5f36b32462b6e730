"""MEI as the engraving library writes it, turned into MusicXML, which goes through the one reader.

::

    staves    <scoreDef>  -> the parts, their staves, what stands at the beginning
    layers    <layer>     -> notes, chords and rests with their times
    controls  <slur>, <dynam> … -> what hangs on notes or stands at a time
    write     all of it   -> MusicXML

What has no counterpart is counted by its name, so that it can be reported.
"""

from typing import NamedTuple

from redstave.reading.mei.music import read_music
from redstave.reading.mei.write import write

__all__ = ["Made", "to_musicxml"]

ACCIDENTALS = (
    "It does not say which notes sound sharp or flat (accid.ges); that was taken from the key and "
    "from the accidentals before them in the bar."
)


class Made(NamedTuple):
    """MusicXML made of MEI: how many elements of which name were left out, and what was assumed."""

    data: bytes
    left_out: dict[str, int]
    assumed: str


def to_musicxml(mei: bytes, name: str) -> Made:
    """Return the music as MusicXML 4.0.

    InputError if the file holds no score; `name` is the file's name.
    """
    music = read_music(mei, name)
    return Made(write(music), dict(music.left_out), ACCIDENTALS if music.infers else "")
