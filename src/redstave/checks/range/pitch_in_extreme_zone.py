"""The check `pitch-in-extreme-zone`."""

from collections.abc import Iterator
from itertools import groupby

from redstave.analysis import Analysis
from redstave.analysis.heads import not_as_printed
from redstave.analysis.page import note_names
from redstave.analysis.stretches import Stretch, spot_of_tones, stretches
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.line import Tone

MEZZO_PIANO = 4.0
LOW_BRASS = 0.5  # low brass notes are slow rather than risky: a semitone counts half (ours)


@check(
    "pitch-in-extreme-zone",
    Claim.QUESTION,
    sources=("handbooks",),
    settings=(
        Setting(
            "least_semitones",
            2.0,
            "semitones",
            "notes nearer than this to the comfortable compass are left alone",
            "common-practice",
        ),
        Setting(
            "least_seconds",
            2.0,
            "s",
            "a passage must stay out there for this long in all; half of it at mp or softer",
            "common-practice",
        ),
    ),
)
def pitch_in_extreme_zone(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find wind passages that dwell at the edge of the compass.

    What it reports
        Wind parts that stay for seconds between the comfortable and the last possible notes of the
        instrument.

    Why it matters
        Such notes can be played, by some, on a good day. They cost tuning, attack and lips, and a
        whole passage of them is a gamble.

    How it is computed
        Each sounding tone is held against the practical compass in the instrument data, with
        least_semitones to spare; low notes of brass, slow rather than risky, count half. The tones
        of a passage are added up in seconds; soft ones count double, since softness fails first.

    Limits
        Notes beyond the extreme compass belong to pitch-outside-instrument. Strings, harmonics and
        percussion are left out. School players have earlier limits than the data.

    Sources
        handbooks: practical compass from memory of the handbooks; each figure names its own source.
    """
    lines = analysis.playing.lines
    winds = {"woodwind", "brass"}
    if not any(line.family in winds and line.instrument in analysis.book for line in lines):
        raise CannotJudge("no part was recognised as a wind instrument")
    strained = list(_strained(analysis, winds, limits["least_semitones"]))
    found = stretches(strained, 2 * analysis.score.ticks_per_quarter)
    long_enough = [stretch for stretch in found if _weight(stretch) >= limits["least_seconds"]]
    for _, members in groupby(long_enough, key=lambda stretch: stretch.line):
        yield _finding(analysis, list(members), limits)


def _strained(analysis: Analysis, families: set[str], least: float) -> Iterator[Tone]:
    """Yield the tones of some families that lie so many semitones beyond what is comfortable."""
    score, lines = analysis.score, analysis.playing.lines
    passed = {note for part in score.parts for note in not_as_printed(score, part)}
    for tone in analysis.playing.tones:
        family = lines[tone.line].family
        if (
            family in families
            and passed.isdisjoint(tone.notes)
            and _beyond(analysis, tone) >= least
        ):
            yield tone


def _beyond(analysis: Analysis, tone: Tone) -> float:
    """Return by how many semitones a tone passes the practical compass; 0 within or outside all."""
    id_ = analysis.playing.lines[tone.line].instrument
    if tone.unpitched or tone.technique == "harmonic" or id_ not in analysis.book:
        return 0.0
    instrument = analysis.book[id_]
    practical, extreme = instrument.practical, instrument.extreme
    if practical is None or extreme is None or not extreme.holds(tone.midi):
        return 0.0
    below = practical.low - tone.midi
    if instrument.family == "brass":
        below *= LOW_BRASS
    return max(below, tone.midi - practical.high, 0.0)


def _weight(stretch: Stretch) -> float:
    return sum(
        (tone.stop_s - tone.start_s) * (2.0 if tone.level <= MEZZO_PIANO else 1.0)
        for tone in stretch.tones
    )


def _finding(analysis: Analysis, same: list[Stretch], limits: Limits) -> Finding:
    score, playing = analysis.score, analysis.playing
    tones = [tone for stretch in same for tone in stretch.tones]
    return Finding(
        "pitch-in-extreme-zone",
        tuple(spot_of_tones(score, playing, stretch.tones) for stretch in same),
        (
            Evidence(
                "time beyond the comfortable compass",
                round(sum(stretch.seconds for stretch in same), 1),
                "s",
                limits["least_seconds"],
            ),
            Evidence(
                "furthest beyond it", max(_beyond(analysis, tone) for tone in tones), "semitones"
            ),
        ),
        (
            ("instrument", playing.lines[same[0].line].name),
            ("notes", note_names(score.notes_by_id[tone.notes[0]] for tone in tones)),
        ),
    )
