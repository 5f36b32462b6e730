"""The check `division-not-cancelled`."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.bowed import Bowed
from redstave.analysis.division import Says, passages, sayings
from redstave.analysis.page import Chord, spot
from redstave.checks.needs import bowed
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot


class Single(NamedTuple):
    """A single line under a division: how many bars it lasts, and whether the stave parts again."""

    bars: int
    parts_again: bool
    spot: Spot


@check(
    "division-not-cancelled",
    Claim.QUESTION,
    sources=("reading1", "common-practice"),
    settings=(
        Setting(
            "least_bars",
            4.0,
            "bars",
            "so many bars with a single line must follow the divided ones",
            "common-practice",
        ),
    ),
)
def division_not_cancelled(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about sections that divide and are not told to come together again.

    What it reports
        A stave that has divided, goes on with a single line for several bars, and has no unis.,
        tutti or their like between.

    Why it matters
        A single line after a division is read in two ways: by everybody, or by the half whose notes
        it continues while the others rest. With one in doubt on each desk the line is thin.

    How it is computed
        From each word that divides to the next word about dividing the bars are read in which the
        stave sounds. When it has held more than one note at a time, and then holds single notes in
        least_bars sounding bars in a row, the first of them is reported. A word that is followed by
        no double notes at all says nothing about this stave, and is left out, as is a division in
        the name of the stave. There is one finding for the whole score.

    Limits
        Many masters leave the word out and rely on the rests of the other voice: hence a question.
        Rests that are printed for the second half count as a single line.

    Sources
        reading1: unis. cancels div., and both are always explicit.
    """
    sections = [part for part in bowed(analysis) if part.section]
    if not sections:
        raise CannotJudge("no part was recognised as a string section")
    found = [one for part in sections for one in _single(analysis, part, limits["least_bars"])]
    if found:
        again = sum(one.parts_again for one in found)
        yield Finding(
            "division-not-cancelled",
            tuple(one.spot for one in found),
            (
                Evidence("places", len(found), "places"),
                Evidence("longest single line", max(one.bars for one in found), "bars"),
                Evidence("places after which the stave parts again", again, "places"),
            ),
        )


def _single(analysis: Analysis, part: Bowed, least: float) -> Iterator[Single]:
    score = analysis.score
    words = sayings(score, part.part).words
    end = score.bars[-1].start + score.bars[-1].length
    longest = max(bar.length for bar in score.bars)
    several = {
        score.bar_at(place.tick)
        for passage in passages(score, part.part, part.chords, longest)
        for place in passage.places
    }
    for (start, says), (stop, _) in pairwise([*words, (end, Says.NOTHING)]):
        if says is Says.DIVIDED and start >= 0:
            under = [chord for chord in part.chords if start <= chord.start < stop]
            run = _first_single(under, several, least)
            if run:
                last = run[-1].head.bar
                yield Single(
                    len({chord.head.bar for chord in run}),
                    any(chord.head.bar in several for chord in under if chord.head.bar > last),
                    spot(part.part, [chord for chord in run if chord.head.bar == run[0].head.bar]),
                )


def _first_single(under: Sequence[Chord], several: set[int], least: float) -> list[Chord]:
    """Return the chords of the first long run of bars with a single line, after bars with more."""
    divided = False
    run: list[Chord] = []
    for chord in under:
        if chord.head.bar in several:
            if len({one.head.bar for one in run}) >= least:
                break
            divided, run = True, []
        elif divided:
            run.append(chord)
    return run if len({one.head.bar for one in run}) >= least else []
