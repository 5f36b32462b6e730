"""From notes to tones: what sounds, where it starts and ends, who plays it and how loud.

Tied notes are one tone: a chain goes on with the note of the same written pitch that begins where
the last one ended, in any voice or stave of the part, also across bars. A grace note takes nothing
from its neighbours: it is set GRACE_SECONDS before its main note and has no ticks of its own. Cues
and hidden notes are left out.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from redstave.base.citation import Quantity
from redstave.base.errors import DataError
from redstave.instruments.book import cited_file
from redstave.model.line import TechniquePoint, TempoMap, Tone
from redstave.model.score import Note, Part, Score
from redstave.players.assigning import Assignment
from redstave.players.dynamics import Instruction
from redstave.players.levels import LevelTrack, level_at, level_before
from redstave.players.page import is_played
from redstave.players.pitch import Shifts, shift_at
from redstave.players.techniques import ChordKey, chord_key, note_signs, one_technique, technique_at

GRACE_SECONDS = 0.08  # our assumption, no source
UNPITCHED_MIDI = 60.0
ACCENTS = frozenset({"accent", "strong-accent"})


@dataclass(frozen=True)
class Told:
    """Everything the players of one part are told, by stave where it may differ.

    `first` is the index of the part's first line among all lines of the score.
    """

    first: int
    levels: dict[int, LevelTrack]
    instructions: dict[int, tuple[Instruction, ...]]
    techniques: dict[int, tuple[TechniquePoint, ...]]
    shifts: Shifts
    assignment: Assignment


class Chain(NamedTuple):
    """One note, or the notes tied into one tone; `start` and `stop` in ticks of the score."""

    first: Note
    start: int
    stop: int
    notes: tuple[str, ...]


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

    def __init__(self, score: Score, part: Part, told: Told, tempo: TempoMap) -> None:
        self._score = score
        self._told = told
        self._second = cache(tempo.seconds)
        self._signs = _by_chord(part, note_signs(part))
        self._accents = _accents(score, part, told)
        self.open_bars: set[int] = set()

    def tones(self, chain: Chain) -> Iterator[Tone]:
        """Make the tones of a chain of tied notes: one for each line that plays it."""
        start_s, stop_s = self._second(chain.start), self._second(chain.stop)
        return self._made(chain, start_s, stop_s)

    def graces(self, note: Note, before: int) -> Iterator[Tone]:
        """Make the tones of a grace note; `before` counts the graces from it to the main note."""
        tick = self._score.bars[note.bar].start + note.offset
        start_s = max(0.0, self._second(tick) - before * GRACE_SECONDS)
        chain = Chain(note, tick, tick, (note.id,))
        return self._made(chain, start_s, start_s + GRACE_SECONDS)

    def _made(self, chain: Chain, start_s: float, stop_s: float) -> Iterator[Tone]:
        told, note, tick = self._told, chain.first, chain.start
        points = (told.levels.get(note.stave) or told.levels[1]).points
        words = told.techniques.get(note.stave) or told.techniques[1]
        level = level_at(points, tick)
        stop = level_before(points, chain.stop) if chain.stop > tick else level
        key = chord_key(note)
        for given in told.assignment.given(note, tick):
            if not given.told:
                self.open_bars.add(note.bar)
            yield Tone(
                told.first + given.line,
                chain.notes,
                note.bar,
                tick,
                chain.stop,
                start_s,
                stop_s,
                self._midi(note, tick),
                given.players,
                level.level,
                stop.level,
                level.known,
                one_technique(technique_at(words, tick), self._signs.get(key, "")),
                accent_db() if key in self._accents else 0.0,
                note.kind == "unpitched",
            )

    def _midi(self, note: Note, tick: int) -> float:
        if note.kind == "unpitched":
            return UNPITCHED_MIDI
        return note.written_midi + shift_at(self._told.shifts, note.stave, tick)


def tones_of(score: Score, part: Part, told: Told, tempo: TempoMap) -> tuple[list[Tone], set[int]]:
    """Return the tones of a part, and the bars in which the page leaves open who plays."""
    maker = _Maker(score, part, told, tempo)
    tones = [tone for chain in chains(score, part) for tone in maker.tones(chain)]
    tones.extend(tone for grace in graces(part) for tone in maker.graces(*grace))
    return tones, maker.open_bars


def chains(score: Score, part: Part) -> list[Chain]:
    """Return the played notes of a part with tied notes joined, by start."""
    notes = [note for note in part.notes if is_played(note) and not note.grace]
    starts = {note.id: score.bars[note.bar].start + note.offset for note in notes}
    waiting: dict[tuple[int, str, float, int], list[int]] = defaultdict(list)
    found: list[Chain] = []
    for note in sorted(notes, key=lambda one: starts[one.id]):
        start = starts[note.id]
        stop = start + note.duration
        place = _partner(found, waiting[_pitch_key(note, start)], note) if note.tie_stop else None
        if place is None:
            place = len(found)
            found.append(Chain(note, start, stop, (note.id,)))
        else:
            before = found[place]
            found[place] = Chain(before.first, before.start, stop, (*before.notes, note.id))
        if note.tie_start:
            waiting[_pitch_key(note, stop)].append(place)
    return found


def _pitch_key(note: Note, tick: int) -> tuple[int, str, float, int]:
    return tick, note.step, note.alter, note.octave


def _partner(found: list[Chain], places: list[int], note: Note) -> int | None:
    """Take the chain that goes on in this note: of its own voice if there is a choice."""
    if not places:
        return None
    own = [p for p in places if found[p].first.voice == note.voice]
    place = (own or places)[0]
    places.remove(place)
    return place


def graces(part: Part) -> Iterator[tuple[Note, int]]:
    """Yield the played grace notes, each with how many graces stand from it to its main note."""
    groups: dict[ChordKey, list[list[Note]]] = defaultdict(list)
    for note in part.notes:
        if note.grace and is_played(note):
            group = groups[chord_key(note)]
            if note.chord and group:
                group[-1].append(note)
            else:
                group.append([note])
    for group in groups.values():
        for position, together in enumerate(group):
            for note in together:
                yield note, len(group) - position


def _by_chord(part: Part, signs: dict[str, str]) -> dict[ChordKey, str]:
    if not signs:
        return {}
    return {chord_key(note): signs[note.id] for note in part.notes if note.id in signs}


def _accents(score: Score, part: Part, told: Told) -> set[ChordKey]:
    """Return the chords that are accented, by their own sign or by sf, fz, fp at their place."""
    signed = {m.note for m in part.marks if m.kind == "articulation" and m.name in ACCENTS}
    places = {
        (stave, one.tick)
        for stave, ones in told.instructions.items()
        for one in ones
        if one.kind == "accent"
    }
    starts = score.bars
    return {
        chord_key(note)
        for note in part.notes
        if note.id in signed
        or (not note.grace and (note.stave, starts[note.bar].start + note.offset) in places)
    }
