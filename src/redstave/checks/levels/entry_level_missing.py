"""The check `entry-level-missing`."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.dynamics import Event, Kind, events
from redstave.analysis.entries import Entry, entries
from redstave.analysis.page import chords, spot
from redstave.checks.grouping import gathered
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.score import Part


class Missing(NamedTuple):
    """Why an entry needs a level."""

    first: bool  # the first entry of the part


@check(
    "entry-level-missing",
    Claim.RISK,
    sources=("bennew", "common-practice"),
    settings=(
        Setting(
            "rest_bars",
            2.0,
            "bars",
            "after a rest this long the player needs a new level",
            "common-practice",
        ),
        Setting(
            "rest_seconds",
            5.0,
            "s",
            "and the rest must last this long as well, by the tempo in use",
            "common-practice",
        ),
    ),
)
def entry_level_missing(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find entries at which the page does not say how loud to play.

    What it reports
        The first entry of a part, or an entry after a long rest, without a level.

    Why it matters
        The player sees only his own part. What was printed before a long rest is forgotten or
        thought to be over; without a level he plays what he supposes, and eight players suppose
        eight things.

    How it is computed
        An entry is the first chord after a silence of the whole part. It needs a level when it is
        the part's first, or when the rest before it lasts at least as long as both settings. Any
        word about loudness counts: a level, fp, sf, cresc., sempre, sotto voce; printed on any
        stave of the part, from the beginning of the rest to one beat after the entry. So does
        sempre or simile before the rest.

    Limits
        Where the page gives no tempo, the seconds rest on an assumed one. A level meant for two
        separate parts but printed once between them is reported for the part that lacks it.

    Sources
        bennew: a level on every stave at each entry. The length of rest after which a level must be
        repeated: common practice, no source.
    """
    found = [item for part in analysis.score.parts for item in _missing(analysis, part, limits)]
    for missing, spots in gathered(found):
        yield Finding(
            "entry-level-missing",
            spots,
            (Evidence("entries without a level", len(spots), "entries"),),
            (("entry", "first entry" if missing.first else "entry after a long rest"),),
        )


def _missing(analysis: Analysis, part: Part, limits: Limits) -> Iterator[tuple[Missing, Spot]]:
    told = events(analysis.score, part)
    ticks = [event.tick for event in told]
    beat = analysis.score.ticks_per_quarter
    for entry in entries(chords(analysis.score, part)):
        if not (entry.first or _is_long(analysis, entry, limits)):
            continue
        start = entry.chord.start
        first = bisect_left(ticks, start - entry.rest)
        if bisect_right(ticks, start + beat) > first or _goes_on(told[:first]):
            continue
        yield Missing(entry.first), spot(part, [entry.chord])


def _is_long(analysis: Analysis, entry: Entry, limits: Limits) -> bool:
    start = entry.chord.start
    bar = analysis.score.bars[entry.chord.head.bar]
    tempo = analysis.playing.tempo
    seconds = tempo.seconds(start) - tempo.seconds(start - entry.rest)
    return entry.rest >= limits["rest_bars"] * bar.length and seconds >= limits["rest_seconds"]


def _goes_on(before: Sequence[Event]) -> bool:
    """Tell whether the last word before the rest says that it holds on: sempre, simile."""
    return bool(before) and before[-1].kind is Kind.SPOKEN
