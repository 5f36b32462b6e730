"""The printed page by time: chords of a voice, the notes under a slur, the marks on a note.

Everything is counted in ticks from the start of the score, repeats not unfolded. Hidden notes and
cues are nobody's to play, and graces have no length of their own: all three are left out.
"""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from redstave.analysis.once import once_a_part
from redstave.model.finding import Spot
from redstave.model.score import Anchor, Mark, Note, Part, Score, Span

Voice = tuple[int, str]


class Chord(NamedTuple):
    """Notes struck together in one voice of one stave; a single note is a chord of one."""

    start: int  # ticks
    stop: int  # ticks
    notes: tuple[Note, ...]

    @property
    def head(self) -> Note:
        """The first note of the chord, which carries its place."""
        return self.notes[0]

    @property
    def ids(self) -> tuple[str, ...]:
        """The ids of the notes, in the order of the file."""
        return tuple(note.id for note in self.notes)

    @property
    def pitches(self) -> tuple[float, ...]:
        """Written pitches as MIDI numbers, lowest first."""
        return tuple(sorted(note.written_midi for note in self.notes))

    @property
    def voice(self) -> Voice:
        """Stave and voice."""
        return self.head.stave, self.head.voice


def is_played(note: Note) -> bool:
    """Tell whether somebody is to play this note: neither rest, hidden, cue nor grace."""
    return note.kind != "rest" and not (note.hidden or note.cue or note.grace)


@once_a_part
def chords(score: Score, part: Part) -> tuple[Chord, ...]:
    """Return the chords of a part sorted by time, then stave, then voice."""
    struck: dict[tuple[int, int, str], list[Note]] = defaultdict(list)
    for note in part.notes:
        if is_played(note):
            struck[score.tick(note.bar, note.offset), note.stave, note.voice].append(note)
    return tuple(
        Chord(start, start + max(note.duration for note in notes), tuple(notes))
        for (start, _, _), notes in sorted(struck.items())
    )


def by_voice(struck: Iterable[Chord]) -> dict[Voice, tuple[Chord, ...]]:
    """Sort chords into the voices they stand in, keeping their order."""
    voices: dict[Voice, list[Chord]] = defaultdict(list)
    for chord in struck:
        voices[chord.voice].append(chord)
    return {voice: tuple(found) for voice, found in voices.items()}


def by_stave(struck: Iterable[Chord]) -> dict[int, tuple[Chord, ...]]:
    """Sort chords into the staves they stand on, keeping their order."""
    staves: dict[int, list[Chord]] = defaultdict(list)
    for chord in struck:
        staves[chord.head.stave].append(chord)
    return {stave: tuple(found) for stave, found in staves.items()}


def tick_of(score: Score, anchor: Anchor | Mark | Note) -> int:
    """Return the position of anything that has a place, in ticks."""
    return score.tick(anchor.bar, anchor.offset)


def marks_by_note(part: Part) -> Mapping[str, tuple[Mark, ...]]:
    """Return the marks that hang on each note, by the id of the note."""
    found: dict[str, list[Mark]] = defaultdict(list)
    for mark in part.marks:
        if mark.note:
            found[mark.note].append(mark)
    return {note: tuple(marks) for note, marks in found.items()}


def clef_at(part: Part, note: Note) -> str:
    """Return the letter of the clef a note stands under ("G", "F", "C"); "" where none is given."""
    place = (note.bar, note.offset)
    before = [
        mark.name
        for mark in part.marks_of("clef")
        if mark.stave in (0, note.stave) and (mark.bar, mark.offset) <= place
    ]
    return before[-1] if before else ""


class Slurred(NamedTuple):
    """A slur whose two ends are known, with the chords under it in order."""

    span: Span
    chords: tuple[Chord, ...]


@once_a_part
def slurred(score: Score, part: Part) -> tuple[Slurred, ...]:
    """Return the slurs of a part that begin and end in one voice; open ended ones are problems."""
    voices = by_voice(chords(score, part))
    starts = {voice: [chord.start for chord in struck] for voice, struck in voices.items()}
    found: list[Slurred] = []
    for span in part.spans_of("slur"):
        if span.start is None or span.stop is None:
            continue
        voice = (span.start.stave, span.start.voice)
        if voice != (span.stop.stave, span.stop.voice):
            continue
        first, last = tick_of(score, span.start), tick_of(score, span.stop)
        times = starts.get(voice, [])
        under = slice(bisect_left(times, first), bisect_right(times, last))
        found.append(Slurred(span, voices.get(voice, ())[under]))
    return tuple(found)


def spot(part: Part, struck: Iterable[Chord]) -> Spot:
    """Return the place of a run of chords on one stave, from the first to the last."""
    run = tuple(struck)
    ids = tuple(note_id for chord in run for note_id in chord.ids)
    head, last = run[0].head, max(chord.head.bar for chord in run)
    return Spot(head.bar, head.offset, part.id, head.stave, last, ids)


ACCIDENTALS = {-2: "𝄫", -1: "♭", 0: "", 1: "♯", 2: "𝄪"}


def note_name(note: Note) -> str:
    """Return the written pitch as a teacher writes it: E♭4; a microtone keeps its nearest sign."""
    return f"{note.step}{ACCIDENTALS.get(round(note.alter), '')}{note.octave}"


def note_names(notes: Iterable[Note]) -> str:
    """Return written pitches as words, each once, lowest first: "G3, B3 and D4"."""
    ordered = sorted(notes, key=lambda note: note.written_midi)
    return in_words(dict.fromkeys(note_name(note) for note in ordered))


def in_words(names: Iterable[str]) -> str:
    """Join names as a sentence does: "a", "a and b", "a, b and c"."""
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last
