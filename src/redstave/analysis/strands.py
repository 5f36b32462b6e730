"""Find strands: tones of different lines that move together and are heard as one.

Two lines belong to one strand where they share at least three consecutive notes: the same pitch
class (unison or octave) struck at the same moment. Three, because a single shared note is often
chance: an accompaniment that touches the tune for a moment must not be judged as part of it.
Source of the rule: measured on annotated movements (docs/evidence.md); the number is ours.
"""

from collections import defaultdict
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.slices import Slices
from redstave.model.line import Tone

RUN = 3  # consecutive shared notes that make two lines one strand


def shared_tones(tones: Sequence[Tone], run: int = RUN) -> dict[int, frozenset[int]]:
    """Return for each tone (by index) the tones of other lines that double it in a run.

    The notes must be consecutive in both lines, so that a slow line which a figure touches on its
    way does not join it.
    """
    partners = _partners(tones)
    pairs = {pair for stream in _streams(tones) for pair in _runs(stream, partners, run)}
    kept: dict[int, set[int]] = defaultdict(set)
    for tone, other in pairs:
        if (other, tone) in pairs:
            kept[tone].add(other)
    return {tone: frozenset(others) for tone, others in kept.items()}


def _partners(tones: Sequence[Tone]) -> dict[int, dict[int, int]]:
    """Return for each tone the tone of each other line that starts with it on its pitch class."""
    meeting: dict[tuple[int, int], list[int]] = defaultdict(list)
    for index, tone in enumerate(tones):
        if not tone.unpitched:
            meeting[tone.start, round(tone.midi) % 12].append(index)
    partners: dict[int, dict[int, int]] = {}
    for together in meeting.values():
        if len(together) > 1:
            for index in together:
                partners[index] = {
                    tones[other].line: other
                    for other in together
                    if tones[other].line != tones[index].line
                }
    return partners


def _streams(tones: Sequence[Tone]) -> list[list[int]]:
    """Return the tones of each line as streams: the highest of each chord, then the second etc."""
    chords: dict[tuple[int, int], list[int]] = defaultdict(list)
    for index, tone in enumerate(tones):
        chords[tone.line, tone.start].append(index)
    streams: dict[tuple[int, int], list[int]] = defaultdict(list)
    for (line, _start), chord in sorted(chords.items()):
        for rank, index in enumerate(sorted(chord, key=lambda at: -tones[at].midi)):
            streams[line, rank].append(index)
    return list(streams.values())


def _runs(
    stream: list[int], partners: dict[int, dict[int, int]], run: int
) -> list[tuple[int, int]]:
    """Return the pairs of doubled tones that stand in runs of at least `run` along one stream."""
    open_runs: dict[int, list[tuple[int, int]]] = {}
    ended: list[list[tuple[int, int]]] = []
    for index in stream:
        here = partners.get(index, {})
        ended.extend(open_runs.pop(line) for line in open_runs.keys() - here.keys())
        for line, other in here.items():
            open_runs.setdefault(line, []).append((index, other))
    ended.extend(open_runs.values())
    return [pair for pairs in ended if len(pairs) >= run for pair in pairs]


def strand_of_rows(slices: Slices, shared: dict[int, frozenset[int]]) -> NDArray[np.int64]:
    """Return the strand of each row, numbered through the slices; equal numbers, one strand."""
    strand = np.empty(slices.row_slice.size, dtype=np.int64)
    count = 0
    begins = np.searchsorted(slices.row_slice, np.arange(slices.start.size + 1))
    for first, last in pairwise(begins):
        rows = slices.row_tone[first:last].tolist()
        count = _group(rows, shared, strand, int(first), count)
    return strand


def _group(
    rows: list[int],
    shared: dict[int, frozenset[int]],
    strand: NDArray[np.int64],
    first: int,
    count: int,
) -> int:
    """Give strand numbers to the rows of one slice and return the next free number."""
    at = {tone: place for place, tone in enumerate(rows)}
    given: dict[int, int] = {}
    for tone in rows:
        if tone in given:
            continue
        waiting = [tone]
        while waiting:
            member = waiting.pop()
            if member in given or member not in at:
                continue
            given[member] = count
            waiting.extend(shared.get(member, ()))
        count += 1
    for tone, place in at.items():
        strand[first + place] = given[tone]
    return count
