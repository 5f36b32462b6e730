"""The check `slur-longer-than-bow`."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.bow import bow_seconds
from redstave.analysis.bowed import Bowed
from redstave.analysis.page import Chord, Slurred, spot
from redstave.checks.needs import bowed, by_tempo, tempo_used
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.line import Tone, level_name


class Long(NamedTuple):
    """A slur that lasts longer than a bow, in seconds, at a mean level."""

    seconds: float
    bow: float
    level: float
    spot: Spot


@check(
    "slur-longer-than-bow",
    Claim.RISK,
    sources=("hoffmann", "common-practice"),
    settings=(
        Setting(
            "tolerance",
            1.5,
            "ratio",
            "a slur is reported when it lasts this many times as long as one bow",
            "common-practice",
        ),
        Setting(
            "least_seconds",
            4.0,
            "s",
            "slurs shorter than this are left alone, however loud: players find the bow for them",
            "common-practice",
        ),
    ),
)
def slur_longer_than_bow(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find slurs of bowed strings for which the bow is too short.

    What it reports
        Slurs over moving notes that last far longer than one bow does at that level on that
        instrument.

    Why it matters
        For string players a slur is one bow. An arc that shows a phrase, as on the keyboard, leaves
        them to decide where to change; sixteen players decide differently, or play too softly
        because they save the bow.

    How it is computed
        A slur lasts from its first note to the end of its last, by the tempo in use. A bow on the
        violin lasts about 12 s at pp, 3 s at mf, 1 s at f and half a second at ff; between these
        levels the time is interpolated, and larger instruments have less. The level is the mean of
        the notes under the slur, hairpins included. Slurs over fewer than three attacks are held
        notes, for which players change unheard.

    Limits
        Plucked and tremolo passages are left out, and so are arcs that contain other slurs, which
        are read as phrase marks. Where the page gives no number for every tempo, the finding is a
        question.

    Sources
        Seconds at pp, mf, f and ff, that larger instruments have less, and that held notes need no
        warning: hoffmann. What lies between, and how much less: common practice, no source. Masters
        write slurs of three seconds at ff; hence the two thresholds.
    """
    found = [
        one
        for part in bowed(analysis)
        for one in _slurs(analysis, part)
        if one.seconds > max(limits["least_seconds"], limits["tolerance"] * one.bow)
    ]
    if found:
        yield _finding(analysis, found)


def _finding(analysis: Analysis, found: list[Long]) -> Finding:
    worst = max(found, key=lambda one: one.seconds / one.bow)
    return Finding(
        "slur-longer-than-bow",
        tuple(one.spot for one in found),
        (
            Evidence("longest slur", round(worst.seconds, 1), "s", round(worst.bow, 1)),
            Evidence("level there", level_name(worst.level)),
            Evidence("slurs", len(found), "slurs"),
            *tempo_used(analysis),
        ),
        claim=by_tempo(analysis, Claim.RISK),
    )


def _slurs(analysis: Analysis, part: Bowed) -> Iterator[Long]:
    tempo = analysis.playing.tempo
    for slur in _bowings(part):
        run = slur.chords
        words = part.told(run[0].start)
        attacks = [chord for chord in run if not chord.head.tie_stop]
        if len(attacks) < 3 or words.bow or words.tremolo or part.strokes(run[0]):
            continue
        level = _level(run, analysis.tone_of)
        if level is not None:
            seconds = tempo.seconds_before(run[-1].stop) - tempo.seconds(run[0].start)
            yield Long(seconds, bow_seconds(level, part.instrument), level, spot(part.part, run))


def _bowings(part: Bowed) -> Iterator[Slurred]:
    """Yield the slurs that hold no other one of their voice: those that do are phrase marks."""
    slurs = sorted(
        part.slurs,
        key=lambda one: (one.chords[0].voice, one.chords[0].start, -one.chords[-1].start),
    )
    for at, slur in enumerate(slurs):
        after = slurs[at + 1] if at + 1 < len(slurs) else None
        if after is None or not _holds(slur, after):
            yield slur


def _holds(slur: Slurred, other: Slurred) -> bool:
    last, within = slur.chords[-1], other.chords[-1]
    return within.voice == last.voice and within.start <= last.start


def _level(run: tuple[Chord, ...], tone_of: Mapping[str, Tone]) -> float | None:
    """Return the mean level of a run of chords over time; None where nothing sounds."""
    tones = [(tone_of[c.head.id], c.stop - c.start) for c in run if c.head.id in tone_of]
    ticks = sum(length for _, length in tones)
    if not ticks:
        return None
    return sum((tone.level + tone.level_stop) / 2 * length for tone, length in tones) / ticks
