"""What stands on a stave at each moment: voices, chords, rests, and each note's place among them.

Only bars in which a stave holds a chord or more than one voice are kept; a note anywhere else is a
single line. A printed rest counts, because it says that somebody rests; a hidden one does not. The
upper voice is the one with the smaller number, as the programs write it (voice 1 has its stems up);
where the stems of two voices say otherwise they decide.
"""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from operator import itemgetter
from typing import Any, NamedTuple

from redstave.model.score import Note, Part, Score
from redstave.players.page import is_played

StaveBar = tuple[int, int]


def _fields(*names: str) -> Callable[[Note], tuple[Any, ...]]:
    """Return what gets some fields of a note; by their places, which is the quicker way."""
    return itemgetter(*map(Note._fields.index, names))


_place = _fields("stave", "bar")
_strand = _fields("stave", "voice", "chord")
_start = _fields("voice", "offset")
_facts = _fields("voice", "offset", "duration", "stem", "kind")


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
    """A chord, a note or a printed rest (no notes) of one voice; ticks from the bar's start.

    `notes` are the places of its played notes in what the stave holds in that bar, from the top.
    """

    start: int
    stop: int
    notes: tuple[int, ...]

    @property
    def size(self) -> int:
        """How many players it occupies: a rest keeps one silent."""
        return max(1, len(self.notes))


class Voice(NamedTuple):
    """One voice of a stave in one bar by its name in the file, its events by time.

    `starts` are those of the events, kept to find one quickly.
    """

    name: str
    events: tuple[Event, ...]
    starts: tuple[int, ...]

    def at(self, offset: int) -> Event | None:
        """Return what the voice has at an offset, None where it has nothing."""
        index = bisect_right(self.starts, offset) - 1
        event = self.events[index] if index >= 0 else None
        return event if event is not None and event.stop > offset else None

    def before(self, offset: int) -> Event | None:
        """Return the last event that begins before an offset, None if there is none."""
        index = bisect_left(self.starts, offset) - 1
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


class Moment(NamedTuple):
    """A place in a bar where more than a single line stands: offset, and how many notes play."""

    offset: int
    played: int


class Pattern(NamedTuple):
    """What stands in a bar of some shape: its voices, its moments, and its notes by their place."""

    voices: Voices
    moments: tuple[Moment, ...]
    stands: tuple[tuple[int, Stand], ...]


Patterns = dict[Hashable, Pattern]  # by the shape of the bars that stand so


def texture(
    score: Score, part: Part, absent: Collection[str] = (), known: Patterns | None = None
) -> Texture:
    """Return what stands on the staves of a part; `absent` are the ids of notes nobody plays.

    Bars of one rhythm stand the same: `known` holds those met in other parts, and takes up more.
    """
    found = _crowded(part, absent)
    known = {} if known is None else known
    bars: dict[StaveBar, Voices] = {}
    stands: dict[str, Stand] = {}
    parted: dict[int, list[int]] = defaultdict(list)
    together: dict[int, list[int]] = defaultdict(list)
    played: dict[int, int] = defaultdict(int)
    for (stave, bar), notes in found.items():
        shape = _shape(notes)
        pattern = known.get(shape)
        if pattern is None:
            pattern = known[shape] = _pattern(notes)
        bars[stave, bar] = pattern.voices
        for place, stand in pattern.stands:
            stands[notes[place].id] = stand
        start = score.bars[bar].start
        parted[stave] += [start + moment.offset for moment in pattern.moments]
        for moment in pattern.moments:
            if moment.played > 1:
                together[stave].append(start + moment.offset)
                played[moment.played] += 1
    stands.update(_grace_stands(part, bars, found, stands))
    return Texture(stands, bars, _sorted(parted), _sorted(together), played)


def _sorted(ticks: Mapping[int, Iterable[int]]) -> dict[int, tuple[int, ...]]:
    return {stave: tuple(sorted(set(found))) for stave, found in ticks.items()}


def _crowded(part: Part, absent: Collection[str]) -> dict[StaveBar, list[Note]]:
    """Return the notes and printed rests of the bars that are more than a single line."""
    strands = set(map(_strand, part.notes))
    if len({stave for stave, _, _ in strands}) == len(strands):
        return {}  # one voice a stave, and no chord
    found: dict[StaveBar, list[Note]] = defaultdict(list)
    for place, notes in groupby(part.notes, _place):
        found[place] += notes
    crowded: dict[StaveBar, list[Note]] = {}
    for place, there in found.items():
        if len(set(map(_strand, there))) == 1:
            continue  # as most are: one voice, and no chord
        kept = [one for one in there if not (one.grace or one.cue or one.hidden)]
        if absent:
            kept = [one for one in kept if one.id not in absent]
        if len(set(map(_strand, kept))) > 1 or any(one.chord for one in kept):
            crowded[place] = kept
    return crowded


def _shape(notes: Sequence[Note]) -> Hashable:
    """Return all of a bar that tells where its notes stand: rhythm, voices, chords from the top."""
    places = list(map(_start, notes))
    facts = tuple(map(_facts, notes))
    if len(set(places)) == len(places):
        return facts
    heights = [-height(note) for note in notes]
    return facts, tuple(sorted(range(len(notes)), key=lambda at: (places[at], heights[at])))


def _pattern(notes: Sequence[Note]) -> Pattern:
    voices = _voices(notes)
    moments: list[Moment] = []
    stands: list[tuple[int, Stand]] = []
    for offset, stood in _moments(voices):
        moments.append(Moment(offset, stood[0][1].played))
        stands += stood
    return Pattern(voices, tuple(moments), tuple(stands))


def _voices(notes: Sequence[Note]) -> Voices:
    struck: dict[str, dict[int, list[int]]] = {}
    for place, note in enumerate(notes):
        struck.setdefault(note.voice, {}).setdefault(note.offset, []).append(place)
    voices = []
    for name, chords in struck.items():
        starts = sorted(chords)
        voices.append(Voice(name, tuple([_event(notes, chords[at]) for at in starts]), (*starts,)))
    if len(voices) == 1:
        return (voices[0],)
    stems = _stems(notes) if len(voices) == 2 else {}
    return tuple(sorted(voices, key=lambda voice: _from_top(voice.name, stems)))


def _stems(notes: Sequence[Note]) -> Mapping[str, set[str]]:
    """Return where the stems of each voice point."""
    stems: dict[str, set[str]] = defaultdict(set)
    for note in notes:
        if is_played(note):
            stems[note.voice].add(note.stem)
    return stems


def _from_top(name: str, stems: Mapping[str, set[str]]) -> tuple[int, int, str]:
    """Return a key that sorts voices from the top: by their stems, then by their numbers."""
    own = stems.get(name, ())
    side = {"up": -1, "down": 1}.get(min(own), 0) if len(own) == 1 else 0
    return side, int(name) if name.isdecimal() else 0, name


def _event(notes: Sequence[Note], chord: Sequence[int]) -> Event:
    if len(chord) == 1:  # as most are
        one = notes[chord[0]]
        return Event(one.offset, one.offset + one.duration, (*chord,) if is_played(one) else ())
    played = [place for place in chord if is_played(notes[place])]
    played.sort(key=lambda place: height(notes[place]), reverse=True)
    stop = max(notes[place].offset + notes[place].duration for place in chord)
    return Event(notes[chord[0]].offset, stop, tuple(played))


def height(note: Note) -> float:
    """Return the written pitch of a note, 0 where it has none."""
    return note.written_midi if note.step else 0.0


Stood = list[tuple[int, Stand]]


def _moments(voices: Voices) -> Iterator[tuple[int, Stood]]:
    """Yield where more than a single line stands, with the stands of the notes that begin there."""
    if len(voices) == 1:
        yield from ((one.start, _alone(one)) for one in voices[0].events if len(one.notes) > 1)
        return
    lasting = (
        one for voice in voices for one in voice.events if one.notes and one.stop > one.start
    )
    for offset in sorted({one.start for one in lasting}):
        there = [event for voice in voices if (event := voice.at(offset)) is not None]
        if len(there) > 1:
            yield offset, _together(there, offset)
        elif len(there[0].notes) > 1:
            yield offset, _alone(there[0])


def _alone(event: Event) -> Stood:
    """Return the stands of a chord that has the stave to itself."""
    size = len(event.notes)
    return [(at, Stand(1, 0, 0, place, size, size, size)) for place, at in enumerate(event.notes)]


def _together(there: Sequence[Event], offset: int) -> Stood:
    """Return the stands of the notes of several voices that begin at an offset."""
    total = sum(event.size for event in there)
    played = sum(len(event.notes) for event in there)
    stood: Stood = []
    before = 0
    for rank, event in enumerate(there):
        if event.start == offset:
            size = len(event.notes)
            for place, at in enumerate(event.notes):
                stood.append((at, Stand(len(there), rank, before, place, size, total, played)))
        before += event.size
    return stood


def _grace_stands(
    part: Part,
    bars: Mapping[StaveBar, Voices],
    found: Mapping[StaveBar, Sequence[Note]],
    stands: Mapping[str, Stand],
) -> Iterator[tuple[str, Stand]]:
    """Yield the stands of graces: those of the chord they lead to, from its top note."""
    for group in grace_chords(part):
        main = _main_note(group[0], bars)
        if main is not None:
            note = found[group[0].stave, group[0].bar][main]
            stand = stands.get(note.id, SINGLE)
            for place, grace in enumerate(sorted(group, key=height, reverse=True)):
                yield grace.id, stand._replace(place=min(place, stand.chord - 1))


def _main_note(grace: Note, bars: Mapping[StaveBar, Voices]) -> int | None:
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
