"""The check `pitch-outside-instrument`."""

import re
from collections.abc import Iterator
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.compass import highest, lowest, sounding_name
from redstave.analysis.heads import not_as_printed
from redstave.analysis.page import clef_at, in_words, note_names
from redstave.checks.grouping import gathered
from redstave.checks.registry import CannotJudge, Limits, check
from redstave.instruments import Instrument
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.line import Tone
from redstave.model.score import Part, Score

#: Instruments whose low notes are written in the bass clef in either of two octaves.
TWO_OCTAVES = frozenset({"horn", "wagner-tuba", "bass-clarinet", "basset-horn"})
OCTAVE = 12.0
RETUNED = re.compile(r"\bscordat|\bverstimm|\bumstimm|\bretune|\btune (?:down|to)\b", re.IGNORECASE)


class Beyond(NamedTuple):
    """Which end of which instrument's compass is passed, and how sure that is."""

    instrument: str
    side: str  # "below" or "above"
    limit: float
    claim: Claim


@check(
    "pitch-outside-instrument",
    Claim.IMPOSSIBLE,
    sources=("orchlib", "ency", "bct", "papa", "common-practice"),
)
def pitch_outside_instrument(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find notes that the instrument does not have.

    What it reports
        Notes below the lowest or above the highest pitch of the instrument that is to play them.

    Why it matters
        Nobody can play them. The player leaves them out, takes them in another octave, or asks in
        the rehearsal. Very often the cause is a transposition declared twice or not at all.

    How it is computed
        Each sounding tone is held against the extreme compass in the instrument data. Beyond the
        uncertainty stated there the claim is that it is impossible; within it, that it is a risk.
        Woodwind parts that are written transposed have their lowest key as an exact floor, which
        moves with the transposition: a clarinet in A goes a semitone lower than one in B flat.
        Where the note would be good in the octave in which this instrument usually sounds, it is
        asked whether the octave was left out of the transposition. Passed over: harmonics and
        touched notes, cues, graces and hidden notes, parts that say they are retuned, and low notes
        of horns and bass clarinets in the bass clef, which is written in either of two octaves.

    Limits
        Notes that are only difficult are not reported. Parts whose instrument was not recognised
        are left out; if that is all of them, the check is not assessed.

    Sources
        orchlib for most woodwind, ency and bct for trombones, papa for timpani; the rest from
        memory of the handbooks. Each figure in the instrument data names its own source.
    """
    lines = analysis.playing.lines
    if not any(line.instrument in analysis.book for line in lines):
        names = in_words(dict.fromkeys(part.name or part.id for part in analysis.score.parts))
        raise CannotJudge(f"no part has an instrument that was recognised ({names})")
    found = [item for part in analysis.score.parts for item in _outside(analysis, part)]
    for beyond, spots in gathered(found):
        yield _finding(analysis.score, beyond, spots)


def _outside(analysis: Analysis, part: Part) -> Iterator[tuple[Beyond, Spot]]:
    """Yield the tones of a part that its instrument does not have."""
    lines = analysis.playing.lines
    outside = [
        (tone, beyond)
        for tone in analysis.playing.tones
        if lines[tone.line].part == part.id
        and (beyond := _beyond(analysis, part, tone)) is not None
        and tone.technique != "harmonic"
    ]
    if not outside or _is_retuned(part):
        return
    other = not_as_printed(analysis.score, part)
    for tone, beyond in outside:
        if other.isdisjoint(tone.notes):
            yield beyond, _spot(analysis.score, part, tone)


def _beyond(analysis: Analysis, part: Part, tone: Tone) -> Beyond | None:
    id_ = analysis.playing.lines[tone.line].instrument
    if tone.unpitched or id_ not in analysis.book:
        return None
    instrument = analysis.book[id_]
    note = analysis.score.notes_by_id[tone.notes[0]]
    shift = round(tone.midi - note.written_midi)
    low, high = lowest(instrument, shift), highest(instrument)
    if low is None or high is None or low.limit <= tone.midi <= high.limit:
        return None
    below = tone.midi < low.limit
    if below and id_ in TWO_OCTAVES and clef_at(part, note) == "F":
        return None
    edge = low if below else high
    claim = Claim.IMPOSSIBLE if abs(tone.midi - edge.limit) > edge.doubt else Claim.RISK
    if _fits_in_another_octave(instrument, shift, tone.midi, low.limit, high.limit):
        claim = Claim.QUESTION
    return Beyond(instrument.name, "below" if below else "above", edge.limit, claim)


def _fits_in_another_octave(
    instrument: Instrument, shift: int, midi: float, low: float, high: float
) -> bool:
    """Tell whether the note is good at the octave in which this instrument usually sounds."""
    return any(
        low <= midi + usual - shift <= high
        for usual in instrument.transpositions
        if usual != shift and (usual - shift) % OCTAVE == 0
    )


def _is_retuned(part: Part) -> bool:
    told = any(RETUNED.search(mark.text) for mark in part.marks_of("word"))
    return told or any(mark.name == "scordatura" for mark in part.marks_of("other"))


def _spot(score: Score, part: Part, tone: Tone) -> Spot:
    first, last = score.notes_by_id[tone.notes[0]], score.notes_by_id[tone.notes[-1]]
    return Spot(first.bar, first.offset, part.id, first.stave, last.bar, tone.notes)


def _finding(score: Score, beyond: Beyond, spots: tuple[Spot, ...]) -> Finding:
    notes = [score.notes_by_id[note] for place in spots for note in place.notes]
    limit = sounding_name(beyond.limit)
    return Finding(
        "pitch-outside-instrument",
        spots,
        (Evidence(f"notes {beyond.side} the compass", len(spots), "notes"),),
        (
            ("instrument", beyond.instrument),
            ("notes", note_names(notes)),
            ("side", beyond.side),
            ("limit", limit),
        ),
        beyond.claim,
    )
