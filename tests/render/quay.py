"""An invented score of four parts that every test of this room may cut up."""

from redstave.reading.tiny import to_musicxml
from redstave.render.page_xml import Page, page

QUAY = """
title: Morning on the Quay
meter: 3/4
key: -2
tempo: 96 "Andante"

part Flute 1. 2 | abbr=Fl. 1. 2 | group=Woodwind
p C5/4( D5 E5) | [C5 E5]/2~ [C5 E5]/4 | R | @B mf F5/4( < G5 A5 = | "a 2" B5/2.~ | B5/2.) |.
part Clarinet in B-flat | abbr=Cl. | transpose=-2 | group=Woodwind
p E4/4 F4 G4 | ^B4 A4/8 B4 {3:2 C5/8 D5 E5} r/4 | R | G4/2. | G4/4:staccato G4 G4 | R |.
part Harp | staves=2
R // clef:bass C3/2. | C5/2. // C3/2. | R // R | mf C5/4 E5 G5 // R | R // C3/4 G3 C4 | R // R |.
part Violin I | group=Strings
pp C5/4:tremolo3 D5 E5 | R | R | f [G4 D5]/2. | R | G4/4 A4 B4 |.
"""


def quay() -> bytes:
    """Return the score as MusicXML."""
    return to_musicxml(QUAY)


def quay_page() -> Page:
    """Return the score as a page."""
    return page(quay())


def score_of(bars: str, part_list: str = "", part: str = "P1") -> bytes:
    """Return a MusicXML score of one part around hand-written bars."""
    listing = part_list or f'<score-part id="{part}"><part-name>Oboe</part-name></score-part>'
    return (
        f'<score-partwise version="4.0"><part-list>{listing}</part-list>'
        f'<part id="{part}">{bars}</part></score-partwise>'
    ).encode()


ATTRIBUTES = (
    "<attributes><divisions>2</divisions><key><fifths>0</fifths></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time>"
    "<clef><sign>G</sign><line>2</line></clef></attributes>"
)


def whole_note(step: str = "C", extra: str = "") -> str:
    """Return a semibreve of 8 divisions."""
    return (
        f"<note><pitch><step>{step}</step><octave>5</octave></pitch><duration>8</duration>"
        f"<voice>1</voice><type>whole</type>{extra}</note>"
    )
