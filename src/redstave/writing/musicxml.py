"""A Score as MusicXML 4.0, part by part.

What is written is read back as the same page (`redstave.model.same_page`): every note, mark and
span in its order and place. Where the order of a file was not that of MusicXML's schema, the order
of the schema is written.

Ids are attributes where the standard has them: notes, marks and spans are found in the file under
the ids of the Score, unless the file they were read from gave them one of its own.
"""

from collections.abc import Iterator

from redstave.model.score import Part, Score
from redstave.writing.heading import head, part_list
from redstave.writing.ids import Ids
from redstave.writing.parts import measures
from redstave.writing.xml import escaped, text_of, to_bytes

BEGINNING = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
    '<score-partwise version="4.0">'
)


def to_musicxml(score: Score) -> bytes:
    """Return a score as a MusicXML 4.0 file, UTF-8.

    InputError if a text holds a character that XML cannot hold.
    """
    return to_bytes("".join([BEGINNING, *_contents(score), "\n</score-partwise>\n"]))


def _contents(score: Score) -> Iterator[str]:
    """Yield what a score holds as text, bar by bar: a whole tree would slow the writer down."""
    ids = Ids(score)
    for element in head(score):
        yield text_of(element, 1)
    yield text_of(part_list(score), 1)
    for part in filter(_has_bars, score.parts):
        yield f'\n  <part id="{escaped(part.id)}">'
        for measure in measures(score, part, ids):
            yield text_of(measure, 2)
        yield "\n  </part>"


def _has_bars(part: Part) -> bool:
    """Tell whether a part is more than announced; MusicXML has no part without bars."""
    return bool(part.bar_attributes or part.notes or part.marks)
