"""The check `low-interval-crowded`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.chords_heard import ChordHeard, Run, chords_heard, runs, spots_of
from redstave.analysis.compass import sounding_name
from redstave.analysis.tables import row
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding

MEZZO_FORTE = 5.0


@check(
    "low-interval-crowded",
    Claim.QUESTION,
    sources=("rk", "common-practice"),
    settings=(
        Setting(
            "least_quarters",
            2.0,
            "quarter notes",
            "shorter chords are left alone",
            "common-practice",
        ),
        Setting(
            "least_level", 4.0, "level", "softer chords are left alone (mp)", "common-practice"
        ),
    ),
)
def low_interval_crowded(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about close intervals at the bottom of the orchestra.

    What it reports
        Chords whose two lowest notes lie close together in a depth where such an interval is thick.

    Why it matters
        Low partials lie close for the ear: a third in the depth growls instead of sounding as a
        third, and the harmony above it blurs.

    How it is computed
        The two lowest sustained pitches of each moment, and their interval, are held against the
        table of lowest positions, its uncertainty taken off. Chords as long as least_quarters and
        as loud as least_level are reported, all in one finding.

    Limits
        The limits are soft and come from light music; dark scoring goes below them on purpose.

    Sources
        rk: wide spacing below, close above. The table: see its sources.
    """
    if analysis.slices.start.size == 0:
        raise CannotJudge("no instrument that plays in this score is known")
    low = [
        chord
        for chord in chords_heard(analysis)
        if chord.level >= limits["least_level"] and _crowded(chord)
    ]
    found = list(runs(analysis, low, limits["least_quarters"]))
    if found:
        yield _finding(analysis, found)


def _finding(analysis: Analysis, found: list[Run]) -> Finding:
    lowest = min((run.chords[0] for run in found), key=lambda chord: chord.pitches[0])
    first, second = map(sounding_name, lowest.pitches[:2])
    low = [
        (run, [tone for tone in run.chords[0].tones if _bottom(tone.midi, run.chords[0])])
        for run in found
    ]
    return Finding(
        "low-interval-crowded",
        tuple(spot for run, tones in low for spot in spots_of(analysis, run, tones)),
        (
            Evidence("chords with a close low interval", len(found), "chords"),
            Evidence("lowest of them", f"{first}–{second}"),
        ),
        (("notes", f"{first} and {second}"),),
    )


def _bottom(midi: float, chord: ChordHeard) -> bool:
    return midi in chord.pitches[:2]


def _crowded(chord: ChordHeard) -> bool:
    if len(chord.pitches) < 2:
        return False
    first, second = chord.pitches[:2]
    limit = row("spacing", "low-limit").get(str(round(second - first)))
    return limit is not None and first < limit.number - limit.uncertainties[0]
