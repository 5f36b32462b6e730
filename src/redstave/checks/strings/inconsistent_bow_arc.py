"""The check `inconsistent-bow-arc`."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.bowed import Bowed
from redstave.analysis.division import Says, sayings
from redstave.analysis.page import Chord, spot
from redstave.checks.grouping import joined
from redstave.checks.needs import bowed
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot

Tune = tuple[tuple[int, frozenset[float]], ...]
Arcs = frozenset[tuple[int, int]]
#: Below them the bow is so much shorter that another bowing is no slip.
UPPER_STRINGS = frozenset({"violin", "viola", "cello"})
PLAIN = frozenset({"", "mute"})


class InBar(NamedTuple):
    """What one part plays in one bar: its attacks, and its slurs as far as they lie in the bar."""

    part: Bowed
    tune: Tune
    arcs: Arcs
    chords: tuple[Chord, ...]


@check(
    "inconsistent-bow-arc",
    Claim.QUESTION,
    sources=("common-practice",),
    settings=(
        Setting(
            "least_attacks",
            3.0,
            "attacks",
            "a bar with fewer attacks is left alone",
            "common-practice",
        ),
        Setting(
            "least_bars",
            1.0,
            "bars",
            "asked about when it happens in so many bars of the score",
            "common-practice",
        ),
    ),
)
def inconsistent_bow_arc(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about sections that play the same notes with other slurs.

    What it reports
        Bars in which string sections double each other, in unison or octaves, attack by attack, and
        are slurred differently.

    Why it matters
        Slurs are bowings. Sections that double each other and change the bow at other notes phrase
        against each other; the leaders have to settle it in rehearsal, which is dear.

    How it is computed
        In every bar the sections of violins, violas and cellos that have the same attacks on the
        same notes, octaves left aside, are set beside each other, with their slurs as far as they
        lie in the bar. The parts whose slurs are in the minority are named, or all of them where
        there is none. There is one finding for the whole score.

    Limits
        Bars with fewer than three attacks, plucked notes, tremolo, solos and divided staves are
        left out, and so are double basses, whose bow is so much shorter. Where a part is slurred
        differently so that the other stands out, answer that it is meant.

    Sources
        Common practice, no source. Masters' scores differ in two or three of a hundred such bars.
    """
    sections = [part for part in bowed(analysis) if part.section]
    if not sections:
        raise CannotJudge("no part was recognised as a string section")
    odd = [one for bar in _by_bar(analysis, sections) for one in _odd(bar, limits["least_attacks"])]
    bars = {one.chords[0].head.bar for one in odd}
    if len(bars) >= limits["least_bars"] and odd:
        yield Finding(
            "inconsistent-bow-arc",
            joined(_spot(one) for one in odd),
            (Evidence("bars that differ", len(bars), "bars"),),
        )


def _spot(one: InBar) -> Spot:
    return spot(one.part.part, one.chords)


def _odd(bar: Sequence[InBar], least: float) -> Iterator[InBar]:
    """Yield the parts of a bar that are slurred otherwise than most of those they double."""
    doubling: dict[Tune, list[InBar]] = defaultdict(list)
    for one in bar:
        if len(one.tune) >= least and len({pitches for _, pitches in one.tune}) > 1:
            doubling[one.tune].append(one)
    for together in doubling.values():
        by_arcs: dict[Arcs, list[InBar]] = defaultdict(list)
        for one in together:
            by_arcs[one.arcs].append(one)
        if len(by_arcs) > 1:
            most = max(len(ones) for ones in by_arcs.values())
            agreed = [ones for ones in by_arcs.values() if len(ones) == most]
            for ones in by_arcs.values():
                if len(agreed) > 1 or ones is not agreed[0]:
                    yield from ones


def _by_bar(analysis: Analysis, sections: Sequence[Bowed]) -> Iterator[list[InBar]]:
    found: dict[int, list[InBar]] = defaultdict(list)
    for part in sections:
        if part.instrument in UPPER_STRINGS:
            for bar, one in _in_bars(analysis, part):
                found[bar].append(one)
    for bar in sorted(found):
        yield found[bar]


def _in_bars(analysis: Analysis, part: Bowed) -> Iterator[tuple[int, InBar]]:
    said = sayings(analysis.score, part.part)
    chords: dict[int, list[Chord]] = defaultdict(list)
    for chord in part.chords:
        chords[chord.head.bar].append(chord)
    arcs: dict[int, set[tuple[int, int]]] = defaultdict(set)
    for slur in part.slurs:
        first, last = slur.chords[0], slur.chords[-1]
        for bar in range(first.head.bar, last.head.bar + 1):
            place = analysis.score.bars[bar]
            start, stop = max(first.start, place.start), min(last.start, place.start + place.length)
            arcs[bar].add((start, stop))
    for bar, struck in chords.items():
        divided = said.at(struck[0].start) in (Says.DIVIDED, Says.ALONE)
        if not divided and all(_is_plain(analysis, chord) for chord in struck):
            tune = _tune(analysis, struck)
            yield bar, InBar(part, tune, frozenset(arcs[bar]), tuple(struck))


def _is_plain(analysis: Analysis, chord: Chord) -> bool:
    tone = analysis.tone_of.get(chord.head.id)
    return tone is not None and tone.technique in PLAIN


def _tune(analysis: Analysis, struck: Sequence[Chord]) -> Tune:
    """Return the attacks of a bar and their pitch classes."""
    pitches: dict[int, set[float]] = defaultdict(set)
    for chord in struck:
        if not chord.head.tie_stop:
            pitches[chord.start].update(analysis.tone_of[id_].midi % 12 for id_ in chord.ids)
    return tuple((tick, frozenset(classes)) for tick, classes in sorted(pitches.items()))
