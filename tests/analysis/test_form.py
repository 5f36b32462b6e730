"""Form: where sections begin, what they are scored in, which rhythm accompanies, where it rises."""

from fractions import Fraction

import pytest

from redstave.analysis import Analysis
from redstave.analysis.form import form
from redstave.analysis.patterns import patterns
from redstave.analysis.rises import rises
from redstave.analysis.sections import Section, sections
from redstave.reading import read_bytes

HEAD = 'title: Form\nmeter: 4/4\nkey: 0\ntempo: 96 "Andante"\npitch: written\n'
WHOLE = "C5/1 | "


def analysis(music: str) -> Analysis:
    """Return the analysis of a few bars."""
    return Analysis(read_bytes((HEAD + music).encode(), "form.tiny"))


def found(music: str) -> list[tuple[int, int, str]]:
    """Return the sections of a few bars: first, last, what opens them."""
    one = analysis(music)
    return [(at.first, at.last, at.opened) for at in sections(one.score, one.playing.tempo)]


@pytest.mark.parametrize(
    ("sign", "opened"),
    [
        ("@B", "letter B"),
        ("key:2", "new key"),
        ('%132 !"Allegro"', "new tempo"),
        ("%98", ""),
    ],
)
def test_a_section_opens_at_a_letter_a_new_key_or_a_new_tempo(sign: str, opened: str) -> None:
    """A letter, a key and a clearly new tempo open a section; a nudge of the tempo does not."""
    music = f"part Flute\nmf {WHOLE * 4}{sign} {WHOLE * 4}"
    assert found(music) == ([(0, 3, ""), (4, 7, opened)] if opened else [(0, 7, "")])


def test_a_section_tells_all_that_opens_it() -> None:
    """A double bar with a letter and a new key is one opening with three reasons."""
    music = f"part Flute\nmf {WHOLE * 3}C5/1 || key:2 @B {WHOLE * 4}"
    (_, _, opened) = found(music)[1]
    assert sorted(opened.split(", ")) == ["double bar", "letter B", "new key"]


def test_the_teacher_cuts_alone() -> None:
    """Where the teacher has cut, no mark of the page cuts, however short the sections are."""
    one = analysis(f"part Flute\nmf {WHOLE * 4}@B {WHOLE * 4}")
    cut = sections(one.score, one.playing.tempo, {}, (6, 7))
    assert [(at.first, at.last) for at in cut] == [(0, 5), (6, 6), (7, 7)]


TWO = f"""part Flute | clef=treble
mf {WHOLE * 4}| R*4 |
part Violoncello | clef=bass
mf C3/4 C3 C3 C3 | C3 C3 C3 C3 | C3 C3 C3 C3 | C3 C3 C3 C3 | f C3/1 | C3 | C3 | C3 |
""".replace("| |", "|")


def test_colour_density_height_and_level_of_a_section() -> None:
    """By hand: two lines at C5 and C3 in four bars of crotchets, then one at C3, louder."""
    one = analysis(TWO)
    first, second = form(one, [Section(0, 3), Section(4, 7)]).sections
    assert dict(first.instruments) == pytest.approx({"flute": 1.0, "cello": 1.0})
    assert dict(second.families) == pytest.approx({"strings": 1.0})
    assert (first.lines, second.lines) == pytest.approx((2.0, 1.0))
    assert (first.attacks, second.attacks) == pytest.approx((1.0, 0.25))
    assert (first.low, first.centre, first.high) == pytest.approx((48, 60, 72))
    assert (first.level, second.level) == pytest.approx((5.0, 6.0))
    assert (first.tutti, second.tutti) == (1.0, 0.0)


def test_the_turn_between_two_sections() -> None:
    """By hand: colours (1, 1) and (0, 1) have a cosine of one over root two; an octave lower."""
    (turn,) = form(analysis(TWO), [Section(0, 3), Section(4, 7)]).turns
    assert turn.distance == pytest.approx(1 - 2**-0.5)
    assert turn.height == pytest.approx(-12.0)
    assert turn.level == pytest.approx(1.0)
    assert turn.density == pytest.approx(0.5)
    assert turn.families == ("−woodwind",)


def test_the_rhythm_that_accompanies_and_how_long_it_goes_on() -> None:
    """The flute leads; the cello's crotchets go on for four bars, its whole notes are no rhythm."""
    kept = patterns(analysis(TWO))
    assert kept[4:] == (None,) * 4
    (pattern,) = set(kept[:4])
    assert pattern is not None
    assert (pattern.onsets, pattern.first, pattern.bars) == (tuple(map(Fraction, range(4))), 0, 4)


RISE = """part Flute | clef=treble
mf < C5/1 | D5 | E5 = | {here} | R |
part Oboe | clef=treble
mf < G4/1 | A4 | B4 = | R | R |
part Violin I | clef=treble
mf C4/1 | C4 | C4 | {after} | C4 |
"""


@pytest.mark.parametrize(
    ("here", "after", "lines", "soft"), [("R", "C4/1", 1.0, False), ("C5/1", "p C4/1", 2.0, True)]
)
def test_a_rise_knows_what_it_leads_to(here: str, after: str, lines: float, soft: bool) -> None:
    """Two of three parts rise through three bars; then one or two play, told softly or not."""
    (rise,) = rises(analysis(RISE.format(here=here, after=after)), 0.6)
    assert (rise.first, rise.last, rise.arrival, rise.bars) == (0, 2, 3, 3)
    assert (rise.lines_before, rise.lines_after) == pytest.approx((3.0, lines))
    assert rise.told_soft is soft


def test_few_who_rise_make_no_rise_of_all() -> None:
    """Two of three parts are not nine in ten."""
    assert list(rises(analysis(RISE.format(here="R", after="C4/1")), 0.9)) == []
