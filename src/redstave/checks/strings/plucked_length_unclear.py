"""The check `plucked-length-unclear`."""

from collections.abc import Iterator
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.bowed import Bowed
from redstave.analysis.modes import forgotten_arco
from redstave.analysis.page import Chord, spot
from redstave.checks.needs import bowed, tempo_used
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot


class Plucked(NamedTuple):
    """The plucked chords of a part: how many, those with let-ring ties, those held long."""

    notes: int
    ringing: int
    held: int
    spot: Spot


@check(
    "plucked-length-unclear",
    Claim.QUESTION,
    sources=("common-practice",),
    settings=(
        Setting(
            "least_notes",
            6.0,
            "notes",
            "a part with fewer plucked chords is left alone",
            "common-practice",
        ),
        Setting(
            "share",
            0.5,
            "share",
            "asked about when at least this part of them has a let-ring tie, or is held long",
            "common-practice",
        ),
        Setting(
            "long_seconds",
            2.0,
            "s",
            "a plucked note of this length is written longer than it rings",
            "common-practice",
        ),
    ),
)
def plucked_length_unclear(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about plucked notes whose length on the page says nothing about their sound.

    What it reports
        Parts in which most plucked notes have let-ring ties, or are written far longer than a
        plucked string sounds.

    Why it matters
        Players read the value as the moment to stop the string. A tie that rings on after every
        note is noise on the page, and a value longer than the sound leaves open whether the note
        should be damped at the next rest.

    How it is computed
        In each part the plucked chords are counted, those with a let-ring tie, and those whose
        value, ties included, lasts long_seconds or more by the tempo in use. A part is asked about
        when one of the two makes up the share given of all its plucked chords.

    Limits
        The last chord of the part is left out, since final chords are meant to ring. What stands
        under pizz. because an arco was forgotten is told by mode-never-cancelled only.

    Sources
        Real values and rests for pizzicato, let-ring ties for the exception: common practice, no
        source.
    """
    found = [
        one
        for part in bowed(analysis)
        if (one := _plucked(analysis, part, limits["long_seconds"])) is not None
        and one.notes >= limits["least_notes"]
        and max(one.ringing, one.held) >= limits["share"] * one.notes
    ]
    if found:
        told = (
            Evidence("plucked chords", sum(one.notes for one in found), "chords"),
            Evidence("with let-ring ties", sum(one.ringing for one in found), "chords"),
            Evidence("held long", sum(one.held for one in found), "chords", limits["long_seconds"]),
            *tempo_used(analysis),
        )
        yield Finding("plucked-length-unclear", tuple(one.spot for one in found), told)


def _plucked(analysis: Analysis, part: Bowed, long_seconds: float) -> Plucked | None:
    forgotten = tuple(forgotten_arco(part, analysis.tone_of))
    chords = [
        chord
        for chord in part.chords[:-1]
        if _is_plucked(analysis, chord)
        and not any(one.start <= chord.start < one.stop for one in forgotten)
    ]
    ringing = [chord for chord in chords if any(note.let_ring for note in chord.notes)]
    written = [chord for chord in chords if chord not in ringing]  # not told to ring on
    held = [chord for chord in written if _seconds(analysis, chord) >= long_seconds]
    shown = ringing if len(ringing) >= len(held) else held
    if not shown:
        return None
    return Plucked(len(chords), len(ringing), len(held), spot(part.part, shown))


def _is_plucked(analysis: Analysis, chord: Chord) -> bool:
    tone = analysis.tone_of.get(chord.head.id)
    return not chord.head.tie_stop and tone is not None and tone.technique == "pizz"


def _seconds(analysis: Analysis, chord: Chord) -> float:
    tone = analysis.tone_of[chord.head.id]
    return tone.stop_s - tone.start_s
