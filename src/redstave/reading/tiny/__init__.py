r"""The tiny notation: a score in a few lines of text, for tests, examples and the demonstration.

The text is turned into MusicXML 4.0, which goes through the one reader. A line that begins with
";" is a comment, and so is what follows " ;".

Header lines stand before the first part::

    title: Four horns
    arranger: Entry Juniper  who made the score; usually left out
    meter: 4/4
    key: -3                 fifths, at concert pitch; each part's page has its own key
    tempo: 96 "Andante"     quarters a minute and a word, printed over the first part; either alone
    pitch: sounding         notes are given as they sound and written out for the players; or
                            "written" (the usual): as they stand on the page
    pickup: 1/4             the first bar is this long and has the number 0
    sums: free              bars may hold more or less than their metre; or "strict" (the usual)

A part begins with a line of its name and settings; all settings may be left out::

    part Flute 1. 2 | abbr=Fl. 1. 2 | clef=treble | transpose=0 | staves=1 |
                      sound=wind.flutes.flute | group=Woodwind          (on one line)

`transpose` is in semitones from written to sounding (horn in F -7); `clef` is treble, bass, alto,
tenor or percussion (notes without pitch), with a comma between those of several staves; parts of
one `group` that stand together have a bracket.

=====================  ============================================================================
``C#5/4.``             a note: step, accidental (``#`` ``##`` ``b`` ``bb``), octave (C4 is middle
                       C), note value 1 to 64, dots; the value holds until another is given
``[C5 E5]/2``          a chord
``r/4`` ``s/4``        a rest; an invisible gap
``R`` ``R*3``          a rest for the whole bar; for three bars
``^C5``                a grace note before the next note, an eighth unless a value is given
``~``                  behind a note: tied to the next
``(`` ``)``            behind a note: a slur begins, ends; slurs may be nested
``:staccato``          behind a note: a mark by the name of its MusicXML element; also
                       ``:tremolo1`` to ``4``, ``:let-ring``, ``:gliss`` (to the next note),
                       ``:cue``, ``:diamond``
``{3:2 … }``           a tuplet
``mf``                 a level
``<`` ``>`` ``=``      a crescendo, a diminuendo begins; it ends. A new one ends the one before
``"dolce"``            words above; ``_"…"`` below; ``!"…"`` bold, of the tempo
``%72`` ``@A``         a tempo in quarters a minute; a rehearsal letter
``clef:bass``          another clef; ``key:2`` another key (concert); ``meter:3/4`` another metre,
                       at the beginning of a bar and in every part
``&`` ``//``           the next voice of the stave; the next stave
``|`` ``||`` ``|.``    ends a bar; with a double bar; with a final bar
``|:`` ``:|``          repeats; a barline that one part has, all parts have
=====================  ============================================================================
"""

from redstave.reading.tiny.parse import parse
from redstave.reading.tiny.writer import write

__all__ = ["to_musicxml"]


def to_musicxml(text: str) -> bytes:
    """Return a tiny score as MusicXML 4.0; InputError names the line that cannot be understood."""
    return write(parse(text))
