"""How long string players stay in a mode: plucked, muted, near the bridge, and so on.

A mode is in force from the word that begins it to the word that ends it, or to the end. Slurs, bow
signs, tremolo and long ties under pizz. show that the word that ends it has been forgotten.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import NamedTuple

from redstave.analysis.bowed import Bowed
from redstave.analysis.division import Says, sayings
from redstave.analysis.page import Chord
from redstave.model.line import TechniquePoint, Tone

STROKES = 3  # a tremolo of fewer strokes abbreviates repeated notes, which can be plucked
LEAST_SIGNS = 2  # one slur may stand on a plucked turn (common practice)
TIE_SECONDS = 2.0  # a plucked note does not last so long (common practice)


class Mode(NamedTuple):
    """A mode in force from `start` to `stop` in ticks; `ended` tells whether a word ends it."""

    name: str
    start: int
    stop: int
    ended: bool


def modes(
    words: Sequence[TechniquePoint], name: Callable[[TechniquePoint], str], end: int
) -> Iterator[Mode]:
    """Yield the modes of one kind in order; `name` tells the mode of a point, "" for none."""
    runs = [(mode, next(points).tick) for mode, points in groupby(words, name)]
    for at, (mode, start) in enumerate(runs):
        if mode:
            last = at + 1 == len(runs)
            yield Mode(mode, start, end if last else runs[at + 1][1], not last)


def bow_of(point: TechniquePoint) -> str:
    """Return how the bow is used: "pizz", "col-legno" or "" for the ordinary way."""
    return point.bow


def mute_of(point: TechniquePoint) -> str:
    """Return "mute" where the mute is on, else ""."""
    return "mute" if point.mute else ""


def place_of(point: TechniquePoint) -> str:
    """Return where the bow plays: "sul-ponticello", "sul-tasto" or ""."""
    return point.place


class Forgotten(NamedTuple):
    """Plucked notes that ask for the bow: from `start`, the first of `signs`, to `stop`."""

    start: int
    stop: int
    signs: tuple[Chord, ...]


def forgotten_arco(
    part: Bowed,
    tone_of: Mapping[str, Tone],
    least: float = LEAST_SIGNS,
    tie_seconds: float = TIE_SECONDS,
) -> Iterator[Forgotten]:
    """Yield the stretches under pizz. in which enough signs ask for the bow.

    Under div. one half may pluck and the other bow: what stands there is no sign.
    """
    bars = part.score.bars
    end = bars[-1].start + bars[-1].length
    plucked = [mode for mode in modes(part.words, bow_of, end) if mode.name == "pizz"]
    if not plucked:
        return
    said = sayings(part.score, part.part)
    slurred = {slur.chords[0].ids for slur in part.slurs if _moves(slur.chords)}
    signs = [
        chord
        for chord in part.chords
        if (chord.ids in slurred or _asks_for_bow(part, chord, tone_of, tie_seconds))
        and said.at(chord.start) is not Says.DIVIDED
    ]
    for mode in plucked:
        under = tuple(chord for chord in signs if mode.start <= chord.start < mode.stop)
        if under and len(under) >= least:
            yield Forgotten(under[0].start, mode.stop, under)


def _moves(chords: Sequence[Chord]) -> bool:
    return len({chord.pitches for chord in chords}) > 1


def _asks_for_bow(
    part: Bowed, chord: Chord, tone_of: Mapping[str, Tone], tie_seconds: float
) -> bool:
    """Tell whether a chord has a bow sign, a tremolo, or a tie too long for a plucked note."""
    if part.signed(chord, "up-bow", "down-bow") or part.strokes(chord) >= STROKES:
        return True
    tone = tone_of.get(chord.head.id)
    if tone is None or chord.head.tie_stop or len(tone.notes) < 2:
        return False
    return tone.stop_s - tone.start_s > tie_seconds
