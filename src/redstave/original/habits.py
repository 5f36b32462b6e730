"""Piano habits in figures: how much of the pianist's writing an entry keeps as it stands.

Each is a share from 0 to 1, or None where the original gives no occasion. None of them is a fault
by itself; the checks say when one is worth asking about.
"""

from collections import defaultdict
from collections.abc import Iterator
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.original.arcs import arcs, arcs_copied_share
from redstave.original.beside import Beside, beside

LEAST_LINES = 3  # with fewer that play in a bar, one level for all is natural
SAME_LEVEL = 0.25  # levels: what a hairpin gains in a moment


class Habits(NamedTuple):
    """Shares of what could be: slurs, octaves, hands, levels.

    `arcs_copied`: slurs of winds and strings that are the pianist's. `octaves_kept`: octaves of one
    hand of which both tones sound where the pianist has them. `hands_apart`: bars in which the two
    hands went to different families. `levels_flat`: bars in which all lines have one level, and it
    is the pianist's.
    """

    arcs_copied: float | None
    octaves_kept: float | None
    hands_apart: float | None
    levels_flat: float | None


def habits(analysis: Analysis) -> Habits | None:
    """Return the piano habits of an entry; None without an original."""
    return analysis.remember(_habits)


def _habits(analysis: Analysis) -> Habits | None:
    both = beside(analysis)
    if both is None:
        return None
    return Habits(
        arcs_copied_share(arcs(analysis)),
        _share(_octaves_kept(both)),
        _share(_hands_apart(both)),
        _share(_levels_flat(both)),
    )


def _share(flags: Iterator[bool]) -> float | None:
    all_ = list(flags)
    return sum(all_) / len(all_) if all_ else None


def _octaves_kept(both: Beside) -> Iterator[bool]:
    """Tell of each octave of one hand that is played at all whether it is played as it stands."""
    source, carriers = both.match.source, both.match.carriers_of
    for tones in both.by_bar.values():
        by_place = {(source[at].start, source[at].stave, source[at].midi): at for at in tones}
        for (start, stave, midi), low in by_place.items():
            high = by_place.get((start, stave, midi + 12))
            if high is None or not (low in carriers or high in carriers):
                continue
            yield all(
                any(one.octave_shift == 0 for one in carriers.get(at, ())) for at in (low, high)
            )


def _hands_apart(both: Beside) -> Iterator[bool]:
    """Tell of each bar that has both hands whether no family plays of both."""
    source, lines, tones = both.match.source, both.playing.lines, both.playing.tones
    for bar in sorted(both.match.originals_of):
        families: dict[int, set[str]] = defaultdict(set)
        for original in both.match.originals_of[bar]:
            for at in both.by_bar.get(original, ()):
                for one in both.carriers_in(at, bar):
                    families[source[at].stave].add(lines[tones[one.tone].line].family)
        if len(families) == 2:
            left, right = families.values()
            yield not left & right


def _levels_flat(both: Beside) -> Iterator[bool]:
    """Tell of each bar with lines enough whether all begin their tones at the pianist's level."""
    here: dict[int, list[float]] = defaultdict(list)
    lines: dict[int, set[int]] = defaultdict(set)
    for tone in both.playing.tones:
        here[tone.bar].append(tone.level)
        lines[tone.bar].add(tone.line)
    for bar, originals in sorted(both.match.originals_of.items()):
        there = [both.levels[at] for one in originals for at in both.by_bar.get(one, ())]
        if there and len(lines[bar]) >= LEAST_LINES:
            levels = [*here[bar], *there]
            yield max(levels) - min(levels) <= SAME_LEVEL
