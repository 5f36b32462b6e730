"""The check `one-chord-tone-thick`."""

from collections import defaultdict
from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.choirs import Choir, choirs
from redstave.analysis.page import in_words
from redstave.analysis.stretches import spot_of_tones
from redstave.checks.grouping import gathered
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.line import Tone


@check(
    "one-chord-tone-thick",
    Claim.RISK,
    sources=("rk", "common-practice"),
    settings=(
        Setting("most_level", 4.0, "level", "louder chords are left alone (mp)", "rk"),
        Setting(
            "least_voices", 4.0, "voices", "a choir of fewer lines is left alone", "common-practice"
        ),
        Setting(
            "least_attacks",
            3.0,
            "attacks",
            "fewer chords in a bar are left alone",
            "common-practice",
        ),
    ),
)
def one_chord_tone_thick(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find soft wind chords in which one inner note has two players.

    What it reports
        A soft choir of winds with one player to each note, except one note, neither the top nor the
        bass, that two of them play in unison.

    Why it matters
        In a delicate chord every note is one voice. The note with two players steps out, most of
        all if one of them is a horn, and the ear takes an inner part for the tune.

    How it is computed
        Lines that move in one rhythm through a bar are a choir. Its pitches are followed chord by
        chord; where the same line pair shares an inner pitch in every chord of the bar, and all
        other notes have one player, the bar is reported. Neighbouring bars are one finding.

    Limits
        Doubling at the octave is not thickening and not counted. A thick root can be wanted.

    Sources
        rk: chords are even where each note has the same weight. The rest: common practice.
    """
    lines = analysis.playing.lines
    if not any(line.family in {"woodwind", "brass"} for line in lines):
        raise CannotJudge("no part was recognised as a wind instrument")
    for names, spots in gathered(_thick(analysis, limits)):
        yield Finding(
            "one-chord-tone-thick",
            spots,
            (Evidence("players on one note", 2, "players", 1),),
            (("instrument", names),),
        )


def _thick(analysis: Analysis, limits: Limits) -> Iterator[tuple[str, Spot]]:
    """Yield the names of two players who share an inner note all through a bar, and where."""
    score, playing = analysis.score, analysis.playing
    for choir in choirs(score, playing):
        if choir.family in {"woodwind", "brass"} and choir.attacks >= limits["least_attacks"]:
            pair = _pair(choir, limits)
            names = sorted(playing.lines[tone.line].name for tone in pair)
            for tone in pair:
                yield in_words(names), spot_of_tones(score, playing, [tone])


def _pair(choir: Choir, limits: Limits) -> list[Tone]:
    """Return the first tones of the two lines that share an inner pitch all through a bar."""
    if len(choir.voices) < limits["least_voices"]:
        return []
    if any(voice.level is None or voice.level > limits["most_level"] for voice in choir.voices):
        return []
    pairs = [_doubled(choir, attack) for attack in range(choir.attacks)]
    if not pairs or pairs[0] is None or any(pair != pairs[0] for pair in pairs):
        return []
    return [voice.tones[0] for voice in choir.voices if voice.line in pairs[0]]


def _doubled(choir: Choir, attack: int) -> tuple[int, ...] | None:
    """Return the two lines on the one doubled inner pitch of a chord; None for any other chord."""
    by_pitch: dict[float, list[int]] = defaultdict(list)
    for voice in choir.voices:
        if len(voice.tones) <= attack:
            return None
        by_pitch[voice.tones[attack].midi].append(voice.line)
    double = [pitch for pitch, lines in by_pitch.items() if len(lines) > 1]
    inner = len(double) == 1 and min(by_pitch) < double[0] < max(by_pitch)
    return tuple(by_pitch[double[0]]) if inner and len(by_pitch[double[0]]) == 2 else None
