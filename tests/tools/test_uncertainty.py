"""The uncertainty that is stated, against levels drawn at random."""

from pathlib import Path

import numpy as np
import pytest

from redstave.analysis import Analysis
from redstave.reading import read, read_bytes
from tools.evidence.uncertainty import drawn_margins, kept_states, stated_over_drawn

# Twelve lines in four bars: a tune with a doubling, held chords, a plucked bass, an entry of brass.
SCORE = """\
title: Haymaking
meter: 4/4
tempo: 88 "Allegretto"
part Flute 1
p C5/4 D5 E5 G5 | A5/2 G5 | mf C6/4 B5 A5 G5 | E5/1 |.
part Oboe 1
p C5/4 D5 E5 G5 | A5/2 G5 | mf C5/4 B4 A4 G4 | E4/1 |.
part Clarinet in B flat 1 | transpose=-2
p D4/1 | D4/2 E4 | mf F#4/1 | F#4/1 |.
part Bassoon 1 | clef=bass
p C3/1 | F3/2 C3 | mf G3/1 | C3/1 |.
part Horn in F 1 | transpose=-7
pp G4/1 | G4/1 | f D5/1 | G4/1 |.
part Horn in F 3 | transpose=-7
pp B3/1 | C4/1 | f G4/1 | B3/1 |.
part Trumpet in C
R | R | f G4/2 D5 | E5/1 |.
part Violin I
p E5/8 G5 E5 G5 E5 G5 E5 G5 | F5 A5 F5 A5 E5 G5 E5 G5 | f B5/4 D6 C6 B5 | C6/1 |.
part Violin II
p C5/8 E5 C5 E5 C5 E5 C5 E5 | C5 F5 C5 F5 C5 E5 C5 E5 | f G5/4 B5 A5 G5 | G5/1 |.
part Viola | clef=alto
p G4/1 | A4/2 G4 | f D4/1 | E4/1 |.
part Violoncello | clef=bass
p C3/1 | F3/2 C3 | f G2/1 | C3/1 |.
part Double bass | clef=bass | transpose=-12
"pizz." p C3/4 r G3 r | F3 r C3 r | f G2/4 r G2 r | C3 r r/2 |.
"""


@pytest.fixture(scope="module")
def analysis() -> Analysis:
    """The four bars above."""
    return Analysis(read_bytes(SCORE.encode(), "haymaking.tiny"))


def test_the_stated_spread_is_the_drawn_one(analysis: Analysis) -> None:
    """The stated sd of the margins agrees with that of 200 draws: within 20 %, nearly all rows."""
    ratio = stated_over_drawn(analysis, 200)
    assert ratio.size > 100
    assert np.median(ratio) == pytest.approx(1.0, abs=0.05)
    assert np.mean((ratio > 1 / 1.2) & (ratio < 1.2)) > 0.95


@pytest.mark.corpus
def test_the_stated_spread_is_the_drawn_one_in_a_real_score(scores: Path) -> None:
    """The same on the beginning of a movement for full orchestra."""
    analysis = Analysis(read(scores / "orchestra" / "Beach_Op.32_2.mxl"))
    ratio = stated_over_drawn(analysis, 100, slices=256)
    assert np.median(ratio) == pytest.approx(1.0, abs=0.05)
    assert np.mean((ratio > 1 / 1.2) & (ratio < 1.2)) > 0.9


def test_draws_repeat_and_without_error_nothing_moves(analysis: Analysis) -> None:
    """The draws are seeded, and an error of 0 dB gives the margins of the hearing itself."""
    assert np.array_equal(drawn_margins(analysis, 2), drawn_margins(analysis, 2))
    still = drawn_margins(analysis, 1, error_db=0.0)[0]
    np.testing.assert_allclose(still, analysis.hearing.rows.margin_db, atol=1e-4)


def test_a_greater_error_keeps_fewer_states(analysis: Analysis) -> None:
    """Of all lines taken as passages, no more keep their state under 4 dB than under 2 dB."""
    passages = [analysis.hearing.line == line for line in range(len(analysis.playing.lines))]
    small, great, count = kept_states(analysis, passages)
    assert count == len(passages)
    assert 0 < great <= small <= count
