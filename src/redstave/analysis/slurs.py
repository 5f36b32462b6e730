"""Which printed notes stand under a slur."""

from collections.abc import Iterator

from redstave.model.score import Note, Part, Score


def slurred(score: Score) -> frozenset[str]:
    """Return the ids of the notes under slurs, from the first to the last note of each slur."""
    return frozenset(note for part in score.parts for note in _slurred(part))


def _slurred(part: Part) -> Iterator[str]:
    place = {note.id: at for at, note in enumerate(part.notes)}
    for span in part.spans_of("slur"):
        if span.start is None or span.stop is None:
            continue
        first, last = place.get(span.start.note), place.get(span.stop.note)
        if first is None or last is None or first > last:
            continue
        voice = _voice(part.notes[first])
        for at in range(first, last + 1):
            if _voice(part.notes[at]) == voice:
                yield part.notes[at].id


def _voice(note: Note) -> tuple[int, str]:
    return note.stave, note.voice
