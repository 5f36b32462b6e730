"""Slurs of the entry beside those of the piano piece: which are the pianist's arcs, unchanged.

A pianist's slur shows a phrase; a player's is one breath or one bow. A slur of a wind or a string
is a copy where it begins on a tone that comes from the first note of a slur of the original, and
ends on one that comes from that slur's last.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.page import Chord, Slurred, slurred
from redstave.model.score import Part
from redstave.original.beside import Beside, beside

BOWED_OR_BLOWN = frozenset({"strings", "woodwind", "brass"})


class Arc(NamedTuple):
    """A slur of a wind or a string of the entry.

    `family` is that of its player; `chords` are the notes under it; `barlines` counts the barlines
    it crosses and `seconds` is how long it lasts. `source` is the bar (index) of the original in
    which the same slur begins, -1 where the original has none from the same note to the same note.
    """

    span: str
    part: str
    family: str
    chords: tuple[Chord, ...]
    barlines: int
    seconds: float
    source: int

    @property
    def copied(self) -> bool:
        """Whether the pianist has the same slur."""
        return self.source >= 0


def arcs(analysis: Analysis) -> tuple[Arc, ...]:
    """Return the slurs of winds and strings over music of the original, in order of the page.

    Empty without an original. Slurs over what comes from nowhere in the original are left out.
    """
    return analysis.remember(_arcs)


def arcs_copied_share(found: Sequence[Arc]) -> float | None:
    """Return the share of arcs that are copies, 0 to 1; None where there are no arcs."""
    return sum(arc.copied for arc in found) / len(found) if found else None


def _arcs(analysis: Analysis) -> tuple[Arc, ...]:
    both = beside(analysis)
    if both is None:
        return ()
    family = {line.part: line.family for line in analysis.playing.lines}
    known = _of_the_original(both)
    return tuple(
        arc
        for part in analysis.score.parts
        if family.get(part.id) in BOWED_OR_BLOWN
        for arc in _of_part(analysis, both, part, family[part.id], known)
    )


def _of_the_original(both: Beside) -> dict[tuple[int, int], int]:
    """Return the bar of each slur of the original, by the ticks of its first and last note."""
    score = both.original
    return {
        (slur.chords[0].start, slur.chords[-1].start): slur.chords[0].head.bar
        for part in score.parts
        for slur in slurred(score, part)
        if len(slur.chords) > 1
    }


def _of_part(
    analysis: Analysis,
    both: Beside,
    part: Part,
    family: str,
    known: dict[tuple[int, int], int],
) -> Iterator[Arc]:
    for slur in slurred(analysis.score, part):
        if len(slur.chords) < 2 or not both.sources(_ids(slur)):
            continue
        first = {tone.start for tone in both.sources(slur.chords[0].ids)}
        last = {tone.start for tone in both.sources(slur.chords[-1].ids)}
        same = [known[a, b] for a in sorted(first) for b in sorted(last) if (a, b) in known]
        yield Arc(
            slur.span.id,
            part.id,
            family,
            slur.chords,
            slur.chords[-1].head.bar - slur.chords[0].head.bar,
            _seconds(analysis, slur),
            same[0] if same else -1,
        )


def _ids(slur: Slurred) -> tuple[str, ...]:
    return tuple(note for chord in slur.chords for note in chord.ids)


def _seconds(analysis: Analysis, slur: Slurred) -> float:
    tempo = analysis.playing.tempo
    return tempo.seconds_before(slur.chords[-1].stop) - tempo.seconds(slur.chords[0].start)
