"""The check `hollow-or-uneven-chord`."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from redstave.analysis import Analysis
from redstave.analysis.chords_heard import ChordHeard, Run, chords_heard, runs, spots_of
from redstave.analysis.compass import sounding_name
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding


@check(
    "hollow-or-uneven-chord",
    Claim.QUESTION,
    sources=("rk", "common-practice"),
    settings=(
        Setting("least_level", 6.0, "level", "softer chords are left alone (f)", "rk"),
        Setting("widest_gap", 14.0, "semitones", "a wider gap in the middle is asked about", "rk"),
        Setting(
            "least_quarters",
            3.0,
            "quarter notes",
            "shorter chords are left alone",
            "common-practice",
        ),
        Setting(
            "least_pitches", 5.0, "pitches", "thinner chords are left alone", "common-practice"
        ),
    ),
)
def hollow_or_uneven_chord(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about loud chords with a hole in the middle.

    What it reports
        Loud chords of many notes in which two neighbouring pitches, not the two lowest, lie more
        than an octave apart.

    Why it matters
        The ear joins what lies close and hears two groups where there is a hole. At forte a wide
        empty middle sounds hollow, however many play above and below.

    How it is computed
        The sustained pitches of each moment are put in order. The gap above the bass may be wide;
        any other wider than widest_gap is a hole. Chords as long and loud as the settings ask are
        gathered into one finding.

    Limits
        A hole can be the idea: bare octaves and extremes without a middle. Piano is more patient.

    Sources
        rk: upper parts not hollow; a wide empty middle is worst in forte, tolerable in piano.
    """
    if analysis.slices.start.size == 0:
        raise CannotJudge("no instrument that plays in this score is known")
    hollow = [
        chord
        for chord in chords_heard(analysis)
        if len(chord.pitches) >= limits["least_pitches"]
        and chord.level >= limits["least_level"]
        and _gap(chord)[0] > limits["widest_gap"]
    ]
    found = list(runs(analysis, hollow, limits["least_quarters"]))
    if found:
        yield _finding(analysis, found, limits["widest_gap"])


def _finding(analysis: Analysis, found: Sequence[Run], widest: float) -> Finding:
    worst = max((run.chords[0] for run in found), key=lambda chord: _gap(chord)[0])
    gap, below, above = _gap(worst)
    edges = [
        (run, [tone for tone in run.chords[0].tones if tone.midi in _gap(run.chords[0])[1:]])
        for run in found
    ]
    return Finding(
        "hollow-or-uneven-chord",
        tuple(spot for run, tones in edges for spot in spots_of(analysis, run, tones)),
        (
            Evidence("widest gap", round(gap), "semitones", widest),
            Evidence("chords with a gap", len(found), "chords"),
        ),
        (("notes", f"{sounding_name(below)} and {sounding_name(above)}"),),
    )


def _gap(chord: ChordHeard) -> tuple[float, float, float]:
    """Return the widest gap above the bass in semitones, and the pitches on either side."""
    inner = list(pairwise(chord.pitches))[1:]
    if not inner:
        return 0.0, 0.0, 0.0
    below, above = max(inner, key=lambda pair: pair[1] - pair[0])
    return above - below, below, above
