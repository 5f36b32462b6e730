"""Prominence: lead, over the rest, share; inner voices of soft chords; the ranges of masters."""

import numpy as np
import pytest

from redstave.analysis import Analysis
from redstave.analysis.inner import inner_voices
from redstave.analysis.prominence import FARTHEST, prominence, standing
from redstave.analysis.tables import row
from redstave.reading import read_bytes
from tests.analysis.score_by_hand import tone
from tests.analysis.test_hearing_laws import heard

CHORALE = """\
meter: 4/4
tempo: 60
part Flute
p C6/4( D6/8 E6 F6/4 C6) | D6/4.( C6/8 A5/4 Bb5) |.
part Oboe
p A5/4 A5 A5 A5 | F5 F5 F5 G5 |.
part Horn
p F4/4 F4 F4 F4 | D4 D4 C4 D4 |.
part Bassoon | clef=bass
p F3/4 D3 F3 F3 | Bb2 Bb2 F3 G3 |.
"""


def analysis(text: str) -> Analysis:
    """Read a score in the short notation."""
    return Analysis(read_bytes(text.encode(), "chorale.tiny"))


def names(found: Analysis) -> set[str]:
    """Return the names of the lines that are inner voices."""
    return {found.playing.lines[passage.line].name for passage in inner_voices(found)}


def test_two_strands_lead_each_other_by_opposite_amounts() -> None:
    """With two strands lead and over-rest agree, sum to 0 over both, and shares sum to 1."""
    hearing = heard([tone(0, 0, 4, 84.0), tone(4, 0, 4, 60.0)])
    found = prominence(hearing)
    np.testing.assert_allclose(found.lead, found.over_rest, atol=1e-9)
    assert found.lead.sum() == pytest.approx(0.0, abs=1e-9)
    assert found.share.sum() == pytest.approx(1.0)


def test_the_lead_is_taken_over_the_strongest_other() -> None:
    """Of three strands only one leads; each lead is at least its standing over the rest."""
    hearing = heard([tone(0, 0, 4, 84.0), tone(1, 0, 4, 67.0), tone(2, 0, 4, 55.0)])
    found = prominence(hearing)
    assert (found.lead > 0.0).sum() == 1
    assert (found.lead >= found.over_rest - 1e-9).all()
    sone = hearing.rows.partial
    expected = np.log2(np.sort(sone)[-1] / np.sort(sone)[-2])
    assert found.lead.max() == pytest.approx(expected)


def test_who_sounds_alone_has_no_lead() -> None:
    """Alone there is nothing to stand out of: the measures are nan, and so are the medians."""
    hearing = heard([tone(0, 0, 4, 72.0)])
    found = prominence(hearing)
    assert np.isnan(found.lead).all()
    assert np.isnan(standing(hearing, found, np.array([0])).share)


def test_more_level_leads_more() -> None:
    """A line marked two levels louder leads by more than before."""
    leads = []
    for level in (4.0, 6.0):
        hearing = heard([tone(0, 0, 4, 84.0, level), tone(4, 0, 4, 60.0, 4.0)])
        leads.append(prominence(hearing).lead[hearing.line == 0][0])
    assert leads[1] > leads[0] + 0.5


def test_what_cannot_be_heard_is_told_no_further() -> None:
    """A flute pp under trumpets fff is as far below as anything is told to be."""
    tones = [tone(0, 0, 4, 60.0, 1.0), tone(3, 0, 4, 64.0, 8.0), tone(2, 0, 4, 55.0, 8.0)]
    assert prominence(heard(tones)).lead.min() == -FARTHEST


def test_the_middle_of_a_soft_chorale_is_inner() -> None:
    """Oboe and horn are inner voices of four; the tune and the bass are not."""
    assert names(analysis(CHORALE)) == {"Oboe", "Horn"}


def test_loud_chords_and_two_voices_have_no_inner_voice() -> None:
    """At forte, or with two voices, nothing is an inner voice of soft chords."""
    assert names(analysis(CHORALE.replace("\np ", "\nf "))) == set()
    parts = CHORALE.split("part ")
    assert names(analysis("part ".join([parts[0], parts[1], parts[4]]))) == set()


def test_the_ranges_of_masters_are_in_order() -> None:
    """Percentiles rise; tunes stand out more than inner voices, these more than plucked lines."""
    for group in ("tune", "inner", "plucked"):
        for measure in row("prominence", group).values():
            assert list(measure.numbers) == sorted(measure.numbers)
            assert len(measure.numbers) == len(measure.uncertainties) == 5
    medians = [
        row("prominence", group)["lead"].numbers[2] for group in ("tune", "inner", "plucked")
    ]
    assert medians == sorted(medians, reverse=True)
