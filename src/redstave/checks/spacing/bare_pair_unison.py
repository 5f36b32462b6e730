"""The check `bare-pair-unison`."""

from collections.abc import Iterator
from itertools import combinations

from redstave.analysis import Analysis
from redstave.analysis.page import in_words
from redstave.analysis.stretches import spot_of_tones, stretches
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.line import Tone


@check(
    "bare-pair-unison",
    Claim.QUESTION,
    sources=("handbooks", "common-practice"),
    settings=(
        Setting(
            "most_level", 4.0, "level", "louder passages are left alone (mp)", "common-practice"
        ),
        Setting(
            "most_others",
            4.0,
            "lines",
            "with more lines around, the beating is hidden",
            "common-practice",
        ),
        Setting("least_seconds", 3.0, "s", "shorter passages are left alone", "common-practice"),
    ),
)
def bare_pair_unison(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about two like winds that play one soft exposed line together.

    What it reports
        Two players of one wind instrument in unison, soft, with few other lines around them.

    Why it matters
        Two are not twice one: the soloist's freedom goes, and where the pitch differs by a hair it
        beats. Three blend, one sings, two quarrel.

    How it is computed
        Tones of two lines of one instrument that begin and end together on one pitch, softer than
        most_level, while no more than most_others other lines sound, for least_seconds in all.

    Limits
        "a 2" can be wanted for its colour, as with bassoons and horns.

    Sources
        handbooks: two of a kind lose a soloist's nuance and beat when exposed; three blend better.
    """
    lines = analysis.playing.lines
    winds = [at for at, line in enumerate(lines) if line.family in {"woodwind", "brass"}]
    if not winds:
        raise CannotJudge("no part was recognised as a wind instrument")
    by_line: dict[int, list[Tone]] = {at: [] for at in winds}
    for tone in analysis.playing.tones:
        if tone.line in by_line and tone.level <= limits["most_level"]:
            by_line[tone.line].append(tone)
    for first, second in combinations(winds, 2):
        if lines[first].instrument == lines[second].instrument:
            shared = _shared(by_line[first], by_line[second])
            yield from _passages(analysis, shared, (first, second), limits)


def _shared(first: list[Tone], second: list[Tone]) -> list[Tone]:
    there = {(tone.start, tone.stop, tone.midi) for tone in second}
    return [tone for tone in first if (tone.start, tone.stop, tone.midi) in there]


def _passages(
    analysis: Analysis, shared: list[Tone], pair: tuple[int, int], limits: Limits
) -> Iterator[Finding]:
    if not shared:
        return
    bare = [
        tone
        for tone in shared
        if len(analysis.sounding_at(tone.start) - set(pair)) <= limits["most_others"]
    ]
    if not bare:
        return
    found = [
        one
        for one in stretches(bare, analysis.score.ticks_per_quarter)
        if one.seconds >= limits["least_seconds"]
    ]
    if found:
        names = in_words(analysis.playing.lines[at].name for at in pair)
        seconds = sum(one.seconds for one in found)
        yield Finding(
            "bare-pair-unison",
            tuple(spot_of_tones(analysis.score, analysis.playing, one.tones) for one in found),
            (Evidence("time in bare unison", round(seconds, 1), "s", limits["least_seconds"]),),
            (("instrument", names),),
        )
