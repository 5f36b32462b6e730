"""Where fingers stand on a string, and how far apart they are when a chord is held.

A finger that stops a string of length L at n semitones above the open string stands
L (1 - 2^(-n/12)) from the nut: equal temperament on an ideal string. What a hand has to span is the
distance along the strings between its outermost fingers; an open string needs none. In thumb
position the thumb takes the lower note and adds to the hand.
"""

from collections.abc import Sequence
from functools import cache, lru_cache
from itertools import permutations
from typing import NamedTuple

from redstave.analysis.strings import Strings
from redstave.analysis.tables import cited, row
from redstave.instruments.tuning import tuning

#: How far up the lower strings chords are stopped, in semitones (common practice, no source).
CLIMB = 16.0


class Hand(NamedTuple):
    """The hand on one instrument: string length and furthest spans in millimetres.

    From `thumb_from` semitones above the open string the thumb adds `thumb_adds` semitones.
    """

    open: tuple[float, ...]
    length: float
    comfortable: float
    stretched: float
    thumb_from: float
    thumb_adds: float


class Grip(NamedTuple):
    """How a chord lies: for each pitch, lowest first, its string (0 = lowest) and its finger.

    `heights` are semitones above the open string, 0 for an open one; `spread` in millimetres.
    """

    strings: tuple[int, ...]
    heights: tuple[float, ...]
    spread: float


@cache
def hand_of(instrument: str) -> Hand | None:
    """Return the hand on a bowed instrument; None for any other."""
    if instrument not in row("strings", "length"):
        return None
    thumbs = row("strings", "thumb", "from")
    thumb = instrument in thumbs
    return Hand(
        open=tuning()[instrument],
        length=cited("strings", "length", instrument).number,
        comfortable=cited("strings", "hand", "comfortable", instrument).number,
        stretched=cited("strings", "hand", "stretched", instrument).number,
        thumb_from=thumbs[instrument].number if thumb else float("inf"),
        thumb_adds=cited("strings", "thumb", "adds", instrument).number if thumb else 0.0,
    )


def place_mm(length: float, semitones: float) -> float:
    """Return the distance from the nut at which a string is stopped, in the unit of its length."""
    return float(length * (1.0 - 2.0 ** (-semitones / 12.0)))


def spread_mm(heights: Sequence[float], hand: Hand) -> float:
    """Return what the hand has to span for fingers at these heights in semitones."""
    fingers = [height for height in heights if height > 0]
    if len(fingers) < 2:
        return 0.0
    low, high = min(fingers), max(fingers)
    if low >= hand.thumb_from:
        low = min(high, low + hand.thumb_adds)
    return place_mm(hand.length, high) - place_mm(hand.length, low)


@lru_cache(maxsize=4096)
def easiest_grip(pitches: tuple[float, ...], strings: Strings, hand: Hand) -> Grip | None:
    """Return the way to hold sounding pitches together that spans least; None if there is none.

    Neighbouring strings, one for each pitch, in any order: under a lower note an open string may
    sound above it. Nobody climbs far up the lower strings to make a chord narrow, so grips within
    `CLIMB` are preferred. What lies below the lowest open string is taken by an extension.
    """
    wanted = tuple(sorted(pitches))
    grips = [
        Grip(order, heights, spread_mm(heights, hand))
        for lowest in range(len(strings.open) - len(wanted) + 1)
        for order in permutations(range(lowest, lowest + len(wanted)))
        if (heights := _heights(wanted, order, strings, hand)) is not None
    ]
    top = len(strings.open) - 1
    near = [grip for grip in grips if _climb(grip, top) <= CLIMB]
    return min(near or grips, key=lambda grip: (grip.spread, sum(grip.heights)), default=None)


def _climb(grip: Grip, top: int) -> float:
    """Return how far a grip goes up the strings below the top one, in semitones."""
    heights = zip(grip.strings, grip.heights, strict=True)
    return max((height for string, height in heights if string != top), default=0.0)


def _heights(
    pitches: tuple[float, ...], order: tuple[int, ...], strings: Strings, hand: Hand
) -> tuple[float, ...] | None:
    fits = all(
        0.0 <= pitch - strings.open[string] <= strings.reach
        for pitch, string in zip(pitches, order, strict=True)
    )
    if not fits:
        return None
    return tuple(max(0.0, p - hand.open[string]) for p, string in zip(pitches, order, strict=True))


def travel_mm(before: Grip, after: Grip, hand: Hand) -> float:
    """Return how far the hand must move along the strings from one grip to the next.

    As far as the fingers of both together span more than the hand does comfortably; open strings
    hold the hand nowhere.
    """
    first = [height for height in before.heights if height > 0]
    second = [height for height in after.heights if height > 0]
    if not first or not second:
        return 0.0
    return max(0.0, spread_mm((*first, *second), hand) - hand.comfortable)


@lru_cache(maxsize=4096)
def pair_mm(one: float, other: float, strings: Strings, hand: Hand, apart: int) -> float:
    """Return the least span of two notes that alternate on strings at most `apart` strings apart.

    0 apart is one string, 1 its neighbours too; infinite where no such strings have the notes.
    """
    spans = [
        spread_mm(heights, hand)
        for first in range(len(strings.open))
        for second in range(len(strings.open))
        if abs(first - second) <= apart
        and (heights := _heights((one, other), (first, second), strings, hand)) is not None
        and _climb(Grip((first, second), heights, 0.0), len(strings.open) - 1) <= CLIMB
    ]
    return min(spans, default=float("inf"))
