"""What stands on a stave at each moment: voices, chords, rests, and each note's place among them.

Only bars in which a stave holds a chord or more than one voice are kept; a note anywhere else is a
single line. A printed rest counts, because it says that somebody rests; a hidden one does not. The
upper voice is the one with the smaller number, as the programs write it (voice 1 has its stems up);
where the stems of two voices say otherwise they decide.
"""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from redstave.model.score import Note, Part, Score
from redstave.players.page import is_played

StaveBar = tuple[int, int]


class Stand(NamedTuple):
    """Where a note stands among everything that its stave holds when it begins.

    `voices` counts the voices that have a note or a printed rest there, `rank` is the note's own
    voice from the top, `before` the notes (a rest counts one) that stand in the voices above it;
    `place` is the note's rank from the top of its own chord of `chord` notes; `total` counts the
    notes and rests of all voices, `played` the notes among them.
    """

    voices: int = 1
    rank: int = 0
    before: int = 0
    place: int = 0
    chord: int = 1
    total: int = 1
    played: int = 1

    @property
    def position(self) -> int:
        """How many notes and rests stand above this note on its stave."""
        return self.before + self.place


SINGLE = Stand()


class Event(NamedTuple):
    """A chord, a note or a printed rest (no notes) of one voice; ticks from the bar's start."""

    start: int
    stop: int
    notes: tuple[Note, ...]

    @property
    def size(self) -> int:
        """How many players it occupies: a rest keeps one silent."""
        return max(1, len(self.notes))


class Voice(NamedTuple):
    """One voice of a stave in one bar by its name in the file, its events by time."""

    name: str
    events: tuple[Event, ...]

    def at(self, offset: int) -> Event | None:
        """Return what the voice has at an offset, None where it has nothing."""
        index = bisect_right(self.events, offset, key=lambda event: event.start) - 1
        event = self.events[index] if index >= 0 else None
        return event if event is not None and event.stop > offset else None

    def before(self, offset: int) -> Event | None:
        """Return the last event that begins before an offset, None if there is none."""
        index = bisect_left(self.events, offset, key=lambda event: event.start) - 1
        return self.events[index] if index >= 0 else None


Voices = tuple[Voice, ...]  # from the top


class Texture(NamedTuple):
    """The crowded bars of one part.

    `stands` holds the notes that are not a single line; `bars` the voices of each crowded bar of a
    stave from the top; `parted` and `together` the ticks at which a stave has more than one note or
    rest, and more than one note; `played` at how many places so many notes stand at once, by their
    number, from 2.
    """

    stands: Mapping[str, Stand]
    bars: Mapping[StaveBar, Voices]
    parted: Mapping[int, tuple[int, ...]]
    together: Mapping[int, tuple[int, ...]]
    played: Mapping[int, int]

    def stand(self, note: Note) -> Stand:
        """Return where a note stands; SINGLE when nothing stands beside it."""
        return self.stands.get(note.id, SINGLE)

    def voices(self, stave: int, bar: int) -> Voices:
        """Return the voices of a crowded bar from the top; () in a plain bar."""
        return self.bars.get((stave, bar), ())


def texture(score: Score, part: Part, absent: Collection[str] = ()) -> Texture:
    """Return what stands on the staves of a part; `absent` are the ids of notes nobody plays."""
    bars = {place: _voices(found) for place, found in _crowded(part, absent).items()}
    stands: dict[str, Stand] = {}
    parted: dict[int, set[int]] = defaultdict(set)
    together: dict[int, set[int]] = defaultdict(set)
    played: dict[int, int] = defaultdict(int)
    for (stave, bar), voices in bars.items():
        start = score.bars[bar].start
        for offset, stood in _moments(voices):
            stands.update(stood)
            stand = next(iter(stood.values()))
            parted[stave].add(start + offset)
            if stand.played > 1:
                together[stave].add(start + offset)
                played[stand.played] += 1
    stands.update(_grace_stands(part, bars, stands))
    return Texture(stands, bars, _sorted(parted), _sorted(together), played)


def _sorted(ticks: Mapping[int, set[int]]) -> dict[int, tuple[int, ...]]:
    return {stave: tuple(sorted(found)) for stave, found in ticks.items()}


def _crowded(part: Part, absent: Collection[str]) -> dict[StaveBar, list[Note]]:
    """Return the notes and printed rests of the bars that are more than a single line."""
    found: dict[StaveBar, list[Note]] = defaultdict(list)
    first: dict[StaveBar, str] = {}
    crowded: set[StaveBar] = set()
    for note in part.notes:
        if note.grace or note.cue or note.hidden or note.id in absent:
            continue
        place = note.stave, note.bar
        found[place].append(note)
        if note.chord or first.setdefault(place, note.voice) != note.voice:
            crowded.add(place)
    return {place: found[place] for place in crowded}


def _voices(notes: Iterable[Note]) -> Voices:
    struck: dict[str, dict[int, list[Note]]] = defaultdict(lambda: defaultdict(list))
    for note in notes:
        struck[note.voice][note.offset].append(note)
    voices = (
        Voice(name, tuple(_event(chord) for _, chord in sorted(chords.items())))
        for name, chords in struck.items()
    )
    by_stems = len(struck) == 2
    return tuple(sorted(voices, key=lambda voice: _from_top(voice, by_stems)))


def _from_top(voice: Voice, by_stems: bool) -> tuple[int, int, str]:
    """Return a key that sorts voices from the top: by their stems, then by their numbers."""
    stems = {note.stem for event in voice.events for note in event.notes}
    side = {"up": -1, "down": 1}.get(stems.pop(), 0) if by_stems and len(stems) == 1 else 0
    return side, int(voice.name) if voice.name.isdecimal() else 0, voice.name


def _event(chord: Sequence[Note]) -> Event:
    first = chord[0]
    if len(chord) == 1:
        return Event(
            first.offset, first.offset + first.duration, (first,) if is_played(first) else ()
        )
    played = sorted((n for n in chord if is_played(n)), key=height, reverse=True)
    return Event(first.offset, max(n.offset + n.duration for n in chord), tuple(played))


def height(note: Note) -> float:
    """Return the written pitch of a note, 0 where it has none."""
    return note.written_midi if note.step else 0.0


def _moments(voices: Voices) -> Iterator[tuple[int, dict[str, Stand]]]:
    """Yield where more than a single line stands, with the stands of the notes that begin there."""
    if len(voices) == 1:
        yield from ((one.start, _alone(one)) for one in voices[0].events if len(one.notes) > 1)
        return
    for offset in sorted({event.start for one in voices for event in one.events if event.notes}):
        there = [event for voice in voices if (event := voice.at(offset)) is not None]
        if len(there) > 1:
            yield offset, _together(there, offset)
        elif len(there[0].notes) > 1:
            yield offset, _alone(there[0])


def _alone(event: Event) -> dict[str, Stand]:
    """Return the stands of a chord that has the stave to itself."""
    size = len(event.notes)
    return {
        note.id: Stand(1, 0, 0, place, size, size, size) for place, note in enumerate(event.notes)
    }


def _together(there: Sequence[Event], offset: int) -> dict[str, Stand]:
    """Return the stands of the notes of several voices that begin at an offset."""
    total = sum([event.size for event in there])
    played = sum([len(event.notes) for event in there])
    stands: dict[str, Stand] = {}
    before = 0
    for rank, event in enumerate(there):
        if event.start == offset:
            size = len(event.notes)
            for place, note in enumerate(event.notes):
                stands[note.id] = Stand(len(there), rank, before, place, size, total, played)
        before += event.size
    return stands


def _grace_stands(
    part: Part, bars: Mapping[StaveBar, Voices], stands: Mapping[str, Stand]
) -> Iterator[tuple[str, Stand]]:
    """Yield the stands of graces: those of the chord they lead to, from its top note."""
    for group in grace_chords(part):
        main = _main_note(group[0], bars)
        if main is not None:
            stand = stands.get(main.id, SINGLE)
            for place, note in enumerate(sorted(group, key=height, reverse=True)):
                yield note.id, stand._replace(place=min(place, stand.chord - 1))


def _main_note(grace: Note, bars: Mapping[StaveBar, Voices]) -> Note | None:
    for voice in bars.get((grace.stave, grace.bar), ()):
        if voice.name == grace.voice:
            main = voice.at(grace.offset)
            if main is not None and main.start == grace.offset and main.notes:
                return main.notes[0]
    return None


def grace_chords(part: Part) -> list[list[Note]]:
    """Return the played grace notes of a part, those of one chord together."""
    groups: list[list[Note]] = []
    for note in part.notes:
        if note.grace and is_played(note):
            if note.chord and groups and groups[-1][0].bar == note.bar:
                groups[-1].append(note)
            else:
                groups.append([note])
    return groups


def any_between(ticks: Sequence[int], first: int, last: int) -> bool:
    """Whether one of the sorted ticks lies in first … last, the last one left out."""
    index = bisect_left(ticks, first)
    return index < len(ticks) and ticks[index] < last
