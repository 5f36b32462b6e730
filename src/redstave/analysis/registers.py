"""Registers that only speak loudly, or only softly: zones of written pitch, as data says."""

from typing import NamedTuple

from redstave.analysis.tables import row
from redstave.instruments import InstrumentBook
from redstave.model.line import Playing, Tone
from redstave.model.score import Score

FIRMLY = 0.75  # a level must pass the zone's by this much of a written step


class Zone(NamedTuple):
    """A zone of written pitch (MIDI numbers, both inside) and the level it is doubtful beyond."""

    low: float
    high: float
    level: float


class Doubtful(NamedTuple):
    """A tone in a zone in which its level is doubtful."""

    tone: Tone
    zone: Zone


def zones(kind: str, instrument: str) -> tuple[Zone, ...]:
    """Return the zones of an instrument; `kind` is "soft" or "loud"."""
    found = row("registers", kind).get(instrument)
    return tuple(Zone(*values) for values in found.rows) if found else ()


def doubtful(
    kind: str, score: Score, playing: Playing, book: InstrumentBook
) -> tuple[Doubtful, ...]:
    """Return the tones that are told to play softer (or louder) than their register lets them.

    Woodwind registers follow the fingers, hence the written note; brass registers follow the sound,
    told as if written for the usual instrument, so that a horn in C is judged as one in F. Muted,
    stopped and harmonic tones are left out, as are levels that had to be assumed.
    """
    found: list[Doubtful] = []
    known = {line.instrument: zones(kind, line.instrument) for line in playing.lines}
    for tone in playing.tones:
        here = known[playing.lines[tone.line].instrument]
        if not here or tone.technique or tone.unpitched or not tone.level_known:
            continue
        line = playing.lines[tone.line]
        midi = score.notes_by_id[tone.notes[0]].written_midi
        if line.family == "brass":
            midi = tone.midi - book[line.instrument].transpositions[0]
        for zone in here:
            past = zone.level - tone.level if kind == "soft" else tone.level - zone.level
            if zone.low <= midi <= zone.high and past >= FIRMLY:
                found.append(Doubtful(tone, zone))
    return tuple(found)
