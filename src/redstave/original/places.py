"""Where on the page of the entry a finding about voices of the original is told."""

from collections import Counter
from collections.abc import Collection, Iterable

from redstave.model.finding import Spot
from redstave.model.role import Role
from redstave.original.beside import Beside

ALL = frozenset(Role)


def voice_spot(both: Beside, first: int, last: int, roles: Collection[Role] = ALL) -> Spot:
    """Return bars (indices, both inside) on the stave that carries most of some voices there.

    The bars on either side count too, for who falls silent is at home in the bar before. Where
    nobody carries them it is the first part that plays at all.
    """
    bars = range(max(0, first - 1), min(len(both.entry.bars), last + 2))
    order = {part.id: at for at, part in enumerate(both.entry.parts)}
    counts = Counter(_parts_carrying(both, bars, roles))
    if counts:
        part = min(counts, key=lambda one: (-counts[one], order[one]))
    else:
        part = min(_parts_playing(both, bars), key=order.__getitem__, default=next(iter(order)))
    return Spot(first, 0, part, 1, last)


def _parts_carrying(both: Beside, bars: Iterable[int], roles: Collection[Role]) -> Iterable[str]:
    source, voices = both.match.source, both.match.voices
    for bar in bars:
        for original in both.match.originals_of.get(bar, ()):
            for at in both.by_bar.get(original, ()):
                if voices[source[at].voice].role in roles:
                    for one in both.carriers_in(at, bar):
                        yield both.playing.lines[both.playing.tones[one.tone].line].part


def _parts_playing(both: Beside, bars: range) -> Iterable[str]:
    return {both.playing.lines[tone.line].part for tone in both.playing.tones if tone.bar in bars}
