"""Tremolos between two notes, which the tiny notation has no sign for."""

from dataclasses import replace

import pytest

from redstave.analysis import Analysis
from redstave.checks import catalogue, run_checks
from redstave.model.finding import Finding
from redstave.model.score import Anchor, Note, Score, Span
from redstave.reading import read_bytes

HEAD = "title: Tremolo\nmeter: 4/4\nkey: 0\ntempo: 120\npitch: written\n\n"


def between(music: str) -> Score:
    """Return a score of one part whose first two notes are a tremolo between them."""
    score = read_bytes((HEAD + music).encode(), "tremolo.tiny")
    (part,) = score.parts
    start, stop = (_anchor(note) for note in part.notes[:2])
    span = Span("s", "tremolo", "start", "1", start, stop)
    return replace(score, parts=(replace(part, spans=(*part.spans, span)),))


def _anchor(note: Note) -> Anchor:
    return Anchor(note.line, note.bar, note.offset, note.stave, note.voice, note.id)


def found(music: str) -> tuple[Finding, ...]:
    """Return what is asked about a tremolo between the first two notes."""
    outcome = run_checks(Analysis(between(music)), [catalogue()["tremolo-reading-ambiguous"]])
    assert outcome.not_assessed == ()
    return outcome.findings


@pytest.mark.parametrize(
    ("part", "notes", "asked"),
    [
        ("Violin | clef=treble", "A3/2 D4", False),
        ("Violin | clef=treble", "A3/2 Eb4", True),
        ("Violoncello | clef=bass", "D2/2 F2", False),
        ("Violoncello | clef=bass", "D2/2 F#2", True),
        ("Violoncello | clef=bass", "C2/2 G2", False),
        ("Violoncello | clef=bass", '"div." D2/2 F#2', False),
    ],
)
def test_a_tremolo_between_two_notes_needs_one_string(part: str, notes: str, asked: bool) -> None:
    """A fourth on the violin, a minor third on the cello (from memory); any with an open string."""
    assert bool(found(f"part {part}\nmf {notes} |")) is asked
