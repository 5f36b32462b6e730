"""Harmonics: which notes are one harmonic, and where it sounds.

A string touched at a node sounds its partial n: 12·log2(n) semitones above the string as it is
stopped, where n is the smallest partial with a node at the place that is touched. That place is
printed as a diamond above the stopped note (artificial harmonic), or as a diamond alone (a touched
open string). A circle over a plain note gives the pitch that sounds; on the harp it sounds an
octave higher than written (handbooks, from memory). Neither is ever taken for the other.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from math import gcd, log2
from typing import NamedTuple

from redstave.model.score import Mark, Note, Part
from redstave.players.page import is_played
from redstave.players.signs import ChordKey, chord_key

HIGHEST_PARTIAL = 6  # higher natural harmonics are unusual except on basses (reference harmtab)
NEAR_A_NODE = 0.35  # semitones between a printed touch and a node; thirds are 0.14 and 0.16 off
OCTAVE, HALF_STEP = 12.0, 0.5
_DIAMOND = ("notehead", "diamond")
ARTIFICIAL, TOUCHED, CIRCLE = "artificial", "touched", "circle"


class Harmonic(NamedTuple):
    """One harmonic of a part, kept under the id of its first note.

    `kind` is ARTIFICIAL (`raised` semitones above the stopped note), TOUCHED or CIRCLE; `others`
    are the ids of the notes that only show where to touch, or what will sound. `doubtful` is true
    where the page prints another octave than the string gives: the printed one is taken.
    """

    kind: str
    raised: float = 0.0
    others: tuple[str, ...] = ()
    doubtful: bool = False


def harmonics_of(part: Part, family: str, signed: Mapping[ChordKey, str]) -> dict[str, Harmonic]:
    """Return the harmonics of a part for strings or harp by the id of the note that is played."""
    if family not in {"strings", "harp"}:
        return {}
    diamonds = any(_DIAMOND in note.details for note in part.notes if note.details)
    if not diamonds and "harmonic" not in signed.values():
        return {}
    told = {mark.note: mark for mark in part.marks_of("technical") if mark.name == "harmonic"}
    chords: dict[ChordKey, list[Note]] = defaultdict(list)
    for note in part.notes:
        key = chord_key(note)
        if signed.get(key) == "harmonic" or _is_touch(note, told):
            chords[key]
    for note in part.notes:
        key = chord_key(note)
        if key in chords and is_played(note) and note.step:
            chords[key].append(note)
    found: dict[str, Harmonic] = {}
    for key, notes in chords.items():
        found.update(_of_chord(notes, told, signed.get(key) == "harmonic"))
    return found


def _is_touch(note: Note, told: Mapping[str, Mark]) -> bool:
    if _DIAMOND in note.details:
        return True
    return note.id in told and "touching-pitch" in told[note.id].text


def _of_chord(
    notes: Sequence[Note], told: Mapping[str, Mark], signed: bool
) -> Iterator[tuple[str, Harmonic]]:
    touches = [note for note in notes if _is_touch(note, told)]
    plain = sorted((note for note in notes if note not in touches), key=_pitch)
    pairs: list[tuple[Note, Note]] = []
    for touch in sorted(touches, key=_pitch):
        base = next((note for note in reversed(plain) if _pitch(note) < _pitch(touch)), None)
        if base is None:
            yield touch.id, Harmonic(TOUCHED)
        else:
            plain.remove(base)
            pairs.append((base, touch))
    for base, touch in pairs:
        sounding = _sounding(base, touch, plain)
        plain = [note for note in plain if note is not sounding]
        yield base.id, _artificial(base, touch, sounding)
    if signed and not touches:
        yield from ((note.id, Harmonic(CIRCLE)) for note in plain)


def _sounding(base: Note, touch: Note, plain: Sequence[Note]) -> Note | None:
    """Return the note above the diamond that prints what will sound, in whatever octave."""
    raised = partial_above(_pitch(touch) - _pitch(base))
    above = (note for note in plain if raised is not None and _pitch(note) > _pitch(touch))
    return next((n for n in above if _octaves_off(_pitch(n) - _pitch(base), raised or 0.0)), None)


def _octaves_off(one: float, other: float) -> bool:
    """Whether two intervals differ by whole octaves, as near as a tempered pitch can tell."""
    return abs((one - other + OCTAVE / 2) % OCTAVE - OCTAVE / 2) < HALF_STEP


def _artificial(base: Note, touch: Note, sounding: Note | None) -> Harmonic:
    above = _pitch(touch) - _pitch(base)
    raised = partial_above(above)
    if raised is None:
        return Harmonic(ARTIFICIAL, above, (touch.id,), doubtful=True)
    if sounding is None:
        return Harmonic(ARTIFICIAL, raised, (touch.id,))
    printed = _pitch(sounding) - _pitch(base)
    wrong = abs(printed - raised) > HALF_STEP
    return Harmonic(ARTIFICIAL, printed if wrong else raised, (touch.id, sounding.id), wrong)


def _pitch(note: Note) -> float:
    return note.written_midi


def absorbed(found: Mapping[str, Harmonic]) -> frozenset[str]:
    """Return the notes that nobody plays by themselves: they belong to another's harmonic."""
    return frozenset(id_ for harmonic in found.values() for id_ in harmonic.others)


@cache
def partial_above(touch: float, highest: int = HIGHEST_PARTIAL) -> float | None:
    """Return how far above a string its partial sounds when it is touched `touch` semitones up.

    None when no partial up to the highest one has a node near that place.
    """
    for partial in range(2, highest + 1):
        for node in range(1, partial):
            if gcd(node, partial) == 1:
                place = OCTAVE * log2(partial / (partial - node))
                if abs(place - touch) < NEAR_A_NODE:
                    return OCTAVE * log2(partial)
    return None


def touched(touch: float, strings: Sequence[float], named: str = "") -> tuple[float, ...]:
    """Return the pitches that may sound when an open string is touched at a pitch.

    All as sounding MIDI numbers, the likeliest first: on the string that is named ("G", or "4"
    counted from the highest), else where the result differs from the touched pitch (an octave node
    would have been written with a circle), the lowest partial first.
    """
    possible = []
    for index, string in enumerate(strings):
        raised = partial_above(touch - string)
        if raised is not None:
            called = _is_called(string, len(strings) - index, named)
            octave = raised == OCTAVE
            possible.append((not called, octave, raised, string + raised))
    ranked = [sounding for *_, sounding in sorted(possible)]
    if possible and not min(possible)[0]:
        return tuple(ranked[:1])
    return tuple(ranked)


def _is_called(string: float, number: int, named: str) -> bool:
    pitch_classes = {"C": 0, "D": 2, "E": 4, "G": 7, "A": 9}
    return named == str(number) or pitch_classes.get(named) == round(string) % 12
