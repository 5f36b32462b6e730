"""The check `pitch-outside-instrument`."""

import re
from collections.abc import Iterator
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.compass import highest, lowest, sounding_name
from redstave.analysis.page import in_words, marks_by_note, note_names
from redstave.checks.grouping import gathered
from redstave.checks.registry import CannotJudge, Limits, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.line import Tone
from redstave.model.score import Part, Score

#: Noteheads that do not show the sounding pitch.
OTHER_HEADS = frozenset({"diamond", "x", "cross", "circle-x", "slash", "triangle", "none"})
#: Signs that make another pitch sound than the one printed.
OTHER_SIGNS = frozenset({"harmonic", "scordatura"})
RETUNED = re.compile(r"\bscordat|\bverstimm|\bumstimm|\bretune|\btune (?:down|to)\b", re.IGNORECASE)


class Beyond(NamedTuple):
    """Which end of which instrument's compass is passed, and whether that is proved."""

    instrument: str
    side: str  # "below" or "above"
    limit: float
    proved: bool


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
        Harmonics, noteheads that do not show the sounding pitch, cues, graces and hidden notes are
        passed over, and so is a part that says it is retuned.

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
    retuned = {part.id for part in analysis.score.parts if _is_retuned(part)}
    found = [
        (beyond, _spot(analysis.score, lines[tone.line].part, tone))
        for tone in analysis.playing.tones
        if lines[tone.line].part not in retuned
        and (beyond := _beyond(analysis, tone)) is not None
        and not _shows_another_pitch(analysis, tone)
    ]
    for beyond, spots in gathered(found):
        yield _finding(analysis.score, beyond, spots)


def _beyond(analysis: Analysis, tone: Tone) -> Beyond | None:
    id_ = analysis.playing.lines[tone.line].instrument
    if tone.unpitched or id_ not in analysis.book:
        return None
    instrument = analysis.book[id_]
    written = analysis.score.notes_by_id[tone.notes[0]].written_midi
    low, high = lowest(instrument, round(tone.midi - written)), highest(instrument)
    if low is not None and tone.midi < low.limit:
        return Beyond(instrument.name, "below", low.limit, tone.midi < low.sure)
    if high is not None and tone.midi > high.limit:
        return Beyond(instrument.name, "above", high.limit, tone.midi > high.sure)
    return None


def _shows_another_pitch(analysis: Analysis, tone: Tone) -> bool:
    notes = [analysis.score.notes_by_id[note] for note in tone.notes]
    marks = marks_by_note(analysis.score.parts_by_id[analysis.playing.lines[tone.line].part])
    return (
        tone.technique == "harmonic"
        or any(mark.name in OTHER_SIGNS for note in notes for mark in marks.get(note.id, ()))
        or any(dict(note.details).get("notehead") in OTHER_HEADS for note in notes)
    )


def _is_retuned(part: Part) -> bool:
    return any(RETUNED.search(mark.text) for mark in part.marks_of("word"))


def _spot(score: Score, part: str, tone: Tone) -> Spot:
    first, last = score.notes_by_id[tone.notes[0]], score.notes_by_id[tone.notes[-1]]
    return Spot(first.bar, first.offset, part, first.stave, last.bar, tone.notes)


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
        Claim.IMPOSSIBLE if beyond.proved else Claim.RISK,
    )
