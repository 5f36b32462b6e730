"""Which harmonics a bowed string can give, and what is wrong with one that it cannot.

A string that is touched at a node sounds a partial (`redstave.players.harmonics`). Up to the sixth
partial this is usual; above it, on long strings only. An artificial harmonic is touched above a
stopped finger of the same hand, so it must lie within the hand; a circle gives the pitch that
sounds, and leaves it to the player which of the two ways he takes.

All pitches are sounding MIDI numbers: of the finger, of the place that is touched, of the tone.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from enum import StrEnum
from math import log2
from typing import NamedTuple

from redstave.analysis.bowed import Bowed
from redstave.analysis.fingers import Hand, hand_of, pair_mm
from redstave.analysis.page import Chord
from redstave.analysis.strings import Strings, strings_of
from redstave.instruments import InstrumentBook
from redstave.model.score import Note
from redstave.players.harmonics import (
    ARTIFICIAL,
    HIGHEST_PARTIAL,
    TOUCHED,
    Harmonic,
    harmonics_of,
    partial_above,
)
from redstave.players.pitch import shift_at, shifts
from redstave.players.signs import signs_of

LONG_STRINGS = frozenset({"cello", "double-bass"})
UNUSUAL_PARTIAL = 8  # partials above HIGHEST_PARTIAL that can be found at all (common practice)
NEAR = 0.5  # semitones between a printed pitch and a partial
#: Touched above the stopped finger, sounding above it, in semitones: fourth, fifth, major third.
ARTIFICIAL_TOUCHES = ((5.0, 24.0), (7.0, 19.0), (4.0, 28.0))


class Fault(StrEnum):
    """What keeps a harmonic from sounding as it is printed."""

    NO_NODE = "no node"
    UNUSUAL = "unusual partial"
    BEYOND_HAND = "beyond the hand"
    OTHER_PITCH = "sounds elsewhere"
    TOUCH_OR_SOUND = "touch or sound"


class Means(NamedTuple):
    """Strings and hand of an instrument, and the highest partial that is usual on it."""

    strings: Strings
    hand: Hand
    highest: int


class Faulty(NamedTuple):
    """One harmonic that cannot be produced as printed, with its notes and its chord."""

    fault: Fault
    notes: tuple[Note, ...]
    chord: Chord


def means_of(instrument: str, book: InstrumentBook) -> Means | None:
    """Return what harmonics are made with on a bowed instrument; None for any other."""
    hand, strings = hand_of(instrument), strings_of(instrument, book)
    if hand is None or strings is None:
        return None
    return Means(strings, hand, UNUSUAL_PARTIAL if instrument in LONG_STRINGS else HIGHEST_PARTIAL)


def artificial_fault(
    base: float, touch: float, told: Sequence[float], means: Means
) -> Fault | None:
    """Judge a stopped finger and a touch above it; `told` are pitches printed as the result."""
    raised = partial_above(touch - base, UNUSUAL_PARTIAL)
    if raised is None:
        return Fault.NO_NODE
    usual = means.highest if base in means.hand.open else HIGHEST_PARTIAL
    if partial_above(touch - base, usual) is None:
        return Fault.UNUSUAL
    if means.hand.stretched < pair_mm(base, touch, means.strings, means.hand, 0) < float("inf"):
        return Fault.BEYOND_HAND
    if told and all(abs(pitch - base - raised) > NEAR for pitch in told):
        return Fault.OTHER_PITCH
    return None


def touched_fault(touch: float, means: Means) -> Fault | None:
    """Judge a diamond alone: an open string touched at this pitch."""
    above = [touch - string for string in means.hand.open]
    if any(partial_above(one, means.highest) is not None for one in above):
        return None
    if any(partial_above(one, UNUSUAL_PARTIAL) is not None for one in above):
        return Fault.UNUSUAL
    return Fault.TOUCH_OR_SOUND if can_sound(touch, means) else Fault.NO_NODE


def circle_fault(pitch: float, means: Means) -> Fault | None:
    """Judge a circle over a note; over the pitch of an open string it may mean the open string."""
    if pitch in means.hand.open or can_sound(pitch, means):
        return None
    above = [pitch - string for string in means.hand.open]
    touched = any(partial_above(one, means.highest) is not None for one in above)
    return Fault.TOUCH_OR_SOUND if touched else Fault.NO_NODE


def can_sound(pitch: float, means: Means) -> bool:
    """Tell whether a pitch sounds as a usual natural harmonic or as an artificial one."""
    natural = (
        string + 12.0 * log2(partial)
        for string in means.hand.open
        for partial in range(2, means.highest + 1)
    )
    return any(abs(one - pitch) < NEAR for one in natural) or any(
        pair_mm(pitch - raised, pitch - raised + touch, means.strings, means.hand, 0)
        <= means.hand.stretched
        for touch, raised in ARTIFICIAL_TOUCHES
    )


def faulty_harmonics(part: Bowed, book: InstrumentBook) -> Iterator[Faulty]:
    """Yield the harmonics of a part that cannot be produced as printed, by time."""
    means = means_of(part.instrument, book)
    found = harmonics_of(part.part, "strings", signs_of(part.part, "strings").techniques)
    if means is None or not found:
        return
    moved = shifts(part.score, part.part)
    voices = Counter((chord.start, chord.head.stave) for chord in part.chords)
    for chord in part.chords:
        shift = shift_at(moved, chord.head.stave, chord.start)
        alone = voices[chord.start, chord.head.stave] == 1
        for note in chord.notes:
            harmonic = found.get(note.id)
            if harmonic is None or (harmonic.kind == TOUCHED and not alone):
                continue
            fault = _fault(chord, note, harmonic, shift, means)
            if fault is not None:
                ids = {note.id, *harmonic.others}
                yield Faulty(fault, tuple(one for one in chord.notes if one.id in ids), chord)


def _fault(
    chord: Chord, note: Note, harmonic: Harmonic, shift: float, means: Means
) -> Fault | None:
    pitch = note.written_midi + shift
    if harmonic.kind == TOUCHED:
        return touched_fault(pitch, means)
    if harmonic.kind != ARTIFICIAL:
        return circle_fault(pitch, means)
    others = {one.id: one.written_midi + shift for one in chord.notes if one is not note}
    touch = others.pop(harmonic.others[0])
    told = tuple(others.values()) if len(others) == 1 else ()
    return artificial_fault(pitch, touch, [one for one in told if one > touch], means)
