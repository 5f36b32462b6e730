"""Faults of pitch: notes that are not there, notes nobody can hold together."""

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from itertools import pairwise

from benchmarks.seeding.kind import Place
from benchmarks.seeding.page import (
    Copy,
    Master,
    add_to_chord,
    notation,
    set_written,
    words,
)
from redstave.model.score import Note

# Lowest sounding notes as any handbook gives them, as MIDI numbers.
LOWEST = {
    "flute": 60,
    "oboe": 58,
    "clarinet": 49,
    "bassoon": 34,
    "trumpet": 52,
    "violin": 55,
    "viola": 48,
    "cello": 36,
}
HIGHEST = {"flute": 98, "oboe": 93, "clarinet": 96, "bassoon": 77, "horn": 78, "trumpet": 88}

# Sounding pitches of two stopped notes that both need the lowest string.
BELOW = {"violin": (58, 60), "viola": (51, 53), "cello": (39, 41)}
# A low stop on the lowest string and one a twelfth up the next.
WIDE = {"violin": (57, 79), "viola": (50, 72), "cello": (38, 60)}
TRIPLE = {"violin": (57, 64, 73), "viola": (50, 57, 66), "cello": (38, 45, 54)}
# Ends of a slide that lie on no common partial of a tenor trombone: B1-B flat 1 … F3-C4.
SLIDES = ((47, 46), (48, 45), (53, 60))


def below_compass(of: Master) -> Iterator[Place]:
    """Lower a note by octaves until it lies a third below the instrument's lowest."""
    yield from _octaves(of, LOWEST, -12)


def above_compass(of: Master) -> Iterator[Place]:
    """Raise a note by octaves until it lies a third above the instrument's highest."""
    yield from _octaves(of, HIGHEST, 12)


def _octaves(of: Master, ends: dict[str, int], step: int) -> Iterator[Place]:
    for part in of.parts("woodwind", "brass", "strings"):
        end = ends.get(of.line_of[part.id].instrument)
        for note in of.single(part.id):
            if end is None or note.tie_start or note.tie_stop or note.kind != "pitched":
                continue
            sounding, written = of.sounding(note), note.written_midi
            while (sounding - end) * step < 48:  # four semitones beyond
                sounding, written = sounding + step, written + step
            plant = partial(_set, notes=(note,), midi=(written,))
            yield Place(note.bar, note.bar, (part.id,), plant)


def _set(copy: Copy, notes: Sequence[Note], midi: Sequence[float]) -> None:
    for note, pitch in zip(notes, midi, strict=True):
        set_written(copy.note(note), pitch)


def bass_below_e(of: Master) -> Iterator[Place]:
    """Take a low note of the double basses an octave down, below their lowest open string."""
    for part in of.parts("strings"):
        if of.line_of[part.id].instrument == "double-bass":
            for note in of.single(part.id):
                if 48 <= note.written_midi < 52 and not (note.tie_start or note.tie_stop):
                    plant = partial(_set, notes=(note,), midi=(note.written_midi - 12,))
                    yield Place(note.bar, note.bar, (part.id,), plant)


def cello_on_ledger_lines(of: Master) -> Iterator[Place]:
    """Take three bars of a bassoon or cello so high that the bass clef no longer serves."""
    for part in of.parts("woodwind", "strings"):
        clefs = list(part.marks_of("clef"))
        if of.line_of[part.id].instrument not in ("bassoon", "cello") or len(clefs) > 1:
            continue
        notes = of.single(part.id)
        for bar in of.notes[part.id]:
            inside = [n for n in notes if bar <= n.bar < bar + 3]
            if len({n.bar for n in inside}) == 3 and len(inside) > 4:
                high = [72.0 + at % 4 for at in range(len(inside))]
                plant = partial(_set, notes=inside, midi=high)
                yield Place(bar, bar + 2, (part.id,), plant)


def both_below_second_string(of: Master) -> Iterator[Place]:
    """Ask for two notes at once, non div., that both lie on the lowest string."""
    yield from _stops(of, BELOW, 0.4)


def beyond_the_hand(of: Master) -> Iterator[Place]:
    """Ask for two notes at once, non div., that no hand spans."""
    yield from _stops(of, WIDE, 0.4)


def triple_held(of: Master) -> Iterator[Place]:
    """Ask for a triple stop, non div., for two seconds or more."""
    yield from _stops(of, TRIPLE, 2.0)


def _stops(of: Master, chords: Mapping[str, tuple[int, ...]], least: float) -> Iterator[Place]:
    for part in of.parts("strings"):
        chord = chords.get(of.line_of[part.id].instrument)
        said = {m.bar for m in part.marks_of("word") if "pizz" in m.text or "div" in m.text}
        shaken = {m.note for m in part.marks_of("tremolo")}
        for note in of.single(part.id):
            if chord is None or note.tie_start or note.tie_stop or of.seconds(note) < least:
                continue
            if note.bar not in said and note.id not in shaken:
                yield Place(note.bar, note.bar, (part.id,), partial(_stop, note=note, chord=chord))


def _stop(copy: Copy, note: Note, chord: tuple[int, ...]) -> None:
    copy.before(note, words("non div."))
    element = copy.note(note)
    set_written(element, chord[0])
    for midi in reversed(chord[1:]):
        add_to_chord(element, midi)


def unmarked_division(of: Master) -> Iterator[Place]:
    """Add a third to every note of two bars of a string section, without a word."""
    for part in of.parts("strings"):
        line = of.line_of[part.id]
        if not line.section or line.instrument == "double-bass":
            continue
        notes = of.single(part.id)
        if any("div" in mark.text.lower() for mark in part.marks_of("word")):
            continue
        for bar in of.notes[part.id]:
            inside = [n for n in notes if bar <= n.bar <= bar + 1 and not n.tie_start]
            if len(inside) > 5:
                yield Place(bar, bar + 1, (part.id,), partial(_thirds, notes=inside))


def _thirds(copy: Copy, notes: Sequence[Note]) -> None:
    for note in notes:
        add_to_chord(copy.note(note), note.written_midi + 3)


def too_many_notes(of: Master) -> Iterator[Place]:
    """Add two notes to a note of a wind stave."""
    for part in of.parts("woodwind", "brass"):
        for note in of.single(part.id):
            if note.kind == "pitched" and not (note.tie_start or note.tie_stop):
                yield Place(note.bar, note.bar, (part.id,), partial(_crowd, note=note))


def _crowd(copy: Copy, note: Note) -> None:
    for interval in (7, 4):
        add_to_chord(copy.note(note), note.written_midi + interval)


def slide_over_partials(of: Master) -> Iterator[Place]:
    """Draw a glissando of the tenor trombone between two notes on different partials."""
    for part in of.parts("brass"):
        if of.line_of[part.id].instrument != "trombone":
            continue
        notes = of.single(part.id)
        for at, (one, two) in enumerate(pairwise(notes)):
            tied = one.tie_start or one.tie_stop or two.tie_start or two.tie_stop
            if not tied and of.tick(one) + one.duration == of.tick(two):
                plant = partial(_slide, notes=(one, two), midi=SLIDES[at % len(SLIDES)])
                yield Place(one.bar, two.bar, (part.id,), plant)


def _slide(copy: Copy, notes: Sequence[Note], midi: Sequence[float]) -> None:
    _set(copy, notes, midi)
    notation(copy.note(notes[0]), "glissando", type="start", number="1")
    notation(copy.note(notes[1]), "glissando", type="stop", number="1")


def touched_nowhere(of: Master) -> Iterator[Place]:
    """Ask violins for an artificial harmonic touched a whole tone above the finger."""
    for part in of.parts("strings"):
        for note in of.single(part.id):
            tied = note.tie_start or note.tie_stop
            if of.line_of[part.id].instrument == "violin" and not tied and of.seconds(note) > 0.5:
                yield Place(note.bar, note.bar, (part.id,), partial(_touch, note=note))


def _touch(copy: Copy, note: Note) -> None:
    element = copy.note(note)
    set_written(element, 69)
    other = add_to_chord(element, 71)
    head = other.makeelement("notehead", {})
    head.text = "diamond"
    later = next((c for c in other if c.tag in ("staff", "beam", "notations")), None)
    other.append(head) if later is None else later.addprevious(head)


# Written pitches struck together: G, G sharp and A have two strings at most, F and F sharp share
# a letter, ten notes are more than two hands have fingers for.
CLUSTER, LETTERS = (67, 68, 69), (65, 66, 72)
TEN = (60, 62, 64, 65, 67, 69, 71, 72, 74, 76)


def harp_cluster(of: Master) -> Iterator[Place]:
    """Ask the harp for G, G sharp and A at once."""
    yield from _harp(of, CLUSTER)


def harp_letters(of: Master) -> Iterator[Place]:
    """Ask the harp for F and F sharp at once, spelled so."""
    yield from _harp(of, LETTERS)


def harp_ten_notes(of: Master) -> Iterator[Place]:
    """Ask the harp for ten notes at once on one stave."""
    yield from _harp(of, TEN)


def _harp(of: Master, chord: tuple[int, ...]) -> Iterator[Place]:
    for part in of.score.parts:
        if part.id not in of.line_of or of.line_of[part.id].instrument != "harp":
            continue
        for bar, notes in of.notes[part.id].items():
            for note in notes:
                alone = sum(n.offset == note.offset for n in notes) == 1
                if alone and not (note.tie_start or note.tie_stop):
                    plant = partial(_strike, note=note, chord=chord)
                    yield Place(bar, bar, (part.id,), plant)


def _strike(copy: Copy, note: Note, chord: tuple[int, ...]) -> None:
    element = copy.note(note)
    set_written(element, chord[0])
    for midi in reversed(chord[1:]):
        add_to_chord(element, midi)
