"""Tremolo between two chords: each is printed with half of the time in which both sound."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import islice, takewhile

from redstave.model.line import Tone
from redstave.model.score import Part, Score

Time = tuple[int, int]


def shaken_through(score: Score, tones: Sequence[Tone]) -> Mapping[int, Time]:
    """Return when tones (indices) of a tremolo between two notes or chords sound, in ticks.

    Both sound from the beginning of the first to the end of the second.
    """
    pairs = [pair for part in score.parts for pair in _pairs(part)]
    if not pairs:
        return {}
    at = {note: index for index, tone in enumerate(tones) for note in tone.notes}
    found: dict[int, Time] = {}
    for pair in pairs:
        both = [at[note] for note in pair if note in at]
        if both:
            start = min(tones[index].start for index in both)
            stop = max(tones[index].stop for index in both)
            found |= dict.fromkeys(both, (start, stop))
    return found


def _pairs(part: Part) -> Iterator[list[str]]:
    """Yield the notes (ids) of both chords of each tremolo between two."""
    ends = [
        (span.start.note, span.stop.note)
        for span in part.spans
        if span.kind == "tremolo" and span.start is not None and span.stop is not None
    ]
    if not ends:
        return
    place = {note.id: at for at, note in enumerate(part.notes)}
    for pair in ends:
        yield [id_ for note in pair if note in place for id_ in _chord(part, place[note])]


def _chord(part: Part, at: int) -> Iterator[str]:
    """Yield the notes (ids) of the chord that begins with a note."""
    yield part.notes[at].id
    yield from (
        note.id for note in takewhile(lambda one: one.chord, islice(part.notes, at + 1, None))
    )
