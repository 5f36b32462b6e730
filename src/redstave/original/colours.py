"""Which instruments carry the tune, or what accompanies it, in each section of the entry."""

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.sections import Section
from redstave.model.role import Role
from redstave.original.beside import Beside, beside
from redstave.original.form import sections_of

LEAST_SHARE = 0.5  # who sounds this share of the tones of a section carries them there (ours)
PHRASE_BARS = 8  # where the page marks no sections, the tune is looked at phrase by phrase (ours)
LEAST_SECTIONS = 3
ALIKE = 0.5  # two sets of instruments of which half are common are alike (ours)

Hand = tuple[str, int]  # an instrument (id), and octaves above (+) or below (−) the original


class Carried(NamedTuple):
    """What carries voices of some roles in a section.

    `hands` are the instruments that sound at least half of the tones, with their octaves; `tones`
    is how many tones of the original there are, `share` how many of them sound at all.
    """

    section: Section
    hands: frozenset[Hand]
    tones: int
    share: float

    @property
    def instruments(self) -> frozenset[str]:
        """The instruments alone."""
        return frozenset(instrument for instrument, _ in self.hands)


def phrases_of(analysis: Analysis) -> tuple[Section, ...]:
    """Return the sections, or phrases of eight bars where fewer than three sections are known."""
    found = sections_of(analysis)
    bars = len(analysis.score.bars)
    if len(found) >= LEAST_SECTIONS or bars < LEAST_SECTIONS * PHRASE_BARS:
        return found
    starts = range(0, bars - PHRASE_BARS + 1, PHRASE_BARS)
    stops = [*(start - 1 for start in starts[1:]), bars - 1]
    return tuple(Section(first, last) for first, last in zip(starts, stops, strict=True))


def carried(
    analysis: Analysis, roles: Collection[Role], where: Sequence[Section]
) -> tuple[Carried, ...]:
    """Return who carries the voices of these roles in each section that has any of their tones.

    Empty without an original.
    """
    both = beside(analysis)
    if both is None:
        return ()
    return tuple(one for section in where for one in _in_section(both, roles, section))


def _in_section(both: Beside, roles: Collection[Role], section: Section) -> Iterator[Carried]:
    source, voices, lines = both.match.source, both.match.voices, both.playing.lines
    counts: Counter[Hand] = Counter()
    tones = sounded = 0
    for bar in range(section.first, section.last + 1):
        for original in both.match.originals_of.get(bar, ()):
            for at in both.by_bar.get(original, ()):
                if voices[source[at].voice].role not in roles:
                    continue
                carriers = both.carriers_in(at, bar)
                tones, sounded = tones + 1, sounded + bool(carriers)
                counts.update(
                    {
                        (lines[both.playing.tones[one.tone].line].instrument, one.octave_shift)
                        for one in carriers
                    }
                )
    if tones:
        hands = frozenset(hand for hand, many in counts.items() if many >= LEAST_SHARE * tones)
        yield Carried(section, hands, tones, sounded / tones)


def changes(found: Sequence[Carried]) -> int:
    """Return at how many borders of sections other instruments take over."""
    return sum(not alike(before, here) for before, here in pairwise(found))


def alike(one: Carried, other: Carried) -> bool:
    """Whether two sections have half of their instruments in common, or more."""
    together = one.instruments | other.instruments
    common = one.instruments & other.instruments
    return not together or len(common) >= ALIKE * len(together)
