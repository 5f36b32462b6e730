"""Where music of the piano piece returns: openings of sections that no mark needs to show.

A bar is known by its tune: pitches and rhythm of the voice called so. A stretch of bars that comes
again, in any key, is a return. Where the entry goes back to bars it has had, that is one too.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import pairwise

from redstave.model.match import Match
from redstave.model.role import Role
from redstave.model.score import Score

LEAST_BARS = 4  # a shorter stretch that comes again is a motif (ours)
LEAST_NOTES = 2  # a bar with fewer notes of the tune is known by too little (ours)
RETURN = "the music returns"

Melody = tuple[tuple[int, int], ...]  # offset in ticks and pitch of each note of a bar


def returns(original: Score, match: Match) -> Mapping[int, str]:
    """Return the bars (indices) of the entry where a stretch of the original comes again."""
    again = {bar for _, bar in repeated(tunes(original, match))}
    found = {match.entry_bars_of[bar][0] for bar in again if bar in match.entry_bars_of}
    return dict.fromkeys(sorted(found | set(_goes_back(match))), RETURN)


def tunes(original: Score, match: Match) -> tuple[Melody, ...]:
    """Return the notes of the tune in each bar of the original; of several at once the highest."""
    found: list[dict[int, int]] = [defaultdict(int) for _ in original.bars]
    for tone in match.source:
        if match.voices[tone.voice].role is Role.TUNE:
            offset = tone.start - original.bars[tone.bar].start
            found[tone.bar][offset] = max(found[tone.bar][offset], tone.midi)
    return tuple(tuple(sorted(bar.items())) for bar in found)


def repeated(melodies: tuple[Melody, ...]) -> Iterator[tuple[int, int]]:
    """Yield the bars (indices) where a stretch of bars begins, and where it comes again."""
    length: dict[tuple[int, int], int] = {}
    bars = len(melodies)
    for gap in range(LEAST_BARS, bars):
        run = 0
        for later in range(bars - 1, gap - 1, -1):
            run = run + 1 if _goes_on(melodies, later - gap, later, run) else 0
            length[later - gap, later] = run
    for (early, later), run in length.items():
        fresh = not length.get((early - 1, later - 1), 0)
        if fresh and run >= LEAST_BARS and _known(melodies[early : early + LEAST_BARS]):
            yield early, later


def _goes_on(melodies: tuple[Melody, ...], early: int, later: int, run: int) -> bool:
    """Whether two bars have the same tune in some key; that of the bars after them, if any."""
    shift = _shift(melodies[early], melodies[later])
    if shift is None or not run:
        return shift is not None
    after = _shift(melodies[early + 1], melodies[later + 1])
    return not melodies[early] or not melodies[early + 1] or after == shift


def _shift(one: Melody, other: Melody) -> int | None:
    """Return by how many semitones the second is higher; None where they are not the same tune."""
    if len(one) != len(other):
        return None
    steps = {(b[0] - a[0], b[1] - a[1]) for a, b in zip(one, other, strict=True)}
    if not steps:
        return 0
    moved, shift = min(steps)
    return shift if len(steps) == 1 and moved == 0 else None


def _known(stretch: tuple[Melody, ...]) -> bool:
    """Whether a stretch can be known again: notes enough, and no single bar over and over."""
    notes = sum(len(bar) for bar in stretch)
    return notes >= LEAST_NOTES * len(stretch) and len(set(stretch)) > len(stretch) // 2


def _goes_back(match: Match) -> Iterator[int]:
    """Yield the bars of the entry where it goes back to bars of the original it has had."""
    for (_, before), (entry, here) in pairwise(sorted(match.original_of.items())):
        if here < before:
            yield entry
