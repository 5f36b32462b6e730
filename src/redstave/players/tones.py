"""From notes to tones: what sounds, where it starts and ends, who plays it and how loud.

Tied notes are one tone, in any voice or stave of the part, also across bars: the reader has found
both ends of each tie. A grace note takes nothing from its neighbours: it is set GRACE_SECONDS
before its main note and has no ticks of its own. Cues and hidden notes are left out.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from redstave.base.citation import Quantity
from redstave.base.errors import DataError
from redstave.instruments.book import cited_file
from redstave.instruments.tuning import tuning
from redstave.model.line import TechniquePoint, TempoMap, Tone
from redstave.model.score import Note, Score
from redstave.players.assigning import Assignment, Given
from redstave.players.chains import Chain, chains, graces
from redstave.players.harmonics import ARTIFICIAL, CIRCLE, OCTAVE, TOUCHED, absorbed, touched
from redstave.players.lines import Cast
from redstave.players.moments import Course, Orders
from redstave.players.pitch import Shifts, shift_at
from redstave.players.signs import chord_key, is_measured
from redstave.players.techniques import one_technique

GRACE_SECONDS = 0.08  # our assumption, no source
UNPITCHED_MIDI = 60.0
ACCENTS = frozenset({"accent", "strong-accent"})
STRING_UNKNOWN = "harmonic-string-unknown"
HARMONIC_DOUBTFUL = "harmonic-doubtful"
_new = tuple.__new__  # for what is made a hundred thousand times: half the time of Tone(…)


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
        self.tempo = tempo
        self.begins = cache(tempo.seconds)
        self.ends = cache(tempo.seconds_before)


class Signed(NamedTuple):
    """What the signs on a note say: a technique, tremolo strokes as drawn, an accent."""

    technique: str = ""
    strokes: float | None = None
    accented: bool = False


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
        self._first = told.first
        self._shifts = told.shifts
        self._given = told.assignment.given
        self._signed = _signed(cast)
        self._strings = tuning().get(cast.line.instrument, ())
        self._accent_db = accent_db()
        self._courses: dict[int, list[Course]] = {}  # by stave, one a line
        self.open_bars: dict[str, set[int]] = defaultdict(set)

    def sustained(self, chains: Iterable[Chain], made: list[Tone]) -> None:
        """Make the tones of chains of tied notes: one for each line that plays it.

        Most are one note without a sign. There are tens of thousands of these, so that what they
        need is at hand here and nothing is asked for twice.
        """
        first, shifts, signed, keep = self._first, self._shifts, self._signed, made.append
        begins, ends, given_to = self._clock.begins, self._clock.ends, self._given
        for chain in chains:
            notes, start, stop = chain
            note = notes[0]
            if len(notes) > 1 or note.id in signed:
                self._chain(chain, made)
                continue
            ids, bar, unpitched = (note.id,), note.bar, note.kind == "unpitched"
            midi = self._midi(note, start) if shifts or unpitched else note.written_midi
            start_s, stop_s = begins(start), ends(stop)
            courses = self._courses.get(note.stave) or self._begun(note.stave)
            for line, players, left_open, _, _, continued in given_to(note, start):
                if left_open:
                    self.open_bars[left_open].add(bar)
                told = courses[line].over(start, stop)
                level, level_stop, known, _, technique, accented = told
                rise = self._accent_db if accented and not continued else 0.0
                keep(_new(Tone, (
                    first + line, ids, bar, start, stop, start_s, stop_s, midi, players, level,
                    level_stop, known, technique, rise, unpitched, continued, False,
                )))  # fmt: skip

    def _chain(self, chain: Chain, made: list[Tone]) -> None:
        """Make the tones of one chain of tied notes, or of a note with a sign."""
        if len(chain.notes) == 1:
            self._tones(chain, self._given(chain.notes[0], chain.start), made)
            return
        placed = [(note, self._tick(note)) for note in chain.notes]
        for held in self._told.assignment.held(placed):
            self._tones(self._part_of(chain, held), (held,), made)

    def graces(self, note: Note, before: int, made: list[Tone]) -> None:
        """Make the tones of a grace note; `before` counts the graces from it to the main note."""
        tick = self._tick(note)
        start_s = max(0.0, self._clock.begins(tick) - before * GRACE_SECONDS)
        given = self._given(note, tick)
        self._tones(Chain((note,), tick, tick), given, made, (start_s, start_s + GRACE_SECONDS))

    def _tick(self, note: Note) -> int:
        return self._score.bars[note.bar].start + note.offset

    def _part_of(self, chain: Chain, held: Given) -> Chain:
        """Return the notes of a chain that a line has."""
        notes = chain.notes[held.first : held.last + 1]
        stop = self._tick(notes[-1]) + notes[-1].duration
        return Chain(
            notes, self._tick(notes[0]), stop if held.last + 1 < len(chain.notes) else chain.stop
        )

    def _tones(
        self,
        chain: Chain,
        given: Sequence[Given],
        made: list[Tone],
        seconds: tuple[float, float] | None = None,
    ) -> None:
        """Make the tones of the lines that have a chain; `seconds` where its ticks do not tell."""
        notes, start, stop = chain
        note = notes[0]
        start_s, stop_s = seconds or (self._clock.begins(start), self._clock.ends(stop))
        sounding = self._midi(note, start)
        signed = self._signed.get(note.id)
        ids = (note.id,) if signed is None and len(notes) == 1 else self._ids(notes)
        courses = self._courses.get(note.stave) or self._begun(note.stave)
        for line, players, left_open, _, _, continued in given:
            if left_open:
                self.open_bars[left_open].add(note.bar)
            level, level_stop, known, words, technique, accented = courses[line].over(start, stop)
            midi, measured = sounding, False
            accented = accented and not note.grace
            if signed is not None:
                technique, measured = _technique(note, signed, words)
                accented = accented or signed.accented
                midi = self._harmonic(note, sounding, words)
            rise = self._accent_db if accented and not continued else 0.0
            made.append(_new(Tone, (
                self._first + line, ids, note.bar, start, stop, start_s, stop_s, midi, players,
                level, level_stop, known, technique, rise,
                note.kind == "unpitched", continued, measured,
            )))  # fmt: skip

    def _begun(self, stave: int) -> list[Course]:
        """Return what the lines are told on a stave; those that are told the same share it."""
        made: dict[int, Course] = {}
        for orders in self._told.orders:
            made.setdefault(id(orders), Course(orders, stave))
        courses = self._courses[stave] = [made[id(orders)] for orders in self._told.orders]
        return courses

    def _ids(self, notes: Sequence[Note]) -> tuple[str, ...]:
        """Return the ids of notes, with those that belong to the same harmonic."""
        found = self._cast.harmonics
        others = (id_ for note in notes if note.id in found for id_ in found[note.id].others)
        return (*(note.id for note in notes), *others)

    def _midi(self, note: Note, tick: int) -> float:
        if note.kind == "unpitched":
            return UNPITCHED_MIDI
        if self._shifts:
            return note.written_midi + shift_at(self._shifts, note.stave, tick)
        return note.written_midi

    def _harmonic(self, note: Note, sounding: float, words: TechniquePoint) -> float:
        """Return where a note sounds that may be a harmonic."""
        harmonic = self._cast.harmonics.get(note.id)
        if harmonic is None or note.kind == "unpitched":
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
    maker.sustained(chains(score, cast.part, absent), tones)
    for grace, before in graces(cast.part):
        if grace.id not in absent:
            maker.graces(grace, before, tones)
    return Made(tones, maker.open_bars)


def _signed(cast: Cast) -> dict[str, Signed]:
    """Return what the signs of a part say, by note; a sign on one note is for its whole chord."""
    marks = cast.part.marks_of("articulation")
    accents = {mark.note for mark in marks if mark.name in ACCENTS}
    techniques, strokes = cast.signs
    accented = {chord_key(note) for note in cast.part.notes if note.id in accents}
    signed = accented | techniques.keys() | strokes.keys()
    bars = {key[0] for key in signed}
    found = {
        note.id: Signed(techniques.get(key, ""), strokes.get(key), key in accented)
        for note in cast.part.notes
        if note.bar in bars and (key := chord_key(note)) in signed
    }
    for id_ in cast.harmonics:
        found[id_] = found.get(id_, Signed())._replace(technique="harmonic")
    return found


def _technique(note: Note, signed: Signed, words: TechniquePoint) -> tuple[str, bool]:
    """Return the technique of a note, and whether it is a measured tremolo."""
    strokes = signed.strokes
    technique = one_technique(words, signed.technique, strokes is not None)
    return technique, technique == "tremolo" and is_measured(note, strokes or 0.0, words)
