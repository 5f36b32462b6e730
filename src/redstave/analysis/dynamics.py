"""What the page tells a part about loudness, event by event, and its hairpins.

The words are read as the players read them (`redstave.players`). A part on several staves (piano,
harp) is one player's page: a level on one stave serves all.
"""

import re
from collections.abc import Iterator
from enum import StrEnum
from typing import NamedTuple

from redstave.analysis.once import once_a_part
from redstave.analysis.page import tick_of
from redstave.model.score import Part, Score
from redstave.players.dynamics import NOTHING, from_nothing, read_levels, to_nothing
from redstave.players.page import Place, places

#: Words that name or keep a loudness without a number (common practice).
SPOKEN = re.compile(
    r"\bsempre\b|\bsim(?:ile|\.)|\bsotto\s*voce|\bmezz[ao]\s+voce|\btoujours\b|\bimmer\b|\becho\b"
    r"|\bcome prima\b|\bwie vorher|\bcomme avant|\beco\b|\bleise\b|\bkräftig|\bstark\b|\bsanft"
    r"|\bniente\b|\bdoux\b|\bfort\b|\bpoco f\b",
    re.IGNORECASE,
)
SUDDEN = re.compile(
    r"\bsub(?:ito|it)?\b|\bplötzlich|\bsoudain|\bsofort\b|\bsuddenly", re.IGNORECASE
)


class Kind(StrEnum):
    """What an event does to the level in force."""

    LEVEL = "level"  # sets it
    BURST = "burst"  # fp and its like: a stroke, then a level
    ACCENT = "accent"  # a stroke, the level stays
    RISE = "rise"  # cresc. in words: on the way, the goal lies further on
    FALL = "fall"
    SPOKEN = "spoken"  # names or changes the level in words, without a number


class Event(NamedTuple):
    """One thing the page says about loudness. `level` is its number where it names one."""

    tick: int
    bar: int
    stave: int
    kind: Kind
    level: int | None
    text: str

    @property
    def sudden(self) -> bool:
        """Whether the direction itself says subito."""
        return SUDDEN.search(self.text) is not None


class Swell(NamedTuple):
    """A hairpin with both ends, in ticks; `rising` is false for a diminuendo."""

    start: int
    stop: int
    rising: bool
    id: str
    bar: int
    offset: int
    last_bar: int
    stave: int


@once_a_part
def events(score: Score, part: Part) -> tuple[Event, ...]:
    """Return what a part is told about loudness, in the order of time.

    Of hairpins only the circle is told of that some begin or end with: a level, niente.
    """
    told = [event for place in places(score, part) for event in _events(place)]
    return tuple(sorted([*told, *_circles(score, part)], key=lambda event: event.tick))


@once_a_part
def swells(score: Score, part: Part) -> tuple[Swell, ...]:
    """Return the hairpins of a part whose two ends are on the page, in the order of time."""
    return tuple(sorted(_swells(score, part)))


def meanings(text: str) -> tuple[tuple[Kind, int | None], ...]:
    """Tell what a printed text does to the level, in order: "p cresc." sets p, then rises."""
    read = tuple(_meaning(*one) for one in read_levels(text))
    # The accent of an "fp" is part of the burst.
    burst = any(kind is Kind.BURST for kind, _ in read)
    read = tuple(one for one in read if not (burst and one[0] is Kind.ACCENT))
    if not read and SPOKEN.search(text):
        return ((Kind.SPOKEN, None),)
    return read


def _meaning(kind: str, value: float, attack: float) -> tuple[Kind, int | None]:
    if kind == "set":
        return (Kind.BURST if attack else Kind.LEVEL), round(value)
    if kind == "swell":
        return (Kind.RISE if value > 0 else Kind.FALL), None
    return (Kind.ACCENT if kind == "accent" else Kind.SPOKEN), None


def _events(place: Place) -> Iterator[Event]:
    for kind, level in meanings(place.text):
        yield Event(place.tick, place.bar, place.stave, kind, level, place.text)


def _circles(score: Score, part: Part) -> Iterator[Event]:
    for span in part.spans_of("hairpin"):
        start = span.start if from_nothing(span) else None
        stop = span.stop if to_nothing(span) else None
        for end in filter(None, (start, stop)):
            tick = tick_of(score, end)
            yield Event(tick, end.bar, end.stave, Kind.LEVEL, round(NOTHING), "niente")


def _swells(score: Score, part: Part) -> Iterator[Swell]:
    for span in part.spans_of("hairpin"):
        start, stop = span.start, span.stop
        if start is None or stop is None:
            continue
        first, last = tick_of(score, start), tick_of(score, stop)
        if first < last and span.name in ("crescendo", "diminuendo"):
            rising = span.name == "crescendo"
            last_bar = score.bar_at(last - 1)
            yield Swell(
                first, last, rising, span.id, start.bar, start.offset, last_bar, start.stave
            )
