"""Which lines of a part play a note, and with how many players each.

Players who change instrument play on the one they hold. A stave that two instruments share
("Trombone basso e Tuba") is read like one for two players: of two voices or of a chord the lowest
belongs to the second-named (or to the bass drum), a single line to everyone, unless a word names
one of them.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from redstave.model.score import Note, Part
from redstave.players.lines import Cast
from redstave.players.page import is_played
from redstave.players.sharing import Label, Texture, label_at, notes_at, parted_since, share
from redstave.players.turns import turn_at


class Given(NamedTuple):
    """One line's part in a note; `told` is false when no word on the page says so."""

    line: int
    players: float
    told: bool


class Assignment:
    """Answers for one part which of its lines play a note."""

    def __init__(self, cast: Cast, counted: Texture, labels: Mapping[int, Sequence[Label]]) -> None:
        self._cast = cast
        self._counted = counted
        self._labels = labels
        self._low = lowest_notes(cast.part, counted) if cast.companions else frozenset()

    def given(self, note: Note, tick: int) -> tuple[Given, ...]:
        """Return who plays a note that starts at `tick`."""
        cast = self._cast
        if cast.companions:
            return self._among_companions(note, tick)
        held = cast.sounds.get(note.instrument)
        line = turn_at(cast.turns, tick) if held is None else held
        label = label_at(self._labels.get(note.stave, ()), tick)
        who = share(note, cast.lines[line], self._counted, label, cast.heads[line][note.bar])
        return (Given(line, who.players, who.told),)

    def _among_companions(self, note: Note, tick: int) -> tuple[Given, ...]:
        cast = self._cast
        everyone = range(len(cast.lines))
        if notes_at(note, self._counted) > 1:
            if note.id in self._low:
                return (Given(cast.low, cast.heads[cast.low][note.bar], True),)
            others = [line for line in everyone if line != cast.low]
            return tuple(self._part(line, note, others) for line in others)
        one = self._named(note, tick)
        if one is not None:
            return (Given(one, cast.heads[one][note.bar], True),)
        winds = any(cast.lines[line].family in {"woodwind", "brass"} for line in everyone)
        label = label_at(self._labels.get(note.stave, ()), tick)
        told = not winds or (label is not None and label.players >= len(cast.lines))
        return tuple(Given(line, cast.heads[line][note.bar], told) for line in everyone)

    def _part(self, line: int, note: Note, others: Sequence[int]) -> Given:
        """Share the upper notes evenly among the players of a line."""
        upper = max(1, notes_at(note, self._counted) - 1)
        return Given(line, max(1.0, self._cast.heads[line][note.bar] / upper), len(others) == 1)

    def _named(self, note: Note, tick: int) -> int | None:
        """Return the line that a word has named and nothing since has cancelled."""
        turns = self._cast.turns
        index = bisect_right(turns, tick, key=lambda turn: turn.tick) - 1
        if index < 0:
            return None
        turn = turns[index]
        label = label_at(self._labels.get(note.stave, ()), tick)
        cancelled = label is not None and label.tick > turn.tick and label.players > 1
        return None if cancelled or parted_since(self._counted, note, turn.bar) else turn.holds


def lowest_notes(part: Part, counted: Texture) -> frozenset[str]:
    """Return the notes of the lowest voice of each bar in parts, and the lowest of each chord."""
    voices: dict[tuple[int, int], dict[str, list[Note]]] = defaultdict(lambda: defaultdict(list))
    for note in part.notes:
        if is_played(note):
            voices[note.stave, note.bar][note.voice].append(note)
    low: set[str] = set()
    for place, by_voice in voices.items():
        if counted.voices.get(place, 1) > 1:
            low.update(note.id for note in _lowest_voice(by_voice))
        else:
            low.update(_chord_bottoms(next(iter(by_voice.values()))))
    return frozenset(low)


def _lowest_voice(by_voice: Mapping[str, Sequence[Note]]) -> Sequence[Note]:
    """Return the notes of the lower voice; one voice beside rests is low when it is not voice 1."""
    if len(by_voice) == 1:
        (voice, notes) = next(iter(by_voice.items()))
        return () if voice == "1" else notes
    return min(by_voice.values(), key=lambda notes: sum(map(_height, notes)) / len(notes))


def _chord_bottoms(notes: Sequence[Note]) -> list[str]:
    chords: dict[int, list[Note]] = defaultdict(list)
    for note in notes:
        chords[note.offset].append(note)
    return [min(chord, key=_height).id for chord in chords.values() if len(chord) > 1]


def _height(note: Note) -> float:
    return note.written_midi if note.step else 0.0
