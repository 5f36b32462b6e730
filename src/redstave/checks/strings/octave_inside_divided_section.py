"""The check `octave-inside-divided-section`."""

from collections.abc import Iterator
from itertools import groupby

from redstave.analysis import Analysis
from redstave.analysis.bowed import Bowed
from redstave.analysis.division import Passage, Place, Says, passages
from redstave.analysis.doubles import place_spot
from redstave.checks.needs import bowed
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding

LOW_STRINGS = frozenset({"viola", "cello", "double-bass"})
OCTAVE = 12


@check(
    "octave-inside-divided-section",
    Claim.QUESTION,
    sources=("rk", "common-practice"),
    settings=(
        Setting(
            "least_chords",
            4.0,
            "chords",
            "asked about when so many octaves follow each other",
            "common-practice",
        ),
    ),
)
def octave_inside_divided_section(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about violas, cellos or basses that divide in order to play in octaves.

    What it reports
        Runs of octaves between the halves of one divided section of violas, cellos or double
        basses.

    Why it matters
        The two halves play on unlike strings, so the octave does not sound of one piece, and each
        half is only half a section. Two sections in octaves are fuller and more even.

    How it is computed
        Where a word divides the section, the places with two notes are read in order. A run of
        octaves (one or more octaves apart, as written) is reported when it is long enough.

    Limits
        Violins are left out: in them the octave sounds well. Halves on two staves are not compared.
        Octaves without a word about dividing are for division-not-marked.

    Sources
        rk: divided like strings in octaves are to be avoided, violins excepted. How many make a
        habit: common practice, no source.
    """
    sections = [part for part in bowed(analysis) if part.section]
    if not sections:
        raise CannotJudge("no part was recognised as a string section")
    runs = [
        (part, run)
        for part in sections
        if part.instrument in LOW_STRINGS
        for run in _runs(analysis, part)
        if len(run) >= limits["least_chords"]
    ]
    if runs:
        yield Finding(
            "octave-inside-divided-section",
            tuple(place_spot(part.part, run) for part, run in runs),
            (Evidence("octaves", sum(len(run) for _, run in runs), "octaves"),),
        )


def _runs(analysis: Analysis, part: Bowed) -> Iterator[tuple[Place, ...]]:
    longest = max(bar.length for bar in analysis.score.bars)
    for passage in passages(analysis.score, part.part, part.chords, longest):
        if passage.says is Says.DIVIDED:
            yield from _octaves(passage)


def _octaves(passage: Passage) -> Iterator[tuple[Place, ...]]:
    for octaves, places in groupby(passage.places, _is_octave):
        if octaves:
            yield tuple(places)


def _is_octave(place: Place) -> bool:
    pitches = {note.written_midi for chord in place.chords for note in chord.notes}
    return len(pitches) == 2 and (max(pitches) - min(pitches)) % OCTAVE == 0
