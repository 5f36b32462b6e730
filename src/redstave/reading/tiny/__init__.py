"""The tiny notation: a score in a few lines of text, for tests, examples and the demonstration.

The text is turned into MusicXML 4.0, which goes through the one reader.
"""

from redstave.reading.tiny.parse import parse
from redstave.reading.tiny.writer import write

__all__ = ["to_musicxml"]


def to_musicxml(text: str) -> bytes:
    """Return a tiny score as MusicXML 4.0; InputError names the line that cannot be understood."""
    return write(parse(text))
