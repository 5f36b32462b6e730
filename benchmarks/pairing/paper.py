"""Scores made of sounds that go through a file, with what only a file tells.

Ottava lines, cue notes and tremolo strokes are written as MusicXML 4.0 has them and read as any
file is. Under an ottava line the file gives the pitches that sound (`octave-shift`: the line only
moves the picture). A tremolo between two chords is written as two chords, each of which is given
half of the time that both sound (`tremolo`).
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import accumulate, groupby
from typing import NamedTuple

from benchmarks.pairing.page import ALTERS, CUE, SINGLE, START, STEPS, STOP, Sound
from redstave.model.score import Score
from redstave.reading import read_bytes

STROKES = 3


class Ottava(NamedTuple):
    """An ottava line over bars `first` to `last` of a stave, so many octaves up or (< 0) down."""

    player: str
    first: int
    last: int
    octaves: int


class _Piece(NamedTuple):
    """What of a sound, number `at`, lies in one bar; `start` counts from the start of the bar."""

    stave: int
    start: int
    after_graces: bool
    length: int
    sign: str
    tied_before: bool
    tied_after: bool
    midi: int
    at: int


def printed(
    title: str,
    sounds: Sequence[Sound],
    lengths: Sequence[int],
    quarter: int,
    ottavas: Sequence[Ottava] = (),
) -> tuple[Score, tuple[str, ...]]:
    """Return a score of bars of the given lengths in ticks, read from a file, and the note ids.

    A sound over a barline is written in tied notes and has the id of the first.
    """
    ids = [""] * len(sounds)
    heads = parts = ""
    names = dict.fromkeys(_part(sound.player) for sound in sounds)
    for number, name in enumerate(names, start=1):
        bars = _pieces(name, sounds, lengths)
        for bar, pieces in enumerate(bars):
            for place, piece in enumerate(pieces):
                ids[piece.at] = ids[piece.at] or f"P{number}.{bar}.{place}"
        lines = [one for one in ottavas if _part(one.player) == name]
        measures = _measures(bars, lengths, quarter, lines)
        heads += f'<score-part id="P{number}"><part-name>{name}</part-name></score-part>'
        parts += f'<part id="P{number}">{"".join(measures)}</part>'
    text = f'<score-partwise version="4.0"><part-list>{heads}</part-list>{parts}</score-partwise>'
    return read_bytes(text.encode(), f"{title or 'made'}.musicxml"), tuple(ids)


def _part(player: str) -> str:
    return player.partition("/")[0]


def _stave(player: str) -> int:
    return int(player.partition("/")[2] or 1)


def _pieces(name: str, sounds: Sequence[Sound], lengths: Sequence[int]) -> list[list[_Piece]]:
    """Return what a part has in each bar, in the order of the file."""
    starts = list(accumulate(lengths, initial=0))
    found: dict[int, list[_Piece]] = defaultdict(list)
    for at, one in enumerate(sounds):
        if _part(one.player) != name:
            continue
        begin, end = _written(one)
        first = min(bisect_right(starts, begin), len(lengths)) - 1
        last = max(first, min(bisect_right(starts, end - 1), len(lengths)) - 1)
        for bar in range(first, last + 1):
            start, stop = max(begin, starts[bar]), min(end, starts[bar + 1])
            ties = bar > first, bar < last
            placed = _stave(one.player), start - starts[bar], not one.grace, stop - start, one.sign
            found[bar].append(_Piece(*placed, *ties, one.midi, at))
    return [sorted(found[bar]) for bar in range(len(lengths))]


def _written(one: Sound) -> tuple[int, int]:
    """Return when the written note begins and ends: half of a tremolo between two."""
    middle = (one.start + one.stop) // 2
    return (
        middle if one.sign == STOP else one.start,
        middle if one.sign == START else one.stop,
    )


def _measures(
    bars: Sequence[Sequence[_Piece]],
    lengths: Sequence[int],
    quarter: int,
    ottavas: Sequence[Ottava],
) -> Iterator[str]:
    staves = max(piece.stave for pieces in bars for piece in pieces)
    for bar, (pieces, length) in enumerate(zip(bars, lengths, strict=True)):
        text = "".join(_notes(pieces))
        used = pieces[-1].start + pieces[-1].length if pieces else 0
        begun = "".join(_line(one, "start") for one in ottavas if one.first == bar)
        ended = "".join(_line(one, "stop") for one in ottavas if one.last == bar)
        heading = "" if bar else f"<divisions>{quarter}</divisions>"
        if bar == 0 or length != lengths[bar - 1]:
            heading += _metre(length, quarter)
        heading += "" if bar else f"<staves>{staves}</staves>"
        heading = f"<attributes>{heading}</attributes>" if heading else ""
        rest = _moved(used, length)
        yield f'<measure number="{bar + 1}">{heading}{begun}{text}{rest}{ended}</measure>'


def _metre(length: int, quarter: int) -> str:
    """Return the metre of a bar; its beats are as short as they must be."""
    quarters = Fraction(length, quarter)
    beats, kind = quarters.numerator, 4 * quarters.denominator
    return f"<time><beats>{beats}</beats><beat-type>{kind}</beat-type></time>"


def _line(one: Ottava, end: str) -> str:
    kind = ("down" if one.octaves > 0 else "up") if end == "start" else "stop"
    size = 7 * abs(one.octaves) + 1
    line = f'<octave-shift type="{kind}" size="{size}" number="1"/>'
    stave = f"<staff>{_stave(one.player)}</staff>"
    return f"<direction><direction-type>{line}</direction-type>{stave}</direction>"


def _notes(pieces: Sequence[_Piece]) -> Iterator[str]:
    """Yield the notes of a bar, chord by chord, each led to its place."""
    now = 0
    for chord, members in groupby(pieces, key=lambda piece: piece[:-2]):
        _, start, _, length, *_ = chord
        yield _moved(now, start)
        for place, piece in enumerate(members):
            yield _note(piece, place > 0)
        now = start + length


def _moved(now: int, to: int) -> str:
    if now == to:
        return ""
    way = "forward" if to > now else "backup"
    return f"<{way}><duration>{abs(to - now)}</duration></{way}>"


def _note(piece: _Piece, chord: bool) -> str:
    octave, step = divmod(piece.midi, 12)
    alter = f"<alter>{ALTERS[step]}</alter>" if ALTERS[step] else ""
    pitch = f"<pitch><step>{STEPS[step]}</step>{alter}<octave>{octave - 1}</octave></pitch>"
    before = '<tie type="stop"/>' * piece.tied_before + '<tie type="start"/>' * piece.tied_after
    length = f"<duration>{piece.length}</duration>" if piece.after_graces else ""
    grace = "" if piece.after_graces else "<grace/>"
    strokes = ""
    if piece.sign in (SINGLE, START, STOP) and not chord:
        stroke = f'<tremolo type="{piece.sign}">{STROKES}</tremolo>'
        strokes = f"<notations><ornaments>{stroke}</ornaments></notations>"
    return (
        f"<note>{grace}{'<cue/>' * (piece.sign == CUE)}{'<chord/>' * chord}{pitch}{length}"
        f"{before}<voice>1</voice><staff>{piece.stave}</staff>{strokes}</note>"
    )
