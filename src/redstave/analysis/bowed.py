"""The parts for bowed strings: who plays, their chords by time, and the words in force."""

from bisect import bisect_right
from dataclasses import dataclass

from redstave.analysis.page import Chord, Voice, by_voice, chords
from redstave.analysis.staffing import staffing
from redstave.instruments.tuning import tuning
from redstave.model.line import Line, Playing, TechniquePoint
from redstave.model.score import Part, Score


@dataclass(frozen=True, eq=False)
class Bowed:
    """One part for violins, violas, cellos or double basses.

    `line` is its first line; `section` tells whether more than one player reads it; `chords` are
    its chords by time, stave and voice; `words` the techniques in force.
    """

    part: Part
    line: Line
    section: bool
    chords: tuple[Chord, ...]
    words: tuple[TechniquePoint, ...]

    @property
    def instrument(self) -> str:
        """The id of the instrument: violin, viola, cello or double-bass."""
        return self.line.instrument

    @property
    def voices(self) -> dict[Voice, tuple[Chord, ...]]:
        """The chords of each stave and voice, by time."""
        return by_voice(self.chords)

    def told(self, tick: int) -> TechniquePoint:
        """Return what words have put in force at a position in ticks."""
        return self.words[bisect_right(self.words, tick, key=lambda point: point.tick) - 1]


def bowed_parts(score: Score, playing: Playing) -> tuple[Bowed, ...]:
    """Return the parts that one kind of bowed instrument plays, in the order of the score."""
    staffs = staffing(playing)
    return tuple(
        Bowed(
            part,
            staffs[part.id].lines[0],
            staffs[part.id].section,
            chords(score, part),
            playing.techniques.get(staffs[part.id].lines[0].id, (TechniquePoint(0),)),
        )
        for part in score.parts
        if part.id in staffs and staffs[part.id].instrument in tuning()
    )
