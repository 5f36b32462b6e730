"""The check `courtesy-accidental-missing`."""

from collections.abc import Iterator, Sequence

from redstave.analysis import Analysis
from redstave.analysis.page import note_names
from redstave.checks.grouping import joined
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.score import Note, Part
from redstave.players.lines import printed_name

SIGN = "accidental"


@check(
    "courtesy-accidental-missing",
    Claim.QUESTION,
    sources=("iu", "common-practice"),
    settings=(
        Setting(
            "least_places",
            3.0,
            "places",
            "fewer of them in the whole score are left alone",
            "common-practice",
        ),
    ),
    on=False,
)
def courtesy_accidental_missing(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about notes that lose an accidental at the barline without a sign to remind the player.

    What it reports
        A note that stands in the bar before with another accidental, at the same place of the
        stave, and carries no sign of its own.

    Why it matters
        The barline takes every accidental back, and every player knows it; yet the eye keeps what
        it has just read, and half a section plays the old note at the first rehearsal. A sign in
        time costs nothing.

    How it is computed
        On each stave the last alteration of every line and space in a bar is compared with the
        first note on it in the next bar. Where they differ and no accidental is printed, the place
        counts. One finding is made of all of them.

    Limits
        The same note in another octave or another part is not looked at. Engravers differ, and so
        do masters' editions, which lack about seven such signs in a hundred bars: this check is off
        until it is asked for. A file that holds no accidentals at all is not assessed.

    Sources
        iu: courtesy accidentals after the barline. How many are worth a question: common practice.
    """
    pitched = [note for part in analysis.score.parts for note in part.notes if note.step]
    if any(note.alter for note in pitched) and not any(_signed(note) for note in pitched):
        raise CannotJudge("the file does not say which accidentals are printed")
    found = [(part, note) for part in analysis.score.parts for note in _unsigned(part)]
    if found and len(found) >= limits["least_places"]:
        yield _finding(analysis, found)


def _finding(analysis: Analysis, found: Sequence[tuple[Part, Note]]) -> Finding:
    part, note = found[0]
    return Finding(
        "courtesy-accidental-missing",
        joined(
            Spot(one.bar, one.offset, of.id, one.stave, one.bar, (one.id,)) for of, one in found
        ),
        (Evidence("notes without a reminder", len(found), "notes"),),
        (
            ("notes", note_names([note])),
            ("place", f"bar {analysis.score.bars[note.bar].number}, {printed_name(part)}"),
        ),
    )


def _unsigned(part: Part) -> Iterator[Note]:
    """Yield the notes of a part whose place on the stave was altered otherwise a bar before."""
    last: dict[tuple[int, str, int], Note] = {}
    for note in sorted(part.notes, key=lambda one: (one.bar, one.offset)):
        if note.kind != "pitched" or note.grace or note.cue:
            continue
        place = note.stave, note.step, note.octave
        before = last.get(place)
        last[place] = note
        if before is None or before.bar != note.bar - 1 or before.alter == note.alter:
            continue
        if not note.tie_stop and not _signed(note):
            yield note


def _signed(note: Note) -> bool:
    return any(name == SIGN for name, _ in note.details)
