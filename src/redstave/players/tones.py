"""From notes to tones: what sounds, where it starts and ends, who plays it and how loud.

Tied notes are one tone, in any voice or stave of the part, also across bars: the reader has found
both ends of each tie. A grace note takes nothing from its neighbours: it is set GRACE_SECONDS
before its main note and has no ticks of its own. Cues and hidden notes are left out.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from redstave.base.citation import Quantity
from redstave.base.errors import DataError
from redstave.instruments.book import cited_file
from redstave.instruments.tuning import tuning
from redstave.model.line import TechniquePoint, TempoMap, Tone
from redstave.model.score import Note, Part, Score
from redstave.players.assigning import Assignment, Given
from redstave.players.harmonics import ARTIFICIAL, CIRCLE, OCTAVE, TOUCHED, absorbed, touched
from redstave.players.levels import LevelTrack
from redstave.players.lines import Cast
from redstave.players.page import is_played
from redstave.players.pitch import Shifts, shift_at
from redstave.players.signs import ChordKey, chord_key, is_measured
from redstave.players.techniques import one_technique, technique_at
from redstave.players.texture import grace_chords

GRACE_SECONDS = 0.08  # our assumption, no source
UNPITCHED_MIDI = 60.0
ACCENTS = frozenset({"accent", "strong-accent"})
STRING_UNKNOWN = "harmonic-string-unknown"
HARMONIC_DOUBTFUL = "harmonic-doubtful"


class Orders(NamedTuple):
    """What one line is told, by stave: levels, accented ticks, techniques in words."""

    levels: Mapping[int, LevelTrack]
    accents: Mapping[int, frozenset[int]]
    techniques: Mapping[int, tuple[TechniquePoint, ...]]


@dataclass(frozen=True)
class Told:
    """Everything the players of one part are told.

    `first` is the index of the part's first line among all lines of the score; `orders` has one
    entry a line of the part.
    """

    first: int
    orders: tuple[Orders, ...]
    shifts: Shifts
    assignment: Assignment


class Clock:
    """The seconds at which what begins or ends at a tick does so; each is worked out once."""

    def __init__(self, tempo: TempoMap) -> None:
        self.begins = cache(tempo.seconds)
        self.ends = cache(tempo.seconds_before)


class Chain(NamedTuple):
    """One note, or the notes tied into one tone; `start` and `stop` in ticks of the score."""

    notes: tuple[Note, ...]
    start: int
    stop: int


class Made(NamedTuple):
    """The tones of a part, and the bars in which the page leaves something open, by code."""

    tones: list[Tone]
    open_bars: dict[str, set[int]]


@cache
def accent_db() -> float:
    """Return the rise of an accented attack in dB, from the instrument data's conventions."""
    accent = cited_file("conventions.toml")["accent"]
    rise = accent["rise"] if isinstance(accent, Mapping) else None
    if not isinstance(rise, Quantity):
        raise DataError("conventions.toml: [accent] rise in dB is missing")
    return rise.number


class _Maker:
    """Makes the tones of one part."""

    def __init__(self, score: Score, cast: Cast, told: Told, clock: Clock) -> None:
        self._score = score
        self._cast = cast
        self._told = told
        self._clock = clock
        self._accented = _accented(cast.part)
        signs = cast.signs
        self._bare = not (self._accented or signs.techniques or signs.strokes or cast.harmonics)
        self._strings = tuning().get(cast.line.instrument, ())
        self.open_bars: dict[str, set[int]] = defaultdict(set)

    def sustained(self, chain: Chain, made: list[Tone]) -> None:
        """Make the tones of a chain of tied notes: one for each line that plays it."""
        if len(chain.notes) == 1:
            start_s = self._clock.begins(chain.start)
            given = self._told.assignment.given(chain.notes[0], chain.start)
            made.extend([self._tone(chain, one, start_s) for one in given])
            return
        placed = [(note, self._tick(note)) for note in chain.notes]
        for held in self._told.assignment.held(placed):
            part = self._part_of(chain, held)
            made.append(self._tone(part, held, self._clock.begins(part.start)))

    def graces(self, note: Note, before: int) -> Iterator[Tone]:
        """Make the tones of a grace note; `before` counts the graces from it to the main note."""
        tick = self._tick(note)
        start_s = max(0.0, self._clock.begins(tick) - before * GRACE_SECONDS)
        for given in self._told.assignment.given(note, tick):
            yield self._tone(Chain((note,), tick, tick), given, start_s, start_s + GRACE_SECONDS)

    def _tick(self, note: Note) -> int:
        return self._score.bars[note.bar].start + note.offset

    def _part_of(self, chain: Chain, held: Given) -> Chain:
        """Return the notes of a chain that a line has."""
        notes = chain.notes[held.first : held.last + 1]
        stop = self._tick(notes[-1]) + notes[-1].duration
        return Chain(
            notes, self._tick(notes[0]), stop if held.last + 1 < len(chain.notes) else chain.stop
        )

    def _tone(self, chain: Chain, held: Given, start_s: float, stop_s: float | None = None) -> Tone:
        note, tick = chain.notes[0], chain.start
        if held.open:
            self.open_bars[held.open].add(note.bar)
        orders = self._told.orders[held.line]
        levels = orders.levels.get(note.stave) or orders.levels[1]
        level = levels.at(tick)
        stop = levels.before(chain.stop) if chain.stop > tick else level
        points = orders.techniques.get(note.stave) or orders.techniques[1]
        words = points[0] if len(points) == 1 else technique_at(points, tick)
        key = None if self._bare else chord_key(note)
        technique, measured = self._technique(note, key, words)
        return Tone(
            self._told.first + held.line,
            self._ids(chain.notes),
            note.bar,
            tick,
            chain.stop,
            start_s,
            self._clock.ends(chain.stop) if stop_s is None else stop_s,
            self._midi(note, tick, words),
            held.players,
            level.level,
            stop.level,
            level.known,
            technique,
            0.0 if held.continued else self._accent(orders, key, note, tick),
            note.kind == "unpitched",
            held.continued,
            measured,
        )

    def _technique(
        self, note: Note, key: ChordKey | None, words: TechniquePoint
    ) -> tuple[str, bool]:
        """Return the technique of a note, and whether it is a measured tremolo."""
        if key is None:
            return one_technique(words, ""), False
        signs = self._cast.signs
        sign = "harmonic" if note.id in self._cast.harmonics else signs.techniques.get(key, "")
        strokes = signs.strokes.get(key)
        technique = one_technique(words, sign, strokes is not None)
        return technique, technique == "tremolo" and is_measured(note, strokes or 0.0, words)

    def _ids(self, notes: Sequence[Note]) -> tuple[str, ...]:
        """Return the ids of notes, with those that belong to the same harmonic."""
        if len(notes) == 1 and self._bare:
            return (notes[0].id,)
        found = self._cast.harmonics
        others = (id_ for note in notes if note.id in found for id_ in found[note.id].others)
        return (*(note.id for note in notes), *others)

    def _accent(self, orders: Orders, key: ChordKey | None, note: Note, tick: int) -> float:
        told = not note.grace and tick in orders.accents.get(note.stave, ())
        return accent_db() if told or key in self._accented else 0.0

    def _midi(self, note: Note, tick: int, words: TechniquePoint) -> float:
        if note.kind == "unpitched":
            return UNPITCHED_MIDI
        sounding = note.written_midi
        if self._told.shifts:
            sounding += shift_at(self._told.shifts, note.stave, tick)
        if self._bare:
            return sounding
        harmonic = self._cast.harmonics.get(note.id)
        if harmonic is None:
            return sounding
        if harmonic.doubtful:
            self.open_bars[HARMONIC_DOUBTFUL].add(note.bar)
        if harmonic.kind == ARTIFICIAL:
            return sounding + harmonic.raised
        if harmonic.kind == CIRCLE:
            return sounding + OCTAVE if self._cast.line.family == "harp" else sounding
        assert harmonic.kind == TOUCHED
        found = touched(sounding, self._strings, words.string)
        if len(found) != 1:
            self.open_bars[STRING_UNKNOWN].add(note.bar)
        return found[0] if found else sounding


def tones_of(score: Score, cast: Cast, told: Told, clock: Clock) -> Made:
    """Return the tones of a part, and the bars in which the page leaves something open."""
    maker = _Maker(score, cast, told, clock)
    absent = absorbed(cast.harmonics)
    tones: list[Tone] = []
    for chain in chains(score, cast.part, absent):
        maker.sustained(chain, tones)
    tones.extend(
        tone
        for grace in graces(cast.part)
        if grace[0].id not in absent
        for tone in maker.graces(*grace)
    )
    return Made(tones, maker.open_bars)


def chains(score: Score, part: Part, absent: frozenset[str] = frozenset()) -> list[Chain]:
    """Return the played notes of a part with tied notes joined, by start; `absent` left out."""
    notes = [
        note for note in part.notes if is_played(note) and not note.grace and note.id not in absent
    ]
    starts = {note.id: score.bars[note.bar].start + note.offset for note in notes}
    tied_to = {
        tie.stop.note: tie.start.note for tie in part.spans_of("tie") if tie.start and tie.stop
    }
    found: list[Chain] = []
    place_of: dict[str, int] = {}
    for note in sorted(notes, key=lambda one: starts[one.id]):
        start = starts[note.id]
        place = place_of.get(tied_to.get(note.id, ""))
        if place is None:
            place = len(found)
            found.append(Chain((note,), start, start + note.duration))
        else:
            before = found[place]
            found[place] = Chain((*before.notes, note), before.start, start + note.duration)
        place_of[note.id] = place
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


def _accented(part: Part) -> set[ChordKey]:
    """Return the chords that bear an accent."""
    signed = {m.note for m in part.marks if m.kind == "articulation" and m.name in ACCENTS}
    return {chord_key(note) for note in part.notes if note.id in signed} if signed else set()
