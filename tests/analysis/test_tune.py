"""The tune: what moves, returns, is bound and marked; the highest line does not always have it."""

from dataclasses import replace

import numpy as np
import pytest

from redstave.analysis import Analysis
from redstave.analysis.tune import chance
from redstave.model.score import Score
from redstave.reading import read_bytes

CHORALE = """\
meter: 4/4
part Flute
mf G5/4 A5 B5 G5 | C6 B5 A5/2 | G5/4 F#5 G5 A5 | B5/1 |.
part Oboe
mf D5/2 D5 | E5 F#5 | D5 D5 | D5/1 |.
part Clarinet in A
mf B4/2 G4 | G4 D4 | B4 A4 | G4/1 |.
part Bassoon | clef=bass
mf G3/2 B2 | C3 D3 | E3 D3 | G2/1 |.
"""

UNDER_A_FIGURE = """\
meter: 4/4
part Flute
p {F} | {F} | {F} | {F} |.
part Viola | clef=alto
p R*4 |.
part Cello | clef=bass
p "espr." G3/4.( A3/8 B3/4 D4) | C4/2( B3/8 A3 G3/4) | E3/4.( F#3/8 G3/4 B3) |
A3/4( G3/8 F#3 G3/2) |.
""".replace("{F}", "G5/8 B5 D6 B5 G5 B5 D6 B5")


def read(text: str) -> Score:
    """Read a score in the short notation."""
    return read_bytes(text.encode(), "tune.tiny")


def parts_with_the_tune(score: Score) -> list[str]:
    """Return the part of the line followed in each slice."""
    analysis = Analysis(score)
    names = [line.name.split()[0] for line in analysis.playing.lines]
    return [names[at] for at in analysis.tune.line]


def test_the_upper_voice_of_a_chorale_has_the_tune() -> None:
    """With four voices alike the highest, which moves most, is followed all through."""
    assert set(parts_with_the_tune(read(CHORALE))) == {"Flute"}


def test_a_slurred_tune_below_a_figure_is_the_tune() -> None:
    """A cello marked espr. has the tune, two octaves under a flute that repeats a broken chord."""
    assert set(parts_with_the_tune(read(UNDER_A_FIGURE))) == {"Cello"}


def test_softness_does_not_unmake_a_tune() -> None:
    """The upper voice pp under all others f is still taken for the tune: it is only buried."""
    score = read(CHORALE.replace("mf", "f").replace("f G5", "pp G5"))
    assert set(parts_with_the_tune(score)) == {"Flute"}


@pytest.mark.parametrize("text", [CHORALE, UNDER_A_FIGURE], ids=["chorale", "figure"])
def test_the_order_of_parts_changes_nothing(text: str) -> None:
    """Turned upside down the page has the same tune, with the same lead."""
    score = read(text)
    turned = replace(score, parts=score.parts[::-1])
    assert parts_with_the_tune(score) == parts_with_the_tune(turned)
    lead, other = Analysis(score).tune.lead, Analysis(turned).tune.lead
    np.testing.assert_allclose(lead, other, atol=1e-9)


def test_confidence_is_a_chance() -> None:
    """Even odds without a lead, two to one at an octave; never outside 0 to 1."""
    assert chance(np.array([0.0, 1.0])).tolist() == pytest.approx([0.5, 2 / 3])
    found = Analysis(read(CHORALE)).tune.confidence
    assert ((found > 0.0) & (found < 1.0)).all()


def test_a_tune_rests_where_its_line_rests() -> None:
    """Where nothing sounds, or only a drum, no strand is the tune."""
    score = read(
        "meter: 4/4\npart Flute\nmf G5/4 A5 B5 r | R |.\n"
        "part Triangle | clef=percussion\nmf r/2 C5/4 C5 | C5/1 |.\n"
    )
    analysis = Analysis(score)
    resting = analysis.slices.start >= 3 * score.ticks_per_quarter
    assert (analysis.tune.strand[resting] == -1).all()
    assert (analysis.tune.strand[~resting] >= 0).all()


def test_nobody_known_no_tune() -> None:
    """A score of unknown instruments has no slices and no tune."""
    assert Analysis(read("part Gizmo\nC5/1 |.\n")).tune.strand.size == 0
