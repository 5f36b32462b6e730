"""Scores made of sounds: what is needed of a page to ask who plays what."""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable, Sequence
from itertools import accumulate
from typing import NamedTuple

from redstave.model.score import Bar, Note, Origin, Part, Score

STEPS = ("C", "C", "D", "D", "E", "F", "F", "G", "G", "A", "A", "B")
CUE, SINGLE, START, STOP = "cue", "single", "start", "stop"  # the signs of a Sound
ALTERS = (0, 1, 0, 1, 0, 0, 1, 0, 1, 0, 1, 0)


class Sound(NamedTuple):
    """A tone to be written: ticks from the start of the piece, sounding pitch.

    `player` names the part and, after "/", the stave: "Piano/2". `sources` are the tones of the
    original (indices) that it comes from. `sign` tells what is printed with it: a cue, a tremolo on
    one note, or the first or second half of one between two notes, which both sound all through.
    """

    player: str
    start: int
    stop: int
    midi: int
    sources: frozenset[int] = frozenset()
    grace: bool = False
    sign: str = ""


Writer = Callable[
    [str, Sequence[Sound], Sequence[int], int],
    tuple[Score, tuple[str, ...]],
]


def written(
    title: str, sounds: Sequence[Sound], lengths: Sequence[int], quarter: int
) -> tuple[Score, tuple[str, ...]]:
    """Return a score of bars of the given lengths in ticks, and the note id of each sound.

    Notes may last over barlines; nothing is written but notes, and no signs.
    """
    starts = list(accumulate(lengths, initial=0))
    bars = tuple(
        Bar(at, str(at + 1), start, length)
        for at, (start, length) in enumerate(zip(starts, lengths, strict=False))
    )
    by_part: dict[str, list[int]] = defaultdict(list)
    for at, sound in enumerate(sounds):
        by_part[sound.player.partition("/")[0]].append(at)
    ids = [""] * len(sounds)
    parts = []
    for number, (name, members) in enumerate(by_part.items(), start=1):
        members.sort(key=lambda at: (sounds[at].start, -sounds[at].grace, sounds[at].midi))
        notes: list[Note] = []
        for at in members:
            note = _note(f"P{number}", len(notes), sounds[at], starts)
            ids[at] = note.id
            notes.append(note)
        staves = max(note.stave for note in notes)
        parts.append(Part(f"P{number}", name, "", staves, (), tuple(notes), (), ()))
    origin = Origin(title, "", "made")
    return Score(title, quarter, bars, tuple(parts), (), (), origin), tuple(ids)


def _note(part: str, number: int, sound: Sound, starts: Sequence[int]) -> Note:
    bar = min(bisect_right(starts, sound.start) - 1, len(starts) - 2)
    octave, step = divmod(sound.midi, 12)
    return Note(
        id=f"{part}.{bar}.{number}",
        line=0,
        bar=bar,
        offset=sound.start - starts[bar],
        duration=0 if sound.grace else sound.stop - sound.start,
        stave=int(sound.player.partition("/")[2] or 1),
        voice="1",
        kind="pitched",
        step=STEPS[step],
        alter=float(ALTERS[step]),
        octave=octave - 1,
        grace=sound.grace,
    )
