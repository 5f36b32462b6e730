"""Two small entries of a season, for the tests of its use cases."""

from redstave.reading.tiny import to_musicxml

# One flute below its compass, then a tune that a trombone covers; words that name the maker.
FIRST = """\
title: Two Players
meter: 4/4
tempo: 96 "Andante"
part Flute
p C3/1 | C5/1 | D5/2 E5 | F5/1 | G5/1 | E5/2 D5 | C5/1 | B4/1 |.
part Trombone | clef=bass
ff C3/1 | C3/1 | D3/1 | E3/1 | C3/1 | D3/1 | E3/1 | F3/1 |.
"""
# A bar put in before the second, and the first note of the flute mended.
SECOND = FIRST.replace("p C3/1 | C5/1", "p C5/1 | G5/1 | C5/1").replace(
    "ff C3/1 | C3/1", "ff C3/1 | G3/1 | C3/1"
)
NAME = "Wilhelmina Quick"


def signed(tiny: str) -> bytes:
    """Return a tiny score as MusicXML that names its maker everywhere a program may."""
    xml = to_musicxml(tiny).decode()
    head = (
        f"<identification><creator type='arranger'>{NAME}</creator><rights>(c) {NAME}</rights>"
        f"</identification><credit page='1'><credit-words>set by {NAME}</credit-words></credit>"
    )
    start = xml.index("<part-list>")
    if "<identification>" in xml:
        before = xml.index("<identification>")
        after = xml.index("</identification>") + len("</identification>")
        xml = xml[:before] + xml[after:]
        start = xml.index("<part-list>")
    defaults = xml.find("<defaults>")
    at = defaults if 0 <= defaults < start else start
    return (xml[:at] + head + xml[at:]).encode()
