"""Registers that only speak loudly, or only softly: zones of written pitch, as data says."""

from collections.abc import Sequence
from typing import NamedTuple

from redstave.analysis.page import note_names
from redstave.analysis.stretches import Stretch, spot_of_tones
from redstave.analysis.tables import row
from redstave.instruments import InstrumentBook
from redstave.model.finding import Evidence, Spot
from redstave.model.line import Playing, Tone, level_name
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


class Told(NamedTuple):
    """What is to be said of a line that plays at a level its register does not allow."""

    spots: tuple[Spot, ...]
    evidence: tuple[Evidence, ...]
    facts: tuple[tuple[str, str], ...]


def told(
    score: Score, playing: Playing, same: Sequence[Stretch], marked: float, safe: float
) -> Told:
    """Tell of stretches of one line that are marked at one level and lie where another is safe."""
    tones = [tone for stretch in same for tone in stretch.tones]
    seconds = round(sum(stretch.seconds for stretch in same), 1)
    return Told(
        tuple(spot_of_tones(score, playing, stretch.tones) for stretch in same),
        (
            Evidence("level marked", level_name(marked), "", level_name(safe)),
            Evidence("time in the register", seconds, "s"),
        ),
        (
            ("instrument", playing.lines[same[0].line].name),
            ("notes", note_names(score.notes_by_id[tone.notes[0]] for tone in tones)),
            ("level", level_name(marked)),
            ("safe", level_name(safe)),
        ),
    )
