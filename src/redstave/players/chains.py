"""The notes of a part as they are played: tied notes joined, graces counted to their main note."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from operator import itemgetter
from typing import NamedTuple

from redstave.model.score import Anchor, Note, Part, Score
from redstave.players.signs import ChordKey, chord_key
from redstave.players.texture import grace_chords

_start = itemgetter(0)
_new = tuple.__new__  # for what is made once a note: half the time of Chain(…)


class Chain(NamedTuple):
    """One note, or the notes tied into one tone; `start` and `stop` in ticks of the score."""

    notes: tuple[Note, ...]
    start: int
    stop: int


def chains(score: Score, part: Part, absent: frozenset[str] = frozenset()) -> list[Chain]:
    """Return the played notes of a part with tied notes joined, by start; `absent` left out."""
    bars = [bar.start for bar in score.bars]
    notes = [
        (bars[note.bar] + note.offset, note)
        for note in part.notes
        if note.kind != "rest" and not (note.grace or note.cue or note.hidden)
    ]
    notes.sort(key=_start)
    if absent:
        notes = [(start, note) for start, note in notes if note.id not in absent]
    ends = {note.id: start + note.duration for start, note in notes}
    tied_to = {
        tie.stop.note: tie.start.note
        for tie in part.spans_of("tie")
        if tie.start and tie.stop and not _passes_over(tie.start, tie.stop, ends, bars)
    }
    if not tied_to:
        return [_new(Chain, ((note,), start, start + note.duration)) for start, note in notes]
    return _joined(notes, tied_to)


def _passes_over(start: Anchor, stop: Anchor, ends: Mapping[str, int], bars: Sequence[int]) -> bool:
    """Whether a tie leads past a bar that its first note does not fill: no one can hold it."""
    return stop.bar - start.bar > 1 and ends.get(start.note, 0) < bars[stop.bar] + stop.offset


def _joined(notes: Sequence[tuple[int, Note]], tied_to: Mapping[str, str]) -> list[Chain]:
    """Return notes by start as chains; `tied_to` gives the note before by the id of a tied one."""
    found: list[Chain] = []
    going_on = set(tied_to.values())
    place_of: dict[str, int] = {}
    for start, note in notes:
        id_, stop = note.id, start + note.duration
        place = place_of.get(tied_to[id_]) if id_ in tied_to else None
        if place is None:
            if id_ in going_on:
                place_of[id_] = len(found)
            found.append(_new(Chain, ((note,), start, stop)))
        else:
            if id_ in going_on:
                place_of[id_] = place
            before = found[place]
            found[place] = Chain((*before.notes, note), before.start, stop)
    return found


def graces(part: Part) -> Iterator[tuple[Note, int]]:
    """Yield the played grace notes, each with how many graces stand from it to its main note."""
    groups: dict[ChordKey, list[list[Note]]] = defaultdict(list)
    for together in grace_chords(part):
        groups[chord_key(together[0])].append(together)
    for group in groups.values():
        for position, together in enumerate(group):
            for note in together:
                yield note, len(group) - position
