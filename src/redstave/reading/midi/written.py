"""From what one part plays to what stands in its bars: chords, voices, note values."""

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from redstave.reading.midi.played import Played, Tone

VOICES = 4  # more at once are squeezed into the last one
# Lengths in quarters that one note can have: its value and dots.
VALUES = {
    Fraction(4, 2**power) * factor: (name, dots)
    for power, name in enumerate(["whole", "half", "quarter", "eighth", "16th", "32nd"])
    for factor, dots in ((Fraction(1), 0), (Fraction(3, 2), 1))
}
TRIPLETS = {length * Fraction(2, 3): value for length, value in VALUES.items() if not value[1]}
LONGEST_FIRST = sorted(VALUES, reverse=True)


Chord = tuple[Fraction, Fraction, list[int]]  # onset, duration, MIDI numbers


class Bar(NamedTuple):
    """One bar: where it begins and ends in quarters, its metre, whether the metre is new."""

    start: Fraction
    stop: Fraction
    meter: tuple[int, int]
    is_new: bool


class Piece(NamedTuple):
    """One chord (without pitches: a rest) of one value, in one bar and voice."""

    onset: Fraction
    duration: Fraction
    pitches: tuple[int, ...]
    tie_start: bool = False
    tie_stop: bool = False

    @property
    def value(self) -> tuple[str, int, bool] | None:
        """The note value, its dots, and whether it is of a triplet; None where there is none."""
        if self.duration in VALUES:
            return (*VALUES[self.duration], False)
        if self.duration in TRIPLETS:
            return (*TRIPLETS[self.duration], True)
        return None


def bars_of(played: Played) -> list[Bar]:
    """Return the bars of a piece; without a metre they are of four quarters."""
    end = max(tone.onset + tone.duration for player in played.players for tone in player.tones)
    changes = sorted(played.meters)
    bars: list[Bar] = []
    start = Fraction(0)
    while start < end:
        index = bisect_right(changes, start)
        meter = played.meters[changes[index - 1]] if index else (4, 4)
        stop = start + Fraction(4 * meter[0], meter[1])
        if index < len(changes):
            stop = min(stop, changes[index])
        bars.append(Bar(start, stop, meter, not bars or bars[-1].meter != meter))
        start = stop
    return bars


def starts_of(bars: Sequence[Bar]) -> Callable[[Fraction], int]:
    """Return what tells the index of the bar in which a time lies."""
    starts = [bar.start for bar in bars]
    return lambda time: bisect_right(starts, time) - 1


def voices_of(tones: Sequence[Tone]) -> list[list[Chord]]:
    """Return the part's chords in as few voices as have no overlap."""
    chords: dict[tuple[Fraction, Fraction], list[int]] = {}
    for tone in tones:
        chords.setdefault((tone.onset, tone.duration), []).append(tone.pitch)
    voices: list[list[Chord]] = []
    for (onset, duration), pitches in sorted(chords.items()):
        free = next((v for v in voices if v[-1][0] + v[-1][1] <= onset), None)
        if free is None and len(voices) < VOICES:
            free = []
            voices.append(free)
        if free is None:  # cut off what is still sounding in the last voice
            free = voices[-1]
            begun, _, held = free[-1]
            if begun == onset:
                held.extend(pitches)
                continue
            free[-1] = (begun, onset - begun, held)
        free.append((onset, duration, pitches))
    return voices


def pieces_of(voice: Sequence[Chord], bars: Sequence[Bar]) -> list[list[Piece]]:
    """Return, bar by bar, what a voice writes: its chords cut at barlines, rests between them."""
    rows: list[list[Piece]] = [[] for _ in bars]
    starts = [bar.start for bar in bars]
    now = Fraction(0)
    for onset, duration, pitches in voice:
        _place(rows, bars, starts, now, onset - now, ())
        _place(rows, bars, starts, onset, duration, tuple(sorted(pitches)))
        now = onset + duration
    _place(rows, bars, starts, now, bars[-1].stop - now, ())
    return rows


def _place(
    rows: list[list[Piece]],
    bars: Sequence[Bar],
    starts: Sequence[Fraction],
    onset: Fraction,
    duration: Fraction,
    pitches: tuple[int, ...],
) -> None:
    end = onset + duration
    now = onset
    while now < end:
        index = bisect_right(starts, now) - 1
        stop = min(end, bars[index].stop)
        for length in _values(stop - now):
            tied = bool(pitches)
            piece = Piece(
                now - bars[index].start,
                length,
                pitches,
                tied and now + length < end,
                tied and now > onset,
            )
            rows[index].append(piece)
            now += length


def _values(length: Fraction) -> Iterator[Fraction]:
    if length in VALUES or length in TRIPLETS:
        yield length
        return
    for value in LONGEST_FIRST:
        if value <= length:
            yield value
            yield from _values(length - value) if length > value else ()
            return
    yield length  # shorter than any value: it stays without one
