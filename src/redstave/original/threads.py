"""A voice of the piano piece followed through the entry, tone by tone: its thread."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.page import slurred
from redstave.model.match import Carrier, SourceTone
from redstave.model.role import Role
from redstave.original.beside import Beside, beside


class Strand(NamedTuple):
    """One tone of a voice where the entry comes to it.

    `bar` is the bar (index) of the entry, `source` indexes `Match.source`, `tone` is that tone,
    `carriers` sound it in this bar.
    """

    bar: int
    source: int
    tone: SourceTone
    carriers: tuple[Carrier, ...]


class Gap(NamedTuple):
    """Tones of a voice, one after another, that nobody sounds, between tones that are sounded.

    `quarters` is how long they last in the original.
    """

    strands: tuple[Strand, ...]
    quarters: float


class Break(NamedTuple):
    """A line (index) that goes on with a voice in another octave under one slur of the original.

    `octaves` is by how many it jumps against the original; nobody else bridges the place.
    """

    before: Strand
    after: Strand
    line: int
    octaves: int


def thread(analysis: Analysis, role: Role) -> tuple[Strand, ...]:
    """Return the tones of the voices with a role in the order of the entry; of several, the top.

    Empty without an original.
    """
    both = beside(analysis)
    return tuple(_thread(both, role)) if both else ()


def _thread(both: Beside, role: Role) -> Iterator[Strand]:
    voices, source = both.match.voices, both.match.source
    for bar, originals in sorted(both.match.originals_of.items()):
        for original in originals:
            tops: dict[int, int] = {}
            for at in both.by_bar.get(original, ()):
                if voices[source[at].voice].role is role and source[at].stop > source[at].start:
                    top = tops.get(source[at].start)
                    if top is None or source[at].midi > source[top].midi:
                        tops[source[at].start] = at
            for _, at in sorted(tops.items()):
                yield Strand(bar, at, source[at], both.carriers_in(at, bar))


def gaps(analysis: Analysis, strands: Sequence[Strand]) -> Iterator[Gap]:
    """Yield the gaps of a thread; tones before its first carried one and after its last are none.

    A tone whose pitch class sounds somewhere in the bar is none either: it may have been moved.
    Nothing without an original.
    """
    both = beside(analysis)
    if both is None:
        return
    quarter = both.original.ticks_per_quarter
    open_: list[Strand] = []
    carried = False
    for strand in strands:
        if strand.carriers:
            if open_ and carried:
                yield Gap(tuple(open_), _quarters(open_, quarter))
            open_, carried = [], True
        elif not both.sounds(strand.source, strand.bar):
            open_.append(strand)


def _quarters(strands: Sequence[Strand], quarter: int) -> float:
    return sum(one.tone.stop - one.tone.start for one in strands) / quarter


def breaks(analysis: Analysis, strands: Sequence[Strand]) -> Iterator[Break]:
    """Yield where a voice jumps an octave in the same hands under one slur of the original."""
    both = beside(analysis)
    if both is None:
        return
    bound = _bound(both)
    for before, after in pairwise(strands):
        if (before.source, after.source) not in bound or not (before.carriers and after.carriers):
            continue
        if _shifts(before) & _shifts(after):
            continue
        for line, octaves in sorted(_jumps(both, before, after).items()):
            yield Break(before, after, line, octaves)


def _bound(both: Beside) -> frozenset[tuple[int, int]]:
    """Return the pairs of source tones that follow each other under one slur without a rest."""
    found: set[tuple[int, int]] = set()
    for part in both.original.parts:
        for slur in slurred(both.original, part):
            for one, two in pairwise(slur.chords):
                if one.stop == two.start:
                    found.update(
                        (both.source_of[a], both.source_of[b])
                        for a in one.ids
                        for b in two.ids
                        if a in both.source_of and b in both.source_of
                    )
    return frozenset(found)


def _shifts(strand: Strand) -> frozenset[int]:
    return frozenset(one.octave_shift for one in strand.carriers)


def _jumps(both: Beside, before: Strand, after: Strand) -> dict[int, int]:
    """Return the lines (indices) that carry both tones, and by how many octaves they jump."""
    were = {both.playing.tones[one.tone].line: one.octave_shift for one in before.carriers}
    are = {both.playing.tones[one.tone].line: one.octave_shift for one in after.carriers}
    return {line: are[line] - were[line] for line in were.keys() & are.keys()}
