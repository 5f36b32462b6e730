"""The check `string-mute-time`."""

import re
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.bowed import Bowed
from redstave.analysis.division import Says, sayings
from redstave.analysis.page import spot
from redstave.analysis.tables import cited
from redstave.checks.needs import bowed, by_tempo, tempo_used
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot

#: Words that let the players change one after the other (common practice).
ONE_BY_ONE = re.compile(
    r"\bdesk|\bpult|\bpup|\blegg|poco a poco|\bgradual|nach und nach|peu [àa] peu|one by one"
    r"|l'un après|uno (?:alla|per) volta|\bhalf\b|\bmet[aà]\b|\bhälfte",
    re.IGNORECASE,
)


class Change(NamedTuple):
    """A mute that goes on or off, and the seconds of rest there are for it."""

    on: bool
    seconds: float
    spot: Spot


@check(
    "string-mute-time",
    Claim.RISK,
    sources=("berlioz-mutes", "common-practice"),
    settings=(
        Setting(
            "leniency",
            1.0,
            "ratio",
            "multiplies the seconds needed: below 1 for sliding mutes, which need less",
            "common-practice",
        ),
    ),
)
def string_mute_time(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find mutes that string players have no time to put on or take off.

    What it reports
        A word that puts the mutes on or takes them off, between whose last and first notes there is
        too little rest.

    Why it matters
        The player must lower the instrument, reach for the mute, set it on the bridge and find the
        string again. Hurried, a section rattles; those who are late play the wrong colour.

    How it is computed
        The rest lasts from the end of the last note that begins before the word to the first note
        after it. Below the floor it is a risk; below what is comfortable, less its uncertainty, a
        question.

    Limits
        Where the players change desk by desk, little by little, or divide, nothing is reported.
        Where the page gives no number for every tempo, the finding is a question.

    Sources
        Two bars of moderate 4/4 to put them on, which is 4.4 to 5 s at 108 to 96 beats a minute,
        and less to take them off: Berlioz, second-hand. How much less, and the floors: common
        practice, no source.
    """
    parts = bowed(analysis)
    found = [change for part in parts for change in _changes(analysis, part)]
    for on in (True, False):
        name = "on" if on else "off"
        enough, floor = cited("strings", "mute", name), cited("strings", "mute", f"{name}-floor")
        fair = (enough.number - enough.uncertainties[0]) * limits["leniency"]
        least = floor.number * limits["leniency"]
        changes = [one for one in found if one.on is on]
        risky = [one for one in changes if one.seconds < least]
        asked = [one for one in changes if least <= one.seconds < fair]
        if risky:
            yield _finding(analysis, risky, least, by_tempo(analysis, Claim.RISK))
        if asked:
            yield _finding(analysis, asked, fair, Claim.QUESTION)


def _finding(analysis: Analysis, hurried: list[Change], limit: float, claim: Claim) -> Finding:
    shortest = max(0.0, min(change.seconds for change in hurried))
    return Finding(
        "string-mute-time",
        tuple(change.spot for change in hurried),
        (
            Evidence("shortest rest", round(shortest, 1), "s", round(limit, 1)),
            *tempo_used(analysis),
        ),
        (("way", "put their mutes on" if hurried[0].on else "take their mutes off"),),
        claim,
    )


def _changes(analysis: Analysis, part: Bowed) -> Iterator[Change]:
    score, tempo = analysis.score, analysis.playing.tempo
    said = sayings(score, part.part)
    one_by_one = {
        score.tick(mark.bar, mark.offset)
        for mark in part.part.marks_of("word")
        if ONE_BY_ONE.search(mark.text)
    }
    for before, after in pairwise(part.words):
        if before.mute == after.mute or after.tick in one_by_one:
            continue
        earlier = [chord for chord in part.chords if chord.start < after.tick]
        later = [chord for chord in part.chords if chord.start >= after.tick]
        if not earlier or not later or said.at(after.tick) is Says.DIVIDED:
            continue
        last = max(earlier, key=lambda chord: chord.stop)
        rest = tempo.seconds(later[0].start) - tempo.seconds_before(last.stop)
        yield Change(after.mute, rest, spot(part.part, (later[0],)))
