"""Which tone of the entry comes from which tone of the original."""

from collections import defaultdict
from typing import NamedTuple

from redstave.model.match import NO_BAR, Carrier
from redstave.original.bars import BarMap
from redstave.original.sounding import Sounding


class NoteMap(NamedTuple):
    """Carriers, and what is left over on both sides (indices of their tones)."""

    carriers: tuple[Carrier, ...]
    left_out: tuple[int, ...]
    added: tuple[int, ...]


def note_map(entry: Sounding, original: Sounding, bars: BarMap) -> NoteMap:
    """Match the tones of matched bars: same pitch class, sounding at the same time."""
    by_place: dict[tuple[int, int], list[int]] = defaultdict(list)
    for at in range(original.tone.size):
        by_place[int(original.bar[at]), int(original.pitch_class[at])].append(at)
    of = {one.entry: one.original for one in bars.bars if NO_BAR not in one[:2]}
    carriers = []
    for at in range(entry.tone.size):
        bar = int(entry.bar[at])
        if bar not in of:
            continue
        midi = int(entry.midi[at]) - bars.transposition
        shift = original.bar_start[of[bar]] - entry.bar_start[bar]
        start, stop = entry.start[at] + shift, entry.stop[at] + shift
        near = [
            one
            for one in by_place[of[bar], midi % 12]
            if original.start[one] < stop and start < original.stop[one]
        ]
        if near:
            one = min(near, key=lambda one: abs(original.midi[one] - midi))
            octaves = (midi - int(original.midi[one])) // 12
            carriers.append(Carrier(int(original.tone[one]), int(entry.tone[at]), octaves))
    carried, carrying = {one.source for one in carriers}, {one.tone for one in carriers}
    return NoteMap(
        tuple(carriers),
        tuple(one for one in original.tone.tolist() if one not in carried),
        tuple(one for one in entry.tone.tolist() if one not in carrying),
    )
