"""The check `sustained-triple-stop`."""

from collections import defaultdict
from collections.abc import Iterator
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.doubles import place_spot
from redstave.analysis.held import Stop
from redstave.analysis.page import note_names
from redstave.checks.needs import bowed, by_tempo, tempo_used
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.line import Tone

#: What is said of each kind, and how sure it may sound.
KINDS = {"tremolo": Claim.RISK, "held": Claim.RISK, "soft": Claim.QUESTION}
WAYS = {
    "tremolo": "are to repeat full chords in tremolo",
    "held": "are to sustain full chords",
    "soft": "are to sustain full chords softly",
}


class Full(NamedTuple):
    """A chord of three or four notes: why it is reported, and how long three of them are held."""

    kind: str
    seconds: float
    stop: Stop
    spot: Spot


@check(
    "sustained-triple-stop",
    Claim.RISK,
    sources=("wpstop", "common-practice"),
    settings=(
        Setting(
            "held_seconds",
            1.5,
            "s",
            "three notes together are reported when they are held longer than this",
            "common-practice",
        ),
        Setting(
            "soft_seconds",
            0.6,
            "s",
            "and when they are held longer than this at a soft level",
            "common-practice",
        ),
        Setting(
            "soft_level",
            3.0,
            "levels",
            "the loudest level that counts as soft (ppp is 1, p is 3)",
            "common-practice",
        ),
    ),
)
def sustained_triple_stop(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find chords of three or four notes that the bow is to sustain.

    What it reports
        Triple and quadruple stops that are held long, that are held at a soft level, or that are
        repeated in tremolo.

    Why it matters
        The strings lie on a curve: the bow reaches two of them. Three sound together for a moment
        and with pressure; then the lower notes are gone, and the chord that stands on the page is
        not the chord that sounds.

    How it is computed
        Chords of three or four notes that one player is to hold are taken: nobody divides, and they
        stand on one stem. The time counts for which three of the notes are held, ties included, by
        the tempo in use. A long chord and a tremolo are risks, a soft one is asked about.

    Limits
        Forte chords of half a second to a second and a half are common with the masters, whose
        players let the upper notes go on; hence the threshold. Plucked and broken chords are left
        out. Where the page gives no number for every tempo, the finding is a question.

    Sources
        Three notes together only briefly and at forte, four not at all: wpstop. The thresholds, and
        that soft chords and tremolo are unsuitable: common practice, no source.
    """
    bowed(analysis)
    found: dict[str, list[Full]] = defaultdict(list)
    for one in _full(analysis, limits):
        found[one.kind].append(one)
    for kind, claim in KINDS.items():
        if kind in found:
            yield _finding(analysis, found[kind], claim)


def _finding(analysis: Analysis, chords: list[Full], claim: Claim) -> Finding:
    longest = max(chords, key=lambda one: one.seconds)
    notes = [note for chord in longest.stop.place.chords for note in chord.notes]
    return Finding(
        "sustained-triple-stop",
        tuple(one.spot for one in chords),
        (
            Evidence("longest time three notes are held", round(longest.seconds, 1), "s"),
            Evidence("chords", len(chords), "chords"),
            *tempo_used(analysis),
        ),
        (("notes", note_names(notes)), ("way", WAYS[longest.kind])),
        claim if longest.kind == "tremolo" else by_tempo(analysis, claim),
    )


def _full(analysis: Analysis, limits: Limits) -> Iterator[Full]:
    tempo = analysis.playing.tempo
    for run in analysis.stops:
        for stop in run.stops:
            tones = _tones(analysis, stop)
            if len(tones) < 3 or any(tone.technique == "pizz" for tone in tones):
                continue
            if all(tone.start < stop.place.tick for tone in tones):
                continue  # tied over: the chord has been counted
            until = sorted(tone.stop for tone in tones)[-3]
            seconds = tempo.seconds_before(until) - tempo.seconds(stop.place.tick)
            kind = _kind(tones, seconds, limits)
            if kind:
                yield Full(kind, seconds, stop, place_spot(run.part, (stop.place,)))


def _tones(analysis: Analysis, stop: Stop) -> list[Tone]:
    """Return the tones of a chord, one for each pitch."""
    ids = [note for chord in stop.place.chords for note in chord.ids]
    by_pitch = {analysis.tone_of[id_].midi: analysis.tone_of[id_] for id_ in ids}
    return list(by_pitch.values())


def _kind(tones: list[Tone], seconds: float, limits: Limits) -> str:
    if any(tone.technique == "tremolo" for tone in tones):
        return "tremolo"
    if seconds > limits["held_seconds"]:
        return "held"
    level = max(max(tone.level, tone.level_stop) for tone in tones)
    soft = level <= limits["soft_level"] and all(tone.level_known for tone in tones)
    return "soft" if soft and seconds > limits["soft_seconds"] else ""
