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
from redstave.model.line import Line, Tone

Hand = tuple[int, int, int]

ONE_PLAYER = frozenset({"harp", "keyboard", "percussion"})
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


def hands(tones: Sequence[Tone], lines: Sequence[Line]) -> tuple[Hand, ...]:
    """Return for each tone whose hands play it: tones of one hand in a slice are heard as one.

    All that a harp, a keyboard or a percussion player lets sound is one; so is what a string
    section strikes together. Winds on one stave are different players, each with a hand of his own.
    """
    return tuple(
        (tone.line, -1, -1)
        if lines[tone.line].family in ONE_PLAYER
        else (tone.line, tone.start, -1 if lines[tone.line].family == "strings" else at)
        for at, tone in enumerate(tones)
    )


def strand_of_rows(
    slices: Slices, shared: dict[int, frozenset[int]], played_by: Sequence[Hand]
) -> NDArray[np.int64]:
    """Return the strand of each row, numbered through the slices; equal numbers, one strand.

    `played_by` has one entry a tone; see `hands`.
    """
    strand = np.empty(slices.row_slice.size, dtype=np.int64)
    count = 0
    begins = np.searchsorted(slices.row_slice, np.arange(slices.start.size + 1))
    for first, last in pairwise(begins):
        rows = slices.row_tone[first:last].tolist()
        given = _grouped(rows, shared, played_by)
        strand[first:last] = [count + given[tone] for tone in rows]
        count += max(given.values()) + 1
    return strand


def _grouped(
    rows: list[int], shared: dict[int, frozenset[int]], played_by: Sequence[Hand]
) -> dict[int, int]:
    """Return for each tone of one slice the number of its group, counted from 0."""
    by_hand: dict[Hand, list[int]] = defaultdict(list)
    for tone in rows:
        by_hand[played_by[tone]].append(tone)
    given: dict[int, int] = {}
    groups = 0
    for tone in rows:
        if tone in given:
            continue
        waiting = [tone]
        while waiting:
            member = waiting.pop()
            hand = by_hand.get(played_by[member], [])
            if member not in given and member in hand:
                given[member] = groups
                waiting.extend(hand)
                waiting.extend(shared.get(member, ()))
        groups += 1
    return given
