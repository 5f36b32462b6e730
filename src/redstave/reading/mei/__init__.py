"""MEI as the engraving library writes it, turned into MusicXML, which goes through the one reader.

::

    staves    <scoreDef>  -> the parts, their staves, what stands at the beginning
    layers    <layer>     -> notes, chords and rests with their times
    controls  <slur>, <dynam> … -> what hangs on notes or stands at a time
    write     all of it   -> MusicXML

What has no counterpart is counted by its name, so that it can be reported.
"""

from redstave.reading.mei.music import read_music
from redstave.reading.mei.write import write

__all__ = ["to_musicxml"]


def to_musicxml(mei: bytes, name: str) -> tuple[bytes, dict[str, int]]:
    """Return the music as MusicXML 4.0, and how many elements of which name were left out.

    InputError if the file holds no score; `name` is the file's name.
    """
    music = read_music(mei, name)
    return write(music), dict(music.left_out)
