"""Tones that are let ring: they last until they are damped, struck again, or have died away.

"l.v.", a tie into nothing, or "sempre l.v." lengthen a tone of an instrument whose sound dies away
by itself (the instrument data give the time for 60 dB). It ends earlier where the line is told to
damp, where it plays the same pitch again, on strings where it plays anything (fingers and bow leave
the string), and at the end of the score.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from redstave.instruments import InstrumentBook, decay_s
from redstave.model.line import Line, TechniquePoint, TempoMap, Tone
from redstave.model.score import Part, Score
from redstave.players.techniques import technique_at

DAMPED, LET_RING = "damped", "let-ring"
_DAMPS = frozenset({"damp", "damp-all"})  # signs of MusicXML for the harp
Points = Mapping[int, Sequence[TechniquePoint]]  # by stave


class Ringing:
    """Lengthens the tones of one part that are let ring."""

    def __init__(self, score: Score, part: Part, book: InstrumentBook, tempo: TempoMap) -> None:
        self._book = book
        self._tempo = tempo
        self._tied = frozenset(note.id for note in part.notes if note.let_ring)
        self._staves = {note.id: note.stave for note in part.notes} if part.staves > 1 else {}
        self._signs = [
            score.tick(mark.bar, mark.offset)
            for mark in part.marks_of("other")
            if mark.name in _DAMPS
        ]
        self._end = score.bars[-1].start + score.bars[-1].length

    def lengthened(
        self, tones: Sequence[Tone], lines: Sequence[Line], points: Sequence[Points], first: int
    ) -> list[Tone]:
        """Return the tones of a part; its lines are numbered from `first`, `points` go by line."""
        if not (self._tied or any(_told(by_stave, LET_RING) for by_stave in points)):
            return list(tones)
        changed = list(tones)
        by_line: dict[int, list[int]] = defaultdict(list)
        for at in sorted(range(len(tones)), key=lambda at: tones[at].start):
            by_line[tones[at].line].append(at)
        for number, places in by_line.items():
            line, told = lines[number - first], points[number - first]
            damped = sorted([*self._signs, *_told(told, DAMPED)])
            for place, at in enumerate(places):
                tone = tones[at]
                if line.instrument in self._book and self._rings(tone, told):
                    later = (tones[other] for other in places[place + 1 :])
                    stop = self._stop(tone, line, _again(tone, later, line), damped)
                    if stop > tone.stop:
                        changed[at] = tone._replace(
                            stop=stop, stop_s=self._tempo.seconds_before(stop)
                        )
        return changed

    def _rings(self, tone: Tone, told: Points) -> bool:
        if not self._tied.isdisjoint(tone.notes):
            return True
        points = told.get(self._staves.get(tone.notes[0], 1)) or told[1]
        return technique_at(points, tone.start).ringing == LET_RING

    def _stop(self, tone: Tone, line: Line, again: int | None, damped: Sequence[int]) -> int:
        decay = decay_s(self._book[line.instrument], tone.midi, tone.technique)
        if decay is None or tone.stop == tone.start:  # sustained, or a grace note
            return tone.stop
        silent = int(self._tempo.tick_at(tone.start_s + decay))
        index = bisect_right(damped, tone.start)
        damp = damped[index] if index < len(damped) else silent
        return min(silent, damp, self._end, silent if again is None else again)


def _told(by_stave: Points, what: str) -> list[int]:
    """Return the ticks at which a word says what becomes of the sound."""
    return [one.tick for points in by_stave.values() for one in points if one.ringing == what]


def _again(tone: Tone, later: Iterator[Tone], line: Line) -> int | None:
    """Return when a line plays again what ends a tone, None if it does not."""
    any_pitch = line.family == "strings"
    return next(
        (
            one.start
            for one in later
            if one.start > tone.start and (any_pitch or one.midi == tone.midi)
        ),
        None,
    )
