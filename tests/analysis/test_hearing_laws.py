"""Laws of hearing (docs/design.md, law 6), on small scores made by hand."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from redstave.analysis.hearing import Hearing, hear
from redstave.analysis.slices import cut
from redstave.analysis.spectra import sound_of_rows
from redstave.analysis.strands import doubled_tones, hands, strand_of_rows
from redstave.instruments import default_hall, load
from redstave.model.line import Line, Tone
from tests.analysis.score_by_hand import line, playing, score, tone

INSTRUMENTS = ("flute", "oboe", "horn", "trumpet", "viola")
LINES = [line(number, name) for number, name in enumerate(INSTRUMENTS)]


def heard(tones: list[Tone], lines: list[Line] = LINES) -> Hearing:
    """Hear a score of ten bars."""
    played = playing(lines, tones)
    slices = cut(score(10), played)
    strand = strand_of_rows(slices, doubled_tones(played.tones), hands(played.tones, lines))
    sound = sound_of_rows(slices, played, load(), default_hall())
    of = np.array([one.line for one in played.tones], dtype=np.int64)[slices.row_tone]
    return hear(slices, sound, strand, of, len(lines))


def of_line(hearing: Hearing, number: int) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    """Return the margins of one line's rows in dB."""
    return hearing.rows.margin_db[hearing.line == number]


chords = st.lists(st.integers(50, 84), min_size=5, max_size=5, unique_by=lambda midi: midi % 12)


@given(chords, st.integers(0, 4), st.floats(0.5, 3.0))
@settings(max_examples=40, deadline=None)
def test_more_level_never_lowers_a_margin(pitches: list[int], who: int, more: float) -> None:
    """Raising the level of one line never lowers its own margin (0.5 dB for the level grid)."""
    tones = [tone(of, 0, 4, float(midi), 4.0) for of, midi in enumerate(pitches)]
    louder = [
        one._replace(level=4.0 + more, level_stop=4.0 + more) if one.line == who else one
        for one in tones
    ]
    assert (of_line(heard(louder), who) >= of_line(heard(tones), who) - 0.5).all()


@given(chords, st.integers(0, 4))
@settings(max_examples=40, deadline=None)
def test_more_masker_never_raises_partial_loudness(pitches: list[int], who: int) -> None:
    """Taking a line away never lowers the partial loudness of another (1 % slack, float32)."""
    tones = [tone(of, 0, 4, float(midi)) for of, midi in enumerate(pitches)]
    fewer = [one for one in tones if one.line != who]
    full, thin = heard(tones), heard(fewer)
    for number in set(range(5)) - {who}:
        before = full.rows.partial[full.line == number]
        after = thin.rows.partial[thin.line == number]
        assert (after >= before * 0.99 - 1e-6).all()


@given(chords, st.permutations(range(5)))
@settings(max_examples=20, deadline=None)
def test_order_of_lines_changes_nothing(pitches: list[int], order: list[int]) -> None:
    """Putting the lines in another order on the page changes no margin."""
    tones = [tone(of, 0, 4, float(midi)) for of, midi in enumerate(pitches)]
    moved = [one._replace(line=order[one.line]) for one in tones]
    lines = [LINES[order.index(place)] for place in range(5)]
    first, second = heard(tones), heard(moved, lines)
    for number in range(5):
        np.testing.assert_allclose(
            of_line(first, number), of_line(second, order[number]), atol=0.01
        )


def test_silence_is_heard_as_nothing() -> None:
    """A score without tones has no rows and no loudness."""
    assert heard([]).rows.margin_db.size == 0


def test_a_lone_line_keeps_its_loudness() -> None:
    """With nothing else sounding, partial loudness equals loudness and nothing covers."""
    alone = heard([tone(0, 0, 4, 72.0)])
    np.testing.assert_allclose(alone.rows.partial, alone.rows.loudness, rtol=1e-4)
    assert alone.rows.covering.sum() == 0.0
    assert alone.rows.contribution == pytest.approx(1.0, abs=1e-4)


def test_splitting_a_line_into_halves_of_one_strand_changes_nothing() -> None:
    """Two lines with half the players each, moving together, are heard like the one they make."""
    tune = [60.0, 64.0, 67.0, 72.0]
    whole = [tone(0, at, at + 1, midi)._replace(players=4.0) for at, midi in enumerate(tune)]
    rest = [tone(2, 0, 4, 50.0), tone(3, 0, 4, 57.0)]
    halves = [one._replace(players=2.0, line=of) for one in whole for of in (0, 1)]
    lines = [dataclasses.replace(one, instrument="oboe") for one in LINES]
    first, second = heard(whole + rest, lines), heard(halves + rest, lines)
    np.testing.assert_allclose(of_line(first, 0), of_line(second, 0), atol=0.05)
    np.testing.assert_allclose(of_line(second, 0), of_line(second, 1), atol=1e-6)


def test_what_covers_a_line_adds_up_to_one() -> None:
    """The shares of the coverers of each row add up to 1, and none of them is the line itself."""
    hearing = heard([tone(of, 0, 4, 60.0 + 5 * of) for of in range(5)])
    np.testing.assert_allclose(hearing.rows.covering.sum(axis=1), 1.0, atol=1e-6)
    own = hearing.rows.covering[np.arange(hearing.line.size), hearing.line]
    assert (own == 0.0).all()


def test_uncertainty_is_never_below_the_models_own() -> None:
    """Every margin carries at least the model's 3 dB and the level's own uncertainty."""
    hearing = heard([tone(of, 0, 4, 60.0 + 5 * of) for of in range(5)])
    assert (hearing.rows.sd_db > np.hypot(3.0, 3.0)).all()
