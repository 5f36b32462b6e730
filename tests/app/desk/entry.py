"""One small entry laid open, for every test of this room."""

from redstave.analysis import Analysis
from redstave.app import choose, review
from redstave.app.desk import Opened
from redstave.reading import read_bytes
from redstave.reading.tiny import to_musicxml

TEXT = """\
title: Three
meter: 4/4
tempo: 60
part Flute
p C4/1 | @A C5/1 | R | C5/1 |.
part Harp | staves=2
mf C5/4 E5 G5 C6 // clef:bass C3/1 | R // R | R // C3/1 | R // R |.
part Trombone | clef=bass
ff C3/1 | C3/1 | C3/1 | C3/1 |.
"""
TEXT = TEXT.replace("C5/4 E5 G5 C6", "C5/4 E5/4 G5/4 C6/4")


def opened(text: str = TEXT) -> Opened:
    """Return an entry with its review by one check."""
    xml = to_musicxml(text)
    analysis = Analysis(read_bytes(xml, "three.musicxml"))
    done = review(analysis, "Alder", choose(only=["tune-covered", "rehearsal-marks-sparse"]))
    return Opened("Alder", analysis, done, xml)
