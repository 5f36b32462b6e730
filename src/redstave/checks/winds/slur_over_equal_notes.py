"""The check `slur-over-equal-notes`."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import pairwise

from redstave.analysis import Analysis
from redstave.analysis.page import (
    Chord,
    Slurred,
    in_words,
    marks_by_note,
    note_names,
    slurred,
    spot,
)
from redstave.analysis.staffing import Staffing, staffing
from redstave.checks.grouping import gathered
from redstave.checks.registry import CannotJudge, Limits, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.score import Mark, Part, Score

Extent = tuple[int, int]  # first and last attack under a slur, in ticks

#: Marks that say how the repeated note is tongued, or that it is no plain repeated note.
TELLS = frozenset(
    {"articulation", "technical", "tremolo", "ornament", "breath", "fermata", "arpeggio"}
)


@check("slur-over-equal-notes", Claim.QUESTION, sources=("meleko", "pimentel", "silverman"))
def slur_over_equal_notes(analysis: Analysis, _limits: Limits) -> Iterator[Finding]:
    """Ask how equal notes under a wind slur are meant.

    What it reports
        Two neighbouring notes of the same pitch under one slur on a woodwind or brass stave,
        without a tie between them and without dots or dashes.

    Why it matters
        In winds a slur means that only its first note is tongued. A repeated pitch cannot be joined
        that way: it is either one longer note (a tie) or tongued again, softly (dashes) or more
        firmly (dots). Without either mark each player decides for himself, and a dotted rhythm on
        one pitch loses its edges.

    How it is computed
        For each slur that begins and ends in one voice, neighbouring chords without a rest between
        them are compared by written pitch. A pair is passed over when it is tied, when either note
        bears an articulation, a tremolo or an ornament, when a smaller slur ends or begins between
        the two (the long one is then a phrase mark), or when only one note of a chord is repeated.
        A single pair is passed over too while another part of the same instrument moves under a
        slur of the same extent: the second player then follows the first.

    Limits
        A slur drawn over a voice of a shared stave is read for that voice only. Strings are left
        out: there the same sign is a bowing.

    Sources
        meleko (the reading of slurs over equal notes in winds), pimentel (nested slurs), silverman
        (a slur between equal pitches is suspect).
    """
    crew = staffing(analysis.playing).items()
    winds = {part: who for part, who in crew if who.family in ("woodwind", "brass")}
    if not winds:
        raise CannotJudge("no part was recognised as a wind instrument")
    names = {place: name for name, place in _equal(analysis.score, winds)}
    for _, spots in gathered(("", place) for place in names):
        told = in_words(dict.fromkeys(names[place] for place in spots))
        count = sum(len(place.notes) for place in spots)
        told_count = Evidence("equal notes under a slur", count, "notes")
        yield Finding("slur-over-equal-notes", spots, (told_count,), (("notes", told),))


def _equal(score: Score, winds: Mapping[str, Staffing]) -> Iterator[tuple[str, Spot]]:
    """Yield the names of equal notes under a slur, and their places."""
    moving = _moving(score, winds)
    for part in score.parts:
        if part.id in winds:
            yield from _places(score, part, moving[winds[part.id].instrument])


def _moving(score: Score, winds: Mapping[str, Staffing]) -> Mapping[str, frozenset[Extent]]:
    """Return the extents of slurs under which each instrument moves throughout."""
    found: dict[str, set[Extent]] = defaultdict(set)
    for part in score.parts:
        for slur in slurred(score, part) if part.id in winds else ():
            pairs = pairwise(slur.chords)
            if len(slur.chords) > 1 and all(one.pitches != two.pitches for one, two in pairs):
                found[winds[part.id].instrument].add(_extent(slur))
    return defaultdict(frozenset, {name: frozenset(extents) for name, extents in found.items()})


def _extent(slur: Slurred) -> Extent:
    return slur.chords[0].start, slur.chords[-1].start


def _places(score: Score, part: Part, moving: frozenset[Extent]) -> Iterator[tuple[str, Spot]]:
    marks, ends = marks_by_note(part), _ends(part)
    for slur in slurred(score, part):
        for run in _runs(slur, marks, ends):
            if len(run) > 2 or _extent(slur) not in moving:
                yield note_names(run[0].notes), spot(part, run)


def _ends(part: Part) -> dict[str, set[str]]:
    """Return the ids of the slurs that begin or end on each note."""
    found: dict[str, set[str]] = {}
    for span in part.spans_of("slur"):
        for anchor in (span.start, span.stop):
            if anchor is not None and anchor.note:
                found.setdefault(anchor.note, set()).add(span.id)
    return found


def _runs(
    slur: Slurred, marks: Mapping[str, tuple[Mark, ...]], ends: Mapping[str, set[str]]
) -> Iterator[list[Chord]]:
    """Yield the runs of equal chords under a slur whose repetition nothing explains."""
    run: list[Chord] = []
    for one, two in pairwise(slur.chords):
        if _unexplained(one, two, marks) and not _divided(one, two, slur.span.id, ends):
            run = [*(run or [one]), two]
        elif run:
            yield run
            run = []
    if run:
        yield run


def _unexplained(one: Chord, two: Chord, marks: Mapping[str, tuple[Mark, ...]]) -> bool:
    plain = not any(
        mark.kind in TELLS for note in (*one.ids, *two.ids) for mark in marks.get(note, ())
    )
    tied = any(note.tie_stop for note in two.notes) or any(note.tie_start for note in one.notes)
    pitched = all(note.kind == "pitched" for note in (*one.notes, *two.notes))
    return pitched and plain and not tied and one.stop == two.start and one.pitches == two.pitches


def _divided(one: Chord, two: Chord, slur: str, ends: Mapping[str, set[str]]) -> bool:
    """Tell whether another slur ends on the first or begins on the second of two chords."""
    return any(ends.get(note, set()) - {slur} for note in (*one.ids, *two.ids))
