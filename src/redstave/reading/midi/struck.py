"""From how hard tones are struck to levels: one for each bar of a part, where it changes."""

from collections.abc import Sequence
from fractions import Fraction
from statistics import median
from typing import NamedTuple

from redstave.model.line import level_of_velocity
from redstave.reading.midi.played import Tone
from redstave.reading.midi.written import Bar, starts_of


class Struck(NamedTuple):
    """How hard a bar is struck: the median velocity, and where its first tone begins in quarters.

    The onset counts from the bar's beginning.
    """

    onset: Fraction
    velocity: float


def changes_of(tones: Sequence[Tone], bars: Sequence[Bar]) -> dict[int, Struck]:
    """Return, by the index of the bar, how hard it is struck where that is another level.

    The median lets single accents pass. A bar in which no tone begins says nothing.
    """
    within: dict[int, list[Tone]] = {}
    bar_at = starts_of(bars)
    for tone in sorted(tones):
        within.setdefault(bar_at(tone.onset), []).append(tone)
    changes: dict[int, Struck] = {}
    level = 0
    for index, here in within.items():
        velocity = float(median(tone.velocity for tone in here))
        if level_of_velocity(velocity) != level:
            level = level_of_velocity(velocity)
            changes[index] = Struck(here[0].onset - bars[index].start, velocity)
    return changes
