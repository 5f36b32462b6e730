"""Systems are planned so that every bar is shown once, in lines that fill the page."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from redstave.base.errors import InputError
from redstave.reading import read_bytes
from redstave.render.systems import Layout, Notes, Pitch, layout_of, plan
from redstave.render.systems.widths import bar_widths

SCORE = """\
title: Three
meter: 4/4
part Flute | abbr=Fl.
{flute}
part Horn in F | abbr=Hn. | transpose=-7
{horn}
part Viola | clef=alto | abbr=Vla.
{viola}
"""
FAMILY = {"P1": "woodwind", "P2": "brass", "P3": "strings"}


def score(bars: int = 24, horn_from: int = 12):
    """Return a score in which the horn enters late and the viola plays throughout."""
    text = SCORE.format(
        flute="C5/8 D5 E5 F5 G5 A5 B5 C6 | " * bars,
        horn="R | " * horn_from + "C4/1 | " * (bars - horn_from),
        viola="C4/2 D4 | " * bars,
    )
    return read_bytes(text.encode(), "three.tiny")


@given(st.integers(1, 40), st.sampled_from(list(Notes)), st.booleans())
def test_every_bar_stands_in_one_system(bars: int, notes: Notes, silent: bool) -> None:
    """The systems follow each other without gap or overlap from the first bar to the last."""
    systems = plan(score(bars, bars // 2), Layout(notes=notes, silent=silent), FAMILY)
    shown = [bar for system in systems for bar in range(system.first, system.last + 1)]
    assert shown == list(range(bars))
    assert [system.number for system in systems] == list(range(len(systems)))


def test_silent_staves_are_left_out_where_they_rest() -> None:
    """A part that rests throughout a system is not in it; with silent staves it is everywhere."""
    whole = score()
    systems = plan(whole, Layout(), FAMILY)
    for system in systems:
        assert ("P2" in system.parts) == (system.last >= 12)
    assert all(len(system.parts) == 3 for system in plan(whole, Layout(silent=True), FAMILY))


def test_a_system_in_which_all_rest_is_shown_whole() -> None:
    """Where nobody plays, the staves stay: a bar of rest is music too."""
    systems = plan(score(4, 4), Layout(families=("brass",)), FAMILY)
    assert [system.parts for system in systems] == [("P2",)]


def test_larger_notes_take_more_systems() -> None:
    """The larger the notes, the fewer bars stand in a line."""
    counts = [len(plan(score(), Layout(notes=notes), FAMILY)) for notes in Notes]
    assert counts == sorted(counts)
    assert counts[0] < counts[-1]


def test_more_notes_make_a_wider_bar() -> None:
    """A bar of quavers is wider than a bar of minims, and an accidental takes room."""
    widths = bar_widths(score(2, 0), {"P1"})
    slow = bar_widths(score(2, 0), {"P3"})
    sharp = read_bytes(b"meter: 4/4\npart Flute\nC#5/8 D5 E5 F5 G5 A5 B5 C6 |\n", "one.tiny")
    assert widths[0] > slow[0]
    assert bar_widths(sharp, {"P1"})[0] > widths[0]


def test_layout_is_read_from_words() -> None:
    """The words of an address make a layout; the order of families is that of the page."""
    asked = {"pitch": "sounding", "notes": "large", "silent": "show", "families": "strings,brass"}
    found = layout_of(asked, ("woodwind", "brass", "strings"))
    assert found == Layout(Pitch.SOUNDING, Notes.LARGE, True, ("brass", "strings"))
    assert layout_of({}, ()) == Layout()


@pytest.mark.parametrize("asked", [{"pitch": "loud"}, {"notes": "../huge"}, {"families": "kazoos"}])
def test_a_word_that_means_nothing_is_told(asked: dict[str, str]) -> None:
    """A layout that does not exist is refused in a sentence that names what there is."""
    with pytest.raises(InputError, match=r"there are|none of"):
        layout_of(asked, ("brass",))
