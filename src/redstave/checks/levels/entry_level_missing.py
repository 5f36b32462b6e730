"""The check `entry-level-missing`."""

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.dynamics import Event, events, swells
from redstave.analysis.entries import Entry, entries
from redstave.analysis.page import chords, spot
from redstave.analysis.surroundings import level_around, level_in_force
from redstave.checks.grouping import gathered
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.line import level_name
from redstave.model.score import Part

#: Words that say that a level holds on, even over rests (common practice).
GOES_ON = re.compile(r"\bsempre\b|\bsim(?:ile|\.)|\bimmer\b|\btoujours\b", re.IGNORECASE)


class Missing(NamedTuple):
    """What an entry without a level leaves the player with."""

    first: bool  # the first entry of the part: no level at all
    last: str  # the name of the level last printed, "" if none
    around: str  # the name of the level most others have, "" if none
    claim: Claim


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
        Setting(
            "least_step",
            3.0,
            "levels",
            "the last level printed must differ this much from what the others play (p to f is 3)",
            "common-practice",
        ),
        Setting(
            "long_rest_bars",
            8.0,
            "bars",
            "after a rest this long a level is asked for even where the last one still fits",
            "common-practice",
        ),
    ),
)
def entry_level_missing(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find entries at which the page does not say how loud to play.

    What it reports
        The first entry of a part without a level; and an entry without a level after a rest, where
        the last level printed for the part is not the one the others now play. Where it still fits,
        the entry is asked about after a long rest only.

    Why it matters
        The player sees only his own part. What was printed before a long rest is forgotten or
        thought to be over; without a level he plays what he supposes, and eight players suppose
        eight things.

    How it is computed
        An entry is the first chord after a silence of the whole part. It is looked at when it is
        the part's first, or when the rest before it lasts at least rest_bars and rest_seconds. Any
        word about loudness counts as a level: fp, sf, cresc., sempre, sotto voce; on any stave of
        the part, from the beginning of the rest to one beat after the entry. The last level of the
        part is then set against the level most tones of other parts have at that moment. The
        questions about long rests are gathered into one finding.

    Limits
        Where the page gives no tempo, the seconds rest on an assumed one. A level meant for two
        separate parts but printed once between them is reported for the part that lacks it. An
        entry at which a hairpin begins is left to swell-without-start-or-goal.

    Sources
        bennew: a level on every stave at each entry. How long a rest must be, and how far the
        levels must lie apart: common practice, no source.
    """
    found = [item for part in analysis.score.parts for item in _missing(analysis, part, limits)]
    risks = [item for item in found if item[0].claim is Claim.RISK]
    for missing, spots in gathered(risks):
        yield _finding(missing, spots)
    asked = tuple(place for missing, place in found if missing.claim is Claim.QUESTION)
    if asked:
        yield _finding(Missing(False, "", "", Claim.QUESTION), asked)


def _finding(missing: Missing, spots: tuple[Spot, ...]) -> Finding:
    told = [Evidence("entries without a level", len(spots), "entries")]
    if missing.last:
        told.append(Evidence("last level on the stave", missing.last))
    if missing.around:
        told.append(Evidence("level around it", missing.around))
    entry = "first entry" if missing.first else "entry after a rest"
    return Finding("entry-level-missing", spots, tuple(told), (("entry", entry),), missing.claim)


def _missing(analysis: Analysis, part: Part, limits: Limits) -> Iterator[tuple[Missing, Spot]]:
    told = events(analysis.score, part)
    ticks = [event.tick for event in told]
    hairpins = [swell.start for swell in swells(analysis.score, part)]
    beat = analysis.score.ticks_per_quarter
    for entry in entries(chords(analysis.score, part)):
        if not (entry.first or _is_long(analysis, entry, limits)):
            continue
        start = entry.chord.start
        first = bisect_left(ticks, start - entry.rest)
        if bisect_right(ticks, start + beat) > first or _goes_on(told[:first]):
            continue
        if entry.first and any(abs(hairpin - start) <= beat for hairpin in hairpins):
            continue
        missing = _weighed(analysis, part, entry, limits)
        if missing is not None:
            yield missing, spot(part, [entry.chord])


def _weighed(analysis: Analysis, part: Part, entry: Entry, limits: Limits) -> Missing | None:
    """Return what the missing level means at this entry; None where it does little harm."""
    start = entry.chord.start
    last = level_in_force(analysis.playing, part.id, start)
    around = level_around(analysis.playing, part.id, start)
    there = level_name(around) if around is not None else ""
    if last is None:
        return Missing(entry.first, "", there, Claim.RISK)
    if around is None or abs(last - around) >= limits["least_step"]:
        return Missing(entry.first, level_name(last), there, Claim.RISK)
    bar = analysis.score.bars[entry.chord.head.bar]
    if entry.rest >= limits["long_rest_bars"] * bar.length:
        return Missing(entry.first, level_name(last), there, Claim.QUESTION)
    return None


def _is_long(analysis: Analysis, entry: Entry, limits: Limits) -> bool:
    start = entry.chord.start
    bar = analysis.score.bars[entry.chord.head.bar]
    tempo = analysis.playing.tempo
    seconds = tempo.seconds(start) - tempo.seconds(start - entry.rest)
    return entry.rest >= limits["rest_bars"] * bar.length and seconds >= limits["rest_seconds"]


def _goes_on(before: tuple[Event, ...]) -> bool:
    """Tell whether the last word before the rest says that it holds on: sempre, simile."""
    return bool(before) and GOES_ON.search(before[-1].text) is not None
