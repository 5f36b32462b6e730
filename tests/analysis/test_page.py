"""The printed page by time: chords, slurs, clefs, names, entries, and notes not as printed."""

from redstave.analysis.entries import entries
from redstave.analysis.heads import not_as_printed
from redstave.analysis.page import (
    by_stave,
    by_voice,
    chords,
    clef_at,
    in_words,
    note_names,
    slurred,
    spot,
)
from redstave.model.score import Score
from redstave.reading import read_bytes

HEAD = 'title: Page\nmeter: 4/4\nkey: 0\ntempo: 60 "Largo"\npitch: written\n\n'


def page(music: str) -> Score:
    """Read a few bars."""
    return read_bytes((HEAD + music).encode(), "page.tiny")


def test_notes_struck_together_are_one_chord() -> None:
    """Chord members are gathered, graces, rests and hidden spaces left out, voices kept apart."""
    score = page("part Viola | clef=alto\n[C4 E4]/4 r ^D4 E4/4 s/4 & A3/1 | C4/1 |")
    struck = chords(score, score.parts[0])
    beat = score.ticks_per_quarter
    assert [(chord.start // beat, chord.pitches) for chord in struck] == [
        (0, (60.0, 64.0)),
        (0, (57.0,)),
        (2, (64.0,)),
        (4, (60.0,)),
    ]
    assert len(by_voice(struck)) == 2
    assert list(by_stave(struck)) == [1]


def test_notes_under_a_slur_are_those_of_its_voice() -> None:
    """A slur gathers the chords of its own voice from end to end."""
    score = page("part Viola | clef=alto\nE4/4( F4 G4) A4 & C4/4 C4 C4 C4 |")
    (slur,) = slurred(score, score.parts[0])
    assert [chord.pitches for chord in slur.chords] == [(64.0,), (65.0,), (67.0,)]


def test_a_spot_covers_its_chords() -> None:
    """The place of a run of chords begins with the first and ends in the bar of the last."""
    score = page("part Viola | clef=alto\nr/2 E4 | F4/1 |")
    place = spot(score.parts[0], chords(score, score.parts[0]))
    assert (place.bar, place.last_bar, len(place.notes)) == (0, 1, 2)
    assert place.offset == 2 * score.ticks_per_quarter


def test_clef_in_force_at_a_note() -> None:
    """A change of clef holds from its place on."""
    score = page("part Horn in F | clef=treble | transpose=-7\nC4/2 clef:bass C3 | C3/1 |")
    part = score.parts[0]
    assert [clef_at(part, note) for note in part.notes] == ["G", "F", "F"]


def test_note_names_are_those_of_the_page() -> None:
    """Names carry signs and octaves, each once, lowest first."""
    score = page("part Viola | clef=alto\n[Eb4 C4 F#5]/2 C4 |")
    assert note_names(score.parts[0].notes) == "C4, E♭4 and F♯5"
    assert in_words(["a"]) == "a"


def test_entries_are_where_all_staves_were_silent() -> None:
    """A note held on one stave keeps the part from resting."""
    score = page("part Harp | staves=2\nC5/4 r/2. // C3/2 r | r/2 C5 // r/1 |")
    found = list(entries(chords(score, score.parts[0])))
    beat = score.ticks_per_quarter
    assert [(entry.rest // beat, entry.first) for entry in found] == [(0, True), (4, False)]


def test_harmonics_and_circles_are_not_as_printed() -> None:
    """A harmonic sign and a circle written as a word exempt the note they stand at, no other."""
    score = page('part Viola | clef=alto\nC4/4:harmonic D4 "o" E4 F4 |')
    part = score.parts[0]
    exempt = not_as_printed(score, part)
    assert [note.step for note in part.notes if note.id in exempt] == ["C", "E"]


def test_a_tie_carries_the_touched_note_on() -> None:
    """What is tied to a harmonic is a harmonic."""
    score = page("part Viola | clef=alto\nC4/1:harmonic~ | C4/1 | C4/1 |")
    part = score.parts[0]
    exempt = not_as_printed(score, part)
    assert [note.id in exempt for note in part.notes] == [True, True, False]
