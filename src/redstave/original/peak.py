"""Where the piano piece is at its height, and where the entry is scored most fully."""

from collections import defaultdict
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.original.beside import Beside, beside
from redstave.original.form import form_of

AS_LOUD = 0.5  # levels: what lies so close to the loudest bar belongs to the height
AS_FULL = 0.9  # of the greatest number of lines
NEAR_BARS = 2  # the fullest scoring may come so many bars before or after the height


class Peak(NamedTuple):
    """The height of the original and the fullest scoring, both as bars (indices) of the entry.

    `source` are the bars in which the pianist is told to be loudest; where that is told nowhere,
    or all through, it is empty. `fullest` are the bars with nearly the greatest number of lines.
    """

    source: tuple[int, ...]
    fullest: tuple[int, ...]

    @property
    def distance(self) -> int | None:
        """How many bars lie between the two at their nearest; None where there is no height."""
        return min((abs(a - b) for a in self.source for b in self.fullest), default=None)


def peak(analysis: Analysis) -> Peak | None:
    """Return where original and entry peak; None without an original."""
    both = beside(analysis)
    if both is None or analysis.slices.start.size == 0:
        return None
    lines = form_of(analysis).lines
    fullest = tuple(at for at, many in enumerate(lines) if many >= AS_FULL * max(lines))
    return Peak(_height(both), fullest)


def _height(both: Beside) -> tuple[int, ...]:
    """Return the bars of the entry that come from the loudest bars of the original.

    A piece that is as loud as that in more than a third of its bars has no height.
    """
    levels = source_levels(both)
    if not levels:
        return ()
    loud = [bar for bar, level in levels.items() if level >= max(levels.values()) - AS_LOUD]
    if 3 * len(loud) > len(levels):
        return ()
    return tuple(sorted(one for bar in loud for one in both.match.entry_bars_of.get(bar, ())))


def source_levels(both: Beside) -> dict[int, float]:
    """Return the mean level the pianist is told in each bar (index) of the original with notes."""
    found: dict[int, list[float]] = defaultdict(list)
    for tone, level in zip(both.match.source, both.levels, strict=True):
        found[tone.bar].append(level)
    return {bar: sum(levels) / len(levels) for bar, levels in sorted(found.items())}
