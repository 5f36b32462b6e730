"""The check `wide-string-skip`."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.bowed import Bowed
from redstave.analysis.fingers import hand_of, pair_mm
from redstave.analysis.page import Chord, note_name, spot
from redstave.analysis.rates import rate
from redstave.analysis.strings import strings_of
from redstave.checks.needs import bowed, by_tempo, tempo_used
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot


class Skips(NamedTuple):
    """Notes that skip from string to string: how many a second, the first two, and where."""

    rate: float
    notes: tuple[str, str]
    spot: Spot


@check(
    "wide-string-skip",
    Claim.RISK,
    sources=("common-practice",),
    settings=(
        Setting(
            "least_rate",
            5.0,
            "notes a second",
            "slower figures are left alone: the bow has time to cross",
            "common-practice",
        ),
        Setting(
            "least_skips",
            3.0,
            "skips",
            "reported when so many of them follow each other",
            "common-practice",
        ),
    ),
)
def wide_string_skip(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find quick figures that leap over a string again and again.

    What it reports
        Fast bowed notes of which each lies so far from the one before that neighbouring strings
        cannot give both under one hand.

    Why it matters
        The bow must jump over the string between without touching it, or the hand must leap up and
        down the neck. Keyboard figures, tenths with a pedal note above all, do this; at speed a
        section scratches the middle string.

    How it is computed
        Successive single notes without a rest between are tried on one string and on neighbouring
        strings in every way. Where the fingers would stand further apart than the stretched hand
        reaches, the step is a skip. A run of skips faster than least_rate, by the tempo in use, is
        reported; open strings count as reached.

    Limits
        Plucked notes, tremolo and double stops are left out. Alternation between players of a
        divided stave is judged voice by voice. Where the page gives no number for every tempo, the
        finding is a question.

    Sources
        Common practice, no source. Masters' quick figures hold two such skips in a row at most.
    """
    found = [one for part in bowed(analysis) for one in _skips(analysis, part, limits)]
    if found:
        worst = max(found, key=lambda one: one.rate)
        yield Finding(
            "wide-string-skip",
            tuple(one.spot for one in found),
            (
                Evidence("notes a second", round(worst.rate, 1), "", limits["least_rate"]),
                Evidence("figures", len(found), "figures"),
                *tempo_used(analysis),
            ),
            (("from", worst.notes[0]), ("to", worst.notes[1])),
            by_tempo(analysis, Claim.RISK),
        )


def _skips(analysis: Analysis, part: Bowed, limits: Limits) -> Iterator[Skips]:
    for chords in part.voices.values():
        run: list[Chord] = []
        for before, after in pairwise(chords):
            if _skip(analysis, part, before, after, limits["least_rate"]):
                run = [*(run or [before]), after]
                continue
            yield from _enough(analysis, part, run, limits["least_skips"])
            run = []
        yield from _enough(analysis, part, run, limits["least_skips"])


def _enough(analysis: Analysis, part: Bowed, run: Sequence[Chord], least: float) -> Iterator[Skips]:
    if len(run) - 1 >= least:
        seconds = [analysis.playing.tempo.seconds(chord.start) for chord in run]
        notes = (note_name(run[0].head), note_name(run[1].head))
        yield Skips(rate(seconds), notes, spot(part.part, run))


def _skip(analysis: Analysis, part: Bowed, before: Chord, after: Chord, least_rate: float) -> bool:
    """Tell whether two notes follow each other quickly and lie too far apart."""
    if before.stop != after.start or len(before.notes) > 1 or len(after.notes) > 1:
        return False
    one, other = (analysis.tone_of.get(chord.head.id) for chord in (before, after))
    if one is None or other is None or one is other:
        return False
    if {one.technique, other.technique} & {"pizz", "tremolo", "harmonic"}:
        return False
    if other.start_s - one.start_s > 1.0 / least_rate:
        return False
    hand, strings = hand_of(part.instrument), strings_of(part.instrument, analysis.book)
    if hand is None or strings is None:
        return False
    return pair_mm(one.midi, other.midi, strings, hand, 1) > hand.stretched
