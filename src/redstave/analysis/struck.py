"""What one player strikes at each moment, on all his staves together."""

from collections import defaultdict
from typing import NamedTuple

from redstave.analysis.page import Chord, chords
from redstave.model.score import Note, Part, Score


class Struck(NamedTuple):
    """The chords of all staves and voices of a part that begin at one tick."""

    tick: int
    chords: tuple[Chord, ...]

    @property
    def notes(self) -> tuple[Note, ...]:
        """The notes struck, tied ones left out."""
        return tuple(note for chord in self.chords for note in chord.notes if not note.tie_stop)

    def on_stave(self, stave: int) -> tuple[Note, ...]:
        """Return the notes struck on one stave."""
        return tuple(note for note in self.notes if note.stave == stave)


def struck(score: Score, part: Part) -> tuple[Struck, ...]:
    """Return what is struck, moment by moment."""
    found: dict[int, list[Chord]] = defaultdict(list)
    for chord in chords(score, part):
        found[chord.start].append(chord)
    moments = (Struck(tick, tuple(together)) for tick, together in sorted(found.items()))
    return tuple(moment for moment in moments if moment.notes)
