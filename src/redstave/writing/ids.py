"""Which elements are given our ids."""

from collections.abc import Iterable

from redstave.model.score import Attributes, Score

# The elements of MusicXML 4.0 that may have an id and are a note, a mark or a span of ours.
WITH_ID = frozenset(
    [
        *("accidental-mark", "accordion-registration", "arpeggiate", "barline", "bracket", "clef"),
        *("coda", "damp", "damp-all", "dashes", "dynamics", "eyeglasses"),
        *("fermata", "figured-bass", "for-part", "glissando", "grouping", "harmony"),
        *("harp-pedals", "image", "key", "lyric", "measure-style", "metronome"),
        *("non-arpeggiate", "note", "octave-shift", "other-direction", "other-notation", "pedal"),
        *("percussion", "principal-voice", "print", "rehearsal", "scordatura", "segno"),
        *("slide", "slur", "staff-divide", "string-mute", "symbol", "tied"),
        *("time", "transpose", "tuplet", "wedge", "words"),
    ]
)


class Ids:
    """Gives ids; what the file itself has named keeps its name, and no name is given twice."""

    def __init__(self, score: Score) -> None:
        self._taken = set(_given(score))

    def named(self, name: str, attributes: Attributes, own: str) -> Attributes:
        """Return an element's attributes with our id before them, if it can have it."""
        if name not in WITH_ID or not own or own in self._taken:
            return attributes
        for key, _ in attributes:
            if key == "id":
                return attributes
        return (("id", own), *attributes)


def _given(score: Score) -> Iterable[str]:
    """Yield the ids that the file gives itself."""
    for part in score.parts:
        yield part.id
        yield from (one.id for one in part.instruments)
        everything = (
            *(note.details for note in part.notes),
            *(mark.attributes for mark in part.marks),
            *(span.attributes for span in part.spans),
            *part.bar_attributes,
        )
        for attributes in everything:
            yield from (value for key, value in attributes if key in ("id", "stop-id"))
