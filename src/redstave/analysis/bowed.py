"""The parts for bowed strings: who plays, their chords by time, and the words in force."""

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from redstave.analysis.page import Chord, Slurred, Voice, by_voice, chords, marks_by_note, slurred
from redstave.analysis.staffing import staffing
from redstave.instruments.tuning import tuning
from redstave.model.line import Line, Playing, TechniquePoint
from redstave.model.score import Mark, Part, Score


@dataclass(frozen=True, eq=False)
class Bowed:
    """One part for violins, violas, cellos or double basses.

    `line` is its first line; `section` tells whether more than one player reads it; `chords` are
    its chords by time, stave and voice; `words` the techniques in force.
    """

    score: Score
    part: Part
    line: Line
    section: bool
    chords: tuple[Chord, ...]
    words: tuple[TechniquePoint, ...]

    @property
    def instrument(self) -> str:
        """The id of the instrument: violin, viola, cello or double-bass."""
        return self.line.instrument

    @cached_property
    def voices(self) -> Mapping[Voice, tuple[Chord, ...]]:
        """The chords of each stave and voice, by time."""
        return by_voice(self.chords)

    @cached_property
    def slurs(self) -> tuple[Slurred, ...]:
        """The slurs that have notes under them, in the order of the file."""
        return tuple(slur for slur in slurred(self.score, self.part) if slur.chords)

    @cached_property
    def signs(self) -> Mapping[str, tuple[Mark, ...]]:
        """The marks on each note, by the id of the note."""
        return marks_by_note(self.part)

    def signed(self, chord: Chord, *names: str) -> bool:
        """Tell whether any note of a chord bears a mark of one of these names."""
        marks = (mark for id_ in chord.ids for mark in self.signs.get(id_, ()))
        return any(mark.name in names for mark in marks)

    def strokes(self, chord: Chord) -> float:
        """Return the tremolo strokes on a chord, 0 for none."""
        marks = (mark for id_ in chord.ids for mark in self.signs.get(id_, ()))
        return max((mark.value for mark in marks if mark.kind == "tremolo"), default=0.0)

    def told(self, tick: int) -> TechniquePoint:
        """Return what words have put in force at a position in ticks."""
        return self.words[bisect_right(self.words, tick, key=lambda point: point.tick) - 1]


def bowed_parts(score: Score, playing: Playing) -> tuple[Bowed, ...]:
    """Return the parts that one kind of bowed instrument plays, in the order of the score."""
    staffs = staffing(playing)
    return tuple(
        Bowed(
            score,
            part,
            staffs[part.id].lines[0],
            staffs[part.id].section,
            chords(score, part),
            playing.techniques.get(staffs[part.id].lines[0].id, (TechniquePoint(0),)),
        )
        for part in score.parts
        if part.id in staffs and staffs[part.id].instrument in tuning()
    )
